//! Opinions and aoristic sums against plain enumeration of years: another way to the same numbers.
use calc::chronology::{DateRange, Year, aoristic_sum};
use calc::opinions::{Accord, Opinion, compare, pool};
use chance::Chance;

mod chance;

fn range(lo: i64, hi: i64) -> DateRange {
    let year = |number| Year::astronomical(number).expect("a year");
    DateRange::new(Some(year(lo)), Some(year(hi))).expect("a range")
}

/// Probability of each year from −60 to 260, one opinion a list of (first, last, share).
fn enumerated(opinion: &[(i64, i64, f64)]) -> Vec<f64> {
    let total: f64 = opinion.iter().map(|one| one.2).sum();
    (-60..=260)
        .map(|year| {
            let held = opinion.iter().filter(|one| one.0 <= year && year <= one.1);
            held.map(|one| one.2 / total / (one.1 - one.0 + 1) as f64).sum()
        })
        .collect()
}

fn opinions(chance: &mut Chance) -> Vec<Vec<(i64, i64, f64)>> {
    let count = 1 + chance.below(5);
    let one = |chance: &mut Chance| {
        let lo = chance.below(200) as i64 - 50;
        (lo, lo + chance.below(100) as i64, 1.0 + chance.below(3) as f64)
    };
    (0..count).map(|_| (0..1 + chance.below(3)).map(|_| one(chance)).collect()).collect()
}

#[test]
fn pool_and_overlap_agree_with_counting_year_by_year() {
    let mut chance = Chance::new(5);
    for _ in 0..300 {
        let drawn = opinions(&mut chance);
        let asked: Vec<Opinion> = drawn
            .iter()
            .enumerate()
            .map(|(n, one)| {
                let ranges = one.iter().map(|part| (range(part.0, part.1), part.2)).collect();
                Opinion::of(ranges).and_then(|opinion| opinion.weighing(1.0 + n as f64)).expect("an opinion")
            })
            .collect();
        let years: Vec<Vec<f64>> = drawn.iter().map(|one| enumerated(one)).collect();
        let total: f64 = (0..years.len()).map(|n| 1.0 + n as f64).sum();
        let weighed = |y: usize| -> f64 {
            years.iter().enumerate().map(|(n, p)| p[y] * (1.0 + n as f64) / total).sum()
        };
        let pooled: Vec<f64> = (0..=320).map(weighed).collect();

        let answer = pool(&asked, 0.8).expect("a pool");
        let mean: f64 = pooled.iter().enumerate().map(|(y, p)| (y as f64 - 60.0) * p).sum();
        assert!((answer.mean_year - mean).abs() < 1e-9, "{drawn:?}");
        let upto = |last: i64| pooled[..(last + 61) as usize].iter().sum::<f64>();
        let median = answer.median_year.number();
        assert!(upto(median) > 0.5 - 1e-9 && upto(median - 1) < 0.5 + 1e-9, "{drawn:?}");
        let mass: f64 =
            answer.steps.iter().map(|step| step.per_year * step.range.years().unwrap() as f64).sum();
        assert!((mass - 1.0).abs() < 1e-9);

        // the definition of Hyndman 1996: all years at or above the greatest height that leaves the mass asked for
        let inside = |y: i64| answer.densest.iter().any(|part| part.holds(Year::astronomical(y).unwrap()));
        let (mut kept, mut lowest, mut highest_left) = (0.0, f64::INFINITY, 0.0_f64);
        for (y, p) in (-60..).zip(&pooled) {
            if inside(y) {
                kept += p;
                lowest = lowest.min(*p);
            } else {
                highest_left = highest_left.max(*p);
            }
        }
        assert!((kept - answer.densest_mass).abs() < 1e-9 && kept > 0.8 - 1e-9, "{drawn:?}");
        assert!(lowest > highest_left, "{drawn:?}");
        let without_lowest: f64 = pooled.iter().filter(|p| **p > lowest * (1.0 + 1e-7)).sum();
        assert!(without_lowest < 0.8, "more years than needed: {drawn:?}");

        let beside = compare(&asked).expect("a comparison");
        for pair in &beside.pairs {
            let both = years[pair.one].iter().zip(&years[pair.other]).map(|(p, q)| p.min(*q)).sum::<f64>();
            assert!((pair.overlap.unwrap() - both).abs() < 1e-9, "{drawn:?}");
        }
        for year in -60..=260 {
            let holders = years.iter().filter(|p| p[(year + 60) as usize] > 0.0).count();
            let held =
                |set: &[DateRange]| set.iter().any(|part| part.holds(Year::astronomical(year).unwrap()));
            assert_eq!(held(&beside.shared), holders == years.len());
            assert_eq!(held(&beside.held), holders > 0);
            let within = beside.span.unwrap().holds(Year::astronomical(year).unwrap());
            assert_eq!(held(&beside.gaps), within && holders == 0);
        }
    }
}

#[test]
fn accord_is_said_in_words() {
    let accord = |ranges: &[(i64, i64)]| {
        let asked: Vec<Opinion> = ranges.iter().map(|&(lo, hi)| Opinion::new(range(lo, hi))).collect();
        compare(&asked).expect("a comparison").accord
    };
    assert_eq!(accord(&[(1, 50)]), Accord::Single);
    assert_eq!(accord(&[(1, 50), (1, 50)]), Accord::Same);
    assert_eq!(accord(&[(1, 50), (50, 90)]), Accord::AllShare);
    assert_eq!(accord(&[(1, 50), (40, 90), (60, 99)]), Accord::SomeShare);
    assert_eq!(accord(&[(1, 50), (51, 90)]), Accord::Apart);
    assert_eq!(Accord::Apart.words(), "no two share a year");
}

#[test]
fn an_open_range_is_compared_but_not_pooled() {
    let from = Opinion::new(DateRange::from(Year::ad(120).unwrap()));
    let until = Opinion::new(DateRange::until(Year::ad(150).unwrap()));
    let beside = compare(&[from.clone(), until]).expect("a comparison");
    assert_eq!(beside.shared[0].to_string(), "AD 120 - AD 150");
    assert!(beside.held.is_empty() && beside.span.is_none() && beside.agreement.is_none());
    assert_eq!(beside.accord, Accord::AllShare);
    let refused = pool(&[from], 0.95).unwrap_err();
    assert_eq!(refused.field(), "opinions");
    assert_eq!(
        refused.to_string(),
        "The range “AD 120 onwards” is open: a density needs a first and a last year."
    );
}

#[test]
fn weights_and_masses_beyond_their_limits_are_refused() {
    let one = Opinion::new(range(1, 50));
    for mass in [0.0, -0.1, 1.01, f64::NAN, f64::INFINITY] {
        assert_eq!(pool(std::slice::from_ref(&one), mass).unwrap_err().field(), "mass");
    }
    for weight in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(one.clone().weighing(weight).unwrap_err().field(), "opinions");
    }
    assert!(pool(&[], 0.9).is_err() && compare(&[]).is_err() && Opinion::of(Vec::new()).is_err());
}

#[test]
fn a_range_of_a_million_years_costs_no_more_than_one_of_ten() {
    let wide = [Opinion::new(range(-1_000_000_000, 1_000_000_000)), Opinion::new(range(1, 10))];
    let answer = pool(&wide, 0.5).expect("a pool");
    assert_eq!(answer.densest, [range(1, 10)]);
    assert_eq!(answer.median_year.number(), 5, "a quarter before year 1, half of the other half by year 5");
}

#[test]
fn slices_and_outside_add_up_to_the_finds() {
    let mut chance = Chance::new(6);
    for _ in 0..200 {
        let drawn: Vec<(i64, i64, f64)> = (0..1 + chance.below(12))
            .map(|_| {
                let lo = chance.below(500) as i64 - 250;
                (lo, lo + chance.below(200) as i64, chance.below(4) as f64)
            })
            .collect();
        let finds: Vec<_> = drawn.iter().map(|one| (range(one.0, one.1), one.2)).collect();
        let (start, end, width) = (-100, 99 + chance.below(80) as i64, 1 + chance.below(60) as i64);
        let year = |number| Year::astronomical(number).expect("a year");
        let sum = aoristic_sum(&finds, year(start), year(end), width).expect("a sum");
        let total: f64 = sum.slices.iter().map(|slice| slice.weight).sum::<f64>() + sum.outside;
        let count: f64 = drawn.iter().map(|one| one.2).sum();
        assert!((total - count).abs() < 1e-9);
        for slice in &sum.slices {
            let counted: f64 = drawn
                .iter()
                .map(|one| {
                    let within = (one.0..=one.1).filter(|y| slice.range.holds(year(*y))).count();
                    one.2 * within as f64 / (one.1 - one.0 + 1) as f64
                })
                .sum();
            assert!((slice.weight - counted).abs() < 1e-9);
        }
        assert_eq!(sum.slices.last().unwrap().range.hi(), Some(year(end)));
    }
}

#[test]
fn slices_that_nobody_could_read_are_refused() {
    let year = |number| Year::astronomical(number).expect("a year");
    let find = [(range(1, 10), 1.0)];
    let refused = |finds: &[(DateRange, f64)], start, end, width| {
        aoristic_sum(finds, year(start), year(end), width).unwrap_err().field()
    };
    assert_eq!(refused(&find, 1, 100, 0), "width");
    assert_eq!(refused(&find, -1_000_000_000, 1_000_000_000, 1), "width");
    assert_eq!(refused(&find, 100, 1, 10), "hi");
    assert_eq!(refused(&[], 1, 100, 10), "finds");
    assert_eq!(refused(&[(range(1, 10), -1.0)], 1, 100, 10), "finds");
    assert_eq!(refused(&[(DateRange::from(year(5)), 1.0)], 1, 100, 10), "finds");
}
