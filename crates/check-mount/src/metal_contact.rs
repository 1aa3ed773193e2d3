//! mount/metal-contact: will it rot where two metals touch?
//!
//! demand      difference of the two metals' potentials in sea water (V)
//! capacity    a usual limit by how wet the place gets, at most; what is kept apart passes
//! states      once
//! leaves out  how fast (area, film and salt decide); wet oak and treated wood, which eat plain steel

use std::borrow::Cow;

use basis::Table;
use check::remedy::{Effort, Proposal};
use check::subject::each_or_missing;
use check::{Card, Check, Consequence, Context, Draft, Finding, Holds, List, Scope, Verdict, Words, working};
use physics::metals::{couple, potential};
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_model::model::{Metals, Separator, Short, Smaller, WetZone};
use rig_model::{Edit, EditOp, Free, path};

use crate::limits_told::or_say;
use check::limits::NO_LIMIT;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("mount/metal-contact"),
    question: Cow::Borrowed("Will it rot where two metals touch?"),
    words: Words::new("are apart by", "may be apart by"),
    consequence: Consequence::Damage,
    scope: Scope::Once,
    needs: List::Static(&["contact.metals", "mount.metals.metal", "mount.metals.on", "mount.metals.separated_by"]),
    uses: List::Static(&["contact", "mount.metals"]),
    limits: List::Static(&[
        "mount/metal-wet",
        "mount/metal-indoors",
        "mount/metal-dry",
        "mount/metal-words",
        "mount/metal-spared",
    ]),
    formula: List::Static(&[
        "difference = higher potential - lower potential; the metal with the lower one is eaten",
        "paint on both, paint on the nobler one, tape, a pad, a bush or sealant keeps them apart",
    ]),
    cautions: List::Static(&[
        "potentials say which metal is eaten, not how fast; look at the place every year",
        "no copper paste on aluminium; paint the nobler metal too, or a scratch is eaten through",
    ]),
};

/// Will it rot where two metals touch?
#[derive(Debug)]
pub struct MetalContact;

impl Check for MetalContact {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let rig = cx.rig();
        let (words, spared) = (cx.table("mount/metal-words"), cx.table("mount/metal-spared"));
        let mounts = rig.mount.iter().enumerate().filter_map(|(index, mount)| {
            let metals = mount.metals.as_ref()?;
            Some(Touch {
                cx,
                name: &mount.name,
                path: path::of("mount", &mount.name, index),
                metals: Some(metals),
                words,
                spared,
            })
        });
        let contacts = rig.contact.iter().enumerate().map(|(index, contact)| Touch {
            cx,
            name: &contact.name,
            path: path::of("contact", &contact.name, index),
            metals: contact.metals.as_ref(),
            words,
            spared,
        });
        let findings: Vec<Finding> =
            mounts.chain(contacts).map(|touch| touch.answer().unwrap_or_else(|gap| touch.draft().blocked(&gap))).collect();
        each_or_missing(cx, &CARD, "metals that touch", "contact", findings)
    }
}

/// One place where two metals touch.
struct Touch<'c> {
    cx: &'c Context,
    name: &'c str,
    path: String,
    metals: Option<&'c Short<Metals>>,
    /// What the yard calls a metal, and which may be eaten.
    words: Option<&'c Table>,
    spared: Option<&'c Table>,
}

impl<'c> Touch<'c> {
    fn draft(&self) -> Draft<'c> {
        CARD.about(self.cx, self.name.to_owned()).at(format!("{}.metals", self.path))
    }

    fn key(&self, key: &str) -> String {
        format!("{}.metals.{key}", self.path)
    }

    fn answer(&self) -> Result<Finding, Gap> {
        let cx = self.cx;
        let metals = self.metals.ok_or_else(|| Gap::at(format!("{}.metals", self.path)))?;
        let Some(words) = self.words else { return Ok(self.draft().not_applicable(NO_LIMIT)) };
        let one = self.metal(words, metals.metal.as_deref(), metals.coating.as_deref(), "metal")?;
        let other = self.metal(words, metals.on.as_deref(), metals.on_coating.as_deref(), "on")?;
        let pair = couple(&one.listed, &other.listed).map_err(|why| Gap::because(self.key("metal"), why.to_string()))?;
        let eaten = pair.eaten.map(|eaten| if eaten == one.listed { (&one, &other) } else { (&other, &one) });
        if let Some(apart) = metals.separated_by.and_then(apart) {
            return Ok(self.draft().require(Holds::Yes, format!("{apart} keeps {} and {} apart", one.told, other.told)).done());
        }
        let Some((eaten, nobler)) = eaten else {
            return Ok(self
                .draft()
                .require(Holds::Yes, format!("{} on {}: neither eats the other", one.told, other.told))
                .done());
        };
        if nobler.painted {
            let sentence = format!("{} is the nobler one, and it is painted: look for chips every year", nobler.told);
            return Ok(self.draft().require(Holds::Yes, sentence).done());
        }
        let spared = self.spared.into_iter().flat_map(|table| table.words("eaten", "nobler"));
        if spared.into_iter().any(|(low, high)| low == eaten.listed && high == nobler.listed) {
            let sentence =
                format!("{} goes first and saves {}, as it is meant to: look at it every year", eaten.told, nobler.told);
            return Ok(self.draft().require(Holds::Yes, sentence).done());
        }
        let zone = metals.zone.unwrap_or(WetZone::Outdoors);
        let limit = match zone {
            WetZone::Dry => "mount/metal-dry",
            WetZone::Indoors => "mount/metal-indoors",
            WetZone::Outdoors | WetZone::Salt => "mount/metal-wet",
        };
        let held = cx.limits(limit);
        if held.is_empty() {
            return Ok(self.draft().show(&Estimate::exact(pair.difference), Dimension::Voltage, NO_LIMIT));
        }
        let first_is_eaten = std::ptr::eq(eaten, &one);
        let draft = self
            .draft()
            .compare(&Estimate::exact(pair.difference), &held)
            .working(|| self.lines(&one, &other))
            .remedies(|_| vec![self.keep_apart(metals)]);
        let finding = or_say(draft, &sentence(eaten, nobler, metals.smaller, first_is_eaten)).done();
        // Nobody said what lies between: bare metal would not do.
        if finding.verdict == Verdict::Fail && metals.separated_by != Some(Separator::Nothing) {
            let why = format!("bare, {} would eat {}", nobler.told, eaten.told);
            return Ok(self.draft().blocked(&Gap::because(self.key("separated_by"), why)));
        }
        Ok(finding)
    }

    /// A metal by the words of the yard, with its coating: what touches is the coating, if that is a metal.
    fn metal(&self, words: &Table, metal: Option<&str>, coating: Option<&str>, key: &str) -> Result<Metal, Gap> {
        let told = metal.map(str::trim).filter(|told| !told.is_empty() && *told != "?").ok_or_else(|| Gap::at(self.key(key)))?;
        let listed = |word: &str| {
            let word = word.trim().to_lowercase();
            let ours = words.words("word", "metal").find(|(known, _)| *known == word).map(|(_, metal)| metal.to_owned());
            ours.or_else(|| potential(&word).ok().map(|(name, _)| name.to_owned()))
        };
        let coating = coating.map(|coating| coating.trim().to_lowercase());
        let painted = coating.as_deref() == Some(PAINTED);
        let coat = coating.as_deref().filter(|_| !painted).and_then(listed);
        let bare = listed(told).ok_or_else(|| {
            let known: Vec<&str> = words.words("word", "metal").map(|(word, _)| word).collect();
            Gap::because(self.key(key), format!("\"{told}\" is no metal that is known here: write {}", known.join(", ")))
        })?;
        let named = match (&coat, &coating) {
            (Some(_), Some(coating)) => format!("{coating} {told}"),
            _ => told.to_owned(),
        };
        Ok(Metal { told: named, listed: coat.unwrap_or(bare), painted })
    }

    fn lines(&self, one: &Metal, other: &Metal) -> Vec<String> {
        let volt = |metal: &Metal| potential(&metal.listed).ok().map(|(_, volt)| working::figure(volt, 2));
        let (Some(a), Some(b)) = (volt(one), volt(other)) else { return Vec::new() };
        let apart = working::number((a.get() - b.get()).abs(), 2);
        vec![format!("{} {a} V, {} {b} V: {apart} V apart", one.listed, other.listed)]
    }

    /// A bush where one is a bolt in the other, else tape.
    fn keep_apart(&self, metals: &Metals) -> Proposal {
        let (by, text) = match metals.smaller {
            Some(_) => (Separator::Bush, "a plastic bush and washers round it, sealant over the head"),
            None => (Separator::Tape, "wash the salt out and lay tape or a rubber pad between, sealed at its edges"),
        };
        let to = Some(Free::Text(by.word().to_owned()));
        let edits = vec![Edit { path: self.key("separated_by"), op: EditOp::Set, from: None, to }];
        Proposal { text: text.to_owned(), effort: Effort::AnAfternoon, edits }
    }
}

/// A metal as it touches.
struct Metal {
    /// As the file names it, its metal coating before it.
    told: String,
    /// As the galvanic series names what touches.
    listed: String,
    painted: bool,
}

/// The coating that keeps water off.
const PAINTED: &str = "painted";

/// What keeps two metals apart, in words; none where nothing does, or nobody knows.
fn apart(separator: Separator) -> Option<&'static str> {
    match separator {
        Separator::Nothing | Separator::Unknown => None,
        Separator::Paint => Some("paint on both"),
        Separator::Tape => Some("tape"),
        Separator::Pad => Some("a pad"),
        Separator::Bush => Some("a bush"),
        Separator::Sealant => Some("sealant"),
    }
}

fn sentence(eaten: &Metal, nobler: &Metal, smaller: Option<Smaller>, first_is_eaten: bool) -> String {
    let small_is_eaten = smaller.map(|smaller| (smaller == Smaller::Metal) == first_is_eaten);
    let how = match small_is_eaten {
        Some(true) => ", and fast: it is the small one",
        Some(false) => ", in pits round the small one",
        None => "",
    };
    format!("{} eats {}{how}", nobler.told, eaten.told)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::context;

    #[test]
    fn every_metal_of_the_yard_has_a_potential() {
        let cx = context("");
        let listed = |id: &str, by: &str, want: &str| -> Vec<String> {
            cx.table(id).expect(id).words(by, want).flat_map(|(one, other)| [one.to_owned(), other.to_owned()]).collect()
        };
        let metals: Vec<String> = listed("mount/metal-words", "word", "metal").into_iter().skip(1).step_by(2).collect();
        for metal in metals.iter().chain(&listed("mount/metal-spared", "eaten", "nobler")) {
            assert!(potential(metal).is_ok_and(|(name, _)| name == metal), "{metal}");
        }
    }

    #[test]
    fn the_small_one_is_eaten_fast_and_the_large_one_in_pits() {
        let metal = |told: &str| Metal { told: told.to_owned(), listed: String::new(), painted: false };
        let (rivet, plate) = (metal("aluminium"), metal("steel"));
        assert_eq!(sentence(&rivet, &plate, Some(Smaller::Metal), true), "steel eats aluminium, and fast: it is the small one");
        assert_eq!(sentence(&rivet, &plate, Some(Smaller::On), true), "steel eats aluminium, in pits round the small one");
        assert_eq!(sentence(&rivet, &plate, None, true), "steel eats aluminium");
    }
}
