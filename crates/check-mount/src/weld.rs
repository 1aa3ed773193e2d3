//! mount/weld: do the welds hold?
//!
//! demand      largest stress on the throat of each group of welds: under the worst travel state and case, and standing
//!             still, which comes and goes with every bump (Pa)
//! capacity    simplified method of EN 1993-1-8, less what nobody proved; a stress that may come and go for ever
//! states      once: the worst travel state counts, and is named
//! leaves out  aluminium, butt welds, what the part beside the weld holds

use std::borrow::Cow;

use check::working::{figure, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, Holds, List, Scope, Verdict, Words};
use physics::mount_facts;
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_model::model::{Many, On, Short, WeldQuality, Welds, YesNo};

use crate::bolt::KILO;
use crate::bolt_joint::{MILLI, WORST_STEEL};
use crate::loads::{Under, loads, on_mounts, still, worst};
use crate::places::{Place, of_members, of_mounts};
use crate::sources::source;
use crate::weld_joint::Joint;
use crate::weld_ways_out as ways;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("mount/weld"),
    question: Cow::Borrowed("Do the welds hold?"),
    words: Words::new("is stressed to", "may be stressed to"),
    consequence: Consequence::Injury,
    scope: Scope::Once,
    needs: List::Static(&["mount.at", "mount.welds.runs"]),
    uses: on_mounts![
        "mount.bracket",
        "mount.welds",
        "mount.member",
        "cross_member",
        "chassis.frame.spacing",
        "chassis.frame.heat_treated"
    ],
    limits: List::Static(&["mount/weld-range"]),
    formula: List::Static(&[
        "throat = leg / sqrt 2; stress = resultant of force / area and of moment x distance / second moment, at the ends of the runs",
        "may = fu / (sqrt 3 x weld factor x 1.25) x what is left of it: untested 0.5, bent coupon 0.8, coded 1",
        "bumps: stress standing still against what may come and go for ever",
    ]),
    cautions: List::Static(&[
        "no weld, flame or heat on a rail that is heat-treated or of unknown steel",
        "batteries and control units off, earth clamp on the part that is welded, no welding near fuel, gas, brake lines or foam; zinc fumes poison",
        "this is arithmetic on what was typed: it sees no cold weld and no crack",
    ]),
};

/// Do the welds hold?
#[derive(Debug)]
pub struct Weld;

impl Check for Weld {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let about = || CARD.about(cx, "mounts").at("mount");
        if cx.rig().mount.is_empty() {
            return vec![about().missing("mount")];
        }
        let mut groups: Vec<(Place, &Many<Short<Welds>>)> = of_mounts(cx).map(|(place, mount)| (place, &mount.welds)).collect();
        groups.extend(of_members(cx).map(|(place, member)| (place, &member.welds)));
        groups.retain(|(_, welds)| !welds.is_empty());
        if groups.is_empty() {
            return vec![about().not_applicable("nothing here is welded")];
        }
        let mut findings = Vec::new();
        let loads = loads(cx).unwrap_or_else(|gap| {
            findings.push(about().blocked(&gap));
            Vec::new()
        });
        for (place, welds) in groups {
            for (index, one) in welds.iter().enumerate() {
                let path = welds.path_of(&format!("{}.welds", place.path), index);
                findings.extend(on_rail(cx, &place, one, &path));
                match Joint::read(cx, &place, one, path.clone()) {
                    Err(gap) => findings.push(begin(cx, &place, &path).case("strength").blocked(&gap)),
                    Ok(joint) => findings.extend(group(cx, &place, &joint, one, &loads)),
                }
            }
        }
        findings
    }
}

fn begin<'c>(cx: &'c Context, place: &Place, path: &str) -> Draft<'c> {
    CARD.about(cx, &*place.about).at(path)
}

/// Whether a rail may be welded there; said of what is told to stand on a rail.
fn on_rail(cx: &Context, place: &Place, welds: &Welds, path: &str) -> Option<Finding> {
    let on = welds.on.filter(|on| matches!(on, On::Web | On::Flange))?;
    let frame = cx.rig().chassis.as_ref().and_then(|chassis| chassis.frame.as_ref());
    let draft = begin(cx, place, path).case("rail");
    let heat = frame.and_then(|frame| frame.heat_treated).and_then(YesNo::told);
    let draft = match (heat, on) {
        (Some(true), _) => draft.require(Holds::No, "the rails are heat-treated: a weld takes their strength; bolt it instead"),
        (_, On::Flange) => draft.require(
            Holds::No,
            "a weld on the flange of a rail starts a crack where the rail works hardest: weld in the web, or bolt",
        ),
        (Some(false), _) => {
            draft.require(Holds::Yes, "in the web of a rail that is not heat-treated: along it, ends 25 mm clear of the flanges")
        }
        (None, _) => draft.require(
            Holds::Unknown("chassis.frame.heat_treated".to_owned()),
            "a heat-treated rail takes no weld; nobody told whether these are",
        ),
    };
    Some(draft.done())
}

fn group(cx: &Context, place: &Place, joint: &Joint, welds: &Welds, loads: &[Under<'_>]) -> Vec<Finding> {
    let throat = joint.throat();
    let least = mount_facts::weld().throat_least;
    let held = Held::at_least("least throat", Estimate::exact(least), Dimension::Length, source("weld-throat-least").clone());
    let draft = begin(cx, place, &joint.path).case("throat").words("has a throat of", "must have");
    // The rule is of the size a weld is made to; what its reading may be off is in the strength.
    let made = Estimate::exact(throat.value());
    let draft = draft.compare(&made, &[held]).sentence("a thinner fillet is not counted on");
    let mut findings = vec![draft.remedies(|_| ways::throat(cx, place, joint, welds)).done()];
    // What is too thin to count has no strength to be asked for.
    if throat.value() < least {
        return findings;
    }
    let measure = |force: [f64; 3]| joint.stress(force.map(|force| force * place.lever)).unwrap_or(f64::INFINITY);
    let strength =
        Held::at_most("strength of the throat", Estimate::exact(joint.may()), Dimension::Stress, source("weld-partial").clone());
    let asked = [
        ("strength", worst(loads, &place.mounts, measure), vec![strength]),
        ("bumps", still(loads, &place.mounts, measure), cx.limits("mount/weld-range")),
    ];
    for (case, at, held) in asked {
        let (Some((under, mount)), false) = (at, held.is_empty()) else { continue };
        findings.push(answer(cx, place, joint, welds, (case, under, mount), &held));
    }
    findings
}

fn answer(
    cx: &Context,
    place: &Place,
    joint: &Joint,
    welds: &Welds,
    (case, under, mount): (&str, &Under<'_>, usize),
    held: &[Held],
) -> Finding {
    let bumps = case == "bumps";
    let begin = || {
        let draft = begin(cx, place, &joint.path).case(case);
        if bumps { draft.consequence(Consequence::Damage) } else { draft }
    };
    let forces = match under.forces(cx, mount) {
        Ok(forces) => forces,
        Err(gap) => return begin().blocked(&gap),
    };
    let Some(stress) = joint.stress_of(&forces, place.lever) else {
        const SHORT: &str = "no run is long enough to count: 30 mm, and six throats, at least";
        const LINE: &str =
            "all runs lie on one line and the load turns the part about it: a fillet does not hold that; add a run beside";
        const APART: &str = "runs beside each other hold a turn by the distance between them";
        return match joint.open_apart() {
            _ if joint.area() <= 0.0 => begin().require(Holds::No, SHORT).done(),
            Some(apart) => begin().blocked(&Gap::because(apart, APART)),
            None => begin().require(Holds::No, LINE).done(),
        };
    };
    let draft = begin().compare(&stress, held);
    if let (Some(open), true, false) = (&joint.open, draft.verdict() != Verdict::Pass, bumps) {
        let why = format!("{} MPa: more than {WORST_STEEL} stands", number(stress.value() / MEGA, 0));
        return begin().blocked(&Gap::because(open.clone(), why));
    }
    let quality = match joint.quality.1 {
        WeldQuality::Untested => "; nobody tried the weld, so it counts for half",
        WeldQuality::Coupon | WeldQuality::Coded => "",
    };
    let even = joint.open.as_ref().map_or(String::new(), |_| format!(", even if the steel is {WORST_STEEL}"));
    let (quality, even) = if bumps {
        ("; cracks come with the miles: look at the ends of the runs at every service", String::new())
    } else {
        (quality, even)
    };
    draft
        .sentence(format!("worst {}{even}{quality}", under.words()))
        .working(|| show_working(place, joint, under.carried.nominal(mount)))
        .remedies(|goal| ways::of(cx, place, joint, welds, &forces, goal.capacity.value(), bumps))
        .done()
}

/// Pascals in a megapascal.
const MEGA: f64 = 1e6;

pub(crate) fn show_working(place: &Place, joint: &Joint, force: [f64; 3]) -> Vec<String> {
    let [x, y, z] = force.map(|force| figure(force * place.lever, 0));
    let throat = figure(joint.throat_of(joint.size.value()) / MILLI, 2);
    let area = figure(joint.area() / MILLI / MILLI, 1);
    let mut lines = vec![format!("{x} N along, {y} N across, {z} N up on a throat of {throat} mm, area {area} mm2"), {
        let (ultimate, factor, partial, left) = (
            figure(joint.ultimate / MEGA, 1),
            figure(joint.factor, 2),
            figure(mount_facts::weld().partial, 2),
            figure(joint.quality.0, 2),
        );
        let root = figure(THREE.sqrt(), 4);
        let may = ultimate.get() / (root.get() * factor.get() * partial.get()) * left.get();
        format!("{ultimate} / ({root} x {factor} x {partial}) x {left} = {} MPa", number(may, 1))
    }];
    if joint.arm() == 0.0 {
        let root = (x.get() * x.get() + y.get() * y.get() + z.get() * z.get()).sqrt();
        let force = figure(root, 0);
        lines.push(format!("{force} / {area} = {} MPa", number(force.get() / area.get(), 1)));
    } else {
        lines.push(format!("the load stands {} kN x {} mm off", figure(z.get().abs() / KILO, 2), figure(joint.arm() / MILLI, 0)));
    }
    lines
}

/// Of shear in the distortion energy.
const THREE: f64 = 3.0;
