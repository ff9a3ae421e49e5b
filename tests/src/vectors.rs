//! Reads the tables of outside values in `cases/vectors`.

use std::collections::BTreeMap;

/// One row of a table: its numbers by the name of their column, and its source.
#[derive(Debug, Clone)]
pub struct Row {
    numbers: BTreeMap<String, f64>,
    /// What the row was made with.
    pub source: String,
}

impl Row {
    /// The number in a column.
    #[must_use]
    pub fn x(&self, column: &str) -> f64 {
        *self
            .numbers
            .get(column)
            .unwrap_or_else(|| panic!("no column {column}"))
    }
}

/// The rows of a table.
#[must_use]
pub fn table(name: &str) -> Vec<Row> {
    let path = crate::cases_dir().join("vectors").join(name);
    let text =
        std::fs::read_to_string(&path).unwrap_or_else(|why| panic!("{}: {why}", path.display()));
    let mut lines = text.lines();
    let columns: Vec<&str> = lines.next().unwrap_or_default().split(',').collect();
    let rows: Vec<Row> = lines
        .map(|line| {
            let mut row = Row {
                numbers: BTreeMap::new(),
                source: String::new(),
            };
            // The source comes last and may hold commas.
            for (column, cell) in columns.iter().zip(line.splitn(columns.len(), ',')) {
                if *column == "source" {
                    cell.clone_into(&mut row.source);
                } else {
                    let number = cell
                        .parse()
                        .unwrap_or_else(|_| panic!("{name}: {cell} in {column}"));
                    row.numbers.insert((*column).to_owned(), number);
                }
            }
            assert!(!row.source.is_empty(), "{name}: a row without a source");
            row
        })
        .collect();
    assert!(rows.len() >= 5, "{name} has only {} rows", rows.len());
    rows
}
