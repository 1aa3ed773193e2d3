//! Breaches of syntax, in plain words, and the way from text to tree.

use jsonc_parser::errors::ParseErrorKind;
use jsonc_parser::{CollectOptions, ParseOptions, ParseStringErrorKind};

use crate::lines::{Lines, Place};
use crate::problem::{Problem, shorten};
use crate::tree::{self, Kind, Node, Span};

/// What came out of a text.
pub(crate) struct Parsed {
    pub(crate) root: Node,
    pub(crate) faults: Vec<SyntaxFault>,
    /// Parts of the file may be lost.
    pub(crate) broken: bool,
}

/// One breach of syntax at one place.
#[derive(Debug)]
pub(crate) struct SyntaxFault {
    pub(crate) span: Span,
    sentence: String,
    found: Option<String>,
    expected: Option<String>,
    write: Option<String>,
}

impl SyntaxFault {
    pub(crate) fn at_place(self, text: &str, lines: &Lines) -> Problem {
        Problem {
            place: lines.place(text, self.span.start),
            path: String::new(),
            subject: "the file".into(),
            sentence: self.sentence,
            found: self.found,
            expected: self.expected,
            write: self.write,
        }
    }
}

/// Takes TOML apart, past its breaches of syntax.
pub(crate) fn toml(body: &str, shift: usize) -> Parsed {
    let (table, errors) = toml::de::DeTable::parse_recoverable(body);
    let mut faults: Vec<SyntaxFault> = errors.iter().map(|error| reword_toml(error, body, shift)).collect();
    faults.sort_by_key(|fault| fault.span);
    if faults.len() > 1 {
        // One slip of the pen makes the parser stumble several times in a line; the first place is the useful one.
        let lines = Lines::new(body);
        let line = |fault: &SyntaxFault| lines.place(body, fault.span.start.saturating_sub(shift)).line;
        faults.dedup_by(|later, earlier| line(later) == line(earlier));
    }
    Parsed { root: tree::from_toml(&table, body, shift), broken: !faults.is_empty(), faults }
}

/// toml's own message to ours: what it contains, what is the matter, what is wanted.
const TOML_WORDS: &[(&str, &str, Option<&str>)] = &[
    (
        "duplicate key",
        "this key is there twice in the same table",
        Some("each key once; a list of tables has [[NAME]] over each"),
    ),
    ("string values must be quoted", "text stands here without quotes, or the value is missing", Some("text in double quotes")),
    ("missing value", "the value is missing", Some("a value after =, such as \"1200 kg\"")),
    ("key with no value", "a key stands here without a value", Some("KEY = VALUE")),
    ("missing assignment between key-value pairs", "there is no = after the key", Some("KEY = VALUE")),
    ("extra assignment", "there is one = too many", Some("KEY = VALUE, one to a line")),
    ("extra `=`", "there is one = too many", Some("KEY = VALUE, one to a line")),
    ("missing comma between array elements", "a comma is missing between two values of a list", Some("[\"a\", \"b\"]")),
    ("missing comma between key-value pairs", "a comma is missing between two keys", Some("{ a = 1, b = 2 }")),
    ("extra comma", "there is one comma too many", None),
    ("unclosed inline table", "a { is never closed", Some("} at the end of the table")),
    ("unclosed array table", "a table's header is never closed", Some("[[NAME]]")),
    ("unclosed array", "a [ is never closed", Some("] at the end of the list")),
    ("unclosed table", "a table's header is never closed", Some("[NAME]")),
    ("missing table open", "a table's header has no [", Some("[NAME]")),
    ("missing opening quote", "a quote is missing", Some("text in double quotes")),
    ("missing array opening", "a [ is missing", None),
    ("missing inline table opening", "a { is missing", None),
    (
        "invalid basic string",
        "a text is never closed, or holds a character that may not stand in it",
        Some("a closing double quote on the same line"),
    ),
    (
        "invalid literal string",
        "a text is never closed, or holds a character that may not stand in it",
        Some("a closing quote on the same line"),
    ),
    ("invalid multi-line", "a text over several lines is never closed", Some("three closing quotes")),
    ("escape", "a backslash is followed by something it cannot stand before", Some("\\\\ for a backslash, \\\" for a quote")),
    (
        "invalid unquoted key",
        "a key has a character that needs quotes",
        Some("\"KEY WITH BLANKS\" = VALUE, or letters, digits, _ and -"),
    ),
    ("unquoted keys cannot be empty", "a key is missing before =", Some("KEY = VALUE")),
    ("missing key", "a key is missing", Some("KEY = VALUE")),
    ("dotted key", "this key is a value already and cannot have keys of its own", None),
    ("carriage return", "a line ends with a carriage return alone", Some("lines that end with LF or CR LF")),
    ("recur", "tables or lists lie too deep in each other", None),
    ("leading zero", "a number begins with a zero too many", None),
    ("`_` may only go between digits", "an underline stands at the end of a number", None),
    ("numeric sign", "a number has a sign that does not belong there", None),
    ("sign", "a number has a sign that does not belong there", None),
    ("radix", "a number's prefix is not understood", Some("plain decimal digits")),
    ("unexpected content", "there is something after the value that does not belong there", Some("a new line after each value")),
    (
        "unexpected key or value",
        "something stands here that is neither a key nor a table's header",
        Some("KEY = VALUE, [NAME] or [[NAME]]"),
    ),
    (
        "key-value pair",
        "something stands here that is neither a key nor a table's header",
        Some("KEY = VALUE, [NAME] or [[NAME]]"),
    ),
    ("inline table element", "something stands in { } that is no KEY = VALUE", Some("{ a = 1, b = 2 }")),
    ("comment", "a comment holds a character that may not stand in it", None),
    ("unicode", "a \\u is not followed by a character's number", None),
    ("invalid value", "this is no value", Some("text in double quotes, a number, true, false, a list or a table")),
];

fn reword_toml(error: &toml::de::Error, body: &str, shift: usize) -> SyntaxFault {
    let message = error.message();
    // The parser gives up on too much depth without a place: the most nested line is the one.
    let span = error.span().filter(|span| span.start > 0 || !message.contains("recur")).unwrap_or_else(|| deepest_line(body));
    let known = TOML_WORDS.iter().find(|(part, _, _)| message.contains(part));
    let (sentence, expected) =
        known.map_or(("this line does not follow the rules of TOML", None), |(_, words, wanted)| (*words, *wanted));
    SyntaxFault {
        found: rest_of_line(body, span.start),
        span: Span { start: span.start + shift, end: span.end + shift },
        sentence: sentence.into(),
        expected: expected.map(str::to_owned),
        write: None,
    }
}

/// The line with the most marks that nest.
fn deepest_line(text: &str) -> std::ops::Range<usize> {
    let depth = |line: &str| line.bytes().filter(|byte| matches!(byte, b'.' | b'[' | b'{')).count();
    let mut at = 0;
    let lines = text.split_inclusive('\n').map(|line| {
        let start = at;
        at += line.len();
        (start, depth(line))
    });
    // The first of equals: later lines may only be what the first one led to.
    let (start, _) = lines.fold((0, 0), |most, line| if line.1 > most.1 { line } else { most });
    start..start
}

/// The line from this byte on, to show what stands there.
fn rest_of_line(text: &str, byte: usize) -> Option<String> {
    let start = text.get(..byte)?.rfind('\n').map_or(0, |newline| newline + 1);
    let line = text.get(start..)?.lines().next()?.trim();
    (!line.is_empty()).then(|| shorten(line))
}

/// Takes JSON apart, strictly. After a breach of syntax there is no tree: the parser does not go on.
pub(crate) fn json(body: &str, shift: usize) -> Parsed {
    let strict = ParseOptions {
        allow_comments: false,
        allow_loose_object_property_names: false,
        allow_trailing_commas: false,
        allow_missing_commas: false,
        allow_single_quoted_strings: false,
        allow_hexadecimal_numbers: false,
        allow_unary_plus_numbers: false,
        allow_bare_decimal_point_numbers: false,
        allow_non_finite_numbers: false,
        allow_extended_string_escapes: false,
    };
    let nothing = Node::table(Span::default(), Vec::new());
    let fault = |span: Span, sentence: &str, found: Option<String>, expected: &str| SyntaxFault {
        span,
        sentence: sentence.into(),
        found,
        expected: Some(expected.into()),
        write: None,
    };
    let value = match jsonc_parser::parse_to_ast(body, &CollectOptions::default(), &strict) {
        Ok(parsed) => parsed.value,
        Err(error) => {
            let range = error.range();
            let (sentence, expected) = reword_json(error.kind());
            let span = Span { start: range.start + shift, end: range.end + shift };
            let faults = vec![fault(span, sentence, rest_of_line(body, range.start), expected)];
            return Parsed { root: nothing, faults, broken: true };
        }
    };
    let Some(value @ jsonc_parser::ast::Value::Object(_)) = value else {
        let faults = vec![fault(Span { start: shift, end: shift }, "the file holds no table", None, "{ ... }")];
        return Parsed { root: nothing, faults, broken: true };
    };
    let mut twice = Vec::new();
    let root = tree::from_json(&value, shift, &mut twice);
    let mut faults: Vec<SyntaxFault> = twice
        .into_iter()
        .map(|(span, key)| {
            let found = Some(format!("\"{}\"", shorten(&key)));
            fault(span, "this key is there twice in the same table", found, "each key once")
        })
        .collect();
    let mut nothings = Vec::new();
    nulls(&root, &mut nothings);
    let nothing_there = |span| fault(span, "null says nothing", Some("null".into()), "a value, or no key at all");
    faults.extend(nothings.into_iter().map(nothing_there));
    Parsed { root, faults, broken: false }
}

/// Places of all nulls. Nesting is bounded by the parser.
fn nulls(node: &Node, found: &mut Vec<Span>) {
    if matches!(node.kind, Kind::Null) {
        found.push(node.span);
    }
    node.entries().iter().for_each(|entry| nulls(&entry.value, found));
    node.items().iter().for_each(|item| nulls(item, found));
}

fn reword_json(kind: &ParseErrorKind) -> (&'static str, &'static str) {
    use ParseErrorKind as K;
    match kind {
        K::CommentsNotAllowed | K::UnterminatedCommentBlock => ("JSON has no comments", "the file without them, or TOML"),
        K::ExpectedColonAfterObjectKey => ("there is no colon after the key", "\"KEY\": VALUE"),
        K::ExpectedObjectValue => ("the value is missing", "\"KEY\": VALUE"),
        K::ExpectedStringObjectProperty => ("a key stands without quotes", "\"KEY\": VALUE"),
        K::ExpectedComma => ("a comma is missing", "a comma between two values"),
        K::TrailingCommasNotAllowed | K::UnexpectedComma => ("there is one comma too many", "a comma only between two values"),
        K::MultipleRootJsonValues => ("there is something after the end of the table", "one { ... } alone"),
        K::SingleQuotedStringsNotAllowed => ("text stands in single quotes", "text in double quotes"),
        K::String(ParseStringErrorKind::UnterminatedStringLiteral) => ("a text is never closed", "a closing double quote"),
        K::String(_) => ("a backslash is followed by something it cannot stand before", "\\\\ for a backslash, \\\" for a quote"),
        K::UnterminatedArray => ("a [ is never closed", "] at the end of the list"),
        K::UnterminatedObject => ("a { is never closed", "} at the end of the table"),
        K::UnexpectedCloseBrace => ("there is one } too many", "a } for each { before it"),
        K::UnexpectedCloseBracket => ("there is one ] too many", "a ] for each [ before it"),
        K::UnexpectedColon => ("there is a colon too many", "\"KEY\": VALUE"),
        K::NestingDepthExceeded => ("tables or lists lie too deep in each other", "a rig file, which is a few levels deep"),
        K::NonFiniteNumbersNotAllowed => ("this is not a number that can be counted with", "a plain number"),
        K::HexadecimalNumbersNotAllowed
        | K::UnaryPlusNumbersNotAllowed
        | K::BareDecimalPointNumbersNotAllowed
        | K::ExpectedDigit
        | K::ExpectedDigitFollowingNegativeSign
        | K::ExpectedPlusMinusOrDigitInNumberLiteral => {
            ("a number is not written as JSON wants it", "a number such as 152 or 0.5")
        }
        K::UnexpectedToken | K::UnexpectedTokenInObject | K::UnexpectedWord => {
            ("something stands here that does not belong in JSON", "text in double quotes, a number, true, false, null, [ or {")
        }
    }
}

/// The problem of a file that is no text.
pub(crate) fn not_utf8(bytes: &[u8], good: usize) -> Problem {
    let text = bytes.get(..good).and_then(|good| std::str::from_utf8(good).ok()).unwrap_or("");
    let byte = bytes.get(good).copied().unwrap_or(0);
    let span = Span { start: good, end: good };
    SyntaxFault {
        span,
        sentence: "the file is not text in UTF-8".into(),
        found: Some(format!("a byte 0x{byte:02x}, byte {} of the file", good + 1)),
        expected: Some("a file saved as UTF-8".into()),
        write: None,
    }
    .at_place(text, &Lines::new(text))
}

/// The problem of a file that is too large.
pub(crate) fn too_large(bytes: usize) -> Problem {
    Problem {
        place: Place { line: 1, column: 1 },
        path: String::new(),
        subject: "the file".into(),
        sentence: "the file is too large to be a rig".into(),
        found: Some(format!("{bytes} bytes")),
        expected: Some(format!("at most {} bytes", crate::MAX_BYTES)),
        write: None,
    }
}
