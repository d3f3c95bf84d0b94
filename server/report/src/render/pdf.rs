//! A report on A4 paper: PDF/A-2a and PDF/UA-1.
use crate::interim::{Account, Interim};
use crate::typeset::{self, Files, Printing, Template, TypesetError};
use serde::Serialize;
use std::collections::BTreeMap;

const INTERIM: Template = Template {
    main: include_str!("../../../../templates/report/interim.typ"),
    parts: &[typeset::HOUSE, ("pieces.typ", include_str!("../../../../templates/report/pieces.typ"))],
};

/// The room a plate has beside its neighbour, in millimetres; a picture fills its width or its height.
const PLATE_WIDTH_MM: f64 = 76.0;
const PLATE_HEIGHT_MM: f64 = 60.0;

#[derive(Serialize)]
struct Paper<'a> {
    account: &'a Account,
    /// By figure number; a picture that cannot be shown is missing.
    pictures: BTreeMap<usize, Picture>,
}

#[derive(Serialize)]
struct Picture {
    file: String,
    height_mm: f64,
}

/// The interim report as PDF.
///
/// # Errors
/// [`TypesetError`] when the document cannot be made; a picture that cannot be read is named on the page instead.
pub fn interim(input: &Interim) -> Result<Vec<u8>, TypesetError> {
    let account = Account::of(input);
    let mut files = Files::new();
    let mut pictures = BTreeMap::new();
    for plate in account.plates() {
        let Some(photograph) = input.photographs.iter().find(|photograph| photograph.name == plate.name)
        else {
            continue;
        };
        let Some((width, height)) = typeset::picture_size(&photograph.jpeg) else { continue };
        let file = format!("photo-{}.jpg", plate.number);
        let height_mm = (PLATE_WIDTH_MM * f64::from(height) / f64::from(width)).min(PLATE_HEIGHT_MM);
        files.insert(file.clone(), photograph.jpeg.clone());
        pictures.insert(plate.number, Picture { file, height_mm });
    }
    let identity = format!("{} interim {}", input.code, input.reported_on);
    let printing = Printing { identity: &identity, date: input.reported_on };
    typeset::compile(&INTERIM, &Paper { account: &account, pictures }, files, &printing)
}
