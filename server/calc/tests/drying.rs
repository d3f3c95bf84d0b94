//! Drying against published tables and rules, and what holds for every run.
use calc::drying::constant_mass::check_balance;
use calc::drying::{ConstantMass, Drying, DryingCurve, Salt, Standard, StepDown};

fn days(count: u32) -> Vec<f64> {
    (0..count).map(|day| f64::from(day) * 24.0).collect()
}

fn salt(name: &str) -> &'static Salt {
    Salt::named(name).unwrap_or_else(|| panic!("{name}"))
}

/// Greenspan 1977, J. Res. NBS 81A:89–96, the polynomials behind his table, as transcribed in two public calibration
/// programs (seen). Both print the linear terms of lithium chloride and potassium carbonate with a sign under which the
/// polynomial misses the paper's own table; taken with the other sign.
#[test]
fn set_points_are_those_of_the_published_polynomials() {
    let polynomials = [
        ("lithium chloride", [11.2323, 0.008_242_45, -0.214_890e-3, 0.0]),
        ("magnesium chloride", [33.6686, -0.007_973_97, -0.108_988e-2, 0.0]),
        ("potassium carbonate", [43.1315, 0.001_475_23, 0.0, 0.0]),
        ("sodium chloride", [75.5164, 0.039_832_1, -0.265_459e-2, 0.2848e-4]),
        ("potassium chloride", [88.6190, -0.193_340, 0.899_706e-3, 0.0]),
        ("potassium nitrate", [96.3361, 0.011_237_1, -0.484_514e-2, 0.0]),
        ("potassium sulfate", [98.7792, -0.059_050_2, 0.0, 0.0]),
    ];
    for (name, [a, b, c, d]) in polynomials {
        let range = salt(name).temperature();
        for t in (0..=400).map(|tenth| f64::from(tenth) / 10.0).filter(|t| *t <= range.high) {
            let wanted = a + t * (b + t * (c + t * d));
            let found = salt(name).rh_pct(t).expect("a humidity");
            assert!((found - wanted).abs() < 0.05, "{name} at {t} °C: {found} %, not {wanted}");
        }
    }
}

/// Wexler, Constant humidity solutions, CRC Handbook of Chemistry and Physics, column for 25 °C, generally accurate to
/// ±2 % (seen).
#[test]
fn set_points_at_25_degrees_are_those_of_the_handbook() {
    let handbook = [
        ("lithium chloride", 11.0),
        ("magnesium chloride", 33.0),
        ("magnesium nitrate", 53.0),
        ("sodium chloride", 75.0),
        ("potassium chloride", 84.0),
        ("potassium nitrate", 92.0),
        ("potassium sulfate", 97.0),
    ];
    for (name, wanted) in handbook {
        let found = salt(name).rh_pct(25.0).expect("a humidity");
        assert!((found - wanted).abs() <= 2.0, "{name}: {found} %, not {wanted}");
    }
}

#[test]
fn a_temperature_beyond_the_table_of_a_salt_is_refused() {
    assert!(salt("potassium carbonate").rh_pct(35.0).is_err());
    assert!(salt("sodium chloride").rh_pct(-1.0).is_err());
    assert!(salt("sodium chloride").rh_pct(f64::NAN).is_err());
    assert!(Salt::named("table salt").is_none());
}

/// EN 13755:2008 (seen): successive weighings at least 24 h apart, difference at most 0.1 % of the mass.
#[test]
fn two_weighings_take_a_change_of_exactly_the_limit_and_three_do_not() {
    let masses = [1000.0, 999.0, 998.001];
    let two = ConstantMass::of(&days(3), &masses, &Standard::EN_13755, None).expect("judged");
    assert_eq!(two.reached_at_h, Some(24.0), "{two:?}");
    let three = ConstantMass::of(&days(3), &masses, &Standard::EN_ISO_12570, None).expect("judged");
    assert_eq!(three.reached_at_h, None, "{three:?}");
}

#[test]
fn decimal_masses_and_hours_are_taken_as_they_are_written() {
    for first in [100.0, 182.4, 333.3, 512.7, 90.1] {
        for (start, end) in [(9.1, 33.1), (0.3, 24.3), (17.7, 41.7)] {
            let judged = |standard| ConstantMass::of(&[start, end], &[first, first * 0.999], standard, None);
            let two = judged(&Standard::EN_13755).expect("judged");
            assert!(two.holds, "{first} g, {start} to {end} h: {two:?}");
        }
    }
}

#[test]
fn weighings_within_a_day_prove_nothing_however_alike() {
    let hours = [0.0, 6.0, 12.0, 18.0, 23.9];
    let judged = ConstantMass::of(&hours, &[100.0; 5], &Standard::EN_13755, None).expect("judged");
    assert_eq!((judged.reached_at_h, judged.change_pct), (None, vec![None; 5]));
}

#[test]
fn three_weighings_are_a_day_apart_each_even_where_more_were_taken() {
    let hours: Vec<f64> = (0..5).map(|n| f64::from(n) * 12.0).collect();
    let masses = [100.0, 99.0, 99.0, 98.99, 98.98];
    let judged = ConstantMass::of(&hours, &masses, &Standard::EN_ISO_12570, None).expect("judged");
    // at 48 h the row is 48, 24 and 0 h, and from 0 to 24 h a gram was lost
    assert_eq!(judged.reached_at_h, None);
}

#[test]
fn a_find_that_takes_up_water_again_is_no_longer_constant() {
    let masses = [100.0, 99.99, 99.98, 101.0];
    let judged = ConstantMass::of(&days(4), &masses, &Standard::EN_ISO_12570, Some(0.01)).expect("judged");
    assert_eq!((judged.reached_at_h, judged.holds), (Some(48.0), false));
    assert!(judged.loss_g < 0.0);
}

#[test]
fn the_fewer_weighings_are_met_no_later_than_the_more() {
    for rate in [0.01, 0.02, 0.05, 0.2] {
        let masses: Vec<f64> = days(40).iter().map(|hour| 480.0 + 32.0 * (-rate * hour).exp()).collect();
        let reached = |standard: &Standard| {
            ConstantMass::of(&days(40), &masses, standard, Some(0.01)).expect("judged").reached_at_h
        };
        let (two, three) = (reached(&Standard::EN_1936), reached(&Standard::EN_ISO_12570));
        assert_eq!(three, two.map(|hour| hour + 24.0), "{rate}");
    }
}

#[test]
fn every_standard_is_found_by_its_key() {
    for standard in Standard::ALL {
        assert_eq!(Standard::named(standard.key), Some(&standard));
    }
    assert_eq!(Standard::usual_for(Drying::CeramicOrStone).weighings, 2);
    assert_eq!(Standard::usual_for(Drying::MetalOrOrganic).weighings, 3);
}

#[test]
fn a_balance_reads_to_a_fiftieth_of_a_per_cent_or_proves_nothing() {
    assert!(check_balance(0.02, 100.0).is_ok());
    assert!(check_balance(0.021, 100.0).is_err());
    for (resolution, mass) in [(0.0, 100.0), (-0.01, 100.0), (f64::NAN, 100.0), (0.01, 0.0)] {
        assert!(check_balance(resolution, mass).is_err(), "{resolution} {mass}");
    }
}

#[test]
fn the_curve_of_a_pure_fall_is_found_again_and_its_end_is_where_a_day_loses_a_thousandth() {
    for (level, step, rate) in
        [(480.0, 32.0, 0.02), (80.0, 10.0, 0.05), (172.8, 9.6, 0.06), (5000.0, 900.0, 0.004)]
    {
        let hours = days(12);
        let masses: Vec<f64> = hours.iter().map(|hour| level + step * f64::exp(-rate * hour)).collect();
        let curve = DryingCurve::through(&hours, &masses).expect("a curve");
        assert!((curve.final_g / level - 1.0).abs() < 1e-6, "{curve:?}");
        assert!((curve.start_g / (level + step) - 1.0).abs() < 1e-6, "{curve:?}");
        assert!((curve.rate_per_h / rate - 1.0).abs() < 1e-5, "{curve:?}");
        assert!(curve.residual_sd_g < 1e-6 * level, "{curve:?}");
        let daily = |hour: f64| 1.0 - curve.mass_g(hour + 24.0) / curve.mass_g(hour);
        assert!((daily(curve.constant_at_h) - 0.001).abs() < 1e-9, "{curve:?}");
    }
}

#[test]
fn the_curve_may_leave_out_the_first_weighings() {
    let hours = days(10);
    let masses: Vec<f64> =
        hours
            .iter()
            .map(|hour| {
                if *hour < 72.0 { 560.0 - 0.5 * hour } else { 480.0 + 44.0 * f64::exp(-0.02 * (hour - 72.0)) }
            })
            .collect();
    let all = DryingCurve::through(&hours, &masses).expect("a curve");
    let late = DryingCurve::through_from(&hours, &masses, 4).expect("a curve");
    assert!(late.residual_sd_g < 1e-6 && all.residual_sd_g > 0.1, "{all:?} {late:?}");
    assert_eq!((late.first_h, late.weighings), (72.0, 7));
    assert!((late.final_g - 480.0).abs() < 1e-6);
}

#[test]
fn what_is_no_drying_is_refused_with_a_sentence() {
    let refused = |masses: &[f64]| {
        let hours = days(u32::try_from(masses.len()).expect("few"));
        DryingCurve::through(&hours, masses).expect_err("refused").to_string()
    };
    assert_eq!(refused(&[100.0, 95.0, 93.0]), "The curve needs at least 4 weighings; there are 3.");
    assert_eq!(refused(&[90.0, 95.0, 97.5, 98.75, 99.4]), "The mass does not fall: this is no drying.");
    for masses in [&[100.0, 99.0, 98.0, 97.0, 96.0][..], &[100.0; 5], &[100.0, 0.0, 93.0, 92.0]] {
        assert!(refused(masses).ends_with('.'), "{masses:?}");
    }
    assert!(DryingCurve::through(&[0.0, 24.0, 24.0, 48.0], &[100.0, 95.0, 93.0, 92.0]).is_err());
    assert!(DryingCurve::through(&[0.0, 24.0, 48.0], &[100.0, 95.0, 93.0, 92.0]).is_err());
    assert!(ConstantMass::of(&[], &[], &Standard::EN_13755, None).is_err());
}

#[test]
fn no_answer_is_without_a_finite_number() {
    let mut seed = 1_u64;
    let mut chance = || {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 11) as f64 / (1_u64 << 53) as f64
    };
    let mut drawn = 0;
    for round in 0..300 {
        let (level, step) = (10f64.powf(chance() * 6.0 - 2.0), 10f64.powf(chance() * 6.0 - 4.0));
        let (rate, noise) = (10f64.powf(chance() * 4.0 - 3.0), chance() * 0.02 * step);
        let hours = days(4 + round % 9);
        let masses: Vec<f64> =
            hours.iter().map(|hour| level + step * (-rate * hour).exp() + noise * (chance() - 0.5)).collect();
        let Ok(curve) = DryingCurve::through(&hours, &masses) else { continue };
        drawn += 1;
        let numbers = [
            curve.final_g,
            curve.final_se_g,
            curve.start_g,
            curve.rate_per_h,
            curve.half_time_h,
            curve.constant_at_h,
            curve.residual_sd_g,
            curve.mass_g(1e6),
        ];
        assert!(numbers.iter().all(|one| one.is_finite() && *one >= 0.0), "{curve:?}");
    }
    assert!(drawn > 50, "only {drawn} curves");
}

#[test]
fn a_schedule_falls_to_its_end_and_no_step_is_longer_than_said() {
    for (start, end, step) in
        [(95.0, 50.0, 5.0), (90.0, 52.0, 10.0), (100.0, 0.0, 0.1), (60.0, 59.9, 30.0), (0.9, 0.3, 0.2)]
    {
        let schedule = StepDown::new(start, end, step, 7.0).expect("a schedule");
        let mut before = start;
        for point in &schedule.set_points {
            assert!(point.rh_pct < before && before - point.rh_pct < step * 1.002, "{start} {end} {step}");
            before = point.rh_pct;
        }
        assert_eq!(before, end);
        assert_eq!(schedule.earliest_end_day, schedule.set_points.len() as f64 * 7.0);
    }
}

#[test]
fn a_step_is_released_by_constant_mass_not_by_the_calendar() {
    let schedule = StepDown::new(90.0, 50.0, 20.0, 7.0).expect("a schedule");
    let early = schedule.next_after(0, 6.0, true).expect_err("refused");
    assert_eq!(early.to_string(), "70 % is to be held for 7 days at least.");
    let wet = schedule.next_after(0, 30.0, false).expect_err("refused");
    assert_eq!(wet.to_string(), "The mass is not constant at 70 % yet.");
    assert_eq!(schedule.next_after(0, 7.0, true).expect("released").map(|point| point.rh_pct), Some(50.0));
    assert_eq!(schedule.next_after(1, 7.0, true), Ok(None));
    assert!(schedule.next_after(2, 7.0, true).is_err());
    for (start, end, step, hold) in
        [(50.0, 50.0, 5.0, 7.0), (50.0, 60.0, 5.0, 7.0), (60.0, 50.0, 0.0, 7.0), (60.0, 50.0, 5.0, -1.0)]
    {
        assert!(StepDown::new(start, end, step, hold).is_err(), "{start} {end} {step} {hold}");
    }
}
