//! Tables that acts are drawn from, as they stand on paper: a curve in two rows, along the ruler and out from it, short ones side
//! by side; points in columns side by side.

use super::set::{Block, Words};
use crate::lesson::Table;

/// The first column of a curve's rows, as a share of the width, and each of the others.
const CURVE: (f64, f64) = (0.16, 0.064);
/// So many places of a curve stand in one row, and so many where two curves stand side by side.
const PLACES: usize = 13;
const HALF: usize = 6;
/// The shares of half a row.
const HALVES: (f64, f64) = (0.122, 0.063);
/// Points stand in so many columns, each with its name and two figures.
const POINTS: usize = 3;
/// The shares of such a column.
const POINT: [f64; 3] = [0.177, 0.075, 0.081];

/// A row and the shares of its cells.
type Row = (Vec<String>, Vec<f64>);

/// Tables in blocks.
pub(super) fn set<'a>(tables: &[Table]) -> Vec<Block<'a>> {
    let mut blocks = Vec::new();
    let mut tables = tables.iter().peekable();
    let is_short = |table: &Table| table.head.len() == 2 && table.rows.len() <= HALF;
    while let Some(table) = tables.next() {
        if table.head.len() != 2 {
            blocks.extend(in_columns(table));
            continue;
        }
        match tables.next_if(|next| is_short(table) && is_short(next)) {
            Some(next) => blocks.push(side_by_side(table, next)),
            None => blocks.push(across(table)),
        }
    }
    blocks
}

/// What stands in a column of some rows, behind what stands over it.
fn column(table: &Table, at: usize, rows: &[Vec<String>]) -> Vec<String> {
    let head = table.head.get(at).cloned().unwrap_or_default();
    let cells = rows
        .iter()
        .map(|row| row.get(at).cloned().unwrap_or_default());
    std::iter::once(head).chain(cells).collect()
}

/// A curve laid across: a row for each column of the table.
fn across<'a>(table: &Table) -> Block<'a> {
    let mut rows: Vec<Row> = vec![(vec![table.title.clone()], vec![1.0])];
    for part in table.rows.chunks(PLACES) {
        let mut shares = vec![CURVE.0];
        shares.extend(part.iter().map(|_| CURVE.1));
        rows.extend([0, 1].map(|at| (column(table, at, part), shares.clone())));
    }
    Block::Kept(rows)
}

/// Two short curves, one at the left and one at the right.
fn side_by_side<'a>(left: &Table, right: &Table) -> Block<'a> {
    let mut rows: Vec<Row> = vec![(
        vec![left.title.clone(), right.title.clone()],
        vec![0.5, 0.5],
    )];
    let mut shares = vec![HALVES.0];
    shares.extend([HALVES.1; HALF]);
    let shares = [shares.as_slice(), shares.as_slice()].concat();
    for at in [0, 1] {
        let mut cells = column(left, at, &left.rows);
        cells.resize(HALF + 1, String::new());
        cells.extend(column(right, at, &right.rows));
        rows.push((cells, shares.clone()));
    }
    Block::Kept(rows)
}

/// Points in columns, the first column filled first.
fn in_columns<'a>(table: &Table) -> Vec<Block<'a>> {
    let count = table.rows.len().max(1);
    let high = count.div_ceil(POINTS);
    let columns = count.div_ceil(high);
    let head: Vec<String> = (0..columns).flat_map(|_| table.head.clone()).collect();
    let rows = (0..high).map(|down| {
        let cells = (0..columns).flat_map(|column| {
            let row = table.rows.get(column * high + down).cloned();
            row.unwrap_or_else(|| vec![String::new(); table.head.len()])
        });
        cells.collect()
    });
    let shares = (0..columns).flat_map(|_| POINT).collect();
    let title = Block::Words(Words {
        words: table.title.clone(),
        with_next: true,
        ..Words::default()
    });
    vec![
        Block::Below,
        title,
        Block::Close(std::iter::once(head).chain(rows).collect(), shares),
    ]
}
