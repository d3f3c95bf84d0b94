//! What a search tells besides its list: the finds of that very number, and the other projects to look in.
use crate::context::Ctx;
use crate::error::Answer;
use crate::links;
use domain::finds::number;
use domain::permission::Action;
use store::Tx;

/// Ways on from the words of a search.
#[derive(Default)]
pub(super) struct Elsewhere {
    pub named: Vec<Named>,
    /// Code and address of the same search.
    pub projects: Vec<(String, String)>,
}

/// A find whose number was typed.
pub(super) struct Named {
    pub number: String,
    pub project: String,
    pub what: String,
    pub href: String,
}

impl Elsewhere {
    /// For the words typed while looking at the project of `code`; nothing where nothing was typed.
    pub async fn of(ctx: &Ctx, tx: &mut Tx, code: &str, typed: &str) -> Answer<Self> {
        let mut elsewhere = Elsewhere::default();
        if typed.trim().is_empty() {
            return Ok(elsewhere);
        }
        for member in ctx.actor.projects(Action::ListFinds) {
            if let Some(number) = number::normal(typed)
                && let Some((id, _)) = store::finds::find_alike(tx, member.project, &number).await?
                && let Some(find) = store::finds::find_visible(tx, &ctx.actor, id).await?
            {
                elsewhere.named.push(Named {
                    number: find.number,
                    project: member.code.clone(),
                    what: if find.object_type.is_empty() { find.material_name } else { find.object_type },
                    href: links::find(id),
                });
            }
            if !member.code.eq_ignore_ascii_case(code) {
                let query = form_urlencoded::Serializer::new(String::new()).append_pair("q", typed).finish();
                elsewhere
                    .projects
                    .push((member.code.clone(), format!("{}?{query}", links::finds(&member.code))));
            }
        }
        Ok(elsewhere)
    }
}
