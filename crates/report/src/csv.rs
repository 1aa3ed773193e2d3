//! The audit as a table with commas: a row an answer, then what could not run, problems of the file, and remarks.
//!
//! Text stands in quotes, numbers bare, in SI units; rows end with a line feed. A cell that a spreadsheet would take for
//! a formula has an apostrophe before it, and control characters are written out.

use check::audit::InputError;
use check::{Audit, Finding, Measure};
use quantity::Num;

use crate::machine;
use crate::text::clean;

/// The columns.
pub const COLUMNS: [&str; 30] = [
    "file",
    "kind",
    "check",
    "about",
    "path",
    "case",
    "state",
    "verdict",
    "consequence",
    "demand",
    "demand_low",
    "demand_high",
    "capacity",
    "capacity_low",
    "capacity_high",
    "margin",
    "margin_low",
    "margin_high",
    "unit",
    "utilisation",
    "basis",
    "said",
    "needs",
    "way_out",
    "accepted",
    "since",
    "worse",
    "line",
    "column",
    "rig",
];

/// All audits as one table with a row of names. The first column tells the file.
#[must_use]
pub fn render(audits: &[Audit]) -> String {
    let mut out = COLUMNS.join(",");
    out.push('\n');
    for audit in audits {
        audit.findings.iter().for_each(|finding| out.push_str(&Row::of(audit, "finding").answer(finding).line()));
        for fault in &audit.faults {
            out.push_str(&Row::of(audit, "fault").text("check", &fault.check).text("said", &fault.text).line());
        }
        audit.errors.iter().for_each(|error| out.push_str(&Row::of(audit, "error").error(error).line()));
        for note in &audit.notes {
            let row = Row::of(audit, "note").text("check", &note.id).text("said", &note.text);
            let place = note.place.as_ref().map_or((0, 0), |place| (place.line, place.column));
            out.push_str(&row.place(place).line());
        }
    }
    out
}

/// One row: cells by column, those not told empty.
#[derive(Debug)]
struct Row(Vec<(&'static str, String)>);

impl Row {
    fn of(audit: &Audit, kind: &str) -> Self {
        Self(Vec::new()).text("file", &audit.file).text("kind", kind).text("rig", &audit.rig)
    }

    fn text(mut self, column: &'static str, text: &str) -> Self {
        self.0.push((column, quoted(text)));
        self
    }

    fn words(self, column: &'static str, text: Option<&str>) -> Self {
        match text {
            Some(text) => self.text(column, text),
            None => self,
        }
    }

    fn number(mut self, column: &'static str, number: Option<Num>) -> Self {
        self.0.extend(number.and_then(machine::figure).map(|number| (column, number.to_string())));
        self
    }

    fn measure(self, [value, low, high]: [&'static str; 3], measure: Option<&Measure>) -> Self {
        let row = self.number(value, measure.map(|m| m.value));
        row.number(low, measure.map(|m| m.low)).number(high, measure.map(|m| m.high))
    }

    fn place(mut self, (line, column): (u32, u32)) -> Self {
        if line > 0 {
            self.0.extend([("line", line.to_string()), ("column", column.to_string())]);
        }
        self
    }

    fn answer(self, finding: &Finding) -> Self {
        let needs: Vec<&str> = finding.needs.iter().map(|need| need.path.as_str()).collect();
        let unit = finding.capacity.as_ref().or(finding.demand.as_ref()).map(|measure| measure.unit.as_str());
        self.text("check", &finding.check)
            .text("about", &finding.about)
            .text("path", &finding.path)
            .words("case", finding.case.as_deref())
            .words("state", finding.state.as_deref())
            .text("verdict", finding.verdict.word())
            .text("consequence", finding.consequence.word())
            .measure(["demand", "demand_low", "demand_high"], finding.demand.as_ref())
            .measure(["capacity", "capacity_low", "capacity_high"], finding.capacity.as_ref())
            .measure(["margin", "margin_low", "margin_high"], finding.margin.as_ref())
            .words("unit", unit)
            .number("utilisation", finding.utilisation)
            .words("basis", finding.basis.as_ref().map(basis::Basis::line).as_deref())
            .words("said", finding.sentence.as_deref())
            .words("needs", (!needs.is_empty()).then(|| needs.join("; ")).as_deref())
            .words("way_out", finding.remedies.first().map(|remedy| remedy.text.as_str()))
            .words("accepted", finding.accepted.as_ref().map(machine::accepted).as_deref())
            .words("since", finding.since.map(|since| since.was.map_or("new", check::Verdict::word)))
            .words("worse", finding.since.map(|since| if since.worse { "yes" } else { "no" }))
            .place((finding.place.line, finding.place.column))
    }

    fn error(self, error: &InputError) -> Self {
        self.text("about", &error.subject).text("said", &machine::error(error)).place((error.line, error.column))
    }

    fn line(&self) -> String {
        let cell = |name: &&str| self.0.iter().find(|(column, _)| column == name).map_or("", |(_, cell)| cell);
        let mut line = COLUMNS.iter().map(cell).collect::<Vec<_>>().join(",");
        line.push('\n');
        line
    }
}

/// Signs that make a spreadsheet take a cell for a formula, also as the wide forms that some take for them.
const FORMULA: [char; 8] = ['=', '+', '-', '@', '＝', '＋', '－', '＠'];

/// A text in quotes.
fn quoted(text: &str) -> String {
    let text = clean(text);
    let guard = if text.trim_start().starts_with(FORMULA) { "'" } else { "" };
    format!("\"{guard}{}\"", text.replace('"', "\"\""))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    #[test]
    fn formulas_and_control_characters_are_disarmed() {
        assert_eq!(quoted("=1+1"), "\"'=1+1\"");
        assert_eq!(quoted("  @x"), "\"'  @x\"");
        assert_eq!(quoted("＝x"), "\"'＝x\"");
        assert_eq!(quoted("-"), "\"'-\"");
        assert_eq!(quoted("a\t=b\r\n\u{1b}\"c\""), "\"a\\t=b\\r\\n\\u{1b}\"\"c\"\"\"");
        assert_eq!(quoted("\t=b"), "\"\\t=b\"");
    }

    #[test]
    fn every_cell_has_a_column_and_every_column_a_name_of_its_own() {
        let mut names = COLUMNS.to_vec();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), COLUMNS.len());
        let audit = sample::since();
        for finding in &audit.findings {
            for (column, _) in Row::of(&audit, "finding").answer(finding).0 {
                assert!(COLUMNS.contains(&column), "{column}");
            }
        }
    }

    #[test]
    fn a_negative_number_stays_a_number() {
        let mut audit = sample::audit();
        audit.findings.retain(|finding| finding.check == "weight/axle-load" && finding.about == "front axle");
        let text = render(&[audit]);
        // 5200 - 5347.2 kg, worked by hand.
        assert!(text.contains(",-147.2,"), "{text}");
    }
}
