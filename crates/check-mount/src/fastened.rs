//! What screws, bolts and strips of glue hold: pulled straight out, and pushed sideways.
//!
//! Kinds that are told together do not share: the stiffer one carries until it breaks. So the best of them counts alone.

use crate::sources::{HOLDING, source, taken, taken_basis};
use check::draft::has_reserve;
use std::sync::LazyLock;

use basis::Basis;
use check::remedy::{Effort, Proposal};
use check::working::{Figure, figure};
use check::{Context, Detail, Draft, Finding, Held, Verdict};
use physics::fastener::{self, ShearPlane, shear_area};
use physics::thread::{Thread, grade};
use physics::{mount_facts, timber};
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_model::model::{self, Bolts, Many, Screws, Short};
use rig_model::{Edit, EditOp, Free};

/// What is taken for a bolt whose class nobody read.
pub const WORST_CLASS: &str = "4.6";

/// One line of the file that holds something: so many alike.
#[derive(Clone, Debug)]
pub struct Group {
    /// Path of the key that counts them.
    pub count_at: String,
    /// "screws", "bolts", "straps".
    pub kind: &'static str,
    /// How many.
    pub count: u32,
    /// How many of them the force pulls at: all, or those on one side.
    pub loaded: u32,
    /// What all of them hold pulled straight out, N.
    pub pull: Estimate,
    /// What all of them hold pushed sideways, N.
    pub sideways: Estimate,
    /// "screws 6 mm in spruce", where somebody reads it.
    what: String,
}

impl Group {
    fn line(&self, held: &Estimate) -> String {
        let count = figure(self.loaded.into(), 0);
        let each = figure(held.value() / count.get(), 0);
        format!("{}: {count} x {each} N = {} N", self.what, figure(count.get() * each.get(), 0))
    }
}

/// What holds something.
#[derive(Clone, Debug)]
pub struct Hold {
    /// The entries that count: all of one kind.
    pub groups: Vec<Group>,
    /// Where their strength comes from.
    pub basis: Basis,
    /// What else would have to be told if this is not enough.
    pub open: Option<Gap>,
    /// What was taken at its worst: "even if the bolts are 4.6".
    pub even_if: Option<&'static str>,
}

/// The way in which something is loaded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Straight out.
    Pull,
    /// Sideways.
    Sideways,
}

impl Hold {
    /// What all of it holds, N.
    #[must_use]
    pub fn strength(&self, way: Way) -> Estimate {
        Estimate::sum(self.groups.iter().map(|group| group.held(way)))
    }

    /// The same line by line.
    #[must_use]
    pub fn lines(&self, way: Way) -> Vec<String> {
        self.groups.iter().map(|group| group.line(group.held(way))).collect()
    }

    /// As a bound of a force.
    #[must_use]
    pub fn bound(&self, way: Way) -> Held {
        Held::at_most("what its fixings hold", self.strength(way), Dimension::Force, self.basis.clone())
    }

    /// Holds a force against it. What was taken at its worst and does not pass is asked for instead.
    ///
    /// # Errors
    /// The finding that asks for what is open.
    pub fn judge<'c>(&self, begin: impl Fn() -> Draft<'c>, force: &Estimate, way: Way) -> Result<Draft<'c>, Box<Finding>> {
        let draft = begin().compare(force, &[self.bound(way)]);
        match &self.open {
            Some(gap) if draft.verdict() != Verdict::Pass => Err(Box::new(begin().blocked(gap))),
            _ => Ok(draft),
        }
    }

    /// The same where so many share what is left of the strength: a share of it, at most all.
    ///
    /// # Errors
    /// The finding that asks for what is open.
    pub fn judge_share<'c>(&self, begin: impl Fn() -> Draft<'c>, share: &Estimate) -> Result<Draft<'c>, Box<Finding>> {
        let all = Held::at_most("what its fixings hold", Estimate::exact(1.0), Dimension::Ratio, self.basis.clone());
        let draft = begin().compare(share, &[all]);
        match &self.open {
            Some(gap) if draft.verdict() != Verdict::Pass => Err(Box::new(begin().blocked(gap))),
            _ => Ok(draft),
        }
    }

    /// Those that the upper row of so many brackets has: half of them, or all where there is one a bracket.
    #[must_use]
    pub fn upper(mut self, brackets: Option<u32>) -> Self {
        for group in &mut self.groups {
            let one_each = brackets.is_some_and(|brackets| group.count < 2 * brackets);
            group.loaded = if one_each { group.count } else { group.count / 2 };
            group.pull = group.pull.scale(f64::from(group.loaded) / f64::from(group.count.max(1)));
        }
        self
    }

    /// The worst that was taken, behind a sentence that passes.
    #[must_use]
    pub fn remark(&self, draft: &Draft<'_>, sentence: String) -> String {
        match self.even_if {
            Some(even_if) if draft.verdict() == Verdict::Pass => format!("{sentence}; {even_if}"),
            _ => sentence,
        }
    }
}

impl Group {
    fn held(&self, way: Way) -> &Estimate {
        match way {
            Way::Pull => &self.pull,
            Way::Sideways => &self.sideways,
        }
    }
}

/// What screws and bolts of a table hold; none where neither is told.
///
/// # Errors
/// The gap that stops it.
pub fn fasteners(
    cx: &Context,
    path: &str,
    screws: &Many<Short<Screws>>,
    bolts: &Many<Short<Bolts>>,
) -> Result<Option<Hold>, Gap> {
    fasteners_or(cx, path, screws, bolts, None)
}

/// The same beside one more kind.
///
/// # Errors
/// The gap that stops it.
pub fn fasteners_or(
    cx: &Context,
    path: &str,
    screws: &Many<Short<Screws>>,
    bolts: &Many<Short<Bolts>>,
    other: Option<Result<Hold, Gap>>,
) -> Result<Option<Hold>, Gap> {
    let kinds = [screws_hold(cx, &key(path, "screws"), screws), bolts_hold(cx, &key(path, "bolts"), bolts), other];
    best(kinds.into_iter().flatten())
}

/// The kind that holds most when pulled; what the others lack is asked for if it is not enough.
fn best(kinds: impl Iterator<Item = Result<Hold, Gap>>) -> Result<Option<Hold>, Gap> {
    let mut found: Option<Hold> = None;
    let mut open: Option<Gap> = None;
    for kind in kinds {
        match kind {
            Ok(hold) => {
                let more = found.as_ref().is_none_or(|best| hold.strength(Way::Pull).value() > best.strength(Way::Pull).value());
                if more {
                    found = Some(hold);
                }
            }
            Err(gap) => open = open.or(Some(gap)),
        }
    }
    match (found, open) {
        (Some(mut hold), open) => {
            hold.open = hold.open.or(open);
            Ok(Some(hold))
        }
        (None, Some(gap)) => Err(gap),
        (None, None) => Ok(None),
    }
}

/// Entries of one kind together; those that cannot be worked out do not count, and are asked for if the rest is not enough.
fn together(entries: impl Iterator<Item = Result<(Group, &'static Basis), Gap>>) -> Option<Result<Hold, Gap>> {
    let (mut groups, mut basis, mut open) = (Vec::new(), None, None);
    for entry in entries {
        match entry {
            Ok((group, from)) => {
                groups.push(group);
                basis = basis.or(Some(from));
            }
            Err(gap) => open = open.or(Some(gap)),
        }
    }
    match (basis, open) {
        (Some(basis), open) => Some(Ok(Hold { groups, basis: basis.clone(), open, even_if: None })),
        (None, Some(gap)) => Some(Err(gap)),
        (None, None) => None,
    }
}

fn screws_hold(cx: &Context, path: &str, screws: &Many<Short<Screws>>) -> Option<Result<Hold, Gap>> {
    let entries = screws.iter().enumerate().map(|(index, one)| screw(cx, screws.path_of(path, index), one));
    together(entries)
}

fn screw(cx: &Context, path: String, screws: &Screws) -> Result<(Group, &'static Basis), Gap> {
    let at = |name: &str| key(&path, name);
    let told = |name: &str| cx.facts().mounts().told(&at(name)).cloned();
    let count = screws.count.ok_or_else(|| Gap::at(at("count")))?;
    let into = screws.into.as_deref();
    let tested = told("tested");
    let (one, basis) = match &tested {
        Ok(pull) => (pull.scale(taken(HOLDING, "share of a tested pull")), taken_basis(HOLDING)),
        Err(_) => {
            let text = screws.size.as_deref().ok_or_else(|| Gap::at(at("size")))?;
            let diameter = timber::screw_number(text).or_else(|| quantity::parse(text, Dimension::Length).ok());
            let diameter = diameter.ok_or_else(|| Gap::because(at("size"), "a screw's size is such as \"6 mm\" or \"#10\""))?;
            let into = into.filter(|into| *into != "?").ok_or_else(|| Gap::at(at("into")))?;
            let (wood, share) = timber::screw_into(into).map_err(|_| {
                Gap::because(
                    at("tested"),
                    format!("no formula tells what a screw holds in \"{into}\": pull one out and write the force"),
                )
            })?;
            let length = told("length")?;
            let pull = Estimate::propagate(&[&length], |at| match at {
                [length] => Ok::<_, Gap>(share * timber::screw_holds(&wood, diameter, length.max(0.0))),
                _ => Ok(0.0),
            })?;
            let basis = match timber::screw_rule(&wood, diameter) {
                timber::ScrewRule::En1995 => source("screw-ec5"),
                timber::ScrewRule::Nds => source("screw-wood-nds"),
            };
            (pull, basis)
        }
    };
    let what = if cx.detail() == Detail::Everything {
        let size = screws.size.as_deref().unwrap_or_default();
        let how = if tested.is_ok() { "half of the tested pull".to_owned() } else { format!("in {}", into.unwrap_or_default()) };
        format!("screws {size}, {how}")
    } else {
        String::new()
    };
    let pull = one.scale(count.into());
    let sideways = pull.scale(taken(HOLDING, "share of its pull that a screw holds sideways"));
    Ok((Group { count_at: key(&path, "count"), kind: "screws", count, loaded: count, pull, sideways, what }, basis))
}

fn key(path: &str, key: &str) -> String {
    format!("{path}.{key}")
}

fn bolts_hold(cx: &Context, path: &str, bolts: &Many<Short<Bolts>>) -> Option<Result<Hold, Gap>> {
    let unread = bolts.iter().enumerate().find(|(_, one)| class(one).is_none()).map(|(index, _)| bolts.path_of(path, index));
    let entries = bolts.iter().enumerate().map(|(index, one)| bolt(cx, bolts.path_of(path, index), one));
    let mut hold = together(entries)?;
    if let (Ok(hold), Some(path)) = (&mut hold, unread) {
        hold.open = hold.open.take().or_else(|| Some(Gap::at(key(&path, "class"))));
        hold.even_if = Some("even if the bolts are 4.6");
    }
    Some(hold)
}

fn class(bolts: &Bolts) -> Option<&str> {
    bolts.class.as_deref().filter(|class| *class != "?")
}

fn bolt(cx: &Context, path: String, bolts: &Bolts) -> Result<(Group, &'static Basis), Gap> {
    let size = bolts.size.as_deref().filter(|size| *size != "?").ok_or_else(|| Gap::at(key(&path, "size")))?;
    let count = bolts.count.ok_or_else(|| Gap::at(key(&path, "count")))?;
    let thread = Thread::parse(size).map_err(|why| Gap::because(key(&path, "size"), why.to_string()))?;
    let class = class(bolts).unwrap_or(WORST_CLASS);
    let grade = grade(class, thread.diameter).map_err(|why| Gap::because(key(&path, "class"), why.to_string()))?;
    let plane = match bolts.shear_plane {
        Some(model::ShearPlane::Shank) => ShearPlane::Shank,
        Some(model::ShearPlane::Thread) | None => ShearPlane::Thread,
    };
    let partial = mount_facts::bolt().partial;
    let (area, factor) = shear_area(&thread, &grade, plane);
    let each = |held: f64| Estimate::exact(held).scale(count.into());
    let pull = each(fastener::tension(grade.ultimate, thread.stress_area(), partial));
    let sideways = each(fastener::shear(factor, grade.ultimate, area, partial));
    let what = if cx.detail() == Detail::Everything { format!("bolts {size} {class}") } else { String::new() };
    Ok((
        Group { count_at: key(&path, "count"), kind: "bolts", count, loaded: count, pull, sideways, what },
        source("bolt-tension"),
    ))
}

/// Straps round something, by the LC of their label; none where none is told.
#[must_use]
pub fn straps(cx: &Context, path: &str, straps: Option<u32>) -> Option<Result<Hold, Gap>> {
    let count = straps.filter(|straps| *straps > 0)?;
    let each = cx.facts().mounts().told(&key(path, "strap_capacity")).cloned();
    let group = each.map(|each| {
        let strength = each.scale(count.into());
        let what = if cx.detail() == Detail::Everything { "straps".to_owned() } else { String::new() };
        (
            Group {
                count_at: key(path, "straps"),
                kind: "straps",
                count,
                loaded: count,
                pull: strength.clone(),
                sideways: strength,
                what,
            },
            label(),
        )
    });
    together(std::iter::once(group))
}

/// A label on a strap.
fn label() -> &'static Basis {
    static LABEL: LazyLock<Basis> = LazyLock::new(|| Basis::data_plate("LC on the label of the strap"));
    &LABEL
}

/// A strip of glue, its stress times its area.
///
/// # Errors
/// The gap that stops it.
pub fn bond(cx: &Context, path: &str, bond: &model::Bond, held: &[Held]) -> Result<Hold, Gap> {
    let told = |key: &str| cx.facts().mounts().told(&self::key(path, key)).cloned();
    let (length, width) = (told("length")?, told("width")?);
    let stress = held.iter().filter_map(|held| match &held.bound {
        check::limits::HeldBound::AtMost(most) => Some((most.value(), &held.basis)),
        _ => None,
    });
    let (stress, basis) = stress.min_by(|a, b| a.0.total_cmp(&b.0)).ok_or_else(|| Gap::at(path.to_owned()))?;
    // Nobody says that the skin was primed: the worst is that it was not, and then it peels.
    let strength = (&length * &width).scale(if bond.primed == Some(true) { stress } else { 0.0 });
    let [length, width]: [Figure; 2] = [&length, &width].map(|side| figure(side.value(), 3));
    let what = if cx.detail() == Detail::Everything { format!("strip {length} m x {width} m") } else { String::new() };
    let open = bond.primed.is_none().then(|| Gap::at(key(path, "primed")));
    let group = Group {
        count_at: path.to_owned(),
        kind: "strips",
        count: 1,
        loaded: 1,
        pull: strength.clone(),
        sideways: strength,
        what,
    };
    Ok(Hold { groups: vec![group], basis: basis.clone(), open, even_if: None })
}

/// How many of a group hold a force with the reserve that every way out aims at, in multiples of `step`; none where it
/// takes more than `MOST_MORE` times as many.
#[must_use]
pub fn enough(group: &Group, force: &Estimate, way: Way, step: u32) -> Option<u32> {
    let (step, each) = (step.max(1), group.held(way).scale(1.0 / f64::from(group.count.max(1))));
    let first = group.count.next_multiple_of(step);
    let counts = (first..=group.count.saturating_mul(MOST_MORE)).step_by(usize::try_from(step).ok()?);
    counts.into_iter().find(|count| *count > group.count && has_reserve(&each.scale((*count).into()), force))
}

/// Beyond so many times the fasteners there is no room for them. A choice of this project.
const MOST_MORE: u32 = 2;

/// Bolts that are proposed to go through a roof or a wall, thinnest first, and their class. A choice of this project: what
/// every shop has.
const THROUGH: [&str; 4] = ["M6", "M8", "M10", "M12"];
const THROUGH_CLASS: &str = "8.8";

/// The way out that goes through: so many bolts, of the thinnest size that `holds`, with plates that spread them.
#[must_use]
pub fn through_bolts(cx: &Context, path: &str, name: &str, count: u32, holds: impl Fn(&Hold) -> bool) -> Option<Proposal> {
    let at = key(path, "bolts");
    let size = THROUGH.into_iter().find(|size| {
        let bolts = Bolts {
            size: Some((*size).to_owned()),
            class: Some(THROUGH_CLASS.to_owned()),
            count: Some(count),
            ..Bolts::default()
        };
        let hold = together(std::iter::once(bolt(cx, at.clone(), &bolts)));
        hold.is_some_and(|hold| hold.is_ok_and(|hold| holds(&hold)))
    })?;
    let line = format!("{count} x {size} {THROUGH_CLASS}");
    Some(Proposal {
        text: format!("hold {name} with {line} through to the inside, plates under the nuts"),
        effort: Effort::PartsToBuy,
        edits: vec![Edit { path: at, op: EditOp::Set, from: None, to: Some(Free::Text(line)) }],
    })
}

/// The way out that says so.
#[must_use]
pub fn more_of(group: &Group, count: u32, name: &str) -> Proposal {
    let number = |count: u32| Some(Free::Number(count.into()));
    Proposal {
        text: format!("hold {name} with {count} such {} instead of {}", group.kind, group.count),
        effort: Effort::AnAfternoon,
        edits: vec![Edit { path: group.count_at.clone(), op: EditOp::Set, from: number(group.count), to: number(count) }],
    }
}

/// So many times as many of the one group there is, up to whole multiples of `step`; none where there would be no room.
#[must_use]
pub fn times(hold: &Hold, times: f64, step: u32) -> Option<u32> {
    let [group] = hold.groups.as_slice() else { return None };
    let (step, most) = (step.max(1), group.count.saturating_mul(MOST_MORE));
    let wanted = f64::from(group.count) * times;
    let counts = (group.count.next_multiple_of(step)..=most).step_by(usize::try_from(step).ok()?);
    counts.into_iter().find(|count| *count > group.count && f64::from(*count) >= wanted)
}
