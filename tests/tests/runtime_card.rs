//! A check whose card is made at run time, as a script's is: registered, run, rendered and explained like any other.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::borrow::Cow;

use check::{Card, Check, Consequence, Context, Finding, List, Registry, Scope, Verdict, Words};
use rigproof_tests::{FULL, example, today};

/// Asks whether each person has a name of at most so many letters. Nobody needs to know; it reads no fact.
struct ShortNames {
    card: Card,
    most: usize,
}

impl ShortNames {
    fn new(most: usize) -> Self {
        let card = Card {
            id: Cow::Owned(format!("own/names-of-{most}")),
            question: Cow::Owned(format!("Is a name longer than {most} letters?")),
            words: Words { demand: Cow::Owned("has".to_owned()), capacity: Cow::Owned("may have".to_owned()) },
            consequence: Consequence::Comfort,
            scope: Scope::Once,
            needs: List::Owned(vec!["person".to_owned()]),
            uses: List::Owned(Vec::new()),
            limits: List::Owned(Vec::new()),
            formula: List::Owned(vec!["letters are counted".to_owned()]),
            cautions: List::Owned(Vec::new()),
        };
        Self { card, most }
    }
}

impl Check for ShortNames {
    fn card(&self) -> &Card {
        &self.card
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let answer = |person: &rig_model::Person| {
            let holds = if person.name.chars().count() <= self.most { check::Holds::Yes } else { check::Holds::No };
            let sentence = format!("{} letters", person.name.chars().count());
            self.card.about(cx, &person.name).at(format!("person[\"{}\"]", person.name)).require(holds, sentence).done()
        };
        cx.rig().person.iter().map(answer).collect()
    }
}

/// A check that breaks down: the rest must go on.
struct BreaksDown(Card);

impl Check for BreaksDown {
    fn card(&self) -> &Card {
        &self.0
    }

    fn run(&self, _: &Context) -> Vec<Finding> {
        panic!("this check breaks down on purpose")
    }
}

fn registry(own: Vec<Box<dyn Check>>) -> Registry {
    let mut checks = check_weight::checks();
    checks.extend(own);
    Registry::new(checks, check_weight::limits()).unwrap()
}

#[test]
fn a_card_made_at_run_time_is_like_any_other() {
    let registry = registry(vec![Box::new(ShortNames::new(9))]);
    let audit = runner_audit(&registry);
    let own: Vec<&Finding> = audit.findings.iter().filter(|f| f.check == "own/names-of-9").collect();
    assert_eq!(own.len(), 3);
    let verdict_of = |about: &str| own.iter().find(|f| f.about == about).map(|f| f.verdict);
    assert_eq!(verdict_of("botanist"), Some(Verdict::Pass));
    assert_eq!(verdict_of("second driver"), Some(Verdict::Fail));
    assert!(own.iter().all(|f| f.place.line > 1), "the runner finds its place in the file");
    let card = registry.find("own/names-of-9").unwrap().card();
    assert!(report::explain::render(card, &[], &[], 80).contains("longer than 9 letters"));
    assert!(report::json::render(&audit).contains("own/names-of-9"));
}

#[test]
fn two_checks_of_one_name_are_refused() {
    let mut checks = check_weight::checks();
    checks.push(Box::new(ShortNames::new(9)));
    checks.push(Box::new(ShortNames::new(9)));
    assert!(Registry::new(checks, check_weight::limits()).is_err());
}

#[test]
fn a_check_that_breaks_down_is_a_fault_and_the_rest_goes_on() {
    let quiet = std::panic::take_hook();
    std::panic::set_hook(Box::new(|_| {}));
    let mut card = ShortNames::new(9).card;
    card.id = Cow::Borrowed("own/breaks-down");
    let with = runner_audit(&registry(vec![Box::new(BreaksDown(card))]));
    std::panic::set_hook(quiet);
    let without = runner_audit(&registry(Vec::new()));
    assert_eq!(with.faults.len(), 1);
    assert_eq!(with.faults[0].check, "own/breaks-down");
    assert!(with.faults[0].text.contains("on purpose"));
    assert_eq!(with.findings, without.findings);
}

fn runner_audit(registry: &Registry) -> check::Audit {
    let options = rigproof::Options { today: today(), file: "rig.toml".to_owned(), ..rigproof_tests::quick() };
    rigproof::door::audit_with(registry, example(FULL).as_bytes(), &options)
}
