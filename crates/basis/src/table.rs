//! Values looked up by a key.

use borsh::{BorshDeserialize, BorshSerialize};
use quantity::Dimension;
use serde::Deserialize;

use crate::set::LoadError;
use crate::source::Basis;

/// One cell of a table: a word, or a number in SI units of its column's dimension (plain where the column has none).
#[derive(Clone, Debug, PartialEq, BorshSerialize, BorshDeserialize)]
pub enum Cell {
    /// A word.
    Word(String),
    /// A number.
    Number(f64),
}

/// A table of one source: columns with their dimension, rows in file order.
#[derive(Clone, Debug, PartialEq, BorshSerialize, BorshDeserialize)]
pub struct Table {
    /// `trade/what-it-lists`, unique within its set.
    pub id: String,
    /// What it lists.
    pub asks: String,
    /// Column names, in order.
    pub columns: Vec<String>,
    /// Rows, each as long as `columns`.
    pub rows: Vec<Vec<Cell>>,
    /// Where the whole table comes from.
    pub basis: Basis,
}

impl Table {
    fn column(&self, name: &str) -> Option<usize> {
        self.columns.iter().position(|c| c == name)
    }

    /// The number in column `want` of the first row whose column `by` holds the word `key`.
    #[must_use]
    pub fn number(&self, by: &str, key: &str, want: &str) -> Option<f64> {
        let (by, want) = (self.column(by)?, self.column(want)?);
        let row = self.rows.iter().find(|row| matches!(row.get(by), Some(Cell::Word(word)) if word == key))?;
        match row.get(want)? {
            Cell::Number(number) => Some(*number),
            Cell::Word(_) => None,
        }
    }

    /// All words of the column `want`, with the words of column `by`, in file order.
    pub fn words<'a>(&'a self, by: &str, want: &str) -> impl Iterator<Item = (&'a str, &'a str)> + 'a {
        let at = self.column(by).zip(self.column(want));
        self.rows.iter().filter_map(move |row| {
            let (by, want) = at?;
            match (row.get(by)?, row.get(want)?) {
                (Cell::Word(key), Cell::Word(word)) => Some((key.as_str(), word.as_str())),
                _ => None,
            }
        })
    }

    /// All numbers of the column `want`, with the words of column `by`, in file order.
    pub fn pairs<'a>(&'a self, by: &str, want: &str) -> impl Iterator<Item = (&'a str, f64)> + 'a {
        let at = self.column(by).zip(self.column(want));
        self.rows.iter().filter_map(move |row| {
            let (by, want) = at?;
            match (row.get(by)?, row.get(want)?) {
                (Cell::Word(word), Cell::Number(number)) => Some((word.as_str(), *number)),
                _ => None,
            }
        })
    }
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct ColumnText {
    name: String,
    dimension: Option<Dimension>,
    #[serde(default)]
    plain: bool,
}

/// A table as its file writes it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct TableText {
    id: String,
    asks: String,
    columns: Vec<ColumnText>,
    rows: Vec<Vec<String>>,
    basis: Basis,
}

impl TableText {
    pub(crate) fn resolve(self) -> Result<Table, LoadError> {
        let wrong = |why: String| LoadError::Entry { id: self.id.clone(), why };
        if let Some(why) = self.basis.fault() {
            return Err(wrong(why.to_owned()));
        }
        let mut rows = Vec::with_capacity(self.rows.len());
        for (at, row) in self.rows.iter().enumerate() {
            if row.len() != self.columns.len() {
                return Err(wrong(format!(
                    "row {} has {} cells and there are {} columns",
                    at + 1,
                    row.len(),
                    self.columns.len()
                )));
            }
            let cells = row.iter().zip(&self.columns).map(|(text, column)| match (column.dimension, column.plain) {
                (Some(dimension), _) => {
                    quantity::parse(text, dimension).map(Cell::Number).map_err(|fault| wrong(fault.to_string()))
                }
                (None, true) => match text.parse::<f64>() {
                    Ok(number) if number.is_finite() => Ok(Cell::Number(number)),
                    _ => Err(wrong(format!("`{text}` is not a number"))),
                },
                (None, false) => Ok(Cell::Word(text.clone())),
            });
            rows.push(cells.collect::<Result<Vec<_>, _>>()?);
        }
        let columns = self.columns.into_iter().map(|c| c.name).collect();
        Ok(Table { id: self.id, asks: self.asks, columns, rows, basis: self.basis })
    }
}
