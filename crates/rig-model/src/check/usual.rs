//! What each field can be on a rig: `data/ranges.toml`, looked through once.

use std::collections::BTreeMap;
use std::ops::RangeInclusive;
use std::sync::{LazyLock, OnceLock};

use quantity::Dimension;

use crate::walk::Trail;

/// What one field can be: the cells of its row.
#[derive(Debug)]
pub(crate) struct Usual {
    /// The keys that lead to it, such as axle.tyre.pressure, the last first: every value of every rig is looked up.
    keys: Box<[&'static str]>,
    least: &'static str,
    most: &'static str,
    usual: &'static str,
    /// The bounds in SI, read when first asked for.
    bounds: OnceLock<(f64, f64)>,
}

/// All that the file holds.
#[derive(Debug)]
pub(crate) struct Ranges {
    /// Sorted by last key.
    fields: Vec<Usual>,
    /// Load indices that a tyre of a rig can have.
    pub(crate) load_index: RangeInclusive<u16>,
    /// Share by which a fill may pass the tank's volume.
    pub(crate) full_tank: f64,
    /// Two axles stand at least so far apart, m.
    pub(crate) axle_spacing: f64,
    /// The highest wind class of an awning.
    pub(crate) wind_class: u8,
    /// Plain numbers, by path without names: the least and the most.
    numbers: BTreeMap<&'static str, (f64, f64)>,
    /// Share by which a product of two label values may miss the third.
    pub(crate) label_product: f64,
    /// Directions in which a horizon is told at most.
    pub(crate) skyline: usize,
    /// Diameters of wood screws, m.
    pub(crate) screw_size: RangeInclusive<f64>,
}

const TEXT: &str = include_str!("../../data/ranges.toml");

static RANGES: LazyLock<Ranges> =
    LazyLock::new(|| read(TEXT).unwrap_or_else(|why| unreachable!("crates/rig-model/data/ranges.toml does not load: {why}")));

/// What each field can be.
pub(crate) fn ranges() -> &'static Ranges {
    &RANGES
}

impl Ranges {
    /// What the field can be in which the walk stands; none where only physics bounds it.
    pub(crate) fn of(&self, trail: &Trail<'_>) -> Option<&Usual> {
        let last = trail.keys().next_back();
        let first = self.fields.partition_point(|usual| usual.last() < last);
        let same = self.fields.get(first..).unwrap_or(&[]).iter().take_while(|usual| usual.last() == last);
        same.into_iter().find(|usual| usual.is_of(trail.keys().rev()))
    }
}

impl Ranges {
    /// The least and the most that the plain number at that path, without names, can be.
    pub(crate) fn number(&self, field: &str) -> (f64, f64) {
        // A test asks for every one.
        self.numbers.get(field).copied().unwrap_or((f64::NEG_INFINITY, f64::INFINITY))
    }
}

impl Usual {
    /// Whether these are its keys, the last first. One that ends in "*" is the same piece in every table.
    fn is_of<'k>(&self, mut keys: impl Iterator<Item = &'k str>) -> bool {
        match self.keys.split_last() {
            Some((&"*", piece)) => piece.iter().all(|key| keys.next() == Some(key)) && keys.next().is_some(),
            _ => self.keys.iter().all(|key| keys.next() == Some(key)) && keys.next().is_none(),
        }
    }

    fn last(&self) -> Option<&'static str> {
        self.keys.first().copied()
    }

    fn of(row: &[&'static str]) -> Option<Usual> {
        let [field, least, most, usual] = *row else { return None };
        Some(Usual { keys: field.rsplit('.').collect(), least, most, usual, bounds: OnceLock::new() })
    }

    /// Whether its row says where it begins.
    pub(crate) fn begins(&self) -> bool {
        !self.least.is_empty()
    }

    /// Whether it begins below zero.
    pub(crate) fn begins_below_zero(&self, dimension: Dimension) -> bool {
        self.begins() && quantity::parse(self.least, dimension).is_ok_and(|least| least < 0.0)
    }

    /// Whether the field can have this value, SI.
    pub(crate) fn holds(&self, si: f64, dimension: Dimension) -> bool {
        let (least, most) = self.bounds(dimension);
        least <= si && si <= most
    }

    /// From its least to its most, SI; none where an end is open.
    pub(crate) fn width(&self, dimension: Dimension) -> Option<f64> {
        let (least, most) = self.bounds(dimension);
        Some(most - least).filter(|width| width.is_finite())
    }

    /// Its ends, SI.
    fn bounds(&self, dimension: Dimension) -> (f64, f64) {
        // A test reads every bound; one that did not read would be open.
        let end = |text: &str, open: f64| quantity::parse(text, dimension).unwrap_or(open);
        *self.bounds.get_or_init(|| (end(self.least, f64::NEG_INFINITY), end(self.most, f64::INFINITY)))
    }

    /// The same in words: "between 0.1 bar and 20 bar; usual is 2 to 9 bar".
    pub(crate) fn words(&self) -> String {
        let Usual { least, most, usual, .. } = self;
        if least.is_empty() {
            format!("of at most {most}; usual is {usual}")
        } else {
            format!("between {least} and {most}; usual is {usual}")
        }
    }
}

/// Takes what is wanted out of the file: `id = "..."` begins a table, and each line `["...", "..."],` or
/// `rows = [["...", "..."]]` is a row. The toml crate would take as long as for a whole rig file, each time the program
/// starts; a test holds that it finds the same rows.
fn tables(text: &'static str) -> impl Iterator<Item = (&'static str, Vec<&'static str>)> {
    let mut table = "";
    text.lines().filter_map(move |line| {
        if let Some(id) = line.strip_prefix("id = \"") {
            table = id.trim_end_matches('"');
        }
        let row = line.strip_prefix("rows = [[\"").or_else(|| line.strip_prefix("    [\""))?;
        let cells = row.rsplit_once("\"]")?.0.trim_end_matches("\"]");
        Some((table, cells.split("\", \"").collect()))
    })
}

fn read(text: &'static str) -> Result<Ranges, String> {
    let (mut fields, mut load_index, mut full_tank, mut spacing, mut wind) = (Vec::new(), None, None, None, None);
    let (mut numbers, mut label_product, mut skyline, mut screw_size) = (BTreeMap::new(), None, None, None);
    let length = |text: &str| quantity::parse(text, Dimension::Length).ok();
    for (table, row) in tables(text) {
        match (table, row.as_slice()) {
            ("ranges/load-index", [least, most]) => load_index = least.parse().ok().zip(most.parse().ok()),
            ("ranges/full-tank", [share]) => full_tank = quantity::parse(share, Dimension::Ratio).ok(),
            ("ranges/axle-spacing", [least]) => spacing = length(least),
            ("ranges/screw-size", [least, most]) => screw_size = length(least).zip(length(most)),
            ("ranges/wind-class", [most]) => wind = most.parse().ok(),
            ("ranges/number", [field, least, most]) => {
                let ends: Option<(f64, f64)> = least.parse().ok().zip(most.parse().ok());
                numbers.insert(*field, ends.ok_or_else(|| format!("{table}: {row:?} is no row of it"))?);
            }
            ("ranges/label-product", [share]) => label_product = quantity::parse(share, Dimension::Ratio).ok(),
            ("ranges/skyline", [most]) => skyline = most.parse().ok(),
            (_, row) => fields.push(Usual::of(row).ok_or_else(|| format!("{table}: {row:?} is no row of it"))?),
        }
    }
    fields.sort_by_key(Usual::last);
    let found = (load_index, full_tank, spacing, wind, label_product, skyline, screw_size);
    let (Some(load), Some(full_tank), Some(axle_spacing), Some(wind_class), Some(label_product), Some(skyline), Some(screw)) =
        found
    else {
        return Err("a table is missing".into());
    };
    let (load_index, screw_size) = (load.0..=load.1, screw.0..=screw.1);
    Ok(Ranges { fields, load_index, full_tank, axle_spacing, wind_class, numbers, label_product, skyline, screw_size })
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::Value;
    use std::collections::BTreeMap;

    fn field_of(usual: &Usual) -> String {
        usual.keys.iter().rev().copied().collect::<Vec<_>>().join(".")
    }

    /// Every field of the schema that has a dimension, by its path without names.
    fn fields() -> BTreeMap<String, String> {
        fn visit(whole: &Value, schema: &Value, path: &str, found: &mut BTreeMap<String, String>) {
            let below = |key: &str| if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") };
            if let Some(name) = schema["$ref"].as_str().and_then(|at| at.rsplit('/').next()) {
                match name.split_once('_') {
                    Some(("Stated" | "Quantity", dimension)) => drop(found.insert(path.into(), dimension.into())),
                    _ if name == "Coord" => drop(found.insert(path.into(), "length".into())),
                    _ => visit(whole, &whole["$defs"][name], path, found),
                }
                return;
            }
            for (key, property) in schema["properties"].as_object().into_iter().flatten() {
                visit(whole, property, &below(key), found);
            }
            visit_some(whole, &schema["items"], path, found);
            schema["anyOf"].as_array().into_iter().flatten().for_each(|choice| visit(whole, choice, path, found));
            schema["prefixItems"].as_array().into_iter().flatten().for_each(|item| visit(whole, item, path, found));
        }
        fn visit_some(whole: &Value, schema: &Value, path: &str, found: &mut BTreeMap<String, String>) {
            if schema.is_object() {
                visit(whole, schema, path, found);
            }
        }
        let whole = serde_json::to_value(crate::schema()).unwrap();
        let mut found = BTreeMap::new();
        visit(&whole, &whole, "", &mut found);
        found
    }

    #[test]
    fn every_field_has_its_range_and_every_range_its_field() {
        let fields = fields();
        assert!(fields.len() > 70, "{}", fields.len());
        // Nature bounds these, and what is steep is the owner's to know.
        let bounded = |dimension: &str| matches!(dimension, "slope" | "angle" | "share" | "ratio");
        let wanted: Vec<&String> = fields.iter().filter(|(_, dimension)| !bounded(dimension)).map(|(path, _)| path).collect();
        let of = |path: &str| ranges().fields.iter().filter(|usual| usual.is_of(path.rsplit('.'))).count();
        for path in &wanted {
            assert_eq!(of(path), 1, "{path}");
        }
        for usual in &ranges().fields {
            let places = fields.keys().filter(|path| usual.is_of(path.rsplit('.'))).count();
            assert!(if usual.keys.last() == Some(&"*") { places > 1 } else { places == 1 }, "{}: {places}", field_of(usual));
        }
    }

    #[test]
    fn the_file_is_toml_with_the_same_rows_and_each_table_has_a_basis() {
        let file: toml::Table = toml::from_str(TEXT).unwrap();
        let mut rows = Vec::new();
        for table in file["table"].as_array().unwrap() {
            let basis = &table["basis"];
            assert!(["kind", "title", "known"].iter().all(|key| basis.get(key).is_some()), "{table:?}");
            for row in table["rows"].as_array().unwrap() {
                let cells: Vec<&str> = row.as_array().unwrap().iter().map(|cell| cell.as_str().unwrap()).collect();
                rows.push((table["id"].as_str().unwrap().to_owned(), cells.join("|")));
            }
        }
        let found: Vec<_> = tables(TEXT).map(|(table, row)| (table.to_owned(), row.join("|"))).collect();
        assert_eq!(found, rows);
        assert!(rows.len() > 80);
    }

    #[test]
    fn bounds_are_of_the_fields_kind_and_hold_what_is_usual() {
        let fields = fields();
        let mut held = 0;
        for row in &ranges().fields {
            let (_, kind) = fields.iter().find(|(path, _)| row.is_of(path.rsplit('.'))).expect("it has a field");
            let dimension = *Dimension::ALL
                .iter()
                .find(|d| serde_json::to_value(d).unwrap().as_str() == Some(kind) || d.noun().replace(' ', "_") == *kind)
                .unwrap_or_else(|| panic!("{kind}"));
            let (low, high) = dimension.physical_range();
            let read = |text: &str| quantity::parse(text, dimension).unwrap_or_else(|_| panic!("{row:?}"));
            let most = read(row.most);
            let least = if row.least.is_empty() { low } else { read(row.least) };
            assert!(low <= least && least < most && most <= high, "{row:?}");
            assert!(row.holds(most, dimension) && !row.holds(most * 1.001, dimension), "{row:?}");
            let ends: Vec<&str> = row.usual.trim_start_matches("up to ").split(" to ").collect();
            if let [from, to] = ends.as_slice() {
                let unit = to.trim_start_matches(|c: char| c.is_ascii_digit() || "-.".contains(c));
                let Ok(to) = quantity::parse(to, dimension) else { continue };
                let from = quantity::parse(from, dimension).or_else(|_| quantity::parse(&format!("{from}{unit}"), dimension));
                let from = from.unwrap_or_else(|_| panic!("{row:?}"));
                assert!(least < from && from < to && to < most, "{row:?}");
                held += 1;
            }
        }
        assert!(held >= 60, "{held} of the usual ranges were looked at");
    }

    #[test]
    fn a_file_that_makes_no_sense_is_told() {
        assert!(read("").is_err());
        let cell = "id = \"ranges/field\"\n    [\"axle.x\", \"5 m\"],\n";
        assert!(read(cell).unwrap_err().contains("axle.x"));
    }
}
