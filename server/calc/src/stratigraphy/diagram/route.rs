//! From cells to px: heights of rows and bands, points of lines.
use super::phases::Phases;
use super::place::CELL;
use super::sheet::Sheet;
use super::tracks::{Bend, bends};
use super::{BAND_HEAD, BOX_HEIGHT, Band, Line};

/// Free at the left and the right, px.
const MARGIN: i32 = 24;
/// Between a box and the nearest horizontal part of a line, px.
const CLEARANCE: i32 = 12;
/// Between two horizontal parts, px.
const BETWEEN_HEIGHTS: i32 = 8;

/// Everything in px but the boxes.
pub(super) struct Routes {
    /// The cell that lies at the left margin.
    left: i32,
    pub width: i32,
    pub height: i32,
    /// For each row the top of its boxes.
    pub tops: Vec<i32>,
    pub lines: Vec<Line>,
    pub bands: Vec<Band>,
}

impl Routes {
    pub(super) fn px(&self, cell: i32) -> i32 {
        px(cell, self.left)
    }
}

fn px(cell: i32, left: i32) -> i32 {
    (cell - left) * CELL + MARGIN
}

/// Leads all lines. `rows` holds the row of each group of contexts, as `phases` their bands.
pub(super) fn route(sheet: &Sheet, rows: &[usize], phases: &Phases) -> Routes {
    let mut bend = vec![Bend::Straight; sheet.steps.len()];
    let mut edges: Vec<i32> =
        sheet.nodes.iter().flat_map(|node| [node.x - node.half, node.x + node.half]).collect();
    let mut heights = Vec::new();
    for row in &sheet.rows {
        let steps: Vec<usize> = row.iter().flat_map(|&node| sheet.nodes[node].down.iter().copied()).collect();
        let columns: Vec<(i32, i32)> = steps.iter().map(|&step| columns(sheet, step)).collect();
        let (its, count) = bends(&columns);
        for (&step, &one) in steps.iter().zip(&its) {
            bend[step] = one;
            if let Bend::Twice { column, .. } = one {
                edges.push(column);
            }
        }
        heights.push(count);
    }
    let left = edges.iter().copied().min().unwrap_or(0);
    let width = px(edges.iter().copied().max().unwrap_or(0), left) + MARGIN;
    let (tops, bands) = stack(&heights, &band_of_rows(rows, phases, heights.len()), phases);
    let height = bands.last().map_or(0, |band| band.bottom);
    let lines = lines(sheet, &bend, &tops, left);
    Routes { left, width, height, tops, lines, bands }
}

/// The columns in which a step leaves and arrives.
fn columns(sheet: &Sheet, step: usize) -> (i32, i32) {
    let step = &sheet.steps[step];
    (sheet.nodes[step.upper].x + step.leaves, sheet.nodes[step.lower].x + step.arrives)
}

fn band_of_rows(rows: &[usize], phases: &Phases, count: usize) -> Vec<usize> {
    let mut bands = vec![0; count];
    for (&row, &band) in rows.iter().zip(&phases.band) {
        bands[row] = band;
    }
    bands
}

/// The tops of rows and the bands, from the number of heights that lines need below each row.
fn stack(heights: &[usize], band_of_row: &[usize], phases: &Phases) -> (Vec<i32>, Vec<Band>) {
    let (mut tops, mut bands): (Vec<i32>, Vec<Band>) = (Vec::new(), Vec::new());
    let mut y = 0;
    for (row, (&count, &band)) in heights.iter().zip(band_of_row).enumerate() {
        if row == 0 || band_of_row[row - 1] != band {
            bands.push(Band { phase: phases.bands[band], top: y, bottom: y });
            y += BAND_HEAD;
        }
        tops.push(y);
        y += BOX_HEIGHT + 2 * CLEARANCE + (count as i32 - 1).max(0) * BETWEEN_HEIGHTS;
        if let Some(last) = bands.last_mut() {
            last.bottom = y;
        }
    }
    (tops, bands)
}

fn lines(sheet: &Sheet, bend: &[Bend], tops: &[i32], left: i32) -> Vec<Line> {
    let led = sheet.chains.iter().map(|chain| {
        let mut points: Vec<(i32, i32)> = Vec::new();
        for &step in &chain.steps {
            let (from, to) = columns(sheet, step);
            let (from, to) = (px(from, left), px(to, left));
            let row = sheet.nodes[sheet.steps[step].upper].row;
            let bottom = tops[row] + BOX_HEIGHT;
            let y = |height: usize| bottom + CLEARANCE + height as i32 * BETWEEN_HEIGHTS;
            points.push((from, bottom));
            match bend[step] {
                Bend::Straight => {}
                Bend::Once(height) => points.extend([(from, y(height)), (to, y(height))]),
                Bend::Twice { first, column, second } => {
                    let column = px(column, left);
                    points.extend([(from, y(first)), (column, y(first))]);
                    points.extend([(column, y(second)), (to, y(second))]);
                }
            }
            points.push((to, tops[row + 1]));
        }
        Line { later: chain.later, earlier: chain.earlier, points: without_needless(points) }
    });
    led.collect()
}

/// The points without those that lie straight between their neighbours.
fn without_needless(points: Vec<(i32, i32)>) -> Vec<(i32, i32)> {
    let mut kept: Vec<(i32, i32)> = Vec::new();
    for point in points {
        if let [.., before, last] = kept[..] {
            let is_upright = before.0 == last.0 && last.0 == point.0;
            if is_upright || (before.1 == last.1 && last.1 == point.1) {
                kept.pop();
            }
        }
        kept.push(point);
    }
    kept
}
