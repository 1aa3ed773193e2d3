//! The card of a plugin's check.

use std::borrow::Cow;

use check::registry::parts_of_id;
use check::{Card, Consequence, List, Scope, Words, view};
use plugin_api::wire;

/// The card as the program holds it.
///
/// # Errors
/// A sentence: what about it makes no sense, or that its trade is taken.
pub(crate) fn made(said: &wire::Card, taken: &[String]) -> Result<Card, String> {
    let id = &said.id;
    let (trade, _) =
        parts_of_id(id).ok_or_else(|| format!("a check is called \"{id}\"; an id is written trade/what-is-asked"))?;
    if taken.iter().any(|other| other == trade) {
        return Err(format!(
            "its check {id} is of the trade {trade}, which there is already; a plugin brings a trade of its own"
        ));
    }
    for (what, text) in
        [("question", &said.question), ("demand_words", &said.demand_words), ("capacity_words", &said.capacity_words)]
    {
        if text.trim().is_empty() {
            return Err(format!("the card of {id} has no {what}"));
        }
    }
    Ok(Card {
        id: Cow::Owned(id.clone()),
        question: Cow::Owned(said.question.clone()),
        words: Words { demand: Cow::Owned(said.demand_words.clone()), capacity: Cow::Owned(said.capacity_words.clone()) },
        consequence: match said.consequence {
            wire::Consequence::Injury => Consequence::Injury,
            wire::Consequence::Legal => Consequence::Legal,
            wire::Consequence::Damage => Consequence::Damage,
            wire::Consequence::Comfort => Consequence::Comfort,
        },
        scope: match said.scope {
            wire::Scope::Travel => Scope::Travel,
            wire::Scope::Camp => Scope::Camp,
            wire::Scope::Every => Scope::Every,
            wire::Scope::Once => Scope::Once,
        },
        needs: List::Owned(view::written_out(said.needs.iter().map(String::as_str))),
        uses: List::Owned(view::written_out(said.uses.iter().map(String::as_str))),
        limits: List::Owned(said.limits.clone()),
        formula: List::Owned(said.formula.clone()),
        cautions: List::Owned(said.cautions.clone()),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn card(id: &str) -> wire::Card {
        wire::Card::new(id, "Does it freeze?", wire::Consequence::Damage, wire::Scope::Once).needs(&["tank.volume", "facts"])
    }

    #[test]
    fn facts_stand_for_all_that_they_rest_on() {
        let made = made(&card("frost/water-tank"), &[]).unwrap();
        assert!(made.needs.has("tank.volume") && made.needs.has("axle") && !made.needs.has("facts"));
        assert_eq!(made.trade(), "frost");
    }

    #[test]
    fn a_trade_of_somebody_else_and_a_name_that_is_none_are_refused() {
        let taken = ["weight".to_owned()];
        assert!(made(&card("weight/water-tank"), &taken).unwrap_err().contains("a trade of its own"));
        for id in ["frost", "frost/", "/tank", "Frost/tank", "frost/water tank", "frost/a/b"] {
            assert!(made(&card(id), &taken).unwrap_err().contains("trade/what-is-asked"), "{id}");
        }
        let silent = wire::Card { question: " ".to_owned(), ..card("frost/water-tank") };
        assert_eq!(made(&silent, &taken).unwrap_err(), "the card of frost/water-tank has no question");
    }
}
