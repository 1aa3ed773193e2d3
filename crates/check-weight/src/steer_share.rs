//! weight/steer-share: is the front too light to steer and to brake?
//!
//! demand      load on the steered axles over the mass of the truck, standing level, at least
//! capacity    the share that the chosen sets ask for
//! states      every travel state: often the emptiest with the tail full is the worst
//! leaves out  slopes (`weight/grade`), full stops (`weight/braking`)

use std::borrow::Cow;

use check::{Card, Check, Consequence, Context, Finding, List, Scope, Words, on_ledger};

use crate::share::{self, Share};
use crate::subject::every_state;
use crate::whole;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/steer-share"),
    question: Cow::Borrowed("Is the front too light to steer and to brake?"),
    words: Words::new("has on its steered axles", "must have"),
    consequence: Consequence::Injury,
    scope: Scope::Travel,
    needs: List::Static(&["axle.steered", "axle.bare_load", "axle.x"]),
    uses: on_ledger!["axle.steered"],
    limits: List::Static(&["weight/steer-share"]),
    formula: List::Static(&["share = load on the steered axles / mass of the truck"]),
    cautions: List::Static(&["if it steers oddly or the front lifts, stop: do not drive on to see"]),
};

/// Is the front too light to steer and to brake?
#[derive(Debug)]
pub struct SteerShare;

impl Check for SteerShare {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let told: Vec<Option<bool>> = cx.rig().axle.iter().map(|axle| axle.steered).collect();
        let share = Share { card: &CARD, key: "steered", told: &told, limit: "weight/steer-share" };
        every_state(cx, &CARD, |state| {
            vec![match state.mass() {
                Ok(mass) => share::answer(cx, state, share, mass),
                Err(gap) => CARD.about(cx, whole::NAME).at(whole::PATH).in_state(&state.name).blocked(gap),
            }]
        })
    }
}
