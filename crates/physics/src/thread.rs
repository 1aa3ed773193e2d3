//! Bolts by what is written on them: thread sizes and property classes.

use basis::Basis;

use crate::error::KernelError;
use crate::mount_facts as facts;
use crate::range::Range;
use crate::written::{INCH, MILLI, number};

/// The thread of a bolt.
#[derive(Clone, Debug, PartialEq)]
pub struct Thread {
    /// Its size as we write it: "M12", "M12x1.25", "1/2-13".
    pub name: String,
    /// Outside diameter, m.
    pub diameter: f64,
    /// Pitch, m.
    pub pitch: f64,
    /// Whether it is a unified (inch) thread.
    pub inch: bool,
}

/// Diameters of bolts, m: the formulas and tables of this crate hold for no others.
const DIAMETER: Range = Range::of(1.5e-3, 0.1);

const SIZES: &str = "a size such as \"M12\", \"M12x1.25\", \"1/2-13\", \"1/2 in UNC\"";
const COARSE: &str = "bolt/thread-metric";
const UNC: &str = "bolt/thread-unc";
const UNF: &str = "bolt/thread-unf";

impl Thread {
    /// Reads a size. A metric one without pitch is coarse, an inch one without threads per inch too.
    ///
    /// # Errors
    /// `NotListed` when it cannot be read, or has no pitch and no table has one for it.
    pub fn parse(text: &str) -> Result<Self, KernelError> {
        let flat: String = text.trim().to_uppercase().replace(['×', '*'], "X");
        let read = match flat.strip_prefix('M') {
            Some(rest) => metric(&rest.split_whitespace().collect::<String>()),
            None => unified(&flat),
        };
        let sound = |t: &Self| DIAMETER.holds(t.diameter) && t.pitch < t.diameter / 2.0;
        read.filter(sound).ok_or_else(|| KernelError::NotListed { field: "size".into(), value: text.into(), wanted: SIZES })
    }

    /// Stress area, m2: a disc between pitch and core diameter.
    #[must_use]
    pub fn stress_area(&self) -> f64 {
        let facts = facts::bolt();
        let pitches = if self.inch { facts.thread_inch } else { facts.thread_metric };
        disc(self.diameter - pitches * self.pitch)
    }

    /// Area of the shank, m2.
    #[must_use]
    pub fn shank_area(&self) -> f64 {
        disc(self.diameter)
    }
}

/// Area of a disc over its diameter squared is a quarter of pi.
const QUARTER: f64 = 0.25;

fn disc(diameter: f64) -> f64 {
    QUARTER * std::f64::consts::PI * diameter * diameter
}

/// What follows the M: "12", "12X1.75".
fn metric(rest: &str) -> Option<Thread> {
    let (size, pitch) = match rest.split_once('X') {
        Some((size, pitch)) => (size, Some(number(pitch)? * MILLI)),
        None => (rest, None),
    };
    let millimetres = number(size)?;
    let name = format!("M{millimetres}");
    let coarse = facts::number(&[COARSE], "size", &name, "pitch").map(|(pitch, _)| pitch);
    let fine = pitch.filter(|p| coarse.is_none_or(|c| (p - c).abs() > f64::EPSILON));
    let name = fine.map_or(name.clone(), |p| format!("{name}x{}", (p / MILLI * MICRO).round() / MICRO));
    Some(Thread { name, diameter: millimetres * MILLI, pitch: pitch.or(coarse)?, inch: false })
}

/// Steps of a pitch in its name, so that 1.25 mm does not come out as 1.2500000000000002.
const MICRO: f64 = 1e6;

/// "1/2-13", "1/2 IN UNC", "1/2-13 UNC", "1-8", "1/2 UNF", "1-1/8-7".
fn unified(text: &str) -> Option<Thread> {
    let fine = text.contains("UNF");
    let plain = text.replace("UNC", " ").replace("UNF", " ").replace("INCHES", " ").replace("INCH", " ").replace("IN", " ");
    let plain = plain.replace('"', " ");
    let size = plain.trim();
    let (size, threads) = match size.rsplit_once('-') {
        // In "1-1/8" the dash joins a whole number to its fraction.
        Some((size, threads)) if !threads.contains('/') => (size.trim(), Some(number(threads.trim())?)),
        _ => (size, None),
    };
    let diameter = number(size)?;
    let listed = |id| facts::number(&[id], "size", size, "threads_per_inch").map(|(n, _)| n);
    let threads = threads.or_else(|| listed(if fine { UNF } else { UNC }))?;
    Some(Thread { name: format!("{size}-{threads}"), diameter: diameter * INCH, pitch: INCH / threads, inch: true })
}

/// Strengths of a bolt's property class or grade.
#[derive(Clone, Debug, PartialEq)]
pub struct Grade {
    /// Its name as we write it: "8.8", "SAE 5", "A2-70".
    pub name: &'static str,
    /// Yield strength, Pa; none where the standard states none.
    pub yield_strength: Option<f64>,
    /// Ultimate strength for design, Pa.
    pub ultimate: f64,
    /// Proof stress, Pa; none where no table has it.
    pub proof: Option<f64>,
    /// Shear factor of EN 1993-1-8 with the thread in the plane.
    pub shear_thread: f64,
    /// The metric class of like strength whose shear factor an inch grade takes.
    pub like: Option<&'static str>,
    /// Where the strengths come from.
    pub basis: &'static Basis,
}

const METRIC: &str = "bolt/class-metric";
const STAINLESS: [&str; 2] = ["bolt/class-stainless", "bolt/class-stainless-soft"];
const INCH_GRADES: &str = "bolt/class-inch";
const INCH_PLAIN: &str = "bolt/class-inch-plain";
/// The recalled table first: it has the smaller sizes.
const PROOF: [&str; 2] = ["bolt/proof-metric-recalled", "bolt/proof-metric"];
const CLASSES: &str = "a class such as \"4.6\", \"8.8\", \"10.9\", \"A2-70\", \"SAE 2\", \"SAE 5\", \"SAE 8\", \"A307\", \"A325\", \"A490\"; \
     EN 1993-1-8 has no 12.9: take it as 10.9";

/// Reads a property class or grade, for a bolt of that diameter, m.
///
/// # Errors
/// `NotListed` when no table has it, `OutOfRange` when the bolt is thicker than the class goes.
pub fn grade(text: &str, diameter: f64) -> Result<Grade, KernelError> {
    let name = plain_class(text);
    let unknown = || KernelError::NotListed { field: "class".into(), value: text.into(), wanted: CLASSES };
    let at = |ids: &[&str], want: &str| facts::number(ids, "class", &name, want);
    let known = |ids: &[&str]| facts::names(ids, "class").into_iter().find(|known| *known == name);
    if let (Some(name), Some((ultimate, table))) = (known(&[METRIC]), at(&[METRIC], "ultimate")) {
        return Ok(Grade {
            name,
            yield_strength: at(&[METRIC], "yield").map(|(value, _)| value),
            ultimate,
            proof: PROOF.iter().find_map(|id| up_to(id, name, diameter).and_then(|row| row.of("proof"))),
            shear_thread: at(&[METRIC], "shear_thread").map(|(value, _)| value).ok_or_else(unknown)?,
            like: None,
            basis: &table.basis,
        });
    }
    if let (Some(name), Some((ultimate, table))) = (known(&STAINLESS), at(&STAINLESS, "ultimate")) {
        let yield_strength = at(&STAINLESS, "yield").map(|(value, _)| value);
        let shear_thread = facts::bolt().shear_other;
        return Ok(Grade { name, yield_strength, ultimate, proof: None, shear_thread, like: None, basis: &table.basis });
    }
    let name = known(&[INCH_GRADES, INCH_PLAIN]).ok_or_else(unknown)?;
    let inch = if known(&[INCH_PLAIN]).is_some() { INCH_PLAIN } else { INCH_GRADES };
    let Some(row) = up_to(inch, name, diameter) else {
        let most = numbers(inch, name, "up_to").fold(0.0, f64::max);
        let why = "the class is not made in thicker bolts";
        return Err(KernelError::outside("size", diameter / MILLI, Range::over(0.0, most / MILLI), "mm", why));
    };
    let like = row.like.ok_or_else(unknown)?;
    Ok(Grade {
        name,
        yield_strength: row.of("yield"),
        ultimate: row.of("ultimate").ok_or_else(unknown)?,
        proof: row.of("proof"),
        shear_thread: facts::number(&[METRIC], "class", like, "shear_thread").map(|(value, _)| value).ok_or_else(unknown)?,
        like: Some(like),
        basis: &facts::table(inch).ok_or_else(unknown)?.basis,
    })
}

/// A row of a table in which a class stands once for each range of diameters.
struct Row {
    table: &'static str,
    class: &'static str,
    place: usize,
    like: Option<&'static str>,
}

impl Row {
    fn of(&self, column: &str) -> Option<f64> {
        numbers(self.table, self.class, column).nth(self.place)
    }
}

/// Column of the rows of a class, in their order.
fn numbers(table: &str, class: &'static str, column: &str) -> impl Iterator<Item = f64> {
    let all = facts::table(table).into_iter().flat_map(move |table| table.pairs("class", column));
    all.filter(move |(name, _)| *name == class).map(|(_, value)| value).collect::<Vec<_>>().into_iter()
}

/// The first row of a class that reaches to a diameter; a table without diameters reaches to all.
fn up_to(table: &'static str, class: &'static str, diameter: f64) -> Option<Row> {
    let ends: Vec<f64> = numbers(table, class, "up_to").collect();
    // Diameters in mm and in inches meet here: leave room for the rounding of one bit.
    let holds = |end: &f64| diameter <= end * (1.0 + f64::EPSILON * 2.0);
    let place = if ends.is_empty() { 0 } else { ends.iter().position(holds)? };
    let likes = facts::table(table).into_iter().flat_map(|table| table.words("class", "like"));
    let like = likes.filter(|(name, _)| *name == class).map(|(_, like)| like).nth(place);
    Some(Row { table, class, place, like })
}

/// The class as the tables write it: "grade 5" is "SAE 5", "ASTM A325" is "A325", "a2 70" is "A2-70".
fn plain_class(text: &str) -> String {
    let upper = text.trim().to_uppercase().replace(['-', '_'], " ");
    let noise = ["CLASS", "ISO", "898", "1", "3506", "ASTM", "J429", "BOLT", "GRADE", "GR", "GR."];
    let inch = ["GRADE", "GR", "SAE", "J429"]
        .iter()
        .any(|word| upper.split_whitespace().any(|part| part.trim_end_matches('.') == *word));
    let kept: Vec<&str> = upper.split_whitespace().filter(|part| !noise.contains(part) && *part != "SAE").collect();
    match kept.as_slice() {
        [one] if inch && one.parse::<u8>().is_ok() => format!("SAE {one}"),
        [one] => match one.strip_prefix("SAE").filter(|rest| rest.parse::<u8>().is_ok()) {
            Some(rest) => format!("SAE {rest}"),
            None => (*one).to_owned(),
        },
        [steel, strength] => format!("{steel}-{strength}"),
        _ => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_thread_may_be_written_many_ways() {
        for same in [&["M12", "m 12", "M12x1.75", "M12 × 1.75"][..], &["1/2-13", "1/2 in UNC", "1/2-13 UNC", "1/2\" unc", "1/2"]]
        {
            let all: Vec<_> = same.iter().map(|text| Thread::parse(text).expect(text)).collect();
            assert!(all.iter().all(|t| t.name == all[0].name && (t.pitch - all[0].pitch).abs() < 1e-15), "{same:?}");
        }
        let fine = Thread::parse("M12x1.25").expect("fine");
        assert_eq!((fine.name.as_str(), fine.inch), ("M12x1.25", false));
        assert_eq!(Thread::parse("1-8").map(|t| (t.name, t.diameter)), Ok(("1-8".to_owned(), INCH)));
        assert_eq!(Thread::parse("1-1/8-7").map(|t| t.diameter), Ok(1.125 * INCH));
        assert_eq!(Thread::parse("3/8 UNF").map(|t| t.name), Ok("3/8-24".to_owned()));
    }

    #[test]
    fn half_an_inch_is_not_12_mm() {
        let area = |size| Thread::parse(size).expect("read").stress_area();
        assert!(area("1/2-13") / area("M12") > 1.08);
    }

    #[test]
    fn what_is_no_size_is_refused() {
        for wrong in ["", "M", "12", "M12x", "M12x9", "M13", "1/0", "x", "M-12", "M1e3", "5/8-", "?"] {
            assert!(matches!(Thread::parse(wrong), Err(KernelError::NotListed { .. })), "{wrong}: {:?}", Thread::parse(wrong));
        }
    }

    #[test]
    fn classes_are_read_as_people_write_them() {
        let name = |text| grade(text, 0.012).map(|g| g.name).unwrap_or_else(|why| panic!("{text}: {why}"));
        for (text, want) in [
            ("8.8", "8.8"),
            (" class 10.9", "10.9"),
            ("a2 70", "A2-70"),
            ("A4-80", "A4-80"),
            ("SAE 5", "SAE 5"),
            ("SAE J429 grade 8", "SAE 8"),
            ("grade 5", "SAE 5"),
            ("gr. 2", "SAE 2"),
            ("SAE8", "SAE 8"),
            ("ASTM A325", "A325"),
            ("a307", "A307"),
        ] {
            assert_eq!(name(text), want);
        }
        for wrong in ["", "5", "8", "12.9", "A5-70", "SAE 6", "?", "grade"] {
            assert!(matches!(grade(wrong, 0.012), Err(KernelError::NotListed { .. })), "{wrong}");
        }
    }

    #[test]
    fn a_grade_changes_with_its_diameter_and_ends() {
        let sae = |d| grade("SAE 2", d * INCH).map(|g| (g.like, g.proof));
        assert_eq!(sae(0.75), Ok((Some("5.8"), Some(379e6))));
        assert_eq!(sae(0.875), Ok((Some("4.6"), Some(228e6))));
        assert!(matches!(grade("SAE 5", 1.25 * INCH), Err(KernelError::OutOfRange { field, .. }) if field == "size"));
        assert_eq!(grade("8.8", 0.016).map(|g| g.proof), Ok(Some(580e6)));
        assert_eq!(grade("8.8", 0.018).map(|g| g.proof), Ok(Some(600e6)));
    }
}
