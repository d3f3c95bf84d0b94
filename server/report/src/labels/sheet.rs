//! How labels lie on their page.
use serde::{Deserialize, Serialize};

/// A page of labels, all lengths in millimetres.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Sheet {
    pub page_width_mm: f64,
    pub page_height_mm: f64,
    pub columns: usize,
    pub rows: usize,
    pub label_width_mm: f64,
    pub label_height_mm: f64,
    /// From the left and upper edge of the page to the first label.
    pub left_mm: f64,
    pub top_mm: f64,
    /// Between neighbours; 0 when one cut parts them.
    pub gap_x_mm: f64,
    pub gap_y_mm: f64,
    /// Hair lines by which a plain sheet is cut; of no use on ready-cut labels.
    pub cut_marks: bool,
    /// Labels already taken from the first page.
    pub used: usize,
}

/// Why a sheet cannot be printed, in the words of its form.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum SheetProblem {
    #[error("A sheet has at least one column and one row, and no more than {MOST} of either.")]
    Count,
    #[error("Every length is a number of millimetres, not below 0; page and label measure at least 10 mm.")]
    Length,
    #[error(
        "A label is at least {SMALLEST_WIDTH} mm wide and {SMALLEST_HEIGHT} mm high, or its code cannot be read."
    )]
    TooSmall,
    #[error("The labels reach beyond the page.")]
    BeyondPage,
    #[error("More labels are marked as used than one page holds.")]
    Used,
}

const MOST: usize = 20;
const SMALLEST_WIDTH: u32 = 45;
const SMALLEST_HEIGHT: u32 = 33;
/// Rounding in the lengths people type.
const SLACK_MM: f64 = 0.01;

impl Default for Sheet {
    /// 3 × 8 labels of 66 × 35 mm on A4, to be cut; the margins keep clear of what printers cannot reach (common
    /// practice, no source).
    fn default() -> Self {
        Self {
            page_width_mm: 210.0,
            page_height_mm: 297.0,
            columns: 3,
            rows: 8,
            label_width_mm: 66.0,
            label_height_mm: 35.0,
            left_mm: 6.0,
            top_mm: 8.5,
            gap_x_mm: 0.0,
            gap_y_mm: 0.0,
            cut_marks: true,
            used: 0,
        }
    }
}

impl Sheet {
    /// Labels on one page.
    pub fn labels(&self) -> usize {
        self.columns * self.rows
    }

    /// Whether the labels fit the page and can be read.
    ///
    /// # Errors
    /// The first [`SheetProblem`] found.
    pub fn check(&self) -> Result<(), SheetProblem> {
        if !(1..=MOST).contains(&self.columns) || !(1..=MOST).contains(&self.rows) {
            return Err(SheetProblem::Count);
        }
        let sizes = [self.page_width_mm, self.page_height_mm, self.label_width_mm, self.label_height_mm];
        let distances = [self.left_mm, self.top_mm, self.gap_x_mm, self.gap_y_mm];
        let sound = |length: &f64, least: f64| length.is_finite() && (least..=2_000.0).contains(length);
        if !sizes.iter().all(|size| sound(size, 10.0))
            || !distances.iter().all(|distance| sound(distance, 0.0))
        {
            return Err(SheetProblem::Length);
        }
        if self.label_width_mm < f64::from(SMALLEST_WIDTH)
            || self.label_height_mm < f64::from(SMALLEST_HEIGHT)
        {
            return Err(SheetProblem::TooSmall);
        }
        let reach = |start: f64, count: usize, size: f64, gap: f64| start + count as f64 * (size + gap) - gap;
        let right = reach(self.left_mm, self.columns, self.label_width_mm, self.gap_x_mm);
        let bottom = reach(self.top_mm, self.rows, self.label_height_mm, self.gap_y_mm);
        if right > self.page_width_mm + SLACK_MM || bottom > self.page_height_mm + SLACK_MM {
            return Err(SheetProblem::BeyondPage);
        }
        if self.used >= self.labels() { Err(SheetProblem::Used) } else { Ok(()) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sheet_that_cannot_be_printed_says_why() {
        let sheet = Sheet::default();
        assert_eq!(sheet.check(), Ok(()));
        assert_eq!(Sheet { columns: 4, ..sheet.clone() }.check(), Err(SheetProblem::BeyondPage));
        assert_eq!(Sheet { rows: 0, ..sheet.clone() }.check(), Err(SheetProblem::Count));
        assert_eq!(Sheet { left_mm: f64::NAN, ..sheet.clone() }.check(), Err(SheetProblem::Length));
        assert_eq!(Sheet { label_height_mm: 20.0, ..sheet.clone() }.check(), Err(SheetProblem::TooSmall));
        assert_eq!(Sheet { used: 24, ..sheet }.check(), Err(SheetProblem::Used));
    }
}
