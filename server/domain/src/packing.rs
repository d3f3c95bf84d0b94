//! Boxes as they were sealed: the climate aimed at, how long the gel lasts, how they are lifted.
use calc::CalcError;
use calc::climate::{Band, band_named, usual_band};
use calc::sorbent::{Course, PackedBox, Sorbent, SorbentNeed, UntilLimit};
use chrono::NaiveDate;

/// Limits at or below this, % relative humidity, are kept by drying the air: what needs water suffers there.
pub const DESICCATED_PCT: f64 = 35.0;

/// Groups that never go into a desiccated box: hydrated glass cracks, organic finds shrink and split.
const NEEDS_WATER: &[&str] = &[
    "glass",
    "worked_bone",
    "wood_leather",
    "textile",
    "cremated_bone",
    "inhumed_bone",
    "animal_bone",
    "amber_jet_shale",
];

/// Why they do not, with its source.
pub const NO_DESICCANT: &str = "Weathered glass, bone, leather, wood, textile, amber and jet never go into a desiccated box: pack them apart (derived \
     from Heritage Materials 2006, glass chapter, and the UNESCO manual 2013, p. 300).";

/// A box as it is sealed. What was not measured stays empty, and nothing is computed from it.
#[derive(Debug, Clone, PartialEq)]
pub struct Sealing {
    pub sealed_on: NaiveDate,
    pub done_by: String,
    pub container: String,
    pub materials: String,
    /// Name of a band of the table of climates; empty where no climate is aimed at.
    pub band: String,
    pub volume_l: Option<f64>,
    pub air_per_day: Option<f64>,
    /// Assumed, or measured and how well.
    pub air_words: String,
    pub sorbent: String,
    pub sorbent_g: Option<f64>,
    /// g per kg and %.
    pub reservoir: Option<f64>,
    pub reservoir_words: String,
    /// Relative humidity, %, in the box when it is sealed, and around it.
    pub start_pct: Option<f64>,
    pub outside_pct: Option<f64>,
    pub t_c: Option<f64>,
    pub gross_kg: Option<f64>,
    pub next_check_on: Option<NaiveDate>,
}

impl Sealing {
    /// The band aimed at.
    pub fn band(&self) -> Option<&'static Band> {
        band_named(&self.band)
    }

    /// The edge of the band, %, towards which the air outside draws the box.
    pub fn limit_pct(&self) -> Option<f64> {
        let band = self.band()?;
        match (self.start_pct, self.outside_pct) {
            (Some(start), Some(outside)) if outside < start => band.rh_min_pct,
            _ => band.rh_max_pct,
        }
    }

    /// The box with its leak, where volume, air exchange and temperature are known.
    ///
    /// # Errors
    /// What the computation refuses.
    pub fn packed_box(&self) -> Option<Result<PackedBox, CalcError>> {
        Some(PackedBox::new(self.volume_l? / 1000.0, self.air_per_day?, self.t_c?))
    }

    /// From the humidity packed in to the edge of the band.
    ///
    /// # Errors
    /// What the computation refuses.
    pub fn course(&self) -> Option<Result<Course, CalcError>> {
        Some(Course::new(self.start_pct?, self.outside_pct?, self.limit_pct()?))
    }

    /// The gel in it; none where its mass or its reservoir is not known.
    ///
    /// # Errors
    /// What the computation refuses.
    pub fn gel(&self) -> Option<Result<Sorbent, CalcError>> {
        Some(Sorbent::new(self.sorbent_g? / 1000.0, self.reservoir?))
    }

    /// How long the gel keeps the box within its band; none where something needed for it is not known.
    ///
    /// # Errors
    /// What the computation refuses.
    pub fn until_limit(&self) -> Option<Result<UntilLimit, CalcError>> {
        let (packed, gel, course) = (self.packed_box()?, self.gel()?, self.course()?);
        Some(packed.and_then(|packed| Ok(packed.days_until(gel?, course?))))
    }

    /// The day on which the gel is exhausted, if there is one.
    pub fn exhausted_on(&self) -> Option<NaiveDate> {
        let days = self.until_limit()?.ok()?.days()?;
        let whole = chrono::Days::new(days.clamp(0.0, 36_500.0).floor() as u64);
        self.sealed_on.checked_add_days(whole)
    }

    /// The gel that would keep it for so many days.
    ///
    /// # Errors
    /// What the computation refuses.
    pub fn needed_for(&self, days: f64) -> Option<Result<SorbentNeed, CalcError>> {
        let (packed, course, reservoir) = (self.packed_box()?, self.course()?, self.reservoir?);
        Some(packed.and_then(|packed| packed.sorbent_needed(course?, days, reservoir)))
    }
}

/// The usual band of a material group.
pub fn usual_of(group: &str) -> Option<&'static Band> {
    let registered = match group {
        "copper_alloy" | "coin" => "copper alloy",
        "silver_gold" => "silver",
        "worked_bone" | "cremated_bone" | "inhumed_bone" | "animal_bone" => "worked bone",
        "plaster_cbm" => "ceramic",
        "wood_leather" => "leather",
        "composite" => return band_named("composite or laminated object"),
        other => other,
    };
    usual_band(registered)
}

/// Whether a band is kept by drying the air.
pub fn is_desiccated(band: &Band) -> bool {
    band.rh_min_pct.is_none() && band.rh_max_pct.is_some_and(|most| most <= DESICCATED_PCT)
}

/// Whether a group must not lie in a desiccated box.
pub fn needs_water(group: &str) -> bool {
    NEEDS_WATER.contains(&group)
}

/// A band in words: “at or below 12 % RH”, “40 to 44 % RH, 18 to 22 °C”.
pub fn band_words(band: &Band) -> String {
    let range = |low: Option<f64>, high: Option<f64>, unit: &str| match (low, high) {
        (Some(low), Some(high)) if low == high => Some(format!("{low} {unit}")),
        (Some(low), Some(high)) => Some(format!("{low} to {high} {unit}")),
        (None, Some(high)) => Some(format!("at or below {high} {unit}")),
        (Some(low), None) => Some(format!("at or above {low} {unit}")),
        (None, None) => None,
    };
    if band.is_kept_wet {
        return "kept wet".into();
    }
    let parts = [range(band.rh_min_pct, band.rh_max_pct, "% RH"), range(band.t_min_c, band.t_max_c, "°C")];
    let words = parts.into_iter().flatten().collect::<Vec<_>>().join(", ");
    if words.is_empty() { "steady".into() } else { words }
}

/// Where [`handling`] comes from.
pub const HANDLING_SOURCE: &str = "UK filter for lifting, guideline figures and no legal limits (HSE, risk filter; values citing L23 and INDG143, from \
     memory). Local rules and the lab’s own assessment come first.";

/// How a box of that gross mass, kg, is lifted; none where it passes the filter at any height.
pub fn handling(gross_kg: f64) -> Option<&'static str> {
    match gross_kg {
        mass if mass > 25.0 => {
            Some("Never lift alone: two people or a hoist, the way planned and cleared before.")
        }
        mass if mass > 16.0 => Some(
            "Two people or a trolley; alone only close to the body at waist height, and not by everybody.",
        ),
        mass if mass > 7.0 => {
            Some("Close to the body, at waist height; not above the shoulder, not from the floor.")
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finds::material::GROUPS;

    #[test]
    fn every_group_but_the_unknown_and_what_stays_at_the_lead_s_choice_has_its_usual_band() {
        let without: Vec<&str> =
            GROUPS.iter().map(|group| group.code).filter(|code| usual_of(code).is_none()).collect();
        assert_eq!(without, ["amber_jet_shale", "unknown"]);
    }

    /// The filter values of the trade notes: 25/16 kg close to the body at the waist, falling to 10/7 high or low.
    #[test]
    fn a_heavier_box_is_lifted_with_more_care() {
        let words: Vec<Option<&str>> = [7.0, 7.1, 16.0, 16.1, 25.0, 25.1].map(handling).to_vec();
        assert!(words[0].is_none() && words[1].is_some() && words[1] == words[2]);
        assert!(words[3] == words[4] && words[3] != words[2] && words[5] != words[4]);
    }

    #[test]
    fn metals_are_kept_by_drying_and_glass_is_not() {
        let dried = |group| usual_of(group).is_some_and(is_desiccated);
        assert!(dried("iron") && dried("copper_alloy") && !dried("glass") && !dried("ceramic"));
        assert_eq!(usual_of("iron").map(band_words).as_deref(), Some("at or below 12 % RH, 15 to 24 °C"));
    }
}
