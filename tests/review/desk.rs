//! The desk of a specialist: finds by due day, questions that come back answered, days, everything said to take away.
use super::{opine, shown};
use axum::http::StatusCode;
use calamine::{Reader, Xlsx};
use domain::permission::Role;
use domain::review::share::{FeeFor, Shares};
use std::io::Cursor;
use store::review::assignments::{NewAssignment, Terms};
use store::review::desk;
use tests::on_both_engines;
use tests::support::http::Lab;
use tests::support::site::day;
use tests::support::{FOREIGN, Site, noon};

on_both_engines! {
    async fn what_was_agreed_is_changed_while_it_is_open_and_the_specialist_is_told(lab: Lab) {
        let find = lab.site.find("88").restricted().add().await;
        let assignment = lab.site.assign(&[find]).await;
        let mut petra = lab.sign_in(Role::Manager).await;
        lab.site.clear(Role::Manager).await;
        let edit = format!("/assignments/{assignment}/edit");
        let (page, stale) = (petra.page(&edit).await, petra.page(&edit).await);
        assert_eq!(page.attributes("#due_on", "value"), ["2031-10-15"]);
        let past = petra.submit(&page, "form[data-keep=assignment]", &[("due_on", "2031-09-01"), ("fee", "x")]).await;
        assert_eq!(past.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(past.text("#due_on-error").contains("past") && past.text("#fee-error").contains("no number"));
        let page = petra.page(&edit).await;
        let saved = petra.submit(&page, "form[data-keep=assignment]", &[("due_on", "2031-11-01"), ("days", "2.5"), ("share", "images")]).await;
        assert!(petra.follow(&saved).await.text(".notice").contains("a letter to specialist is on its way"));
        let late = petra.submit(&stale, "form[data-keep=assignment]", &[("due_on", "2031-10-20")]).await;
        assert_eq!(late.status, StatusCode::CONFLICT);
        assert!(late.text(".conflict").contains("2031-11-01"), "{}", late.text("main"));
        let letter = crate::people::letters_sent(&lab).await.into_iter().find(|letter| letter.subject.starts_with("Changed")).unwrap();
        assert!(letter.body.contains("until: 1 Nov 2031, before 15 Oct 2031"), "{}", letter.body);
        assert!(letter.body.contains("agreed: 2.5 days, before nothing"), "{}", letter.body);
        let journal = lab.sign_in(Role::Reader).await.page(&format!("/projects/{}", lab.site.code)).await.text("main");
        assert!(journal.contains("is asked: until, shared, agreed") && !journal.contains("2.5"), "{journal}");
        // what is no longer shared is out of reach at once
        let mut ilka = lab.sign_in(Role::Specialist).await;
        assert_eq!(ilka.get(&format!("/finds/{find}")).await.status, StatusCode::NOT_FOUND);
        petra.post(&format!("/assignments/{assignment}/closing"), &[]).await;
        let closed = petra.get(&edit).await;
        assert!(petra.follow(&closed).await.text(".notice").contains("is closed"));
    }

    async fn the_desk_goes_by_due_day_across_units(site: Site) {
        let other = Site::named(&site.db, FOREIGN).await;
        let ilka = site.person(Role::Specialist);
        let [late, soon, twice] = [site.find("10").add().await, other.find("7").add().await, site.find("2").add().await];
        {
            let mut tx = site.db.write().await.unwrap();
            store::people::insert_role(&mut tx, other.project, ilka, Role::Specialist).await.unwrap();
            for (project, finds, due_on) in [
                (site.project, vec![late, twice], day(11, 1)), (other.project, vec![soon], day(9, 20)), (site.project, vec![twice], day(12, 1)),
            ] {
                let new = NewAssignment { project, specialist: ilka, question: "?".into(), due_on, finds, terms: Terms::default() };
                store::review::assignments::insert(&mut tx, &new, ilka, noon()).await.unwrap();
            }
            tx.commit().await.unwrap();
        }
        let mut tx = site.db.read().await.unwrap();
        let order: Vec<String> = desk::list(&mut tx, ilka).await.unwrap().into_iter().map(|find| find.number).collect();
        assert_eq!(order, ["7", "2", "10", "2"], "the soonest due first, then by number; a find stands under each assignment");
        let series: Vec<String> = desk::list_series(&mut tx, ilka).await.unwrap().into_iter().map(|stop| stop.number).collect();
        assert_eq!(series, ["7", "2", "10"], "the way through passes each find once");
        drop(tx);

        let lab = Lab::of(site);
        let mut ilka = lab.sign_in(Role::Specialist).await;
        let page = ilka.page("/my-finds").await;
        assert_eq!(page.texts("ul.lines a.number"), ["7", "2", "10", "2"]);
        assert!(page.text("main").contains("4 finds, 4 wait for your opinion"));
        assert_eq!(ilka.page(&format!("/my-finds?project={FOREIGN}")).await.texts("ul.lines a.number"), ["7"]);
        let page = ilka.page(&format!("/finds/{twice}/opinion")).await;
        assert_eq!(page.attributes(".series a[rel=prev]", "href"), [format!("/finds/{soon}/opinion#identification")]);
        let shown = shown(&mut ilka, twice, &[]).await;
        let fields = [("identification", "bowl"), ("shown", shown.as_str()), ("basis", "rim"), ("seen_as", "image"), ("finality", "preliminary"), ("do_what", "submit_next")];
        let reply = ilka.post(&format!("/finds/{twice}/opinion"), &fields).await;
        assert_eq!(reply.location(), format!("/finds/{late}/opinion#identification"), "on to the next: {}", reply.text("main"));
    }

    async fn a_draft_is_kept_while_it_is_typed_and_the_same_form_is_still_sent(site: Site) {
        let find = site.find("88").add().await;
        let foreign = site.find("89").add().await;
        site.assign(&[find]).await;
        let lab = Lab::of(site);
        let mut ilka = lab.sign_in(Role::Specialist).await;
        let (submission, token) = (uuid::Uuid::now_v7().to_string(), ilka.token.clone());
        let typed = |words| {
            let hidden = [("_token", token.as_str()), ("submission", submission.as_str())];
            let form = [("identification", words), ("basis", "hem"), ("seen_as", "image"), ("finality", "preliminary")];
            [hidden.as_slice(), form.as_slice()].concat()
        };
        let path = format!("/finds/{find}/opinion/draft");
        for words in ["an al", "an altarpiece"] {
            let said = ilka.post_bare(&path, &typed(words)).await;
            assert!(said.source().contains("Draft kept"), "{}", said.source());
        }
        assert_eq!(ilka.page(&format!("/finds/{find}/opinion")).await.attributes("#identification", "value"), ["an altarpiece"]);
        let elsewhere = ilka.post_bare(&format!("/finds/{foreign}/opinion/draft"), &typed("x")).await;
        assert_eq!(elsewhere.status, StatusCode::NOT_FOUND);
        let sent: Vec<(&str, &str)> = typed("an altarpiece").into_iter().chain([("do_what", "submit")]).collect();
        assert_eq!(ilka.post_bare(&format!("/finds/{find}/opinion"), &sent).await.location(), "/my-finds");
        assert!(ilka.page("/my-finds").await.text("main").contains("version 1 submitted"));
    }

    async fn a_measurement_asked_for_comes_back_answered(site: Site) {
        let find = site.find("88").material("stone").object("panel").add().await;
        let maren = site.another(Role::Specialist, "Maren Ash").await;
        site.assign(&[find]).await;
        let lab = Lab::of(site);
        let mut ilka = lab.sign_in(Role::Specialist).await;
        let questions = format!("/finds/{find}/questions");
        let empty = ilka.post(&questions, &[("ask_kind", "measurement"), ("ask_words", " ")]).await;
        assert_eq!(empty.status, StatusCode::UNPROCESSABLE_ENTITY);
        let asked = [("ask_kind", "measurement"), ("ask_words", "How deep is the undercutting?")];
        assert_eq!(ilka.post(&questions, &asked).await.status, StatusCode::SEE_OTHER);
        assert!(ilka.page("/my-finds").await.text("main").contains("question out"));

        let mut odile = lab.sign_in(Role::Conservator).await;
        let today = odile.page("/today").await;
        assert!(today.text("main").contains("How deep is the undercutting?"), "{}", today.text("main"));
        let page = odile.page(&questions).await;
        let answers = page.attributes("input[name=answers]", "value").remove(0);
        let who = lab.site.person(Role::Specialist).to_string();
        let path = format!("/finds/{find}/answers");
        let other = maren.to_string();
        let wrong = odile.post(&path, &[("specialist", &other), ("answers", &answers), ("words", "31 mm")]).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY, "she does not see the find");
        let answer = [("specialist", who.as_str()), ("answers", &answers), ("words", "31 mm at the sleeve")];
        assert_eq!(odile.post(&path, &answer).await.status, StatusCode::SEE_OTHER);
        assert_eq!(odile.post(&path, &answer).await.status, StatusCode::UNPROCESSABLE_ENTITY, "answered once");
        assert!(!odile.page("/today").await.text("main").contains("undercutting"));

        let desk = ilka.page("/my-finds").await;
        assert!(desk.text("main").contains("answer received"));
        assert!(ilka.page(&format!("/finds/{find}/opinion")).await.text("main").contains("31 mm at the sleeve"));
        let (mut tx, far) = (lab.site.db.write().await.unwrap(), noon() + chrono::Duration::days(300));
        let mut letters = Vec::new();
        while let Some(letter) = store::letters::take_due(&mut tx, far, far + chrono::Duration::days(1)).await.unwrap() {
            letters.push((letter.to_address, letter.body));
        }
        assert_eq!(letters.len(), 2, "a letter for each line");
        let to = |role| lab.site.email(role);
        assert!(letters.iter().any(|(address, body)| *address == to(Role::Manager) && body.contains("undercutting")));
        assert!(letters.iter().any(|(address, body)| *address == to(Role::Specialist) && body.contains("31 mm")));
    }

    // By hand: 0.5 + 0.75 days at 420 are 525.
    async fn days_stand_against_those_agreed(site: Site) {
        let find = site.find("88").add().await;
        let assignment = {
            let mut tx = site.db.write().await.unwrap();
            let terms = Terms { days: Some(2.0), fee: Some(420.0), fee_for: FeeFor::Day, currency: "EUR".into(), ..Terms::default() };
            let (specialist, by) = (site.person(Role::Specialist), site.person(Role::Manager));
            let new = NewAssignment { project: site.project, specialist, question: "Which saint?".into(), due_on: day(10, 1), finds: vec![find], terms };
            let id = store::review::assignments::insert(&mut tx, &new, by, noon()).await.unwrap();
            tx.commit().await.unwrap();
            id
        };
        let maren = site.another(Role::Specialist, "Maren Ash").await;
        let lab = Lab::of(site);
        let mut ilka = lab.sign_in(Role::Specialist).await;
        let path = format!("/assignments/{assignment}/days");
        let wrong = ilka.post(&path, &[("worked_on", "2031-12-01"), ("days", "much"), ("words", "")]).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(wrong.attributes("#days", "value"), ["much"]);
        for (on, days, words) in [("2031-09-10", "0,5", "photographs"), ("2031-09-11", "0.75", "parallels"), ("2031-09-12", "3", "a slip")] {
            assert_eq!(ilka.post(&path, &[("worked_on", on), ("days", days), ("words", words)]).await.status, StatusCode::SEE_OTHER);
        }
        let page = ilka.page(&path).await;
        assert!(page.text("main").contains("4.25 of 2 days worked, 2.25 beyond"), "{}", page.text("main"));
        let withdrawal = page.attributes("form[action^='/worked-days/']", "action").remove(2);
        assert_eq!(ilka.post(&withdrawal, &[]).await.status, StatusCode::SEE_OTHER);
        let statement = ilka.page(&format!("/assignments/{assignment}/statement")).await;
        let said = statement.text("main");
        assert!(said.contains("525.00 EUR") && said.contains("Together 1.25 days") && !said.contains("a slip"), "{said}");
        let paper = ilka.get(&statement.link("As PDF")).await;
        assert!(paper.body.starts_with(b"%PDF-"), "{}", paper.status);
        let mut maren = lab.sign_in_as(maren).await;
        assert_eq!(maren.get(&path).await.status, StatusCode::NOT_FOUND, "another’s days");
        let mut petra = lab.sign_in(Role::Manager).await;
        assert!(petra.page(&format!("/projects/{}/specialists", lab.site.code)).await.text("main").contains("1.25 days"));
    }

    async fn own_opinions_are_taken_away_even_after_everything_has_ended(site: Site) {
        let find = site.find("88").add().await;
        let assignment = site.assign_sharing(&[find], Shares::ALL).await;
        let lab = Lab::of(site);
        let mut ilka = lab.sign_in(Role::Specialist).await;
        opine(&mut ilka, find, "altarpiece", "late C14–mid C15", "submit").await;
        opine(&mut ilka, find, "=altarpiece, Saint John", "late C14–mid C15", "submit").await;
        let mut petra = lab.sign_in(Role::Manager).await;
        petra.post(&format!("/assignments/{assignment}/closing"), &[("sharing", "hide")]).await;
        {
            let mut tx = lab.site.db.write().await.unwrap();
            let ilka = lab.site.person(Role::Specialist);
            store::people::delete_roles(&mut tx, lab.site.project, ilka).await.unwrap();
            tx.commit().await.unwrap();
        }
        assert_ne!(ilka.get(&format!("/finds/{find}")).await.status, StatusCode::OK);
        let csv = ilka.get("/my-opinions.csv").await.source().to_owned();
        assert_eq!(csv.lines().count(), 3, "{csv}");
        // the last third of the 14th century begins 1368, the middle third of the 15th ends 1467
        assert!(csv.contains("late C14–mid C15") && csv.contains("1368,1467"), "{csv}");
        assert!(csv.contains("'=altarpiece"), "no formula for a spreadsheet program");
        let book = ilka.get("/my-opinions.xlsx").await.body;
        let mut book: Xlsx<_> = calamine::open_workbook_from_rs(Cursor::new(book)).unwrap();
        let sheet = book.worksheet_range("My opinions").unwrap();
        assert_eq!(sheet.height(), 3);
        assert_eq!(sheet.get_value((2, 8)).unwrap().to_string(), "=altarpiece, Saint John");
        assert!(petra.get("/my-opinions.csv").await.source().lines().count() == 1, "nobody else’s");
    }

    /// The manager who asked is written to; what is said of a restricted find is read on its page alone.
    async fn words_about_a_restricted_find_stay_out_of_letters(site: Site) {
        let find = site.find("90").restricted().add().await;
        site.assign(&[find]).await;
        let lab = Lab::of(site);
        let mut ilka = lab.sign_in(Role::Specialist).await;
        let asked = [("ask_kind", "measurement"), ("ask_words", "How long is the femur?")];
        assert_eq!(ilka.post(&format!("/finds/{find}/questions"), &asked).await.status, StatusCode::SEE_OTHER);
        lab.site.clear(Role::Lead).await;
        let mut lead = lab.sign_in(Role::Lead).await;
        assert!(lead.page(&format!("/finds/{find}/questions")).await.text("main").contains("How long is the femur?"));
        let specialist = lab.site.person(Role::Specialist).to_string();
        let word = [("specialist", specialist.as_str()), ("answers", ""), ("words", "It is 402 mm long.")];
        assert_eq!(lead.post(&format!("/finds/{find}/answers"), &word).await.status, StatusCode::SEE_OTHER);
        let sent = crate::people::letters_sent(&lab).await;
        assert_eq!(sent.len(), 2);
        for letter in sent {
            assert!(letter.body.contains("The find is restricted"), "{}", letter.body);
            assert!(!letter.body.contains("femur") && !letter.body.contains("402 mm"), "{}", letter.body);
        }
    }
}
