//! The text of a parts file, read.

use basis::{Basis, BasisKind, Known, LoadError};
use quantity::{Quantity, Stated, dim};
use serde::Deserialize;
use serde::de::value::{Error, StrDeserializer};

use super::{Against, By, MassRange, Over, Part, Parts, UsualPlace, search};
use crate::tables;

/// Reads a parts file; `default` is the basis of what names none.
pub(super) fn read(text: &str, default: Option<&Basis>) -> Result<Parts, LoadError> {
    let file: FileText = toml::from_str(text).map_err(|e| LoadError::Syntax(e.to_string()))?;
    let place_basis = file.place_basis.or_else(|| default.cloned());
    if let Some(why) = place_basis.as_ref().and_then(Basis::fault) {
        return Err(LoadError::Entry { id: "place_basis".into(), why: why.into() });
    }
    let mut parts = Parts { place_basis, ..Parts::default() };
    for entry in file.part {
        let id = entry.name.clone();
        let part = entry.resolve(default).map_err(|why| LoadError::Entry { id: id.clone(), why })?;
        if part.place.is_some() && parts.place_basis.is_none() {
            return Err(LoadError::Entry { id, why: "it has a usual place, and the file has no place_basis".into() });
        }
        if parts.by_key.contains_key(&search::key(&id)) {
            return Err(LoadError::Entry { id, why: "the name stands twice".into() });
        }
        parts.put(part);
    }
    Ok(parts)
}

/// The basis of a part that an owner describes.
pub(super) fn owners_word() -> Basis {
    let (title, seen) = ("the owner's own part".to_owned(), Some("stated in the parts file".to_owned()));
    Basis { kind: BasisKind::Owner, title, clause: None, edition: None, known: Known::Read, seen }
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct FileText {
    place_basis: Option<Basis>,
    #[serde(default)]
    part: Vec<PartText>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct PartText {
    name: String,
    #[serde(default)]
    group: Option<String>,
    by: By,
    mass: MassText,
    place: Option<PlaceText>,
    #[serde(default)]
    words: Vec<String>,
    basis: Option<Basis>,
}

/// A mass with its range, as parts files write it.
#[derive(Debug, Deserialize)]
#[serde(untagged, expecting = "a mass such as \"about 12 kg\" or \"10 to 14 kg\", or { low, usual, high }")]
pub(crate) enum MassText {
    Range(RangeText),
    Text(String),
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RangeText {
    low: Quantity<dim::Mass>,
    usual: Quantity<dim::Mass>,
    high: Quantity<dim::Mass>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct PlaceText {
    over: Over,
    height: Stated<dim::Length>,
    against: Option<Against>,
}

impl PartText {
    fn resolve(self, default: Option<&Basis>) -> Result<Part, String> {
        let basis = self.basis.or_else(|| default.cloned()).ok_or("it has no basis")?;
        if let Some(why) = basis.fault() {
            return Err(why.into());
        }
        if search::key(&self.name).is_empty() {
            return Err("its name has neither letter nor figure".into());
        }
        let place = self.place.map(|place| UsualPlace { over: place.over, height: place.height, against: place.against });
        if place.as_ref().is_some_and(|place| place.height.value().is_none()) {
            return Err("the height of its usual place is not told".into());
        }
        let group = self.group.unwrap_or_else(|| "own".into());
        Ok(Part { name: self.name, group, by: self.by, each: self.mass.resolve()?, place, words: self.words, basis })
    }
}

impl MassText {
    pub(crate) fn resolve(&self) -> Result<MassRange, String> {
        let range = match self {
            Self::Range(range) => MassRange { usual: range.usual.si(), low: range.low.si(), high: range.high.si() },
            Self::Text(text) => stated(text)?,
        };
        let MassRange { usual, low, high } = range;
        if [low, usual, high].iter().all(|mass| mass.is_finite()) && 0.0 <= low && low <= usual && usual <= high && 0.0 < high {
            return Ok(range);
        }
        Err(format!("its mass wants 0 <= low <= usual <= high, and has {low}, {usual}, {high} kg"))
    }
}

/// A mass in one text: its bounds, or its tolerance, or what is usual for how it is known.
fn stated(text: &str) -> Result<MassRange, String> {
    // The fault's first line is its sentence; the others repeat what was found.
    let sentence = |fault: Error| fault.to_string().lines().next().unwrap_or_default().to_owned();
    let stated: Stated<dim::Mass> = Stated::deserialize(StrDeserializer::new(text)).map_err(sentence)?;
    let Some(usual) = stated.value() else { return Err("its mass is not told".into()) };
    if let Some((low, high)) = stated.bounds() {
        return Ok(MassRange { usual, low, high });
    }
    let tolerance = stated.tolerance().unwrap_or_else(|| tables::tolerance("facts/mass-tolerance", stated.how(), usual));
    Ok(MassRange { usual, low: (usual - tolerance).max(0.0), high: usual + tolerance })
}

#[cfg(test)]
mod tests {
    use super::*;

    const GOOD: &str = r#"
place_basis = { kind = "common-practice", title = "common practice, no source", known = "from-memory" }
[[part]]
name = "anvil"
by = "piece"
mass = { low = "40 kg", usual = "50 kg", high = "60 kg" }
place = { over = "floor", height = "about 0.2 m" }
basis = { kind = "handbook", title = "sizes of anvils", known = "from-memory" }
"#;

    #[test]
    fn what_does_not_hold_together_does_not_load() {
        assert!(Parts::load(GOOD).is_ok(), "{:?}", Parts::load(GOOD).err());
        for (from, to) in [
            ("usual = \"50 kg\"", "usual = \"70 kg\""),
            ("low = \"40 kg\"", "low = \"-1 kg\""),
            ("usual = \"50 kg\"", "usual = \"50 m\""),
            ("{ low = \"40 kg\", usual = \"50 kg\", high = \"60 kg\" }", "\"?\""),
            ("by = \"piece\"", "by = \"dozen\""),
            ("title = \"sizes of anvils\"", "title = \" \""),
            ("basis = { kind = \"handbook\", title = \"sizes of anvils\", known = \"from-memory\" }", ""),
            ("place_basis = { kind = \"common-practice\", title = \"common practice, no source\", known = \"from-memory\" }", ""),
            ("about 0.2 m", "?"),
            ("name = \"anvil\"", "name = \"-\""),
        ] {
            let text = GOOD.replacen(from, to, 1);
            assert_ne!(text, GOOD, "{from} stands in the sample");
            assert!(Parts::load(&text).is_err(), "{to}");
        }
    }

    #[test]
    fn an_owners_slip_is_told_in_one_sentence() {
        let text = "[[part]]\nname = \"anvil\"\nby = \"piece\"\nmass = \"3 m\"\n";
        let fault = Parts::default().with_own(text).expect_err("a length");
        assert_eq!(fault.to_string(), "anvil: 3 m is a length; a mass is wanted here");
    }

    #[test]
    fn a_name_may_not_stand_twice_however_it_is_written() {
        let second = GOOD.lines().skip(2).collect::<Vec<_>>().join("\n").replace("\"anvil\"", "\"Anvils\"");
        let fault = Parts::load(&format!("{GOOD}\n{second}")).expect_err("twice");
        assert_eq!(fault, LoadError::Entry { id: "Anvils".into(), why: "the name stands twice".into() });
    }
}
