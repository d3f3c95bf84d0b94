//! The wording of letters about accounts. Plain text; each is queued in the transaction of the event it tells of.
use crate::config::Config;
use crate::error::{Answer, AppError};
use crate::filters::show_day;
use crate::{links, session};
use askama::Template;
use domain::Instant;
use domain::ids::PersonId;
use domain::letters::LetterKind;
use domain::people::link::LinkPurpose;
use store::Tx;
use store::letters::NewLetter;
use store::people::Person;

/// An invitation: to an installation, or to a project with roles.
#[derive(Template)]
#[template(path = "mail/invitation.txt")]
struct Invitation<'a> {
    program: &'static str,
    name: &'a str,
    inviter: &'a str,
    /// “Vessenholt Quay (VSQ31) as specialist”; empty for an account alone.
    place: &'a str,
    link: String,
    until: String,
}

#[derive(Template)]
#[template(path = "mail/reset.txt")]
struct Reset<'a> {
    program: &'static str,
    name: &'a str,
    link: String,
}

#[derive(Template)]
#[template(path = "mail/password_changed.txt")]
struct PasswordChanged<'a> {
    program: &'static str,
    name: &'a str,
    forgotten: String,
}

#[derive(Template)]
#[template(path = "mail/joined.txt")]
struct Joined<'a> {
    program: &'static str,
    name: &'a str,
    inviter: &'a str,
    place: &'a str,
    link: String,
}

/// Who writes, at which moment, from which installation.
pub struct Desk<'a> {
    pub config: &'a Config,
    pub now: Instant,
    /// Name of the person who invites.
    pub inviter: &'a str,
}

impl Desk<'_> {
    /// Invites a person who has no password yet; earlier links of theirs end.
    pub async fn invite(&self, tx: &mut Tx, person: &Person, place: &str) -> Answer<()> {
        store::mail_links::update_all_used(tx, person.id, self.now).await?;
        let link = issue(self.config, tx, person.id, LinkPurpose::Invitation, self.now, "/").await?;
        let letter = Invitation {
            program: domain::PROGRAM,
            name: &person.name,
            inviter: self.inviter,
            place,
            link,
            until: show_day((self.now + LinkPurpose::Invitation.lasts()).date_naive()),
        };
        let subject = match place {
            "" => format!("Your account in {}", domain::PROGRAM),
            _ => format!("{} invites you to {place}", self.inviter),
        };
        self.queue(tx, (LetterKind::Invitation, person), subject, letter).await
    }

    /// Tells a person with an account that a project took them in.
    pub async fn welcome(&self, tx: &mut Tx, person: &Person, place: &str, path: &str) -> Answer<()> {
        let link = format!("{}{path}", self.config.base_url);
        let letter =
            Joined { program: domain::PROGRAM, name: &person.name, inviter: self.inviter, place, link };
        self.queue(tx, (LetterKind::Invitation, person), format!("You are now part of {place}"), letter).await
    }

    /// Sends the link to a new password. Earlier links stay: a stranger who asks must not end an invitation.
    pub async fn offer_reset(&self, tx: &mut Tx, person: &Person) -> Answer<()> {
        let link = issue(self.config, tx, person.id, LinkPurpose::Reset, self.now, "/").await?;
        let letter = Reset { program: domain::PROGRAM, name: &person.name, link };
        self.queue(
            tx,
            (LetterKind::Password, person),
            format!("A new password for {}", domain::PROGRAM),
            letter,
        )
        .await
    }

    /// Tells that the password was changed, in case it was somebody else.
    pub async fn confirm_password(&self, tx: &mut Tx, person: &Person) -> Answer<()> {
        let forgotten = format!("{}{}", self.config.base_url, links::FORGOTTEN);
        let letter = PasswordChanged { program: domain::PROGRAM, name: &person.name, forgotten };
        self.queue(
            tx,
            (LetterKind::Password, person),
            format!("Your {} password was changed", domain::PROGRAM),
            letter,
        )
        .await
    }

    async fn queue(
        &self,
        tx: &mut Tx,
        (kind, person): (LetterKind, &Person),
        subject: String,
        body: impl Template,
    ) -> Answer<()> {
        let letter = NewLetter {
            kind,
            to_address: person.email.clone(),
            to_name: person.name.clone(),
            subject,
            body: body.render().map_err(AppError::inside)?,
        };
        store::letters::insert(tx, &letter, self.now).await?;
        Ok(())
    }
}

/// Makes a single-use link and gives its address; the database keeps only the hash of its token.
pub async fn issue(
    config: &Config,
    tx: &mut Tx,
    person: PersonId,
    purpose: LinkPurpose,
    now: Instant,
    next: &str,
) -> Answer<String> {
    let token = session::fresh_token().map_err(AppError::inside)?;
    store::mail_links::insert(tx, &session::digest(&token), person, purpose, now).await?;
    Ok(format!("{}{}", config.base_url, links::letter_link(&token, next)))
}
