//! mount/awning: will the awning stay on the wall?
//!
//! demand      case "out": what the wind of its class pulls its upper fasteners with (N); case "road": share of its fasteners'
//!             strength that bumps use up, wound in; case "driving": whether it is out in a travel state
//! capacity    what its screws or bolts hold
//! states      once: the mass is that of the travel state in which it weighs most
//! leaves out  the wall under the fasteners, its own cloth and arms; tipping of the rig in the camp

use std::borrow::Cow;

use check::draft::{GOAL, has_reserve};
use check::remedy::{Effort, Proposal};
use check::working::{figure, number, percent};
use check::{Card, Check, Consequence, Context, Draft, Finding, Holds, List, Scope, Words};
use physics::facts::gravity;
use physics::wind;
use quantity::{Dimension, Estimate};
use rig_facts::{Gap, mounts};
use rig_model::model::Awning as Entry;
use rig_model::{Edit, EditOp, Thing, path};

use crate::fastened::{self, Hold, Way};
use crate::things::{self, Laden};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("mount/awning"),
    question: Cow::Borrowed("Will the awning stay on the wall?"),
    words: Words::new("is pulled with", "is held with"),
    consequence: Consequence::Injury,
    scope: Scope::Once,
    needs: List::Static(&["awning"]),
    uses: List::Static(&["mass", "state.kind", "state.absent", "state.out"]),
    limits: List::Static(&[]),
    formula: List::Static(&[
        "out: lift = test pressure of its class x width x reach; pull on the upper fasteners = lift x reach / 2 / bracket height",
        "road: force = mass x acceleration of the hardest bump; share = force / strength sideways + force x half its depth / \
         bracket height / strength of the upper ones pulled",
    ]),
    cautions: List::Static(&[
        "wind it in before the wind of its class, and before anyone sleeps or leaves; a gust is twice the mean wind",
        "a wound-in awning is a thing on the road: look at its brackets before each journey",
        "two people and steps that stand to hang it; nobody under it until its bolts are tight",
    ]),
};

/// Will the awning stay on the wall?
#[derive(Debug)]
pub struct Awning;

impl Check for Awning {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        if cx.rig().awning.is_empty() {
            return vec![CARD.about(cx, "awning").at("awning").missing("awning")];
        }
        cx.rig().awning.iter().enumerate().flat_map(|(index, awning)| Subject::of(cx, awning, index).findings()).collect()
    }
}

struct Subject<'c> {
    cx: &'c Context,
    awning: &'c Entry,
    path: String,
    of: Option<&'c dyn Thing>,
}

impl<'c> Subject<'c> {
    fn of(cx: &'c Context, awning: &'c Entry, index: usize) -> Self {
        let path = path::of("awning", &awning.name, index);
        Self { cx, awning, path, of: awning.of.as_deref().and_then(|name| cx.rig().thing(name)) }
    }

    fn begin(&self, case: &'static str) -> Draft<'c> {
        let draft = CARD.about(self.cx, self.awning.name.clone()).at(&self.path).case(case);
        if case == "road" { draft.words("uses of its fixings", "may use") } else { draft }
    }

    fn key(&self, key: &str) -> String {
        format!("{}.{key}", self.path)
    }

    fn told(&self, key: &str) -> Result<Estimate, Gap> {
        self.cx.facts().mounts().told(&self.key(key)).cloned()
    }

    fn hold(&self) -> Result<Hold, Gap> {
        let hold = fastened::fasteners(self.cx, &self.path, &self.awning.screws, &self.awning.bolts)?;
        hold.map(|hold| hold.upper(self.awning.brackets)).ok_or_else(|| Gap::at(self.key("bolts")))
    }

    fn findings(&self) -> Vec<Finding> {
        vec![self.out(), self.road(), self.driving()]
    }

    fn out(&self) -> Finding {
        let Some(class) = self.awning.wind_class else { return self.begin("out").missing(self.key("wind_class")) };
        let Some((pressure, speed)) = wind::awning(&class.to_string()) else {
            return self.begin("out").missing(self.key("wind_class"));
        };
        if pressure <= 0.0 {
            return self.begin("out").not_applicable("class 0 stands no wind: out in still air alone, in before the first gust");
        }
        let parts = || Ok((self.told("width")?, self.told("reach")?, self.told("bracket_height")?, self.hold()?));
        let (width, reach, height, hold) = match parts() {
            Ok(parts) => parts,
            Err(gap) => return self.begin("out").blocked(&gap),
        };
        let lift = (&width * &reach).scale(pressure);
        let pull = &(&lift * &reach).scale(1.0 / 2.0) / &height;
        let draft = match hold.judge(|| self.begin("out"), &pull, Way::Pull) {
            Ok(draft) => draft,
            Err(finding) => return *finding,
        };
        let speed = quantity::show(speed, Dimension::Speed, check::edits::system(self.cx), None);
        let sentence = hold.remark(&draft, format!("class {class}: in above {speed} of wind"));
        draft
            .sentence(sentence)
            .working(|| {
                let [width, reach, height] = [&width, &reach, &height].map(|side| figure(side.value(), 3));
                let lift = figure(pressure * width.get() * reach.get(), 0);
                let moment = figure(lift.get() * reach.get() / 2.0, 0);
                let lines = [
                    format!("{pressure} Pa x {width} m x {reach} m = {lift} N"),
                    format!(
                        "{lift} N x {reach} m / 2 = {moment} Nm; {moment} Nm / {height} m = {} N",
                        number(moment.get() / height.get(), 0)
                    ),
                ];
                lines.into_iter().chain(hold.lines(Way::Pull)).collect::<Vec<_>>()
            })
            .remedies(|_| self.ways_out(&hold, |hold| &pull / &hold.strength(Way::Pull)))
            .done()
    }

    /// Mass where it weighs most on the road.
    fn mass(&self) -> Result<Option<Laden<'c>>, Gap> {
        let of = self.of.filter(|_| self.awning.mass.is_none());
        things::heaviest(self.cx, &of.map_or_else(|| self.path.clone(), |of| of.path()))
    }

    /// Distance from the wall to its middle.
    fn arm(&self) -> Result<f64, Gap> {
        let size = self.awning.size.as_ref().or_else(|| self.of?.size());
        let depth = size.and_then(|[_, depth, _]| depth.value()).ok_or_else(|| Gap::at(self.key("size")))?;
        Ok(depth / 2.0)
    }

    fn road(&self) -> Finding {
        let parts = || Ok((self.mass()?, self.arm()?, self.told("bracket_height")?, self.hold()?));
        let (laden, arm, height, hold) = match parts() {
            Ok((Some(laden), arm, height, hold)) => (laden, arm, height, hold),
            Ok((None, ..)) => return self.begin("road").not_applicable("it is at home in every travel state"),
            Err(gap) => return self.begin("road").blocked(&gap),
        };
        let cases = mounts::cases::in_force(self.cx.rig());
        let g = cases.iter().flat_map(|case| case.g).fold(0.0, |most: f64, g| most.max(g.abs()));
        let force = laden.mass.scale(g * gravity());
        let share_of = |hold: &Hold| {
            let sideways = &force / &hold.strength(Way::Sideways);
            &sideways + &(&(&force.scale(arm) / &height) / &hold.strength(Way::Pull))
        };
        let share = share_of(&hold);
        let draft = match hold.judge_share(|| self.begin("road"), &share) {
            Ok(draft) => draft,
            Err(finding) => return *finding,
        };
        let sentence = hold.remark(&draft, format!("a bump of {g} g, in {}", laden.state.name));
        draft
            .sentence(sentence)
            .working(|| {
                let mass = figure(laden.mass.value(), 1);
                let force = figure(mass.get() * g * gravity(), 0);
                let (arm, height) = (figure(arm, 3), figure(height.value(), 3));
                let pull = figure(force.get() * arm.get() / height.get(), 0);
                let [side, out] = [Way::Sideways, Way::Pull].map(|way| figure(hold.strength(way).value(), 0));
                let share = percent(force.get() / side.get() + pull.get() / out.get());
                let lines = [
                    format!("{mass} kg x {g} x {} m/s2 = {force} N; {force} N x {arm} m / {height} m = {pull} N", gravity()),
                    format!("{force} N / {side} N + {pull} N / {out} N = {share}"),
                ];
                lines.into_iter().chain(hold.lines(Way::Pull)).collect::<Vec<_>>()
            })
            .remedies(|_| self.ways_out(&hold, share_of))
            .done()
    }

    /// More of the fasteners, in whole numbers for each bracket; or bolts through the wall, two for each.
    fn ways_out(&self, hold: &Hold, share_of: impl Fn(&Hold) -> Estimate) -> Vec<Proposal> {
        let (all, brackets) = (Estimate::exact(1.0), self.awning.brackets.unwrap_or(2));
        let share = share_of(hold);
        // Twice the fasteners, half the share.
        let [low, high] = [share.interval95().1, share.value() / GOAL].map(|times| fastened::times(hold, times, brackets));
        let more = low.zip(high).map(|(low, high)| low.max(high));
        let more = more.zip(hold.groups.first()).map(|(count, group)| fastened::more_of(group, count, &self.awning.name));
        let holds = |hold: &Hold| has_reserve(&all, &share_of(&hold.clone().upper(Some(brackets))));
        let through = || fastened::through_bolts(self.cx, &self.path, &self.awning.name, 2 * brackets, holds);
        more.into_iter().chain(self.awning.bolts.is_empty().then(through).flatten()).collect()
    }

    /// Out on the road: never.
    fn driving(&self) -> Finding {
        let name = self.awning.of.as_ref().unwrap_or(&self.awning.name);
        let is_out = |state: &&rig_facts::StateFacts| {
            state.items.iter().any(|item| item.out && (item.name == *name || item.name == self.awning.name))
        };
        let Some(state) = self.cx.states(Scope::Travel).find(is_out) else {
            return self.begin("driving").require(Holds::Yes, "wound in in every travel state").done();
        };
        let sentence = format!("it is out in {}, which is a travel state: never drive with it out", state.name);
        let entry = self.cx.rig().state.iter().find(|entry| entry.name == state.name);
        let at = entry.and_then(|entry| entry.out.iter().position(|out| out == name || *out == self.awning.name));
        let wind_in = || {
            let path = format!("{}.out[{}]", state.path, at? + 1);
            let edits = vec![Edit { path, op: EditOp::Remove, from: None, to: None }];
            let text = format!("wind {} in before driving", self.awning.name);
            Some(Proposal { text, effort: Effort::Minutes, edits })
        };
        self.begin("driving").require(Holds::No, sentence).proposal(wind_in).done()
    }
}
