//! mount/guide-gap: how much play has the channel over the rail, and is it centred?
//!
//! demand      the larger of the gaps beside both rails, and how far the cheeks reach down over the rail (m)
//! capacity    common practice: at most, more where the cheeks are lined with rubber; at least
//! states      once: play does not depend on what rides
//! leaves out  what the blow breaks (`mount/bolt`, `mount/weld`); lifting, which another mount has to hold

use std::borrow::Cow;

use check::edits::{restate, to_step, up_to_step};
use check::remedy::{Effort, Proposal};
use check::{Card, Check, Consequence, Context, Draft, Finding, List, Scope, Words, draft::Goal, on_riders, working};
use physics::facts::gravity;
use physics::guide::{impact_factor, off_centre, shims};
use quantity::{Dimension, Estimate};
use rig_facts::mounts::MountFacts;
use rig_model::model::{Cheeks, Direction, Guide, MountKind};
use rig_model::{Edit, EditOp, Free};

use crate::limits_told::{least, or_say};
use check::limits::NO_LIMIT;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("mount/guide-gap"),
    question: Cow::Borrowed("How much play has the channel over the rail, and is it centred?"),
    words: Words::new("has a gap of", "may have"),
    consequence: Consequence::Damage,
    scope: Scope::Once,
    needs: List::Static(&[
        "mount",
        "mount.kind",
        "mount.guide",
        "mount.guide.gap_left",
        "mount.guide.gap_right",
        "mount.guide.overlap",
    ]),
    uses: on_riders!["mount.guide.cheeks", "mount.guide.lined", "mount.holds", "mount.stiffness"],
    limits: List::Static(&[
        "mount/guide-gap",
        "mount/guide-gap-lined",
        "mount/guide-running",
        "mount/guide-overlap",
        "mount/guide-blow",
    ]),
    formula: List::Static(&[
        "off the middle = (gap right - gap left) / 2, to the right; cheeks inside the rails: the other way round",
        "shim on each side = (gap left + gap right) / 2 - running gap",
        "blow = 1 + sqrt(1 + 2 gap / d) times the steady force, d = m a / k of all mounts that hold sideways",
    ]),
    cautions: List::Static(&["levering a body over on its mounts: nobody between body and frame"]),
};

/// How much play has the channel over the rail, and is it centred?
#[derive(Debug)]
pub struct GuideGap;

impl Check for GuideGap {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let none = || CARD.about(cx, "guides").at("mount");
        if cx.rig().mount.is_empty() {
            return vec![none().missing("mount")];
        }
        let mut findings = Vec::new();
        for (mount, facts) in cx.rig().mount.iter().zip(cx.facts().mounts().list()) {
            let draft = || CARD.about(cx, mount.name.clone()).at(&facts.path);
            match (mount.kind, &mount.guide) {
                (Some(MountKind::Guide), Some(guide)) | (None, Some(guide)) => {
                    findings.push(play(cx, draft(), facts, guide));
                    findings.extend(overlap(cx, draft().case("overlap"), facts, guide));
                }
                (Some(MountKind::Guide), None) => findings.push(draft().missing(format!("{}.guide", facts.path))),
                (None, None) => findings.push(draft().missing(format!("{}.kind", facts.path))),
                (Some(_), _) => {}
            }
        }
        if findings.is_empty() {
            findings.push(none().not_applicable("no mount is a guide"));
        }
        findings
    }
}

fn play(cx: &Context, draft: Draft<'_>, facts: &MountFacts, guide: &Guide) -> Finding {
    let key = |key: &str| format!("{}.guide.{key}", facts.path);
    let told = |name: &str| cx.facts().mounts().told(&key(name));
    let (left, right) = match (told("gap_left"), told("gap_right")) {
        (Ok(left), Ok(right)) => (left, right),
        (Err(gap), _) | (_, Err(gap)) => return draft.blocked(&gap),
    };
    let lined = guide.lined == Some(true);
    let held = cx.limits(if lined { "mount/guide-gap-lined" } else { "mount/guide-gap" });
    let larger = if left.value() < right.value() { right } else { left };
    if held.is_empty() {
        return draft.show(larger, Dimension::Length, NO_LIMIT);
    }
    let places = Places { cx, key: &key, guide, left: left.value(), right: right.value() };
    let most = least(&held).unwrap_or(f64::INFINITY);
    draft
        .compare(larger, &held)
        .sentence(places.sentence())
        .working(|| places.lines(facts))
        .remedies(|goal| places.ways_out(goal, most, lined))
        .done()
}

/// Where the body sits between the rails at one guide.
struct Places<'c> {
    cx: &'c Context,
    key: &'c dyn Fn(&str) -> String,
    guide: &'c Guide,
    left: f64,
    right: f64,
}

impl Places<'_> {
    fn mm(&self, value: f64) -> String {
        to_step(self.cx, value, Dimension::Length, step::SHOW_M)
    }

    /// How far the body sits to the right of the middle, m.
    fn off(&self) -> f64 {
        let off = off_centre(self.left, self.right);
        if self.guide.cheeks == Some(Cheeks::Inside) { -off } else { off }
    }

    /// "2 mm to the left": the way back to the middle; none where it is there.
    fn back(&self) -> Option<String> {
        let off = self.off();
        let way = if off > 0.0 { "left" } else { "right" };
        (off.abs() >= step::SHIM_M).then(|| format!("{} to the {way}", self.mm(off.abs())))
    }

    fn sentence(&self) -> String {
        self.back().map_or_else(
            || "it sits in the middle".to_owned(),
            |back| format!("the middle is {back}; play is a blow at every swerve"),
        )
    }

    fn lines(&self, facts: &MountFacts) -> Vec<String> {
        let mm = |value: f64| working::figure(value * MILLI, 1);
        let (left, right) = (mm(self.left), mm(self.right));
        let each = working::figure((left.get() + right.get()) / 2.0, 2);
        let mut lines = vec![
            format!("off the middle = ({right} - {left}) / 2 = {} mm", working::number((right.get() - left.get()) / 2.0, 2)),
            format!("gap on each side once in the middle = ({left} + {right}) / 2 = {each} mm"),
        ];
        lines.extend(self.blow(facts, each.get()));
        lines
    }

    /// What the body does that crosses the gap, mm, under the sideways acceleration of a swerve.
    fn blow(&self, facts: &MountFacts, gap: f64) -> Option<String> {
        let cx = self.cx;
        let a = cx.table("mount/guide-blow")?.number("what", "swerve", "acceleration")?;
        let masses =
            cx.facts().states().iter().filter_map(|state| cx.facts().riding(state).ok()?.mass.as_ref().ok().map(Estimate::value));
        let mass = working::figure(masses.reduce(f64::max)?, 0);
        let sideways = |mount: &&MountFacts| mount.does_hold(Direction::Left) && mount.does_hold(Direction::Right);
        let stiffness: f64 = cx.facts().mounts().list().iter().filter(sideways).map(|mount| mount.stiffness[1]).sum();
        if stiffness <= 0.0 || !sideways(&facts) {
            return None;
        }
        let (k, a) = (working::figure(stiffness / MILLI, 0), working::figure(a / gravity(), 2));
        let give = working::figure(mass.get() * a.get() * gravity() / k.get(), 3);
        let factor = impact_factor(gap, give.get());
        Some(format!(
            "d = {mass} kg x {a} x {} m/s2 / {k} N/mm = {give} mm; blow: 1 + root(1 + 2 x {gap} / {give}) = {} times the steady force",
            gravity(),
            working::number(factor, 1)
        ))
    }

    fn ways_out(&self, goal: &Goal, most: f64, lined: bool) -> Vec<Proposal> {
        // While it is unsettled a feeler gauge tells first.
        if goal.margin.interval95().1 >= 0.0 {
            return Vec::new();
        }
        [self.shim(), self.line(most, lined)].into_iter().flatten().collect()
    }

    /// Move the body to the middle and fill what is over the running gap.
    fn shim(&self) -> Option<Proposal> {
        let running = self.cx.table("mount/guide-running")?.number("what", "running gap", "gap")?;
        let thick = up_to_step(shims(self.left, self.right, running).max(0.0), step::SHIM_M);
        let each = f64::midpoint(self.left, self.right) - thick;
        let shim = (thick > 0.0).then(|| format!("shim {} on each side", self.mm(thick)));
        let moved = self.back().map(|back| format!("move the body {back}"));
        let text: Vec<String> = moved.into_iter().chain(shim).collect();
        // Whoever shims feels what is left.
        let set = |name: &str| Edit {
            path: (self.key)(name),
            op: EditOp::Set,
            from: None,
            to: Some(Free::Text(format!("{} measured", quantity::show_exact(each, Dimension::Length, quantity::System::Metric)))),
        };
        (!text.is_empty()).then(|| Proposal {
            text: format!("{} here", text.join(" and ")),
            effort: Effort::AnAfternoon,
            edits: vec![set("gap_left"), set("gap_right")],
        })
    }

    /// Rubber lining takes the blow of a gap that is not too wide for it.
    fn line(&self, most: f64, lined: bool) -> Option<Proposal> {
        let held = self.cx.limits("mount/guide-gap-lined");
        let allowed = least(&held).unwrap_or(f64::INFINITY);
        let fits = !lined && allowed.is_finite() && allowed > most && self.left.max(self.right) + 2.0 * step::SHIM_M <= allowed;
        fits.then(|| Proposal {
            text: "line the cheeks with rubber".to_owned(),
            effort: Effort::PartsToBuy,
            edits: vec![Edit { path: (self.key)("lined"), op: EditOp::Set, from: None, to: Some(Free::Bool(true)) }],
        })
    }
}

/// Whether a bounce can unhook the cheeks; not asked where the mount itself holds against lifting.
fn overlap(cx: &Context, draft: Draft<'_>, facts: &MountFacts, guide: &Guide) -> Option<Finding> {
    if facts.does_hold(Direction::Up) {
        return None;
    }
    let key = format!("{}.guide.overlap", facts.path);
    let draft = draft.words("reaches down", "is to reach down");
    let Ok(overlap) = cx.facts().mounts().told(&key) else { return Some(draft.missing(key)) };
    let held = cx.limits("mount/guide-overlap");
    if held.is_empty() {
        return Some(draft.show(overlap, Dimension::Length, NO_LIMIT));
    }
    let longer = |goal: &Goal| {
        // Half a step to spare for reading it.
        let to = up_to_step(overlap.value() + goal.change() + step::CHEEK_M / 2.0, step::CHEEK_M);
        vec![Proposal {
            text: format!("longer cheeks: {} down over the rail", to_step(cx, to, Dimension::Length, step::SHOW_M)),
            effort: Effort::CuttingAndWelding,
            edits: vec![restate(cx, key.clone(), guide.overlap.as_ref(), to)],
        }]
    };
    Some(or_say(draft.compare(overlap, &held), "a bounce unhooks it").remedies(longer).done())
}

/// What a line of working shows: mm of m, N/mm of N/m.
const MILLI: f64 = 1e3;

/// Steps in which plates can be had. Choices of this project.
mod step {
    /// Shims: half a millimetre.
    pub(super) const SHIM_M: f64 = 0.0005;
    /// Told to a tenth of a millimetre.
    pub(super) const SHOW_M: f64 = 0.0001;
    /// Cheeks: 5 mm.
    pub(super) const CHEEK_M: f64 = 0.005;
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::first;

    fn told(more: &str) -> Finding {
        let guide = format!("gap_left = \"3 mm measured\", gap_right = \"9 mm measured\", overlap = \"40 mm\"{more}");
        first(&GuideGap, &format!("[[mount]]\nname = \"a\"\nkind = \"guide\"\nguide = {{ {guide} }}\n"))
    }

    /// The trade's reference page: gaps of 3 and 9 mm are 3 mm off to the right; shims of 4.5 mm leave 1.5 mm. Cheeks inside
    /// the rails: the other way.
    #[test]
    fn the_body_moves_to_the_middle_and_is_shimmed() {
        let text = |finding: &Finding| finding.proposals.first().map(|proposal| proposal.text.clone());
        assert_eq!(text(&told("")).as_deref(), Some("move the body 3.0 mm to the left and shim 4.5 mm on each side here"));
        let inside = told(", cheeks = \"inside\"");
        assert_eq!(text(&inside).as_deref(), Some("move the body 3.0 mm to the right and shim 4.5 mm on each side here"));
    }
}
