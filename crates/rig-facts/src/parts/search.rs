//! Search by words, and the nearest names to one that is none.

use super::Part;

/// Names offered for one that is none.
const OFFERED: usize = 3;
/// A longer text is no name; comparing takes time by the product of both lengths.
const LONGEST: usize = 100;

/// Words and numbers of a text: lower case, apart where letters and figures meet, without plural.
pub(crate) fn tokens(text: &str) -> Vec<String> {
    let lower = text.to_lowercase().replace('×', "x");
    let mut tokens: Vec<String> = Vec::new();
    let mut last = Class::Mark;
    let mut chars = lower.chars().peekable();
    while let Some(c) = chars.next() {
        let class = match c {
            '.' if last == Class::Figure && chars.peek().is_some_and(char::is_ascii_digit) => Class::Figure,
            c if c.is_ascii_digit() => Class::Figure,
            c if c.is_alphanumeric() => Class::Letter,
            _ => Class::Mark,
        };
        match tokens.last_mut() {
            Some(token) if class == last && class != Class::Mark => token.push(c),
            _ if class != Class::Mark => tokens.push(c.into()),
            _ => {}
        }
        last = class;
    }
    tokens.iter().map(|token| singular(token).to_owned()).collect()
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Class {
    Letter,
    Figure,
    Mark,
}

/// A word without its plural, near enough for comparing.
fn singular(word: &str) -> &str {
    match word.strip_suffix("es") {
        Some(stem) if ["s", "sh", "ch", "x"].iter().any(|end| stem.ends_with(end)) => stem,
        _ => match word.strip_suffix('s') {
            Some(stem) if !stem.ends_with('s') && stem.len() > 2 => stem,
            _ => word,
        },
    }
}

/// A name without what does not matter: case, spaces, marks, plural.
pub(super) fn key(name: &str) -> String {
    tokens(name).join(" ")
}

fn is_number(token: &str) -> bool {
    token.starts_with(|c: char| c.is_ascii_digit())
}

/// Parts that hold every one of `words`, the best first.
pub(super) fn matching<'p>(parts: &'p [Part], words: &str) -> Vec<&'p Part> {
    let wanted = tokens(words);
    let mut found: Vec<(usize, usize, &Part)> = parts
        .iter()
        .filter_map(|part| {
            let name = tokens(&part.name);
            let places = [name.clone(), tokens(&part.words.join(" ")), tokens(&part.group)];
            let cost = wanted.iter().map(|word| cost(word, &places)).sum::<Option<usize>>()?;
            Some((cost, name.len(), part))
        })
        .collect();
    // Stable: what is as good stays in file order.
    if !wanted.is_empty() {
        found.sort_by_key(|(cost, length, _)| (*cost, *length));
    }
    found.into_iter().map(|(_, _, part)| part).collect()
}

/// How far from a whole word of the name a match is: begun words cost more than whole ones, other words and the group
/// more than the name. A number matches whole or not at all: 60 is not the beginning of 600.
fn cost(word: &str, places: &[Vec<String>]) -> Option<usize> {
    let whole = |token: &String| token == word;
    let begun = |token: &String| !is_number(word) && token.starts_with(word);
    places
        .iter()
        .enumerate()
        .filter_map(|(at, tokens)| {
            let begins = usize::from(!tokens.iter().any(whole));
            (begins == 0 || tokens.iter().any(begun)).then_some(2 * at + begins)
        })
        .min()
}

/// Names most like `name`, the likest first.
pub(super) fn nearest<'p>(parts: &'p [Part], name: &str) -> Vec<&'p str> {
    let wanted = tokens(name);
    if name.len() > LONGEST || wanted.is_empty() {
        return Vec::new();
    }
    let mut found: Vec<(f64, &str)> = parts
        .iter()
        .filter_map(|part| Some((alike(&wanted, &tokens(&part.name), &tokens(&part.words.join(" ")))?, part.name.as_str())))
        .collect();
    found.sort_by(|(a, _), (b, _)| b.total_cmp(a));
    let least = found.first().map_or(0.0, |(best, _)| best / 2.0);
    found.into_iter().take(OFFERED).filter(|(alike, _)| *alike >= least).map(|(_, name)| name).collect()
}

/// How much a name is wanted, 0 to 1: how well its words meet the wanted ones, and the wanted ones its own. Nothing where
/// no real word is half alike: units and numbers alone say nothing.
fn alike(wanted: &[String], name: &[String], words: &[String]) -> Option<f64> {
    let best = |word: &String, among: &[String]| among.iter().map(|other| likeness(word, other)).fold(0.0, f64::max);
    let there = |word: &String| best(word, name).max(best(word, words));
    let real = |word: &&String| word.chars().count() > 2 && !is_number(word);
    if !wanted.iter().filter(real).any(|word| there(word) >= 0.5) {
        return None;
    }
    // Units and numbers are many and say little: they count half.
    let weight = |word: &String| if real(&word) { 1.0 } else { 0.5 };
    let mean = |of: &[String], met: &dyn Fn(&String) -> f64| {
        of.iter().map(|word| weight(word) * met(word)).sum::<f64>() / of.iter().map(weight).sum::<f64>()
    };
    let forth = mean(wanted, &there);
    let back = mean(name, &|word| best(word, wanted));
    Some((forth + back) / 2.0)
}

/// 1 where two tokens are the same; two other numbers by their ratio, half at most; two other words by the pairs of
/// letters they share.
fn likeness(a: &str, b: &str) -> f64 {
    if a == b {
        return 1.0;
    }
    match (is_number(a), is_number(b)) {
        (true, true) => match (a.parse::<f64>(), b.parse::<f64>()) {
            (Ok(a), Ok(b)) if a.max(b) > 0.0 => a.min(b) / a.max(b) / 2.0,
            _ => 0.0,
        },
        (false, false) => shared_pairs(a, b),
        _ => 0.0,
    }
}

/// Twice the shared pairs of neighbouring letters over the pairs of both words.
fn shared_pairs(a: &str, b: &str) -> f64 {
    let pairs = |word: &str| word.chars().zip(word.chars().skip(1)).collect::<Vec<_>>();
    let (a, mut b) = (pairs(a), pairs(b));
    let all = u32::try_from(a.len() + b.len()).unwrap_or(u32::MAX);
    let mut shared = 0_u32;
    for pair in a {
        if let Some(at) = b.iter().position(|other| *other == pair) {
            b.swap_remove(at);
            shared += 1;
        }
    }
    if all == 0 { 0.0 } else { 2.0 * f64::from(shared) / f64::from(all) }
}

#[cfg(test)]
mod tests {
    use super::super::Parts;
    use super::*;

    fn names(words: &str) -> Vec<&'static str> {
        Parts::shipped().search(words).iter().map(|part| part.name.as_str()).collect()
    }

    #[test]
    fn texts_fall_into_words_and_numbers() {
        assert_eq!(tokens("Hatches, 400x400"), ["hatch", "400", "x", "400"]);
        assert_eq!(tokens("2/0 AWG glass-fibre 6.5mm."), ["2", "0", "awg", "glass", "fibre", "6.5", "mm"]);
        assert_eq!(tokens("gas boxes of 5.  mattresses"), ["gas", "box", "of", "5", "mattress"]);
    }

    #[test]
    fn all_words_must_be_there_and_names_come_first() {
        assert_eq!(names("plywood 15"), ["birch plywood 15 mm", "poplar plywood 15 mm"]);
        assert_eq!(names("15mm birch"), ["birch plywood 15 mm"]);
        assert_eq!(names("fridges").first(), Some(&"fridge 50 L"));
        assert!(names("fridge").contains(&"cool box 40 L"), "by another word");
        assert_eq!(names("refriger 90"), ["fridge 90 L"]);
        assert_eq!(names("glass").first(), Some(&"glass pane 4 mm"), "before what is glass by another word");
        let at = |name: &str| names("kitchen").iter().position(|found| *found == name).expect(name);
        assert!(at("kitchen block") < at("range hood") && at("range hood") < at("microwave"), "name, word, group");
        let at = |name: &str| names("cab").iter().position(|found| *found == name).expect(name);
        assert!(at("crawl-through to the cab") < at("cable 16 mm2"), "a whole word before a begun one");
        assert_eq!(names("mattress").first(), Some(&"mattress 120 mm"));
        assert!(names("fridge plywood").is_empty());
        assert!(names("wall 6").is_empty(), "6 is not the beginning of 60");
        assert_eq!(names("").len(), Parts::shipped().list().len());
        assert_eq!(names("").first(), Some(&"sandwich wall 30 mm"));
    }

    #[test]
    fn an_unknown_name_has_neighbours() {
        let parts = Parts::shipped();
        let nearest = |name: &str| parts.nearest(name);
        assert!(
            nearest("sandwich wall 70 mm").starts_with(&["sandwich wall 80 mm", "sandwich wall 60 mm"]),
            "{:?}",
            nearest("sandwich wall 70 mm")
        );
        for (written, meant) in [
            ("sandwhich wal 60mm", "sandwich wall 60 mm"),
            ("fridge 100 L", "fridge 90 L"),
            ("birch ply 15 mm", "birch plywood 15 mm"),
            ("kitchen", "kitchen block"),
            ("refrigerator 130 L", "fridge 130 L"),
            ("spare wheel 20 inch", "spare wheel 19.5 inch"),
            ("lithum battery 100Ah 12V", "lithium battery 100 Ah 12 V"),
            ("gas bottle 11 kg", "gas cylinder 11 kg"),
            ("aluminum sheet 2 mm", "aluminium sheet 2 mm"),
        ] {
            assert_eq!(nearest(written).first(), Some(&meant), "{written}: {:?}", nearest(written));
        }
        // Either water tank is a good answer; what only shares the word water is not.
        assert!(nearest("water tank 300 L").iter().take(2).all(|name| name.ends_with("water tank, empty")));
        for nothing in ["", "60 mm", "zzzz", "?"] {
            assert!(nearest(nothing).is_empty(), "{nothing}");
        }
        assert!(nearest(&"wall ".repeat(1000)).is_empty());
        assert!(nearest("wall").len() <= OFFERED);
        assert_eq!(nearest("osb 12"), ["strand board 12 mm", "strand board 18 mm"], "the rest is not half as like");
    }
}
