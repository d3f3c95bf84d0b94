//! What is typed beside files on their way in.
use crate::form::Errors;
use domain::shots::Moment;
use store::images::ImageWords;

/// Longest scale in mm: two metres, a ranging rod.
const LONGEST_SCALE_MM: i64 = 2_000;

/// As typed; for all files of a sending.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(crate) struct Typed {
    pub credit: String,
    pub view: String,
    pub light: String,
    pub moment: String,
    pub scale_mm: String,
    /// Of attachments.
    pub title: String,
    pub findspot: String,
}

impl Typed {
    /// Takes one field of the form; `false` when it is none of these.
    pub(super) fn set(&mut self, field: &str, words: String) -> bool {
        let place = match field {
            "credit" => &mut self.credit,
            "view" => &mut self.view,
            "light" => &mut self.light,
            "moment" => &mut self.moment,
            "scale_mm" => &mut self.scale_mm,
            "title" => &mut self.title,
            "findspot" => &mut self.findspot,
            _ => return false,
        };
        *place = words;
        true
    }

    /// What is said of each photograph.
    pub(super) fn words(&self, errors: &mut Errors) -> ImageWords {
        ImageWords {
            caption: String::new(),
            view: errors.line("view", &self.view),
            light: errors.line("light", &self.light),
            credit: errors.line("credit", &self.credit),
            moment: moment(errors, &self.moment),
            scale_mm: scale(errors, &self.scale_mm),
        }
    }
}

/// `before`, `during`, `after`, or empty.
pub(super) fn moment(errors: &mut Errors, typed: &str) -> String {
    if typed.trim().is_empty() {
        return String::new();
    }
    errors.choice::<Moment>("moment", typed).map_or_else(String::new, |moment| moment.code().to_owned())
}

/// The length of the scale in the picture in mm.
pub(super) fn scale(errors: &mut Errors, typed: &str) -> Option<i64> {
    let scale = errors.whole("scale_mm", typed, 1);
    if scale.is_some_and(|mm| mm > LONGEST_SCALE_MM) {
        errors.add("scale_mm", format!("Write the length of the scale in mm, {LONGEST_SCALE_MM} at most."));
    }
    scale
}
