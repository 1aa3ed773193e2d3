//! From a byte of the text to its line and column.

use std::fmt;

/// A place in the file. Line and column count from 1; the column counts characters, a tab as one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize, schemars::JsonSchema)]
pub struct Place {
    /// Line, from 1.
    pub line: u32,
    /// Column in characters, from 1.
    pub column: u32,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.line, self.column)
    }
}

/// Where the lines of a text begin.
#[derive(Clone, Debug)]
pub struct Lines {
    starts: Vec<usize>,
}

/// The mark some editors put before the first character; no editor counts it as a column.
pub(crate) const BYTE_ORDER_MARK: char = '\u{feff}';

impl Lines {
    /// Finds the beginnings of the lines. A line ends with LF or with CR LF.
    pub fn new(text: &str) -> Lines {
        let after_newline = text.match_indices('\n').map(|(at, _)| at + 1);
        Lines { starts: std::iter::once(0).chain(after_newline).collect() }
    }

    /// The place of a byte of `text`, which must be the text given to `new`. Past the end: just behind the last
    /// character. Inside a character: that character.
    pub fn place(&self, text: &str, byte: usize) -> Place {
        let mut byte = byte.min(text.len());
        while !text.is_char_boundary(byte) {
            byte -= 1;
        }
        let line = self.starts.partition_point(|start| *start <= byte);
        let start = self.starts.get(line.saturating_sub(1)).copied().unwrap_or(0);
        let before = text.get(start..byte).unwrap_or("");
        let before = if start == 0 { before.strip_prefix(BYTE_ORDER_MARK).unwrap_or(before) } else { before };
        let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        Place { line: count(line.max(1)), column: count(before.chars().count() + 1) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(text: &str, byte: usize) -> (u32, u32) {
        let Place { line, column } = Lines::new(text).place(text, byte);
        (line, column)
    }

    #[test]
    fn an_empty_text_has_one_place() {
        assert_eq!(place("", 0), (1, 1));
        assert_eq!(place("", 7), (1, 1));
    }

    #[test]
    fn first_last_and_past_the_end() {
        let text = "ab\ncd";
        assert_eq!(place(text, 0), (1, 1));
        assert_eq!(place(text, 1), (1, 2));
        assert_eq!(place(text, 2), (1, 3));
        assert_eq!(place(text, 3), (2, 1));
        assert_eq!(place(text, 4), (2, 2));
        assert_eq!(place(text, 5), (2, 3));
        assert_eq!(place(text, 99), (2, 3));
        assert_eq!(place("ab\n", 3), (2, 1));
    }

    #[test]
    fn columns_count_characters_and_a_tab_as_one() {
        let text = "ä€ x\n\t\ty";
        assert_eq!(place(text, text.find('x').unwrap()), (1, 4));
        assert_eq!(place(text, 1), (1, 1), "inside the first character");
        assert_eq!(place(text, text.find('y').unwrap()), (2, 3));
    }

    #[test]
    fn carriage_returns_do_not_shift_lines() {
        let text = "a\r\nb\r\n";
        assert_eq!(place(text, text.find('b').unwrap()), (2, 1));
        assert_eq!(place(text, text.len()), (3, 1));
    }

    #[test]
    fn a_byte_order_mark_is_no_column() {
        let text = "\u{feff}ab\n\u{feff}c";
        assert_eq!(place(text, 0), (1, 1));
        assert_eq!(place(text, text.find('a').unwrap()), (1, 1));
        assert_eq!(place(text, text.find('b').unwrap()), (1, 2));
        assert_eq!(place(text, text.find('c').unwrap()), (2, 2), "elsewhere it is a character");
    }
}
