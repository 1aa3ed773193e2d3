//! What several checks of this trade say of limits and of answers to choose from.

use check::{Draft, Finding, Held, Verdict};

/// The least of several bounds.
#[must_use]
pub fn least(held: &[Held]) -> Option<f64> {
    held.iter().map(|held| held.upper().value()).min_by(f64::total_cmp)
}

/// Says a sentence beside a number that does not pass.
pub fn or_say<'c>(draft: Draft<'c>, sentence: &str) -> Draft<'c> {
    if draft.verdict() == Verdict::Pass { draft } else { draft.sentence(sentence) }
}

/// Of several answers about the same subject the one nearest to being broken, or broken most; of two alike the first.
#[must_use]
pub fn worst_of(answers: Vec<Finding>) -> Option<Finding> {
    let used = |finding: &Finding| finding.utilisation.map_or(0.0, |used| used.0);
    answers.into_iter().reduce(|worst, other| {
        let order = other.verdict.rank().cmp(&worst.verdict.rank()).then(used(&other).total_cmp(&used(&worst)));
        if order.is_gt() { other } else { worst }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::context;
    use check::{Check, Holds};

    #[test]
    fn the_answer_nearest_to_being_broken_counts() {
        let cx = context("");
        let card = crate::clearance::Clearance;
        let answer = |holds| card.card().about(&cx, "x").require(holds, "").done();
        let open = || answer(Holds::Unknown("clearance".to_owned()));
        let worst = |answers: Vec<Finding>| worst_of(answers).map(|finding| finding.verdict);
        assert_eq!(worst(vec![answer(Holds::Yes), answer(Holds::No), open()]), Some(Verdict::Fail));
        assert_eq!(worst(vec![answer(Holds::Yes), open()]), Some(Verdict::Missing));
        assert_eq!(worst(Vec::new()), None);
    }
}
