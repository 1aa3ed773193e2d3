//! mount/member: does the cross member or the bracket bend?
//!
//! demand      bending stress under the worst travel state and case, and standing still (Pa); how far a member gives (m)
//! capacity    the steel's yield strength; the share of it that may come and go; a share of the length
//! states      once: the worst travel state counts, and is named
//! leaves out  twist of a channel that is loaded beside its shear centre, buckling of thin flanges, its own weight

use std::borrow::Cow;

use basis::Basis;
use check::working::{figure, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, Holds, List, Scope, Verdict, Words};
use physics::{beam, mount_facts, profile, section::Shape, weld};
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_model::model::{Bracket, CrossMember, Ends, Mount};
use rig_model::path;

use crate::bolt::KILO;
use crate::bolt_joint::{MILLI, WORST_STEEL};
use crate::loads::{Under, loads, on_mounts, still, worst};
use crate::member_ways_out as ways;
use crate::places::{about, mount_path};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("mount/member"),
    question: Cow::Borrowed("Does the cross member or the bracket bend?"),
    words: Words::new("is stressed to", "may be stressed to"),
    consequence: Consequence::Damage,
    scope: Scope::Once,
    needs: List::Static(&[
        "mount.at",
        "mount.bracket.section",
        "mount.bracket.length",
        "mount.bracket.arm",
        "cross_member.section",
    ]),
    uses: on_mounts!["mount.bracket", "mount.member", "cross_member", "chassis.frame.spacing"],
    limits: List::Static(&["mount/alternating", "mount/deflection"]),
    formula: List::Static(&[
        "bracket: stress = F x arm x 6 / (length x thickness^2), in the leg beside the bend",
        "member beyond the rails: moment = F x overhang; between them at most F x span / 4; stress = moment / W",
        "strength: stress <= yield; bumps: stress standing still <= a share of yield, since it comes and goes",
        "stiffness: tip F a^2 (2 a + 3 s) / (6 E I), middle F s^3 / (48 E I) <= a share of the span",
    ]),
    cautions: List::Static(&[
        "angle brackets give in the leg, not in the bolts: look at the bend for cracks",
        "this is arithmetic on what was typed: it sees no crack and no rust",
    ]),
};

/// Does the cross member or the bracket bend?
#[derive(Debug)]
pub struct Member;

impl Check for Member {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        if cx.rig().mount.is_empty() {
            return vec![CARD.about(cx, "mounts").at("mount").missing("mount")];
        }
        if cx.rig().mount.iter().all(|mount| mount.bracket.is_none() && mount.member.is_none()) {
            return vec![
                CARD.about(cx, "mounts").at("mount").not_applicable("no mount has a bracket or stands on a cross member"),
            ];
        }
        let loads = match loads(cx) {
            Ok(loads) => loads,
            Err(gap) => return vec![CARD.about(cx, "mounts").at("mount").blocked(&gap)],
        };
        let each = cx.rig().mount.iter().enumerate().map(|(index, mount)| One { cx, mount, index, loads: &loads });
        each.flat_map(|one| [one.bracket(), one.member()]).flatten().collect()
    }
}

/// One mount under its loads.
struct One<'c, 'u> {
    cx: &'c Context,
    mount: &'c Mount,
    index: usize,
    loads: &'u [Under<'c>],
}

/// What bends.
pub(crate) struct Bent<'e> {
    /// Stress for a load, N, and these sizes, m.
    pub(crate) stress: &'e dyn Fn(f64, &[f64]) -> f64,
    /// The sizes.
    pub(crate) sizes: Vec<Estimate>,
    /// Yield strength, Pa.
    pub(crate) yields: f64,
    /// Path of the steel where nobody told it.
    pub(crate) open: Option<String>,
}

impl Bent<'_> {
    /// Stress under a load, with its doubt; none where it is no number.
    pub(crate) fn under(&self, load: &Estimate) -> Option<Estimate> {
        let inputs: Vec<&Estimate> = std::iter::once(load).chain(&self.sizes).collect();
        Estimate::propagate(&inputs, |v| {
            let (load, sizes) = v.split_first().ok_or(())?;
            let stress = (self.stress)(load.abs(), sizes);
            if stress.is_finite() { Ok(stress) } else { Err(()) }
        })
        .ok()
    }

    /// The yield strength as a bound.
    pub(crate) fn bound(&self) -> Held {
        Held::at_most("yield strength", Estimate::exact(self.yields), Dimension::Stress, steel_basis())
    }

    fn nominal(&self) -> Vec<f64> {
        self.sizes.iter().map(Estimate::value).collect()
    }
}

fn steel_basis() -> Basis {
    mount_facts::table("steel/structural").map_or_else(Basis::common_practice, |table| table.basis.clone())
}

/// Yield strength by name, Pa, and the path to ask where nobody told it.
fn steel(name: Option<&str>, path: String) -> Result<(f64, Option<String>), Gap> {
    let told = name.filter(|name| *name != "?");
    let of =
        |name: &str| weld::steel(name).map(|(yields, ..)| yields).map_err(|fault| Gap::because(path.clone(), fault.to_string()));
    Ok((of(told.unwrap_or(WORST_STEEL))?, told.is_none().then_some(path.clone())))
}

fn square(x: f64) -> f64 {
    x * x
}

impl<'c> One<'c, '_> {
    fn told(&self, path: &str) -> Result<Estimate, Gap> {
        self.cx.facts().mounts().told(path).cloned()
    }

    fn begin(&self, what: &str, path: &str, case: &str) -> Draft<'c> {
        CARD.about(self.cx, format!("{}, {what}", about(self.mount))).at(path).case(case)
    }

    /// The load up or down that is worst, or the load of standing still.
    fn load(&self, standing: bool) -> Option<(&Under<'c>, Result<Estimate, Gap>)> {
        let up = |[_, _, z]: [f64; 3]| z.abs();
        let (under, mount) = if standing { still(self.loads, &[self.index], up)? } else { worst(self.loads, &[self.index], up)? };
        let load = under.forces(self.cx, mount).map(|[_, _, z]| z);
        Some((under, load))
    }

    fn bracket(&self) -> Vec<Finding> {
        let Some(bracket) = &self.mount.bracket else { return Vec::new() };
        let path = format!("{}.bracket", mount_path(self.mount, self.index));
        if bracket.gusset == Some(true) {
            let cases = ["strength", "bumps"]
                .into_iter()
                .filter(|case| *case == "strength" || !self.cx.limits("mount/alternating").is_empty());
            let stiff =
                |case| self.begin("bracket", &path, case).require(Holds::Yes, "a gusset ties both legs: the leg does not bend");
            return cases.map(|case| stiff(case).done()).collect();
        }
        let thick = match thickness(bracket) {
            Some(thick) => thick,
            None => return vec![self.begin("bracket", &path, "strength").missing(format!("{path}.section"))],
        };
        let sizes = ["arm", "length"].map(|key| self.told(&format!("{path}.{key}")));
        let (arm, length, (yields, open)) = match (sizes, steel(bracket.steel.as_deref(), format!("{path}.steel"))) {
            ([Ok(arm), Ok(length)], Ok(steel)) => (arm, length, steel),
            ([Err(gap), _] | [_, Err(gap)], _) | (_, Err(gap)) => {
                return vec![self.begin("bracket", &path, "strength").blocked(&gap)];
            }
        };
        let stress = move |load: f64, sizes: &[f64]| match sizes {
            [arm, length] => beam::angle_leg_stress(load, *arm, *length, thick),
            _ => f64::NAN,
        };
        let bent = Bent { stress: &stress, sizes: vec![arm, length], yields, open };
        let line = move |load: f64, sizes: &[f64]| {
            let [arm, length, thick] =
                [sizes.first(), sizes.get(1), Some(&thick)].map(|size| figure(size.copied().unwrap_or_default() / MILLI, 1));
            let load = figure(load, 0);
            let six = SIX;
            let stress = load.get() * arm.get() * six / (length.get() * square(thick.get()));
            format!("{load} x {arm} x {six} / ({length} x {thick} x {thick}) = {} MPa", number(stress, 1))
        };
        self.stressed("bracket", &path, &bent, line, &|load, may| ways::bracket(self.cx, self.mount, &path, &bent, load, may))
    }

    fn member(&self) -> Vec<Finding> {
        let Some(on) = &self.mount.member else { return Vec::new() };
        let at = mount_path(self.mount, self.index);
        let path = format!("{at}.member");
        let shared = cross_member(self.cx, self.mount);
        let own = |key: &str| match &shared {
            Some((_, path)) => format!("{path}.{key}"),
            None => format!("{path}.{key}"),
        };
        let name = on.section.as_deref().map(|section| (section, format!("{path}.section")));
        let name = name
            .or_else(|| shared.as_ref().and_then(|(member, path)| Some((member.section.as_deref()?, format!("{path}.section")))));
        let Some((name, section_path)) = name.filter(|(name, _)| *name != "?") else {
            return vec![self.begin("cross member", &path, "strength").missing(own("section"))];
        };
        let worked = (|| {
            let profile = profile::profile(name).map_err(|fault| Gap::because(section_path.clone(), fault.to_string()))?;
            let span = span(self.cx, self.mount, &at)?;
            let overhang = overhang(self.cx, self.mount, self.index, &span)?;
            let steel_name = on.steel.as_deref().or_else(|| shared.as_ref().and_then(|(member, _)| member.steel.as_deref()));
            Ok::<_, Gap>((profile, span, overhang, steel(steel_name, own("steel"))?))
        })();
        let (profile, span, overhang, (yields, open)) = match worked {
            Ok(worked) => worked,
            Err(gap) => return vec![self.begin("cross member", &path, "strength").blocked(&gap)],
        };
        let w = profile.properties.w_x;
        let stress = move |load: f64, sizes: &[f64]| moment(load, sizes) / w;
        let held_stiff = held_stiff(shared.as_ref().map(|(member, _)| *member));
        let bent = Bent { stress: &stress, sizes: vec![span, overhang], yields, open };
        let line = move |load: f64, sizes: &[f64]| {
            let (load, w) = (figure(load, 0), figure(w / CUBIC_CENTI, 2));
            let [span, overhang] = [sizes.first(), sizes.get(1)].map(|size| figure(size.copied().unwrap_or_default(), 3));
            if overhang.get() > 0.0 {
                format!("{load} x {overhang} / {w} = {} MPa", number(load.get() * overhang.get() / w.get(), 1))
            } else {
                format!("{load} x {span} / 4 / {w} = {} MPa", number(load.get() * span.get() / FOUR / w.get(), 1))
            }
        };
        let out = |load: &Estimate, may: f64| ways::member(&section_path, name, &bent, load, may);
        let mut findings = self.stressed("cross member", &path, &bent, line, &out);
        findings.extend(self.stiffness(&path, profile.properties.i_x, &bent, held_stiff));
        findings
    }

    /// Strength under the worst load, and the stress of standing still that comes and goes.
    fn stressed(
        &self,
        what: &str,
        path: &str,
        bent: &Bent<'_>,
        line: impl Fn(f64, &[f64]) -> String,
        out: &dyn Fn(&Estimate, f64) -> Vec<check::remedy::Proposal>,
    ) -> Vec<Finding> {
        let bumps: Vec<Held> = self.cx.limits("mount/alternating");
        let bumps: Vec<Held> =
            bumps.into_iter().map(|held| held.times(&Estimate::exact(bent.yields), Dimension::Stress)).collect();
        let mut findings = Vec::new();
        for (case, standing, held) in [("strength", false, vec![bent.bound()]), ("bumps", true, bumps)] {
            if held.is_empty() {
                continue;
            }
            let Some((under, load)) = self.load(standing) else { continue };
            let begin = || self.begin(what, path, case);
            let (load, stress) = match load.and_then(|load| {
                let stress = bent.under(&load).ok_or_else(|| Gap::because(path, "as told, it has no size: look again"))?;
                Ok((load, stress))
            }) {
                Ok(both) => both,
                Err(gap) => {
                    findings.push(begin().blocked(&gap));
                    continue;
                }
            };
            let draft = begin().compare(&stress, &held);
            if let (Some(open), true) = (&bent.open, draft.verdict() != Verdict::Pass) {
                let why = format!("{} MPa: more than {WORST_STEEL} stands", number(stress.value() / MEGA, 0));
                findings.push(begin().blocked(&Gap::because(open.clone(), why)));
                continue;
            }
            let even = bent.open.as_ref().map_or(String::new(), |_| format!(", even if it is {WORST_STEEL}"));
            let draft = draft
                .sentence(format!("worst {}: {} kN{even}", under.words(), number(load.value().abs() / KILO, 1)))
                .working(|| [line(load.value().abs(), &bent.nominal())])
                .remedies(|goal| out(&load, goal.capacity.value()));
            findings.push(draft.done());
        }
        findings
    }

    fn stiffness(&self, path: &str, i: f64, bent: &Bent<'_>, held_stiff: bool) -> Option<Finding> {
        let held = self.cx.limits("mount/deflection");
        let elastic = mount_facts::table("steel/stiffness").and_then(|table| table.number("metal", "steel", "elastic"))?;
        let span = bent.sizes.first()?;
        let held: Vec<Held> = held.into_iter().map(|held| held.times(span, Dimension::Length)).collect();
        if held.is_empty() {
            return None;
        }
        let (under, load) = self.load(true)?;
        let begin = || self.begin("cross member", path, "stiffness").words("gives", "may give");
        let load = match load {
            Ok(load) => load,
            Err(gap) => return Some(begin().blocked(&gap)),
        };
        let inputs: Vec<&Estimate> = std::iter::once(&load).chain(&bent.sizes).collect();
        let gives = Estimate::propagate(&inputs, |v| match v {
            [load, span, overhang] if *overhang > 0.0 => {
                // Stiffly held at its ends it gives as a cantilever does.
                let free = if held_stiff { 0.0 } else { *span };
                Ok::<_, ()>(beam::two_overhangs(load.abs(), *overhang, free, elastic * i).deflection)
            }
            [load, span, _] => Ok(beam::simple_middle(load.abs(), *span, elastic * i).deflection),
            _ => Ok(0.0),
        })
        .ok()?;
        Some(
            begin()
                .compare(&gives, &held)
                .sentence(format!("under {} kN {}", number(load.value().abs() / KILO, 1), under.words()))
                .done(),
        )
    }
}

/// Of the modulus of a rectangle.
const SIX: f64 = 6.0;
/// Of a beam loaded in the middle.
const FOUR: f64 = 4.0;
/// Cubic metres in a cubic centimetre; pascals in a megapascal.
const CUBIC_CENTI: f64 = 1e-6;
const MEGA: f64 = 1e6;

/// Moment of a load over a span and an overhang, N m.
fn moment(load: f64, sizes: &[f64]) -> f64 {
    match sizes {
        [_, overhang] if *overhang > 0.0 => load * overhang,
        [span, _] => beam::simple_middle(load, *span, 1.0).moment,
        _ => f64::NAN,
    }
}

/// Whether the ends of a member do not turn.
fn held_stiff(member: Option<&CrossMember>) -> bool {
    member.is_some_and(|member| matches!(member.ends, Some(Ends::Welded | Ends::Bolted)))
}

/// The cross member a mount stands on, and its path.
pub(crate) fn cross_member<'c>(cx: &'c Context, mount: &Mount) -> Option<(&'c CrossMember, String)> {
    let name = mount.member.as_ref()?.of.as_deref()?;
    let (index, member) = cx.rig().cross_member.iter().enumerate().find(|(_, member)| member.name == name)?;
    Some((member, path::of("cross_member", &member.name, index)))
}

/// Distance between the points a member is held at, m: its own, else that of the cross member, else the frame's.
///
/// # Errors
/// The gap where none is told.
pub fn span(cx: &Context, mount: &Mount, at: &str) -> Result<Estimate, Gap> {
    let told = |path: &str| cx.facts().mounts().told(path).cloned();
    let own = told(&format!("{at}.member.span"));
    let shared = cross_member(cx, mount).map(|(_, path)| told(&format!("{path}.span")));
    let found = own.or_else(|gap| shared.unwrap_or(Err(gap))).or_else(|_| told("chassis.frame.spacing"))?;
    if found.value() > 0.0 { Ok(found) } else { Err(Gap::at("chassis.frame.spacing")) }
}

/// How far a mount stands outside the points its member is held at, m; 0 or less between them.
///
/// # Errors
/// The gap where neither it nor the mount's place is told.
pub fn overhang(cx: &Context, mount: &Mount, index: usize, span: &Estimate) -> Result<Estimate, Gap> {
    let told = cx.facts().mounts().told(&format!("{}.member.overhang", mount_path(mount, index)));
    if let Ok(told) = told {
        return Ok(told.clone());
    }
    let place = cx.facts().mounts().list().get(index).and_then(|facts| facts.at.get(1));
    let y = place.ok_or_else(|| Gap::at("mount.at"))?.as_ref().map_err(Clone::clone)?;
    let half = span.scale(1.0 / 2.0);
    Ok(if y.value() < 0.0 { &y.scale(-1.0) - &half } else { y - &half })
}

/// Thickness of a bracket's leg, m: of an angle, of a flat lying on its side, or of a plate.
fn thickness(bracket: &Bracket) -> Option<f64> {
    let text = bracket.section.as_deref()?;
    match profile::profile(text) {
        Ok(profile) if profile.shape == Shape::Angle => Some(profile.sizes.flange),
        Ok(profile) if profile.shape == Shape::Flat => Some(profile.sizes.height.min(profile.sizes.width)),
        Ok(profile) if profile.shape == Shape::Channel => Some(profile.sizes.flange),
        _ => quantity::parse(text.trim().strip_prefix("plate")?.trim(), Dimension::Length).ok().filter(|thick| *thick > 0.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_leg_that_bends_is_that_of_the_section() {
        let thick = |section: &str| thickness(&Bracket { section: Some(section.to_owned()), ..Bracket::default() });
        assert_eq!(thick("L 80x8"), Some(0.008));
        assert_eq!(thick("flat 60x10"), Some(0.01));
        assert_eq!(thick("plate 8 mm"), Some(0.008));
        assert_eq!((thick("plate"), thick("something")), (None, None));
        assert_eq!(thickness(&Bracket::default()), None);
    }

    #[test]
    fn a_load_between_the_rails_bends_as_in_the_middle() {
        assert_eq!(moment(1000.0, &[0.84, 0.2]), 200.0);
        assert!((moment(1000.0, &[0.84, -0.1]) - 210.0).abs() < 1e-9);
    }
}
