//! Rings and moulds: the density against another way to it, and what is said of ties.
use calc::rings::{Finding, Mould, Rings, rank};
use chance::Chance;
use nalgebra::{DMatrix, DVector};

mod chance;

fn mould(name: &str, rings_mm: &[f64]) -> Mould {
    Mould { name: name.to_owned(), rings_mm: rings_mm.to_vec() }
}

fn rings(observed_mm: &[f64]) -> Rings {
    Rings { observed_mm: observed_mm.to_vec(), u_mm: 0.3, scale_mean: 1.0, scale_sd: 0.02 }
}

/// Density of N(s₀m, u²I + σ²mmᵀ) by Cholesky decomposition of the whole matrix with a general library.
#[test]
fn log_likelihood_agrees_with_the_full_covariance_matrix() {
    let mut chance = Chance::new(7);
    for _ in 0..200 {
        let count = 1 + chance.below(7);
        let mut draw = |upto: usize| 1.0 + chance.below(upto) as f64 / 10.0;
        let (mut listed, mut observed) = (Vec::new(), Vec::new());
        for _ in 0..count {
            listed.push(listed.last().unwrap_or(&5.0) + draw(100));
            observed.push(observed.last().unwrap_or(&5.0) + draw(100));
        }
        let asked = Rings { u_mm: draw(10), scale_mean: 0.97, scale_sd: draw(5) / 50.0, ..rings(&observed) };
        let m = DVector::from_vec(listed.clone());
        let spread = asked.scale_sd * asked.scale_sd;
        let covariance =
            DMatrix::identity(count, count) * (asked.u_mm * asked.u_mm) + &m * m.transpose() * spread;
        let residual = DVector::from_vec(observed) - &m * asked.scale_mean;
        let factor = covariance.cholesky().expect("positive definite");
        let misfit = residual.dot(&factor.solve(&residual));
        let log_determinant = 2.0 * factor.l().diagonal().map(f64::ln).sum();
        let wanted = -0.5 * (misfit + log_determinant + count as f64 * (2.0 * std::f64::consts::PI).ln());
        let found = rank(&asked, &[mould("one", &listed)]).expect("a ranking").ranked[0];
        assert!((found.log_likelihood - wanted).abs() < 1e-7 * wanted.abs().max(1.0), "{found:?} {wanted}");
        assert!((found.misfit - misfit).abs() < 1e-6 * misfit.max(1.0));
    }
}

/// The example of the handbook of this laboratory: A 0.560, E 0.440 must not read as A.
#[test]
fn near_ties_are_said_to_be_ties() {
    let list = [
        mould("A", &[12.0, 24.0, 38.0, 52.0]),
        mould("D", &[12.0, 24.0, 36.0]),
        mould("E", &[12.2, 24.5, 38.6, 52.4]),
    ];
    let ranking = rank(&rings(&[11.83, 23.68, 37.31, 50.7]), &list).expect("a ranking");
    assert_eq!((ranking.finding, ranking.tied), (Finding::CannotSeparate, 2));
    assert_eq!(ranking.excluded, [1]);
    assert_eq!(ranking.finding.words(), "cannot separate these moulds");
}

#[test]
fn a_find_of_an_unlisted_mould_fits_none() {
    let list = [mould("A", &[12.0, 24.0, 38.0, 52.0]), mould("B", &[11.0, 25.0, 37.0, 54.0])];
    let ranking = rank(&rings(&[12.0, 29.0, 33.0, 60.0]), &list).expect("a ranking");
    assert_eq!((ranking.finding, ranking.tied), (Finding::NoneFits, 0));
    let other = rank(&rings(&[12.0, 29.0]), &list).expect("a ranking");
    assert_eq!((other.finding, other.tied, other.ranked.len()), (Finding::NoneComparable, 0, 0));
}

/// 95 % of χ² on 4 degrees of freedom is 9.488 (any table of χ²; from memory).
#[test]
fn misfit_probability_is_that_of_chi_squared() {
    let asked = Rings { scale_sd: 0.0, u_mm: 1.0, ..rings(&[10.0, 20.0, 30.0, 40.0 + 9.488_f64.sqrt()]) };
    let found = rank(&asked, &[mould("A", &[10.0, 20.0, 30.0, 40.0])]).expect("a ranking").ranked[0];
    assert!((found.misfit_probability - 0.05).abs() < 1e-4, "{found:?}");
}

#[test]
fn diameters_out_of_order_or_no_diameters_are_refused() {
    let list = [mould("A", &[12.0, 24.0])];
    let field = |asked: &Rings, list: &[Mould]| rank(asked, list).unwrap_err().field();
    assert_eq!(field(&rings(&[24.0, 12.0]), &list), "observed_mm");
    assert_eq!(field(&rings(&[]), &list), "observed_mm");
    assert_eq!(field(&rings(&[-1.0, 12.0]), &list), "observed_mm");
    assert_eq!(field(&rings(&[12.0, 24.0]), &[]), "moulds");
    assert_eq!(field(&rings(&[12.0, 24.0]), &[mould("B", &[24.0, 24.0])]), "moulds");
    assert_eq!(field(&Rings { u_mm: 0.0, ..rings(&[12.0]) }, &list), "u_mm");
    assert_eq!(field(&Rings { scale_sd: -0.1, ..rings(&[12.0]) }, &list), "scale_sd");
    assert_eq!(field(&Rings { scale_mean: f64::NAN, ..rings(&[12.0]) }, &list), "scale_mean");
}
