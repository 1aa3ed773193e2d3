//! What each field can be on a rig: `data/ranges.toml`, read once.

use std::ops::RangeInclusive;
use std::sync::LazyLock;

use crate::walk::Trail;

/// What one field can be.
#[derive(Debug)]
pub(crate) struct Usual {
    /// The keys that lead to it, such as axle, tyre, pressure.
    keys: Vec<String>,
    /// SI; minus infinity where open.
    pub(crate) least: f64,
    /// SI; infinity where open.
    pub(crate) most: f64,
    /// The same in words: "between 0.1 bar and 20 bar; usual is 2 to 9 bar".
    pub(crate) words: String,
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
}

static RANGES: LazyLock<Ranges> = LazyLock::new(|| {
    read(include_str!("../../data/ranges.toml"))
        .unwrap_or_else(|why| unreachable!("crates/rig-model/data/ranges.toml does not load: {why}"))
});

/// What each field can be.
pub(crate) fn ranges() -> &'static Ranges {
    &RANGES
}

impl Ranges {
    /// What the field can be in which the walk stands; none where only physics bounds it.
    pub(crate) fn of(&self, trail: &Trail<'_>) -> Option<&Usual> {
        let last = trail.keys().next_back()?;
        let first = self.fields.partition_point(|usual| usual.last() < last);
        let same = self.fields.get(first..).unwrap_or(&[]).iter().take_while(|usual| usual.last() == last);
        same.into_iter().find(|usual| trail.keys().eq(usual.keys.iter().map(String::as_str)))
    }
}

impl Usual {
    fn last(&self) -> &str {
        self.keys.last().map_or("", String::as_str)
    }

    fn read(row: &[String]) -> Result<Usual, String> {
        let [field, least, most, usual] = row else { return Err(format!("{row:?} has not four cells")) };
        let words = match (least.as_str(), most.as_str()) {
            ("", most) => format!("of at most {most}; usual is {usual}"),
            (least, "") => format!("of at least {least}; usual is {usual}"),
            (least, most) => format!("between {least} and {most}; usual is {usual}"),
        };
        let bound = |text: &str, open| if text.is_empty() { Ok(open) } else { si(text) };
        let (least, most) = (bound(least, f64::NEG_INFINITY)?, bound(most, f64::INFINITY)?);
        let keys = field.split('.').map(str::to_owned).collect();
        if least < most { Ok(Usual { keys, least, most, words }) } else { Err(format!("{field} has its bounds reversed")) }
    }
}

fn si(text: &str) -> Result<f64, String> {
    let dimension = quantity::dimension_of(text).ok_or_else(|| format!("\"{text}\" has no unit"))?;
    quantity::parse(text, dimension).map_err(|fault| format!("\"{text}\": {fault}"))
}

/// The file has the form of every other table of values here; only what is needed is taken from it.
#[derive(serde::Deserialize)]
struct File {
    table: Vec<Table>,
}

#[derive(serde::Deserialize)]
struct Table {
    id: String,
    rows: Vec<Vec<String>>,
}

fn read(text: &str) -> Result<Ranges, String> {
    let file: File = toml::from_str(text).map_err(|fault| fault.to_string())?;
    let rows = |id: &str| {
        let table = file.table.iter().find(|table| table.id == id);
        table.map(|table| table.rows.as_slice()).ok_or_else(|| format!("there is no table {id}"))
    };
    let mut fields = rows("ranges/field")?.iter().map(|row| Usual::read(row)).collect::<Result<Vec<_>, _>>()?;
    fields.sort_by(|a, b| a.last().cmp(b.last()));
    let [index] = rows("ranges/load-index")? else { return Err("load indices have one row".into()) };
    let whole: Result<Vec<u16>, _> = index.iter().map(|cell| cell.parse()).collect();
    let Ok([low, high]) = whole.as_deref() else { return Err("load indices are two whole numbers".into()) };
    let [[share]] = rows("ranges/full-tank")?.iter().map(Vec::as_slice).collect::<Vec<_>>()[..] else {
        return Err("the rounding is one share".into());
    };
    let full_tank = quantity::parse(share, quantity::Dimension::Ratio).map_err(|fault| fault.to_string())?;
    Ok(Ranges { fields, load_index: *low..=*high, full_tank })
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::Dimension;
    use serde_json::Value;
    use std::collections::BTreeMap;

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
        let mut ranges: Vec<String> = ranges().fields.iter().map(|usual| usual.keys.join(".")).collect();
        ranges.sort();
        assert_eq!(ranges.iter().collect::<Vec<_>>(), wanted);
    }

    /// Rows of the file: field, least, most, usual.
    fn rows() -> Vec<Vec<String>> {
        let file: File = toml::from_str(include_str!("../../data/ranges.toml")).unwrap();
        file.table.into_iter().next().unwrap().rows
    }

    #[test]
    fn bounds_are_of_the_fields_kind_and_hold_what_is_usual() {
        let fields = fields();
        let mut held = 0;
        for row in rows() {
            let kind = &fields[&row[0]];
            let dimension = *Dimension::ALL
                .iter()
                .find(|d| serde_json::to_value(d).unwrap().as_str() == Some(kind) || d.noun().replace(' ', "_") == *kind)
                .unwrap_or_else(|| panic!("{kind}"));
            let usual = Usual::read(&row).unwrap();
            let (low, high) = dimension.physical_range();
            for (text, si) in [(&row[1], usual.least), (&row[2], usual.most)] {
                let plain = text.is_empty() || quantity::parse(text, dimension).is_ok_and(|si| low < si && si < high);
                assert!(plain && !si.is_nan(), "{row:?}");
            }
            let words = row[3].trim_start_matches("up to ");
            let ends: Vec<&str> = words.split(" to ").collect();
            if let [from, to] = ends.as_slice() {
                let unit = to.trim_start_matches(|c: char| c.is_ascii_digit() || "-.".contains(c));
                let Ok(to) = quantity::parse(to, dimension) else { continue };
                let from = quantity::parse(from, dimension).or_else(|_| quantity::parse(&format!("{from}{unit}"), dimension));
                let from = from.unwrap_or_else(|_| panic!("{row:?}"));
                assert!(usual.least < from && from < to && to < usual.most, "{row:?}");
                held += 1;
            }
        }
        assert!(held >= 60, "{held} of the usual ranges were looked at");
    }

    #[test]
    fn a_file_that_makes_no_sense_is_told() {
        let least = "[[table]]\nid = \"ranges/field\"\nrows = [[\"axle.x\", \"5 m\", \"1 m\", \"\"]]\n";
        assert!(read(least).unwrap_err().contains("reversed"));
        assert!(read("").is_err());
    }
}
