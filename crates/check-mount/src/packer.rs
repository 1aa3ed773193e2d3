//! mount/packer: will the block crush, tip or work out?
//!
//! demand      pressure on each packer in the worst travel state and case (Pa); height of the stack by its width
//! capacity    strength across the grain by EN 1995-1-1 or NDS, whichever lists the wood; what other stuff stands for years
//! states      once: the worst travel state counts, and is named
//! leaves out  the sharp edge of a channel that bites, shrinkage, heat of an exhaust

use std::borrow::Cow;

use basis::Basis;
use check::draft::{GOAL, has_reserve_under};
use check::edits::{restate, up_to_step};
use check::remedy::{Effort, Proposal};
use check::working::{figure, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, Holds, List, Scope, Words};
use physics::timber::{self, Duration, Packing, Wood};
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_model::model::{self, Grain, Mount, Retained};
use rig_model::{Edit, EditOp, Free};

use crate::bolt::KILO;
use crate::bolt_joint::MILLI;
use crate::loads::{Under, loads, on_mounts, worst};
use crate::places::{about, mount_path};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("mount/packer"),
    question: Cow::Borrowed("Will the block crush, tip or work out?"),
    words: Words::new("presses with", "may press with"),
    consequence: Consequence::Damage,
    scope: Scope::Once,
    needs: List::Static(&[
        "mount.packer.material",
        "mount.packer.length",
        "mount.packer.width",
        "mount.packer.height",
        "mount.packer.retained_by",
    ]),
    uses: on_mounts!["mount.at", "mount.packer"],
    limits: List::Static(&["mount/packer-stack"]),
    formula: List::Static(&[
        "pressure = load down / (length x width)",
        "EN 1995-1-1: may = kc,90 kmod fc,90,k / 1.3; NDS: may = Fc x 0.67 where wet, its end flush",
        "an unnamed oak or spruce counts as the weakest usual class of its kind",
    ]),
    cautions: List::Static(&[
        "a sharp channel edge bites into wood: 6 mm of steel over it; near an exhaust steel instead of wood",
        "wood dries and shrinks: tighten again after 50 and 500 km",
    ]),
};

/// Will the block crush, tip or work out?
#[derive(Debug)]
pub struct Packer;

impl Check for Packer {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let about = || CARD.about(cx, "mounts").at("mount");
        if cx.rig().mount.is_empty() {
            return vec![about().missing("mount")];
        }
        if cx.rig().mount.iter().all(|mount| mount.packer.is_none()) {
            return vec![about().not_applicable("no mount stands on a packer")];
        }
        let mut findings = Vec::new();
        let loads = loads(cx).unwrap_or_else(|gap| {
            findings.push(about().blocked(&gap));
            Vec::new()
        });
        for (index, mount) in cx.rig().mount.iter().enumerate() {
            if let Some(packer) = &mount.packer {
                let path = format!("{}.packer", mount_path(mount, index));
                let one = One { cx, mount, packer, index, path };
                findings.extend(one.crush(&loads));
                findings.push(one.retention());
                findings.extend(one.stack());
                findings.extend(one.grain());
            }
        }
        findings
    }
}

/// What a packer may be pressed with.
struct May {
    pressure: f64,
    basis: Basis,
    /// "oak counts as D30".
    words: String,
    line: String,
}

struct One<'c> {
    cx: &'c Context,
    mount: &'c Mount,
    packer: &'c model::Packer,
    index: usize,
    path: String,
}

impl<'c> One<'c> {
    fn begin(&self, case: &str) -> Draft<'c> {
        CARD.about(self.cx, about(self.mount)).at(&*self.path).case(case)
    }

    fn told(&self, key: &str) -> Result<Estimate, Gap> {
        self.cx.facts().mounts().told(&format!("{}.{key}", self.path)).cloned()
    }

    /// What it is of.
    fn packing(&self) -> Result<(Packing, &'c str), Gap> {
        let path = || format!("{}.material", self.path);
        let text = self.packer.material.as_deref().filter(|text| *text != "?").ok_or_else(|| Gap::at(path()))?;
        Ok((timber::packing(text).map_err(|fault| Gap::because(path(), fault.to_string()))?, text))
    }

    fn crush(&self, loads: &[Under<'_>]) -> Option<Finding> {
        let (under, mount) = worst(loads, &[self.index], |[_, _, z]| z)?;
        let begin = || self.begin("crush");
        let read =
            (|| Ok::<_, Gap>((self.packing()?, self.told("length")?, self.told("width")?, under.forces(self.cx, mount)?)))();
        let ((packing, text), length, width, [_, _, load]) = match read {
            Ok(read) => read,
            Err(gap) => return Some(begin().blocked(&gap)),
        };
        let Some(may) = self.may(&packing, text, length.value()) else {
            return Some(begin().require(Holds::Yes, format!("{text} does not crush under a mount")).done());
        };
        let pressure = pressure(&load, &length, &width)?;
        let held =
            Held::at_most("strength across the grain", Estimate::exact(may.pressure), Dimension::Stress, may.basis.clone());
        let draft = begin()
            .compare(&pressure, &[held])
            .sentence(format!("worst {}: {} kN{}", under.words(), number(load.value() / KILO, 1), may.words))
            .working(|| {
                let (load, length, width) =
                    (figure(load.value(), 0), figure(length.value() / MILLI, 1), figure(width.value() / MILLI, 1));
                let pressure = load.get() / (length.get() * width.get());
                let mut lines = vec![format!("{load} / ({length} x {width}) = {} MPa", number(pressure, 3))];
                if !may.line.is_empty() {
                    lines.push(may.line.clone());
                }
                lines
            })
            .remedies(|_| self.ways_out(&may, &load, &length, &width));
        Some(draft.done())
    }

    /// None for what does not crush.
    fn may(&self, packing: &Packing, text: &str, length: f64) -> Option<May> {
        let wet = self.packer.wet != Some(false);
        match packing {
            Packing::Metal => None,
            Packing::Other(strength, basis) => {
                Some(May { pressure: *strength, basis: (*basis).clone(), words: String::new(), line: String::new() })
            }
            Packing::Wood(wood, taken) => {
                let words = if *taken { format!("; {text} that nobody graded counts as {}", wood.name) } else { String::new() };
                let factor = factor(wood, wet, length);
                let (strength, shown) = (figure(wood.strength / MEGA, 3), figure(factor, 4));
                let line = format!("{strength} x {shown} = {} MPa", number(strength.get() * shown.get(), 3));
                Some(May { pressure: wood.strength * factor, basis: wood.basis.clone(), words, line })
            }
        }
    }

    /// A longer block, a harder wood, or steel.
    fn ways_out(&self, may: &May, load: &Estimate, length: &Estimate, width: &Estimate) -> Vec<Proposal> {
        let enough = |pressure: Option<Estimate>, may: f64| pressure.is_some_and(|pressure| has_reserve_under(may, &pressure));
        let now = length.value();
        let longer = (1..=TRIES).map(|step| up_to_step(now + STEP_M * step as f64, STEP_M)).take_while(|to| *to <= LONGER * now);
        let longer = longer.into_iter().find(|to| {
            let factor = self
                .packing()
                .ok()
                .and_then(|(packing, text)| self.may(&packing, text, *to))
                .map_or(may.pressure, |may| may.pressure);
            enough(pressure(load, &length.offset(to - now), width), factor)
        });
        let longer = longer.map(|to| Proposal {
            text: format!(
                "a packer {} mm long instead of {} mm under {}",
                (to / MILLI).round(),
                (now / MILLI).round(),
                about(self.mount)
            ),
            effort: Effort::AnAfternoon,
            edits: vec![restate(self.cx, format!("{}.length", self.path), self.packer.length.as_ref(), to)],
        });
        let wet = self.packer.wet != Some(false);
        let harder = HARDER.into_iter().find(|name| {
            timber::wood(name).is_ok_and(|wood| enough(pressure(load, length, width), wood.strength * factor(&wood, wet, now)))
        });
        let was = self.packer.material.clone();
        let other = harder.unwrap_or(STEEL);
        let material = Proposal {
            text: format!(
                "a packer of {other} instead of {} under {}",
                was.as_deref().unwrap_or("what it is"),
                about(self.mount)
            ),
            effort: Effort::PartsToBuy,
            edits: vec![Edit {
                path: format!("{}.material", self.path),
                op: EditOp::Set,
                from: was.map(Free::Text),
                to: Some(Free::Text(other.to_owned())),
            }],
        };
        longer.into_iter().chain([material]).collect()
    }

    fn retention(&self) -> Finding {
        let draft = self.begin("retention");
        let path = || format!("{}.retained_by", self.path);
        let (holds, sentence) = match self.packer.retained_by {
            Some(Retained::Nothing) => (Holds::No, "nothing but friction keeps it there: it works out"),
            Some(Retained::Fasteners) => (Holds::Yes, "two fasteners of its own keep it there"),
            Some(Retained::Trough) => (Holds::Yes, "a trough keeps it there"),
            Some(Retained::ThroughBolt) => (Holds::Yes, "the mount's bolt goes through it"),
            None => (Holds::Unknown(path()), "friction alone does not keep a packer in its place"),
        };
        draft
            .require(holds, sentence)
            .proposal(|| {
                Some(Proposal {
                    text: format!("hold the packer of {} with two fasteners of its own", about(self.mount)),
                    effort: Effort::AnAfternoon,
                    edits: vec![Edit {
                        path: path(),
                        op: EditOp::Set,
                        from: Some(Free::Text(Retained::Nothing.word().to_owned())),
                        to: Some(Free::Text(Retained::Fasteners.word().to_owned())),
                    }],
                })
            })
            .done()
    }

    /// None where no chosen set asks for it.
    fn stack(&self) -> Option<Finding> {
        let held = self.cx.limits("mount/packer-stack");
        if held.is_empty() {
            return None;
        }
        let begin = || self.begin("stack").words("is", "may be").consequence(Consequence::Damage);
        let (height, width) = match (self.told("height"), self.told("width")) {
            (Ok(height), Ok(width)) => (height, width),
            (Err(gap), _) | (_, Err(gap)) => return Some(begin().blocked(&gap)),
        };
        let slim = &height / &width;
        let draft = begin()
            .compare(&slim, &held)
            .sentence("height of the stack by its width")
            .working(|| {
                let (height, width) = (figure(height.value() / MILLI, 1), figure(width.value() / MILLI, 1));
                [format!("{height} / {width} = {} %", number(height.get() / width.get() * PERCENT, 1))]
            })
            .remedies(|goal| {
                let to = up_to_step(
                    (width.value() * slim.interval95().1.max(slim.value() / GOAL) / goal.capacity.value()).max(width.value()),
                    STEP_M,
                );
                vec![Proposal {
                    text: format!("a packer {} mm wide under {}, or a lower one", (to / MILLI).round(), about(self.mount)),
                    effort: Effort::AnAfternoon,
                    edits: vec![restate(self.cx, format!("{}.width", self.path), self.packer.width.as_ref(), to)],
                }]
            });
        Some(draft.done())
    }

    /// Which way the wood lies, where the file says it.
    fn grain(&self) -> Option<Finding> {
        let grain = self.packer.grain?;
        let Ok((Packing::Wood(wood, _), _)) = self.packing() else { return None };
        let soft = wood.density.map_or(wood.gravity.is_some_and(|gravity| gravity < SOFT), |_| wood.name.starts_with('C'));
        let draft = self.begin("grain");
        let draft = if grain == Grain::End && soft {
            draft.require(Holds::No, "softwood that stands on its end grain splits under a bump")
        } else {
            draft.require(Holds::Yes, if grain == Grain::End { "hardwood on its end grain" } else { "it lies on its side" })
        };
        let edit = || Edit {
            path: format!("{}.grain", self.path),
            op: EditOp::Set,
            from: Some(Free::Text(Grain::End.word().to_owned())),
            to: Some(Free::Text(Grain::Across.word().to_owned())),
        };
        let text = || format!("lay the packer of {} on its side, grain along the rail", about(self.mount));
        Some(draft.proposal(|| Some(Proposal { text: text(), effort: Effort::AnAfternoon, edits: vec![edit()] })).done())
    }
}

/// On the strength that its table lists.
fn factor(wood: &Wood, wet: bool, length: f64) -> f64 {
    if wood.allowable {
        // Flush at its end it gains nothing by its neighbours.
        timber::nds_factor(wet, length, 0.0)
    } else {
        timber::ec5_factor(if wet { Duration::ShortOutdoors } else { Duration::ShortDry })
    }
}

/// Pressure with the doubt of load and sizes; none for a block without size.
fn pressure(load: &Estimate, length: &Estimate, width: &Estimate) -> Option<Estimate> {
    let area = length.value() * width.value();
    let of = |v: &[f64]| match v {
        [load, length, width] if *length > 0.0 && *width > 0.0 => Ok(load.max(0.0) / (length * width)),
        _ => Err(()),
    };
    (area > 0.0).then(|| Estimate::propagate(&[load, length, width], of).ok()).flatten()
}

/// Steps in which a block is sawn, m; how often one is tried longer; how much longer at most; what stands for a harder
/// wood, and for none that does. Choices of this project.
const STEP_M: f64 = 0.005;
const TRIES: usize = 60;
const LONGER: f64 = 2.5;
const HARDER: [&str; 3] = ["D30", "D40", "D50"];
const STEEL: &str = "steel";
/// Specific gravity under which a species counts as soft here: between those of the tables' firs and oaks.
const SOFT: f64 = 0.6;
/// Pascals in a megapascal; parts in a hundred.
const MEGA: f64 = 1e6;
const PERCENT: f64 = 100.0;

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: C24 outdoors 2.5 x 1.0 x 0.70 / 1.3; spruce-pine-fir wet and flush 425 psi x 0.67 = 1.963 MPa.
    #[test]
    fn each_wood_goes_by_the_rule_that_lists_it() {
        let may = |name: &str, wet| {
            let wood = timber::wood(name).expect("listed");
            wood.strength * factor(&wood, wet, 0.1)
        };
        assert!((may("C24", true) - 1.346_2e6).abs() < 100.0);
        assert!((may("C24", false) - 1.730_8e6).abs() < 100.0);
        assert!((may("Spruce-pine-fir", true) - 1.963e6).abs() < 1000.0);
    }

    #[test]
    fn a_block_without_size_has_no_pressure_and_a_lifting_mount_presses_nothing() {
        let exact = Estimate::exact;
        assert!(pressure(&exact(1000.0), &exact(0.0), &exact(0.1)).is_none());
        assert_eq!(pressure(&exact(-1000.0), &exact(0.1), &exact(0.1)).map(|pressure| pressure.value()), Some(0.0));
    }
}
