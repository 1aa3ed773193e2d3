//! Builds one finding. `compare` and `require` alone decide verdicts.

use quantity::{Dimension, Estimate, Num};
use rig_facts::Gap;

use crate::card::Card;
use crate::context::{Context, Detail};
use crate::finding::{AlsoLimit, Finding, Measure, Need, Sense, Verdict, Where};
use crate::limits::{Held, HeldBound};
use crate::remedy::Proposal;

/// A remedy aims at this share of the limit, so that the next small thing loaded does not break it again. A choice of
/// this project.
pub const GOAL: f64 = 0.95;

/// Whether a capacity meets a demand with the reserve that every way out aims at: nominal within [`GOAL`], and the whole range
/// of the margin inside.
#[must_use]
pub fn has_reserve(capacity: &Estimate, demand: &Estimate) -> bool {
    (capacity - demand).interval95().0 >= 0.0 && demand.value() <= GOAL * capacity.value()
}

/// The same of a bound without doubt.
#[must_use]
pub fn has_reserve_under(bound: f64, demand: &Estimate) -> bool {
    demand.interval95().1 <= bound && demand.value() <= GOAL * bound
}

/// How many inputs a finding names as the ones that carry its doubt.
const NEEDS_NAMED: usize = 5;

/// Answer to a question without a number.
#[derive(Clone, Debug, PartialEq)]
pub enum Holds {
    /// It holds.
    Yes,
    /// It does not hold.
    No,
    /// Nothing tells: the path of the input that would.
    Unknown(String),
}

/// Lines of working: made already, or made by a closure when they are wanted.
pub trait Lines {
    /// The lines.
    fn lines(self) -> Vec<String>;
}

impl Lines for Vec<String> {
    fn lines(self) -> Vec<String> {
        self
    }
}

impl Lines for Option<String> {
    fn lines(self) -> Vec<String> {
        self.into_iter().collect()
    }
}

impl<const N: usize> Lines for [String; N] {
    fn lines(self) -> Vec<String> {
        self.into()
    }
}

impl<I: IntoIterator<Item = String>, F: FnOnce() -> I> Lines for F {
    fn lines(self) -> Vec<String> {
        self().into_iter().collect()
    }
}

/// What a remedy has to reach.
#[derive(Clone, Debug)]
pub struct Goal {
    /// The demand as it is.
    pub demand: Estimate,
    /// The bound that governs.
    pub capacity: Estimate,
    /// Which way the bound is meant.
    pub sense: Sense,
    /// The margin as it is.
    pub margin: Estimate,
}

impl Goal {
    /// By how much the demand has to change, as a number above zero in its own unit: down for at most, up for at
    /// least, so that its nominal value reaches [`GOAL`] of the limit and the far end of the range is inside it.
    #[must_use]
    pub fn change(&self) -> f64 {
        let (low, _) = self.margin.interval95();
        let far_end = -low;
        let nominal = match self.sense {
            Sense::AtMost => self.demand.value() - GOAL * self.capacity.value(),
            Sense::AtLeast => self.capacity.value() / GOAL - self.demand.value(),
        };
        far_end.max(nominal)
    }
}

/// One finding in the making.
#[derive(Debug)]
#[must_use]
pub struct Draft<'c> {
    cx: &'c Context,
    finding: Finding,
    goal: Option<Goal>,
}

impl Card {
    /// Begins a finding about a subject, named as a person would name it.
    pub fn about<'c>(&self, cx: &'c Context, about: impl Into<String>) -> Draft<'c> {
        let told = cx.detail() > Detail::Answers;
        let word = |word: &str| if told { word.to_owned() } else { String::new() };
        let cautions = self.cautions.iter().map(str::to_owned);
        Draft {
            cx,
            goal: None,
            finding: Finding {
                check: self.id.to_string(),
                about: about.into(),
                path: String::new(),
                case: None,
                state: None,
                verdict: Verdict::NotApplicable,
                consequence: self.consequence,
                demand_words: word(&self.words.demand),
                capacity_words: word(&self.words.capacity),
                demand: None,
                capacity: None,
                sense: None,
                margin: None,
                utilisation: None,
                sentence: None,
                basis: None,
                also_limits: Vec::new(),
                replaced: None,
                working: Vec::new(),
                needs: Vec::new(),
                remedies: Vec::new(),
                exhibits: Vec::new(),
                place: Where::default(),
                cautions: if told { cautions.collect() } else { Vec::new() },
                accepted: None,
                since: None,
                proposals: Vec::new(),
            },
        }
    }
}

impl Draft<'_> {
    /// Path of the subject in the rig file.
    pub fn at(mut self, path: impl Into<String>) -> Self {
        self.finding.path = path.into();
        self
    }

    /// The state it is about.
    pub fn in_state(mut self, state: &str) -> Self {
        self.finding.state = Some(state.to_owned());
        self
    }

    /// Which of several questions about the same subject.
    pub fn case(mut self, case: &str) -> Self {
        self.finding.case = Some(case.to_owned());
        self
    }

    /// The two verbs, where a case speaks differently from its card.
    pub fn words(mut self, demand: &str, capacity: &str) -> Self {
        self.finding.demand_words = demand.to_owned();
        self.finding.capacity_words = capacity.to_owned();
        self
    }

    /// The consequence, where a case is worse or milder than its card.
    pub fn consequence(mut self, consequence: crate::finding::Consequence) -> Self {
        self.finding.consequence = consequence;
        self
    }

    /// An input is absent.
    pub fn missing(mut self, path: impl Into<String>) -> Finding {
        let path = path.into();
        let how = self.cx.facts().how_to_get(&path).to_owned();
        self.finding.verdict = Verdict::Missing;
        self.finding.needs.push(Need { path, how, share: None });
        self.finding
    }

    /// A fact could not be derived: missing, from further up.
    pub fn blocked(self, gap: &Gap) -> Finding {
        let sentence = gap.why.clone();
        let mut finding = self.missing(gap.path.clone());
        if !sentence.is_empty() {
            finding.sentence = Some(sentence);
        }
        finding
    }

    /// The question does not arise.
    pub fn not_applicable(mut self, why: impl Into<String>) -> Finding {
        self.finding.verdict = Verdict::NotApplicable;
        self.finding.sentence = Some(why.into());
        self.finding.cautions.clear();
        self.finding
    }

    /// A question without a number.
    pub fn require(mut self, holds: Holds, sentence: impl Into<String>) -> Self {
        self.finding.sentence = Some(sentence.into());
        self.finding.verdict = match holds {
            Holds::Yes => Verdict::Pass,
            Holds::No => Verdict::Fail,
            Holds::Unknown(path) => {
                let how = self.cx.facts().how_to_get(&path).to_owned();
                self.finding.needs.push(Need { path, how, share: None });
                Verdict::Missing
            }
        };
        self
    }

    /// Holds a demand against limits; the one nearest to being broken governs. Looks at the 95 % interval of the
    /// margin: wholly not negative passes, wholly negative fails, else unsettled. Without any limit the number is shown
    /// and the answer is not-applicable.
    pub fn compare(mut self, demand: &Estimate, held: &[Held]) -> Self {
        let mut sides: Vec<Side> = held.iter().flat_map(|limit| Side::of(demand, limit)).collect();
        // Stable: of two alike, the one earlier in `codes` governs.
        sides.sort_by(Side::worst_first);
        let mut sides = sides.into_iter();
        let Some(side) = sides.next() else {
            self.finding.verdict = Verdict::NotApplicable;
            return self;
        };
        let finding = &mut self.finding;
        finding.demand = Some(Measure::of(demand, side.held.dimension));
        finding.capacity = Some(Measure::of(side.capacity, side.held.dimension));
        finding.sense = Some(side.sense);
        finding.margin = Some(Measure::signed(&side.margin, side.held.dimension));
        finding.utilisation = side.utilisation.map(Num);
        finding.verdict = side.verdict;
        let (detail, open) = (self.cx.detail(), finding.verdict == Verdict::Unsettled);
        if detail == Detail::Answers {
            return self;
        }
        finding.basis = Some(side.held.basis.clone());
        finding.replaced.clone_from(&side.held.replaced);
        if (open || detail == Detail::Everything) && !is_rounding(&side.margin, demand, side.capacity) {
            finding.needs = needs(self.cx, &side.margin);
        }
        let others = sides.filter(|_| detail == Detail::Everything);
        finding.also_limits = others
            .filter(|other| other.held.name != side.held.name)
            .map(|other| AlsoLimit {
                limit: other.held.name.clone(),
                capacity: Measure::of(other.capacity, other.held.dimension),
                verdict: other.verdict,
                basis: other.held.basis.clone(),
            })
            .collect();
        if self.cx.wants_remedies() {
            let (demand, capacity) = (demand.clone(), side.capacity.clone());
            self.goal = Some(Goal { demand, capacity, sense: side.sense, margin: side.margin });
        }
        self
    }

    /// Shows a number that is held against nothing: the answer is not-applicable and says why.
    pub fn show(mut self, demand: &Estimate, dimension: Dimension, why: impl Into<String>) -> Finding {
        self.finding.demand = Some(Measure::of(demand, dimension));
        self.not_applicable(why)
    }

    /// Lines of working that a reader can redo. Lines that cost something to make are handed over as a closure: it is
    /// not asked where nobody reads them.
    pub fn working(mut self, lines: impl Lines) -> Self {
        if self.cx.detail() == Detail::Everything {
            self.finding.working.extend(lines.lines());
        }
        self
    }

    /// The answer in a sentence, beside its number.
    pub fn sentence(mut self, sentence: impl Into<String>) -> Self {
        self.finding.sentence = Some(sentence.into());
        self
    }

    /// Something more to be careful of.
    pub fn caution(mut self, caution: &str) -> Self {
        self.finding.cautions.push(caution.to_owned());
        self
    }

    /// An exhibit that shows it.
    pub fn exhibit(mut self, id: &str) -> Self {
        self.finding.exhibits.push(id.to_owned());
        self
    }

    /// The verdict as it stands.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        self.finding.verdict
    }

    /// Proposes ways out. Not asked where nothing needs one, or where remedies are off.
    pub fn remedies(mut self, propose: impl FnOnce(&Goal) -> Vec<Proposal>) -> Self {
        // There is a goal where a way out is wanted.
        if matches!(self.finding.verdict, Verdict::Fail | Verdict::Unsettled)
            && let Some(goal) = &self.goal
        {
            self.finding.proposals.extend(propose(goal));
        }
        self
    }

    /// Proposes a way out of a question without a number.
    pub fn proposal(mut self, propose: impl FnOnce() -> Option<Proposal>) -> Self {
        if self.cx.wants_remedies() && self.finding.verdict == Verdict::Fail {
            self.finding.proposals.extend(propose());
        }
        self
    }

    /// The finding.
    #[must_use]
    pub fn done(self) -> Finding {
        self.finding
    }
}

impl From<Draft<'_>> for Finding {
    fn from(draft: Draft<'_>) -> Self {
        draft.finding
    }
}

/// One limit's view of the demand.
struct Side<'a> {
    held: &'a Held,
    capacity: &'a Estimate,
    sense: Sense,
    margin: Estimate,
    verdict: Verdict,
    utilisation: Option<f64>,
}

impl<'a> Side<'a> {
    /// One side for a one-sided bound, both for `between`.
    fn of(demand: &Estimate, held: &'a Held) -> Vec<Self> {
        match &held.bound {
            HeldBound::AtMost(most) => vec![Self::one(demand, held, most, Sense::AtMost)],
            HeldBound::AtLeast(least) => vec![Self::one(demand, held, least, Sense::AtLeast)],
            HeldBound::Between(least, most) => {
                vec![Self::one(demand, held, least, Sense::AtLeast), Self::one(demand, held, most, Sense::AtMost)]
            }
        }
    }

    fn one(demand: &Estimate, held: &'a Held, capacity: &'a Estimate, sense: Sense) -> Self {
        let margin = match sense {
            Sense::AtMost => capacity - demand,
            Sense::AtLeast => demand - capacity,
        };
        let verdict = decide(&margin);
        let ratio_scale = !matches!(held.dimension, Dimension::Temperature);
        let positive = demand.value() > 0.0 && capacity.value() > 0.0;
        let utilisation = (ratio_scale && positive).then(|| match sense {
            Sense::AtMost => demand.value() / capacity.value(),
            Sense::AtLeast => capacity.value() / demand.value(),
        });
        Self { held, capacity, sense, margin, verdict, utilisation }
    }

    fn worst_first(&self, other: &Self) -> std::cmp::Ordering {
        let by_use = match (self.utilisation, other.utilisation) {
            (Some(a), Some(b)) => b.total_cmp(&a),
            _ => self.margin.value().total_cmp(&other.margin.value()),
        };
        other.verdict.rank().cmp(&self.verdict.rank()).then(by_use)
    }
}

fn decide(margin: &Estimate) -> Verdict {
    let (low, high) = margin.interval95();
    if low >= 0.0 {
        Verdict::Pass
    } else if high < 0.0 {
        Verdict::Fail
    } else {
        Verdict::Unsettled
    }
}

/// Whether all the doubt of a margin is what floating-point arithmetic leaves of none: half of the digits say the same.
fn is_rounding(margin: &Estimate, demand: &Estimate, capacity: &Estimate) -> bool {
    margin.sd() <= f64::EPSILON.sqrt() * demand.value().abs().max(capacity.value().abs())
}

/// The inputs that carry the doubt of a margin, largest share first.
fn needs(cx: &Context, margin: &Estimate) -> Vec<Need> {
    margin
        .largest_shares(NEEDS_NAMED)
        .into_iter()
        .filter_map(|(id, share)| {
            let input = cx.facts().input(id)?;
            let how = cx.facts().how_to_get(&input.path).to_owned();
            Some(Need { path: input.path.clone(), how, share: Some(Num(share)) })
        })
        .collect()
}
