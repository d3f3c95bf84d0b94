//! The table of solvents and mixtures by volume.
use domain::solvents::{Mixture, MixtureFault, all, find, key};

/// A ppm of a vapour at 20 °C and 101 325 Pa is its molar mass over 24.05526 L/mol in mg/m³ (ideal gas: R T / p with
/// R = 8.314 462 618 J/(mol K), CODATA 2018). The limits of EH40 are printed in both units, rounded.
#[test]
fn both_units_of_each_limit_agree() {
    let litres_per_mol = 8.314_462_618 * 293.15 / 101_325.0 * 1000.0;
    let mut checked = 0;
    for solvent in all() {
        let pairs =
            [(solvent.wel_twa_ppm, solvent.wel_twa_mg_m3), (solvent.wel_stel_ppm, solvent.wel_stel_mg_m3)];
        for (ppm, mg) in pairs {
            let (Some(ppm), Some(mg), Some(molar)) = (ppm, mg, solvent.molar_mass_g_mol) else { continue };
            let ratio = ppm * molar / litres_per_mol / mg;
            assert!((0.965..=1.035).contains(&ratio), "{}: {ratio}", solvent.name);
            checked += 1;
        }
    }
    assert!(checked > 25, "{checked}");
}

/// Registry numbers carry a check digit: the sum of the digits before it, each times its place from the right, mod 10.
#[test]
fn every_registry_number_has_its_check_digit() {
    let mut checked = 0;
    for number in
        all().iter().flat_map(|s| s.cas.split([' ', '+', '('])).filter(|n| n.matches('-').count() == 2)
    {
        if number.contains(|c: char| !c.is_ascii_digit() && c != '-') {
            continue;
        }
        let digits: Vec<u32> = number.chars().filter_map(|c| c.to_digit(10)).collect();
        let (check, rest) = digits.split_last().unwrap();
        let sum: u32 = rest.iter().rev().zip(1..).map(|(digit, place)| digit * place).sum();
        assert_eq!(sum % 10, *check, "{number}");
        checked += 1;
    }
    assert!(checked > 25, "{checked}");
}

#[test]
fn every_value_stands_beside_a_source() {
    assert_eq!(all().len(), 31);
    for solvent in all() {
        assert!(!solvent.caution.is_empty() || solvent.name == "1-methoxypropan-2-ol", "{}", solvent.name);
        assert!(solvent.flash_c.is_none() || !solvent.flash_source.is_empty(), "{}", solvent.name);
        assert!(!solvent.wel_source.is_empty() && !solvent.hazards_source.is_empty(), "{}", solvent.name);
        assert!(
            solvent.wel_twa_ppm.is_none() || solvent.wel_source.contains("4th ed. 2020"),
            "{}",
            solvent.name
        );
    }
}

#[test]
fn the_same_mixture_is_known_however_it_is_written() {
    let same = [
        "ethanol 50 % in water",
        "50 % Ethanol + 50% water",
        "Water 50 %; ethanol",
        "deionised water 50 % and ethanol 50 %",
    ];
    for words in same {
        assert_eq!(key(words), key(same[0]), "{words}");
    }
    for words in [
        "ethanol",
        "ethanol 40 % in water",
        "ethanol 50 % in water with 1 % citrate",
        "ethanol 50 % in acetone",
    ] {
        assert_ne!(key(words), key(same[0]), "{words}");
    }
    assert_eq!(key("Dry swab"), "dry swab");
    assert_eq!(key("White spirit!"), "white spirit", "what is no mixture of the table is folded, as before");
}

#[test]
fn percentages_sum_to_a_hundred() {
    let of = |shares: &[(&str, Option<f64>)]| {
        let named: Vec<_> = shares.iter().map(|(name, share)| ((*name).to_owned(), *share)).collect();
        Mixture::of(&named, "")
    };
    assert!(of(&[("ethanol", Some(33.3)), ("water", Some(33.3)), ("acetone", Some(33.3))]).is_ok(), "99.9");
    assert_eq!(of(&[("ethanol", Some(40.0)), ("water", Some(50.0))]), Err(MixtureFault::Sum { sum: 90.0 }));
    assert_eq!(of(&[("ethanol", Some(60.0)), ("water", Some(60.0))]), Err(MixtureFault::Sum { sum: 120.0 }));
    assert!(matches!(
        of(&[("ethanol", Some(-10.0)), ("water", Some(110.0))]),
        Err(MixtureFault::Share { .. })
    ));
    assert!(matches!(of(&[("ethanol", None), ("water", None)]), Err(MixtureFault::NoShare { .. })));
    assert!(matches!(
        of(&[("water", Some(50.0)), ("deionised water", Some(50.0))]),
        Err(MixtureFault::Twice { .. })
    ));
    assert_eq!(of(&[("dry swab", None), ("water", Some(100.0))]), Err(MixtureFault::DryAndWet));
    assert_eq!(of(&[]), Err(MixtureFault::Empty));
    let refused = of(&[("white spirit", None)]).unwrap_err().to_string();
    assert!(refused.contains("white spirit, dearomatised"), "{refused}");
}

#[test]
fn a_mixture_flashes_no_later_than_its_lowest_part() {
    let lowest = Mixture::read("ethanol 50 % in water").unwrap().lowest_flash_c();
    assert_eq!(lowest, find("ethanol").unwrap().flash_c);
}
