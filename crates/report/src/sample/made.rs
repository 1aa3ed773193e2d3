//! How the sample's pieces are made.

use basis::{Basis, BasisKind, Known};
use check::audit::{NextMeasurement, Note};
use check::baseline::EarlierFinding;
use check::finding::{Consequence, Finding, Measure, Need, Sense, Verdict, Where};
use check::remedy::{Also, Effort, Remedy};
use quantity::{Dimension, Num};
use rig_model::{Edit, EditOp, Free};

/// What an earlier audit says of a finding that is as it was.
pub(super) fn earlier(finding: &Finding) -> EarlierFinding {
    EarlierFinding {
        check: finding.check.clone(),
        about: finding.about.clone(),
        path: finding.path.clone(),
        case: finding.case.clone(),
        state: finding.state.clone(),
        verdict: finding.verdict,
        utilisation: finding.utilisation,
    }
}

pub(super) fn note(id: &str, text: &str, line: Option<u32>) -> Note {
    Note { id: id.to_owned(), text: text.to_owned(), place: line.map(|line| place(line, "accept[1]")) }
}

pub(super) fn next(path: &str, how: &str, settles: usize, consequence: Consequence) -> NextMeasurement {
    NextMeasurement { path: path.to_owned(), how: how.to_owned(), settles, consequence }
}

pub(super) fn place(line: u32, path: &str) -> Where {
    Where { line, column: 1, path: path.to_owned() }
}

pub(super) fn measure(value: f64, half: f64, dimension: Dimension) -> Measure {
    Measure {
        value: Num(value),
        unit: dimension.si_unit().to_owned(),
        dimension,
        low: Num(value - half),
        high: Num(value + half),
    }
}

pub(super) fn blank(check: &str, about: &str, state: Option<&str>, verdict: Verdict) -> Finding {
    Finding {
        check: check.to_owned(),
        about: about.to_owned(),
        path: format!("thing[{about}]"),
        case: None,
        state: state.map(str::to_owned),
        verdict,
        consequence: Consequence::Injury,
        demand_words: "carries".to_owned(),
        capacity_words: "may carry".to_owned(),
        demand: None,
        capacity: None,
        sense: None,
        margin: None,
        utilisation: None,
        sentence: None,
        basis: None,
        also_limits: Vec::new(),
        replaced: None,
        working: Vec::new(),
        needs: Vec::new(),
        remedies: Vec::new(),
        exhibits: Vec::new(),
        place: place(10, about),
        cautions: Vec::new(),
        accepted: None,
        since: None,
        proposals: Vec::new(),
    }
}

/// A load held at most at a rating without spread.
pub(super) fn load(check: &str, about: &str, state: &str, value: f64, half: f64, rated: f64) -> Finding {
    held(blank(check, about, Some(state), Verdict::Pass), (value, half), rated, Dimension::Mass, Sense::AtMost)
}

pub(super) fn held(mut finding: Finding, (value, half): (f64, f64), limit: f64, dimension: Dimension, sense: Sense) -> Finding {
    let (margin, used) = match sense {
        Sense::AtMost => (limit - value, value / limit),
        Sense::AtLeast => (value - limit, limit / value),
    };
    finding.verdict = match (margin - half >= 0.0, margin + half < 0.0) {
        (true, _) => Verdict::Pass,
        (_, true) => Verdict::Fail,
        _ => Verdict::Unsettled,
    };
    finding.demand = Some(measure(value, half, dimension));
    finding.capacity = Some(measure(limit, 0.0, dimension));
    finding.margin = Some(measure(margin, half, dimension));
    finding.sense = Some(sense);
    finding.utilisation = Some(Num(used));
    finding.basis = Some(Basis::data_plate("axle rating, from the data plate"));
    finding
}

pub(super) fn missing(check: &str, about: &str, state: Option<&str>, path: &str, how: &str) -> Finding {
    let mut finding = blank(check, about, state, Verdict::Missing);
    finding.needs = vec![Need { path: path.to_owned(), how: how.to_owned(), share: None }];
    finding
}

pub(super) fn practice() -> Basis {
    Basis::common_practice()
}

pub(super) fn regulation() -> Basis {
    Basis {
        kind: BasisKind::Regulation,
        title: "Invented Vehicle Weight Order".to_owned(),
        clause: Some("clause 4".to_owned()),
        edition: Some("2019".to_owned()),
        known: Known::FromMemory,
        seen: None,
    }
}

pub(super) fn need(path: &str, how: &str, share: f64) -> Need {
    Need { path: path.to_owned(), how: how.to_owned(), share: Some(Num(share)) }
}

pub(super) fn also(check: &str, about: &str, was: Verdict, is: Verdict) -> Also {
    Also {
        check: check.to_owned(),
        about: about.to_owned(),
        path: about.to_owned(),
        state: Some("travel-full".to_owned()),
        was,
        is,
        utilisation: None,
    }
}

pub(super) fn remedy(text: &str, effort: Effort, demand: f64, used: f64, also: Vec<Also>) -> Remedy {
    let edit =
        Edit { path: "body.front".to_owned(), op: EditOp::Set, from: Some(Free::from("2.1 m")), to: Some(Free::Number(-0.0)) };
    let worsens = also.iter().any(|also| also.is.rank() > also.was.rank());
    Remedy {
        text: text.to_owned(),
        effort,
        edits: vec![edit],
        demand: Some(Num(demand)),
        utilisation: Some(Num(used)),
        also,
        worsens,
    }
}
