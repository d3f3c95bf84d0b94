//! The row of each group of contexts: below all that is later, within the band of its phase.
use super::phases::Phases;

/// For each group its row, counted from the top of the sheet.
pub(super) fn rows(below: &[Vec<usize>], phases: &Phases) -> Vec<usize> {
    let band = &phases.band;
    let count = below.len();
    let (mut above, mut rank) = (vec![0_usize; count], vec![0_usize; count]);
    for n in 0..count {
        for &other in &below[n] {
            above[other] += 1;
            if band[other] == band[n] {
                rank[other] = rank[other].max(rank[n] + 1);
            }
        }
    }
    let mut heights = vec![1_usize; phases.bands.len()];
    for n in 0..count {
        heights[band[n]] = heights[band[n]].max(rank[n] + 1);
    }
    // what has more lines below than above goes down as far as it can: shorter lines
    for n in (0..count).rev() {
        if below[n].len() > above[n] {
            let near = below[n].iter().filter(|&&other| band[other] == band[n]);
            let last = near.map(|&other| rank[other] - 1).min();
            rank[n] = rank[n].max(last.unwrap_or(heights[band[n]] - 1));
        }
    }
    for (which, height) in heights.iter_mut().enumerate() {
        let within = (0..count).filter(|&n| band[n] == which);
        let (alone, others): (Vec<usize>, Vec<usize>) =
            within.partition(|&n| below[n].is_empty() && above[n] == 0);
        *height = spread(&alone, &others, &mut rank, *height);
    }
    let mut next = 0;
    let mut starts = Vec::new();
    for height in heights {
        starts.push(next);
        next += height;
    }
    (0..count).map(|n| starts[band[n]] + rank[n]).collect()
}

/// Gives contexts without any line the emptiest rows of their band, and rows of their own once all are full; returns the
/// number of rows. A sheet of nothing else grows about twice as many boxes wide as high.
fn spread(alone: &[usize], others: &[usize], rank: &mut [usize], height: usize) -> usize {
    let mut filled = vec![0_usize; height];
    others.iter().for_each(|&n| filled[rank[n]] += 1);
    let widest = filled.iter().copied().max().unwrap_or(0).max((2 * alone.len()).isqrt());
    for &n in alone {
        let emptiest = (0..filled.len()).min_by_key(|&row| filled[row]).filter(|&row| filled[row] < widest);
        let row = emptiest.unwrap_or_else(|| {
            filled.push(0);
            filled.len() - 1
        });
        filled[row] += 1;
        rank[n] = row;
    }
    filled.len()
}
