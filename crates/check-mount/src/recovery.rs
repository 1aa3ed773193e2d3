//! mount/recovery: may the home-made eye be pulled at?
//!
//! demand      the pull it is to stand (N); what its worst bolt uses of itself; stress on its welds (Pa)
//! capacity    the weight of the laden rig, at least; bolts and welds by EN 1993-1-8
//! states      once: the heaviest travel state counts
//! leaves out  the eye's own hole and plate, the shackle, the rail; a snatch on a slack rope, which is several times a pull

use std::borrow::Cow;

use check::edits::{restate, up_to_step};
use check::remedy::{Effort, Proposal};
use check::working::{figure, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, List, Scope, Verdict, Words, on_ledger};
use physics::facts::gravity;
use quantity::{Dimension, Estimate};
use rig_facts::{Gap, StateFacts};
use rig_model::model;
use rig_model::path;

use crate::bolt::{KILO, count_of};
use crate::bolt_joint::{Joint, WORST_STEEL};
use crate::loads::travel;
use crate::places::Place;
use crate::sources::source;
use crate::{bolt_ways_out, weld_joint, weld_ways_out};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("mount/recovery"),
    question: Cow::Borrowed("May the home-made eye be pulled at?"),
    words: Words::new("uses", "may use"),
    consequence: Consequence::Injury,
    scope: Scope::Once,
    needs: List::Static(&["recovery.pull"]),
    uses: on_ledger!["recovery"],
    limits: List::Static(&["mount/recovery-pull"]),
    formula: List::Static(&[
        "pull >= weight of the laden rig",
        "each bolt: pull / number across itself, and what an arm adds along it; V / Fv + T / (1.4 Ft) <= 1; the part beside the hole",
        "welds: pull / (throat x length), and what an arm adds, against fu / (sqrt 3 x weld factor x 1.25) x quality",
    ]),
    cautions: List::Static(&[
        "a rope or an eye that breaks kills: nobody near it, a damper on the rope, no slack and no run-up",
        "pull straight ahead: a pull from the side bends the rail",
        "a tow bar's ball and a tie-down loop are no recovery eyes",
    ]),
};

/// May the home-made eye be pulled at?
#[derive(Debug)]
pub struct Recovery;

impl Check for Recovery {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        if cx.rig().recovery.is_empty() {
            return vec![CARD.about(cx, "recovery eyes").at("recovery").not_applicable("no home-made recovery eye is told")];
        }
        let eyes = cx.rig().recovery.iter().enumerate();
        eyes.flat_map(|(index, eye)| {
            let path = path::of("recovery", &eye.name, index);
            let part = eye.plate.as_ref().map(|plate| (format!("{path}.plate"), plate.steel.clone()));
            let place = Place { about: eye.name.clone(), mounts: Vec::new(), lever: 1.0, arm: None, kind: None, part, path };
            One { cx, eye, place }.answers()
        })
        .collect()
    }
}

struct One<'c> {
    cx: &'c Context,
    eye: &'c model::Recovery,
    place: Place,
}

impl<'c> One<'c> {
    fn begin(&self, path: &str, case: &str) -> Draft<'c> {
        CARD.about(self.cx, &*self.eye.name).at(path).case(case)
    }

    fn answers(&self) -> Vec<Finding> {
        let path = format!("{}.pull", self.place.path);
        let pull = match self.cx.facts().mounts().told(&path) {
            Ok(pull) => pull,
            Err(gap) => return vec![self.begin(&self.place.path, "pull").blocked(&gap)],
        };
        let mut findings: Vec<Finding> = self.enough(pull, &path).into_iter().collect();
        if self.eye.bolts.is_empty() && self.eye.welds.is_empty() {
            findings.push(self.begin(&self.place.path, "bolts").missing(format!("{}.bolts", self.place.path)));
        }
        let zero = || Estimate::exact(0.0);
        let forces = [pull.clone(), zero(), zero()];
        findings.extend(self.eye.bolts.iter().enumerate().map(|(index, bolts)| {
            let path = self.eye.bolts.path_of(&format!("{}.bolts", self.place.path), index);
            self.bolts(bolts, path, &forces)
        }));
        findings.extend(self.eye.welds.iter().enumerate().map(|(index, welds)| {
            let path = self.eye.welds.path_of(&format!("{}.welds", self.place.path), index);
            self.welds(welds, path, &forces)
        }));
        findings
    }

    /// The pull against the laden weight; none where no chosen set asks for it.
    fn enough(&self, pull: &Estimate, path: &str) -> Option<Finding> {
        let held = self.cx.limits("mount/recovery-pull");
        if held.is_empty() {
            return None;
        }
        let begin = || self.begin(&self.place.path, "pull").words("is to stand", "is to stand at least");
        let (state, mass) = match heaviest(self.cx) {
            Ok(heaviest) => heaviest,
            Err(gap) => return Some(begin().blocked(&gap)),
        };
        let weight = mass.scale(gravity());
        let held: Vec<Held> = held.into_iter().map(|held| held.times(&weight, Dimension::Force)).collect();
        let draft = begin()
            .compare(pull, &held)
            .sentence(format!("the laden rig weighs {} kN, {}", number(weight.value() / KILO, 0), state.name))
            .working(|| {
                let (mass, g) = (figure(mass.value(), 1), figure(gravity(), 5));
                [format!("{mass} kg x {g} / 1000 = {} kN", number(mass.get() * g.get() / KILO, 2))]
            })
            .remedies(|goal| {
                let to = up_to_step(pull.value() + goal.change(), KILO);
                vec![Proposal {
                    text: format!("reckon {} with a pull of {} kN", self.eye.name, (to / KILO).round()),
                    effort: Effort::Minutes,
                    edits: vec![restate(self.cx, path, self.eye.pull.as_ref(), to)],
                }]
            });
        Some(draft.done())
    }

    fn bolts(&self, bolts: &model::Bolts, path: String, forces: &[Estimate; 3]) -> Finding {
        let begin = |path: &str| self.begin(path, "bolts");
        let joint = match Joint::read(self.cx, &self.place, bolts, path.clone()) {
            Ok(joint) => joint,
            Err(gap) => return begin(&path).blocked(&gap),
        };
        let share = match joint.share(forces, 1.0) {
            Ok(share) => share,
            Err(gap) => return begin(&path).blocked(&gap),
        };
        let used = joint.under(forces.each_ref().map(Estimate::value));
        let held =
            Held::at_most("what a bolt may carry", Estimate::exact(1.0), Dimension::Ratio, source("bolt-interaction").clone());
        let draft = begin(&path).compare(&share, &[held]);
        let first = joint.open(&used).next();
        if let (true, Some(first)) = (draft.verdict() != Verdict::Pass, first) {
            return begin(&path)
                .blocked(&Gap::because(&*first.path, format!("if {}, the bolts do not hold the pull", first.words)));
        }
        let even = first.map_or(String::new(), |first| format!(", even if {}", first.words));
        let plate = if used.plate_governs { "; the part beside the hole gives first" } else { "" };
        draft
            .sentence(format!("{} kN across each of {}{plate}{even}", number(used.shear / KILO, 1), count_of(&joint)))
            .working(|| crate::bolt::show_working(&joint, &used))
            .remedies(|_| bolt_ways_out::of(&self.place, &joint, forces))
            .done()
    }

    fn welds(&self, welds: &model::Welds, path: String, forces: &[Estimate; 3]) -> Finding {
        let begin = |path: &str| self.begin(path, "welds").words("is stressed to", "may be stressed to");
        let joint = match weld_joint::Joint::read(self.cx, &self.place, welds, path.clone()) {
            Ok(joint) => joint,
            Err(gap) => return begin(&path).blocked(&gap),
        };
        let Some(stress) = joint.stress_of(forces, 1.0) else {
            let apart = joint.open_apart().map_or_else(|| format!("{path}.runs"), str::to_owned);
            return begin(&path).blocked(&Gap::because(apart, "runs beside each other hold a turn by the distance between them"));
        };
        let held = Held::at_most(
            "strength of the throat",
            Estimate::exact(joint.may()),
            Dimension::Stress,
            source("weld-partial").clone(),
        );
        let draft = begin(&path).compare(&stress, &[held]);
        if let (Some(open), true) = (&joint.open, draft.verdict() != Verdict::Pass) {
            return begin(&path).blocked(&Gap::because(open.clone(), format!("more than {WORST_STEEL} stands")));
        }
        let even = joint.open.as_ref().map_or(String::new(), |_| format!("even if the steel is {WORST_STEEL}"));
        let draft = if even.is_empty() { draft } else { draft.sentence(even) };
        draft
            .working(|| crate::weld::show_working(&self.place, &joint, forces.each_ref().map(Estimate::value)))
            .remedies(|goal| weld_ways_out::of(self.cx, &self.place, &joint, welds, forces, goal.capacity.value(), false))
            .done()
    }
}

/// The heaviest travel state and its mass, kg.
fn heaviest(cx: &Context) -> Result<(&StateFacts, Estimate), Gap> {
    let mut worst: Option<(&StateFacts, Estimate)> = None;
    for state in travel(cx) {
        let mass = state.loads.sums.mass.clone()?;
        if worst.as_ref().is_none_or(|(_, worst)| mass.value() > worst.value()) {
            worst = Some((state, mass));
        }
    }
    worst.ok_or_else(|| Gap::at("state"))
}
