//! The threads of a find as pages show them.
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters::show_moment;
use crate::links;
use domain::ids::{ImageId, PersonId};
use domain::review::asking::LineKind;
use domain::review::share::Share;
use store::Tx;
use store::finds::Find;
use store::review::threads::{self, Line};

/// The words of a line as a letter has them: those about a restricted find do not leave the house.
pub(super) fn in_letter<'a>(find: &Find, words: &'a str) -> &'a str {
    if find.restricted { "The find is restricted: the words stand on its page." } else { words }
}

/// The lines between one specialist and the project.
pub(super) struct ThreadView {
    pub specialist: PersonId,
    pub name: String,
    pub lines: Vec<LineView>,
}

/// One line.
pub(super) struct LineView {
    pub id: String,
    pub by: String,
    pub at: String,
    /// What is asked for, where it is no plain question.
    pub asks_for: &'static str,
    pub words: String,
    /// Address and page of the photograph that it brings.
    pub picture: Option<(String, String)>,
    pub is_open: bool,
}

impl LineView {
    fn of(line: &Line, shows_pictures: bool) -> Self {
        let image = line.image_id.map(ImageId).filter(|_| shows_pictures);
        Self {
            id: line.id.to_string(),
            by: line.by_name.clone(),
            at: show_moment(line.written_at),
            asks_for: match line.kind {
                LineKind::Measurement | LineKind::Image => line.kind.label(),
                LineKind::Question | LineKind::Word => "",
            },
            words: line.words.clone(),
            picture: image.map(|id| (links::image(id, "thumb"), links::image_page(id))),
            is_open: line.is_open(),
        }
    }
}

/// The threads of a find: all of them for the project’s people, the own one for a specialist.
pub(super) async fn threads(ctx: &Ctx, tx: &mut Tx, find: &Find) -> Answer<Vec<ThreadView>> {
    let team = find.seen.is_of_the_team();
    let shows = find.seen.has(Share::Images);
    let lines = threads::list_of_find(tx, find.id).await?;
    let mut all: Vec<ThreadView> = Vec::new();
    for line in lines.iter().filter(|line| team || line.specialist_id == ctx.actor.person) {
        let view = LineView::of(line, shows);
        match all.last_mut().filter(|thread| thread.specialist == line.specialist_id) {
            Some(thread) => thread.lines.push(view),
            None => all.push(ThreadView {
                specialist: line.specialist_id,
                name: line.specialist_name.clone(),
                lines: vec![view],
            }),
        }
    }
    if team {
        for one in threads::list_specialists(tx, find.id).await? {
            if !all.iter().any(|thread| thread.specialist == one.id) {
                all.push(ThreadView { specialist: one.id, name: one.name, lines: Vec::new() });
            }
        }
    }
    Ok(all)
}
