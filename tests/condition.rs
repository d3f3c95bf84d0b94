//! Condition assessments: kept in versions, refused field by field, compared, in words that a lead keeps.
use axum::http::StatusCode;
use domain::ids::FindId;
use domain::permission::Role;
use domain::stages::{Stage, StageState};
use tests::on_both_engines;
use tests::support::{Lab, Reply, Visitor};

/// A whole assessment; `changes` replace fields or are added.
async fn assess(visitor: &mut Visitor, lab: &Lab, find: FindId, changes: &[(&str, &str)]) -> Reply {
    let find = find.to_string();
    let mut fields = vec![
        ("find", find.as_str()),
        ("reason", "on arrival"),
        ("light", "daylight"),
        ("extent", "all"),
        ("alteration", "crack"),
        ("alteration_place", "rim"),
        ("alteration_extent", "5"),
        ("alteration_cause", "drying"),
        ("condition", "fair"),
        ("stability", "unstable"),
        ("recommendation", "keep damp"),
        ("review_on", "2031-12-01"),
        ("done_by", "O. Marchbank"),
        ("done_on", "2031-09-14"),
        ("finished", "yes"),
    ];
    for (name, value) in changes {
        fields.retain(|(known, _)| known != name);
        fields.push((name, value));
    }
    visitor.post(&format!("/projects/{}/condition/new", lab.site.code), &fields).await
}

async fn state(lab: &Lab, find: FindId) -> StageState {
    let mut tx = lab.site.db.read().await.unwrap();
    store::finds::progress::find_progress(&mut tx, find).await.unwrap().state(Stage::Condition)
}

async fn journal(lab: &Lab, find: FindId) -> Vec<String> {
    let mut tx = lab.site.db.read().await.unwrap();
    let lines = store::journal::list_of_find(&mut tx, find, store::journal::Told::ALL, 50).await.unwrap();
    lines.into_iter().map(|line| line.words).collect()
}

on_both_engines! {
    async fn an_assessment_closes_its_stage_and_stands_on_the_find(lab: Lab) {
        let find = lab.site.find("1").material("glass").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let saved = assess(&mut odile, &lab, find, &[]).await;
        assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text(".wrong"));
        assert_eq!(state(&lab, find).await, StageState::Done);
        assert!(journal(&lab, find).await.iter().any(|words| words.contains("fair, unstable")), "the journal tells of it");
        let page = odile.page(&format!("/finds/{find}")).await;
        assert!(page.source().contains("will change before the next look"), "a scale shows what its word means");
        assert!(page.source().contains("crack, rim, 5 %"));
        let whole = odile.page(&format!("/finds/{find}/condition")).await;
        assert!(whole.text("table").contains("crack: drying"), "the cause stands apart: {}", whole.text("table"));
    }

    async fn an_open_assessment_may_lack_what_a_closed_one_needs(lab: Lab) {
        let find = lab.site.find("1").material("glass").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let empty = [("reason", ""), ("light", ""), ("extent", ""), ("alteration", ""), ("alteration_place", ""), ("alteration_extent", ""), ("alteration_cause", ""), ("condition", ""), ("stability", ""), ("recommendation", ""), ("review_on", "")];
        let refused = assess(&mut odile, &lab, find, &empty).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(refused.count(".wrong li"), 8, "{}", refused.text(".wrong"));
        let mut open = empty.to_vec();
        open.push(("finished", "no"));
        assert_eq!(assess(&mut odile, &lab, find, &open).await.status, StatusCode::SEE_OTHER);
        assert_eq!(state(&lab, find).await, StageState::InHand);
    }

    async fn each_bad_field_is_refused_with_a_sentence_and_nothing_is_lost(lab: Lab) {
        let find = lab.site.find("1").material("glass").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let long = "x".repeat(300);
        let cases: &[(&[(&str, &str)], &str)] = &[
            (&[("done_by", " ")], "who looked"),
            (&[("done_on", "2031-09-16")], "still to come"),
            (&[("done_on", "the day before")], "no date"),
            (&[("reason", &long)], "300 characters"),
            (&[("alteration_extent", "140")], "Row 1: 140 is outside what can be: 0 to 100"),
            (&[("alteration_extent", "a third")], "no number"),
            (&[("alteration", "rust devil")], "not on the list"),
            (&[("alteration", "")], "choose what is seen"),
            (&[("unaltered", "yes")], "Either something is seen"),
            (&[("condition", "splendid")], "Choose one of the list"),
            (&[("stability", "wobbly")], "Choose one of the list"),
            (&[("review_on", "2031-09-14")], "comes after this one"),
            (&[("review_on", "soon")], "no date"),
        ];
        for (changes, sentence) in cases {
            let refused = assess(&mut odile, &lab, find, changes).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{changes:?}");
            assert!(refused.text(".wrong").contains(sentence), "{changes:?}: {}", refused.text(".wrong"));
            assert_eq!(refused.text("#recommendation"), "keep damp", "what was typed stays");
        }
        assert_eq!(state(&lab, find).await, StageState::Waiting, "nothing was saved");
    }

    async fn more_rows_are_given_without_saving(lab: Lab) {
        let find = lab.site.find("1").material("glass").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let more = assess(&mut odile, &lab, find, &[("more", "yes"), ("done_by", "")]).await;
        assert_eq!(more.status, StatusCode::OK);
        assert_eq!(more.count("table.rows tbody tr"), 5);
        assert_eq!(state(&lab, find).await, StageState::Waiting);
    }

    async fn the_day_of_the_next_look_stands_on_today_on_the_find_and_in_the_letter_until_it_is_assessed_again(lab: Lab) {
        let find = lab.site.find("1").material("glass").object("rim").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        assess(&mut odile, &lab, find, &[("done_on", "2031-06-01"), ("review_on", "2031-09-12")]).await;
        let page = odile.page(&format!("/finds/{find}")).await;
        assert!(page.text(".clock").contains("condition review since 1 Jun 2031, look 3 days overdue"), "{}", page.text(".clock"));
        let today = odile.page("/today").await;
        assert!(today.text("main").contains("Conditions to be assessed again"), "{}", today.text("main"));
        assert_eq!(web::daily::queue_due(&lab.app).await.unwrap(), 3, "conservator, lead, finds officer");
        let letters = store::letters::list_unsent(&mut lab.site.db.read().await.unwrap(), 9).await.unwrap();
        assert_eq!(letters[0].subject, "1 wet pack or check is overdue");
        let clock = store::clocks::list_running(&mut lab.site.db.read().await.unwrap(), find).await.unwrap()[0].id;
        assert_eq!(odile.post(&format!("/clocks/{clock}/looks"), &[]).await.status, StatusCode::NOT_FOUND, "no tap answers it");

        // an older look typed in later changes nothing; a later one does
        assess(&mut odile, &lab, find, &[("done_on", "2031-05-01"), ("review_on", "2031-05-20")]).await;
        assert!(odile.page(&format!("/finds/{find}")).await.text(".clock").contains("look 3 days overdue"));
        assess(&mut odile, &lab, find, &[]).await;
        let page = odile.page(&format!("/finds/{find}")).await;
        assert!(page.text(".clock").contains("next look 1 Dec 2031"), "{}", page.text(".clock"));
        assert!(!odile.page("/today").await.text("main").contains("Conditions to be assessed again"));
    }

    async fn two_assessments_stand_side_by_side_and_a_correction_replaces_one(lab: Lab) {
        let find = lab.site.find("1").material("glass").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        assess(&mut odile, &lab, find, &[("done_on", "2031-06-01"), ("review_on", "2031-09-01")]).await;
        assess(&mut odile, &lab, find, &[("condition", "poor")]).await;
        let path = format!("/finds/{find}/condition");
        let page = odile.page(&path).await;
        assert_eq!(page.texts("table.compare thead th"), ["Field", "14 Sept 2031, O. Marchbank", "1 Jun 2031, O. Marchbank", "Changed"].map(|t| t.replace("Sept", "Sep")));
        let changed = page.texts("table.compare tbody tr").into_iter().filter(|row| row.contains("changed")).count();
        assert_eq!(changed, 2, "condition and next look");
        assert_eq!(state(&lab, find).await, StageState::Done, "a second look does not open the stage again");

        let form = odile.page(&page.attributes("a[aria-label='Correct: 14 Sep 2031, O. Marchbank']", "href")[0].clone()).await;
        let saved = odile.submit(&form, "main form", &[("condition", "fair")]).await;
        assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text(".wrong"));
        let page = odile.page(&path).await;
        assert_eq!(page.count("section[aria-labelledby=corrected] li"), 1, "the corrected one is kept");
        assert_eq!(page.count("section[aria-labelledby=all] li"), 2);
    }

    async fn several_finds_are_assessed_one_after_the_other(lab: Lab) {
        let (one, two) = (lab.site.find("1").material("glass").add().await, lab.site.find("2").material("glass").add().await);
        let mut odile = lab.sign_in(Role::Conservator).await;
        let form = odile.page(&format!("/projects/{}/condition/new?find={one}&find={two}", lab.site.code)).await;
        let saved = odile.submit(&form, "main form", &[("finished", "no")]).await;
        assert!(saved.location().contains(&two.to_string()), "{}", saved.location());
        assert_eq!(state(&lab, one).await, StageState::InHand);
        assert_eq!(state(&lab, two).await, StageState::Waiting);
    }

    async fn a_lead_keeps_the_words_and_old_assessments_keep_theirs(lab: Lab) {
        let find = lab.site.find("1").material("glass").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        assess(&mut odile, &lab, find, &[]).await;
        let path = format!("/projects/{}/vocabulary/condition", lab.site.code);
        assert_eq!(odile.get(&path).await.status, StatusCode::FORBIDDEN);
        let mut lead = lab.sign_in(Role::Lead).await;
        let form = lead.page(&path).await;
        for (words, sentence) in [("whole: nothing missing", "at least two"), ("a: b\nA: c", "twice"), ("a: b\nc", "Line 2"), (": b\nc: d", "Line 1")] {
            let refused = lead.submit(&form, "main form", &[("words", words)]).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
            assert!(refused.text(".wrong").contains(sentence), "{}", refused.text(".wrong"));
        }
        let words = [("words", "whole: nothing missing\nbroken: in pieces")];
        assert_eq!(lead.submit(&form, "main form", &words).await.status, StatusCode::SEE_OTHER);
        let stale = lead.submit(&form, "main form", &[("submission", ""), ("words", "a: b\nc: d")]).await;
        assert_eq!(stale.status, StatusCode::CONFLICT, "somebody else saved meanwhile");
        let form = odile.page(&format!("/projects/{}/condition/new?find={find}", lab.site.code)).await;
        assert!(form.text("#condition").contains("nothing missing"), "{}", form.text("#condition"));
        let refused = assess(&mut odile, &lab, find, &[]).await;
        assert!(refused.text(".wrong").contains("Choose one"), "the old word is gone from the list");
        let page = odile.page(&format!("/finds/{find}")).await;
        assert!(page.source().contains("whole enough to be handled"), "the meaning of its day stays");
    }

    async fn a_held_or_foreign_find_takes_no_assessment(lab: Lab) {
        let find = lab.site.find("1").material("glass").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        odile.post(&format!("/finds/{find}/holds/new"), &[("reason", "sampling first")]).await;
        let refused = assess(&mut odile, &lab, find, &[]).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(refused.text(".wrong").contains("Stopped"), "{}", refused.text(".wrong"));
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let other = lab.site.find("2").material("glass").add().await;
        assert_eq!(assess(&mut bea, &lab, other, &[]).await.status, StatusCode::UNPROCESSABLE_ENTITY, "not a finds officer's work");
        let mut reader = lab.sign_in(Role::Reader).await;
        assert_eq!(assess(&mut reader, &lab, other, &[]).await.status, StatusCode::FORBIDDEN);
    }
}
