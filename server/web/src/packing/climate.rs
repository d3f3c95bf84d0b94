//! What follows from a sealing: how long the gel lasts, how much would be needed, how the humidity drifts.
use crate::figure::{Figure, figures, fixed};
use crate::filters::{show_day, show_measure};
use crate::plot::{Axis, Plot, Side};
use calc::climate::Band;
use calc::sorbent::{self, UntilLimit, exchange, need};
use domain::packing::{Sealing, band_words};

/// Points of the drawn course.
const POINTS: i32 = 60;

/// Display-ready.
pub(super) struct ClimateView {
    /// The climate aimed at.
    pub band: Option<Figure>,
    pub figures: Vec<Figure>,
    /// The course in one sentence, or what is missing to compute it.
    pub sentence: String,
    pub plot: Option<Plot>,
}

impl ClimateView {
    /// `wanted` are the days the gel should last, where that is asked.
    pub(super) fn of(sealing: &Sealing, wanted: Option<f64>) -> Self {
        let mut all: Vec<Figure> = Vec::new();
        let until = sealing.until_limit();
        if let Some(Ok(until)) = until {
            all.push(days(sealing, until));
        }
        if let Some(Ok(needed)) = wanted.and_then(|days| sealing.needed_for(days)) {
            all.push(mass(sealing, needed, wanted.unwrap_or_default()));
        }
        all.extend(sealing.air_per_day.map(|air| air_exchange(sealing, air)));
        Self {
            band: sealing.band().map(band_figure),
            figures: all,
            sentence: sentence(sealing),
            plot: draw(sealing),
        }
    }
}

fn air_exchange(sealing: &Sealing, air: f64) -> Figure {
    let inputs = vec![("How known", sealing.air_words.clone())];
    if sealing.air_words.starts_with("measured") {
        let value = format!("{} a day, measured", figures(air, 2));
        return Figure::of("Air exchange", value, &exchange::AIR_EXCHANGE, inputs);
    }
    Figure {
        name: "Air exchange",
        value: format!("{} a day, assumed", show_measure(air)),
        formula: "assumed, nothing was measured".into(),
        inputs,
        limits: String::new(),
        caution:
            "The days of the gel are as uncertain as this: let a tracer into the shut box and read its decay."
                .into(),
        source: "whoever sealed it".into(),
    }
}

fn band_figure(band: &Band) -> Figure {
    let sources: Vec<String> = band.sources.iter().map(ToString::to_string).collect();
    let limits = |limits: calc::climate::Limits| {
        let below = limits.below_pct.map(|low| format!("below {low} %"));
        let above = limits.above_pct.map(|high| format!("above {high} %"));
        below.into_iter().chain(above).collect::<Vec<_>>().join(", ")
    };
    let mut inputs = vec![
        ("Alert", limits(band.alert)),
        ("Alarm", limits(band.alarm)),
        ("They rest on", band.alert_basis.into()),
    ];
    inputs.retain(|(_, words)| !words.is_empty());
    Figure {
        name: "Climate aimed at",
        value: band_words(band),
        formula: format!("row “{}” of the table of climates", band.material),
        inputs,
        limits: band.note.into(),
        caution: "A starting point: the conservator sets the target of each find.".into(),
        source: sources.join("; "),
    }
}

fn inputs(sealing: &Sealing) -> Vec<(&'static str, String)> {
    let shown = |value: Option<f64>, unit: &str| {
        value.map(|v| format!("{} {unit}", show_measure(v))).unwrap_or_default()
    };
    vec![
        ("Box", shown(sealing.volume_l, "L")),
        ("Air exchange", format!("{}, {}", shown(sealing.air_per_day, "a day"), sealing.air_words)),
        ("Temperature", shown(sealing.t_c, "°C")),
        (
            "Humidity packed in, around it, limit",
            format!(
                "{}, {}, {}",
                shown(sealing.start_pct, "%"),
                shown(sealing.outside_pct, "%"),
                shown(sealing.limit_pct(), "%")
            ),
        ),
        (
            "Reservoir of the gel",
            format!("{}; {}", shown(sealing.reservoir, "g per kg and %"), sealing.reservoir_words),
        ),
    ]
}

fn days(sealing: &Sealing, until: UntilLimit) -> Figure {
    let value = match until {
        UntilLimit::Days(days) => {
            let day = sealing.exhausted_on().map(show_day).unwrap_or_default();
            format!("{} days, {day}", figures(days, 3))
        }
        UntilLimit::NeverReached => "never: the air around it stays within".into(),
        UntilLimit::AlreadyBeyond => "already beyond the limit".into(),
    };
    let mut inputs = inputs(sealing);
    inputs.push(("Gel", format!("{} g", sealing.sorbent_g.map(show_measure).unwrap_or_default())));
    Figure::of("Gel exhausted after", value, &need::DAYS_UNTIL, inputs)
}

fn mass(sealing: &Sealing, needed: sorbent::SorbentNeed, days: f64) -> Figure {
    let grams = |kg: f64| format!("{} g", figures(kg * 1000.0, 3));
    let value = if needed.is_needed {
        grams(needed.linear_kg)
    } else {
        "none: the air of the box alone stays within".into()
    };
    let mut inputs = inputs(sealing);
    inputs.push(("To last", format!("{} days", show_measure(days))));
    inputs.push(("Per cubic metre", format!("{} kg/m³", figures(needed.linear_kg_m3, 3))));
    inputs.push(("By the exponential rule", grams(needed.exponential_kg)));
    Figure::of("Gel to pack", value, &need::SORBENT_MASS, inputs)
}

fn sentence(sealing: &Sealing) -> String {
    let missing: Vec<&str> = [
        ("the climate aimed at", sealing.band.is_empty()),
        ("the volume of the box", sealing.volume_l.is_none()),
        ("its air exchange", sealing.air_per_day.is_none()),
        ("the temperature", sealing.t_c.is_none()),
        ("the humidity packed in", sealing.start_pct.is_none()),
        ("the humidity around it", sealing.outside_pct.is_none()),
        ("the mass of gel", sealing.sorbent_g.is_none()),
        ("its reservoir", sealing.reservoir.is_none()),
    ]
    .into_iter()
    .filter_map(|(words, is_missing)| is_missing.then_some(words))
    .collect();
    match sealing.until_limit() {
        Some(Ok(UntilLimit::Days(days))) => {
            let limit = sealing.limit_pct().map(show_measure).unwrap_or_default();
            format!("The gel keeps the box within {limit} % for about {} days.", fixed(days, 0))
        }
        Some(Ok(UntilLimit::NeverReached)) => {
            "The air around the box stays within the climate aimed at.".into()
        }
        Some(Ok(UntilLimit::AlreadyBeyond)) => {
            "The humidity packed in lies at the limit or beyond it: condition the gel before it is sealed."
                .into()
        }
        Some(Err(refused)) => refused.to_string(),
        None if missing.len() >= 7 || sealing.sorbent_g.is_none() => String::new(),
        None if missing.is_empty() => "The climate aimed at has no limit that the gel could reach.".into(),
        None => format!("To say how long the gel lasts, this is missing: {}.", missing.join(", ")),
    }
}

fn draw(sealing: &Sealing) -> Option<Plot> {
    let (packed, gel) = (sealing.packed_box()?.ok()?, sealing.gel()?.ok()?);
    let (start, outside, limit) = (sealing.start_pct?, sealing.outside_pct?, sealing.limit_pct()?);
    let days = sealing.until_limit()?.ok()?.days().filter(|days| *days > 0.0)?;
    let end = days * 1.6;
    let at = |day: f64| packed.after(gel, start, outside, day).ok().map(|drift| (day, drift.rh_pct));
    let course: Option<Vec<(f64, f64)>> =
        (0..=POINTS).map(|n| at(end * f64::from(n) / f64::from(POINTS))).collect();
    let course = course?;
    let top = course.iter().map(|(_, rh)| *rh).fold(limit.max(start), f64::max);
    let low = course.iter().map(|(_, rh)| *rh).fold(limit.min(start), f64::min);
    let y = Axis::up("relative humidity in the box, %", (low - 3.0).max(0.0), (top + 3.0).min(100.0));
    let mut plot =
        Plot::new("drift", "Humidity in the box", Axis::across("days since it was sealed", 0.0, end), y);
    plot.line("line", &course);
    let side = if outside > start { Side::Below } else { Side::Above };
    plot.level(limit, side, format!("limit {} %", show_measure(limit)));
    plot.upright(days, format!("{} days", fixed(days, 0)));
    plot.dot((0.0, start), true, format!("sealed at {} %", show_measure(start)));
    plot.words = format!(
        "From {} % when sealed, under {} % around it, the box reaches {} % after {} days and {} % after {}.",
        show_measure(start),
        show_measure(outside),
        show_measure(limit),
        fixed(days, 0),
        fixed(course.last()?.1, 0),
        fixed(end, 0)
    );
    Some(plot)
}
