//! What the name of a file tells: `VSQ31_61_front_before.jpg` shows 61 from the front before treatment.
use super::{Light, Moment};
use crate::finds::number::normal;
use crate::words::fold;

/// What was read from a name; what it does not tell is empty.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct NameRead {
    /// For each find shown the numbers that may be meant, the likeliest first.
    pub numbers: Vec<Vec<String>>,
    pub moment: Option<Moment>,
    pub view: String,
    pub light: Option<Light>,
}

/// Views by the words that stand in names.
const VIEWS: &[(&str, &str)] = &[
    ("front", "front"),
    ("back", "back"),
    ("left", "left side"),
    ("right", "right side"),
    ("side", "side"),
    ("top", "top"),
    ("under", "underside"),
    ("underside", "underside"),
    ("bottom", "underside"),
    ("profile", "profile"),
    ("section", "section"),
    ("detail", "detail"),
    ("join", "join"),
    ("damage", "damage"),
    ("mark", "mark"),
    ("marks", "marks"),
    ("drawing", "drawing"),
];

const LIGHTS: &[(&str, Light)] = &[
    ("visible", Light::Visible),
    ("vis", Light::Visible),
    ("raking", Light::Raking),
    ("uv", Light::Uv),
    ("ultraviolet", Light::Uv),
    ("xray", Light::Xray),
    ("x-ray", Light::Xray),
    ("micro", Light::Microscope),
    ("microscope", Light::Microscope),
];

/// Words that stand before a number and are no part of it.
const BEFORE_NUMBERS: &[&str] = &["sf", "find", "finds", "no", "nr"];

/// Reads a file’s name in a project. The first figure is the number of the find, several joined by `+`; figures after it
/// count photographs. Names that cameras give (four signs and four digits, as in `IMG_0042`: the file names of the DCF
/// standard, JEITA CP-3461, from memory) tell nothing.
///
/// ```
/// use domain::shots::{read_name, Moment};
/// let read = read_name("VSQ31_61_front_before.jpg", "VSQ31");
/// assert_eq!(read.numbers, [["61"]]);
/// assert_eq!((read.view.as_str(), read.moment), ("front", Some(Moment::Before)));
/// assert!(read_name("IMG_0042.JPG", "VSQ31").numbers.is_empty());
/// ```
pub fn read_name(name: &str, code: &str) -> NameRead {
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    let mut read = NameRead::default();
    if is_from_a_camera(stem) {
        return read;
    }
    let parted: Vec<&str> =
        stem.split(['_', ' ', ',', ';', '(', ')']).filter(|part| !part.is_empty()).collect();
    let parts = match parted.as_slice() {
        [one] => one.split('-').filter(|part| !part.is_empty()).collect(),
        _ => parted,
    };
    for part in parts {
        let word = part.to_lowercase();
        if fold(part) == fold(code) || BEFORE_NUMBERS.contains(&word.as_str()) {
            continue;
        }
        if let Ok(moment) = word.parse::<Moment>() {
            read.moment = Some(moment);
        } else if let Some((_, light)) = LIGHTS.iter().find(|(known, _)| *known == word) {
            read.light = Some(*light);
        } else if let Some((_, view)) = VIEWS.iter().find(|(known, _)| *known == word) {
            if read.view.is_empty() {
                read.view = (*view).to_owned();
            }
        } else if read.numbers.is_empty() && word.contains(|c: char| c.is_ascii_digit()) {
            read.numbers = part.split(['+', '&']).map(candidates).filter(|c| !c.is_empty()).collect();
        }
    }
    read
}

/// `SF61` may be the number itself, or 61 with a word before it.
fn candidates(part: &str) -> Vec<String> {
    let bare = part.trim_start_matches(|c: char| c.is_ascii_alphabetic());
    let zeros = bare.trim_start_matches('0');
    let mut numbers: Vec<String> = [part, bare, zeros].into_iter().filter_map(normal).collect();
    numbers.dedup();
    numbers
}

fn is_from_a_camera(stem: &str) -> bool {
    let signs: Vec<char> = stem.chars().collect();
    signs.len() == 8
        && signs[..4].iter().all(|c| c.is_ascii_alphanumeric() || *c == '_')
        && signs[..4].iter().any(|c| c.is_ascii_alphabetic() || *c == '_')
        && signs[4..].iter().all(char::is_ascii_digit)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_read_as_people_write_them() {
        let numbers = |name: &str| -> Vec<String> {
            read_name(name, "VSQ31").numbers.into_iter().filter_map(|mut c| c.pop()).collect()
        };
        for (name, wanted) in [
            ("vsq31-88-uv.TIF", vec!["88"]),
            ("VSQ31 SF 61 back.png", vec!["61"]),
            ("SF061_raking.jpg", vec!["61"]),
            ("61+62_after.jpg", vec!["61", "62"]),
            ("VSQ31_61_front_2.jpg", vec!["61"]),
            ("VSQ31_61_2.jpg", vec!["61"]),
            ("plan of trench.pdf", vec![]),
            ("DSC_0061.JPG", vec![]),
            ("P1010061.JPG", vec![]),
            ("", vec![]),
        ] {
            assert_eq!(numbers(name), wanted, "{name}");
        }
        let read = read_name("VSQ31_88_Left_UV_after_3.jpg", "VSQ31");
        let told = (read.view.as_str(), read.light, read.moment);
        assert_eq!(told, ("left side", Some(Light::Uv), Some(Moment::After)));
    }
}
