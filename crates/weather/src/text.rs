//! Lines, cells and numbers of a text file, fast: a weather year is 1.7 MB of text of which a tenth is wanted.
//!
//! Eight bytes are looked at together in one word ("SIMD within a register"); so the same code runs on every processor.

/// Bytes in a word.
const WORD: usize = 8;
const FOUR_WORDS: usize = 4 * WORD;
/// The same byte eight times over: `ONES * byte`.
const ONES: u64 = 0x0101_0101_0101_0101;
const LOW_BITS: u64 = 0x7f7f_7f7f_7f7f_7f7f;

/// Marks (high bit) every byte of a word that equals the repeated one. Exact: no byte is marked by a carry from below.
#[inline]
fn equal(word: u64, repeated: u64) -> u64 {
    let differs = word ^ repeated;
    !(((differs & LOW_BITS) + LOW_BITS) | differs | LOW_BITS)
}

/// How many bytes are marked: the product sums them in its highest byte. Old processors count bits one by one.
#[inline]
fn marked(mask: u64) -> usize {
    const TOP_BIT: u32 = u8::BITS - 1;
    const TOP_BYTE: u32 = u64::BITS - u8::BITS;
    ((mask >> TOP_BIT).wrapping_mul(ONES) >> TOP_BYTE) as usize
}

/// Place of the first such byte.
#[inline]
pub(crate) fn find(bytes: &[u8], byte: u8) -> Option<usize> {
    let repeated = ONES * u64::from(byte);
    // Four words at a time: a line is longer than that.
    let (fours, _) = bytes.as_chunks::<FOUR_WORDS>();
    let none = fours.iter().take_while(|four| {
        let (words, _) = four.as_chunks::<WORD>();
        words.iter().fold(0, |any, word| any | equal(u64::from_le_bytes(*word), repeated)) == 0
    });
    let start = none.count() * FOUR_WORDS;
    let (words, rest) = bytes.get(start..)?.as_chunks::<WORD>();
    for (at, word) in words.iter().enumerate() {
        let mask = equal(u64::from_le_bytes(*word), repeated);
        if mask != 0 {
            return Some(start + at * WORD + (mask.trailing_zeros() / u8::BITS) as usize);
        }
    }
    rest.iter().position(|b| *b == byte).map(|at| start + words.len() * WORD + at)
}

/// The lines of a file with their number from 1, without their ends (LF or CR LF).
#[derive(Clone, Debug)]
pub(crate) struct Lines<'a> {
    rest: &'a [u8],
    number: u32,
}

impl<'a> Lines<'a> {
    pub(crate) fn new(bytes: &'a [u8]) -> Self {
        Self { rest: bytes, number: 0 }
    }
}

impl<'a> Iterator for Lines<'a> {
    type Item = (u32, &'a [u8]);

    #[inline]
    fn next(&mut self) -> Option<Self::Item> {
        if self.rest.is_empty() {
            return None;
        }
        let (line, rest) = match find(self.rest, b'\n').and_then(|at| self.rest.split_at_checked(at)) {
            Some((line, rest)) => (line, rest.split_first().map_or(rest, |(_, rest)| rest)),
            None => (self.rest, &[][..]),
        };
        self.rest = rest;
        self.number += 1;
        Some((self.number, line.strip_suffix(b"\r").unwrap_or(line)))
    }
}

/// Cells of a line between commas: those of the columns `wanted` (from 0, rising) into `cells`, in that order. Gives how
/// many columns the line has; cells past its end stay empty. Quotation marks mean nothing here: data lines hold none.
#[inline]
pub(crate) fn pick<'a>(line: &'a [u8], wanted: &[usize], cells: &mut [&'a [u8]]) -> usize {
    const COMMAS: u64 = ONES * b',' as u64;
    cells.fill(&[]);
    let mut picker = Picker { line, wanted: wanted.iter(), cells: cells.iter_mut(), next: usize::MAX, column: 0, start: 0 };
    picker.advance();
    let (words, rest) = line.as_chunks::<WORD>();
    let mut base = 0;
    for word in words {
        let mut mask = equal(u64::from_le_bytes(*word), COMMAS);
        let count = marked(mask);
        if picker.column + count < picker.next {
            // Nothing wanted ends or begins in this word.
            picker.column += count;
        } else {
            while mask != 0 {
                picker.comma(base + (mask.trailing_zeros() / u8::BITS) as usize);
                mask &= mask - 1;
            }
        }
        base += WORD;
    }
    for (at, byte) in rest.iter().enumerate() {
        if *byte == b',' {
            picker.comma(base + at);
        }
    }
    let columns = picker.column + 1;
    picker.comma(line.len());
    columns
}

struct Picker<'a, 'c> {
    line: &'a [u8],
    wanted: std::slice::Iter<'c, usize>,
    cells: std::slice::IterMut<'c, &'a [u8]>,
    /// The next wanted column.
    next: usize,
    /// The column at hand, and where it starts.
    column: usize,
    start: usize,
}

impl Picker<'_, '_> {
    #[inline]
    fn advance(&mut self) {
        self.next = self.wanted.next().copied().unwrap_or(usize::MAX);
    }

    #[inline]
    fn comma(&mut self, at: usize) {
        if self.column == self.next {
            if let Some(cell) = self.cells.next() {
                *cell = self.line.get(self.start..at).unwrap_or_default();
            }
            self.advance();
        }
        self.column += 1;
        self.start = at + 1;
    }
}

/// Cells of a header line, where quotation marks may hold commas: `"A, B",C`.
pub(crate) fn cells(line: &[u8]) -> Vec<&[u8]> {
    let mut found = Vec::new();
    let (mut start, mut quoted) = (0, false);
    for (at, byte) in line.iter().enumerate() {
        match byte {
            b'"' => quoted = !quoted,
            b',' if !quoted => {
                found.push(line.get(start..at).unwrap_or_default());
                start = at + 1;
            }
            _ => {}
        }
    }
    found.push(line.get(start..).unwrap_or_default());
    found.into_iter().map(|cell| trim(cell).trim_quotes()).collect()
}

trait TrimQuotes {
    fn trim_quotes(&self) -> &Self;
}

impl TrimQuotes for [u8] {
    fn trim_quotes(&self) -> &[u8] {
        self.strip_prefix(b"\"").and_then(|rest| rest.strip_suffix(b"\"")).unwrap_or(self)
    }
}

/// A cell without blanks at its ends.
#[inline]
pub(crate) fn trim(cell: &[u8]) -> &[u8] {
    match (cell.first(), cell.last()) {
        (Some(first), Some(last)) if *first > b' ' && *last > b' ' => cell,
        _ => cell.trim_ascii(),
    }
}

/// Ten to the power of the index: exact in f64.
const TENS: [f64; 16] = [1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15];
/// So many digits fit in the 53 bits of an f64 whatever they are.
const EXACT_DIGITS: usize = 15;

/// The number a cell holds: rounded right, as the standard library does; `None` for all that is no finite number.
///
/// A short decimal number is a whole number divided by a power of ten, both exact, so that one division rounds once.
#[inline]
pub(crate) fn number(cell: &[u8]) -> Option<f64> {
    let (negative, digits) = match cell.split_first() {
        Some((b'-', rest)) => (true, rest),
        Some((b'+', rest)) => (false, rest),
        _ => (false, cell),
    };
    if digits.len() > EXACT_DIGITS || digits.is_empty() {
        return slow_number(cell);
    }
    let (mut whole, mut decimals, mut point) = (0_u64, 0_usize, false);
    for byte in digits {
        let digit = byte.wrapping_sub(b'0');
        if digit <= 9 {
            whole = whole * 10 + u64::from(digit);
            decimals += usize::from(point);
        } else if *byte == b'.' && !point {
            point = true;
        } else {
            return slow_number(cell);
        }
    }
    if point && digits.len() == 1 {
        return None;
    }
    let value = if decimals == 0 { whole as f64 } else { whole as f64 / TENS.get(decimals)? };
    Some(if negative { -value } else { value })
}

/// Numbers of many digits or with an exponent.
#[cold]
fn slow_number(cell: &[u8]) -> Option<f64> {
    let value = std::str::from_utf8(cell).ok()?.parse::<f64>().ok()?;
    // The standard library reads "inf" and "nan" too.
    value.is_finite().then_some(value)
}

/// A whole number of at most six digits.
#[inline]
pub(crate) fn whole(cell: &[u8]) -> Option<u32> {
    const MOST_DIGITS: usize = 6;
    if cell.is_empty() || cell.len() > MOST_DIGITS {
        return None;
    }
    let mut value = 0;
    for byte in cell {
        let digit = byte.wrapping_sub(b'0');
        if digit > 9 {
            return None;
        }
        value = value * 10 + u32::from(digit);
    }
    Some(value)
}

/// A cell as a person may read it: never a whole line, no control characters, odd bytes replaced.
pub(crate) fn show(cell: &[u8]) -> String {
    const MOST: usize = 40;
    let text = String::from_utf8_lossy(cell);
    let mut shown: String = text.chars().take(MOST).map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect();
    if text.chars().nth(MOST).is_some() {
        shown.push_str("..");
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_round_as_the_standard_library_does() {
        for text in
            ["0", "-0.0", "99.9", "-19.4", "5.1000000000000005", "8.200000000000001", "1e3", ".5", "5.", "+7", "814.42", "0.1761"]
        {
            let want: f64 = text.parse().unwrap();
            assert_eq!(number(text.as_bytes()).map(f64::to_bits), Some(want.to_bits()), "{text}");
        }
        for text in ["", ".", "-", "nan", "NaN", "inf", "1,5", "1e999", "12:00", "0x10", "--1", "1 2"] {
            assert_eq!(number(text.as_bytes()), None, "{text}");
        }
    }

    #[test]
    fn cells_are_picked_by_column() {
        let line = b"0,11,222,,44444444,5,6,77777777777,8,9";
        for wanted in [&[0_usize, 1, 2][..], &[1, 3, 4, 9], &[7], &[0, 9], &[8, 9, 12]] {
            let mut cells = vec![&b"x"[..]; wanted.len()];
            assert_eq!(pick(line, wanted, &mut cells), 10);
            let all: Vec<&[u8]> = line.split(|b| *b == b',').collect();
            let want: Vec<&[u8]> = wanted.iter().map(|at| all.get(*at).copied().unwrap_or_default()).collect();
            assert_eq!(cells, want);
        }
        assert_eq!(pick(b"", &[0], &mut [&[]]), 1);
    }

    #[test]
    fn lines_end_with_or_without_a_carriage_return() {
        let lines: Vec<_> = Lines::new(b"a\r\n\nbcdefghijk\nlast").collect();
        assert_eq!(lines, [(1, &b"a"[..]), (2, b""), (3, b"bcdefghijk"), (4, b"last")]);
        assert_eq!(Lines::new(b"").count(), 0);
        for length in 0..100 {
            let mut bytes = vec![b'x'; length + 50];
            assert_eq!(find(&bytes, b'\n'), None);
            bytes[length] = b'\n';
            assert_eq!(find(&bytes, b'\n'), Some(length));
            assert_eq!(find(&bytes[..length], b'\n'), None);
        }
    }

    #[test]
    fn quotation_marks_hold_commas_in_headers() {
        assert_eq!(cells(b"1, \"A, B\" ,c"), [&b"1"[..], b"A, B", b"c"]);
    }
}
