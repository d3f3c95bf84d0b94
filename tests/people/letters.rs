//! Letters through a real mail server, and as files where there is none.
use super::letters_waiting as waiting;
use axum::http::StatusCode;
use chrono::Duration;
use domain::letters::LetterKind;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use store::letters::NewLetter;
use tests::on_both_engines;
use tests::support::{Lab, noon};
use web::App;
use web::clock::Clock;
use web::config::Settings;
use web::letterbox::send_due;

/// A mail server that ends with the test.
pub struct MailServer {
    process: Child,
    port: u16,
    folder: tempfile::TempDir,
}

impl MailServer {
    pub fn start() -> Self {
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        let port = std::net::TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap().port();
        let folder = tempfile::tempdir().unwrap();
        let mut process = Command::new(root.join(".venv/bin/python"))
            .arg(root.join("people/mail_server.py"))
            .arg(port.to_string())
            .arg(folder.path())
            .stdout(Stdio::piped())
            .spawn()
            .expect("tests/run.sh installs the mail server into tests/.venv");
        let mut ready = String::new();
        BufReader::new(process.stdout.as_mut().unwrap()).read_line(&mut ready).unwrap();
        assert_eq!(ready.trim(), "ready");
        Self { process, port, folder }
    }

    /// What arrived, in order.
    pub fn mails(&self) -> Vec<String> {
        let read = |n: usize| std::fs::read_to_string(self.folder.path().join(format!("{n}.eml"))).ok();
        (1..).map_while(read).collect()
    }

    /// The subjects of what arrived, in order.
    fn subjects(&self) -> Vec<String> {
        let subject = |mail: String| {
            let line = mail.lines().find_map(|line| line.strip_prefix("Subject: ").map(str::to_owned));
            line.unwrap()
        };
        self.mails().into_iter().map(subject).collect()
    }
}

impl Drop for MailServer {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

pub async fn queue(lab: &Lab, to: &str) {
    let letter = NewLetter {
        kind: LetterKind::Invitation,
        to_address: to.into(),
        to_name: "Maud Etherley".into(),
        subject: format!("for {to}"),
        body: "Dear Maud,\n\nthe quay — café — waits.\n".into(),
    };
    let mut tx = lab.site.db.write().await.unwrap();
    store::letters::insert(&mut tx, &letter, noon()).await.unwrap();
    tx.commit().await.unwrap();
}

pub fn app_at(lab: &Lab, server: &MailServer, minutes: i64) -> App {
    let mut settings = Settings::in_folder(lab.folder(), ([127, 0, 0, 1], 8080).into());
    settings.smtp_url = Some(format!("smtp://127.0.0.1:{}", server.port));
    App::new(
        lab.site.db.clone(),
        settings.check().unwrap(),
        Clock::Fixed(noon() + Duration::minutes(minutes)),
    )
}

on_both_engines! {
    async fn a_letter_put_off_is_tried_again_one_refused_is_given_up_and_none_goes_twice(lab: Lab) {
        let server = MailServer::start();
        for to in ["maud@county.example", "later@county.example", "nobody@county.example"] {
            queue(&lab, to).await;
        }
        send_due(&app_at(&lab, &server, 0)).await.unwrap();
        assert_eq!(server.subjects(), ["for maud@county.example"]);
        send_due(&app_at(&lab, &server, 1)).await.unwrap();
        assert_eq!(server.subjects().len(), 1, "not again at once");
        for minutes in [3, 60, 6000] {
            send_due(&app_at(&lab, &server, minutes)).await.unwrap();
        }
        assert_eq!(server.subjects(), ["for maud@county.example", "for later@county.example"]);
        let unsent = store::letters::list_unsent(&mut lab.site.db.read().await.unwrap(), 10).await.unwrap();
        assert_eq!(unsent.len(), 1);
        assert!(unsent[0].given_up_at.is_some());
        assert!(unsent[0].last_error.as_ref().unwrap().contains("550"), "{:?}", unsent[0].last_error);
    }

    async fn a_server_that_is_away_is_tried_again(lab: Lab) {
        let server = MailServer::start();
        let away = app_at(&lab, &server, 0);
        let port = server.port;
        drop(server);
        queue(&lab, "maud@county.example").await;
        send_due(&away).await.unwrap();
        let unsent = store::letters::list_unsent(&mut lab.site.db.read().await.unwrap(), 10).await.unwrap();
        assert_eq!((unsent.len(), unsent[0].given_up_at), (1, None), "port {port}");
    }

    async fn without_a_server_letters_are_files_that_mail_programs_read(lab: Lab) {
        queue(&lab, "maud@county.example").await;
        assert_eq!(send_due(&lab.app).await.unwrap(), 1);
        let files: Vec<_> = std::fs::read_dir(lab.folder().join("letters")).unwrap().map(|f| f.unwrap().path()).collect();
        let mail = std::fs::read_to_string(&files[0]).unwrap();
        assert_eq!(files.len(), 1);
        for wanted in ["To: \"Maud Etherley\" <maud@county.example>", "Auto-Submitted: auto-generated", "caf=C3=A9", "Message-ID: <"] {
            assert!(mail.contains(wanted), "{wanted} is missing in {mail}");
        }
        assert!(waiting(&lab).await.is_empty());
    }

    async fn the_administrator_sees_why_a_letter_waits_and_has_it_tried_again(lab: Lab) {
        let server = MailServer::start();
        queue(&lab, "nobody@county.example").await;
        send_due(&app_at(&lab, &server, 0)).await.unwrap();
        let mut administrator = lab.sign_in_as(lab.site.administrator).await;
        assert_eq!(administrator.page("/people").await.link("Letters, 1 failed"), "/letters");
        let page = administrator.page("/letters").await;
        assert!(page.text("main table").contains("given up after 1 attempt"));
        assert!(!page.text("main").contains("caf"), "the words of a letter are nobody's but the reader's");
        administrator.submit(&page, "form[action$='/retry']", &[]).await;
        assert_eq!(waiting(&lab).await.len(), 1);
        administrator.submit(&page, "form[action$='/removal']", &[("submission", "")]).await;
        send_due(&lab.app).await.unwrap();
        let page = administrator.get("/letters").await;
        assert_eq!(page.status, StatusCode::OK);
        assert!(waiting(&lab).await.is_empty());
    }
}
