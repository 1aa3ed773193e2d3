//! Lines of a given width: labels in one column, what they say in the next, wrapped under its own column.

use anstyle::{AnsiColor, Style};
use check::finding::Where;

use super::{Look, WIDTHS};
use crate::text;

/// Column where a block's labels begin.
const LABELS: usize = 4;
/// Columns a label takes, with the space behind it.
const LABEL: usize = 15;
/// Longest label; a verb longer than this is cut.
const LONGEST_LABEL: usize = 24;
/// Columns the value takes where remarks follow it, and the space behind.
const VALUE: usize = 7;
const GAP: usize = 3;
/// Narrowest column that text is wrapped in; below it a long label would leave nothing.
const NARROWEST: usize = 20;

/// What weight a word has. Nothing is said by weight alone: each of these words also stands there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Weight {
    /// `fail`.
    Fail,
    /// `unsettled`, `missing`.
    Open,
    /// `careful`, `could not run`.
    Careful,
    /// What lies beyond the limit: the one hue.
    Beyond,
}

impl Weight {
    fn style(self, hue: bool) -> Style {
        match self {
            Self::Fail => Style::new().bold().invert(),
            Self::Open => Style::new().bold().underline(),
            Self::Careful => Style::new().bold(),
            Self::Beyond if hue => Style::new().fg_color(Some(AnsiColor::Magenta.into())),
            Self::Beyond => Style::new(),
        }
    }
}

/// The page in the making.
pub(crate) struct Paper {
    look: Look,
    width: usize,
    file: String,
    out: String,
}

/// One line of a block: label, value, remark.
pub(crate) struct Row {
    pub(crate) label: String,
    pub(crate) value: String,
    pub(crate) remark: String,
    /// Weight of the value.
    pub(crate) weight: Option<Weight>,
}

impl Row {
    pub(crate) fn new(label: &str, value: String, remark: String) -> Self {
        Self { label: text::cut(&text::clean(label), LONGEST_LABEL), value, remark, weight: None }
    }
}

impl Paper {
    pub(crate) fn new(look: &Look, file: &str) -> Self {
        Self { look: *look, file: text::clean(file), width: look.width.clamp(*WIDTHS.start(), *WIDTHS.end()), out: String::new() }
    }

    pub(crate) fn width(&self) -> usize {
        self.width
    }

    pub(crate) fn look(&self) -> &Look {
        &self.look
    }

    /// Columns behind a label.
    pub(crate) fn room(&self) -> usize {
        self.width.saturating_sub(LABELS + LABEL)
    }

    /// "rig.toml:10:1", the form editors open; empty where there is no place.
    pub(crate) fn place(&self, place: &Where) -> String {
        if place.line == 0 { String::new() } else { format!("{}:{}:{}", self.file, place.line, place.column) }
    }

    pub(crate) fn done(self) -> String {
        self.out
    }

    /// The text with its weight, if weights are set.
    pub(crate) fn paint(&self, weight: Weight, text: &str) -> String {
        let style = weight.style(self.look.hue);
        if !self.look.styled || text.is_empty() || style == Style::new() {
            return text.to_owned();
        }
        format!("{style}{text}{style:#}")
    }

    /// A line as it is.
    pub(crate) fn line(&mut self, line: &str) {
        self.out.push_str(line.trim_end());
        self.out.push('\n');
    }

    /// An empty line; never two, never at the top.
    pub(crate) fn blank(&mut self) {
        if !self.out.is_empty() && !self.out.ends_with("\n\n") {
            self.out.push('\n');
        }
    }

    /// A heading with its space around.
    pub(crate) fn heading(&mut self, heading: &str) {
        self.blank();
        self.line(heading);
        self.blank();
    }

    /// Text without a label, wrapped under its own column.
    pub(crate) fn running(&mut self, indent: usize, text: &str) {
        self.hung(&" ".repeat(indent), indent, text);
    }

    /// A label and what it says.
    pub(crate) fn labelled(&mut self, label: &str, text: &str) {
        let pad = " ".repeat(LABEL.saturating_sub(text::columns(label)).max(2));
        let column = LABELS + text::columns(label) + pad.len();
        let strong = matches!(label, "careful" | "could not run");
        let label = if strong { self.paint(Weight::Careful, label) } else { label.to_owned() };
        self.hung(&format!("{}{label}{pad}", " ".repeat(LABELS)), column, text);
    }

    /// Rows whose values stand under each other, right-aligned, with the remarks in a column of their own.
    pub(crate) fn rows(&mut self, rows: &[Row]) {
        let widest = |of: fn(&Row) -> &String| rows.iter().map(|row| text::columns(of(row))).max().unwrap_or(0);
        let label_width = (widest(|row| &row.label) + 2).max(LABEL);
        let value_width = widest(|row| &row.value);
        for row in rows {
            let label = format!("{}{}", row.label, " ".repeat(label_width - text::columns(&row.label)));
            let shift = " ".repeat(value_width - text::columns(&row.value));
            let value = row.weight.map_or_else(|| row.value.clone(), |weight| self.paint(weight, &row.value));
            let gap = " ".repeat(GAP + VALUE.saturating_sub(value_width));
            let column = LABELS + label_width + value_width + gap.len();
            let lead = format!("{}{label}{shift}{value}{gap}", " ".repeat(LABELS));
            self.hung(&lead, column, &row.remark);
        }
    }

    /// The title of a block: number, verdict, subject, and its place at the right; the place gets a line of its own
    /// where both do not fit.
    pub(crate) fn title(&mut self, number: Option<usize>, verdict: &str, weight: Option<Weight>, title: &str, place: &str) {
        let number = number.map_or_else(|| "  ".to_owned(), |n| format!("{n:>2}"));
        let painted = weight.map_or_else(|| verdict.to_owned(), |weight| self.paint(weight, verdict));
        let lead = format!("{number}  {painted}  ");
        let column = number.len() + verdict.len() + 4;
        let free = self.width.saturating_sub(column + text::columns(title));
        if place.is_empty() || free < text::columns(place) + 2 {
            self.hung(&lead, column, title);
            if !place.is_empty() {
                self.running(LABELS, place);
            }
        } else {
            let gap = " ".repeat(free - text::columns(place));
            self.line(&format!("{lead}{title}{gap}{place}"));
        }
    }

    fn hung(&mut self, lead: &str, column: usize, text: &str) {
        let room = self.width.saturating_sub(column);
        if room < NARROWEST && !text.is_empty() {
            self.line(lead);
            for line in text::wrap(text, self.width.saturating_sub(LABELS + 2)) {
                self.line(&format!("{}{line}", " ".repeat(LABELS + 2)));
            }
            return;
        }
        let mut lead = lead.to_owned();
        for line in text::wrap(text, room) {
            self.line(&format!("{lead}{line}"));
            lead = " ".repeat(column);
        }
    }
}
