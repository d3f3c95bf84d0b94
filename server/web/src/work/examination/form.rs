//! The form of an examination: strings as typed, and what they parse to.
use super::super::form::{closing, day_done};
use crate::form::Errors;
use chrono::NaiveDate;
use domain::examination::{Examination, Method, Region, Verdict, region};
use domain::ids::{FindId, ImageId, ProjectId, RecordId};
use domain::stages::Stage;
use domain::work::Detail;
use std::ops::RangeInclusive;
use store::finds::Find;
use store::work::examinations::Examined;
use store::work::records::NewRecord;

/// Ultraviolet by ISO 21348: 100 nm to 400 nm.
const UV_NM: RangeInclusive<f64> = 100.0..=400.0;
/// Wide limits that catch a slipped unit (common practice, no source).
const MAGNIFICATION: RangeInclusive<f64> = 0.1..=100_000.0;
const SCALE_UM: RangeInclusive<f64> = 0.01..=100_000.0;
const TUBE_KV: RangeInclusive<f64> = 5.0..=600.0;
const TUBE_MA: RangeInclusive<f64> = 0.001..=1_000.0;
const EXPOSURE_S: RangeInclusive<f64> = 0.001..=7_200.0;
const EXPOSURE_MAS: RangeInclusive<f64> = 0.001..=100_000.0;
const DISTANCE_MM: RangeInclusive<f64> = 10.0..=10_000.0;

/// As typed. Lists run along with `find`.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct ExaminationForm {
    pub find: Vec<String>,
    pub quantity: Vec<String>,
    pub left_pct: Vec<String>,
    pub top_pct: Vec<String>,
    pub width_pct: Vec<String>,
    pub height_pct: Vec<String>,
    pub region_seen: Vec<String>,
    /// Numbers of further finds, and the button that adds them instead of saving.
    pub also: String,
    pub add: String,
    pub supersedes: String,
    pub done_by: String,
    pub done_on: String,
    pub instrument: String,
    pub note: String,
    pub finished: String,
    pub question: String,
    pub area: String,
    pub verdict: String,
    pub seen: String,
    pub azimuth_deg: String,
    pub elevation_deg: String,
    pub wavelength_nm: String,
    pub filter: String,
    pub colour: String,
    pub intensity: String,
    pub magnification: String,
    pub scale_um: String,
    pub plate_number: String,
    pub tube_kv: String,
    pub tube_ma: String,
    pub exposure_s: String,
    pub exposure_mas: String,
    pub distance_mm: String,
    pub view_angle: String,
    pub plate_image: String,
    pub setup_image: String,
    /// Photographs that belong to the record.
    pub image: Vec<String>,
}

impl ExaminationForm {
    /// The examination that this one corrects.
    pub(super) fn corrected(&self) -> Option<RecordId> {
        self.supersedes.parse().ok()
    }

    /// An examination as the form shows it; the regions follow the finds of the form.
    pub(super) fn of(old: &Examined, finds: &[(FindId, Option<i64>)]) -> Self {
        let seen = &old.examination;
        let number = |measure: Option<f64>| measure.map(|n| n.to_string()).unwrap_or_default();
        let of_find = |find: &FindId| seen.regions.iter().find(|region| region.find == *find);
        let column = |side: fn(&Region) -> String| {
            finds.iter().map(|(find, _)| of_find(find).map(side).unwrap_or_default()).collect()
        };
        Self {
            find: finds.iter().map(|(find, _)| find.to_string()).collect(),
            quantity: finds.iter().map(|(_, n)| n.map(|n| n.to_string()).unwrap_or_default()).collect(),
            left_pct: column(|r| r.left_pct.to_string()),
            top_pct: column(|r| r.top_pct.to_string()),
            width_pct: column(|r| r.width_pct.to_string()),
            height_pct: column(|r| r.height_pct.to_string()),
            region_seen: column(|r| r.seen.clone()),
            supersedes: old.record.to_string(),
            done_by: old.done_by.clone(),
            done_on: old.done_on.to_string(),
            instrument: old.instrument.clone(),
            note: old.note.clone(),
            finished: if old.finished { "yes".into() } else { "no".into() },
            question: seen.question.clone(),
            area: seen.area.clone(),
            verdict: seen.verdict.code().into(),
            seen: seen.seen.clone(),
            azimuth_deg: number(seen.azimuth_deg),
            elevation_deg: number(seen.elevation_deg),
            wavelength_nm: number(seen.wavelength_nm),
            filter: seen.filter.clone(),
            colour: seen.colour.clone(),
            intensity: seen.intensity.clone(),
            magnification: number(seen.magnification),
            scale_um: number(seen.scale_um),
            plate_number: seen.plate_number.clone(),
            tube_kv: number(seen.tube_kv),
            tube_ma: number(seen.tube_ma),
            exposure_s: number(seen.exposure_s),
            exposure_mas: number(seen.exposure_mas),
            distance_mm: number(seen.distance_mm),
            view_angle: seen.view_angle.clone(),
            plate_image: seen.plate_image.map(|id| id.to_string()).unwrap_or_default(),
            setup_image: seen.setup_image.map(|id| id.to_string()).unwrap_or_default(),
            ..Self::default()
        }
    }

    /// The record, or what is wrong with the form. `images` are those that may be chosen.
    pub(super) fn parse(
        &self,
        project: ProjectId,
        method: Method,
        finds: &[Find],
        images: &[ImageId],
        today: NaiveDate,
    ) -> Result<NewRecord, Errors> {
        let mut errors = Errors::default();
        let examination = self.examination(method, finds, images, &mut errors);
        let done_by = errors.required(
            "done_by",
            &self.done_by,
            "Say who looked at it; several names are separated by commas.",
        );
        let done_on = day_done(&mut errors, &self.done_on, today);
        let finished = self.finished == "yes";
        if finished {
            closing(&mut errors, examination.lacks());
        }
        let new = NewRecord {
            project,
            stage: if method == Method::Xray { Stage::Xray } else { Stage::Examination },
            done_by,
            done_on,
            method: errors.line("instrument", &self.instrument),
            materials: String::new(),
            outcome: format!("{}. {}", examination.verdict.label(), examination.seen),
            note: errors.text("note", &self.note),
            finished,
            standing: None,
            supersedes: self.corrected(),
            detail: Detail::Examination(Box::new(examination)),
            finds: self.parts(finds, &mut errors),
        };
        if errors.is_empty() { Ok(new) } else { Err(errors) }
    }

    fn examination(
        &self,
        method: Method,
        finds: &[Find],
        images: &[ImageId],
        errors: &mut Errors,
    ) -> Examination {
        let question = errors.line("question", &self.question);
        let area = errors.line("area", &self.area);
        let mut seen = Examination { question, area, ..Examination::by(method, Verdict::Inconclusive) };
        match method {
            Method::Visible => {}
            Method::Raking => {
                seen.azimuth_deg = errors.measure("azimuth_deg", &self.azimuth_deg, 0.0..=360.0);
                seen.elevation_deg = errors.measure("elevation_deg", &self.elevation_deg, 0.0..=90.0);
            }
            Method::Uv => {
                seen.wavelength_nm = errors.measure("wavelength_nm", &self.wavelength_nm, UV_NM);
                seen.filter = errors.line("filter", &self.filter);
                seen.colour = errors.line("colour", &self.colour);
                seen.intensity = errors.line("intensity", &self.intensity);
            }
            Method::Microscopy => {
                seen.magnification = errors.measure("magnification", &self.magnification, MAGNIFICATION);
                seen.scale_um = errors.measure("scale_um", &self.scale_um, SCALE_UM);
            }
            Method::Xray => self.plate(&mut seen, finds, images, errors),
        }
        seen.verdict = errors.choice("verdict", &self.verdict).unwrap_or(Verdict::Inconclusive);
        seen.seen = errors.text("seen", &self.seen);
        seen
    }

    fn plate(&self, seen: &mut Examination, finds: &[Find], images: &[ImageId], errors: &mut Errors) {
        seen.plate_number = errors.line("plate_number", &self.plate_number);
        seen.tube_kv = errors.measure("tube_kv", &self.tube_kv, TUBE_KV);
        seen.tube_ma = errors.measure("tube_ma", &self.tube_ma, TUBE_MA);
        seen.exposure_s = errors.measure("exposure_s", &self.exposure_s, EXPOSURE_S);
        seen.exposure_mas = errors.measure("exposure_mas", &self.exposure_mas, EXPOSURE_MAS);
        if seen.exposure_is_at_odds() {
            errors.add(
                "exposure_mas",
                "Current times time gives another figure than this. Correct one of the three, or leave one out.",
            );
        }
        seen.distance_mm = errors.measure("distance_mm", &self.distance_mm, DISTANCE_MM);
        seen.view_angle = errors.line("view_angle", &self.view_angle);
        seen.plate_image = chosen("plate_image", &self.plate_image, images, errors);
        seen.setup_image = chosen("setup_image", &self.setup_image, images, errors);
        seen.regions = finds.iter().filter_map(|find| self.region(find, errors)).collect();
        if !seen.regions.is_empty() && seen.plate_image.is_none() {
            errors.add("plate_image", "Choose the picture of the plate on which the regions lie.");
        }
    }

    fn region(&self, find: &Find, errors: &mut Errors) -> Option<Region> {
        let at = self.find.iter().position(|id| *id == find.id.to_string())?;
        let cell = |column: &[String]| column.get(at).cloned().unwrap_or_default();
        let mut own = Errors::default();
        let sides = [&self.left_pct, &self.top_pct, &self.width_pct, &self.height_pct]
            .map(|column| own.measure("side", &cell(column), 0.0..=100.0));
        let seen = own.line("seen", &cell(&self.region_seen));
        let fault = match (own.list().first(), region(sides)) {
            (Some((_, sentence)), _) => sentence.clone(),
            (None, Err(fault)) => fault.to_string(),
            (None, Ok(None)) if !seen.is_empty() => "say where on the picture it lies.".into(),
            (None, Ok(None)) => return None,
            (None, Ok(Some([left_pct, top_pct, width_pct, height_pct]))) => {
                return Some(Region { find: find.id, left_pct, top_pct, width_pct, height_pct, seen });
            }
        };
        errors.add("regions", format!("{}: {fault}", find.number));
        None
    }

    fn parts(&self, finds: &[Find], errors: &mut Errors) -> Vec<(FindId, Option<i64>)> {
        let part = |find: &Find| {
            let at = self.find.iter().position(|id| *id == find.id.to_string());
            let typed = at.and_then(|at| self.quantity.get(at)).map_or("", String::as_str);
            let quantity = errors.whole("regions", typed, 1);
            if quantity.is_some_and(|asked| asked > find.quantity) {
                let sentence =
                    format!("{} holds {} pieces; write no more than that.", find.number, find.quantity);
                errors.add("regions", sentence);
            }
            (find.id, quantity)
        };
        finds.iter().map(part).collect()
    }
}

fn chosen(field: &'static str, typed: &str, images: &[ImageId], errors: &mut Errors) -> Option<ImageId> {
    if typed.is_empty() {
        return None;
    }
    let image = typed.parse().ok().filter(|id| images.contains(id));
    if image.is_none() {
        errors.add(field, "Choose a photograph of one of these finds.");
    }
    image
}
