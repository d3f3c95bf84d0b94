//! Taking in a person by e-mail address: the account there is, or a new one with an invitation.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::Errors;
use crate::letters::Desk;
use domain::people::email;
use store::Tx;
use store::people::{NewPerson, Person};

/// The desk of the person who acts.
pub(crate) fn desk(ctx: &Ctx) -> Desk<'_> {
    Desk { config: &ctx.app.config, now: ctx.now, inviter: &ctx.actor.name }
}

/// Who is meant by an address and a name, as typed.
pub(crate) struct Meant {
    pub email: String,
    pub name: String,
    /// The account of the address, if it has one.
    pub known: Option<Person>,
}

/// Reads the address from the field `email` and the name from a field named here; the name may be left out for a known
/// address.
pub(crate) async fn read(
    tx: &mut Tx,
    typed_email: &str,
    (name_field, typed_name): (&'static str, &str),
    errors: &mut Errors,
) -> Answer<Meant> {
    let Some(email) = email::normal(typed_email) else {
        errors.add("email", "Write an e-mail address like name@place.example.");
        return Ok(Meant { email: String::new(), name: String::new(), known: None });
    };
    let known = store::people::find_by_email(tx, &email).await?;
    let name = match &known {
        Some(person) => person.name.clone(),
        None => errors.required(name_field, typed_name, "Write the name; this address has no account yet."),
    };
    if known.as_ref().is_some_and(|person| person.disabled_at.is_some()) {
        errors.add("email", "The account of this address is closed. An administrator can open it again.");
    }
    Ok(Meant { email, name, known })
}

/// The account meant, made when there is none; the letter that tells the person. `place` names the project and the
/// roles there, `path` its first page.
pub(crate) async fn take_in(ctx: &Ctx, tx: &mut Tx, meant: Meant, place: &str, path: &str) -> Answer<Person> {
    let person = match meant.known {
        Some(person) => person,
        None => {
            let new = NewPerson {
                email: meant.email,
                name: meant.name,
                qualification: String::new(),
                password_hash: None,
                administrator: false,
            };
            let id = store::people::insert(tx, &new, ctx.now).await?;
            store::people::find(tx, id).await?.ok_or(AppError::NotFound)?
        }
    };
    match person.password_hash {
        Some(_) => desk(ctx).welcome(tx, &person, place, path).await?,
        None => desk(ctx).invite(tx, &person, place).await?,
    }
    Ok(person)
}
