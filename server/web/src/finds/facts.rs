//! What the register says of a find, line by line.
use crate::context::Ctx;
use crate::filters::{show_count, show_day, show_measure};
use store::finds::Find;

/// The lines of the register that say something.
pub(crate) fn lines(ctx: &Ctx, find: &Find) -> Vec<(&'static str, String)> {
    let measure = |value: Option<f64>, unit: &str| {
        value.map(|v| format!("{} {unit}", show_measure(v))).unwrap_or_default()
    };
    let quantity = show_count(find.quantity);
    let mut lines = vec![
        ("Quantity", if find.bulk { format!("{quantity} pieces, bulk") } else { quantity }),
        ("Mass", measure(find.weight_g, "g")),
        ("Fragments", find.fragments.map(show_count).unwrap_or_default()),
        ("Material as registered", find.material_words.clone()),
        ("Length", measure(find.length_mm, "mm")),
        ("Width", measure(find.width_mm, "mm")),
        ("Thickness", measure(find.thickness_mm, "mm")),
        ("Diameter", measure(find.diameter_mm, "mm")),
        ("Completeness", measure(find.completeness_pct, "%")),
        ("Period", find.period.clone()),
        ("Recovered", recovered(find)),
        ("State on recovery", find.recovered_state.label().into()),
        ("Condition", find.condition_note.clone()),
        ("Sample", find.sample_number.clone()),
        ("Accession", find.accession_number.clone()),
        ("Note", find.note.clone()),
    ];
    if ctx.actor.sees_findspot(find.project_id) {
        let position = [("E", find.easting_m), ("N", find.northing_m), ("height", find.height_m)];
        let words: Vec<String> = position
            .iter()
            .filter_map(|(name, m)| m.map(|m| format!("{name} {} m", show_measure(m))))
            .collect();
        lines.push(("Findspot", words.join(", ")));
    }
    lines.retain(|(_, words)| !words.is_empty());
    lines
}

fn recovered(find: &Find) -> String {
    let by = (!find.recovered_by.is_empty()).then(|| format!("by {}", find.recovered_by));
    let how = (!find.recovery_method.is_empty()).then(|| find.recovery_method.clone());
    let parts: Vec<String> = [find.recovered_on.map(show_day), by, how].into_iter().flatten().collect();
    parts.join(", ")
}
