//! A round on the screen: one request, one tap a pack, exceptions in words.
use super::{clock, running, start, wet};
use axum::http::StatusCode;
use chrono::Duration;
use domain::clocks::ClockKind;
use domain::finds::RecoveredState;
use domain::permission::Role;
use domain::stages::Stage;
use tests::on_both_engines;
use tests::support::{FOREIGN, Lab, Site, noon};

const FORM: &str = "form.round";

on_both_engines! {
    async fn a_round_of_fifty_is_one_request_with_its_exceptions_in_words(lab: Lab) {
        let mut finds = Vec::new();
        for n in 1..=50 {
            finds.push(wet(&lab, &n.to_string(), 3).await);
        }
        let mut odile = lab.sign_in(Role::Conservator).await;
        let page = odile.page("/rounds?kind=wet").await;
        assert_eq!(page.count(".pack"), 50);
        let (path, mut fields) = page.form(FORM);
        let clocks = page.attributes("input[name=clock]", "value");
        // Two are not in order, one of them is put right; one is passed over.
        let (water, slime, passed_over) = (7, 9, 11);
        let well = clocks.iter().enumerate().filter(|(at, _)| ![water, slime, passed_over].contains(at));
        fields.extend(well.map(|(_, id)| ("well".to_owned(), id.clone())));
        for (at, field) in fields.iter_mut().filter(|(name, _)| name == "words").enumerate() {
            if at == water { field.1 = "water low, topped up".into(); }
            if at == slime { field.1 = "slime on the sole".into(); }
        }
        fields.push(("put_right".into(), clocks[water].clone()));
        let fields: Vec<(&str, &str)> = fields.iter().map(|(n, v)| (n.as_str(), v.as_str())).collect();
        let reply = odile.post_bare(&path, &fields).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text("main"));
        let page = odile.follow(&reply).await;
        let told = page.text(".notice");
        assert!(told.contains("47 in order, 2 not. 1 was not looked at"), "{told}");
        assert!(page.text("main").contains("slime on the sole"), "what is left open is told next time");

        let again = odile.post_bare(&path, &fields).await;
        assert_eq!(again.location(), reply.location(), "the same form twice is one round");
        let mut tx = lab.site.db.read().await.unwrap();
        let mut seen = 0;
        for find in &finds {
            let journal = store::journal::list_of_find(&mut tx, *find, store::journal::Told::ALL, 10).await.unwrap();
            seen += journal.iter().filter(|line| line.verb == "looked").count();
        }
        assert_eq!(seen, 49, "a look is in the journal of its find, once");
        let project = store::journal::list_of_project(&mut tx, lab.site.project, store::journal::Told::default(), 5).await.unwrap();
        assert!(project[0].words.contains("went round, wet packs: 47 in order, 2 not"), "{}", project[0].words);
        let mut due = Vec::new();
        for id in [clocks[0].as_str(), clocks[water].as_str(), clocks[slime].as_str(), clocks[passed_over].as_str()] {
            let (pack, _) = store::clocks::round::find(&mut tx, id.parse().unwrap()).await.unwrap().unwrap();
            due.push((pack.next_check_at.unwrap() - noon()).num_hours());
        }
        // In order and put right: a week on. Left open: tomorrow. Passed over: as before, a week after recovery at midnight.
        assert_eq!(due, [7 * 24, 7 * 24, 24, 4 * 24 - 12]);
    }

    async fn what_cannot_be_is_refused_and_every_word_stays(lab: Lab) {
        let find = wet(&lab, "12", 3).await;
        let dry = lab.site.find("13").material("iron").with(|f| f.recovered_state = RecoveredState::Dry).add().await;
        let (pack, indicator) = (clock(&lab, find).await.to_string(), start(&lab, dry, ClockKind::Indicator).await.to_string());
        let mut odile = lab.sign_in(Role::Conservator).await;
        let whole = [("kind", "wet"), ("done_by", "O. Marchbank"), ("done_on", "2031-09-15")];
        let row = |clock: &str, more: &[(&str, &str)]| -> Vec<(String, String)> {
            let mut fields: Vec<(String, String)> = vec![("clock".into(), clock.into())];
            for name in ["words", "reading"] {
                let value = more.iter().find(|(n, _)| *n == name).map_or("", |(_, v)| *v);
                fields.push((name.into(), value.into()));
            }
            fields.extend(more.iter().filter(|(n, _)| !["words", "reading"].contains(n)).map(|(n, v)| ((*n).into(), (*v).into())));
            fields
        };
        type Case<'a> = (&'a str, &'a [(&'a str, &'a str)], &'a str);
        let cases: &[Case] = &[
            (&pack, &[], "Nothing is ticked yet"),
            (&pack, &[("well", &pack), ("words", "mould")], "Either it is in order or it is not"),
            (&pack, &[("put_right", &pack)], "Say what was put right"),
            (&pack, &[("words", &"x".repeat(300))], "200 fit"),
            (&indicator, &[("well", &indicator), ("reading", "140")], "outside what can be"),
            (&indicator, &[("well", &indicator), ("reading", "damp")], "no number"),
            (&indicator, &[("reading", "18")], "Tick it as in order"),
        ];
        for (clock, typed, sentence) in cases {
            let fields = row(clock, typed);
            let fields: Vec<(&str, &str)> =
                whole.iter().copied().chain(fields.iter().map(|(n, v)| (n.as_str(), v.as_str()))).collect();
            let reply = odile.post("/rounds", &fields).await;
            assert_eq!(reply.status, StatusCode::UNPROCESSABLE_ENTITY, "{typed:?}");
            assert!(reply.text("[role=alert]").contains(sentence), "{sentence}: {}", reply.text("[role=alert]"));
            for (name, value) in typed.iter().filter(|(name, _)| ["words", "reading"].contains(name)) {
                assert_eq!(reply.attributes(&format!("input[name={name}]"), "value"), [*value], "what was typed stays");
            }
        }
        let well = row(&pack, &[("well", &pack)]);
        let when = |day: &'static str, by: &'static str| {
            let head = [("kind".to_owned(), "wet".to_owned()), ("done_by".into(), by.into()), ("done_on".into(), day.into())];
            head.into_iter().chain(well.clone()).collect::<Vec<_>>()
        };
        for (day, by, sentence) in [
            ("2031-09-16", "O. Marchbank", "still to come"),
            ("yesterday", "O. Marchbank", "no date"),
            ("", "O. Marchbank", "on which day"),
            ("2031-09-10", "O. Marchbank", "after the day of this round"),
            ("2031-09-15", " ", "Say who went round"),
        ] {
            let fields = when(day, by);
            let fields: Vec<(&str, &str)> = fields.iter().map(|(n, v)| (n.as_str(), v.as_str())).collect();
            let reply = odile.post("/rounds", &fields).await;
            assert_eq!(reply.status, StatusCode::UNPROCESSABLE_ENTITY);
            assert!(reply.text("[role=alert]").contains(sentence), "{sentence}: {}", reply.text("[role=alert]"));
            assert_eq!(reply.count("input[name=well][checked]"), 1, "the tick stays");
        }
        assert_eq!(running(&lab, find).await[0].last_check_at.unwrap().date_naive(), tests::support::site::day(9, 12), "nothing was kept");
    }

    async fn leather_that_waits_too_long_stands_on_top_of_the_round_on_today_and_on_its_page(lab: Lab) {
        let fresh = wet(&lab, "3", 1).await;
        let leather = wet(&lab, "23", 23).await;
        let before = lab.later(noon() - Duration::days(9));
        let mut odile = before.sign_in(Role::Conservator).await;
        let look = format!("/clocks/{}/looks", clock(&lab, leather).await);
        assert_eq!(odile.post(&look, &[]).await.status, StatusCode::SEE_OTHER);

        let mut odile = lab.sign_in(Role::Conservator).await;
        let words = "9 days past its limit, look 2 days overdue";
        let round = odile.page("/rounds").await;
        assert_eq!(round.texts(".pack .number")[0], "23", "the most urgent is on top");
        assert!(round.texts(".pack.overdue .why")[0].contains(words), "{:?}", round.texts(".pack .why"));
        let today = odile.page("/today").await;
        assert!(today.text(".overdue .why").contains(words), "{}", today.text("main"));
        let page = odile.page(&format!("/finds/{leather}")).await;
        assert!(page.text(".clock.overdue").contains(words), "{}", page.text(".strip"));
        assert!(odile.page(&format!("/finds/{fresh}")).await.count(".clock.overdue") == 0);

        let page = odile.page(&format!("/finds/{leather}")).await;
        let reply = odile.submit(&page, "form[action$=looks]", &[]).await;
        assert_eq!(reply.location(), format!("/finds/{leather}"));
        let page = odile.follow(&reply).await;
        assert!(page.text(".clock").contains("9 days past its limit, next look 22 Sep 2031"), "{}", page.text(".clock"));
    }

    async fn packs_of_others_are_neither_shown_nor_looked_at(lab: Lab) {
        let foreign = Lab::of(Site::named(&lab.site.db, FOREIGN).await);
        let theirs = clock(&foreign, wet(&foreign, "1", 20).await).await.to_string();
        let hidden = lab.site.find("9").material("wood_leather").wet().restricted().add().await;
        let hidden = clock(&lab, hidden).await.to_string();
        let mut odile = lab.sign_in(Role::Conservator).await;
        assert_eq!(odile.page("/rounds").await.count(".pack"), 0);
        for id in [&theirs, &hidden] {
            assert_eq!(odile.post(&format!("/clocks/{id}/looks"), &[]).await.status, StatusCode::NOT_FOUND);
            let fields = [("kind", "wet"), ("done_by", "x"), ("done_on", "2031-09-15"), ("clock", id), ("words", ""), ("reading", ""), ("well", id)];
            assert_eq!(odile.post("/rounds", &fields).await.status, StatusCode::UNPROCESSABLE_ENTITY);
        }
        lab.site.clear(Role::Conservator).await;
        assert_eq!(odile.page("/rounds").await.count(".pack"), 1, "with the clearance it is there");
    }

    async fn drying_and_packing_start_and_stop_their_clocks(lab: Lab) {
        let find = wet(&lab, "5", 2).await;
        for stage in [Stage::FirstAid, Stage::DryClean] {
            lab.site.mark(find, stage, domain::stages::StageState::Done).await;
        }
        let mut odile = lab.sign_in(Role::Conservator).await;
        let id = find.to_string();
        let record = |more: &[(&str, &str)]| -> Vec<(String, String)> {
            let base = [("find", id.as_str()), ("quantity", ""), ("done_by", "O. Marchbank"), ("done_on", "2031-09-15"), ("method", "tray"), ("outcome", "well")];
            base.iter().chain(more).map(|(n, v)| ((*n).to_owned(), (*v).to_owned())).collect()
        };
        let kinds = |lab: Lab| async move { running(&lab, find).await.iter().map(|c| (c.kind, c.limit_at.is_some())).collect::<Vec<_>>() };
        assert_eq!(kinds(lab.clone()).await, [(ClockKind::Wet, true)]);
        for (stage, fields, expected) in [
            ("drying", record(&[("finished", "no")]), vec![(ClockKind::Wet, false), (ClockKind::Drying, false)]),
            ("drying", record(&[("finished", "yes"), ("end_rule", "constant mass"), ("checked_by", "O. Marchbank")]), vec![]),
            ("packing", record(&[("finished", "yes"), ("container", "box"), ("microclimate", "below 55 % RH")]), vec![(ClockKind::Indicator, false)]),
        ] {
            let fields: Vec<(&str, &str)> = fields.iter().map(|(n, v)| (n.as_str(), v.as_str())).collect();
            let reply = odile.post(&format!("/projects/{}/work/{stage}/new", lab.site.code), &fields).await;
            assert_eq!(reply.status, StatusCode::SEE_OTHER, "{stage}: {}", reply.text(".wrong"));
            assert_eq!(kinds(lab.clone()).await, expected, "{stage}");
        }
        assert_eq!(running(&lab, find).await[0].next_check_at, Some(noon() + Duration::days(30)), "monthly");
    }
}
