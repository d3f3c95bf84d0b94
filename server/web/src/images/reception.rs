//! Files on their way in: streamed to disk, opened in the darkroom, kept one by one, so that what has arrived stays even
//! when the line breaks.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{check_form_token, read_submission};
use crate::links;
use crate::work::enter::find_entry;
use axum::body::Bytes;
use axum::extract::Multipart;
use axum::extract::multipart::Field;
use domain::ids::SubmissionId;
use media::{Arrived, MediaError, Photograph};
use std::time::Duration;
use store::finds::Find;
use store::images::{ImageWords, NewImage};

/// How long the line may be silent.
const SILENCE: Duration = Duration::from_secs(120);
/// Longest words of a field, in bytes.
const WORDS_BYTES: usize = 4_000;
/// What comes beyond the limit is read on, so that the browser listens to the answer, up to this many times the limit.
const READ_ON: u64 = 3;
/// Characters kept of a file's name.
const NAME_CHARS: usize = 150;

/// The files of one form while they arrive.
pub(super) struct Reception<'a> {
    ctx: &'a Ctx,
    find: &'a Find,
    token_fits: bool,
    /// Bytes of files so far.
    total: u64,
    pub words: ImageWords,
    pub submission: SubmissionId,
    pub answered: Answered,
}

/// What became of the files.
#[derive(Debug, Default)]
pub(super) struct Answered {
    /// Names of the files that were added.
    pub added: Vec<String>,
    /// Files that were in the project already, in sentences.
    pub known: Vec<Told>,
    /// Files that were refused, and why.
    pub refused: Vec<Told>,
}

/// A file by name with a sentence about it.
#[derive(Debug)]
pub(super) struct Told {
    pub name: String,
    pub sentence: String,
    pub href: Option<String>,
}

impl<'a> Reception<'a> {
    pub(super) fn new(ctx: &'a Ctx, find: &'a Find) -> Self {
        Self {
            ctx,
            find,
            token_fits: false,
            total: 0,
            words: ImageWords::default(),
            submission: SubmissionId::new(ctx.now),
            answered: Answered::default(),
        }
    }

    /// Takes in the whole form. The hidden fields and the words come before the files.
    pub(super) async fn take(&mut self, parts: &mut Multipart) -> Answer<()> {
        while let Some(field) = patiently(parts.next_field()).await? {
            match field.name().unwrap_or_default() {
                "_token" => {
                    check_form_token(&self.ctx.form_token, &words(field).await?)?;
                    self.token_fits = true;
                }
                "submission" => self.submission = read_submission(&words(field).await?, self.ctx.now),
                "credit" => self.words.credit = words(field).await?,
                "view" => self.words.view = words(field).await?,
                "light" => self.words.light = words(field).await?,
                "file" if self.token_fits => self.take_file(field).await?,
                _ => self.pass_over(field).await?,
            }
        }
        if self.token_fits { Ok(()) } else { Err(AppError::StaleForm) }
    }

    async fn take_file(&mut self, field: Field<'_>) -> Answer<()> {
        let name = plain_name(field.file_name().unwrap_or_default());
        if name.is_empty() {
            // what browsers send when no file was chosen
            return self.pass_over(field).await;
        }
        // the form sent a second time: the files are here, only the answer was lost
        let mut tx = self.ctx.read().await?;
        let before = store::submissions::find_reply(&mut tx, self.submission, self.ctx.actor.person).await?;
        drop(tx);
        if before.is_some() {
            return self.pass_over(field).await;
        }
        let admitted = match self.receive(field).await? {
            Ok(arrived) => self
                .ctx
                .app
                .darkroom
                .admit(&self.ctx.app.files, arrived)
                .await
                .map_err(|cause| sentence(&cause)),
            Err(sentence) => Err(sentence),
        };
        match admitted {
            Ok(photograph) => self.keep(name, &photograph).await?,
            Err(sentence) => self.answered.refused.push(Told { name, sentence, href: None }),
        }
        Ok(())
    }

    /// One file to disk, or the sentence that refuses it. Errors are those of the line.
    async fn receive(&mut self, mut field: Field<'_>) -> Answer<Result<Arrived, String>> {
        let most = self.ctx.app.config.max_upload_bytes;
        let mut incoming = self.ctx.app.files.receive(most).await.map_err(|cause| sentence(&cause));
        while let Some(chunk) = patiently(field.chunk()).await? {
            let fits = self.count(&chunk)?;
            if let Ok(file) = &mut incoming {
                match file.write(&chunk).await {
                    Err(cause) => incoming = Err(sentence(&cause)),
                    Ok(()) if !fits => incoming = Err(too_much(most)),
                    Ok(()) => {}
                }
            }
        }
        Ok(match incoming {
            Ok(file) => file.seal().await.map_err(|cause| sentence(&cause)),
            Err(sentence) => Err(sentence),
        })
    }

    async fn pass_over(&mut self, mut field: Field<'_>) -> Answer<()> {
        while let Some(chunk) = patiently(field.chunk()).await? {
            self.count(&chunk)?;
        }
        Ok(())
    }

    /// Whether the form is still within the limit.
    fn count(&mut self, chunk: &Bytes) -> Answer<bool> {
        let most = self.ctx.app.config.max_upload_bytes;
        self.total = self.total.saturating_add(chunk.len() as u64);
        if self.total > most.saturating_mul(READ_ON) {
            return Err(AppError::Unreadable(too_much(most)));
        }
        Ok(self.total <= most)
    }

    async fn keep(&mut self, name: String, photograph: &Photograph) -> Answer<()> {
        let ctx = self.ctx;
        let new = new_image(self.find, &name, photograph, &self.words);
        let mut tx = ctx.write().await?;
        let (id, fresh) = store::images::insert(&mut tx, &new, ctx.actor.person, ctx.now).await?;
        if let Some(reason) = store::images::find_withdrawal(&mut tx, id).await? {
            let sentence = format!(
                "This photograph was withdrawn: {reason}. It stays out of sight until it is brought back."
            );
            self.answered.refused.push(Told { name, sentence, href: None });
            return Ok(());
        }
        let attached = store::images::insert_find(&mut tx, id, self.find.id).await?;
        if attached {
            let words = format!("added the photograph {name}");
            store::journal::append(&mut tx, &find_entry(ctx, self.find, "photographed", words), ctx.now)
                .await?;
        }
        tx.commit().await?;
        if fresh {
            self.answered.added.push(name);
        } else {
            let sentence = known_sentence(&self.find.number, attached);
            self.answered.known.push(Told { name, sentence, href: Some(links::image_page(id)) });
        }
        Ok(())
    }
}

fn known_sentence(number: &str, attached: bool) -> String {
    if attached {
        format!("This photograph is in the project already. It is kept once and now shows {number} too.")
    } else {
        format!("This photograph is among those of {number} already. It is kept once.")
    }
}

fn new_image(find: &Find, name: &str, photograph: &Photograph, words: &ImageWords) -> NewImage {
    let seen = &photograph.inspection;
    let (width, height) = seen.upright_px();
    let make = seen.camera_make.as_deref().unwrap_or_default();
    let model = seen.camera_model.as_deref().unwrap_or_default();
    // many models repeat the maker’s name
    let camera =
        if model.starts_with(make) { model.to_owned() } else { format!("{make} {model}").trim().to_owned() };
    NewImage {
        project: find.project_id,
        sha256: photograph.checksum.to_string(),
        file_name: name.to_owned(),
        media_type: seen.kind.mime().to_owned(),
        bytes: i64::try_from(photograph.size_bytes).unwrap_or(i64::MAX),
        width_px: width.into(),
        height_px: height.into(),
        taken_at: seen.taken_at.map(|at| at.format("%Y-%m-%d %H:%M:%S").to_string()).unwrap_or_default(),
        camera,
        has_position: seen.has_position,
        words: words.clone(),
    }
}

/// The sentence of a refusal; what is our own trouble goes to the log too.
fn sentence(cause: &MediaError) -> String {
    if matches!(
        cause,
        MediaError::DiskFull | MediaError::Unavailable(_) | MediaError::Missing(_) | MediaError::Altered(_)
    ) {
        tracing::error!(?cause, "a photograph could not be stored");
    }
    cause.to_string()
}

fn too_much(most: u64) -> String {
    format!(
        "Together these files are larger than {} MB. Send this one again by itself, or with fewer others.",
        most / 1_000_000
    )
}

/// The last part of a path, without what cannot be shown.
fn plain_name(name: &str) -> String {
    let last = name.rsplit(['/', '\\']).next().unwrap_or_default();
    last.chars().filter(|c| !c.is_control()).take(NAME_CHARS).collect::<String>().trim().to_owned()
}

async fn words(mut field: Field<'_>) -> Answer<String> {
    let mut bytes = Vec::new();
    while let Some(chunk) = patiently(field.chunk()).await? {
        bytes.extend_from_slice(&chunk);
        if bytes.len() > WORDS_BYTES {
            return Err(AppError::Unreadable(
                "One of the texts is too long. Shorten it and send the files again.".into(),
            ));
        }
    }
    let text = String::from_utf8_lossy(&bytes);
    Ok(text.chars().filter(|c| !c.is_control()).collect::<String>().trim().to_owned())
}

/// Waits for the next piece from the line, but not for ever.
async fn patiently<T>(
    next: impl Future<Output = Result<T, axum::extract::multipart::MultipartError>>,
) -> Answer<T> {
    let broken = "The files did not arrive whole. What had arrived before is kept; send the rest again.";
    match tokio::time::timeout(SILENCE, next).await {
        Ok(Ok(piece)) => Ok(piece),
        Ok(Err(cause)) => {
            tracing::debug!(%cause, "an upload broke off");
            Err(AppError::Unreadable(broken.into()))
        }
        Err(_) => Err(AppError::Unreadable(broken.into())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_files_name_is_its_last_part() {
        assert_eq!(plain_name("C:\\fakepath\\IMG 1.jpg"), "IMG 1.jpg");
        assert_eq!(plain_name("../../etc/passwd"), "passwd");
        assert_eq!(plain_name("a\u{7}b.png"), "ab.png");
    }
}
