//! Forms that bring one small file with their words: a list, a filled template. It is read in memory and not kept; what is
//! kept as a file goes through `images` and `attachments`.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Posted, check_form_token, read_submission};
use crate::images::patiently;
use axum::extract::Multipart;
use axum::extract::multipart::{Field, MultipartRejection};

/// What was sent.
#[derive(Default)]
pub(crate) struct FileForm {
    fields: Vec<(String, String)>,
    /// Empty where no file was chosen. One beyond the limit is cut behind it, so that reading it says what is wrong.
    pub file: Vec<u8>,
    admitted: bool,
}

impl FileForm {
    /// Takes the form in: the token first, then words and a file of so many bytes at most.
    pub async fn take(
        ctx: &Ctx,
        parts: Result<Multipart, MultipartRejection>,
        most_bytes: usize,
    ) -> Answer<Self> {
        let mut parts = parts.map_err(|_| AppError::Unreadable("The form could not be read.".into()))?;
        let mut sent = Self::default();
        while let Some(field) = patiently(parts.next_field()).await? {
            let name = field.name().unwrap_or_default().to_owned();
            match name.as_str() {
                "_token" => {
                    let token = words(bytes(field, most_bytes).await?);
                    check_form_token(&ctx.form_token, token.trim())?;
                    sent.admitted = true;
                }
                "file" if sent.admitted => sent.file = bytes(field, most_bytes).await?,
                "file" => return Err(AppError::StaleForm),
                _ => sent.fields.push((name, words(bytes(field, most_bytes).await?))),
            }
        }
        if sent.admitted { Ok(sent) } else { Err(AppError::StaleForm) }
    }

    /// What was typed into a field, lines kept.
    pub fn field(&self, name: &str) -> &str {
        self.fields.iter().find(|(known, _)| known == name).map_or("", |(_, words)| words.as_str())
    }

    /// The form as one that can be sent only once.
    pub fn posted(&self, ctx: &Ctx) -> Posted<()> {
        let submission = read_submission(self.field("submission"), ctx.now);
        Posted { form: (), submission, body: Default::default() }
    }
}

fn words(bytes: Vec<u8>) -> String {
    String::from_utf8_lossy(&bytes).into_owned()
}

/// A small file in memory; what goes beyond the limit is read and left.
async fn bytes(mut field: Field<'_>, most: usize) -> Answer<Vec<u8>> {
    let mut bytes = Vec::new();
    while let Some(chunk) = patiently(field.chunk()).await? {
        if bytes.len() <= most {
            bytes.extend_from_slice(&chunk);
        }
    }
    Ok(bytes)
}
