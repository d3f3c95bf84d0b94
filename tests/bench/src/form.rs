//! A form as a browser would send it.
use crate::Failure;
use scraper::{ElementRef, Html, Selector};

/// Where a form goes and what stands in it.
pub struct Form {
    pub action: String,
    pub fields: Vec<(String, String)>,
}

impl Form {
    /// Reads the form of a page.
    pub fn read(page: &str, selector: &str) -> Result<Form, Failure> {
        let page = Html::parse_document(page);
        let form = page.select(&parsed(selector)?).next().ok_or_else(|| format!("no {selector}"))?;
        let mut fields = Vec::new();
        for field in form.select(&parsed("input[name], textarea[name], select[name]")?) {
            if let (Some(name), Some(value)) = (field.attr("name"), value_of(field)) {
                fields.push((name.to_owned(), value));
            }
        }
        Ok(Form { action: form.attr("action").unwrap_or_default().to_owned(), fields })
    }

    /// What stands in a field.
    pub fn value(&self, name: &str) -> String {
        self.fields.iter().find(|(n, _)| n == name).map(|(_, v)| v.clone()).unwrap_or_default()
    }

    /// Types into a field.
    pub fn set(&mut self, name: &str, value: &str) {
        for (_, typed) in self.fields.iter_mut().filter(|(n, _)| n == name) {
            value.clone_into(typed);
        }
    }
}

/// What the field sends; `None` where it sends nothing.
fn value_of(field: ElementRef<'_>) -> Option<String> {
    let ticked = field.attr("checked").is_some();
    match (field.value().name(), field.attr("type").unwrap_or("text")) {
        ("input", "checkbox" | "radio") if !ticked => None,
        ("input", "submit" | "button" | "file") => None,
        ("input", _) => Some(field.attr("value").unwrap_or_default().to_owned()),
        ("select", _) => {
            let options: Vec<_> =
                field.child_elements().filter(|child| child.value().name() == "option").collect();
            let chosen = options.iter().find(|option| option.attr("selected").is_some()).or(options.first());
            chosen.and_then(|option| option.attr("value")).map(str::to_owned)
        }
        _ => Some(field.text().collect::<String>().trim_start_matches('\n').to_owned()),
    }
}

/// What a page says is wrong.
pub fn wrong(page: &[u8]) -> String {
    let page = Html::parse_document(&String::from_utf8_lossy(page));
    let Ok(selector) = parsed(".wrong") else { return String::new() };
    let words = page.select(&selector).flat_map(|at| at.text().collect::<Vec<_>>()).collect::<String>();
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn parsed(selector: &str) -> Result<Selector, Failure> {
    Selector::parse(selector).map_err(|fault| format!("{selector}: {fault}").into())
}
