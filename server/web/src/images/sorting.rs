//! To which finds a file goes by its name.
use crate::context::Ctx;
use crate::error::Answer;
use domain::ids::ProjectId;
use domain::shots::read_name;
use store::Tx;
use store::finds::Find;
use store::images::ImageWords;

/// The finds a file shows, and what is said of it.
pub(super) struct Sorted {
    pub finds: Vec<Find>,
    pub words: ImageWords,
}

/// The finds its name tells of, as far as this person may see them; what the name says goes before what was typed for all.
pub(super) async fn by_name(
    ctx: &Ctx,
    tx: &mut Tx,
    (project, code): (ProjectId, &str),
    name: &str,
    mut words: ImageWords,
) -> Answer<Sorted> {
    let read = read_name(name, code);
    let mut finds = Vec::new();
    for meant in &read.numbers {
        finds.extend(first_of(ctx, tx, project, meant).await?);
    }
    if finds.len() < read.numbers.len() {
        // a name of which one number is nobody’s is looked at by a person
        finds.clear();
    }
    if let Some(moment) = read.moment {
        words.moment = moment.code().into();
    }
    if let Some(light) = read.light {
        words.light = light.label().into();
    }
    if !read.view.is_empty() {
        words.view = read.view;
    }
    Ok(Sorted { finds, words })
}

/// The first of these numbers that is a find this person may see.
pub(super) async fn first_of(
    ctx: &Ctx,
    tx: &mut Tx,
    project: ProjectId,
    numbers: &[String],
) -> Answer<Option<Find>> {
    for number in numbers {
        if let Some(id) = store::finds::find_by_number(tx, project, number).await?
            && let Some(find) = store::finds::find_visible(tx, &ctx.actor, id).await?
        {
            return Ok(Some(find));
        }
    }
    Ok(None)
}
