//! Contexts, their dates and the diagram.
use domain::ids::{ContextId, FindId, FixedYearId, JudgementId};

/// The contexts of a project.
pub fn contexts(code: &str) -> String {
    format!("/projects/{code}/contexts")
}

/// A context's page.
pub fn context(id: ContextId) -> String {
    format!("/contexts/{id}")
}

/// Edits a context.
pub fn context_edit(id: ContextId) -> String {
    format!("/contexts/{id}/edit")
}

/// Enters a context.
pub fn context_new(code: &str) -> String {
    format!("/projects/{code}/contexts/new")
}

/// The stratigraphic diagram of a project.
pub fn diagram(code: &str) -> String {
    format!("/projects/{code}/diagram")
}

/// A context in the diagram.
pub fn in_diagram(code: &str, id: ContextId) -> String {
    format!("/projects/{code}/diagram#c-{id}")
}

/// The diagram at a size, of an area or of everything.
pub fn diagram_at(code: &str, size: &str, area: &str) -> String {
    let mut query = form_urlencoded::Serializer::new(String::new());
    for (name, value) in [("area", area), ("size", size)] {
        if !value.is_empty() {
            query.append_pair(name, value);
        }
    }
    let query = query.finish();
    if query.is_empty() { diagram(code) } else { format!("{}?{query}", diagram(code)) }
}

/// Judges a find residual or intrusive where it lies.
pub fn judgement_new(find: FindId) -> String {
    format!("/finds/{find}/judgements/new")
}

/// Withdraws a judgement.
pub fn judgement_withdrawal(id: JudgementId) -> String {
    format!("/judgements/{id}/withdrawal")
}

/// Fixes a year by which a context was there.
pub fn fixed_year_new(context: ContextId) -> String {
    format!("/contexts/{context}/fixed-years/new")
}

/// Withdraws a fixed year.
pub fn fixed_year_withdrawal(id: FixedYearId) -> String {
    format!("/fixed-years/{id}/withdrawal")
}
