//! Sections by their designation: "C 220x80x7", "UPN 100", "L 80x8", "60x40x3 tube", "flat 60x8".

use basis::{Basis, Table};

use crate::error::KernelError;
use crate::mount_facts as facts;
use crate::section::{Properties, Shape, Sizes, properties};
use crate::written::{INCH, sizes};

/// A section that a designation names.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    /// Its designation as we write it.
    pub name: String,
    /// Its form.
    pub shape: Shape,
    /// Its sizes.
    pub sizes: Sizes,
    /// What it is worth: the table's values where a table has it, sharp corners for the rest.
    pub properties: Properties,
    /// Where table values come from; `None` when all are computed with sharp corners.
    pub source: Option<&'static Basis>,
}

/// Words for shapes, and how we write them.
const WORDS: [(&[&str], Shape, &str); 7] = [
    (&["c", "u", "channel", "rail", "railc", "crail", "cchannel"], Shape::Channel, "C"),
    (&["l", "angle", "angleiron", "langle"], Shape::Angle, "L"),
    (&["roundtube", "tuberound", "pipe", "chs"], Shape::RoundTube, "round tube"),
    (&["roundbar", "rod", "round"], Shape::RoundTube, "round bar"),
    (&["tube", "box", "squaretube", "tubesquare", "rectangulartube", "boxsection", "rhs", "shs"], Shape::Tube, "tube"),
    (&["flat", "flatbar", "plate", "bar", "strip"], Shape::Flat, "flat"),
    (&["t", "tee"], Shape::Tee, "tee"),
];

const WANTED: &str = "a section such as \"C 220x80x7\", \"UPN 100\", \"C3x4.1\", \"L 80x8\", \"tube 60x40x3\", \"round tube 48.3x3.2\", \
     \"flat 60x8\" or \"tee 60x60x7\", in mm or with \"in\" behind";

/// Reads a designation. Sizes are mm, or inches with "in" behind; height first, thickness last, web before flange.
///
/// A flat stands on edge: "flat 60x8" is 60 mm high. A tube with two sizes is square, an angle with two has equal legs.
///
/// # Errors
/// `NotListed` when it cannot be read or no table has it, `OutOfRange` when its walls do not fit.
pub fn profile(text: &str) -> Result<Profile, KernelError> {
    let unknown = || KernelError::NotListed { field: "section".into(), value: text.into(), wanted: WANTED };
    let parsed = sizes(text).ok_or_else(unknown)?;
    if let Some(rolled) = rolled(&parsed.word, &parsed.written) {
        return Ok(rolled);
    }
    let found = WORDS.iter().find(|(words, _, _)| words.contains(&parsed.word.as_str()));
    let (_, shape, word) = found.ok_or_else(unknown)?;
    let sizes = fitted(*shape, *word == "round bar", &parsed.metres).ok_or_else(unknown)?;
    checked(*shape, &sizes)?;
    let digits = parsed.written.iter().map(f64::to_string).collect::<Vec<_>>().join("x");
    // Inches are told apart in the name, or two sections would share one.
    let inches =
        if parsed.metres.first().zip(parsed.written.first()).is_some_and(|(m, n)| m / n > INCH / 2.0) { " in" } else { "" };
    let plain = Profile {
        name: format!("{word} {digits}{inches}"),
        shape: *shape,
        sizes,
        properties: properties(*shape, &sizes),
        source: None,
    };
    Ok(listed_angle(&plain).unwrap_or(plain))
}

/// The sizes that a list of numbers means for a shape.
fn fitted(shape: Shape, bar: bool, numbers: &[f64]) -> Option<Sizes> {
    let sizes = |height, width, web, flange| Some(Sizes { height, width, web, flange });
    match (shape, numbers) {
        (Shape::Channel | Shape::Tee | Shape::Angle, [h, b, t]) => sizes(*h, *b, *t, *t),
        (Shape::Channel | Shape::Tee, [h, b, tw, tf]) => sizes(*h, *b, *tw, *tf),
        (Shape::Angle, [h, t]) => sizes(*h, *h, *t, *t),
        (Shape::Tube, [h, b, t]) => sizes(*h, *b, *t, 0.0),
        (Shape::Tube, [h, t]) => sizes(*h, *h, *t, 0.0),
        (Shape::RoundTube, [d]) if bar => sizes(*d, 0.0, *d / 2.0, 0.0),
        (Shape::RoundTube, [d, t]) if !bar => sizes(*d, 0.0, *t, 0.0),
        (Shape::Flat, [h, b]) => sizes(*h, *b, 0.0, 0.0),
        _ => None,
    }
}

fn checked(shape: Shape, s: &Sizes) -> Result<(), KernelError> {
    let some = |value: f64| (value > 0.0).then_some(value);
    let walled = matches!(shape, Shape::Tube | Shape::RoundTube);
    let (web_m, wall_m) = if walled { (None, some(s.web)) } else { (some(s.web), None) };
    let input =
        crate::section::SectionIn { shape, height_m: s.height, width_m: some(s.width), web_m, flange_m: some(s.flange), wall_m };
    input.sizes().map(|_| ())
}

/// A second moment, modulus or area of a table in m, from what tables print.
#[derive(Clone, Copy)]
struct Printed {
    unit: f64,
    ending: &'static str,
}

/// Metres in a centimetre.
const CENTI: f64 = 1e-2;
const CM: Printed = Printed { unit: CENTI, ending: "cm" };
const IN: Printed = Printed { unit: INCH, ending: "in" };

/// Takes what a table has of a section in place of what sharp corners give.
fn with_table(shape: Shape, name: &str, table: &'static Table, printed: Printed) -> Option<Profile> {
    let length = |column| table.number("name", name, column);
    let sizes = Sizes { height: length("height")?, width: length("width")?, web: length("web")?, flange: length("flange")? };
    let sharp = properties(shape, &sizes);
    let u = printed.unit;
    let of = |what: &str, power: &str, unit: f64, else_: f64| {
        table.number("name", name, &format!("{what}_{}{power}", printed.ending)).map_or(else_, |value| value * unit)
    };
    let properties = Properties {
        area: of("area", "2", u * u, sharp.area),
        i_x: of("i_strong", "4", u * u * u * u, sharp.i_x),
        w_x: of("w_strong", "3", u * u * u, sharp.w_x),
        i_y: of("i_weak", "4", u * u * u * u, sharp.i_y),
        w_y: of("w_weak", "3", u * u * u, sharp.w_y),
        torsion: of("torsion", "4", u * u * u * u, sharp.torsion),
        ..sharp
    };
    Some(Profile { name: name.to_owned(), shape, sizes, properties, source: Some(&table.basis) })
}

/// Sections that are known by a name and not by their sizes.
fn rolled(word: &str, numbers: &[f64]) -> Option<Profile> {
    let named = |name: String, id: &str, printed| with_table(Shape::Channel, &name, facts::table(id)?, printed);
    match (word, numbers) {
        ("upn" | "unp", [height]) => named(format!("UPN {height}"), "section/channel", CM),
        ("c", [height, weight]) => {
            let name = format!("C{height}x{weight}");
            named(name.clone(), "section/american-channel", IN).or_else(|| named(name, "section/american-channel-recalled", IN))
        }
        _ => None,
    }
}

/// An angle that a table has with these very sizes.
fn listed_angle(plain: &Profile) -> Option<Profile> {
    if plain.shape != Shape::Angle {
        return None;
    }
    let table = facts::table("section/angle")?;
    let near = |a: f64, b: f64| (a - b).abs() <= f64::EPSILON * b;
    let same = |name: &str| {
        let of = |column| table.number("name", name, column).unwrap_or_default();
        near(plain.sizes.height, of("height")) && near(plain.sizes.width, of("width")) && near(plain.sizes.web, of("web"))
    };
    let (name, _) = table.words("name", "name").find(|(name, _)| same(name))?;
    with_table(Shape::Angle, name, table, CM)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_section_may_be_written_many_ways() {
        for same in [["L 80x8", "80x80x8 angle"], ["tube 60x40x3", "60×40×3 mm tube"], ["C 220x80x7", "rail C220x80x7x7"]] {
            let [a, b] = same.map(|text| profile(text).unwrap_or_else(|why| panic!("{text}: {why}")));
            assert_eq!(a.properties, b.properties, "{same:?}");
        }
        assert_eq!(profile("L 80x8").map(|p| (p.name, p.source.is_some())), Ok(("L 80x80x8".to_owned(), true)));
        assert_eq!(profile("C 220x80x7").map(|p| (p.name, p.source.is_some())), Ok(("C 220x80x7".to_owned(), false)));
        let inch = profile("angle 2x2x1/4 in").expect("is read");
        assert_eq!((inch.name.as_str(), inch.sizes.web), ("L 2x2x0.25 in", 0.25 * INCH));
    }

    #[test]
    fn tables_come_before_sharp_corners() {
        let upn = profile("UPN100").expect("listed");
        assert!((upn.properties.i_x - 206e-8).abs() < 1e-12 && (upn.properties.torsion - 2.81e-8).abs() < 1e-14);
        let american = profile("C3x4.1").expect("listed");
        assert!((american.properties.area - 1.2 * INCH * INCH).abs() < 1e-12);
        assert_eq!(profile("C4x5.4").ok().and_then(|p| p.source).map(|b| b.known), Some(basis::Known::FromMemory));
    }

    #[test]
    fn what_is_no_section_is_refused() {
        for wrong in ["", "beam", "UPN 105", "C 220", "L 80", "tube 60", "C9x99", "60x40x3", "L 80x0", "flat 60x8x2x1"] {
            assert!(matches!(profile(wrong), Err(KernelError::NotListed { .. })), "{wrong}: {:?}", profile(wrong));
        }
        assert!(matches!(profile("tube 60x40x25"), Err(KernelError::OutOfRange { field, .. }) if field == "wall_m"));
    }
}
