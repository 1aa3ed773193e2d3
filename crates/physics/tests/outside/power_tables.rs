//! Reads the tables of `tests/data/power`; their README says where they come from.

use std::collections::BTreeMap;

/// One row: its cells by column.
pub(crate) struct Row(BTreeMap<String, String>);

impl Row {
    /// A cell as text.
    pub(crate) fn text(&self, column: &str) -> &str {
        self.0.get(column).unwrap_or_else(|| panic!("no column {column}"))
    }

    /// A cell as a number.
    pub(crate) fn number(&self, column: &str) -> f64 {
        self.text(column).parse().unwrap_or_else(|_| panic!("{column}: {} is no number", self.text(column)))
    }

    /// A cell that holds JSON.
    pub(crate) fn json<T: serde::de::DeserializeOwned>(&self, column: &str) -> T {
        serde_json::from_str(&self.text(column).replace("True", "true")).unwrap_or_else(|why| panic!("{column}: {why}"))
    }
}

fn cells(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    for c in line.trim_end().chars() {
        match c {
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(String::new()),
            other => cells.last_mut().expect("there is one").push(other),
        }
    }
    cells
}

/// All rows of a table; never none.
pub(crate) fn rows(text: &str) -> Vec<Row> {
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    let columns = cells(lines.next().expect("a line of columns"));
    let rows: Vec<Row> = lines
        .map(|line| {
            let cells = cells(line);
            assert_eq!(cells.len(), columns.len(), "{line}");
            Row(columns.iter().cloned().zip(cells).collect())
        })
        .collect();
    assert!(!rows.is_empty());
    rows
}

macro_rules! power_table {
    ($name:literal) => {
        crate::power_tables::rows(include_str!(concat!("../data/power/", $name, ".csv")))
    };
}
pub(crate) use power_table;
