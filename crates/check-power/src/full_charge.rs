//! power/full-charge: does a lead-acid battery get full often enough?
//!
//! demand      most days on end in which the battery does not get full, in every second year at least (s), months of use
//! capacity    the limit's, at most
//! states      once for each bank and set of what is on board when camped
//! leaves out  lithium, which need not be full to last; months out of use: leave it full and disconnected

use std::borrow::Cow;

use check::draft::{GOAL, has_reserve_under};
use check::{Card, Check, Consequence, Context, Draft, Finding, List, Proposal, Scope, Words};
use quantity::Dimension;
use rig_facts::power::{Answer, Bank, BankYear, Side, Try};
use rig_model::model::Chemistry;

use crate::autonomy::DAY_S;
use crate::house::{House, every_bank, on_year};
use crate::ways_out;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/full-charge"),
    question: Cow::Borrowed("Does a lead-acid battery get full often enough?"),
    words: Words::new("is not full for", "may be so for"),
    consequence: Consequence::Damage,
    scope: Scope::Once,
    needs: List::Static(&["battery.chemistry", "load.power", "panel.rated", "site.latitude"]),
    uses: on_year![],
    limits: List::Static(&["power/full-charge"]),
    formula: List::Static(&[
        "hour by hour through drawn years; a day counts as full with an hour at 98 % or more",
        "of each year the longest spell without; half of the years have one as long or longer",
    ]),
    cautions: List::Static(&[
        "lead-acid batteries give off explosive gas when charged: air in, sparks and flames away, covers off",
        "batteries give thousands of amperes and start fires: fuse at the post, no ring or tool across it",
    ]),
};

/// Does a lead-acid battery get full often enough?
#[derive(Debug)]
pub struct FullCharge;

impl Check for FullCharge {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        every_bank(cx, &CARD, answer)
    }
}

/// Days of a week: the trade's habit is to fill a battery so often.
const WEEK: f64 = 7.0;

/// The spell that half of the years reach.
fn usual_spell(answer: &Answer) -> f64 {
    let mut spells = answer.unfull.clone();
    spells.sort_unstable();
    spells.get(spells.len() / 2).copied().map_or(0.0, f64::from)
}

fn answer<'c>(house: &House<'c>, of: (&'c Bank, &'c BankYear), draft: Draft<'c>) -> Finding {
    let (bank, year) = of;
    match bank.chemistry {
        _ if bank.portable => return draft.not_applicable("it looks after itself"),
        Some(word) if !Chemistry::is_lead(word) => {
            return draft.not_applicable("lithium need not get full to last; once a month evens its cells out");
        }
        _ => {}
    }
    let held = house.cx.limits("power/full-charge");
    let Some(may) = held.iter().map(|held| held.upper().value()).min_by(f64::total_cmp).map(|most| most / DAY_S) else {
        return draft.show(&year.drawn.estimate(usual_spell).scale(DAY_S), Dimension::Duration, check::limits::NO_LIMIT);
    };
    let run = &year.drawn;
    let spell = usual_spell(run.nominal());
    let side = if spell > may { Side::Below } else { Side::Above };
    let note = if spell > WEEK && spell <= may { "; once a week is the trade's habit" } else { "" };
    let words = format!(
        "of {} drawn years half have {spell} days or more on end without a full battery, the worst {}{note}",
        run.years.len(),
        run.nominal().longest_unfull
    );
    draft
        .compare(&run.leaning(side, usual_spell).scale(DAY_S), &held)
        .sentence(words)
        .working(|| working(run.nominal()))
        .remedies(|_| ways_out(house, year, may))
        .done()
}

fn working(answer: &Answer) -> [String; 1] {
    let spells: Vec<String> = answer.unfull.iter().map(ToString::to_string).collect();
    [format!("longest spell of each year drawn, days: {}", spells.join(" "))]
}

fn ways_out(house: &House<'_>, year: &BankYear, may: f64) -> Vec<Proposal> {
    let is_enough = |house: &House<'_>| {
        let same = house.banks().iter().find(|other| other.bank == year.bank);
        let spell = same.map(|year| year.drawn.leaning(Side::Above, usual_spell));
        spell.is_some_and(|spell| has_reserve_under(may, &spell))
    };
    let run = &year.drawn;
    let (dim, more) = (1.0 - run.lumped.sun.sd(), 1.0 + run.lumped.load.sd());
    let fine = |answer: &Answer| usual_spell(answer) <= GOAL * may;
    let panels = std::array::from_fn(|lane| Try { sun: dim * (1.0 + (lane as f64 + 1.0) / 4.0), load: more, capacity: 1.0 });
    let loads = std::array::from_fn(|lane| Try { sun: dim, load: more * (1.0 - (lane as f64 + 1.0) / TEN), capacity: 1.0 });
    let month = house.hardest_month().map_or(0, |(month, _)| month);
    let panels = ways_out::first_enough(run, panels, fine);
    let loads = ways_out::first_enough(run, loads, fine);
    [
        panels.and_then(|found| ways_out::more_panels(house, found.sun / dim, is_enough)),
        loads.and_then(|found| ways_out::fewer_hours(house, month, found.load / more, is_enough)),
    ]
    .into_iter()
    .flatten()
    .collect()
}

const TEN: f64 = 10.0;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_of_the_years_have_such_a_spell() {
        let answer = |unfull: &[u32]| Answer {
            short_days: Vec::new(),
            short_wh: [0.0; 12],
            left_over_wh: [0.0; 12],
            hours_short: 0.0,
            longest_short: 0,
            lowest: 0.0,
            longest_unfull: 0,
            unfull: unfull.to_vec(),
        };
        assert_eq!(usual_spell(&answer(&[40, 3, 9, 12])), 12.0);
        assert_eq!(usual_spell(&answer(&[40, 3, 9])), 9.0);
        assert_eq!(usual_spell(&answer(&[])), 0.0);
    }
}
