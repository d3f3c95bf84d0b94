//! Conductivity as sodium chloride.
use crate::error::CalcError;
use crate::quantity::Quantity;
use crate::root::bisect;
use crate::source::{Basis, Source};
use serde::Serialize;

/// Conductivity of a bath, also after correction to 25 °C.
pub const CONDUCTIVITY: Quantity = Quantity::new("cond_us_cm", "the conductivity", "µS/cm", 0.0, 2_000.0);
/// Temperature at which it was read.
pub const TEMPERATURE: Quantity = Quantity::new("t_c", "the temperature", "°C", 0.0, 40.0);

/// Where the chloride comes from.
pub const CHLORIDE: Basis = Basis {
    formula: "κ₂₅ = κ/(1 + 0.02 (t − 25)); κ₂₅ = 1000 Λ c, Λ = 126.45 − (0.23 · 126.45 + 60.65) √c/(1 + 1.3 √c) S cm²/mol; NaCl 58.443 g/mol, Cl 35.453 g/mol",
    range: "0 to 2000 µS/cm at 25 °C, read at 0 to 40 °C",
    sources: &[
        Source::from_memory("Onsager", "1927", "limiting law of conductivity, here with a denominator in √c"),
        Source::from_memory("ISO", "7888", "linear temperature compensation of conductivity"),
    ],
    caution: "An upper bound: whatever else is dissolved conducts too.",
};

/// g/mol.
const SODIUM_CHLORIDE: f64 = 58.443;
const CHLORINE: f64 = 35.453;
/// Above the concentration of 2000 µS/cm, mol/L.
const STRONGEST: f64 = 0.1;

/// The sodium chloride that conducts as a bath does.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SaltLoad {
    /// Conductivity at 25 °C, µS/cm.
    pub at_25_us_cm: f64,
    pub nacl_mol_l: f64,
    pub nacl_mg_l: f64,
    pub chloride_mg_l: f64,
}

/// A conductivity in µS/cm read at `t_c` °C, at 25 °C: 2 % per kelvin.
///
/// # Errors
/// `Unsuitable` outside [`CONDUCTIVITY`] or [`TEMPERATURE`].
///
/// ```
/// assert_eq!(calc::desalination::conductivity::at_25_us_cm(90.0, 20.0)?, 100.0);
/// # Ok::<(), calc::CalcError>(())
/// ```
pub fn at_25_us_cm(conductivity_us_cm: f64, t_c: f64) -> Result<f64, CalcError> {
    let read = CONDUCTIVITY.check(conductivity_us_cm)?;
    CONDUCTIVITY
        .called(CONDUCTIVITY.field, "the conductivity at 25 °C")
        .check(read / (1.0 + 0.02 * (TEMPERATURE.check(t_c)? - 25.0)))
}

impl SaltLoad {
    /// From a conductivity in µS/cm read at `t_c` °C; see [`CHLORIDE`].
    ///
    /// # Errors
    /// `Unsuitable` outside [`CONDUCTIVITY`] or [`TEMPERATURE`].
    ///
    /// ```
    /// let load = calc::desalination::SaltLoad::of(100.0, 25.0)?;
    /// assert_eq!(format!("{:.1} mg/L chloride", load.chloride_mg_l), "28.6 mg/L chloride");
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn of(conductivity_us_cm: f64, t_c: f64) -> Result<Self, CalcError> {
        let at_25_us_cm = at_25_us_cm(conductivity_us_cm, t_c)?;
        let nacl_mol_l = bisect(conductivity, at_25_us_cm, 0.0, STRONGEST);
        Ok(Self {
            at_25_us_cm,
            nacl_mol_l,
            nacl_mg_l: nacl_mol_l * SODIUM_CHLORIDE * 1000.0,
            chloride_mg_l: nacl_mol_l * CHLORINE * 1000.0,
        })
    }
}

/// µS/cm of sodium chloride of so many mol/L at 25 °C.
fn conductivity(mol_l: f64) -> f64 {
    let root = mol_l.sqrt();
    let molar = 126.45 - (0.23 * 126.45 + 60.65) * root / (1.0 + 1.3 * root);
    1000.0 * molar * mol_l
}
