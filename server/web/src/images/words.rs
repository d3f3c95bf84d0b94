//! What people say about a photograph: caption, view, light, photographer.
use super::{show, tell_journal, typed};
use crate::conflict::Conflict;
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{again, ok};
use crate::path::Path;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use domain::ids::ImageId;
use store::Tx;
use store::images::{Image, ImageWords};

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct WordsForm {
    pub caption: String,
    pub view: String,
    pub light: String,
    pub credit: String,
    pub moment: String,
    pub scale_mm: String,
    pub revision: String,
    /// The field whose saved words are taken over.
    take: String,
}

impl WordsForm {
    pub(super) fn of(image: &Image) -> Self {
        let ImageWords { caption, view, light, credit, moment, scale_mm } = image.words();
        let scale_mm = scale_mm.map(|mm| mm.to_string()).unwrap_or_default();
        let (revision, take) = (image.revision.to_string(), String::new());
        Self { caption, view, light, credit, moment, scale_mm, revision, take }
    }

    fn fields(&self) -> Vec<(&'static str, &'static str, String)> {
        vec![
            ("caption", "Caption", self.caption.clone()),
            ("view", "View", self.view.clone()),
            ("light", "Light", self.light.clone()),
            ("credit", "Photographer", self.credit.clone()),
            ("moment", "Moment", self.moment.clone()),
            ("scale_mm", "Scale", self.scale_mm.clone()),
        ]
    }

    fn parse(&self) -> Result<ImageWords, Errors> {
        let mut errors = Errors::default();
        let words = ImageWords {
            caption: errors.text("caption", &self.caption),
            view: errors.line("view", &self.view),
            light: errors.line("light", &self.light),
            credit: errors.line("credit", &self.credit),
            moment: typed::moment(&mut errors, &self.moment),
            scale_mm: typed::scale(&mut errors, &self.scale_mm),
        };
        if errors.is_empty() { Ok(words) } else { Err(errors) }
    }
}

pub(super) async fn update(ctx: Ctx, Path(id): Path<ImageId>, posted: Posted<WordsForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let image = ctx.image(&mut tx, id).await?;
    if !posted.form.take.is_empty() || posted.form.revision != image.revision.to_string() {
        return clash(&ctx, &mut tx, image, posted.form).await;
    }
    let words = match posted.form.parse() {
        Ok(words) => words,
        Err(errors) => {
            let mut page = show::page(&ctx, &mut tx, image).await?;
            page.form = posted.form;
            page.errors = errors;
            return Ok(again(page).into_response());
        }
    };
    store::images::update_words(&mut tx, id, &words, image.revision).await?;
    let told = format!("described the photograph {}: {}", image.file_name, words.caption);
    tell_journal(&ctx, &mut tx, &image, "described", told.trim_end_matches(": ")).await?;
    ctx.finish(tx, &posted, &links::image_page(id), "The words are saved.").await
}

/// Both versions side by side; a field asked for is taken over from the kept one.
async fn clash(ctx: &Ctx, tx: &mut Tx, image: Image, mut form: WordsForm) -> Answer<Response> {
    let kept = WordsForm::of(&image);
    match form.take.as_str() {
        "caption" => form.caption.clone_from(&kept.caption),
        "view" => form.view.clone_from(&kept.view),
        "light" => form.light.clone_from(&kept.light),
        "credit" => form.credit.clone_from(&kept.credit),
        "moment" => form.moment.clone_from(&kept.moment),
        "scale_mm" => form.scale_mm.clone_from(&kept.scale_mm),
        _ => {}
    }
    form.take.clear();
    form.revision.clone_from(&kept.revision);
    let mut page = show::page(ctx, tx, image).await?;
    page.conflict = Some(Conflict::between(&form.fields(), &kept.fields()));
    page.form = form;
    Ok((StatusCode::CONFLICT, ok(page)).into_response())
}
