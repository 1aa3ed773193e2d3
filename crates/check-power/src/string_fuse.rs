//! power/string-fuse: can the other strings burn one that is shorted?
//!
//! demand      1.25 times the short-circuit current of all other strings on the same controller, A; where each string has a
//!             fuse, the size of that fuse
//! capacity    highest series fuse by the panel's label, A
//! states      once for each panel entry
//! leaves out  the wires of a string (the wiring trade); panels with blocking diodes

use std::borrow::Cow;

use check::draft::has_reserve_under;
use check::edits::set;
use check::remedy::{Effort, Proposal};
use check::working::{figure, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, Holds, List, Scope, Words};
use physics::{strings, sun_facts};
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_model::Thing;
use rig_model::model::Panel;

use crate::feeds::{self, Feed};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/string-fuse"),
    question: Cow::Borrowed("Can the other strings of panels burn one that is shorted?"),
    words: Words::new("can be sent back", "bears"),
    consequence: Consequence::Injury,
    scope: Scope::Once,
    needs: List::Static(&["panel.isc"]),
    uses: List::Static(&[
        "panel.max_fuse",
        "panel.name",
        "panel.count",
        "panel.in_series",
        "panel.controller",
        "panel.string_fuse",
        "controller.name",
        "portable.name",
    ]),
    limits: List::Static(&[]),
    formula: List::Static(&[
        "sent back = 1.25 x Isc of all other strings on the same controller together",
        "over the highest fuse of the label each string wants a fuse of its own, no larger than the label says",
    ]),
    cautions: List::Static(&[
        "an overloaded string burns on the roof, over the bed, while the sun shines: no switch below stops it",
        "a fuse for panels is made for direct current and for the string's voltage in the cold; pull none under load",
        "local electrical code and a licensed electrician come before this arithmetic",
    ]),
};

/// Can the other strings burn one that is shorted?
#[derive(Debug)]
pub struct StringFuse;

impl Check for StringFuse {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        if let Some(gap) = feeds::gap(cx.rig()) {
            return vec![CARD.about(cx, "panels").at("panel").blocked(&gap)];
        }
        let feeds = feeds::feeds(cx.rig());
        let of =
            |(index, panel): (usize, &Panel)| answer(cx, index, panel, feeds.iter().find(|feed| feed.panels.contains(&index)));
        cx.rig().panel.iter().enumerate().map(of).collect()
    }
}

/// What stands beside one string of an entry.
struct Beside {
    /// How many strings.
    strings: u32,
    /// Their short-circuit currents together, A.
    amps: Estimate,
}

impl Beside {
    fn of(cx: &Context, index: usize, feed: Option<&Feed>) -> Result<Self, Gap> {
        let (mut all, mut parts) = (0.0, Vec::new());
        for at in feed.map_or(&[][..], |feed| &feed.panels) {
            let panel = cx.rig().panel.get(*at).ok_or_else(|| Gap::at("panel"))?;
            let strings = feeds::strings(panel);
            all += strings;
            // The string that this panel is in feeds no fault of its own, whichever entries it goes through.
            let others = if *at == index { strings - 1.0 } else { strings };
            if others != 0.0 {
                parts.push((others, cx.facts().power().told(&format!("{}.isc", panel.path()))?));
            }
        }
        let strings = (all - 1.0).max(0.0).round() as u32;
        Ok(Self { strings, amps: Estimate::weighted_sum(&parts) })
    }
}

fn answer(cx: &Context, index: usize, panel: &Panel, feed: Option<&Feed>) -> Finding {
    let path = panel.path();
    let begin = || -> Draft<'_> { CARD.about(cx, &panel.name).at(&path) };
    let told = |key: &str| cx.facts().power().told(&format!("{path}.{key}"));
    let beside = match Beside::of(cx, index, feed) {
        Ok(beside) => beside,
        Err(gap) => return begin().blocked(&gap),
    };
    if beside.strings == 0 {
        return begin().require(Holds::Yes, "there is no other string on its controller").done();
    }
    let name = "highest series fuse";
    let most = match told("max_fuse") {
        Ok(most) => most,
        Err(gap) => return alone_beside(cx, panel, &beside, begin(), &gap),
    };
    let held = [Held::plate(name, most.clone(), Dimension::Current)];
    if let Ok(fuse) = told("string_fuse") {
        let words = begin().words("is fused at", "bears a fuse of");
        let draft = words.compare(fuse, &held).sentence("each string has a fuse of its own");
        return draft.remedies(|_| fused(cx, panel, most.value(), Some(fuse.value())).into_iter().collect()).done();
    }
    let back = beside.amps.scale(sun_facts::panel().array_current);
    begin()
        .compare(&back, &held)
        .sentence(match beside.strings {
            1 => "by the one other string on its controller, if this one is shorted".to_owned(),
            others => format!("by {others} other strings on its controller, if this one is shorted"),
        })
        .working(|| {
            let amps = figure(beside.amps.value(), 2);
            [format!("{} x {amps} A = {} A", sun_facts::panel().array_current, number(strings::array_current(amps.get()), 2))]
        })
        .remedies(|_| ways_out(cx, panel, most.value()))
        .done()
}

/// One other string of no more current can be borne by any panel: it sends back what the panel makes itself.
fn alone_beside(cx: &Context, panel: &Panel, beside: &Beside, draft: Draft<'_>, gap: &Gap) -> Finding {
    let own = cx.facts().power().told(&format!("{}.isc", panel.path()));
    match own {
        Ok(own) if beside.strings == 1 && beside.amps.value() <= own.value() && panel.string_fuse.is_none() => draft
            .require(Holds::Yes, "one other string sends back no more than this one makes, even if its label names no fuse")
            .done(),
        _ => draft.blocked(gap),
    }
}

/// A fuse for each string: the largest that the label allows, where it bears the string's own current with room to spare.
fn fused(cx: &Context, panel: &Panel, most: f64, now: Option<f64>) -> Option<Proposal> {
    let isc = cx.facts().power().told(&format!("{}.isc", panel.path())).ok()?;
    // Twice the factor: once for bright clouds, once since a fuse does not carry its own rating for hours.
    let least = strings::array_current(strings::array_current(isc.value()));
    let sizes = rig_facts::tables::table("living/panel-fuse").into_iter().flat_map(|table| table.pairs("fuse", "number"));
    let fuse = sizes.map(|(_, size)| size).filter(|size| *size <= most && *size >= least).max_by(f64::total_cmp)?;
    Some(Proposal {
        text: format!("a fuse of {} A in each of the {} strings of {}", number(fuse, 0), feeds::strings(panel), panel.name),
        effort: Effort::PartsToBuy,
        edits: vec![set(format!("{}.string_fuse", panel.path()), now, fuse, Dimension::Current)],
    })
}

/// Fuses, or fewer strings.
fn ways_out(cx: &Context, panel: &Panel, most: f64) -> Vec<Proposal> {
    let mut ways: Vec<Proposal> = fused(cx, panel, most, None).into_iter().collect();
    let Ok(isc) = cx.facts().power().told(&format!("{}.isc", panel.path())) else { return ways };
    let fewer = |length: u32| {
        let others = (feeds::count(panel) / length).saturating_sub(1);
        has_reserve_under(most, &isc.scale(strings::back_current(f64::from(others) + 1.0, 1.0)))
    };
    // With other entries beside it, their strings count too: then a fuse is the way.
    let beside = |feed: &Feed| {
        feed.panels.len() > 1 && feed.panels.iter().any(|at| cx.rig().panel.get(*at).is_some_and(|one| one.name == panel.name))
    };
    let alone = !feeds::feeds(cx.rig()).iter().any(beside);
    let longer = feeds::other_lengths(panel).filter(|length| *length > feeds::in_series(panel) && fewer(*length)).min();
    ways.extend(longer.filter(|_| alone).map(|length| feeds::rewire(panel, length)));
    ways
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::first;
    use check::Verdict;

    #[test]
    fn the_worked_example_by_hand() {
        let of = |isc: f64, fuse: f64| {
            let rig = format!(
                "[[panel]]\nname = \"roof\"\ncount = 3\nisc = \"{isc} A\"\nmax_fuse = \"{fuse} A\"\n[[controller]]\nname = \"sun\"\n"
            );
            first(&StringFuse, &rig)
        };
        // Three strings of 5 A, fuse 15 A: 2 x 1.25 x 5 = 12.5 A, none is wanted. 14 A, 25 A: 35 A, one each.
        let held = of(5.0, 15.0);
        assert_eq!((held.verdict, held.demand.map(|demand| demand.value.0)), (Verdict::Pass, Some(12.5)));
        let over = of(14.0, 25.0);
        assert_eq!((over.verdict, over.demand.map(|demand| demand.value.0)), (Verdict::Fail, Some(35.0)));
        let texts: Vec<&str> = over.proposals.iter().map(|way| way.text.as_str()).collect();
        assert_eq!(texts, ["a fuse of 25 A in each of the 3 strings of roof", "wire the 3 panels of roof in series"]);
    }

    #[test]
    fn two_strings_want_no_label_and_three_do() {
        let of = |count: u32| {
            let rig = format!("[[panel]]\nname = \"roof\"\ncount = {count}\nisc = \"9 A\"\n[[controller]]\nname = \"sun\"\n");
            first(&StringFuse, &rig).verdict
        };
        assert_eq!((of(1), of(2), of(3)), (Verdict::Pass, Verdict::Pass, Verdict::Missing));
    }
}
