//! Redoes a printed line of working as its reader would, with a pocket calculator: numbers, + - x / ^ ( ), root, and
//! the functions of an angle in degrees. Units and other words beside a number are labels.
//!
//! A line is cut into clauses at "; ", ", " and ": " outside round brackets. A clause without " = " is prose. In one with
//! it, a side without any number, or "5 more", is a name; where fewer than two sides hold numbers the clause states and works out
//! nothing. Every other clause has to come out to its last printed figure.
#![allow(clippy::disallowed_methods, reason = "a calculator of its own, not the one that is tested")]

/// What came of one clause.
#[derive(Clone, Debug, PartialEq)]
pub enum Clause {
    /// Words: nothing is worked out.
    Prose,
    /// It comes out to the last figure.
    Right,
    /// It does not: what comes out instead.
    Wrong(String),
    /// It has the form of a sum, and could not be read: why.
    Unread(String),
}

/// Redoes every clause of a line.
#[must_use]
pub fn redo(line: &str) -> Vec<Clause> {
    clauses(line).into_iter().map(redo_clause).collect()
}

/// The number a line ends on: the last side of its last clause with a number, or the first number of plain words.
#[must_use]
pub fn outcome(line: &str) -> Option<f64> {
    let side = line.rsplit(" = ").next()?;
    Some(read(side).ok()??.value)
}

fn clauses(line: &str) -> Vec<&str> {
    let (mut depth, mut start, mut found) = (0_i32, 0, Vec::new());
    for (at, c) in line.char_indices() {
        match c {
            '(' => depth += 1,
            ')' => depth -= 1,
            ';' | ',' | ':' if depth == 0 && line[at + 1..].starts_with(' ') => {
                found.push(&line[start..at]);
                start = at + 1;
            }
            _ => {}
        }
    }
    found.push(&line[start..]);
    found
}

fn redo_clause(clause: &str) -> Clause {
    let sides: Vec<&str> = clause.split(" = ").collect();
    if sides.len() < 2 {
        return Clause::Prose;
    }
    let mut read_sides = Vec::new();
    for side in sides {
        match read(side) {
            Ok(Some(side)) => read_sides.push(side),
            Ok(None) => {}
            Err(why) => return Clause::Unread(format!("{}: {why}", side.trim())),
        }
    }
    if read_sides.len() < 2 {
        return Clause::Prose;
    }
    for pair in read_sides.windows(2) {
        if let Some(wrong) = differ(&pair[0], &pair[1]) {
            return wrong;
        }
    }
    Clause::Right
}

/// How two sides that should be equal are not: held to half a unit of the last figure of the one that is a plain number,
/// the right one where both are.
fn differ(left: &Side, right: &Side) -> Option<Clause> {
    // What binary fractions cannot say of a tie.
    const TIE: f64 = 1e-9;
    let (mut one, mut other) = (left.value, right.value);
    let mut half = right.half_unit.or(left.half_unit);
    if left.half_unit.is_some() && right.half_unit.is_some() {
        one *= si(&left.unit);
        other *= si(&right.unit);
        half = half.map(|half| half * si(&right.unit));
    }
    let Some(half) = half else { return Some(Clause::Unread("neither side is a plain number".to_owned())) };
    let off = (one - other).abs();
    (off.is_nan() || off > half * (1.0 + TIE) + TIE * TIE).then(|| Clause::Wrong(format!("{one} is not {other}")))
}

/// Units that a line turns into others, in the ones it turns them into.
fn si(unit: &str) -> f64 {
    match unit {
        "ft" => 0.3048,
        "lb" => 0.453_592_37,
        _ => 1.0,
    }
}

/// One side of an equation.
#[derive(Clone, Debug)]
struct Side {
    value: f64,
    /// Half a unit of the last figure, where the side is one plain number.
    half_unit: Option<f64>,
    /// The word after the number.
    unit: String,
}

/// Reads a side; none where it holds no number.
fn read(text: &str) -> Result<Option<Side>, String> {
    let tokens = tokens(text);
    let counts = matches!(tokens.as_slice(), [Token::Number(..), Token::Word(word)] if word == "more");
    if counts || !tokens.iter().any(|token| matches!(token, Token::Number(..))) {
        return Ok(None);
    }
    let mut reader = Reader { tokens: &tokens, at: 0, plain: None, numbers: 0 };
    let value = reader.sum()?;
    if let Some(left) = reader.peek() {
        return Err(format!("{left:?} is left over"));
    }
    let (half_unit, unit) = match (reader.plain, reader.numbers) {
        (Some((half, unit)), 1) if !tokens.iter().any(Token::works) => (Some(half), unit),
        _ => (None, String::new()),
    };
    Ok(Some(Side { value, half_unit, unit }))
}

#[derive(Clone, Debug, PartialEq)]
enum Token {
    /// Its value and half a unit of its last figure.
    Number(f64, f64),
    /// + - x / ^ ( )
    Sign(char),
    Word(String),
}

impl Token {
    /// Whether it makes a side more than a plain number.
    fn works(&self) -> bool {
        matches!(self, Self::Sign('+' | '-' | 'x' | '/' | '^')) || matches!(self, Self::Word(word) if function(word).is_some())
    }
}

fn tokens(text: &str) -> Vec<Token> {
    let mut found = Vec::new();
    for word in text.split_whitespace() {
        let mut rest = word;
        while !rest.is_empty() {
            let end = match rest.find(['(', ')', '^']) {
                Some(0) => {
                    found.extend(rest.chars().next().map(Token::Sign));
                    rest = &rest[1..];
                    continue;
                }
                Some(end) => end,
                None => rest.len(),
            };
            found.push(token(&rest[..end]));
            rest = &rest[end..];
        }
    }
    found
}

fn token(word: &str) -> Token {
    if let ("+" | "-" | "x" | "/", Some(sign)) = (word, word.chars().next()) {
        return Token::Sign(sign);
    }
    let digits = word.strip_prefix('-').unwrap_or(word);
    if !digits.is_empty()
        && digits.chars().all(|c| c.is_ascii_digit() || c == '.')
        && let Ok(value) = word.parse()
    {
        let decimals = digits.split_once('.').map_or(0, |(_, decimals)| decimals.len());
        return Token::Number(value, 0.5 / 10_f64.powf(decimals as f64));
    }
    Token::Word(word.to_owned())
}

type Function = fn(f64) -> f64;

/// By name, angles in degrees.
fn function(name: &str) -> Option<Function> {
    Some(match name {
        "sin" => |x| x.to_radians().sin(),
        "cos" => |x| x.to_radians().cos(),
        "tan" => |x| x.to_radians().tan(),
        "asin" => |x| x.asin().to_degrees(),
        "atan" => |x| x.atan().to_degrees(),
        "root" => f64::sqrt,
        _ => return None,
    })
}

struct Reader<'t> {
    tokens: &'t [Token],
    at: usize,
    /// Half a unit and unit of the last number read.
    plain: Option<(f64, String)>,
    numbers: usize,
}

impl Reader<'_> {
    fn peek(&self) -> Option<&Token> {
        self.tokens.get(self.at)
    }

    fn sign(&mut self, wanted: &[char]) -> Option<char> {
        match self.peek() {
            Some(Token::Sign(sign)) if wanted.contains(sign) => {
                let sign = *sign;
                self.at += 1;
                Some(sign)
            }
            _ => None,
        }
    }

    fn sum(&mut self) -> Result<f64, String> {
        let mut value = self.product()?;
        while let Some(sign) = self.sign(&['+', '-']) {
            let term = self.product()?;
            value += if sign == '+' { term } else { -term };
        }
        Ok(value)
    }

    fn product(&mut self) -> Result<f64, String> {
        let mut value = self.power()?;
        while let Some(sign) = self.sign(&['x', '/']) {
            let factor = self.power()?;
            value = if sign == 'x' { value * factor } else { value / factor };
        }
        Ok(value)
    }

    fn power(&mut self) -> Result<f64, String> {
        let base = self.operand()?;
        match self.sign(&['^']) {
            Some(_) => Ok(base.powf(self.power()?)),
            None => Ok(base),
        }
    }

    fn operand(&mut self) -> Result<f64, String> {
        loop {
            match self.peek().cloned() {
                Some(Token::Number(value, half)) => {
                    self.at += 1;
                    self.numbers += 1;
                    let unit = self.labels();
                    let percent = if unit == "%" { 0.01 } else { 1.0 };
                    self.plain = Some((half * percent, unit));
                    return Ok(value * percent);
                }
                Some(Token::Sign('(')) => {
                    let value = self.bracket()?;
                    self.labels();
                    return Ok(value);
                }
                Some(Token::Word(word)) => {
                    self.at += 1;
                    if let (Some(function), Some(Token::Sign('('))) = (function(&word), self.peek()) {
                        let value = function(self.bracket()?);
                        self.labels();
                        return Ok(value);
                    }
                }
                Some(Token::Sign(sign)) => return Err(format!("a number is wanted, and \"{sign}\" stands there")),
                None => return Err("a number is wanted at the end".to_owned()),
            }
        }
    }

    fn bracket(&mut self) -> Result<f64, String> {
        self.at += 1;
        let value = self.sum()?;
        self.sign(&[')']).map(|_| value).ok_or_else(|| "a bracket stays open".to_owned())
    }

    /// Passes over the words after an operand, what is in brackets there, and numbers that belong to the words; gives
    /// the first word.
    fn labels(&mut self) -> String {
        let mut first = String::new();
        loop {
            match self.peek() {
                Some(Token::Word(word)) => {
                    if first.is_empty() {
                        first.clone_from(word);
                    }
                    self.at += 1;
                }
                Some(Token::Number(..)) if !first.is_empty() => self.at += 1,
                Some(Token::Sign('(')) => {
                    while self.peek().is_some_and(|token| *token != Token::Sign(')')) {
                        self.at += 1;
                    }
                    self.at += 1;
                }
                _ => return first,
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_comes_out_is_right_to_the_last_figure_and_what_does_not_is_wrong() {
        for (right, wrong) in [
            ("(1148.8 kg - 1078.6 kg) / 2227.4 kg = 3.2 %", "(1148.8 kg - 1078.6 kg) / 2227.4 kg = 3.1 %"),
            ("2.5 kg pump 3 x 0.5000 = 1.3 kg", "2.5 kg pump 3 x 0.5000 = 1.4 kg"),
            ("2.5 kg pump 3 x 0.5000 = 1.2 kg", "2.5 kg pump 3 x 0.5000 = 1.1 kg"),
            ("carries 2 x 1000.0 kg x (7.000 bar / 8.500 bar)^0.80 = 1712.3 kg", "2 x 1000.0 x (7.000 / 8.500)^0.80 = 1712.4"),
            ("9.0 bar x 4.0^(1 / 2) = 18.0 bar", "9.0 bar x 4.0^1 / 2 = 18.1 bar"),
            ("belly: atan((0.45 - 0.52) / 2.1) + asin(0.52 / 2.1) = 12.43 deg", "atan(0.45) + asin(0.52) = 12.43 deg"),
            ("14.04 deg = atan(0.2500), and so on", "14.05 deg = atan(0.2500)"),
            ("L = 3.600 m = 11.81 ft, N = 2: 42000 lb = 19050.9 kg", "L = 3.600 m = 11.82 ft"),
            ("5.400 m (the chassis, told) - 4.200 m = 1.200 m", "5.400 m (the chassis) - -4.200 m = 1.200 m"),
            ("root(9.0 x 4.0) = 6.0 m/s", "root(9.0 x 4.0) = 6.1 m/s"),
            ("sin(30.00 deg) = 0.500", "sin(0.5236) = 0.500"),
        ] {
            let redone = redo(right);
            assert!(redone.contains(&Clause::Right), "{right}: {redone:?}");
            assert!(redone.iter().all(|clause| matches!(clause, Clause::Right | Clause::Prose)), "{right}: {redone:?}");
            assert!(redo(wrong).iter().any(|clause| matches!(clause, Clause::Wrong(_))), "{wrong}: {:?}", redo(wrong));
        }
    }

    #[test]
    fn words_are_prose_and_a_broken_sum_is_not_read() {
        for prose in
            ["the tape: 3.980 m", "left 2000.0 kg, right 1990.0 kg; each counts", "N = 2", "proved 9.65 deg", "5 more = 36.1 kg"]
        {
            assert!(redo(prose).iter().all(|clause| *clause == Clause::Prose), "{prose}: {:?}", redo(prose));
        }
        for broken in ["2.0 x = 4.0", "(2.0 + 2.0 = 4.0", "2.0 3.0 = 6.0", "2.0 + 2.0 = 3.0 + 1.0", "/ 2.0 = 4.0"] {
            assert!(redo(broken).iter().any(|clause| matches!(clause, Clause::Unread(_))), "{broken}: {:?}", redo(broken));
        }
    }
}
