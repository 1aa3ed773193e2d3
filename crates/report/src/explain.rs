//! What a check asks, how it computes, what limits it, and how to get what it needs in a yard.

use basis::{Bound, Limit};
use check::card::{Card, Scope};
use check::{Consequence, Words};
use quantity::System;

use crate::numbers::Numbers;
use crate::terminal::Look;
use crate::terminal::paper::Paper;
use crate::text::{clean, columns, tie, tie_numbers};

/// Everything about one check. `limits` are pairs of set and limit, `needs` pairs of an input's path and how to get it.
#[must_use]
pub fn render(card: &Card, limits: &[(String, Limit)], needs: &[(String, String)], width: usize) -> String {
    let mut paper = Paper::new(&Look { width, ..Look::default() }, "");
    paper.line(&clean(&card.id));
    paper.running(0, &prose(&card.question));
    paper.blank();
    paper.running(4, &prose(&in_short(card)));
    paper.running(4, &prose(&sentence(&card.words)));
    formula(&mut paper, card);
    limited(&mut paper, card, limits);
    needed(&mut paper, card, needs);
    let cautions: Vec<&str> = card.cautions.iter().collect();
    if !cautions.is_empty() {
        paper.heading("CAREFUL");
        cautions.iter().for_each(|caution| paper.running(4, &prose(caution)));
    }
    paper.done()
}

/// One line a check: id, what a failure leads to, question.
#[must_use]
pub fn list<'a>(cards: impl IntoIterator<Item = &'a Card>) -> String {
    let cards: Vec<&Card> = cards.into_iter().collect();
    let ids = cards.iter().map(|card| columns(&clean(&card.id))).max().unwrap_or(0);
    let mut out = String::new();
    for card in &cards {
        let id = clean(&card.id);
        let pad = " ".repeat(ids - columns(&id));
        let line = format!("{id}{pad}  {:<10}  {}", short(card.consequence), clean(&card.question));
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out.push_str(&format!("{}.  Full account of one: rigproof explain ID\n", crate::text::count(cards.len(), "check")));
    out
}

/// When it is asked, and what a failure leads to.
pub(crate) fn in_short(card: &Card) -> String {
    format!("Asked {}. A failure {}.", asked(card.scope), leads_to(card.consequence))
}

fn prose(text: &str) -> String {
    tie_numbers(&clean(text))
}

fn asked(scope: Scope) -> &'static str {
    match scope {
        Scope::Travel => "of every state for driving",
        Scope::Camp => "of every state for standing",
        Scope::Every => "of every state",
        Scope::Once => "once of the whole rig",
    }
}

fn leads_to(consequence: Consequence) -> &'static str {
    match consequence {
        Consequence::Injury => "can injure somebody",
        Consequence::Legal => "is against the law",
        Consequence::Damage => "can break something",
        Consequence::Comfort => "is a discomfort",
    }
}

fn short(consequence: Consequence) -> &'static str {
    match consequence {
        Consequence::Injury => "can injure",
        Consequence::Legal => "law",
        Consequence::Damage => "can break",
        Consequence::Comfort => "discomfort",
    }
}

fn sentence(words: &Words) -> String {
    format!("It says what the subject {}, and what it {}.", words.demand, words.capacity)
}

fn formula(paper: &mut Paper, card: &Card) {
    let lines: Vec<&str> = card.formula.iter().collect();
    if lines.is_empty() {
        return;
    }
    paper.heading("HOW IT IS COMPUTED");
    lines.iter().for_each(|line| paper.running(4, &prose(line)));
}

fn limited(paper: &mut Paper, card: &Card, limits: &[(String, Limit)]) {
    let told: Vec<&str> = card.limits.iter().filter(|id| !limits.iter().any(|(_, limit)| limit.id == *id)).collect();
    if limits.is_empty() && told.is_empty() {
        paper.heading("LIMITS");
        paper.running(4, "From the rig file itself: plates, papers, or what its own parts can bear.");
        return;
    }
    paper.heading("LIMITS");
    for (at, (set, limit)) in limits.iter().enumerate() {
        if at > 0 {
            paper.blank();
        }
        paper.running(4, &prose(&format!("{set}: {}: {}", limit.id, limit.asks)));
        paper.labelled("holds", &bound(limit));
        paper.labelled("why", &prose(&limit.why));
        paper.labelled("from", &prose(&limit.basis.line()));
        let known = match &limit.basis.seen {
            Some(seen) => format!("{}: {seen}", limit.basis.known.word()),
            None => limit.basis.known.word().to_owned(),
        };
        paper.labelled("known", &prose(&known));
    }
    if !told.is_empty() {
        paper.blank();
        paper.running(4, &prose(&format!("In none of these sets: {}.", told.join(", "))));
    }
}

fn bound(limit: &Limit) -> String {
    let numbers = Numbers::new(System::Metric, false);
    let show = |si: f64| tie(&numbers.exact(si, limit.dimension));
    match limit.bound {
        Bound::AtMost(most) => format!("at most {}", show(most)),
        Bound::AtLeast(least) => format!("at least {}", show(least)),
        Bound::Between(least, most) => format!("between {} and {}", show(least), show(most)),
    }
}

/// What it cannot answer without, then what moves its answer.
fn needed(paper: &mut Paper, card: &Card, inputs: &[(String, String)]) {
    // What is needed also moves the answer: a card may list it twice.
    let mut told = std::collections::BTreeSet::new();
    let (needs, uses): (Vec<_>, Vec<_>) =
        inputs.iter().filter(|(path, _)| told.insert(path.as_str())).partition(|(path, _)| card.needs.has(path));
    for (heading, inputs) in [("WHAT IT NEEDS, AND HOW TO GET IT", needs), ("WHAT MOVES THE ANSWER, AND HOW TO GET IT", uses)] {
        if inputs.is_empty() {
            continue;
        }
        paper.heading(heading);
        for (at, (path, how)) in inputs.into_iter().enumerate() {
            if at > 0 {
                paper.blank();
            }
            paper.running(4, &clean(path));
            if !how.is_empty() {
                paper.running(8, &prose(how));
            }
        }
    }
    let untold = |path: &&str| !card.needs.has(path) && !inputs.iter().any(|(told, _)| told == path);
    let uses: Vec<&str> = card.uses.iter().filter(untold).collect();
    if !uses.is_empty() {
        paper.heading("WHAT ALSO MOVES THE ANSWER");
        paper.running(4, &clean(&uses.join(", ")));
    }
}

#[cfg(test)]
mod tests {
    use basis::Basis;
    use check::List;
    use quantity::Dimension;

    use super::*;

    fn card() -> Card {
        Card {
            id: "weight/axle-load".into(),
            question: "Does any axle carry more than it is rated for?".into(),
            words: Words::new("carries", "may carry"),
            consequence: Consequence::Injury,
            scope: Scope::Travel,
            needs: List::Static(&["axle.rated", "axle.bare_load"]),
            uses: List::Static(&["axle.rated", "mass", "tank"]),
            limits: List::Static(&["weight/axle-share", "weight/not-there"]),
            formula: List::Static(&["load of an axle = its bare load + sum of mass x lever", "share = load / rating"]),
            cautions: List::Static(&["a body on jacks can fall; stands on hard ground before anyone goes under"]),
        }
    }

    fn limit() -> Limit {
        Limit {
            set: "good-practice".to_owned(),
            id: "weight/axle-share".to_owned(),
            asks: "share of an axle's rating that is used".to_owned(),
            dimension: Dimension::Ratio,
            bound: Bound::Between(0.2, 0.95),
            why: "the next thing loaded must not overload it".to_owned(),
            basis: Basis::common_practice(),
        }
    }

    #[test]
    fn a_card_is_told_in_full() {
        let limits = [("good-practice".to_owned(), limit())];
        let needs = [
            ("axle.rated".to_owned(), "read the plate on the axle beam or in the door frame".to_owned()),
            ("tank".to_owned(), "fill it by the bucket and count".to_owned()),
            (
                "axle.bare_load".to_owned(),
                "drive the bare chassis with that axle alone onto a scale, 2 or 3 times over 0.5 m of level ground".to_owned(),
            ),
        ];
        for width in [60, 100] {
            let text = render(&card(), &limits, &needs, width);
            assert!(text.lines().all(|line| columns(line) <= width), "{text}");
            insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, {
                insta::assert_snapshot!(format!("explain-{width}"), text);
            });
        }
    }

    #[test]
    fn a_check_without_limits_of_its_own_says_where_its_limits_stand() {
        let bare = Card { limits: List::Static(&[]), ..card() };
        assert!(render(&bare, &[], &[], 100).contains("From the rig file itself"));
    }

    #[test]
    fn the_list_has_one_line_a_check_and_a_last_one() {
        let text = list([&card(), &Card { id: "own/x".into(), ..card() }]);
        assert_eq!(text.lines().count(), 3);
        assert!(text.starts_with("weight/axle-load  can injure  Does any axle carry more"), "{text}");
        assert!(text.contains("own/x             can injure"), "{text}");
    }
}
