//! weight/drive-share: do the driven axles carry enough to climb a wet road?
//!
//! demand      load on the driven axles over the mass of the truck, or of truck and trailer where one is coupled, at least
//! capacity    the share that the chosen sets ask for
//! states      every travel state
//! leaves out  whether the engine can (torque), what the tyres grip

use std::borrow::Cow;

use check::{Card, Check, Consequence, Context, Finding, List, Scope, Words, on_ledger};

use crate::share::{self, Share};
use crate::subject::every_state;
use crate::whole;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/drive-share"),
    question: Cow::Borrowed("Do the driven axles carry enough to climb a wet road?"),
    words: Words::new("has on its driven axles", "must have"),
    consequence: Consequence::Legal,
    scope: Scope::Travel,
    needs: List::Static(&["axle.driven", "axle.bare_load", "axle.x"]),
    uses: on_ledger!["axle.driven"],
    limits: List::Static(&["weight/drive-share"]),
    formula: List::Static(&["share = load on the driven axles / mass of truck and trailer"]),
    cautions: List::Static(&[]),
};

/// Do the driven axles carry enough to climb a wet road?
#[derive(Debug)]
pub struct DriveShare;

impl Check for DriveShare {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let told: Vec<Option<bool>> = cx.rig().axle.iter().map(|axle| axle.driven).collect();
        let share = Share { card: &CARD, key: "driven", told: &told, limit: "weight/drive-share" };
        every_state(cx, &CARD, |state| {
            vec![match whole::combination(cx, state) {
                Ok(mass) => share::answer(cx, state, share, &mass),
                Err(gap) => CARD.about(cx, whole::NAME).at(whole::PATH).in_state(&state.name).blocked(&gap),
            }]
        })
    }
}
