//! One set of ring diameters against the moulds of a list: a ranking, with near ties said to be ties.
use super::said;
use crate::figure::{Figure, figures, fixed};
use calc::rings::{ENOUGH, Finding, Mould, RING_MATCH, Ranking, Rings, rank};
use domain::rings::NewMould;
use store::rings::RingSet;

/// Moulds shown; the rest fit worse still.
const MOST: usize = 20;

/// What may be said of one set, display-ready.
pub(crate) struct Compared {
    /// The finding in a sentence.
    pub sentence: String,
    pub rows: Vec<Row>,
    /// Moulds that fit worse and are not shown.
    pub more: usize,
    /// Moulds with another number of rings.
    pub excluded: String,
    pub caution: &'static str,
    pub figure: Figure,
}

/// A mould ranked.
pub(crate) struct Row {
    pub name: String,
    pub rings: String,
    pub weight: String,
    pub scale: String,
    pub misfit: String,
    pub probability: String,
    /// Not to be told apart from the first.
    pub tied: bool,
}

/// Compares a set with a list; a sentence where it cannot be done.
pub(crate) fn of(set: &RingSet, list: &str, moulds: &[NewMould]) -> Result<Compared, String> {
    let moulds: Vec<Mould> = moulds
        .iter()
        .map(|mould| Mould { name: mould.name.clone(), rings_mm: mould.rings_mm.clone() })
        .collect();
    let rings = Rings {
        observed_mm: set.rings_mm(),
        u_mm: set.u_mm,
        scale_mean: set.scale_mean,
        scale_sd: set.scale_sd,
    };
    let ranking = rank(&rings, &moulds).map_err(|cause| cause.to_string())?;
    let row = |(at, one): (usize, &calc::rings::Match)| Row {
        name: moulds[one.mould].name.clone(),
        rings: said(&moulds[one.mould].rings_mm),
        weight: percent(one.weight),
        scale: fixed(one.scale, 3),
        misfit: fixed(one.misfit, 2),
        probability: small(one.misfit_probability),
        tied: ranking.tied > 1 && at < ranking.tied,
    };
    let excluded: Vec<&str> = ranking.excluded.iter().map(|&at| moulds[at].name.as_str()).collect();
    let sentence = sentence(&ranking, &moulds);
    let inputs = vec![
        ("Measured", said(&rings.observed_mm)),
        ("Uncertainty of each", format!("{} mm", figures(rings.u_mm, 3))),
        ("Scale expected", format!("{} ± {}", figures(rings.scale_mean, 4), figures(rings.scale_sd, 3))),
        ("List", format!("{list}, {} moulds", moulds.len())),
    ];
    Ok(Compared {
        rows: ranking.ranked.iter().enumerate().take(MOST).map(row).collect(),
        more: ranking.ranked.len().saturating_sub(MOST),
        excluded: excluded.join(", "),
        caution: RING_MATCH.caution,
        figure: Figure::of("Comparison of rings", ranking.finding.words().to_owned(), &RING_MATCH, inputs),
        sentence,
    })
}

fn sentence(ranking: &Ranking, moulds: &[Mould]) -> String {
    let named: Vec<&str> =
        ranking.ranked.iter().take(ranking.tied).map(|one| moulds[one.mould].name.as_str()).collect();
    let together: f64 = ranking.ranked.iter().take(ranking.tied).map(|one| one.weight).sum();
    match ranking.finding {
        Finding::NoneComparable => "No listed mould has as many rings.".to_owned(),
        Finding::NoneFits => {
            "No listed mould fits: even the nearest departs more than measuring explains.".to_owned()
        }
        Finding::CannotSeparate => {
            let (last, first) = named.split_last().unwrap_or((&"", &[]));
            format!("These diameters cannot separate {} and {last}: a tie.", first.join(", "))
        }
        Finding::StandsOut => format!(
            "{} stands out among the moulds listed, with {} of the weight; {} is asked for.",
            named.join(", "),
            percent(together),
            percent(ENOUGH),
        ),
    }
}

fn percent(share: f64) -> String {
    match share * 100.0 {
        tiny if tiny < 0.1 => "below 0.1 %".to_owned(),
        // never a whole that is not one
        nearly if share < 1.0 && nearly >= 99.95 => "above 99.9 %".to_owned(),
        percent => format!("{} %", fixed(percent, 1)),
    }
}

fn small(probability: f64) -> String {
    if probability < 0.001 { "below 0.001".to_owned() } else { figures(probability, 2) }
}
