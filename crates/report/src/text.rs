//! Text that is safe to print and wraps where a reader would wrap it.

use quantity::Dimension;
use textwrap::{Options, WordSeparator, WordSplitter, WrapAlgorithm};

/// Space that a line is never broken at; printed as a plain space.
const TIED: char = '\u{a0}';

/// The text with control characters, and characters that turn the reading direction or cannot be seen, written out.
pub(crate) fn clean(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() || unseen(c) => out.push_str(&format!("\\u{{{:x}}}", u32::from(c))),
            c => out.push(c),
        }
    }
    out
}

/// Marks that reorder or hide text: with them a name could pass for another one. Noncharacters too: XML has no place
/// for them.
fn unseen(c: char) -> bool {
    matches!(
        c,
        '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}' | '\u{fffe}' | '\u{ffff}'
    )
}

/// The whole text without a place to break it.
pub(crate) fn tie(text: &str) -> String {
    text.replace(' ', &TIED.to_string())
}

/// The text with every number tied to the unit behind it, and "13 ft 6 in" to one piece.
pub(crate) fn tie_numbers(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let (mut before, mut before_was_feet) = ("", false);
    for (at, word) in text.split(' ').enumerate() {
        let feet = number(before) && unit(word);
        if at > 0 {
            let tied = feet || (before_was_feet && number(word));
            out.push(if tied { TIED } else { ' ' });
        }
        out.push_str(word);
        before_was_feet = feet && matches!(word, "ft" | "'");
        before = word;
    }
    out
}

fn number(word: &str) -> bool {
    let bare = word.trim_start_matches(['(', '"', '\'']);
    bare.bytes().any(|b| b.is_ascii_digit()) && bare.parse::<f64>().is_ok()
}

fn unit(word: &str) -> bool {
    let bare = word.trim_end_matches([',', '.', ';', ':', ')', '"', '?']);
    Dimension::ALL.iter().any(|d| d.units().iter().any(|u| u.name == bare))
}

/// Columns that the text takes.
pub(crate) fn columns(text: &str) -> usize {
    textwrap::core::display_width(text)
}

/// The text in lines of at most `width` columns; breaks at plain spaces, and inside a word only where the word alone
/// is wider. Never without a line.
pub(crate) fn wrap(text: &str, width: usize) -> Vec<String> {
    let options = Options::new(width.max(1))
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation)
        .wrap_algorithm(WrapAlgorithm::FirstFit);
    textwrap::wrap(text, options).into_iter().map(|line| line.replace(TIED, " ")).collect()
}

/// The text cut to `width` columns, with two full stops where something is left out.
pub(crate) fn cut(text: &str, width: usize) -> String {
    if columns(text) <= width {
        return text.to_owned();
    }
    let mut out = String::new();
    for c in text.chars() {
        if columns(&out) + columns(c.encode_utf8(&mut [0; 4])) + 2 > width {
            break;
        }
        out.push(c);
    }
    out.push_str("..");
    out
}

/// The text cut at a space to `width` columns, with two full stops where something is left out.
pub(crate) fn cut_words(text: &str, width: usize) -> String {
    if columns(text) <= width {
        return text.to_owned();
    }
    let short = cut(text, width);
    let whole = short.trim_end_matches("..").rsplit_once(' ').map(|(words, _)| words);
    whole.map_or(short.clone(), |words| format!("{} ..", words.trim_end_matches([',', ';', ':', ' '])))
}

/// "1 answer", "2 answers".
pub(crate) fn count(n: usize, noun: &str) -> String {
    if n == 1 { format!("1 {noun}") } else { format!("{n} {noun}s") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn control_and_hidden_characters_are_written_out() {
        assert_eq!(clean("a\u{1b}[31mb\n\t\u{202e}c\u{7f}"), "a\\u{1b}[31mb\\n\\t\\u{202e}c\\u{7f}");
        assert_eq!(clean("Kühlbox «Ä» 冷蔵庫"), "Kühlbox «Ä» 冷蔵庫");
    }

    #[test]
    fn a_number_never_parts_from_its_unit() {
        for width in 1..40 {
            for line in wrap(&tie_numbers("raise it by 13 ft 6 in, load 410 kg (or 5 bar) at 30 % of 4 things"), width.max(10)) {
                assert!(
                    !line.ends_with("13")
                        && !line.ends_with("ft")
                        && !line.ends_with("410")
                        && !line.ends_with("(or 5")
                        && !line.ends_with("30"),
                    "{line:?}"
                );
            }
        }
        assert_eq!(wrap(&tie_numbers("of 4 things"), 6), ["of 4", "things"]);
    }

    #[test]
    fn leading_spaces_stay() {
        assert_eq!(tie_numbers("  a"), "  a");
        assert_eq!(tie_numbers(""), "");
    }

    #[test]
    fn cut_text_fits_also_with_wide_characters() {
        assert_eq!(cut("冷蔵庫の棚", 7), "冷蔵..");
        assert_eq!(cut("short", 5), "short");
        assert_eq!(cut_words("crane scale, or bathroom scale", 20), "crane scale, or ..");
        assert_eq!(cut_words("crane scale, or bathroom scale", 15), "crane scale ..");
        assert_eq!(cut_words("short", 5), "short");
        assert!(columns(&cut_words("冷蔵庫の棚 の", 9)) <= 9);
    }
}
