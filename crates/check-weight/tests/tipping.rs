//! What the checks of tipping say beside their verdict.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

mod support;

mod trade {
    pub(crate) use check_weight::{checks, limits};
}

use check::{Context, Finding};
use rig_model::{Edit, EditOp, Free};
use support::{context, registry};

const NEAR: &str = include_str!("rigs/roll-stability/near-the-limit.toml");

fn threshold(cx: &Context) -> Finding {
    let registry = registry();
    let findings = registry.find("weight/roll-stability").unwrap().run(cx);
    findings.into_iter().find(|finding| finding.case.as_deref() == Some("threshold")).unwrap()
}

/// The reading of pads under the wheels of the low side, the other side on planks 0.2 m high, of a rig of 13200 kg whose
/// centre of gravity is 2.0182 m high over a track of 1.94 m: half the mass, and
/// 13200 x 2.0182 x 0.2 / (1.94 x square root of (1.94^2 - 0.2^2)) = 1423.2 kg more.
fn planks() -> Vec<Edit> {
    let entry = [
        ("name", "planks"),
        ("state", "loaded"),
        ("side", "right"),
        ("plank", "0.2 m +- 2 mm"),
        ("reading", "8023 kg"),
        ("error", "40 kg"),
    ];
    let table = entry.into_iter().map(|(key, text)| (key.to_owned(), Free::Text(text.to_owned()))).collect();
    vec![Edit { path: "weighing".to_owned(), op: EditOp::Add, from: None, to: Some(Free::Table(table)) }]
}

#[test]
fn an_unsettled_threshold_says_to_measure_first_and_the_measuring_helps() {
    let cx = context("near", NEAR);
    let before = threshold(&cx);
    assert!(before.sentence.as_deref().unwrap().starts_with("measure first: put one side on planks 0.2 m"));
    assert!(before.needs.iter().any(|need| need.path == "chassis.centre_height"), "{:?}", before.needs);
    // Not `with`: that answers what a change of the rig does, with the tickets as they were.
    let (document, rig) = {
        let document = cx.document().with(&planks()).unwrap();
        let (rig, problems) = document.read();
        assert!(problems.is_empty(), "{problems:?}");
        (document, rig)
    };
    let book = std::sync::Arc::new(check::LimitBook::new(check_weight::limits()));
    let measured = Context::new(document.into(), rig.into(), book, support::TODAY);
    assert!(measured.facts().tickets().adopted);
    let after = threshold(&measured);
    let (was, now) = (before.demand.unwrap(), after.demand.unwrap());
    assert!(now.tolerance() < was.tolerance(), "{} then {}", was.tolerance(), now.tolerance());
    assert!(
        after.needs.iter().all(|need| need.path != "chassis.centre_height" || need.share.unwrap().0 < 0.2),
        "{:?}",
        after.needs
    );
}

/// A way out leaves room, so that the next small thing loaded does not break it again.
#[test]
fn a_way_out_aims_below_the_limit() {
    let registry = registry();
    for (id, text) in [
        ("weight/roll-stability", include_str!("rigs/roll-stability/tips.toml")),
        ("weight/side-slope", include_str!("rigs/side-slope/too-high.toml")),
        ("weight/cornering", include_str!("rigs/cornering/too-high.toml")),
        ("weight/grade", include_str!("rigs/grade/tail-heavy.toml")),
        ("weight/ground-angles", include_str!("rigs/ground-angles/touches.toml")),
    ] {
        let (cx, check) = (context(id, text), registry.find(id).unwrap());
        let mut tried = 0;
        for finding in check.run(&cx) {
            for proposal in &finding.proposals {
                let edited = cx.with(&proposal.edits).unwrap();
                let after = check.run(&edited);
                let used = support::same(&after, &finding).unwrap().utilisation.unwrap().0;
                tried += 1;
                assert!(used <= check::draft::GOAL + 1e-9, "{id}: {}: {used}", proposal.text);
            }
        }
        assert!(tried > 0, "{id} proposes nothing");
    }
}
