//! The bands of the table: that they hang together, and some of their published figures.
use calc::climate::{BANDS, Limits, Standing, band_named, usual_band};

fn within(inner: Limits, outer: Limits) -> bool {
    let below = outer.below_pct.is_none_or(|low| inner.below_pct.is_some_and(|one| one >= low));
    let above = outer.above_pct.is_none_or(|high| inner.above_pct.is_some_and(|one| one <= high));
    below && above
}

#[test]
fn targets_lie_within_alerts_and_alerts_within_alarms() {
    for band in BANDS {
        let target = Limits { below_pct: band.rh_min_pct, above_pct: band.rh_max_pct };
        assert!(within(target, band.alert) && within(band.alert, band.alarm), "{band:?}");
        assert!(!band.sources.is_empty(), "{}", band.material);
        let has_limits = band.alert.above_pct.is_some();
        assert!(!has_limits || !band.alert_basis.is_empty(), "{}", band.material);
        assert_eq!(band_named(band.material), Some(band));
    }
}

#[test]
fn no_material_has_two_usual_bands() {
    let all: Vec<&str> = BANDS.iter().flat_map(|band| band.usual_for).copied().collect();
    for material in &all {
        assert_eq!(all.iter().filter(|one| *one == material).count(), 1, "{material}");
    }
}

/// Unstable bronze below 39 %, critical above 46 % (Scott 1990, from memory); weathered glass 42 ± 2 % (Koob 2002,
/// seen); dried organics 45 to 55 % at 18 to 22 °C (UNESCO 2013, p. 300, seen).
#[test]
fn the_usual_bands_are_those_published() {
    let standing = |material: &str, rh| {
        usual_band(material).unwrap_or_else(|| panic!("{material}")).standing(rh).expect("a humidity")
    };
    let copper = [35.0, 37.0, 40.0, 47.0].map(|rh| standing("copper alloy", rh));
    let rising = [Standing::Within, Standing::Outside, Standing::Alert, Standing::Alarm];
    assert_eq!(copper, rising.map(Some));
    assert_eq!(standing("glass, weathered", 42.0), Some(Standing::Within));
    assert_eq!(standing("glass, weathered", 39.0), Some(Standing::Alert));
    assert_eq!(standing("glass, weathered", 36.0), Some(Standing::Alarm));
    assert_eq!(standing("human bone", 50.0), Some(Standing::Within));
    assert_eq!(standing("waterlogged wood", 50.0), None);
    assert!(usual_band("iron").expect("iron").standing(101.0).is_err());
    assert!(usual_band("cheese").is_none());
}
