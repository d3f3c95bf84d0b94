//! Sends the letters that wait in the database: by SMTP where a server is configured, as .eml files otherwise.
use crate::config::Config;
use crate::{App, links};
use chrono::Duration;
use domain::Instant;
use lettre::message::header::{ContentTransferEncoding, ContentType, HeaderName, HeaderValue};
use lettre::message::{Mailbox, SinglePart};
use lettre::{AsyncFileTransport, AsyncSmtpTransport, AsyncTransport, Message, Tokio1Executor};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use store::letters::Letter;
use tokio::sync::Notify;

/// Rung when a letter has been queued.
#[derive(Clone)]
pub struct Letterbox(Arc<Bell>);

struct Bell {
    notify: Notify,
    shut: AtomicBool,
}

/// Until the server is reached.
const CONNECTING: std::time::Duration = std::time::Duration::from_secs(20);
/// How long one attempt may take. A server may be silent for ten minutes once it has the letter, and a client that hangs
/// up before sends it twice: RFC 5321, 4.5.3.2.6.
const ATTEMPT: std::time::Duration = std::time::Duration::from_secs(11 * 60);
/// From when another sender may try: surely after the attempt has ended.
const LEASE: Duration = Duration::minutes(15);
/// Attempts before a letter is given up, the last after four days: RFC 5321, 4.5.4.1, asks for four or five.
const MOST_ATTEMPTS: i64 = 20;
/// Answers that the sender's own account is at fault (RFC 4954, 6): no fault of the letter, which waits.
const ACCOUNT_FAULTS: [u16; 4] = [530, 534, 535, 538];

enum Carrier {
    Smtp(Box<AsyncSmtpTransport<Tokio1Executor>>),
    Files(AsyncFileTransport<Tokio1Executor>),
}

/// Why a letter was not sent.
#[derive(Debug, thiserror::Error)]
pub enum LetterError {
    #[error("the address cannot be read: {0}")]
    Address(#[from] lettre::address::AddressError),
    #[error("the letter cannot be written: {0}")]
    Writing(#[from] lettre::error::Error),
    #[error("the mail server refused: {0}")]
    Smtp(#[from] lettre::transport::smtp::Error),
    #[error("the file could not be written: {0}")]
    File(#[from] lettre::transport::file::Error),
    #[error("the folder could not be made: {0}")]
    Folder(#[from] std::io::Error),
    #[error("the mail server did not answer in time; whether it has the letter is not known")]
    Silent,
    #[error(transparent)]
    Store(#[from] store::StoreError),
}

impl Letterbox {
    pub(crate) fn new() -> Self {
        Self(Arc::new(Bell { notify: Notify::new(), shut: AtomicBool::new(false) }))
    }

    /// Says that a letter waits.
    pub fn ring(&self) {
        self.0.notify.notify_one();
    }

    /// Ends the sending after the letter in hand, so that none goes out without being noted.
    pub fn shut(&self) {
        self.0.shut.store(true, Ordering::Release);
        self.ring();
    }

    fn is_shut(&self) -> bool {
        self.0.shut.load(Ordering::Acquire)
    }
}

/// Sends letters until the letterbox is shut: at once when rung, every few seconds besides.
pub async fn run(app: App) {
    let carrier = match carrier(&app.config) {
        Ok(carrier) => carrier,
        Err(cause) => {
            tracing::error!(%cause, "letters cannot be sent");
            return;
        }
    };
    while !app.letterbox.is_shut() {
        match send_next(&app, &carrier).await {
            Ok(true) => continue,
            Ok(false) => {}
            Err(cause) => tracing::warn!(%cause, "letters wait"),
        }
        let pause = tokio::time::sleep(std::time::Duration::from_secs(5));
        tokio::select! { () = app.letterbox.0.notify.notified() => {}, () = pause => {} }
    }
}

/// Sends everything that is due now; how many letters went out. For tests and the command line.
pub async fn send_due(app: &App) -> Result<usize, LetterError> {
    let carrier = carrier(&app.config)?;
    let mut sent = 0;
    while send_next(app, &carrier).await? {
        sent += 1;
    }
    Ok(sent)
}

fn carrier(config: &Config) -> Result<Carrier, LetterError> {
    match &config.smtp_url {
        Some(url) => {
            let builder = AsyncSmtpTransport::<Tokio1Executor>::from_url(url)?;
            Ok(Carrier::Smtp(Box::new(builder.timeout(Some(CONNECTING)).build())))
        }
        None => {
            std::fs::create_dir_all(&config.letters)?;
            Ok(Carrier::Files(AsyncFileTransport::new(&config.letters)))
        }
    }
}

async fn send_next(app: &App, carrier: &Carrier) -> Result<bool, LetterError> {
    let now = app.clock.now();
    let mut tx = app.db.write().await?;
    let Some(letter) = store::letters::take_due(&mut tx, now, now + LEASE).await? else { return Ok(false) };
    let stop = letter.stop_token(&mut tx, now).await?;
    tx.commit().await?;
    let stop = stop.map(|token| format!("{}{}", app.config.base_url, links::letters_off(&token)));
    let outcome = send(app, carrier, &letter, stop.as_deref()).await;
    let mut tx = app.db.write().await?;
    match outcome {
        Ok(()) => store::letters::update_sent(&mut tx, letter.id, app.clock.now()).await?,
        Err(cause) => {
            let retry = retry_at(&cause, letter.attempts, now);
            tracing::warn!(%cause, to = letter.to_address, again = retry.is_some(), "a letter was not sent");
            store::letters::update_failed(&mut tx, letter.id, &cause.to_string(), retry, now).await?;
        }
    }
    tx.commit().await?;
    Ok(true)
}

/// When to try again: later each time, never after a refusal for good.
fn retry_at(cause: &LetterError, attempts: i64, now: Instant) -> Option<Instant> {
    let for_good = match cause {
        LetterError::Smtp(cause) => {
            let of_account = cause.status().is_some_and(|code| ACCOUNT_FAULTS.contains(&u16::from(code)));
            cause.is_permanent() && !of_account
        }
        LetterError::Address(_) | LetterError::Writing(_) => true,
        _ => false,
    };
    let minutes = 2_i64.saturating_pow(u32::try_from(attempts).unwrap_or(u32::MAX).min(9));
    (!for_good && attempts < MOST_ATTEMPTS).then(|| now + Duration::minutes(minutes))
}

async fn send(app: &App, carrier: &Carrier, letter: &Letter, stop: Option<&str>) -> Result<(), LetterError> {
    let message = write(app, letter, stop)?;
    match carrier {
        Carrier::Smtp(smtp) => {
            tokio::time::timeout(ATTEMPT, smtp.send(message)).await.map_err(|_| LetterError::Silent)??;
        }
        Carrier::Files(files) => {
            files.send(message).await?;
        }
    }
    Ok(())
}

/// The letter as it goes out: the same to the last byte at every attempt, so that a reader's server that has it already
/// knows it again. `stop` is where its reader does without letters of the kind.
fn write(app: &App, letter: &Letter, stop: Option<&str>) -> Result<Message, LetterError> {
    let from: Mailbox = app.config.mail_from.parse()?;
    let host = from.email.domain().to_owned();
    let to = Mailbox::new(Some(letter.to_name.clone()), letter.to_address.parse()?);
    let mut message = Message::builder()
        .date(letter.queued_at.into())
        .from(from)
        .to(to)
        .subject(letter.subject.clone())
        .message_id(Some(format!("<{}@{host}>", letter.id)))
        .raw_header(HeaderValue::new(
            HeaderName::new_from_ascii_str("Auto-Submitted"),
            "auto-generated".into(),
        ));
    for (name, value) in stop.map(stop_headers).unwrap_or_default() {
        message = message.raw_header(HeaderValue::new(HeaderName::new_from_ascii_str(name), value));
    }
    let body = match stop {
        Some(link) => format!("{}\n-- \nTo do without letters about {}:\n{link}\n", letter.body, letter.kind),
        None => letter.body.clone(),
    };
    let part = SinglePart::builder()
        .header(ContentType::TEXT_PLAIN)
        .header(ContentTransferEncoding::QuotedPrintable)
        .body(body.replace("\r\n", "\n").replace('\n', "\r\n"));
    Ok(message.singlepart(part)?)
}

/// What mail programs offer a button for: RFC 2369, and by one click RFC 8058, which asks for https.
fn stop_headers(link: &str) -> Vec<(&'static str, String)> {
    let mut headers = vec![("List-Unsubscribe", format!("<{link}>"))];
    if link.starts_with("https://") {
        headers.push(("List-Unsubscribe-Post", "List-Unsubscribe=One-Click".to_owned()));
    }
    headers
}
