//! mount/twist: what happens when one wheel is on a rock?
//!
//! demand      gap that the twisted frame wants at a corner of a body on stiff mounts, and travel that spring mounts need (m)
//! capacity    common practice for stiff mounts, at most; the springs' own travel, at most
//! states      once: it depends on where the mounts are, not on what rides
//! leaves out  what the twist breaks: bolts and brackets under it (`mount/bolt`); rails twisted for good (`mount/level`)

use std::borrow::Cow;

use check::draft::{GOAL, has_reserve_under};
use check::edits::{restate, to_step, up_to_step};
use check::remedy::{Effort, Proposal};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, List, Scope, Words, working};
use physics::frame_twist::{axle_roll, warp};
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_facts::mounts::MountFacts;
use rig_model::model::{Coord, Direction, Hardness, MountKind, RoadUse};
use rig_model::{Edit, EditOp, Free};

use crate::limits_told::{least, or_say};
use check::limits::NO_LIMIT;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("mount/twist"),
    question: Cow::Borrowed("What happens when one wheel is on a rock?"),
    words: Words::new("wants a gap of", "may want"),
    consequence: Consequence::Damage,
    scope: Scope::Once,
    needs: List::Static(&["mount", "mount.at", "mount.kind", "use", "axle.x", "axle.track"]),
    uses: List::Static(&[
        "mount.holds",
        "mount.in",
        "mount.spring.stroke",
        "body.twist",
        "body.front",
        "body.floor",
        "body.length",
        "body.width",
        "body.height",
        "body.walls",
        "chassis.frame.twist_test",
    ]),
    limits: List::Static(&["mount/twist-gap", "mount/wheel-lift"]),
    formula: List::Static(&[
        "roll of an axle = atan(lift of one wheel / track), all of it along the wheelbase",
        "twist of the frame = roll x share that the springs leave to it / wheelbase",
        "gap = twist x length x width between four corners; a wheel on a block, measured at the mounts, replaces all that",
        "a body on three points, or on a pivot in the middle of one end, lets the frame twist",
    ]),
    cautions: List::Static(&[
        "one wheel on a block: chock the others, and nobody under the truck",
        "spring mounts hold nothing sideways by themselves: a guide beside each",
    ]),
};

/// What happens when one wheel is on a rock?
#[derive(Debug)]
pub struct Twist;

impl Check for Twist {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let draft = || CARD.about(cx, "body on its mounts").at("mount");
        if cx.rig().mount.is_empty() {
            return vec![draft().missing("mount")];
        }
        let stands = match Stand::all(cx) {
            Ok(stands) => stands,
            Err(gap) => return vec![draft().blocked(&gap)],
        };
        if !is_warped(&stands) {
            let sentence = format!("{} points carry it so that the frame can twist under it", stands.len());
            return vec![draft().require(check::Holds::Yes, sentence).done()];
        }
        let Some(going) = cx.rig().use_ else { return vec![draft().missing("use")] };
        let along = match Along::of(cx, going) {
            Ok(Some(along)) => along,
            Ok(None) => return vec![draft().not_applicable(NO_LIMIT)],
            Err(gap) => return vec![draft().blocked(&gap)],
        };
        let stiff: Vec<Stand<'_>> = stands.iter().filter(|stand| !stand.springs()).copied().collect();
        let mut findings = vec![stiff_mounts(cx, draft(), &along, &stands, &stiff)];
        findings.extend(spring_mounts(cx, &along, &stands));
        findings
    }
}

/// A mount that the body stands on.
#[derive(Clone, Copy, Debug)]
pub struct Stand<'c> {
    /// What facts know of it.
    pub mount: &'c MountFacts,
    /// Its place in the file, from 0.
    pub index: usize,
    /// Behind the front axle, and to the right, m.
    pub at: [f64; 2],
}

impl<'c> Stand<'c> {
    /// All mounts that bear, in file order.
    ///
    /// # Errors
    /// The gap: a mount without place or kind.
    pub fn all(cx: &'c Context) -> Result<Vec<Self>, Gap> {
        let mut stands = Vec::new();
        for (index, mount) in cx.facts().mounts().list().iter().enumerate() {
            if !mount.holds.as_ref().map_err(Clone::clone)?.contains(&Direction::Down) {
                continue;
            }
            let [x, y, _] = &mount.at;
            let get = |place: &Result<Estimate, Gap>| place.as_ref().map(Estimate::value).map_err(Clone::clone);
            stands.push(Self { mount, index, at: [get(x)?, get(y)?] });
        }
        Ok(stands)
    }

    /// Whether it gives.
    #[must_use]
    pub fn springs(&self) -> bool {
        self.mount.kind == Some(MountKind::Spring)
    }
}

/// By how much these stands part from a plane for each radian of twist a metre, m2.
#[must_use]
pub fn warp_of(stands: &[Stand<'_>]) -> f64 {
    warp(&stands.iter().map(|stand| stand.at).collect::<Vec<_>>())
}

/// Whether twisting the frame parts it from a body on these mounts: not where all lie in its middle or are three. A
/// corner 10 mm off its place is no matter.
#[must_use]
pub fn is_warped(stands: &[Stand<'_>]) -> bool {
    let far = |axis: usize| stands.iter().filter_map(|stand| stand.at.get(axis)).fold(0.0_f64, |far, at| far.max(at.abs()));
    warp_of(stands) > SMALL * far(0) * far(1)
}

/// Of the largest warp that mounts so far apart can have. A choice of this project.
const SMALL: f64 = 0.05;

/// How the frame twists along itself when the going lifts one wheel.
#[derive(Debug)]
pub struct Along {
    lift: f64,
    /// Twist for each metre, rad/m; as measured or reckoned.
    twist: Estimate,
    lines: Vec<String>,
    judged: bool,
}

impl Along {
    /// The twist of this going; none where no set in force says how high it lifts a wheel.
    ///
    /// # Errors
    /// The gap that stops it.
    pub fn of(cx: &Context, going: RoadUse) -> Result<Option<Self>, Gap> {
        let (word, judged) = match going {
            RoadUse::Road => ("road", false),
            RoadUse::Gravel => ("gravel", false),
            RoadUse::Tracks => ("tracks", true),
            RoadUse::Rock => ("rock", true),
        };
        let Some(lift) = cx.table("mount/wheel-lift").and_then(|table| table.number("use", word, "lift")) else {
            return Ok(None);
        };
        let (twist, lines) = match measured(cx, lift)? {
            Some(measured) => measured,
            None => reckoned(cx, lift)?,
        };
        Ok(Some(Self { lift, twist, lines, judged }))
    }

    /// Gap that these stands want, m.
    #[must_use]
    pub fn gap(&self, stands: &[Stand<'_>]) -> Estimate {
        self.twist.scale(warp_of(stands))
    }
}

/// From one wheel on a block: what the four outermost mounts read, in proportion to the lift.
fn measured(cx: &Context, lift: f64) -> Result<Option<(Estimate, Vec<String>)>, Gap> {
    const PATH: &str = "chassis.frame.twist_test";
    if !cx.document().has(PATH) {
        return Ok(None);
    }
    let told = |key: &str| cx.facts().mounts().told(&format!("{PATH}.{key}"));
    let block = told("lifted_wheel_by")?;
    // Front left and rear right up is positive.
    let signs = [("front_left", 1.0), ("front_right", -1.0), ("rear_left", -1.0), ("rear_right", 1.0)];
    let mut parts = Vec::new();
    for (corner, sign) in signs {
        parts.push((sign, told(&format!("lifted.{corner}"))?));
        parts.push((-sign, told(&format!("before.{corner}"))?));
    }
    let gap = Estimate::weighted_sum(&parts);
    let gap = gap.scale(if gap.value() < 0.0 { -1.0 } else { 1.0 });
    let Some(corners) = outermost(&Stand::all(cx)?) else { return Ok(None) };
    let twist = Estimate::propagate(&[&gap, block], |at| match at {
        [gap, block] => Ok::<f64, Gap>(gap * lift / block / corners),
        _ => Err(Gap::at(PATH)),
    })?;
    let (mm, block) = (working::figure(gap.value() * MILLI, 1), working::figure(block.value(), 3));
    let lifted = working::figure(lift, 3);
    let all = working::number(mm.get() * lifted.get() / block.get(), 1);
    Ok(Some((
        twist,
        vec![format!("measured {mm} mm with one wheel {block} m up; {lifted} m up: {mm} x {lifted} / {block} = {all} mm")],
    )))
}

/// Length times width between the outermost stands, m2.
fn outermost(stands: &[Stand<'_>]) -> Option<f64> {
    let span = |axis: usize| {
        let all = || stands.iter().filter_map(|stand| stand.at.get(axis).copied());
        Some(all().reduce(f64::max)? - all().reduce(f64::min)?)
    };
    Some(span(0)? * span(1)?).filter(|area| *area > 0.0)
}

/// From track and wheelbase, with the usual share that the springs leave to the frame.
fn reckoned(cx: &Context, lift: f64) -> Result<(Estimate, Vec<String>), Gap> {
    let axles = cx.facts().axles();
    let wheelbase = axles.wheelbase(&[])?;
    let mut narrow: Option<&Estimate> = None;
    for axle in axles.list() {
        let track = axle.track.as_ref().map_err(Clone::clone)?;
        if narrow.is_none_or(|narrow| track.value() < narrow.value()) {
            narrow = Some(track);
        }
    }
    let track = narrow.ok_or_else(|| Gap::at("axle"))?;
    let share = cx.facts().mounts().frame_share();
    let twist = Estimate::propagate(&[share, track, &wheelbase], |at| match at {
        [share, track, wheelbase] => Ok::<f64, Gap>(share * axle_roll(lift, *track) / wheelbase),
        _ => Err(Gap::at("axle")),
    })?;
    let roll = working::figure(axle_roll(lift, track.value()).to_degrees(), 2);
    let (part, base) = (working::figure(share.value(), 2), working::figure(wheelbase.value(), 3));
    let in_rad = working::figure(1.0_f64.to_radians(), 7);
    let lines = vec![
        format!("roll: atan({} / {}) = {roll} deg", working::m(lift), working::m(track.value())),
        format!(
            "twist, {part} of it left to the frame: {roll} deg x {in_rad} rad/deg x {part} / {base} m = {} rad/m",
            working::number(roll.get() * in_rad.get() * part.get() / base.get(), 5)
        ),
    ];
    Ok((twist, lines))
}

fn stiff_mounts(cx: &Context, draft: Draft<'_>, along: &Along, stands: &[Stand<'_>], stiff: &[Stand<'_>]) -> Finding {
    let gap = along.gap(stiff);
    let up = to_step(cx, along.lift, Dimension::Length, step::LIFT_M);
    let soft = cx.rig().body.as_ref().and_then(|body| body.twist) == Some(Hardness::Soft);
    if soft {
        let why = format!("one wheel {up} up; a body of boards and posts follows its frame: watch doors and windows");
        return draft.words("twists by", "").show(&gap, Dimension::Length, why);
    }
    if !along.judged {
        let why = format!(
            "one wheel {up} up, which is rare on such roads: bolts and shell take it; do not park with a wheel on a kerb"
        );
        return draft.words("wants a gap of", "").show(&gap, Dimension::Length, why);
    }
    if !is_warped(stiff) {
        let sentence = format!("one wheel {up} up: springs let the frame twist under it");
        return draft.require(check::Holds::Yes, sentence).done();
    }
    let held = cx.limits("mount/twist-gap");
    if held.is_empty() {
        return draft.show(&gap, Dimension::Length, NO_LIMIT);
    }
    let draft = draft.compare(&gap, &held).working(|| {
        let mut lines = along.lines.clone();
        let (twist, warp) = (working::figure(along.twist.value(), 5), working::figure(warp_of(stiff), 3));
        lines.push(format!(
            "gap: {twist} rad/m x {warp} m2 x 1000 mm/m = {} mm",
            working::number(twist.get() * warp.get() * MILLI, 0)
        ));
        lines
    });
    let most = least(&held).unwrap_or(f64::INFINITY);
    or_say(draft, &format!("one wheel {up} up: the corner wants that gap, stiff mounts give none; bolts and shell take it"))
        .remedies(|goal| {
            // While it is unsettled a wheel on a block tells first.
            if goal.margin.interval95().1 >= 0.0 {
                return Vec::new();
            }
            [springs_at_front(cx, stands, most, &|stands| along.gap(stands)), pivot_at_front(cx, stands)]
                .into_iter()
                .flatten()
                .collect()
        })
        .done()
}

/// Travel that the springs need, held against what each has.
fn spring_mounts(cx: &Context, along: &Along, stands: &[Stand<'_>]) -> Vec<Finding> {
    let gap = along.gap(stands);
    let springs = stands.iter().filter(|stand| stand.springs());
    let findings = springs.map(|stand| {
        let path = &stand.mount.path;
        let draft = CARD.about(cx, format!("spring at {}", stand.mount.name)).at(path).case("travel");
        let draft = draft.words("needs a travel of", "has");
        let key = format!("{path}.spring.stroke");
        let Ok(stroke) = cx.facts().mounts().told(&key) else { return draft.missing(key) };
        let held = [Held::plate("travel of the spring", stroke.clone(), Dimension::Length)];
        let longer = |_: &check::draft::Goal| {
            let to = travel_for(&gap);
            let stated = cx.rig().mount.get(stand.index).and_then(|mount| mount.spring.as_ref()?.stroke.as_ref());
            vec![Proposal {
                text: format!(
                    "a spring with {} of travel at {}",
                    to_step(cx, to, Dimension::Length, step::SHOW_M),
                    stand.mount.name
                ),
                effort: Effort::PartsToBuy,
                edits: vec![restate(cx, key.clone(), stated, to)],
            }]
        };
        draft.compare(&gap, &held).remedies(longer).done()
    });
    findings.collect()
}

/// Travel of a spring that takes a gap, whole steps and one to spare for reading it.
fn travel_for(gap: &Estimate) -> f64 {
    let (_, high) = gap.interval95();
    up_to_step((high + step::TRAVEL_M).max(gap.value() / GOAL), step::TRAVEL_M)
}

/// Springs in place of the foremost stiff mounts, pair by pair, until what is left is stiff over a short piece of frame.
pub fn springs_at_front(
    cx: &Context,
    stands: &[Stand<'_>],
    most: f64,
    gap: &dyn Fn(&[Stand<'_>]) -> Estimate,
) -> Option<Proposal> {
    let travel = travel_for(&gap(stands));
    let mut stiff: Vec<Stand<'_>> = stands.iter().filter(|stand| !stand.springs()).copied().collect();
    stiff
        .sort_by(|a, b| b.at.first().partial_cmp(&a.at.first()).unwrap_or(std::cmp::Ordering::Equal).then(b.index.cmp(&a.index)));
    let (mut edits, mut sprung, mut lifted) = (Vec::new(), Vec::new(), Vec::new());
    loop {
        let left = gap(&stiff);
        if !is_warped(&stiff) || has_reserve_under(most, &left) {
            break;
        }
        let [foremost, _] = stiff.last()?.at;
        while let Some(stand) = stiff.pop_if(|stand| stand.at.first().is_some_and(|x| x - foremost < step::PAIR_M)) {
            let mount = cx.rig().mount.get(stand.index)?;
            let (names, more) = if mount.guide.is_some() {
                (&mut lifted, guide_alone(&stand)?)
            } else {
                (&mut sprung, as_spring(mount.holds.is_some(), &stand, travel)?)
            };
            names.push(stand.mount.name.clone());
            edits.extend(more);
        }
    }
    // Two behind are wanted to hold the body.
    if sprung.is_empty() || stiff.len() < 2 {
        return None;
    }
    let travel = to_step(cx, travel, Dimension::Length, step::SHOW_M);
    let air =
        if lifted.is_empty() { String::new() } else { format!("; air under {}, which then only guide", lifted.join(" and ")) };
    let text = format!(
        "springs of {travel} travel under the bolts of {}, a guide beside each{air}; the rest stays as it is",
        sprung.join(" and ")
    );
    Some(Proposal { text, effort: Effort::PartsToBuy, edits })
}

fn edit(stand: &Stand<'_>, key: &str, to: Free) -> Edit {
    Edit { path: format!("{}.{key}", stand.mount.path), op: EditOp::Set, from: None, to: Some(to) }
}

/// The ways a mount holds, but for some, as the file writes them.
fn holds_but(stand: &Stand<'_>, less: &[Direction]) -> Option<Free> {
    let holds = stand.mount.holds.as_ref().ok()?.iter().filter(|direction| !less.contains(direction));
    Some(Free::List(holds.map(|direction| Free::Text(direction.word().to_owned())).collect()))
}

/// A mount becomes a spring that holds what it held.
fn as_spring(holds_told: bool, stand: &Stand<'_>, travel: f64) -> Option<Vec<Edit>> {
    let stroke = Free::Text(quantity::show_exact(travel, Dimension::Length, quantity::System::Metric));
    let mut edits = vec![edit(stand, "kind", Free::Text(MountKind::Spring.word().to_owned()))];
    if !holds_told {
        edits.push(edit(stand, "holds", holds_but(stand, &[])?));
    }
    edits.push(edit(stand, "spring", Free::Table([("stroke".to_owned(), stroke)].into_iter().collect())));
    Some(edits)
}

/// A guide that carries no more, and holds sideways as before.
fn guide_alone(stand: &Stand<'_>) -> Option<Vec<Edit>> {
    Some(vec![edit(stand, "holds", holds_but(stand, &[Direction::Down])?)])
}

/// Four corners become three points: a pivot in the middle of the front in place of the front pair.
fn pivot_at_front(cx: &Context, stands: &[Stand<'_>]) -> Option<Proposal> {
    let mut sorted = stands.to_vec();
    sorted.sort_by(|a, b| a.at.first().partial_cmp(&b.at.first()).unwrap_or(std::cmp::Ordering::Equal));
    let [one, other, _, _] = sorted.as_slice() else { return None };
    let (keep, drop) = if one.index < other.index { (one, other) } else { (other, one) };
    let mount = cx.rig().mount.get(keep.index).filter(|mount| mount.guide.is_none() && mount.spring.is_none())?;
    let stated = match mount.at.as_ref()? {
        [_, Coord::Length(stated), _] => Some(stated),
        _ => None,
    };
    let path = &keep.mount.path;
    let kind = Edit {
        path: format!("{path}.kind"),
        op: EditOp::Set,
        from: None,
        to: Some(Free::Text(MountKind::Pivot.word().to_owned())),
    };
    let mut edits = vec![restate(cx, format!("{path}.at[2]"), stated, 0.0), kind];
    edits.push(Edit { path: drop.mount.path.clone(), op: EditOp::Remove, from: None, to: None });
    Some(Proposal {
        text: format!("three points: one pivot in the middle in place of {} and {}", keep.mount.name, drop.mount.name),
        effort: Effort::CuttingAndWelding,
        edits,
    })
}

/// What a line of working shows: mm of m.
const MILLI: f64 = 1e3;

/// Steps that people speak in. Choices of this project.
mod step {
    /// How high a wheel is lifted: 1 cm.
    pub(super) const LIFT_M: f64 = 0.01;
    /// Told to 1 mm.
    pub(super) const SHOW_M: f64 = 0.001;
    /// Travel of a spring: 5 mm.
    pub(super) const TRAVEL_M: f64 = 0.005;
    /// Two mounts this close along the truck are a pair.
    pub(super) const PAIR_M: f64 = 0.1;
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::context;

    /// The trade's reference page, computed with numpy: one wheel 0.3 m up on a track of 1.9 m, wheelbase 3.6 m, 4.2 m of body
    /// on mounts 0.8 m apart, all of the roll left to the frame: 146 mm.
    #[test]
    fn a_corner_parts_as_worked() {
        let corners = [(0.4, -0.4), (0.4, 0.4), (4.6, -0.4), (4.6, 0.4)];
        let mounts = corners
            .iter()
            .enumerate()
            .map(|(at, (x, y))| format!("[[mount]]\nname = \"{at}\"\nat = [\"{x} m\", \"{y} m\", \"1 m\"]\nkind = \"fixed\"\n"));
        let cx = context(&mounts.collect::<String>());
        let stands = Stand::all(&cx).expect("they stand");
        let twist = Estimate::exact(axle_roll(0.3, 1.9) / 3.6);
        let along = Along { lift: 0.3, twist, lines: Vec::new(), judged: true };
        assert!((along.gap(&stands).value() - 0.1462).abs() < 1e-4);
        assert!(is_warped(&stands) && !is_warped(&stands[1..]));
    }

    #[test]
    fn travel_covers_the_gap_to_its_far_end() {
        assert_eq!(travel_for(&Estimate::exact(0.1)), up_to_step(0.1 / GOAL, step::TRAVEL_M));
        let doubtful = Estimate::input(quantity::InputId(0), 0.1, 0.02);
        assert!(travel_for(&doubtful) >= doubtful.interval95().1 + step::TRAVEL_M);
    }
}
