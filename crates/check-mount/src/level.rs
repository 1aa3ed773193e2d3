//! mount/level: which packers make the body level, and is the frame twisted?
//!
//! demand      slope of the frame against the slope wanted, along and across (rad); how far one corner stands off the plane
//!             of the other three (m)
//! capacity    common practice, at most
//! states      once, as the heights were read
//! leaves out  packers that crush (`mount/packer`); what a rock does to the twist (`mount/twist`); a notch in a rail is no
//!             means of levelling (`mount/frame-notch`)

use std::borrow::Cow;

use check::edits::{restate, to_step};
use check::remedy::{Effort, Proposal};
use check::{Card, Check, Consequence, Context, Draft, Finding, Holds, List, Scope, Words, working};
use physics::level::packers;
use quantity::{Dimension, Estimate, real};
use rig_facts::Gap;
use rig_model::model::{Corner, Corners, Levelling};

use crate::limits_told::{least, or_say};
use crate::twist::{Along, Stand, is_warped, springs_at_front};
use check::limits::NO_LIMIT;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("mount/level"),
    question: Cow::Borrowed("Which packers make the body level, and is the frame twisted?"),
    words: Words::new("is off by", "may be off by"),
    consequence: Consequence::Comfort,
    scope: Scope::Once,
    needs: List::Static(&["levelling", "levelling.corners"]),
    uses: List::Static(&[
        "levelling.front",
        "levelling.rear",
        "levelling.width",
        "levelling.pitch",
        "levelling.roll",
        "levelling.packers",
        "levelling.notch_allowed",
        "mount.at",
        "mount.in",
        "mount.kind",
        "mount.holds",
        "use",
        "axle.x",
        "axle.track",
        "body.front",
        "body.floor",
        "body.length",
        "body.width",
        "body.height",
        "body.walls",
        "chassis.frame.twist_test",
    ]),
    limits: List::Static(&["mount/level-slope", "mount/level-twist"]),
    formula: List::Static(&[
        "pitch = -atan(mean of the rear - mean of the front, over their distance), nose up positive",
        "roll = -atan(mean of the right - mean of the left, over their distance), right side down positive",
        "packer at a corner = plane wanted - height there, moved so that the least is nothing",
        "twist = front left - front right - rear left + rear right: one corner over the plane of the other three",
    ]),
    cautions: List::Static(&[
        "never get under a body that a jack, a hoist or a forklift holds alone: stands on hard ground, wheels chocked",
        "level ground, tyres at travel pressure, loaded as it will be: a frame reads 20 to 60 mm differently empty",
        "do not pack a twisted frame flat under a body with four stiff corners",
    ]),
};

/// Which packers make the body level, and is the frame twisted?
#[derive(Debug)]
pub struct Level;

impl Check for Level {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let about = |case: &str| CARD.about(cx, case).at("levelling").case(case);
        let Some(levelling) = &cx.rig().levelling else {
            return vec![CARD.about(cx, "levelling").at("levelling").missing("levelling")];
        };
        let heights = match Heights::read(cx) {
            Ok(heights) => heights,
            Err(gap) => return vec![CARD.about(cx, "levelling").at("levelling").blocked(&gap)],
        };
        let wanted = |angle: &Option<quantity::Quantity<quantity::dim::Angle>>| angle.map_or(0.0, |angle| angle.si());
        let lies = Lies { cx, levelling, heights: &heights, wanted: [wanted(&levelling.pitch), wanted(&levelling.roll)] };
        vec![lies.slope(about("pitch"), 0), lies.slope(about("roll"), 1), twist(cx, about("twist"), &heights)]
    }
}

/// Corners in the order of the file, and on which side of the middle each lies: rear, right.
const CORNERS: [(&str, Corner, [f64; 2]); 4] = [
    ("front_left", Corner::FrontLeft, [-1.0, -1.0]),
    ("front_right", Corner::FrontRight, [-1.0, 1.0]),
    ("rear_left", Corner::RearLeft, [1.0, -1.0]),
    ("rear_right", Corner::RearRight, [1.0, 1.0]),
];

/// Heights of the corners, and how far apart these are.
struct Heights<'c> {
    corners: Vec<&'c Estimate>,
    /// Length and width between them, m, or what stops it.
    apart: [Result<Estimate, Gap>; 2],
}

impl<'c> Heights<'c> {
    fn read(cx: &'c Context) -> Result<Self, Gap> {
        let told = |key: &str| cx.facts().mounts().told(&format!("levelling.{key}"));
        if !cx.document().has("levelling.corners") {
            return Err(Gap::at("levelling.corners"));
        }
        let corners = CORNERS.iter().map(|(key, _, _)| told(&format!("corners.{key}"))).collect::<Result<Vec<_>, _>>()?;
        // What is not told follows from the outermost mounts.
        let stands = Stand::all(cx).unwrap_or_default();
        let end = |axis: usize, far: f64| {
            let places = stands.iter().filter_map(|stand| stand.at.get(axis)).map(|at| at * far).reduce(f64::max);
            places.map(|at| Estimate::exact(at * far))
        };
        let or = |key: &str, usual: Option<Estimate>| told(key).cloned().or_else(|gap| usual.ok_or(gap));
        let length = or("front", end(0, -1.0)).and_then(|front| Ok(&or("rear", end(0, 1.0))? - &front));
        let across = end(1, 1.0).zip(end(1, -1.0)).map(|(right, left)| &right - &left);
        let width = or("width", across);
        let some = |apart: Result<Estimate, Gap>, key: &str| {
            apart.and_then(|apart| {
                if apart.value() > 0.0 {
                    Ok(apart)
                } else {
                    Err(Gap::because(format!("levelling.{key}"), "the corners stand apart"))
                }
            })
        };
        Ok(Self { corners, apart: [some(length, "rear"), some(width, "width")] })
    }

    /// The corners as points about their middle.
    fn points(&self) -> Option<Vec<[f64; 3]>> {
        let [length, width] = self.apart.each_ref().map(|apart| apart.as_ref().ok().map(Estimate::value));
        let (length, width) = (length?, width?);
        let corners = CORNERS.iter().zip(&self.corners);
        Some(corners.map(|((_, _, [x, y]), z)| [x * length / 2.0, y * width / 2.0, z.value()]).collect())
    }
}

/// How the frame lies against how the body is to lie.
struct Lies<'c> {
    cx: &'c Context,
    levelling: &'c Levelling,
    heights: &'c Heights<'c>,
    /// Pitch and roll, rad.
    wanted: [f64; 2],
}

impl Lies<'_> {
    /// Pitch (axis 0) or roll (axis 1).
    fn slope(&self, draft: Draft<'_>, axis: usize) -> Finding {
        let cx = self.cx;
        let (apart, wanted) = match (self.heights.apart.get(axis), self.wanted.get(axis)) {
            (Some(Ok(apart)), Some(wanted)) => (apart, *wanted),
            (Some(Err(gap)), _) => return draft.blocked(gap),
            _ => return draft.missing("levelling"),
        };
        // Mean of the far side less mean of the near side.
        let side = |sides: &[f64; 2]| sides.get(axis).copied().unwrap_or(0.0) / 2.0;
        let parts: Vec<(f64, &Estimate)> =
            CORNERS.iter().zip(&self.heights.corners).map(|((_, _, sides), z)| (side(sides), *z)).collect();
        let rise = Estimate::weighted_sum(&parts);
        let lies = Estimate::propagate(&[&rise, apart], |at| match at {
            [rise, apart] => Ok(-real::atan(rise / apart)),
            _ => Err(Gap::at("levelling")),
        });
        let lies = match lies {
            Ok(lies) => lies,
            Err(gap) => return draft.blocked(&gap),
        };
        let off = lies.offset(-wanted);
        let off = off.scale(if off.value() < 0.0 { -1.0 } else { 1.0 });
        let held = cx.limits("mount/level-slope");
        if held.is_empty() {
            return draft.show(&off, Dimension::Angle, NO_LIMIT);
        }
        draft
            .compare(&off, &held)
            .sentence(self.sentence(axis, lies.value()))
            .working(|| {
                let (rise, apart) = (working::figure(rise.value() * MILLI, 1), working::figure(apart.value() * MILLI, 0));
                let rise = working::figure(-rise.get(), 1);
                let lies = working::figure(real::atan(rise.get() / apart.get()).to_degrees(), 2);
                let wanted = working::figure(wanted.to_degrees(), 2);
                let off = working::number((lies.get() - wanted.get()).abs(), 2);
                [format!("atan({rise} mm / {apart} mm) = {lies} deg; {wanted} deg is wanted, off by {off} deg")]
            })
            .remedies(|_| self.pack().into_iter().collect())
            .done()
    }

    /// "the frame lies 1.3 deg nose up".
    fn sentence(&self, axis: usize, lies: f64) -> String {
        let tenth = step::TENTH_DEG.to_radians();
        if lies.abs() < tenth / 2.0 {
            return "the frame lies level".to_owned();
        }
        let way = match (axis, lies > 0.0) {
            (0, true) => "nose up",
            (0, false) => "nose down",
            (_, true) => "right side down",
            (_, false) => "left side down",
        };
        format!("the frame lies {} {way}", to_step(self.cx, lies.abs(), Dimension::Angle, tenth))
    }

    /// Packers that set it as wanted, in whole millimetres; none where corners that cannot be packed stand in the way.
    fn pack(&self) -> Option<Proposal> {
        let [pitch, roll] = self.wanted;
        let points = self.heights.points()?;
        let thick = packers(&points, pitch, roll);
        let may = |corner: Corner| self.levelling.packers.as_ref().is_none_or(|list| list.contains(&corner));
        // A corner that stays as it is sets the height of all.
        let fixed = CORNERS.iter().zip(&thick).filter(|((_, corner, _), _)| !may(*corner)).map(|(_, thick)| *thick);
        let (low, high) = fixed.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), t| (low.min(t), high.max(t)));
        let base = if low.is_finite() { low } else { 0.0 };
        if high - low > step::PACKER_M || thick.iter().any(|t| t - base < -step::PACKER_M) {
            return None;
        }
        let (mut edits, mut words) = (Vec::new(), Vec::new());
        for (((key, corner, _), z), thick) in CORNERS.iter().zip(&self.heights.corners).zip(&thick) {
            let steps = ((thick - base) / step::PACKER_M).round();
            if steps >= 1.0 && may(*corner) {
                let thick = steps * step::PACKER_M;
                words.push(format!("{} {}", corner.word(), to_step(self.cx, thick, Dimension::Length, step::PACKER_M)));
                edits.push(restate(
                    self.cx,
                    format!("levelling.corners.{key}"),
                    stated(self.levelling, *corner),
                    z.value() + thick,
                ));
            }
        }
        (!edits.is_empty()).then(|| Proposal {
            text: format!("packers: {}", words.join(", ")),
            effort: Effort::AnAfternoon,
            edits,
        })
    }
}

fn stated(levelling: &Levelling, corner: Corner) -> Option<&quantity::Stated<quantity::dim::Length>> {
    let Corners { front_left, front_right, rear_left, rear_right } = levelling.corners.as_ref()?;
    match corner {
        Corner::FrontLeft => front_left.as_ref(),
        Corner::FrontRight => front_right.as_ref(),
        Corner::RearLeft => rear_left.as_ref(),
        Corner::RearRight => rear_right.as_ref(),
    }
}

/// How far one corner stands off the plane of the other three.
fn twist(cx: &Context, draft: Draft<'_>, heights: &Heights<'_>) -> Finding {
    let draft = draft.words("is twisted by", "may be twisted by").consequence(Consequence::Damage);
    let parts: Vec<(f64, &Estimate)> = CORNERS.iter().zip(&heights.corners).map(|((_, _, [x, y]), z)| (x * y, *z)).collect();
    let twist = Estimate::weighted_sum(&parts);
    let (high, way) =
        if twist.value() < 0.0 { (twist.scale(-1.0), "front right and rear left") } else { (twist, "front left and rear right") };
    let stands = Stand::all(cx).unwrap_or_default();
    let held = cx.limits("mount/level-twist");
    if held.is_empty() {
        return draft.show(&high, Dimension::Length, NO_LIMIT);
    }
    let shown = to_step(cx, high.value(), Dimension::Length, step::PACKER_M);
    let stiff: Vec<Stand<'_>> = stands.iter().filter(|stand| !stand.springs()).copied().collect();
    if !stands.is_empty() && !is_warped(&stiff) {
        return draft.require(Holds::Yes, format!("the frame is twisted by {shown}, and the mounts let it")).done();
    }
    let most = least(&held).unwrap_or(f64::INFINITY);
    let draft = draft.compare(&high, &held);
    or_say(
        draft,
        &format!("{way} stand high: turn the truck round and read again, the ground may be twisted; then springs or a pivot"),
    )
    .working(|| {
        let mm: Vec<working::Figure> = heights.corners.iter().map(|z| working::figure(z.value() * MILLI, 1)).collect();
        let sum: f64 = CORNERS.iter().zip(&mm).map(|((_, _, [x, y]), mm)| x * y * mm.get()).sum();
        let [fl, fr, rl, rr] = mm.as_slice() else { return Vec::new() };
        vec![format!("{fl} - ({fr}) - ({rl}) + {rr} = {} mm", working::number(sum, 1))]
    })
    .remedies(|goal| {
        // While it is unsettled a second reading tells first.
        if goal.margin.interval95().1 >= 0.0 {
            return Vec::new();
        }
        let along = cx.rig().use_.and_then(|going| Along::of(cx, going).ok().flatten());
        let gap = |stands: &[Stand<'_>]| {
            let still = if is_warped(stands) { high.clone() } else { Estimate::exact(0.0) };
            let rock = along.as_ref().map(|along| along.gap(stands));
            rock.filter(|rock| rock.value() > still.value()).unwrap_or(still)
        };
        springs_at_front(cx, &stands, most, &gap).into_iter().collect()
    })
    .done()
}

/// What a line of working shows: mm of m.
const MILLI: f64 = 1e3;

/// Steps that packers come in and levels are read by. Choices of this project.
mod step {
    /// 1 mm.
    pub(super) const PACKER_M: f64 = 0.001;
    /// A tenth of a degree.
    pub(super) const TENTH_DEG: f64 = 0.1;
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::context;

    /// The trade's reference page, computed with numpy: corners 12, 4, 0, 16 mm, 3.6 m and 1.6 m apart: packers 4, 12, 16, 0 mm
    /// for level, 35.4, 43.4, 16, 0 mm for half a degree nose up.
    #[test]
    fn packers_are_as_worked() {
        let pack = |pitch: f64, packers: &str| {
            let cx = context(&format!(
                "[levelling]\nfront = \"0 m\"\nrear = \"3.6 m\"\nwidth = \"1.6 m\"\n{packers}\n\
                 corners = {{ front_left = \"12 mm\", front_right = \"4 mm\", rear_left = \"0 mm\", rear_right = \"16 mm\" }}\n"
            ));
            let heights = Heights::read(&cx).expect("they are told");
            let levelling = cx.rig().levelling.as_ref().expect("it is told");
            let lies = Lies { cx: &cx, levelling, heights: &heights, wanted: [pitch.to_radians(), 0.0] };
            lies.pack().map(|proposal| proposal.text)
        };
        assert_eq!(pack(0.0, "").as_deref(), Some("packers: front left 4 mm, front right 12 mm, rear left 16 mm"));
        assert_eq!(pack(0.5, "").as_deref(), Some("packers: front left 35 mm, front right 43 mm, rear left 16 mm"));
        let all_but = "packers = [\"front left\", \"front right\", \"rear left\"]";
        assert_eq!(pack(0.0, all_but), pack(0.0, ""), "the highest corner needs none");
        assert_eq!(pack(0.0, "packers = [\"rear right\"]"), None);
    }
}
