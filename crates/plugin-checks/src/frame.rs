//! How documents go through the pipes: a line with the number of the question and the length, then so many bytes.
//!
//! The number ties an answer to its question: whatever comes late or unasked has another.

use std::io::{self, BufRead, Read, Write};

/// One document.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Frame {
    /// Number of the question.
    pub(crate) number: u64,
    /// The document.
    pub(crate) bytes: Vec<u8>,
}

/// Why no frame could be read.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum NoFrame {
    /// The other side is gone.
    End,
    /// What came is no frame.
    Garbled,
    /// It would be longer than allowed.
    TooLarge,
}

/// Longer than any head: two numbers of twenty digits, a space, a line end.
const HEAD: u64 = 42;

impl Frame {
    /// Writes it.
    pub(crate) fn write(&self, to: &mut impl Write) -> io::Result<()> {
        writeln!(to, "{} {}", self.number, self.bytes.len())?;
        to.write_all(&self.bytes)?;
        to.flush()
    }

    /// Reads the next, of at most so many bytes.
    pub(crate) fn read(from: &mut impl BufRead, most: usize) -> Result<Self, NoFrame> {
        let mut head = Vec::new();
        let gone = |_| NoFrame::End;
        from.by_ref().take(HEAD).read_until(b'\n', &mut head).map_err(gone)?;
        if head.is_empty() {
            return Err(NoFrame::End);
        }
        let head = std::str::from_utf8(&head).ok().and_then(|head| head.strip_suffix('\n'));
        let (number, length) = head.and_then(|head| head.split_once(' ')).ok_or(NoFrame::Garbled)?;
        let number = number.parse().map_err(|_| NoFrame::Garbled)?;
        let length: usize = length.parse().map_err(|_| NoFrame::Garbled)?;
        if length > most {
            return Err(NoFrame::TooLarge);
        }
        let mut bytes = Vec::new();
        let want = u64::try_from(length).map_err(|_| NoFrame::TooLarge)?;
        from.by_ref().take(want).read_to_end(&mut bytes).map_err(gone)?;
        if bytes.len() == length { Ok(Self { number, bytes }) } else { Err(NoFrame::End) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const MOST: usize = 100;

    #[test]
    fn what_is_written_is_read_and_then_there_is_an_end() {
        let mut pipe = Vec::new();
        let frames = || (1..4).map(|number| Frame { number, bytes: vec![b'\n'; usize::try_from(number).unwrap() - 1] });
        frames().for_each(|frame| frame.write(&mut pipe).unwrap());
        let mut pipe = pipe.as_slice();
        for frame in frames() {
            assert_eq!(Frame::read(&mut pipe, MOST), Ok(frame));
        }
        assert_eq!(Frame::read(&mut pipe, MOST), Err(NoFrame::End));
    }

    #[test]
    fn noise_a_cut_and_a_flood_are_told_apart() {
        let read = |text: &str| Frame::read(&mut text.as_bytes(), MOST);
        assert_eq!(read("hello\n"), Err(NoFrame::Garbled));
        assert_eq!(read(&"9".repeat(MOST)), Err(NoFrame::Garbled));
        assert_eq!(read("1 -1\n"), Err(NoFrame::Garbled));
        assert_eq!(read("1 10\nshort"), Err(NoFrame::End));
        assert_eq!(read("1 101\n"), Err(NoFrame::TooLarge));
        assert_eq!(read("1 99999999999999999999999\n"), Err(NoFrame::Garbled));
        assert_eq!(read("1 0\n"), Ok(Frame { number: 1, bytes: Vec::new() }));
    }
}
