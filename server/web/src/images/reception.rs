//! Files on their way in: streamed to disk, looked at, kept one by one, so that what has arrived stays even when the line
//! breaks.
use super::keeping;
use super::typed::Typed;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Errors, check_form_token, read_submission};
use axum::body::Bytes;
use axum::extract::Multipart;
use axum::extract::multipart::Field;
use domain::ids::{ProjectId, SubmissionId};
use media::{Arrived, MediaError};
use std::time::Duration;
use store::finds::Find;

/// How long the line may be silent.
const SILENCE: Duration = Duration::from_secs(120);
/// Longest words of a field, in bytes.
const WORDS_BYTES: usize = 64_000;
/// What comes beyond the limit is read on, so that the browser listens to the answer, up to this many times the limit.
const READ_ON: u64 = 3;
/// Characters kept of a file's name.
const NAME_CHARS: usize = 150;

/// What the files of a form are for.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Aim<'a> {
    /// Photographs of a find.
    Photographs(&'a Find),
    /// PDF and drawings of a find.
    Documents(&'a Find),
    /// Both, sorted to the finds of a project by their names; the limit holds for each file.
    Sorted { project: ProjectId, code: &'a str },
}

/// The files of one form while they arrive.
pub(crate) struct Reception<'a> {
    pub(super) ctx: &'a Ctx,
    pub(super) aim: Aim<'a>,
    token_fits: bool,
    /// Bytes of files so far.
    total: u64,
    pub typed: Typed,
    pub errors: Errors,
    pub submission: SubmissionId,
    pub answered: Answered,
}

/// What became of the files.
#[derive(Debug, Default)]
pub(crate) struct Answered {
    /// Names of the files that were added.
    pub added: Vec<String>,
    /// How many of them no find could be told for.
    pub in_tray: usize,
    /// Files that were in the project already, in sentences.
    pub known: Vec<Told>,
    /// Files that were refused, and why.
    pub refused: Vec<Told>,
}

/// A file by name with a sentence about it.
#[derive(Debug)]
pub(crate) struct Told {
    pub name: String,
    pub sentence: String,
    pub href: Option<String>,
}

impl Answered {
    /// Whether no file was sent.
    pub(crate) fn is_empty(&self) -> bool {
        self.added.is_empty() && self.known.is_empty() && self.refused.is_empty()
    }
}

impl<'a> Reception<'a> {
    pub(crate) fn new(ctx: &'a Ctx, aim: Aim<'a>) -> Self {
        Self {
            ctx,
            aim,
            token_fits: false,
            total: 0,
            typed: Typed::default(),
            errors: Errors::default(),
            submission: SubmissionId::new(ctx.now),
            answered: Answered::default(),
        }
    }

    /// Takes in the whole form. The hidden fields and the words come before the files.
    pub(crate) async fn take(&mut self, parts: &mut Multipart) -> Answer<()> {
        while let Some(field) = patiently(parts.next_field()).await? {
            let name = field.name().unwrap_or_default().to_owned();
            match name.as_str() {
                "_token" => {
                    check_form_token(&self.ctx.form_token, &words(field).await?)?;
                    self.token_fits = true;
                }
                "submission" => self.submission = read_submission(&words(field).await?, self.ctx.now),
                "file" if self.token_fits => self.take_file(field).await?,
                "file" => self.pass_over(field).await?,
                name => {
                    self.typed.set(name, words(field).await?);
                }
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
        let mut errors = Errors::default();
        let words = self.typed.words(&mut errors);
        if !errors.is_empty() {
            // what is typed beside the files must be right before any is kept
            self.errors = errors;
            return self.pass_over(field).await;
        }
        // the form sent a second time: the files are here, only the answer was lost
        let mut tx = self.ctx.read().await?;
        let before = store::submissions::find_reply(&mut tx, self.submission, self.ctx.actor.person).await?;
        drop(tx);
        if before.is_some() {
            return self.pass_over(field).await;
        }
        let kept = match self.receive(field).await? {
            Ok(arrived) => keeping::look(self, &name, words, arrived).await?,
            Err(sentence) => Err(sentence),
        };
        if let Err(sentence) = kept {
            self.answered.refused.push(Told { name, sentence, href: None });
        }
        Ok(())
    }

    /// One file to disk, or the sentence that refuses it. Errors are those of the line.
    async fn receive(&mut self, mut field: Field<'_>) -> Answer<Result<Arrived, String>> {
        let most = self.ctx.app.config.max_upload_bytes;
        if matches!(self.aim, Aim::Sorted { .. }) {
            self.total = 0;
        }
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
}

/// The sentence of a refusal; what is our own trouble goes to the log too.
pub(crate) fn sentence(cause: &MediaError) -> String {
    if matches!(
        cause,
        MediaError::DiskFull | MediaError::Unavailable(_) | MediaError::Missing(_) | MediaError::Altered(_)
    ) {
        tracing::error!(?cause, "a file could not be stored");
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
pub fn plain_name(name: &str) -> String {
    let last = name.rsplit(['/', '\\']).next().unwrap_or_default();
    last.chars().filter(|c| !c.is_control()).take(NAME_CHARS).collect::<String>().trim().to_owned()
}

pub(crate) async fn words(mut field: Field<'_>) -> Answer<String> {
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
pub(crate) async fn patiently<T>(
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
