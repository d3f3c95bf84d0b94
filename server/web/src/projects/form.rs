//! The form of a project.
use crate::form::Errors;
use store::projects::{NewProject, Project};

/// Longest project code: it stands on every label.
const LONGEST_CODE: usize = 20;
/// How date phrases may be read, as kept and as shown.
pub(super) const CONVENTIONS: &[(&str, &str)] = &[
    ("thirds", "in thirds: early, mid and late are a third of the century each"),
    ("quarters", "in quarters: early and late are the first and last quarter, mid the half between"),
];

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct ProjectForm {
    pub revision: String,
    pub take: String,
    pub code: String,
    pub name: String,
    pub site: String,
    pub client: String,
    pub summary: String,
    pub number_pattern: String,
    pub date_convention: String,
}

impl ProjectForm {
    /// An empty form with the usual choices made.
    pub(super) fn fresh() -> Self {
        Self { number_pattern: "#".into(), date_convention: "thirds".into(), ..Self::default() }
    }

    pub(super) fn of(project: &Project) -> Self {
        Self {
            revision: project.revision.to_string(),
            take: String::new(),
            code: project.code.clone(),
            name: project.name.clone(),
            site: project.site.clone(),
            client: project.client.clone(),
            summary: project.summary.clone(),
            number_pattern: project.number_pattern.clone(),
            date_convention: project.date_convention.clone(),
        }
    }

    pub(super) fn parse(&self, errors: &mut Errors) -> NewProject {
        let code = self.code.trim().to_uppercase();
        if !is_code(&code) {
            errors.add("code", format!("Write 2 to {LONGEST_CODE} letters and digits, like VSQ31."));
        }
        let number_pattern = errors.required("number_pattern", &self.number_pattern, NO_PATTERN);
        if number_pattern.matches('#').count() != 1 {
            errors.add("number_pattern", NO_PATTERN);
        }
        if !CONVENTIONS.iter().any(|(kept, _)| *kept == self.date_convention) {
            errors.add("date_convention", "Choose one of the list.");
        }
        NewProject {
            code,
            name: errors.required("name", &self.name, "Write the project’s name."),
            site: errors.line("site", &self.site),
            client: errors.line("client", &self.client),
            summary: errors.text("summary", &self.summary),
            number_pattern,
            date_convention: self.date_convention.clone(),
        }
    }

    pub(super) fn fields(&self) -> Vec<(&'static str, &'static str, String)> {
        vec![
            ("name", "Name", self.name.clone()),
            ("site", "Site", self.site.clone()),
            ("client", "Client", self.client.clone()),
            ("summary", "Summary", self.summary.clone()),
            ("number_pattern", "Number pattern", self.number_pattern.clone()),
            ("date_convention", "Date phrases", self.date_convention.clone()),
        ]
    }

    /// Takes the field asked for over from the kept version; what is sent next starts from that.
    pub(super) fn take_over(&mut self, kept: &ProjectForm) {
        match std::mem::take(&mut self.take).as_str() {
            "name" => self.name.clone_from(&kept.name),
            "site" => self.site.clone_from(&kept.site),
            "client" => self.client.clone_from(&kept.client),
            "summary" => self.summary.clone_from(&kept.summary),
            "number_pattern" => self.number_pattern.clone_from(&kept.number_pattern),
            "date_convention" => self.date_convention.clone_from(&kept.date_convention),
            _ => {}
        }
        self.revision.clone_from(&kept.revision);
    }
}

const NO_PATTERN: &str = "Write one # where the running number goes: “#” gives 61, “SF #” gives SF 61.";

/// It stands in addresses and must not look like another page there.
fn is_code(code: &str) -> bool {
    (2..=LONGEST_CODE).contains(&code.len())
        && code != "NEW"
        && code.bytes().all(|b| b.is_ascii_uppercase() || b.is_ascii_digit() || b == b'-')
        && code.bytes().any(|b| b.is_ascii_alphanumeric())
}
