//! The audit for other programs.

use std::io;

use check::Audit;
use quantity::Num;
use serde::Serialize;
use serde_json::ser::{CompactFormatter, Formatter, PrettyFormatter, Serializer};

/// The audit as one JSON document, indented, with a line end behind it.
#[must_use]
pub fn render(audit: &Audit) -> String {
    written(audit, PrettyFormatter::new())
}

/// The audit on one line, with a line end behind it.
#[must_use]
pub fn line(audit: &Audit) -> String {
    written(audit, CompactFormatter)
}

/// The JSON Schema of the audit, indented, keys sorted, with a line end behind it.
#[must_use]
pub fn schema() -> String {
    written(schemars::schema_for!(Audit).as_value(), PrettyFormatter::new())
}

/// Anything as one JSON document, indented, with a line end behind it.
pub(crate) fn pretty(what: &impl Serialize) -> String {
    written(what, PrettyFormatter::new())
}

fn written(what: &impl Serialize, formatter: impl Formatter) -> String {
    let mut bytes = Vec::new();
    let outcome = what.serialize(&mut Serializer::with_formatter(&mut bytes, Figures(formatter)));
    let text = outcome.map_err(|why| why.to_string()).and_then(|()| String::from_utf8(bytes).map_err(|why| why.to_string()));
    // An audit is strings, numbers and lists; should that ever change, a program still gets JSON that says so.
    let mut text =
        text.unwrap_or_else(|why| serde_json::json!({ "format": check::audit::FORMAT, "errors": [{ "text": why }] }).to_string());
    text.push('\n');
    text
}

/// Every number has at most nine significant digits and is never -0, also one that is not a `Num`.
struct Figures<F>(F);

macro_rules! pass_on {
    ($($name:ident($($arg:ident: $of:ty),*);)*) => {$(
        fn $name<W: ?Sized + io::Write>(&mut self, writer: &mut W $(, $arg: $of)*) -> io::Result<()> {
            self.0.$name(writer $(, $arg)*)
        }
    )*};
}

impl<F: Formatter> Formatter for Figures<F> {
    fn write_f64<W: ?Sized + io::Write>(&mut self, writer: &mut W, value: f64) -> io::Result<()> {
        self.0.write_f64(writer, Num(value).rounded())
    }

    pass_on! {
        begin_array();
        end_array();
        begin_array_value(first: bool);
        end_array_value();
        begin_object();
        end_object();
        begin_object_key(first: bool);
        end_object_key();
        begin_object_value();
        end_object_value();
    }
}

#[cfg(test)]
mod tests {
    use serde_json::Value;

    use super::*;
    use crate::sample;

    fn numbers(value: &Value, all: &mut Vec<f64>) {
        match value {
            Value::Number(number) => all.push(number.as_f64().unwrap()),
            Value::Array(items) => items.iter().for_each(|item| numbers(item, all)),
            Value::Object(fields) => fields.values().for_each(|field| numbers(field, all)),
            _ => {}
        }
    }

    fn odd() -> Audit {
        let mut audit = sample::audit();
        audit.findings[0].utilisation = Some(Num(f64::NAN));
        audit.findings[1].utilisation = Some(Num(-0.0));
        audit.inputs[0].value = Num(7017.482517482517);
        audit.inputs[0].low = Num(f64::NEG_INFINITY);
        audit
    }

    #[test]
    fn numbers_have_nine_figures_and_are_never_minus_zero_or_not_a_number() {
        let text = render(&odd());
        assert!(text.contains("7017.48252") && !text.contains("7017.482517"));
        assert!(!text.contains("NaN") && !text.contains("inf"));
        let mut all = Vec::new();
        numbers(&serde_json::from_str(&text).unwrap(), &mut all);
        assert!(all.len() > 100);
        for number in all {
            assert!(number.is_finite() && (number != 0.0 || number.is_sign_positive()));
            assert_eq!(number, Num(number).rounded(), "{number} has more than nine figures");
        }
    }

    #[test]
    fn a_number_that_is_no_num_is_rounded_too() {
        assert_eq!(written(&vec![-0.0_f64, 1.0 / 3.0, f64::NAN], CompactFormatter), "[0.0,0.333333333,null]\n");
    }

    #[test]
    fn both_forms_say_the_same_and_one_is_one_line() {
        for audit in [sample::audit(), sample::empty(), sample::unread()] {
            let (pretty, one) = (render(&audit), line(&audit));
            assert_eq!(one.matches('\n').count(), 1);
            assert!(one.ends_with("}\n") && pretty.ends_with("}\n"));
            let read = |text: &str| serde_json::from_str::<Value>(text).unwrap();
            assert_eq!(read(&pretty), read(&one));
        }
    }

    #[test]
    fn as_many_findings_come_out_as_the_summary_counts() {
        let value: Value = serde_json::from_str(&line(&sample::audit())).unwrap();
        let findings = value["findings"].as_array().unwrap();
        assert_eq!(findings.len() as u64, value["summary"]["answers"].as_u64().unwrap());
        for (verdict, field) in [
            ("pass", "pass"),
            ("fail", "fail"),
            ("unsettled", "unsettled"),
            ("missing", "missing"),
            ("not-applicable", "not_applicable"),
        ] {
            let counted = findings.iter().filter(|finding| finding["verdict"] == verdict).count();
            assert_eq!(counted as u64, value["summary"][field].as_u64().unwrap(), "{verdict}");
        }
    }

    #[test]
    fn the_schema_names_every_field_of_the_document_in_sorted_order() {
        let schema: Value = serde_json::from_str(&schema()).unwrap();
        let document: Value = serde_json::from_str(&line(&sample::audit())).unwrap();
        let names = |value: &Value| value.as_object().unwrap().keys().cloned().collect::<Vec<_>>();
        assert_eq!(names(&schema["properties"]), names(&document));
        let text = super::schema();
        let at = |key: &str| text.find(&format!("\n    \"{key}\": {{")).unwrap();
        assert!(at("codes") < at("date") && at("date") < at("rig"));
    }
}
