//! Sorbent in a box against published rules and the water balance itself, and what holds for every box.
use calc::air::saturation_density_g_m3;
use calc::sorbent::{
    AirExchange, Course, Isotherm, PackedBox, Reservoir, Sorbent, UntilLimit, half_time,
    isotherm::ORDINARY_GEL,
};

fn packed(volume_m3: f64, changes: f64, t_c: f64) -> PackedBox {
    PackedBox::new(volume_m3, changes, t_c).expect("a box")
}

/// The water balance of the box in short steps: what the air exchange brings is shared by air and sorbent.
fn balance(
    volume: f64,
    changes: f64,
    outside: f64,
    days: f64,
    buffer: impl Fn(f64) -> f64,
) -> impl Fn(f64) -> f64 {
    let air = volume * saturation_density_g_m3(20.0).expect("a density") / 100.0;
    move |start| {
        let steps = 200_000;
        let step = days / f64::from(steps);
        (0..steps).fold(start, |rh, _| {
            let brought = air * changes * (outside - rh) * step;
            rh + brought / (air + buffer(rh))
        })
    }
}

/// Thomson 1977, Studies in Conservation 22:85–102: half-time 4 M B days (from memory).
#[test]
fn the_published_rule_of_the_half_time_follows_from_the_balance() {
    for (reservoir, density) in [(2.0, 20.0), (4.0, 10.0), (1.5, 30.0)] {
        let half = half_time(reservoir, density).expect("a half-time");
        assert!((half.by_rule_days - 4.0 * reservoir * density).abs() < 1e-9);
        assert!((half.exact_days / half.by_rule_days - 1.0).abs() < 0.003, "{half:?}");
        let gel = Sorbent::new(density * 0.1, reservoir).expect("gel");
        let drift = packed(0.1, 1.0, 20.0).after(gel, 60.0, 40.0, half.exact_days).expect("a drift");
        assert!((drift.rh_pct - 50.0).abs() < 0.1, "{drift:?}");
    }
}

#[test]
fn the_drift_is_that_of_the_water_balance_in_short_steps() {
    for (mass, reservoir, changes, start, outside, days) in [
        (0.5, 2.0, 1.0, 50.0, 30.0, 60.0),
        (0.0, 2.0, 1.0, 50.0, 30.0, 1.0),
        (0.3, 1.5, 0.4, 10.0, 60.0, 90.0),
    ] {
        let wanted = balance(0.05, changes, outside, days, |_| mass * reservoir)(start);
        let gel = Sorbent::new(mass, reservoir).expect("gel");
        let found = packed(0.05, changes, 20.0).after(gel, start, outside, days).expect("a drift").rh_pct;
        assert!((found - wanted).abs() < 1e-3, "{found} %, not {wanted}");
    }
}

#[test]
fn a_curved_isotherm_gives_what_the_water_balance_gives() {
    let curve = Isotherm::new(&ORDINARY_GEL).expect("a curve");
    let slope = |rh: f64| if rh < 50.0 { (288.0 - 134.0) / 26.0 } else { (330.0 - 288.0) / 15.0 };
    for (start, outside) in [(40.0, 75.0), (60.0, 30.0), (50.0, 20.0), (50.0, 90.0)] {
        let wanted = balance(0.05, 1.0, outside, 90.0, |rh| 0.2 * slope(rh))(start);
        let series = packed(0.05, 1.0, 20.0)
            .series((0.2, &Reservoir::Isotherm(curve.clone())), start, 24.0 * 30.0, &[outside; 3])
            .expect("a series");
        assert!((series.rh_pct[2] - wanted).abs() < 2e-3, "{start} to {outside}: {series:?}, not {wanted}");
    }
}

#[test]
fn many_short_steps_end_where_one_long_step_ends() {
    let reservoirs =
        [Reservoir::Constant(2.0), Reservoir::Isotherm(Isotherm::new(&ORDINARY_GEL).expect("a curve"))];
    for reservoir in reservoirs {
        let one = packed(0.05, 1.0, 20.0).series((0.1, &reservoir), 30.0, 2400.0, &[80.0]).expect("one");
        let many = packed(0.05, 1.0, 20.0).series((0.1, &reservoir), 30.0, 24.0, &[80.0; 100]).expect("many");
        assert!((one.rh_pct[0] - many.rh_pct[99]).abs() < 1e-9);
        assert!(many.rh_pct.is_sorted());
    }
}

#[test]
fn the_mass_for_so_many_days_lasts_so_many_days() {
    for (start, outside, limit) in [(50.0, 30.0, 45.0), (10.0, 60.0, 15.0), (40.0, 75.0, 44.0)] {
        for days in [30.0, 365.0, 3650.0] {
            let course = Course::new(start, outside, limit).expect("a course");
            let need = packed(0.012, 0.3, 20.0).sorbent_needed(course, days, 2.0).expect("a mass");
            assert!(need.is_needed && need.linear_kg > need.exponential_kg, "{need:?}");
            let gel = Sorbent::new(need.exponential_kg, 2.0).expect("gel");
            let found = packed(0.012, 0.3, 20.0).days_until(gel, course).days().expect("days");
            assert!((found / days - 1.0).abs() < 1e-9, "{found} days, not {days}");
            let drift = packed(0.012, 0.3, 20.0).after(gel, start, outside, days).expect("a drift");
            assert!((drift.rh_pct - limit).abs() < 1e-9);
        }
    }
}

#[test]
fn each_side_of_the_limit_has_its_name() {
    let until = |start, outside, limit| {
        let course = Course::new(start, outside, limit).expect("a course");
        packed(0.05, 1.0, 20.0).days_until(Sorbent::new(0.5, 2.0).expect("gel"), course)
    };
    assert!(matches!(until(10.0, 60.0, 15.0), UntilLimit::Days(_)));
    for (start, outside, limit) in
        [(50.0, 45.0, 40.0), (50.0, 45.0, 45.0), (10.0, 15.0, 15.0), (20.0, 20.0, 40.0)]
    {
        assert_eq!(until(start, outside, limit), UntilLimit::NeverReached, "{start} {outside} {limit}");
    }
    for (start, outside, limit) in [(20.0, 60.0, 15.0), (50.0, 30.0, 55.0), (15.0, 60.0, 15.0)] {
        assert_eq!(until(start, outside, limit), UntilLimit::AlreadyBeyond, "{start} {outside} {limit}");
        assert_eq!(until(start, outside, limit).days(), Some(0.0));
    }
}

#[test]
fn air_that_does_without_needs_no_sorbent() {
    let course = Course::new(50.0, 30.0, 40.0).expect("a course");
    let need = packed(0.05, 0.01, 20.0).sorbent_needed(course, 1.0, 2.0).expect("a mass");
    assert!(!need.is_needed && need.exponential_kg == 0.0, "{need:?}");
}

#[test]
fn the_exchange_of_a_pure_decay_is_found_and_a_ragged_one_is_doubtful() {
    for wanted in [0.05, 0.4, 1.0, 12.0] {
        let times: Vec<f64> = (0..9).map(|n| f64::from(n) * 6.0 / wanted).collect();
        let concentrations: Vec<f64> =
            times.iter().map(|hours| 420.0 + 4600.0 * (-wanted * hours / 24.0).exp()).collect();
        let found = AirExchange::from_decay(&times, &concentrations, 420.0).expect("an exchange");
        assert!((found.per_day / wanted - 1.0).abs() < 1e-9 && !found.is_doubtful(), "{found:?}");
    }
    let ragged = AirExchange::from_decay(&[0.0, 6.0, 12.0, 18.0], &[900.0, 1000.0, 700.0, 800.0], 420.0);
    assert!(ragged.expect("an exchange").is_doubtful());
}

#[test]
fn no_answer_is_without_a_finite_number() {
    let ends = |low: f64, high: f64| [low, (low + high) / 2.0, high];
    for volume in ends(1e-6, 1e3) {
        for changes in ends(1e-4, 1e3) {
            for mass in ends(0.0, 1e3) {
                for (start, outside, limit) in
                    [(0.0, 100.0, 0.1), (100.0, 0.0, 1e-9), (50.0, 50.0, 50.0), (0.0, 100.0, 99.999_999)]
                {
                    let (case, gel) =
                        (packed(volume, changes, -40.0), Sorbent::new(mass, 100.0).expect("gel"));
                    let course = Course::new(start, outside, limit).expect("a course");
                    let drift = case.after(gel, start, outside, 36_500.0).expect("a drift");
                    let mut numbers = vec![drift.tau_days, drift.half_time_days, drift.rh_pct];
                    numbers.extend(case.days_until(gel, course).days());
                    if let Ok(need) = case.sorbent_needed(course, 36_500.0, 0.01) {
                        numbers.extend([need.linear_kg, need.exponential_kg, need.linear_kg_m3]);
                    }
                    assert!(numbers.iter().all(|one| one.is_finite() && *one >= 0.0), "{numbers:?}");
                }
            }
        }
    }
}

#[test]
fn impossible_boxes_are_refused_with_a_sentence() {
    assert_eq!(PackedBox::new(0.0, 0.4, 20.0).expect_err("refused").field(), "V_m3");
    assert_eq!(PackedBox::new(0.05, 0.0, 20.0).expect_err("refused").field(), "N_per_day");
    assert_eq!(Sorbent::new(-1.0, 2.0).expect_err("refused").field(), "m_kg");
    assert_eq!(Sorbent::new(1.0, 0.0).expect_err("refused").field(), "M_g_per_kg_pct");
    let beside = Course::new(50.0, 50.0, 45.0).expect("a course");
    let refused = packed(0.05, 1.0, 20.0).sorbent_needed(beside, 90.0, 2.0).expect_err("refused");
    assert_eq!(
        refused.to_string(),
        "The limit, 45 %, has to lie between the humidity at the start, 50 %, and that outside, 50 %."
    );
    let near = Course::new(50.0, 30.0, 49.99).expect("a course");
    assert!(packed(0.05, 1.0, 20.0).sorbent_needed(near, 90.0, 2.0).is_err());
    for (times, concentrations) in [
        (vec![0.0, 1.0, 2.0], vec![3000.0, 2000.0, 400.0]),
        (vec![0.0, 1.0], vec![3000.0, 2000.0]),
        (vec![0.0, 2.0, 1.0], vec![3000.0, 2000.0, 1000.0]),
        (vec![0.0, 1.0, 2.0], vec![1000.0, 2000.0, 3000.0]),
        (vec![0.0, 1.0, 2.0], vec![3000.0, 2000.0]),
        (vec![], vec![]),
    ] {
        assert!(AirExchange::from_decay(&times, &concentrations, 420.0).is_err(), "{times:?}");
    }
    for points in [&[(24.0, 134.0)][..], &[(24.0, 134.0), (24.0, 140.0)], &[(24.0, 134.0), (50.0, 134.0)]] {
        assert!(Isotherm::new(points).is_err(), "{points:?}");
    }
    let case = packed(0.05, 1.0, 20.0);
    assert!(case.series((0.1, &Reservoir::Constant(2.0)), 30.0, 24.0, &[]).is_err());
    assert!(case.series((0.1, &Reservoir::Constant(2.0)), 30.0, 0.0, &[50.0]).is_err());
}
