//! weight/licence: may whoever drives it drive it?
//!
//! demand      highest laden mass of the truck by its papers, else by its plate (kg); case "trailer": mass of the trailer
//! capacity    the heaviest that a class on the driver's card may drive; case "trailer": tow, at most
//! states      once, for each person who drives
//! leaves out  age, medical checks, professional cards, rules for tourists: ask the licence office

use std::borrow::Cow;

use basis::Table;
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, Holds, List, Scope, Words};
use quantity::{Dimension, Estimate};
use rig_model::model::{Person, Trade};
use rig_model::path;

use crate::working;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/licence"),
    question: Cow::Borrowed("May whoever drives it drive it?"),
    words: Words::new("drives", "may drive"),
    consequence: Consequence::Legal,
    scope: Scope::Once,
    needs: List::Static(&["person.drives", "person.licence", "chassis.gross_mass"]),
    uses: List::Static(&["without", "person", "chassis.registered_mass", "trailer.mass"]),
    limits: List::Static(&["weight/licence", "weight/licence-trailer"]),
    formula: List::Static(&[
        "truck: highest laden mass by the papers, else by the plate; what it weighs today does not count",
        "trailer: a class with E counts where its first part covers the truck",
    ]),
    cautions: List::Static(&["classes and what they cover differ from country to country and by the day of the test: ask"]),
};

/// May whoever drives it drive it?
#[derive(Debug)]
pub struct Licence;

impl Check for Licence {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let people = &cx.rig().person;
        if people.is_empty() {
            return vec![CARD.about(cx, "driver").at("person").missing("person")];
        }
        let drivers: Vec<_> = people.iter().enumerate().filter(|(_, person)| person.drives == Some(true)).collect();
        if drivers.is_empty() {
            return vec![CARD.about(cx, "driver").at("person").missing("person.drives")];
        }
        drivers.into_iter().flat_map(|(index, person)| of_driver(cx, index, person)).collect()
    }
}

fn of_driver(cx: &Context, index: usize, person: &Person) -> Vec<Finding> {
    let at = path::of("person", &person.name, index);
    let begin = || CARD.about(cx, person.name.clone()).at(&at);
    let Some(table) = cx.table("weight/licence") else {
        return vec![begin().not_applicable("none of the chosen sets lists licence classes")];
    };
    let Some(truck) = truck_mass(cx) else { return vec![begin().missing("chassis.gross_mass")] };
    if person.licence.is_empty() {
        return vec![begin().missing(format!("{at}.licence"))];
    }
    vec![drives(begin(), person, table, truck), tows(cx, begin().case("trailer"), person, table, truck)]
}

/// Highest laden mass by the papers, else by the plate.
fn truck_mass(cx: &Context) -> Option<f64> {
    let chassis = cx.rig().chassis.as_ref()?;
    let plate = chassis.gross_mass.as_ref()?.value()?;
    Some(chassis.registered_mass.as_ref().and_then(|mass| mass.value()).unwrap_or(plate))
}

/// The class of the card that covers most, and how much.
fn best<'t>(table: &'t Table, person: &Person, counts: impl Fn(&str) -> bool) -> Option<(&'t str, f64)> {
    let held = table.pairs("class", "mass").filter(|(class, _)| person.licence.iter().any(|own| own.trim() == *class));
    held.filter(|(class, _)| counts(class)).max_by(|a, b| a.1.total_cmp(&b.1))
}

fn judge(draft: Draft<'_>, mass: f64, class: Option<(&str, f64)>, table: &Table, person: &Person) -> Finding {
    let card = person.licence.join(", ");
    let Some((class, most)) = class else {
        return draft.require(Holds::No, format!("none of the classes on the card ({card}) covers it")).done();
    };
    let held = Held::at_most(&format!("class {class}"), Estimate::exact(most), Dimension::Mass, table.basis.clone());
    let line = format!("classes on the card: {card}; {class} covers {}", working::kg(most));
    draft.compare(&Estimate::exact(mass), &[held]).working(|| [line]).done()
}

fn drives(draft: Draft<'_>, person: &Person, table: &Table, truck: f64) -> Finding {
    judge(draft, truck, best(table, person, |_| true), table, person)
}

fn tows(cx: &Context, draft: Draft<'_>, person: &Person, trucks: &Table, truck: f64) -> Finding {
    let draft = draft.words("tows", "may tow");
    if cx.rig().without.contains(&Trade::Trailer) {
        return draft.not_applicable("the rig is without a trailer");
    }
    let Some(table) = cx.table("weight/licence-trailer") else {
        return draft.not_applicable("none of the chosen sets lists what a class may tow");
    };
    let mass = match cx.facts().trailer_mass() {
        Ok(mass) => mass.value(),
        Err(gap) => return draft.blocked(gap),
    };
    let covers = |class: &str| {
        let first = class.strip_suffix('E').unwrap_or(class);
        trucks.number("class", first, "mass").is_some_and(|most| most >= truck)
    };
    judge(draft, mass, best(table, person, covers), table, person)
}
