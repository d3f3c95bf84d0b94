//! By which method is it looked at?
use super::form::ExaminationForm;
use crate::context::Ctx;
use crate::error::Answer;
use crate::finds::load_chosen;
use crate::form::Asked;
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::examination::Method;

#[derive(Template)]
#[template(path = "work/examination_choice.html")]
struct ChoicePage {
    chrome: Chrome,
    /// Address and number.
    finds: Vec<(String, String)>,
    /// Address, label, caution.
    methods: Vec<(String, &'static str, &'static str)>,
}

pub(super) async fn new(ctx: Ctx, Path(code): Path<String>, Asked(form): Asked<ExaminationForm>) -> Answer {
    let project = ctx.project(&code)?.project;
    let finds =
        load_chosen(&ctx, &mut ctx.read().await?, project, &form.find, super::create::MOST_FINDS).await?;
    let mut query = form_urlencoded::Serializer::new(String::new());
    query.extend_pairs(finds.iter().map(|find| ("find", find.id.to_string())));
    let query = query.finish();
    let method = |method: &Method| {
        let href = format!("{}?{query}", links::examination_new(&code, *method));
        (href, method.label(), method.caution())
    };
    Ok(ok(ChoicePage {
        chrome: ctx.chrome_in(project),
        finds: finds.iter().map(|find| (links::find(find.id), find.number.clone())).collect(),
        methods: Method::ALL.iter().map(method).collect(),
    })
    .into_response())
}
