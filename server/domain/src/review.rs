//! Opinions and their settlement. Opinions are never edited: a revision is a new version.

crate::text_enum! {
    /// How far an author stands behind an opinion.
    Finality, "finality" {
        Preliminary = "preliminary", "preliminary";
        Final = "final", "final";
    }
}

crate::text_enum! {
    /// What the author had before the eyes.
    SeenAs, "way of seeing" {
        Object = "object", "the object";
        Image = "image", "images";
        Both = "both", "the object and images";
        Xray = "xray", "X-rays";
    }
}

crate::text_enum! {
    /// What the editor made of the opinions.
    Outcome, "outcome" {
        Agreed = "agreed", "agreed";
        Majority = "majority", "majority";
        Unresolved = "unresolved", "unresolved";
    }
}

crate::text_enum! {
    /// Where one opinion stands to a settlement; dissent is kept.
    Stance, "stance" {
        Adopted = "adopted", "adopted";
        Dissent = "dissent", "dissent";
    }
}

/// A range of astronomical years (0 is 1 BC), either end open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Years {
    pub lo: Option<i64>,
    pub hi: Option<i64>,
}

impl Years {
    /// What two ranges share, if anything.
    pub fn overlap(self, other: Years) -> Option<Years> {
        let lo = self.lo.max(other.lo);
        let hi = match (self.hi, other.hi) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        };
        match (lo, hi) {
            (Some(lo), Some(hi)) if lo > hi => None,
            _ => Some(Years { lo, hi }),
        }
    }
}

/// What all the ranges share; `None` when some pair shares nothing or there is no range.
///
/// ```
/// use domain::review::{Years, shared};
/// let years = |lo, hi| Years { lo: Some(lo), hi: Some(hi) };
/// assert_eq!(shared(&[years(1368, 1467), years(1417, 1461)]), Some(years(1417, 1461)));
/// assert_eq!(shared(&[years(70, 130), years(270, 273)]), None);
/// ```
pub fn shared(ranges: &[Years]) -> Option<Years> {
    let (first, rest) = ranges.split_first()?;
    rest.iter().try_fold(*first, |so_far, range| so_far.overlap(*range))
}
