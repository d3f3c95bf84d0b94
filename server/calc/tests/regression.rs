//! Lines and curves of least squares against certified and published values.
use calc::regression::{Exponential, Line, Saturation};

fn close(found: f64, wanted: f64, share: f64) -> bool {
    (found / wanted - 1.0).abs() <= share
}

/// NIST Statistical Reference Datasets, nonlinear regression, Misra1a (seen): certified values and standard deviations.
#[test]
fn the_certified_curve_of_misra1a_is_reproduced() {
    let x = [77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0];
    let y =
        [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78];
    let curve = Saturation::through("x", &x.into_iter().zip(y).collect::<Vec<_>>()).expect("a curve");
    assert!(close(curve.top, 2.389_421_291_8e2, 1e-6), "{curve:?}");
    assert!(close(curve.rate, 5.501_564_318_1e-4, 1e-6), "{curve:?}");
    assert!(close(curve.top_se, 2.707_007_524_1, 1e-4), "{curve:?}");
    assert!(close(curve.rate_se, 7.266_868_843_6e-6, 1e-4), "{curve:?}");
    assert!(close(curve.residual_sd, 1.018_787_633_0e-1, 1e-6), "{curve:?}");
}

/// NIST Statistical Reference Datasets, nonlinear regression, BoxBOD, "higher level of difficulty" (seen).
#[test]
fn the_certified_curve_of_boxbod_is_reproduced() {
    let points = [(1.0, 109.0), (2.0, 149.0), (3.0, 149.0), (5.0, 191.0), (7.0, 213.0), (10.0, 224.0)];
    let curve = Saturation::through("x", &points).expect("a curve");
    assert!(close(curve.top, 2.138_094_088_9e2, 1e-6), "{curve:?}");
    assert!(close(curve.rate, 5.472_374_854_2e-1, 1e-6), "{curve:?}");
    assert!(close(curve.top_se, 1.235_451_517_6e1, 1e-4), "{curve:?}");
    assert!(close(curve.rate_se, 1.045_599_323_7e-1, 1e-4), "{curve:?}");
    assert!(close(curve.residual_sd, 1.708_807_242_3e1, 1e-6), "{curve:?}");
}

/// Anscombe 1973, American Statistician 27:17–21, first data set: slope 0.500 with standard error 0.118, intercept
/// 3.00, r² 0.667; Student's t for 9 degrees of freedom 2.262 (both from memory).
#[test]
fn the_published_line_is_drawn() {
    let x = [10.0, 8.0, 13.0, 9.0, 11.0, 14.0, 6.0, 4.0, 12.0, 7.0, 5.0];
    let y = [8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68];
    let line = Line::through("x", &x.into_iter().zip(y).collect::<Vec<_>>()).expect("a line");
    assert!((line.slope - 0.500).abs() < 5e-4 && (line.intercept - 3.00).abs() < 5e-3, "{line:?}");
    assert!((line.slope_se - 0.118).abs() < 5e-4 && (line.r2 - 0.667).abs() < 1e-3, "{line:?}");
    assert!((line.slope_margin_95() / line.slope_se - 2.262).abs() < 5e-4);
}

#[test]
fn a_curve_without_scatter_is_found_again() {
    for rate in [0.002, 0.02, 0.2] {
        for level in [-3.0, 0.5, 480.0] {
            for step in [-4.0, 0.3, 50.0] {
                let points: Vec<(f64, f64)> = (3..12)
                    .map(|n| f64::from(n) * 12.0)
                    .map(|x| (x, level + step * (-rate * x).exp()))
                    .collect();
                let Ok(curve) = Exponential::through("x", &points) else {
                    assert!(rate > 0.1, "{rate} {level} {step}");
                    continue;
                };
                assert!(close(curve.rate, rate, 1e-5), "{rate} {level} {step}: {curve:?}");
                assert!((curve.level - level).abs() < 1e-5, "{rate} {level} {step}: {curve:?}");
                assert!((curve.at(60.0) - level - step * (-rate * 60.0).exp()).abs() < 1e-6);
            }
        }
    }
}

#[test]
fn what_shows_no_rate_is_refused() {
    let straight: Vec<(f64, f64)> = (0..8).map(f64::from).map(|x| (x, 100.0 - x)).collect();
    let level: Vec<(f64, f64)> = (0..8).map(f64::from).map(|x| (x, 100.0)).collect();
    let at_once: Vec<(f64, f64)> =
        (0..8).map(f64::from).map(|x| (x, if x == 0.0 { 100.0 } else { 90.0 })).collect();
    for points in [&straight, &level, &at_once] {
        let refused = Exponential::through("mass_g", points).expect_err("refused");
        assert_eq!(refused.field(), "mass_g", "{points:?}");
    }
    assert!(Exponential::through("mass_g", &straight[..3]).is_err());
    assert!(Line::through("t_h", &[(1.0, 2.0), (1.0, 3.0), (1.0, 4.0)]).is_err());
    assert!(Line::through("t_h", &[(1.0, 2.0), (2.0, 3.0)]).is_err());
}
