//! weight/tyre-age: are the tyres young enough, and made for the speed?
//!
//! demand      age by the date code (s); case "speed": the rig's top speed [m/s]
//! capacity    the age that the chosen sets allow, at most; case "speed": the speed of the tyre's symbol, at most
//! states      once
//! leaves out  cracks, retreads, tyres of different kinds on one axle: look at them

use std::borrow::Cow;

use check::remedy::{Effort, Proposal};
use check::{Card, Check, Consequence, Context, Finding, Held, Holds, List, Scope, Words};
use physics::tyre::{DateCode, speed_km_h};
use quantity::{Dimension, Estimate, parse};
use rig_facts::Gap;
use rig_facts::axles::AxleFacts;
use rig_model::model::Axle;
use rig_model::{Edit, EditOp, Free};

use crate::subject::axle_name;
use crate::{remedy, working};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/tyre-age"),
    question: Cow::Borrowed("Are the tyres young enough, and made for the speed?"),
    words: Words::new("has tyres of", "may have"),
    consequence: Consequence::Injury,
    scope: Scope::Once,
    needs: List::Static(&["axle.tyre.date_code", "axle.tyre.speed_symbol", "top_speed"]),
    uses: List::Static(&[]),
    limits: List::Static(&["weight/tyre-age"]),
    formula: List::Static(&[
        "age = today - middle of the week on the date code",
        "the speed symbol is the highest speed at the load of the load index",
    ]),
    cautions: List::Static(&["cracks, bulges and flat spots end a tyre at any age; the spare wheel ages too"]),
};

/// Are the tyres young enough, and made for the speed?
#[derive(Debug)]
pub struct TyreAge;

impl Check for TyreAge {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        if cx.rig().axle.is_empty() {
            return vec![CARD.about(cx, "axles").at("axle").missing("axle")];
        }
        let axles = cx.rig().axle.iter().zip(cx.facts().axles().list());
        axles.flat_map(|(axle, facts)| [age(cx, axle, facts), speed(cx, axle, facts)]).collect()
    }
}

fn age(cx: &Context, axle: &Axle, facts: &AxleFacts) -> Finding {
    let path = format!("{}.tyre.date_code", facts.path);
    let draft = CARD.about(cx, axle_name(&axle.name)).at(&facts.path);
    let Some(code) = axle.tyre.as_ref().and_then(|tyre| tyre.date_code.as_deref()) else { return draft.missing(path) };
    if code.trim().len() < "wwyy".len() {
        let fresh = || fresh_tyres(cx, facts);
        return draft.require(Holds::No, "three digits: made before 2000").proposal(|| Some(fresh())).done();
    }
    let made = match DateCode::read(code) {
        Ok(made) => made,
        Err(why) => return draft.blocked(&Gap::because(path, why.to_string())),
    };
    let (year, day) = (i32::from(cx.today().year), i32::from(cx.today().of_year()));
    // In the week it was made a tyre is as old as nothing.
    let age = Estimate::exact(made.age_s(year, day).max(0.0));
    if DateCode::read(&DateCode::of_day(year, day)).is_ok_and(|now| made > now) {
        return draft
            .blocked(&Gap::because(path, format!("week {} of {} has not been yet: read it again", made.week, made.year)));
    }
    let shown = |age: f64| quantity::show(age, Dimension::Duration, quantity::System::Metric, None);
    let years = working::number(made.age_years(year, day).max(0.0), 1);
    let draft = draft
        .working(|| [format!("middle of week {} of {} to {}: {}", made.week, made.year, cx.today(), shown(age.value()))])
        .sentence(format!("made in week {} of {}, {years} years ago", made.week, made.year));
    let held = cx.limits("weight/tyre-age");
    if held.is_empty() {
        return draft.show(&age, Dimension::Duration, check::limits::NO_LIMIT);
    }
    draft.compare(&age, &held).remedies(|_| vec![fresh_tyres(cx, facts)]).done()
}

fn fresh_tyres(cx: &Context, facts: &AxleFacts) -> Proposal {
    let today = cx.today();
    let code = DateCode::of_day(i32::from(today.year), i32::from(today.of_year()));
    Proposal {
        text: format!("fit new tyres on the {}", axle_name(&facts.name)),
        effort: Effort::PartsToBuy,
        edits: vec![text(format!("{}.tyre.date_code", facts.path), code)],
    }
}

fn text(path: String, to: String) -> Edit {
    Edit { path, op: EditOp::Set, from: None, to: Some(Free::Text(to)) }
}

fn speed(cx: &Context, axle: &Axle, facts: &AxleFacts) -> Finding {
    let path = format!("{}.tyre.speed_symbol", facts.path);
    let draft = CARD.about(cx, axle_name(&axle.name)).at(&facts.path).case("speed").words("is driven at", "may be driven at");
    let Some(symbol) = axle.tyre.as_ref().and_then(|tyre| tyre.speed_symbol.as_deref()) else { return draft.missing(path) };
    let Some(top) = cx.rig().top_speed.as_ref().map(|speed| speed.si()) else { return draft.missing("top_speed") };
    let limit = match speed_of(symbol) {
        Ok(limit) => limit,
        Err(gap) => return draft.blocked(&Gap { path, ..gap }),
    };
    let basis = physics::facts::table("tyre/speed-symbol").map(|table| table.basis.clone());
    let basis = basis.unwrap_or_else(|| basis::Basis::physics("speed symbol"));
    let name = format!("speed symbol {symbol}");
    let ways = || [slower(limit), faster_tyres(facts, &path, top)].into_iter().flatten().collect();
    let exact = |speed: f64| quantity::show_exact(speed, Dimension::Speed, quantity::System::Metric);
    draft
        .working(|| [format!("symbol {symbol}: up to {}; the rig is driven at {} at most", exact(limit), exact(top))])
        .compare(&Estimate::exact(top), &[Held::at_most(&name, Estimate::exact(limit), Dimension::Speed, basis)])
        .remedies(|_| ways())
        .done()
}

/// Speed of a symbol, m/s.
fn speed_of(symbol: &str) -> Result<f64, Gap> {
    let listed = speed_km_h(symbol).map_err(|why| Gap::because("", why.to_string()))?;
    parse(&format!("{listed} km/h"), Dimension::Speed).map_err(|why| Gap::because("", why.to_string()))
}

fn slower(limit: f64) -> Option<Proposal> {
    Some(Proposal {
        text: format!("never drive faster than {}", quantity::show_exact(limit, Dimension::Speed, quantity::System::Metric)),
        effort: Effort::Minutes,
        edits: vec![remedy::set("top_speed", None, limit, Dimension::Speed)],
    })
}

/// The slowest symbol that is fast enough.
fn faster_tyres(facts: &AxleFacts, path: &str, top: f64) -> Option<Proposal> {
    let table = physics::facts::table("tyre/speed-symbol")?;
    let listed = table.pairs("symbol", "speed_km_h").filter_map(|(symbol, _)| Some((symbol, speed_of(symbol).ok()?)));
    let (symbol, _) = listed.filter(|(_, speed)| *speed >= top).min_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(Proposal {
        text: format!("fit tyres with the speed symbol {symbol} or a faster one on the {}", axle_name(&facts.name)),
        effort: Effort::PartsToBuy,
        edits: vec![text(path.to_owned(), symbol.to_owned())],
    })
}
