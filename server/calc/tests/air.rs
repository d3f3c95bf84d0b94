//! Moist air against tables of others, and what holds for all of it.
use calc::air::{
    self, Air, BoxMove, Enclosure, Phase, STANDARD_PRESSURE_PA, Surface, moving, saturation_pressure_pa,
};

fn air(t_c: f64, rh_pct: f64) -> Air {
    Air::new(t_c, rh_pct).unwrap_or_else(|error| panic!("{t_c} °C, {rh_pct} %: {error}"))
}

/// Temperatures and humidities all over what is accepted.
fn everywhere() -> impl Iterator<Item = Air> {
    let humidities = [0.1, 1.0, 15.0, 42.0, 50.0, 75.5, 99.9, 100.0];
    (-40..=60).flat_map(move |t| humidities.map(|rh| air(f64::from(t), rh)))
}

/// Lide (ed.) 2005, CRC Handbook of Chemistry and Physics, 85th ed., vapour pressure of water, as quoted in an
/// encyclopaedia (seen); at 0.01 °C Hardy 1998, ITS-90 formulations, 611.657 Pa (seen likewise).
#[test]
fn saturation_pressure_over_water_is_that_of_the_handbook() {
    let table = [
        (0.01, 611.657),
        (5.0, 872.6),
        (10.0, 1228.1),
        (15.0, 1705.6),
        (20.0, 2338.8),
        (25.0, 3169.0),
        (30.0, 4245.5),
        (35.0, 5626.7),
        (40.0, 7381.4),
        (45.0, 9589.8),
        (50.0, 12_344.0),
        (60.0, 19_932.0),
        (80.0, 47_373.0),
        (100.0, 101_320.0),
    ];
    for (t_c, wanted) in table {
        let (found, phase) = saturation_pressure_pa(t_c).expect("within range");
        // above the air of rooms the scale of temperature of 1983 departs from today's
        let share = if t_c <= 60.0 { 6e-4 } else { 1.2e-3 };
        assert!((found / wanted - 1.0).abs() < share, "{t_c} °C: {found} Pa, not {wanted}");
        assert_eq!(phase, Phase::Water);
    }
}

/// Murphy & Koop 2005, Q. J. R. Meteorol. Soc. 131:1539, equation 7 for ice, an independent formulation (from memory).
#[test]
fn saturation_pressure_over_ice_agrees_with_another_formulation() {
    for t_c in [-80.0, -60.0, -40.0, -20.0, -10.0, -5.0, -0.5, 0.0] {
        let t: f64 = t_c + 273.15;
        let wanted = (9.550_426 - 5_723.265 / t + 3.530_68 * t.ln() - 0.007_283_32 * t).exp();
        let (found, phase) = saturation_pressure_pa(t_c).expect("within range");
        assert!((found / wanted - 1.0).abs() < 2e-3, "{t_c} °C: {found} Pa, not {wanted}");
        assert_eq!(phase, Phase::Ice);
    }
}

/// Pressure of the standard atmosphere, ASHRAE Handbook Fundamentals, chapter 1 table 1 (from memory).
#[test]
fn pressure_falls_with_height_as_in_the_table_of_the_standard_atmosphere() {
    for (altitude, wanted) in [(-500.0, 107_478.0), (0.0, 101_325.0), (500.0, 95_461.0), (2000.0, 79_495.0)] {
        let found = air::pressure_at_altitude_pa(altitude).expect("within range");
        assert!((found - wanted).abs() < 10.0, "{altitude} m: {found} Pa, not {wanted}");
    }
}

#[test]
fn air_at_its_dew_point_is_saturated() {
    for one in everywhere() {
        let dew = one.dew_point().expect("a dew point");
        assert!(dew.t_c <= one.t_c() + 1e-9, "{one:?}: {dew:?}");
        let (pressure, _) = saturation_pressure_pa(dew.t_c).expect("within range");
        // between the two formulas, at the triple point, lies a step of some millionths
        assert!((pressure / one.vapour_pressure_pa() - 1.0).abs() < 1e-4, "{one:?}: {dew:?}");
    }
}

#[test]
fn saturation_pressure_rises_with_temperature() {
    let pressures: Vec<f64> = (-1000..=2000)
        .map(|t| saturation_pressure_pa(f64::from(t) / 10.0).expect("within range").0)
        .collect();
    assert!(pressures.windows(2).all(|pair| pair[1] > pair[0]));
}

#[test]
fn enclosed_air_brought_back_has_its_humidity_again() {
    for one in everywhere() {
        for enclosure in Enclosure::ALL {
            let warm = moving::brought_to(one, 60.0, enclosure).expect("warmed");
            let humidity = warm.rh_pct.max(0.1);
            if warm.rh_pct < 0.1 || warm.is_saturated {
                continue;
            }
            let back = moving::brought_to(air(60.0, humidity), one.t_c(), enclosure).expect("cooled");
            assert!((back.rh_pct - one.rh_pct()).abs() < 1e-6, "{one:?}, {enclosure:?}: {back:?}");
        }
    }
}

#[test]
fn water_let_go_and_water_kept_are_the_water_there_was() {
    let before = air(22.0, 60.0);
    let after = moving::brought_to(before, 8.0, Enclosure::RigidSealed).expect("cooled");
    assert!(after.is_saturated);
    let kept = air(8.0, 100.0).absolute_humidity_g_m3();
    assert!((kept + after.condensate_g_m3 - before.absolute_humidity_g_m3()).abs() < 1e-9);
}

#[test]
fn a_find_is_clear_from_the_temperature_named_and_not_before() {
    let room = air(20.0, 50.0);
    let wait = moving::condensation(5.0, room).expect("an answer").clear_from_c;
    let state = |t| moving::condensation(t, room).expect("an answer").state;
    assert_eq!(state(wait), Surface::Clear);
    assert_eq!(state(wait - 0.001), Surface::Caution);
    assert_eq!(state(wait - 3.0), Surface::Condensation);
}

#[test]
fn a_warm_box_taken_to_a_cold_store_is_wet_inside_when_kept_shut() {
    let moved = BoxMove::new(air(22.0, 60.0), air(8.0, 70.0)).expect("an answer");
    assert_eq!(moved.opened_at_once.state, Surface::Clear);
    assert!(moved.kept_shut.is_saturated);
}

#[test]
fn no_answer_is_without_a_finite_number() {
    for one in everywhere() {
        let ratio = one.humidity_ratio_g_kg(STANDARD_PRESSURE_PA).expect("an answer");
        let mut numbers = vec![ratio, one.absolute_humidity_g_m3(), one.vapour_pressure_pa()];
        for t in [-40.0, 0.0, 0.01, 60.0] {
            let met = moving::condensation(t, one).expect("an answer");
            let change = moving::brought_to(one, t, Enclosure::RigidSealed).expect("an answer");
            numbers.extend([met.surface_rh_pct, met.clear_from_c, change.rh_pct, change.condensate_g_m3]);
        }
        assert!(numbers.iter().all(|number| number.is_finite()), "{one:?}: {numbers:?}");
    }
}

#[test]
fn impossible_air_is_refused_with_a_sentence() {
    let refused = Air::new(20.0, 105.0).expect_err("refused");
    assert_eq!(refused.to_string(), "The relative humidity is 105 %; it has to lie between 0.1 and 100 %.");
    assert_eq!(refused.field(), "rh_pct");
    for (t, rh) in [(f64::NAN, 50.0), (20.0, f64::NAN), (f64::INFINITY, 50.0), (20.0, 0.0), (20.0, -1.0)] {
        assert!(Air::new(t, rh).is_err(), "{t} °C, {rh} %");
    }
    assert!(saturation_pressure_pa(-150.0).is_err());
    assert!(air(20.0, 50.0).humidity_ratio_g_kg(1000.0).is_err());
}
