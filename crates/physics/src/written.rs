//! Sizes as people write them: whole numbers, decimals, fractions of an inch, units behind.

/// Metres in an inch, exact by definition.
pub(crate) const INCH: f64 = 0.0254;
/// Metres in a millimetre.
pub(crate) const MILLI: f64 = 1e-3;

/// The number that a text such as "8", "4.5", "3/8" or "1-1/2" stands for; `None` unless it is one over 0.
pub(crate) fn number(text: &str) -> Option<f64> {
    let plain = |part: &str| part.bytes().all(|b| b.is_ascii_digit() || b == b'.').then(|| part.parse::<f64>().ok()).flatten();
    let fraction = |part: &str| {
        let (over, under) = part.split_once('/')?;
        Some(plain(over)? / plain(under)?)
    };
    let value = match text.split_once(['-', ' ']) {
        Some((whole, part)) => plain(whole)? + fraction(part)?,
        None => fraction(text).or_else(|| plain(text))?,
    };
    (value.is_finite() && value > 0.0).then_some(value)
}

/// Words, numbers and unit of a designation such as "tube 60x40x3" or "2x2x1/4 in angle": all that is not a number or
/// a unit of length, in small letters without spaces; the numbers in metres; whether inches were meant.
pub(crate) struct Sizes {
    pub(crate) word: String,
    /// Numbers as written.
    pub(crate) written: Vec<f64>,
    /// The same in metres.
    pub(crate) metres: Vec<f64>,
}

/// Takes a designation apart; `None` when a number in it cannot be read.
pub(crate) fn sizes(text: &str) -> Option<Sizes> {
    let flat: String = text.chars().filter(|c| !c.is_whitespace()).flat_map(char::to_lowercase).map(times).collect();
    let from = flat.find(|c: char| c.is_ascii_digit())?;
    let (head, rest) = flat.split_at(from);
    let until = rest.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '/' | '-' | 'x'))).unwrap_or(rest.len());
    let (run, tail) = rest.split_at(until);
    let (unit, tail) = [("inches", INCH), ("inch", INCH), ("in", INCH), ("\"", INCH), ("mm", MILLI)]
        .iter()
        .find_map(|(name, unit)| Some((*unit, tail.strip_prefix(name)?)))
        .unwrap_or((MILLI, tail));
    let written = run.split('x').map(number).collect::<Option<Vec<_>>>()?;
    let metres = written.iter().map(|n| n * unit).collect();
    Some(Sizes { word: format!("{head}{tail}"), written, metres })
}

fn times(c: char) -> char {
    if matches!(c, '×' | '*') { 'x' } else { c }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_and_nonsense_is_not() {
        assert_eq!(
            ["8", "4.5", "3/8", "1-1/2", "1 1/8"].map(number),
            [Some(8.0), Some(4.5), Some(0.375), Some(1.5), Some(1.125)]
        );
        for wrong in ["", "x", "0", "1/0", "-3", "1e9", "1-", "1-2", "inf", "1/2/3", "1..2"] {
            assert_eq!(number(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn designations_come_apart() {
        let all = ["C 220 x 80 x 7", "60×40×3 tube", "2x2x1/4 in angle", "UPN100", "L 80*8 mm"].map(sizes);
        let words: Vec<_> = all.iter().flatten().map(|s| s.word.as_str()).collect();
        assert_eq!(words, ["c", "tube", "angle", "upn", "l"]);
        assert_eq!(all[2].as_ref().map(|s| s.metres.clone()), Some(vec![2.0 * INCH, 2.0 * INCH, 0.25 * INCH]));
        assert!(sizes("angle").is_none() && sizes("60x").is_none() && sizes("").is_none());
    }
}
