//! The form of a find: strings as typed, and what they parse to.
use crate::form::Errors;
use domain::finds::RecoveredState;
use domain::finds::limits::{LENGTH_MM, MASS_G, POSITION_M};
use domain::finds::material::is_human_remains;
use domain::ids::{ContextId, ProjectId};
use store::Tx;
use store::finds::NewFind;
use store::projects::Material;

/// As typed.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct FindForm {
    /// The revision the form was filled from, and a field to take over from the kept version.
    pub revision: String,
    pub take: String,
    pub number: String,
    pub kind: String,
    pub context: String,
    pub material: String,
    pub material_words: String,
    pub object_type: String,
    pub description: String,
    pub quantity: String,
    pub weight_g: String,
    pub fragments: String,
    pub recovered_on: String,
    pub recovered_by: String,
    pub recovery_method: String,
    pub recovered_state: String,
    pub sample_number: String,
    pub easting_m: String,
    pub northing_m: String,
    pub height_m: String,
    pub length_mm: String,
    pub width_mm: String,
    pub thickness_mm: String,
    pub diameter_mm: String,
    pub period: String,
    pub completeness_pct: String,
    pub condition_note: String,
    pub accession_number: String,
    pub note: String,
    pub restricted: String,
}

impl FindForm {
    /// The form of a kept find.
    pub(super) fn of(find: &NewFind, context_number: Option<&str>, revision: i64) -> Self {
        let mut form = Self {
            revision: revision.to_string(),
            number: find.number.clone(),
            context: context_number.unwrap_or_default().to_owned(),
            ..Self::default()
        };
        for field in store::finds::fields::fields(find) {
            form.set(field.name, field.value);
        }
        form
    }

    /// Gives the field of a name another value.
    pub(super) fn set(&mut self, name: &str, value: String) {
        if let Some(field) = self.field(name) {
            *field = value;
        }
    }

    /// What the field of a name holds.
    pub(super) fn get(&mut self, name: &str) -> String {
        self.field(name).cloned().unwrap_or_default()
    }

    fn field(&mut self, name: &str) -> Option<&mut String> {
        Some(match name {
            "kind" => &mut self.kind,
            "context" => &mut self.context,
            "material" => &mut self.material,
            "material_words" => &mut self.material_words,
            "object_type" => &mut self.object_type,
            "description" => &mut self.description,
            "quantity" => &mut self.quantity,
            "weight_g" => &mut self.weight_g,
            "fragments" => &mut self.fragments,
            "recovered_on" => &mut self.recovered_on,
            "recovered_by" => &mut self.recovered_by,
            "recovery_method" => &mut self.recovery_method,
            "recovered_state" => &mut self.recovered_state,
            "sample_number" => &mut self.sample_number,
            "easting_m" => &mut self.easting_m,
            "northing_m" => &mut self.northing_m,
            "height_m" => &mut self.height_m,
            "length_mm" => &mut self.length_mm,
            "width_mm" => &mut self.width_mm,
            "thickness_mm" => &mut self.thickness_mm,
            "diameter_mm" => &mut self.diameter_mm,
            "period" => &mut self.period,
            "completeness_pct" => &mut self.completeness_pct,
            "condition_note" => &mut self.condition_note,
            "accession_number" => &mut self.accession_number,
            "note" => &mut self.note,
            "restricted" => &mut self.restricted,
            _ => return None,
        })
    }

    /// The find, or what is wrong with the form. The context is looked up in the project.
    pub(super) async fn parse(
        &self,
        tx: &mut Tx,
        project: ProjectId,
        materials: &[Material],
        today: chrono::NaiveDate,
    ) -> Result<Result<NewFind, Errors>, store::StoreError> {
        let mut errors = Errors::default();
        let context = self.context(tx, project, &mut errors).await?;
        let number = domain::finds::number::normal(&self.number).unwrap_or_else(|| {
            errors.add("number", "Give the find a number of up to 40 characters.");
            String::new()
        });
        if !materials.iter().any(|m| m.code == self.material) {
            errors.add("material", "Choose the material group; “Material not said” is one of them.");
        }
        let bulk = self.kind == "bulk";
        let least = if bulk { 0 } else { 1 };
        let quantity = errors.whole("quantity", &self.quantity, least).unwrap_or(if bulk { 0 } else { 1 });
        let new = NewFind {
            number,
            bulk,
            context,
            material: self.material.clone(),
            material_words: errors.line("material_words", &self.material_words),
            object_type: errors.line("object_type", &self.object_type),
            description: errors.text("description", &self.description),
            quantity,
            weight_g: errors.measure("weight_g", &self.weight_g, MASS_G),
            fragments: errors.whole("fragments", &self.fragments, 0),
            recovered_on: errors.past_day("recovered_on", &self.recovered_on, today),
            recovered_by: errors.line("recovered_by", &self.recovered_by),
            recovery_method: errors.line("recovery_method", &self.recovery_method),
            recovered_state: self.recovered_state.parse().unwrap_or(RecoveredState::Unknown),
            sample_number: errors.line("sample_number", &self.sample_number),
            easting_m: errors.measure("easting_m", &self.easting_m, POSITION_M),
            northing_m: errors.measure("northing_m", &self.northing_m, POSITION_M),
            height_m: errors.measure("height_m", &self.height_m, POSITION_M),
            length_mm: errors.measure("length_mm", &self.length_mm, LENGTH_MM),
            width_mm: errors.measure("width_mm", &self.width_mm, LENGTH_MM),
            thickness_mm: errors.measure("thickness_mm", &self.thickness_mm, LENGTH_MM),
            diameter_mm: errors.measure("diameter_mm", &self.diameter_mm, LENGTH_MM),
            period: errors.line("period", &self.period),
            completeness_pct: errors.measure("completeness_pct", &self.completeness_pct, 0.0..=100.0),
            condition_note: errors.text("condition_note", &self.condition_note),
            accession_number: errors.line("accession_number", &self.accession_number),
            note: errors.text("note", &self.note),
            restricted: match self.restricted.as_str() {
                "" => is_human_remains(&self.material),
                said => said == "yes",
            },
            place: None,
        };
        if bulk && quantity == 0 && new.weight_g.is_none() {
            errors.add("quantity", "Give a bulk find a count or a mass.");
        }
        Ok(if errors.is_empty() { Ok(new) } else { Err(errors) })
    }

    async fn context(
        &self,
        tx: &mut Tx,
        project: ProjectId,
        errors: &mut Errors,
    ) -> Result<Option<ContextId>, store::StoreError> {
        let Some(number) = domain::finds::number::normal(&self.context) else { return Ok(None) };
        let context = store::contexts::find_by_number(tx, project, &number).await?;
        if context.is_none() {
            errors.add(
                "context",
                format!("There is no context {number} yet. Enter it first, or leave this empty."),
            );
        }
        Ok(context.map(|c| c.id))
    }
}
