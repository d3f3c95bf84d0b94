//! A box or a find that comes into another room.
use super::{Air, DewPoint, HUMIDITY, KELVIN, TEMPERATURE, saturation, vapour_density_g_m3};
use crate::error::CalcError;
use crate::quantity::Quantity;
use crate::source::{Basis, Source};
use serde::Serialize;

/// A surface as far above the dew point as this, K, is called clear.
pub const CLEAR_MARGIN_K: f64 = 3.0;

/// Temperature of the find when it comes into the room.
pub const FIND_TEMPERATURE: Quantity = TEMPERATURE.called("object_t_c", "the temperature of the find");
/// Temperature of the room it comes into.
pub const ROOM_TEMPERATURE: Quantity = TEMPERATURE.called("room_t_c", "the temperature of the room");
/// Relative humidity of the room it comes into.
pub const ROOM_HUMIDITY: Quantity = HUMIDITY.called("room_rh_pct", "the relative humidity of the room");
/// Temperature that enclosed air comes to.
pub const NEW_TEMPERATURE: Quantity = TEMPERATURE.called("t2_c", "the new temperature");

/// Where the humidity after a change of temperature comes from.
pub const HUMIDITY_AFTER_CHANGE: Basis = Basis {
    formula: "φ₂ = φ₁ p_s(t₁)/p_s(t₂); in a rigid sealed box also × T₂/T₁; above 100 % the water over p_s(t₂) condenses",
    range: "−40 to 60 °C, 0.1 to 100 % relative humidity",
    sources: &[
        saturation::HYLAND_WEXLER,
        Source::from_memory(
            "Thomson",
            "1964",
            "relative humidity: variation with temperature in a case containing wood",
        ),
    ],
    caution: "For air alone. Wood, card, textile and conditioned gel in the box hold its humidity far steadier: of the order of 0.3 to 0.4 % per kelvin.",
};

/// Where the judgement of a surface comes from.
pub const CONDENSATION: Basis = Basis {
    formula: "surface at or below the dew point of the room: condensation; less than 3 K above: caution; otherwise clear. Surface humidity 100 p_v(room)/p_s(surface)",
    range: "−40 to 60 °C, 0.1 to 100 % relative humidity",
    sources: &[saturation::HYLAND_WEXLER, Source::common_practice("the margin of 3 K")],
    caution: "Salts and corrosion products take up water below 100 %: clear of condensation is not dry.",
};

/// How the air is enclosed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Enclosure {
    /// A box that is not tight to pressure: water per kilogram of air stays.
    #[default]
    ConstantPressure,
    /// A rigid box sealed against pressure: water per cubic metre stays.
    RigidSealed,
}

impl Enclosure {
    /// Both, the usual one first.
    pub const ALL: [Self; 2] = [Self::ConstantPressure, Self::RigidSealed];

    /// "constant_pressure" or "rigid_sealed".
    pub const fn name(self) -> &'static str {
        match self {
            Self::ConstantPressure => "constant_pressure",
            Self::RigidSealed => "rigid_sealed",
        }
    }

    /// The enclosure of that name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.name() == name)
    }
}

/// What becomes of enclosed air at another temperature.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct HumidityChange {
    pub rh_pct: f64,
    /// Whether the air holds more water than it can: `rh_pct` is then 100.
    pub is_saturated: bool,
    /// Water let go per cubic metre of air, g m⁻³.
    pub condensate_g_m3: f64,
}

/// Enclosed air brought to `t_c` °C without water from or to what lies in it; see [`HUMIDITY_AFTER_CHANGE`].
///
/// # Errors
/// `Unsuitable` (field `t2_c`) outside the temperatures of air.
///
/// ```
/// use calc::air::{Air, Enclosure, moving};
/// let shut = moving::brought_to(Air::new(20.0, 50.0)?, 10.0, Enclosure::ConstantPressure)?;
/// assert_eq!(format!("{:.0} %", shut.rh_pct), "95 %");
/// # Ok::<(), calc::CalcError>(())
/// ```
pub fn brought_to(air: Air, t_c: f64, enclosure: Enclosure) -> Result<HumidityChange, CalcError> {
    NEW_TEMPERATURE.check(t_c)?;
    let expansion = match enclosure {
        Enclosure::ConstantPressure => 1.0,
        Enclosure::RigidSealed => (t_c + KELVIN) / (air.t_c() + KELVIN),
    };
    let vapour = air.vapour_pressure_pa() * expansion;
    let saturated = saturation::pressure_pa(t_c);
    let is_saturated = vapour > saturated;
    Ok(HumidityChange {
        rh_pct: (100.0 * vapour / saturated).min(100.0),
        is_saturated,
        condensate_g_m3: if is_saturated { vapour_density_g_m3(vapour - saturated, t_c) } else { 0.0 },
    })
}

/// How a surface fares in a room.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Surface {
    /// At or below the dew point: it grows wet (or white with frost).
    Condensation,
    /// Less than [`CLEAR_MARGIN_K`] above it.
    Caution,
    Clear,
}

impl Surface {
    /// "condensation", "caution" or "clear".
    pub const fn name(self) -> &'static str {
        match self {
            Self::Condensation => "condensation",
            Self::Caution => "caution",
            Self::Clear => "clear",
        }
    }
}

/// A cold find in a warm room.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Condensation {
    pub dew_point: DewPoint,
    /// Relative humidity of the air that touches the surface, at most 100 %.
    pub surface_rh_pct: f64,
    pub state: Surface,
    /// The find is clear from this temperature on, °C: wait for it before opening.
    pub clear_from_c: f64,
}

/// Whether a find of `find_t_c` °C sweats when it meets the air of a room; see [`CONDENSATION`].
///
/// # Errors
/// `Unsuitable` (field `object_t_c`) outside the temperatures of air.
///
/// ```
/// use calc::air::{Air, Surface, moving};
/// let met = moving::condensation(5.0, Air::new(20.0, 50.0)?)?;
/// assert_eq!(met.state, Surface::Condensation);
/// assert_eq!(format!("wait until {:.1} °C", met.clear_from_c), "wait until 12.3 °C");
/// # Ok::<(), calc::CalcError>(())
/// ```
pub fn condensation(find_t_c: f64, room: Air) -> Result<Condensation, CalcError> {
    FIND_TEMPERATURE.check(find_t_c)?;
    let dew_point = room.dew_point()?;
    let margin = find_t_c - dew_point.t_c;
    let state = match margin {
        under if under <= 0.0 => Surface::Condensation,
        short if short < CLEAR_MARGIN_K => Surface::Caution,
        _ => Surface::Clear,
    };
    let surface_rh_pct = 100.0 * room.vapour_pressure_pa() / saturation::pressure_pa(find_t_c);
    Ok(Condensation {
        dew_point,
        surface_rh_pct: surface_rh_pct.min(100.0),
        state,
        clear_from_c: dew_point.t_c + CLEAR_MARGIN_K,
    })
}

/// A packed box that leaves one room for another, its contents at the temperature of the first.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BoxMove {
    /// The box opened at once, or its outside: a surface as cold as the room it comes from.
    pub opened_at_once: Condensation,
    /// The box kept shut until its air has the temperature of the new room.
    pub kept_shut: HumidityChange,
}

impl BoxMove {
    /// Both ways to treat the box. `inside` is the air in it, at the temperature of the room it leaves.
    ///
    /// # Errors
    /// None for air within its limits.
    ///
    /// ```
    /// use calc::air::{Air, BoxMove, Surface};
    /// let moved = BoxMove::new(Air::new(18.0, 45.0)?, Air::new(22.0, 55.0)?)?;
    /// assert_eq!(moved.opened_at_once.state, Surface::Clear);
    /// assert!(!moved.kept_shut.is_saturated);
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn new(inside: Air, room: Air) -> Result<Self, CalcError> {
        Ok(Self {
            opened_at_once: condensation(inside.t_c(), room)?,
            kept_shut: brought_to(inside, room.t_c(), Enclosure::ConstantPressure)?,
        })
    }
}
