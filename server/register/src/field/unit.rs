//! Units as registers write them.

domain::text_enum! {
    /// A unit of a measured value.
    Unit, "unit" {
        Milligram = "mg", "mg";
        Gram = "g", "g";
        Kilogram = "kg", "kg";
        Millimetre = "mm", "mm";
        Centimetre = "cm", "cm";
        Metre = "m", "m";
        Percent = "pct", "%";
    }
}

/// What kind of thing a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Quantity {
    Mass,
    Length,
    Share,
}

impl Unit {
    /// The unit a word means, folded or as written.
    pub fn named(word: &str) -> Option<Unit> {
        Some(match word.trim().trim_end_matches('.').to_lowercase().as_str() {
            "mg" | "mgs" | "milligram" | "milligrams" => Unit::Milligram,
            "g" | "gm" | "gms" | "gr" | "grs" | "gram" | "grams" | "gramme" | "grammes" => Unit::Gram,
            "kg" | "kgs" | "kilo" | "kilos" | "kilogram" | "kilograms" => Unit::Kilogram,
            "mm" | "mms" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => Unit::Millimetre,
            "cm" | "cms" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => Unit::Centimetre,
            "m" | "metre" | "metres" | "meter" | "meters" => Unit::Metre,
            "%" | "pct" | "percent" | "per cent" | "percentage" => Unit::Percent,
            _ => return None,
        })
    }

    /// The power of ten between this unit and the base of its kind (gram, millimetre, per cent).
    fn power(self) -> i32 {
        match self {
            Unit::Milligram => -3,
            Unit::Gram | Unit::Millimetre | Unit::Percent => 0,
            Unit::Centimetre => 1,
            Unit::Kilogram | Unit::Metre => 3,
        }
    }

    fn quantity(self) -> Quantity {
        match self {
            Unit::Milligram | Unit::Gram | Unit::Kilogram => Quantity::Mass,
            Unit::Millimetre | Unit::Centimetre | Unit::Metre => Quantity::Length,
            Unit::Percent => Quantity::Share,
        }
    }

    /// Whether a value in this unit can be given in the other.
    pub fn fits(self, other: Unit) -> bool {
        self.quantity() == other.quantity()
    }

    /// The value in the other unit; nothing when they measure different things. Decimal units only (SI prefixes), so
    /// the digits stay as they are: 0.4 kg is 400 g, not 400.00000000000006.
    pub fn convert(self, value: f64, to: Unit) -> Option<f64> {
        if !self.fits(to) {
            return None;
        }
        let shift = self.power() - to.power();
        let scaled = if shift >= 0 { value * 10f64.powi(shift) } else { value / 10f64.powi(-shift) };
        Some(format!("{scaled:.13e}").parse().unwrap_or(scaled))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Prefixes: BIPM, The International System of Units, 9th ed. (2019), table 7.
    #[test]
    fn values_move_between_units_without_dust() {
        assert_eq!(Unit::Kilogram.convert(0.4, Unit::Gram), Some(400.0));
        assert_eq!(Unit::Kilogram.convert(1.005, Unit::Gram), Some(1005.0));
        assert_eq!(Unit::Centimetre.convert(12.3, Unit::Millimetre), Some(123.0));
        assert_eq!(Unit::Millimetre.convert(1250.0, Unit::Metre), Some(1.25));
        assert_eq!(Unit::Gram.convert(5.0, Unit::Millimetre), None);
    }
}
