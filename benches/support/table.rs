//! Plain tables with their columns in line, and figures with their units.

/// Rows under a heading; the first column is words, the others figures.
pub struct Table {
    rows: Vec<Vec<String>>,
}

impl Table {
    /// A table with its heads.
    pub fn new(heads: &[&str]) -> Self {
        let heads = heads.iter().map(|head| (*head).to_owned()).collect();
        Self { rows: vec![heads] }
    }

    /// Adds a row.
    pub fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        self.rows.push(cells.into_iter().collect());
    }

    /// Prints it under a title.
    pub fn print(&self, title: &str) {
        let columns = self.rows.iter().map(Vec::len).max().unwrap_or(0);
        let letters = |cell: Option<&String>| cell.map_or(0, |cell| cell.chars().count());
        let widths: Vec<usize> = (0..columns)
            .map(|at| self.rows.iter().map(|row| letters(row.get(at))).max())
            .map(|most| most.unwrap_or(0))
            .collect();
        println!("{title}");
        for row in &self.rows {
            let mut line = String::from("  ");
            for (at, (cell, width)) in row.iter().zip(&widths).enumerate() {
                let gap = " ".repeat(width - cell.chars().count());
                if at == 0 {
                    line.push_str(&format!("{cell}{gap}"));
                } else {
                    line.push_str(&format!("  {gap}{cell}"));
                }
            }
            println!("{}", line.trim_end());
        }
        println!();
    }
}

/// A time in the unit that suits it.
pub fn seconds(time: f64) -> String {
    match time {
        _ if !time.is_finite() => "-".to_owned(),
        t if t >= 1.0 => format!("{t:.2} s"),
        t if t >= 1e-3 => format!("{:.2} ms", t * 1e3),
        t if t >= 1e-6 => format!("{:.2} µs", t * 1e6),
        t => format!("{:.1} ns", t * 1e9),
    }
}

/// `met` or `missed`, where a figure must not be more than a goal.
pub fn at_most(figure: f64, goal: f64) -> String {
    if figure <= goal { "met" } else { "missed" }.to_owned()
}

/// `met` or `missed`, where a figure must not be less than a goal.
pub fn at_least(figure: f64, goal: f64) -> String {
    if figure >= goal { "met" } else { "missed" }.to_owned()
}
