//! Desalination against published values, and what holds for every run.
use calc::desalination::{Bath, EndRule, Release, SaltLoad, Slab, conductivity, normalised, sqrt_time_line};

/// Release from a plane sheet as computed by a public library of transport phenomena after Crank 1975, p. 48 (seen):
/// half a thickness of 0.2 mm.
#[test]
fn release_from_a_wall_is_that_of_a_reference_library() {
    for (diffusion, time, wanted) in
        [(1e-10, 100.0, 0.562_233_541_762_138), (1e-11, 500.0, 0.398_927_989_884_568)]
    {
        let found = Slab::new(diffusion, 0.2e-3).expect("a wall").released(time).expect("a share");
        assert!((found - wanted).abs() < 1e-6, "{found}, not {wanted}");
    }
}

/// Crank 1975, The Mathematics of Diffusion, section 10.6: half is out at D t/(2l)² = 0.04919 (from memory).
#[test]
fn half_the_salt_is_out_at_the_published_time() {
    let (diffusion, half): (f64, f64) = (3e-10, 0.005);
    let time = Slab::new(diffusion, half).expect("a wall").time_until_s(0.5).expect("a time");
    assert!((diffusion * time / (2.0 * half).powi(2) - 0.049_19).abs() < 2e-5);
}

/// Conductivity of sodium chloride at 298 K, a school problem with measured values (seen): 0.001 mol/L 1.237·10⁻² S/m,
/// 0.010 mol/L 11.85·10⁻² S/m.
#[test]
fn conductivity_of_known_solutions_gives_their_concentration() {
    for (us_cm, mol_l) in [(123.7, 0.001), (1185.0, 0.010)] {
        let found = SaltLoad::of(us_cm, 25.0).expect("a load").nacl_mol_l;
        assert!((found / mol_l - 1.0).abs() < 0.006, "{found} mol/L, not {mol_l}");
    }
}

#[test]
fn more_conductivity_is_more_salt_and_none_is_none() {
    let loads: Vec<f64> =
        (0..=200).map(|n| SaltLoad::of(f64::from(n) * 10.0, 25.0).expect("a load").nacl_mg_l).collect();
    assert!(loads.windows(2).all(|pair| pair[1] > pair[0]) && loads[0] < 1e-9, "{loads:?}");
    // chloride is the lesser part of the mass of the salt: 35.45 of 58.44
    let load = SaltLoad::of(700.0, 18.0).expect("a load");
    assert!((load.chloride_mg_l / load.nacl_mg_l - 35.453 / 58.443).abs() < 1e-12);
}

#[test]
fn a_reading_has_one_conductivity_at_25_degrees_whatever_it_was_read_at() {
    for t in [0.0, 10.0, 18.0, 25.0, 40.0] {
        let read = 400.0 * (1.0 + 0.02 * (t - 25.0));
        assert!((conductivity::at_25_us_cm(read, t).expect("corrected") - 400.0).abs() < 1e-9);
    }
}

#[test]
fn both_series_of_the_wall_meet_and_the_release_only_grows() {
    let wall = Slab::new(1e-10, 1e-3).expect("a wall");
    let shares: Vec<f64> = (0..4000).map(|n| wall.released(f64::from(n) * 25.0).expect("a share")).collect();
    assert!(shares.is_sorted() && shares[0] == 0.0 && shares.iter().all(|share| *share <= 1.0));
    assert!(shares.windows(2).all(|pair| pair[1] - pair[0] < 0.06));
    let before = wall.released(499.999_9).expect("a share");
    let after = wall.released(500.000_1).expect("a share");
    assert!((after - before).abs() < 1e-6, "{before} {after}");
    for fraction in [0.001, 0.1, 0.5, 0.9, 0.999] {
        let time = wall.time_until_s(fraction).expect("a time");
        assert!((wall.released(time).expect("a share") - fraction).abs() < 1e-9);
    }
}

fn bath(day: f64, end_mg_l: f64) -> Bath {
    Bath { day, volume_l: 2.0, supply_mg_l: 0.5, end_mg_l }
}

#[test]
fn what_is_carried_over_is_not_counted_twice() {
    // a find that gives nothing more: the second bath holds only what was carried over
    let carried = (0.5 * 1.9 + 60.0 * 0.1) / 2.0;
    let release = Release::of(&[bath(1.0, 60.0), bath(2.0, carried)], 100.0, 0.1).expect("a release");
    assert!((release.cumulative_mg[1] - release.cumulative_mg[0]).abs() < 1e-9, "{release:?}");
    assert!(release.last_share_pct.expect("a share").abs() < 1e-9);
}

#[test]
fn halving_every_bath_and_doubling_its_concentration_is_the_same_release() {
    let full = [bath(1.0, 60.0), bath(2.0, 25.0), bath(3.0, 11.0)];
    let half = full.map(|one| Bath {
        volume_l: one.volume_l / 2.0,
        supply_mg_l: one.supply_mg_l * 2.0,
        end_mg_l: one.end_mg_l * 2.0,
        ..one
    });
    let (full, half) = (Release::of(&full, 100.0, 0.0), Release::of(&half, 100.0, 0.0));
    assert_eq!(full, half);
}

#[test]
fn a_run_that_released_nothing_has_no_last_share() {
    let nothing = Release::of(&[bath(1.0, 0.5), bath(2.0, 0.5)], 100.0, 0.0).expect("a release");
    assert_eq!((nothing.per_g_mg, nothing.last_share_pct), (0.0, None));
}

#[test]
fn runs_of_one_kind_compare_whatever_bath_and_find() {
    let one = normalised(204.0, 4.0, 2.5, 850.0).expect("normalised");
    let other = normalised(104.0, 4.0, 5.0, 850.0).expect("normalised");
    let third = normalised(404.0, 4.0, 2.5, 1700.0).expect("normalised");
    assert!((one - other).abs() < 1e-9 && (one - third).abs() < 1e-9);
    assert!(normalised(3.0, 4.0, 2.5, 850.0).expect("normalised") < 0.0);
}

#[test]
fn a_later_rise_takes_the_end_point_back() {
    let rule = EndRule::new(30.0, 2).expect("a rule");
    let end = rule.judge(&[90.0, 30.0, 30.0, 31.0, 12.0]).expect("judged");
    assert_eq!((end.bath, end.is_reached(), end.holds(), end.missing), (Some(3), true, false, 1));
    let short = rule.judge(&[12.0]).expect("judged");
    assert_eq!((short.bath, short.missing), (None, 1));
    assert!(rule.judge(&[f64::NAN]).is_err() && rule.judge(&[]).is_err());
}

#[test]
fn impossible_baths_are_refused_with_a_sentence() {
    let refused = |baths: &[Bath], mass, carried| Release::of(baths, mass, carried).expect_err("refused");
    assert_eq!(refused(&[], 100.0, 0.0).to_string(), "There is no bath.");
    assert_eq!(refused(&[bath(1.0, 60.0)], 0.0, 0.0).field(), "object_mass_g");
    assert_eq!(
        refused(&[bath(1.0, 60.0)], 100.0, 2.0).to_string(),
        "The carry-over, 2 L, has to be less than each bath."
    );
    assert_eq!(refused(&[bath(2.0, 60.0), bath(2.0, 30.0)], 100.0, 0.0).field(), "day_end");
    assert_eq!(
        refused(&[bath(1.0, 60.0), bath(2.0, -1.0)], 100.0, 0.0).to_string(),
        "The concentration in entry 2 is -1 mg/L; it has to lie between 0 and 400000 mg/L."
    );
    let empty = Bath { volume_l: -2.0, ..bath(1.0, 60.0) };
    assert_eq!(refused(&[empty], 100.0, 0.0).field(), "volume_l");
    for (us_cm, t) in [(-5.0, 20.0), (2500.0, 25.0), (1800.0, 5.0), (f64::NAN, 20.0), (100.0, 60.0)] {
        assert!(SaltLoad::of(us_cm, t).is_err(), "{us_cm} µS/cm at {t} °C");
    }
    assert!(sqrt_time_line(&[1.0, 4.0], &[60.0, 120.0]).is_err());
    assert!(sqrt_time_line(&[1.0, 4.0, 9.0], &[60.0, 120.0]).is_err());
    assert!(sqrt_time_line(&[1.0, 4.0, -9.0], &[60.0, 120.0, 150.0]).is_err());
    assert!(EndRule::new(-1.0, 2).is_err() && EndRule::new(10.0, 0).is_err());
    assert!(Slab::new(0.0, 0.004).is_err() && Slab::new(2e-10, 0.0).is_err());
}

#[test]
fn no_answer_is_without_a_finite_number() {
    for diffusion in [1e-16, 1e-6] {
        for half in [1e-6, 10.0] {
            let wall = Slab::new(diffusion, half).expect("a wall");
            for time in [0.0, 1.0, 1e12] {
                let share = wall.released(time).expect("a share");
                assert!(
                    (0.0..=1.0).contains(&share) && wall.released_early(time).expect("a share").is_finite()
                );
            }
            assert!(wall.time_until_s(0.999).expect("a time").is_finite());
        }
    }
    let ends =
        [0.001, 1e5].map(|volume_l| Bath { day: volume_l, volume_l, supply_mg_l: 400_000.0, end_mg_l: 0.0 });
    let release = Release::of(&ends, 0.001, 0.0).expect("a release");
    assert!(release.per_g_mg.is_finite() && release.last_share_pct.is_none());
    assert!(normalised(200_000.0, 0.0, 1e5, 0.001).expect("normalised").is_finite());
    let line = sqrt_time_line(&[0.0, 1e-9, 1e5], &[1e12, 0.0, 1e12]).expect("a line");
    assert!(line.slope.is_finite() && line.intercept.is_finite());
}
