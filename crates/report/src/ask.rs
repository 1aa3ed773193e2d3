//! What to find out next, and the round through the yard, for people and for programs.

use std::collections::BTreeSet;

use check::asking::{Asked, Asking, Expected, Tell};
use check::audit::Units;

use crate::numbers::Numbers;
use crate::terminal::Look;
use crate::terminal::paper::Paper;
use crate::text::{clean, columns, count, tie, tie_numbers};

/// How many are named at once: more is no next step.
const NEXT: usize = 3;
/// Usual ranges are given in round metric numbers; in US units they keep as many figures as this half width supports.
const US_FIGURES: f64 = 0.05;
/// Width of the box to write in.
const BLANK: usize = 16;

/// The three things to find out next.
#[must_use]
pub fn render(asking: &Asking, file: &str, width: usize) -> String {
    let (mut paper, numbers) = begin(asking, width);
    let open = count(asking.open, "answer");
    let open = if asking.open == 1 { format!("{open} is open.") } else { format!("{open} are open.") };
    paper.running(0, &open);
    for (at, asked) in asking.next.iter().take(NEXT).enumerate() {
        paper.blank();
        paper.running(0, &format!("{:>2}  {}", at + 1, clean(&asked.path)));
        paper.labelled("settles", &settles(asked));
        paper.labelled("where", &clean(&asked.stand));
        paper.labelled("with", &clean(&asked.tool));
        paper.labelled("do", &tie_numbers(&clean(&asked.how)));
        if let Some(now) = &asked.now
            && let Some(dimension) = asked.dimension
        {
            let (value, range) = numbers.span(now.value.0, now.low.0, now.high.0, dimension);
            let range = range.map(|range| format!(", {range}")).unwrap_or_default();
            paper.labelled("now", &tie_numbers(&format!("{value}{range}")));
        }
        if let Some(expected) = expected(asked, asking, numbers) {
            paper.labelled("expect", &tie_numbers(&expected));
        }
        if let Some(careful) = &asked.careful {
            paper.labelled("careful", &clean(careful));
        }
        for line in commands(asked, file) {
            paper.labelled("then", &line);
        }
    }
    paper.blank();
    let rest = asking.next.len().saturating_sub(NEXT);
    match (asking.open, asking.next.is_empty()) {
        (0, _) => paper.running(0, "Nothing is left to settle."),
        (_, true) => paper.running(0, "No single reading settles one of them; it takes several."),
        _ if rest > 0 => {
            let file = command_word(file);
            paper.running(0, &format!("{rest} more; `rigproof ask --all {file}` is the round through the yard."));
        }
        _ => {}
    }
    paper.done()
}

/// Everything that is not known yet, in walking order, with a box to write in.
#[must_use]
pub fn round(asking: &Asking, file: &str, width: usize) -> String {
    let (mut paper, numbers) = begin(asking, width);
    paper.running(0, &format!("Measuring round: {}, in walking order.", count(asking.round.len(), "reading")));
    let mut stop = 0;
    for asked in &asking.round {
        if asked.stop != stop {
            paper.heading(&clean(&asked.stand).to_ascii_uppercase());
            stop = asked.stop;
            let here = asking.round.iter().filter(|asked| asked.stop == stop);
            let tools: BTreeSet<&str> = here.flat_map(|asked| asked.tool.split(", ")).filter(|tool| !tool.is_empty()).collect();
            paper.labelled("with", &clean(&tools.into_iter().collect::<Vec<_>>().join(", ")));
            if let Some(careful) = &asked.careful {
                paper.labelled("careful", &clean(careful));
            }
            paper.blank();
        }
        let expected = expected(asked, asking, numbers).map(|expected| format!("   {expected}")).unwrap_or_default();
        let path = clean(&asked.path);
        let blank = "_".repeat(BLANK);
        if 4 + columns(&path) + 2 + BLANK + columns(&expected) <= paper.width() {
            paper.line(&format!("    {path}  {blank}{expected}"));
        } else {
            paper.running(4, &path);
            paper.running(8, &tie_numbers(&format!("{blank}{expected}")));
        }
        paper.running(8, &tie_numbers(&clean(&asked.how)));
    }
    paper.blank();
    if asking.round.is_empty() {
        paper.running(0, "Nothing is left to measure.");
    } else {
        let file = command_word(file);
        paper.running(0, &format!("Write each into the file: rigproof tell {file} PATH \"VALUE\""));
    }
    paper.done()
}

/// The same as one JSON document.
#[must_use]
pub fn json(asking: &Asking) -> String {
    crate::json::pretty(asking)
}

fn begin(asking: &Asking, width: usize) -> (Paper, Numbers) {
    let mut paper = Paper::new(&Look { width, ..Look::default() }, "");
    paper.line(&clean(&asking.rig));
    (paper, Numbers::new(asking.units, false))
}

fn settles(asked: &Asked) -> String {
    let mut parts = Vec::new();
    if asked.tried {
        parts.push(count(asked.settles, "answer"));
    }
    if asked.waits > 0 {
        parts.push(format!("{} for it", if asked.waits == 1 { "1 waits".to_owned() } else { format!("{} wait", asked.waits) }));
    }
    if let Some(consequence) = asked.consequence {
        parts.push(format!("at worst {}", consequence.word()));
    }
    parts.join("; ")
}

fn expected(asked: &Asked, asking: &Asking, numbers: Numbers) -> Option<String> {
    match asked.expected.as_ref()? {
        Expected::Between(low, high) => Some(match asked.dimension {
            Some(dimension) => {
                let end = |si: f64| {
                    if asking.units == Units::Us {
                        numbers.amount(si, dimension, si.abs() * US_FIGURES)
                    } else {
                        numbers.exact(si, dimension)
                    }
                };
                between(&end(low.0), &end(high.0))
            }
            None => format!("{} to {}", low.0, high.0),
        }),
        Expected::OneOf(words) => Some(words.join(" or ")),
        Expected::SuchAs(word) => Some(format!("such as {}", clean(word))),
    }
}

/// "3 to 9 bar": the unit once, where it is the same.
fn between(low: &str, high: &str) -> String {
    match (low.rsplit_once(' '), high.rsplit_once(' ')) {
        (Some((number, unit)), Some((_, other))) if unit == other && !number.contains(' ') => format!("{number} to {high}"),
        _ => format!("{low} to {high}"),
    }
}

fn commands(asked: &Asked, file: &str) -> Vec<String> {
    if let Some(table) = &asked.add {
        return vec![format!("rigproof add {}", clean(table))];
    }
    if asked.write.is_empty() {
        return vec![format!("write it into {}", clean(file))];
    }
    let line = |tell: &Tell| {
        let words = [file, &tell.path].map(command_word);
        format!("{} {}", tie(&format!("rigproof tell {}", words.join(" "))), tie(&format!("\"{}\"", clean(&tell.value))))
    };
    asked.write.iter().map(line).collect()
}

/// A word as a shell takes it.
pub(crate) fn command_word(word: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || "_-./".contains(c);
    let word = clean(word);
    if word.chars().all(plain) && !word.is_empty() { word } else { format!("'{}'", word.replace('\'', "'\\''")) }
}

#[cfg(test)]
mod tests {
    use check::Consequence;
    use check::exhibit::Span;
    use quantity::{Dimension, Num};

    use super::*;

    fn asking() -> Asking {
        let brakes = Asked {
            path: "chassis.brakes.valve_set_for".to_owned(),
            how: "read the valve's plate".to_owned(),
            tool: "eyes".to_owned(),
            place: "under".to_owned(),
            stand: "under the truck".to_owned(),
            stop: 5,
            careful: Some("wheels chocked".to_owned()),
            now: None,
            dimension: Some(Dimension::Mass),
            expected: Some(Expected::Between(Num(1500.0), Num(11500.0))),
            spread: Some(Num(200.0)),
            settles: 4,
            tried: true,
            waits: 4,
            consequence: Some(Consequence::Injury),
            told: Vec::new(),
            write: vec![Tell { path: "chassis.brakes.valve_set_for".to_owned(), value: "... kg data-plate".to_owned() }],
            add: None,
        };
        let corner = Asked {
            path: "low_point".to_owned(),
            dimension: None,
            expected: None,
            write: Vec::new(),
            add: Some("low_point".to_owned()),
            ..brakes.clone()
        };
        let load = Asked {
            path: "mass[\"the cook's pots\"].mass".to_owned(),
            now: Some(Span { value: Num(140.0), low: Num(120.0), high: Num(160.0) }),
            waits: 0,
            settles: 1,
            write: vec![Tell { path: "mass[\"the cook's pots\"].mass".to_owned(), value: "... kg +- 3 kg weighed".to_owned() }],
            ..brakes.clone()
        };
        let next = vec![brakes.clone(), corner.clone(), load];
        Asking { rig: "invented".to_owned(), units: Units::Metric, open: 9, next, round: vec![brakes, corner] }
    }

    #[test]
    fn each_says_what_it_settles_and_how_to_write_it() {
        let text = render(&asking(), "my rig.toml", 100);
        assert!(text.starts_with("invented\n9 answers are open.\n\n 1  chassis.brakes.valve_set_for\n"), "{text}");
        assert!(text.contains("settles        4 answers; 4 wait for it; at worst injury\n"), "{text}");
        assert!(text.contains("expect         1500 to 11500 kg\n"), "{text}");
        assert!(text.contains("rigproof tell 'my rig.toml' chassis.brakes.valve_set_for \"... kg data-plate\"\n"), "{text}");
        assert!(text.contains("rigproof add low_point\n"), "{text}");
        assert!(text.contains("now            140 kg, between 120 and 160\n"), "{text}");
        assert!(text.contains("'mass[\"the cook'\\''s pots\"].mass'"), "{text}");
    }

    #[test]
    fn the_round_has_a_box_for_each_and_keeps_its_width() {
        for width in [60, 80, 100] {
            let text = round(&asking(), "rig.toml", width);
            assert_eq!(text.matches(&"_".repeat(BLANK)).count(), 2, "{text}");
            assert_eq!(text.matches("UNDER THE TRUCK").count(), 1, "{text}");
            assert!(text.is_ascii() && text.lines().all(|line| line.len() <= width), "{text}");
        }
    }

    #[test]
    fn nothing_open_is_said() {
        let none = Asking { open: 0, next: Vec::new(), round: Vec::new(), ..asking() };
        assert!(render(&none, "rig.toml", 80).contains("Nothing is left to settle."));
        assert!(round(&none, "rig.toml", 80).contains("Nothing is left to measure."));
    }
}
