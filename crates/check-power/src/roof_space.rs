//! power/roof-space: do the panels fit on the roof, and can one still walk there?
//!
//! demand      the narrowest clear strip of a panel: to the roof's edge, or to what lies beside it, m; case "walkway": the
//!             strip to walk on, m
//! capacity    what the owner wants, or what is usual, at least
//! states      once for each panel entry, and once for the walkway
//! leaves out  the tape's error: who lays panels lays them by the plan; panels that are not on the roof; what holds them down
//!             (`mount/roof-item`)

use std::borrow::Cow;

use check::working::number;
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, Holds, List, Scope, Words};
use physics::roof_shadow::Rect;
use quantity::{Dimension, Estimate};
use rig_facts::power::Roof;
use rig_model::Thing;
use rig_model::model::{Panel, Walkway};

use crate::roof_layout;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/roof-space"),
    question: Cow::Borrowed("Do the panels fit on the roof, and can one still walk there?"),
    words: Words::new("leaves", "has to leave"),
    consequence: Consequence::Comfort,
    scope: Scope::Once,
    needs: List::Static(&["panel.at", "panel.size"]),
    uses: List::Static(&[
        "roof",
        "panel.name",
        "panel.in",
        "panel.count",
        "panel.rated",
        "panel.controller",
        "portable.name",
        "body.front",
        "body.floor",
        "body.length",
        "body.width",
        "body.height",
        "body.walls",
    ]),
    limits: List::Static(&["power/roof-edge", "power/roof-gap", "power/roof-walkway"]),
    formula: List::Static(&[
        "every panel and hatch is a rectangle; none may lie over another, nor over the roof's edge",
        "walkway = width of the strip along a side, or along the middle, on which nothing lies from front to rear",
    ]),
    cautions: List::Static(&[
        "a fall from a roof kills: something to hold on to, dry shoes, nobody up there in wind or wet",
        "walk on no panel: the cells crack, and what lies under it may not bear a foot",
    ]),
};

/// Do the panels fit on the roof?
#[derive(Debug)]
pub struct RoofSpace;

impl Check for RoofSpace {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        if cx.rig().panel.is_empty() {
            return vec![CARD.about(cx, "panels").at("panel").missing("panel")];
        }
        let roof = match Roof::of(cx.rig(), cx.facts().power(), cx.facts().body()) {
            Ok(roof) => roof,
            Err(gap) => return vec![CARD.about(cx, "the roof").at("roof").blocked(&gap)],
        };
        let mut findings: Vec<Finding> =
            cx.rig().panel.iter().enumerate().map(|(index, panel)| answer(cx, &roof, index, panel)).collect();
        findings.extend(walkway(cx, &roof));
        findings
    }
}

/// The clear strip that is wanted: the owner's, else that of the chosen sets.
fn wanted(cx: &Context, own: Option<f64>, key: &str, limit: &str) -> Vec<Held> {
    let Some(own) = own else { return cx.limits(limit) };
    let name = format!("the owner's own {key}");
    let basis = basis::Basis::owner(&name);
    vec![Held::at_least(&name, Estimate::exact(own), Dimension::Length, basis)]
}

/// Whether a panel has no place of its own since it is unfolded beside the rig, for a portable unit.
pub(crate) fn is_folding(cx: &Context, index: usize) -> bool {
    let panel = cx.rig().panel.get(index);
    panel.is_some_and(|panel| panel.at.is_none() && crate::feeds::portable_of(cx.rig(), panel).is_some())
}

/// How far two rectangles are apart, m: along the axis on which they are clear; below zero where they lie over each other.
fn apart(one: &Rect, other: &Rect) -> f64 {
    let along = (one.x0 - other.x1).max(other.x0 - one.x1);
    along.max((one.y0 - other.y1).max(other.y0 - one.y1))
}

/// What lies beside a panel.
struct Beside {
    name: String,
    clear: f64,
    over: (f64, f64),
}

fn beside(cx: &Context, roof: &Roof, index: usize, rect: &Rect) -> Vec<Beside> {
    let of = |name: String, other: &Rect| {
        let over = |a: f64, b: f64, c: f64, d: f64| b.min(d) - a.max(c);
        let over = (over(rect.x0, rect.x1, other.x0, other.x1), over(rect.y0, rect.y1, other.y0, other.y1));
        Beside { name, clear: apart(rect, other), over }
    };
    let name = |at: usize| cx.rig().panel.get(at).map_or(String::new(), |panel| panel.name.clone());
    let panels = roof.rects().filter(|(at, _)| *at != index).map(|(at, other)| of(name(at), &other));
    let pieces = roof.pieces.iter().filter_map(|piece| Some(of(piece.name.clone(), piece.rect.as_ref().ok()?)));
    panels.chain(pieces).collect()
}

/// Lengths that differ by less are the same, m.
const SAME: f64 = 1e-6;

fn answer(cx: &Context, roof: &Roof, index: usize, panel: &Panel) -> Finding {
    let begin = || -> Draft<'_> { CARD.about(cx, &panel.name).at(panel.path()) };
    let rect = match roof.panels.get(index).map(|laid| &laid.rect) {
        Some(Ok(Some(rect))) => *rect,
        Some(Ok(None)) => return begin().not_applicable("it does not lie on the roof"),
        Some(Err(_)) if is_folding(cx, index) => {
            return begin().not_applicable("it feeds a portable unit, and has no place of its own");
        }
        Some(Err(gap)) => return begin().blocked(gap),
        None => return begin().missing("panel"),
    };
    let begin = || begin().exhibit("roof-plan");
    let beside = beside(cx, roof, index, &rect);
    if let Some(under) = beside.iter().find(|other| other.clear < -SAME) {
        let (long, wide) = under.over;
        let sentence = format!("it lies over {} on {} by {} mm", under.name, number(long / MM, 0), number(wide / MM, 0));
        return begin().require(Holds::No, sentence).proposal(|| roof_layout::anew(cx, roof)).done();
    }
    let edge = rect.x0.min(rect.y0).min(roof.length - rect.x1).min(roof.width - rect.y1);
    if edge < -SAME {
        let sentence = format!("it hangs over the roof's edge by {} mm", number(-edge / MM, 0));
        return begin().require(Holds::No, sentence).proposal(|| roof_layout::anew(cx, roof)).done();
    }
    let own = cx.rig().roof.as_ref();
    let edges = wanted(cx, own.and_then(|roof| roof.edge.as_ref()).map(|edge| edge.si()), "roof.edge", "power/roof-edge");
    let gaps = wanted(cx, own.and_then(|roof| roof.gap.as_ref()).map(|gap| gap.si()), "roof.gap", "power/roof-gap");
    let nearest = beside.iter().min_by(|a, b| a.clear.total_cmp(&b.clear));
    let margin =
        |clear: f64, held: &[Held]| held.iter().map(|held| clear - crate::roof_layout::least(held)).fold(f64::INFINITY, f64::min);
    // Of the two strips the one nearest to being too narrow.
    let (clear, held, to) = match nearest {
        Some(other) if margin(other.clear, &gaps) < margin(edge, &edges) => (other.clear, &gaps, other.name.as_str()),
        _ => (edge, &edges, "the roof's edge"),
    };
    begin()
        .compare(&Estimate::exact(clear.max(0.0)), held)
        .sentence(format!("the narrowest strip is to {to}"))
        .working(|| {
            let mm = |m: f64| number(m / MM, 0);
            [format!(
                "it lies {} mm behind the roof's front edge, {} mm from its left one, {} mm long, {} mm wide",
                mm(rect.x0),
                mm(rect.y0),
                mm(rect.x1 - rect.x0),
                mm(rect.y1 - rect.y0)
            )]
        })
        .remedies(|_| roof_layout::anew(cx, roof).into_iter().collect())
        .done()
}

const MM: f64 = 1e-3;

/// The strip to walk on, where one is wanted.
fn walkway(cx: &Context, roof: &Roof) -> Option<Finding> {
    let own = cx.rig().roof.as_ref();
    let begin = || {
        CARD.about(cx, "the walkway")
            .at("roof")
            .case("walkway")
            .words("is free over", "has to be free over")
            .consequence(Consequence::Injury)
    };
    let side = own.and_then(|roof| roof.walkway_side);
    if side == Some(Walkway::None) {
        return Some(begin().not_applicable("nobody walks on this roof"));
    }
    // Where a panel has no place of its own nothing is known of what is left.
    if let Some(gap) = roof.panels.iter().find_map(|laid| laid.rect.as_ref().err().filter(|_| !is_folding(cx, laid.index))) {
        return Some(begin().blocked(gap));
    }
    let taken: Vec<Rect> =
        roof.rects().map(|(_, rect)| rect).chain(roof.pieces.iter().filter_map(|piece| piece.rect.clone().ok())).collect();
    let of = |side: Walkway| (roof_layout::free(roof, &taken, side), side);
    let (free, at) = match side {
        Some(side) => of(side),
        None => [Walkway::Left, Walkway::Right, Walkway::Centre].map(of).into_iter().max_by(|a, b| a.0.total_cmp(&b.0))?,
    };
    let free = Estimate::exact(free.max(0.0));
    let words = match at {
        Walkway::Left => "along the left edge",
        Walkway::Right => "along the right edge",
        _ => "along the middle",
    };
    let wish = own.and_then(|roof| roof.walkway.as_ref()).map(|width| width.si());
    if wish.is_none() && side.is_none() {
        let why = format!("{words}; nobody said that the roof is walked on");
        return Some(begin().show(&free, Dimension::Length, why));
    }
    let held = wanted(cx, wish, "roof.walkway", "power/roof-walkway");
    let draft = begin().compare(&free, &held).sentence(words).exhibit("roof-plan");
    Some(draft.remedies(|_| roof_layout::anew(cx, roof).into_iter().collect()).done())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::context;
    use check::Verdict;

    const BODY: &str = "[body]\nfront = \"1 m\"\nfloor = \"1 m\"\nlength = \"4 m\"\nwidth = \"2 m\"\nheight = \"2 m\"\n";

    fn panel(name: &str, x: f64, y: f64) -> String {
        format!(
            "[[panel]]\nname = \"{name}\"\nin = \"body\"\nat = [\"{x} m\", \"{y} m\", \"2 m\"]\nsize = [\"1.6 m\", \"0.8 m\", \"30 mm\"]\n"
        )
    }

    #[test]
    fn panels_that_lie_over_each_other_are_laid_anew() {
        let rig = format!("{BODY}{}{}[roof]\nwalkway = \"0.4 m\"\n", panel("a", 1.0, 0.0), panel("b", 2.0, 0.1));
        let cx = context(&rig);
        let findings = RoofSpace.run(&cx);
        let said: Vec<_> = findings.iter().map(|one| (one.verdict, one.sentence.clone().unwrap_or_default())).collect();
        // From 1.2 to 1.8 m both; 0.6 m to 1.4 m and 0.7 m to 1.5 m across.
        assert_eq!(said[0], (Verdict::Fail, "it lies over b on 600 by 700 mm".to_owned()));
        // The right edge of b is 0.5 m from that of the roof, the left one of a 0.6 m: 0.4 m is free.
        assert_eq!((said[2].0, findings[2].demand.as_ref().map(|free| (free.value.0 * 1e6).round())), (Verdict::Pass, Some(6e5)));
        let edited = cx.with(&findings[0].proposals[0].edits).expect("the edits fit");
        assert!(RoofSpace.run(&edited).iter().all(|one| one.verdict == Verdict::Pass));
    }

    #[test]
    fn the_middle_is_free_between_two_rows_and_not_under_one() {
        let free = |rects: &[Rect], side| {
            let roof = Roof { length: 4.0, width: 2.0, front: Ok(0.0), panels: Vec::new(), pieces: Vec::new() };
            roof_layout::free(&roof, rects, side)
        };
        let rows = [Rect::new(0.1, 0.1, 2.0, 0.7), Rect::new(0.1, 1.2, 2.0, 1.9)];
        assert!((free(&rows, Walkway::Centre) - 0.5).abs() < 1e-12);
        assert!((free(&rows, Walkway::Left) - 0.1).abs() < 1e-12 && (free(&rows, Walkway::Right) - 0.1).abs() < 1e-12);
        assert_eq!(free(&[Rect::new(0.1, 0.5, 2.0, 1.6)], Walkway::Centre), 0.0);
    }
}
