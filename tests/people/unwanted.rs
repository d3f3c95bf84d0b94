//! Kinds of letters a person does without: by the link at their foot, by the button of a mail program, by the account page.
use super::letters_waiting;
use axum::http::{Method, StatusCode};
use domain::letters::LetterKind;
use domain::permission::Role;
use store::letters::NewLetter;
use tests::on_both_engines;
use tests::support::{Lab, noon};
use web::App;
use web::clock::Clock;
use web::config::Settings;
use web::letterbox::send_due;

async fn queue(lab: &Lab, kind: LetterKind) -> bool {
    let letter = NewLetter {
        kind,
        to_address: lab.site.email(Role::Specialist),
        to_name: "Ilka Varnsted".into(),
        subject: format!("about {kind}"),
        body: "Dear Ilka,\n\nthe quay waits.\n".into(),
    };
    let mut tx = lab.site.db.write().await.unwrap();
    let queued = store::letters::insert(&mut tx, &letter, noon()).await.unwrap();
    tx.commit().await.unwrap();
    queued.is_some()
}

/// Sends what waits from an installation at that address, and gives the letter about a kind with its lines whole.
async fn sent(lab: &Lab, base: &str, kind: LetterKind) -> String {
    let mut settings = Settings::in_folder(lab.folder(), ([127, 0, 0, 1], 8080).into());
    settings.base_url = Some(base.into());
    let app = App::new(lab.site.db.clone(), settings.check().unwrap(), Clock::Fixed(noon()));
    send_due(&app).await.unwrap();
    let files = std::fs::read_dir(lab.folder().join("letters")).unwrap().map(|file| file.unwrap().path());
    // folded headers (RFC 5322, 2.2.3) and soft line ends of quoted-printable (RFC 2045, 6.7) made whole
    let whole = |mail: String| mail.replace("=\r\n", "").replace("\r\n ", " ");
    let mut mails = files.map(|path| whole(std::fs::read_to_string(path).unwrap()));
    let subject = format!("Subject: about {kind}\r\n");
    mails.find(|mail| mail.contains(&subject)).unwrap_or_else(|| panic!("no letter about {kind}"))
}

fn header<'a>(mail: &'a str, name: &str) -> Option<&'a str> {
    let headers = mail.split("\r\n\r\n").next().unwrap();
    headers.lines().find_map(|line| line.strip_prefix(&format!("{name}: ")))
}

on_both_engines! {
    async fn one_click_in_a_mail_program_ends_letters_of_that_kind_and_no_others(lab: Lab) {
        for kind in LetterKind::ALL {
            assert!(queue(&lab, *kind).await);
        }
        let mail = sent(&lab, "https://finds.example", LetterKind::Settlement).await;
        let link = header(&mail, "List-Unsubscribe").unwrap();
        // RFC 8058, 2 and 3.1: an https address in List-Unsubscribe, and exactly this in List-Unsubscribe-Post
        let link = link.strip_prefix("<https://finds.example").and_then(|rest| rest.strip_suffix('>')).unwrap().to_owned();
        assert_eq!(header(&mail, "List-Unsubscribe-Post"), Some("List-Unsubscribe=One-Click"));
        assert!(mail.contains(&format!("https://finds.example{link}\r\n")), "it stands at the foot too: {mail}");
        for kind in LetterKind::ALL {
            let mail = sent(&lab, "https://finds.example", *kind).await;
            assert_eq!(header(&mail, "List-Unsubscribe").is_some(), kind.may_be_stopped(), "{kind}");
        }

        let mut anybody = lab.stranger();
        let page = anybody.page(&link).await;
        assert!(page.text("h1").contains("Do without these letters?"));
        assert!(page.text("main").contains("settlements") && page.text("main").contains(&lab.site.email(Role::Specialist)));
        assert!(queue(&lab, LetterKind::Settlement).await, "looking changes nothing");
        // as a mail program sends it: no cookie, no origin
        let kind = ("content-type", "application/x-www-form-urlencoded");
        for _ in 0..2 {
            let ended = anybody.send(Method::POST, &link, &[kind], b"List-Unsubscribe=One-Click".to_vec()).await;
            assert_eq!(ended.status, StatusCode::OK);
            assert!(ended.text("h1").contains("no longer come"));
        }
        assert!(letters_waiting(&lab).await.is_empty(), "what waited is thrown away");
        for kind in LetterKind::ALL {
            assert_eq!(queue(&lab, *kind).await, *kind != LetterKind::Settlement, "{kind}");
        }
        let mut ilka = lab.sign_in(Role::Specialist).await;
        let account = ilka.page("/account").await;
        assert_eq!(account.count("input[name=wanted][value=settlement][checked]"), 0);
        assert_eq!(account.count("input[name=wanted][value=answer][checked]"), 1);
        assert_eq!(account.count("input[name=wanted][value=invitation]"), 0, "that one is not asked about");

        let page = anybody.page(&link).await;
        anybody.submit(&page, "main form", &[]).await;
        assert!(queue(&lab, LetterKind::Settlement).await, "and back again by the same link");
        assert_eq!(anybody.get("/letters-off/0f00").await.status, StatusCode::GONE);
    }

    async fn the_account_page_keeps_kinds_hour_and_zone_and_says_what_is_wrong(lab: Lab) {
        let mut ilka = lab.sign_in(Role::Specialist).await;
        let fields = [("wanted", "answer"), ("hour", "7"), ("zone", "Europe/Vessenholt")];
        let again = ilka.post("/account/letters", &fields).await;
        assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(again.text("#zone-error").contains("no such time zone"));
        assert_eq!(again.attributes("#zone", "value"), ["Europe/Vessenholt"], "what was typed stays");
        assert!(queue(&lab, LetterKind::Digest).await, "nothing was kept");
        let fields = [("wanted", "answer"), ("hour", "7"), ("zone", "europe/lisbon")];
        assert_eq!(ilka.post("/account/letters", &fields).await.status, StatusCode::SEE_OTHER);
        let page = ilka.page("/account").await;
        assert_eq!(page.attributes("#zone", "value"), ["Europe/Lisbon"]);
        assert_eq!(page.attributes("#hour option[selected]", "value"), ["7"]);
        assert_eq!(page.attributes("input[name=wanted][checked]", "value"), ["answer"]);
        assert!(!queue(&lab, LetterKind::Digest).await && queue(&lab, LetterKind::Answer).await);
        assert!(queue(&lab, LetterKind::Password).await, "that one always comes");
    }
}
