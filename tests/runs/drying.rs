//! Drying to constant mass.
use super::{DRYING, IRON_G, begin, begun, column, end, id_of, iron, state, weigh, with};
use axum::http::StatusCode;
use domain::permission::Role;
use domain::runs::RunKind::Drying;
use domain::stages::{Stage, StageState};
use tests::on_both_engines;
use tests::support::Lab;

on_both_engines! {
    /// Story 2: 182.40, 175.10, 173.00, 172.90, 172.90 g; dry at the fifth by three weighings, 9.50 g and 5.2 % lost.
    async fn iron_is_dry_at_its_fifth_weighing_and_not_before(lab: Lab) {
        let find = iron(&lab, "61").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let run = begun(&mut odile, &lab, (Drying, find), DRYING).await;
        for weighing in &IRON_G[1..] {
            assert_eq!(odile.page(&run).await.text("#verdict"), "Drying", "before {weighing:?}");
            assert_eq!(weigh(&mut odile, &run, *weighing).await.status, StatusCode::SEE_OTHER);
        }
        let page = odile.page(&run).await;
        assert_eq!(page.text("#verdict"), "Dry");
        assert_eq!(column(&page, "Change"), ["", "4.00 %", "1.20 %", "0.06 %", "0 %"]);
        assert_eq!(column(&page, "Standard"), ["", "", "", "", "met"]);
        let main = page.text("main");
        assert!(main.contains("the last changes were 0.06 % and 0 %"), "{main}");
        assert!(main.contains("9.50 g, 5.2 %"), "{main}");
        let figures = page.texts("dl.figures > div > dt");
        for name in ["Last change", "Loss", "Settles at", "Constant from about"] {
            assert!(figures.iter().any(|known| known == name), "{name}: {figures:?}");
        }
        for part in ["Formula", "Holds for", "Source"] {
            assert!(page.texts("details.source dt").iter().any(|dt| dt == part), "every figure opens: {part}");
        }
        assert_eq!(page.count("svg[role=img] circle"), 5);
        assert!(page.text("figcaption").contains("5 weighings, from 182.40 g to 172.90 g"));

        assert_eq!(end(&mut odile, &run, "done", "").await.status, StatusCode::SEE_OTHER);
        assert_eq!(state(&lab, find, Stage::Drying).await, StageState::Done);
        let page = odile.page(&format!("/finds/{find}")).await;
        assert!(page.text("main").contains("dry, 9.50 g, 5.2 % lost"), "{}", page.text("main"));
    }

    async fn a_balance_that_cannot_prove_constant_mass_is_refused(lab: Lab) {
        let find = iron(&lab, "61").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let refused = begin(&mut odile, &lab, (Drying, find), &with(DRYING, &[("balance_g", "0.1")])).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(refused.text("#balance_g-error").contains("cannot prove constant mass"), "{}", refused.text(".wrong"));
        assert_eq!(refused.attributes("#mass_g", "value"), ["182.40"], "what was typed stays");
        assert_eq!(state(&lab, find, Stage::Drying).await, StageState::Waiting);
    }

    async fn a_run_that_cannot_begin_says_so_beside_its_fields(lab: Lab) {
        let find = iron(&lab, "61").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let cases: &[(&str, &str, &str)] = &[
            ("mass_g", "", "Weigh it before"),
            ("mass_g", "heavy", "is no number"),
            ("mass_g", "-3", ""),
            ("mass_g", "6 oz", "no unit known here; write g, kg, mg"),
            ("standard", "by eye", "Choose the standard"),
            ("balance_g", "", "smallest difference"),
            ("balance_g", "0", ""),
            ("started_at", "yesterday", "is no date and time"),
            ("started_at", "2031-09-16T08:30", "still to come"),
            ("done_by", " ", "Say who began it"),
            ("rh_start_pct", "90", "or none of its fields"),
        ];
        for (field, typed, sentence) in cases {
            let refused = begin(&mut odile, &lab, (Drying, find), &with(DRYING, &[(field, typed)])).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{field} {typed}");
            let told = refused.text(".wrong");
            assert!(!told.is_empty() && told.contains(sentence), "{field} “{typed}”: {told}");
            if *field != "standard" {
                assert_eq!(refused.attributes(&format!("#{field}"), "value"), [*typed], "what was typed stays");
            }
        }
        let rising = [("rh_start_pct", "50"), ("rh_end_pct", "90"), ("rh_step_pct", "10"), ("hold_days", "4"), ("chamber_c", "20")];
        let refused = begin(&mut odile, &lab, (Drying, find), &with(DRYING, &rising)).await;
        assert!(!refused.text("#rh_end_pct-error").is_empty(), "{}", refused.text(".wrong"));

        begun(&mut odile, &lab, (Drying, find), DRYING).await;
        let twice = begin(&mut odile, &lab, (Drying, find), DRYING).await;
        assert!(twice.text(".wrong").contains("is on already"), "{}", twice.text(".wrong"));
        let mut reader = lab.sign_in(Role::Reader).await;
        assert_eq!(begin(&mut reader, &lab, (Drying, find), DRYING).await.status, StatusCode::FORBIDDEN);
    }

    async fn a_weighing_that_cannot_be_is_refused_beside_its_field(lab: Lab) {
        let find = iron(&lab, "61").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let run = begun(&mut odile, &lab, (Drying, find), DRYING).await;
        weigh(&mut odile, &run, IRON_G[1]).await;
        let cases: &[(&str, &str, &str, &str)] = &[
            ("2031-09-10 08:30", "", "mass_g", "Write the mass"),
            ("2031-09-10 08:30", "-173", "mass_g", ""),
            ("2031-09-10 08:30", "173 lb", "mass_g", "no unit known here"),
            ("2031-09-10 08:30", "17.3", "mass_g", "decimal sign"),
            ("2031-09-09 08:30", "173", "weighed_at", "has to be later"),
            ("2031-09-07 08:30", "173", "weighed_at", "The run began on"),
            ("2031-09-16 08:30", "173", "weighed_at", "still to come"),
            ("noonish", "173", "weighed_at", "is no date and time"),
        ];
        for (at, mass, field, sentence) in cases {
            let refused = weigh(&mut odile, &run, (at, mass)).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{at} {mass}");
            let told = refused.text(&format!("#{field}-error"));
            assert!(!told.is_empty() && told.contains(sentence), "{at} {mass}: {}", refused.text(".wrong"));
            assert_eq!(refused.attributes("#mass_g", "value"), [*mass], "what was typed stays");
        }
        assert_eq!(column(&odile.page(&run).await, "Mass").len(), 2, "nothing of it is kept");
        let heavy = weigh(&mut odile, &run, ("2031-09-10 08:30", "0,173 kg")).await;
        assert_eq!(heavy.status, StatusCode::SEE_OTHER, "another unit is understood: {}", heavy.text(".wrong"));
        assert_eq!(column(&odile.page(&run).await, "Mass")[2], "173.00 g");
    }

    async fn a_pasted_list_is_kept_whole_or_told_line_by_line(lab: Lab) {
        let find = iron(&lab, "61").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let run = begun(&mut odile, &lab, (Drying, find), DRYING).await;
        let path = format!("{run}/pasted-weighings");
        let bad = "Date;Mass (g)\n08.09.2031 08:30;182,40\n09.09.2031 08:30;17,51\n10.09.2031;about 173\n09.09.2031 07:00;172,9\n12.09.2031 08:30;6 oz";
        let refused = odile.post(&path, &[("pasted", bad)]).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        let faults = refused.texts(".faults li");
        let told: Vec<&str> = faults.iter().map(|fault| &fault[..6]).collect();
        assert_eq!(told, ["Line 3", "Line 4", "Line 5", "Line 6"], "{faults:?}");
        assert!(refused.text("#pasted").contains("about 173"), "what was pasted stays");
        assert_eq!(column(&odile.page(&run).await, "Mass").len(), 1, "none of it is kept");

        let lines: Vec<String> = IRON_G.iter().map(|(at, mass)| format!("{at}\t{mass}")).collect();
        let reply = odile.post(&path, &[("pasted", &lines.join("\n"))]).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text(".wrong"));
        let page = odile.follow(&reply).await;
        assert!(page.text(".notice").contains("4 weighings are on record. 1 were there already"), "{}", page.text(".notice"));
        assert_eq!(page.text("#verdict"), "Dry");
        let other = odile.post(&path, &[("pasted", "2031-09-11 08:30\t171.00")]).await;
        assert!(other.text(".faults").contains("is on record for that moment"), "{}", other.text(".faults"));
        let empty = odile.post(&path, &[("pasted", " \n")]).await;
        assert!(empty.text("#pasted-error").contains("Paste two columns"), "{}", empty.text(".wrong"));
    }

    async fn a_wrong_weighing_is_withdrawn_with_a_reason_and_stays_on_record(lab: Lab) {
        let find = iron(&lab, "61").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let run = begun(&mut odile, &lab, (Drying, find), DRYING).await;
        weigh(&mut odile, &run, ("2031-09-09 08:30", "157.10")).await;
        let path = odile.page(&run).await.attributes("form[action$=withdrawal]", "action")[1].clone();
        let refused = odile.post(&path, &[("reason", "")]).await;
        assert!(refused.text(".wrong").contains("Say why"), "{}", refused.text(".wrong"));
        assert_eq!(odile.post(&path, &[("reason", "digits swapped")]).await.status, StatusCode::SEE_OTHER);
        let page = odile.page(&run).await;
        assert_eq!(page.count("tr.superseded"), 1);
        assert!(page.text("tr.superseded").contains("157.10 g") && page.text("tr.superseded").contains("digits swapped"));
        assert_eq!(column(&page, "Mass"), ["182.40 g"]);
        assert_eq!(weigh(&mut odile, &run, IRON_G[1]).await.status, StatusCode::SEE_OTHER, "the moment is free again");
        let journal = odile.page(&format!("/finds/{find}")).await.text("main");
        assert!(journal.contains("withdrew the weighing of 157.1 g"), "{journal}");
    }

    async fn a_chamber_steps_down_when_its_hold_is_over_and_the_mass_constant(lab: Lab) {
        let find = lab.site.find("40").material("worked_bone").with(|f| f.recovered_state = domain::finds::RecoveredState::Damp).add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let chamber = [("rh_start_pct", "90 %"), ("rh_end_pct", "60"), ("rh_step_pct", "10"), ("hold_days", "4"), ("chamber_c", "20"), ("mass_g", "31.2"), ("balance_g", "0.001"), ("standard", "en_13755")];
        let run = begun(&mut odile, &lab, (Drying, find), &with(DRYING, &chamber)).await;
        let page = odile.page(&run).await;
        assert_eq!(page.texts("#schedule ~ .scroll [data-label='Hold at']"), ["80 % now", "70 %", "60 %"], "the first set point lies one step below the air it comes from");
        let step = format!("{run}/steps");
        weigh(&mut odile, &run, ("2031-09-10 08:30", "30.500")).await;
        let refused = odile.post(&step, &[("reason", "")]).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "the mass still falls");
        let refused = odile.post(&step, &[("reason", "it looks fine")]).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "a conservator does not go on before its time");
        weigh(&mut odile, &run, ("2031-09-12 08:30", "30.499")).await;
        assert!(odile.page(&run).await.text("main").contains("constant at this set point"));
        assert_eq!(end(&mut odile, &run, "done", "").await.status, StatusCode::UNPROCESSABLE_ENTITY, "not at the last step");
        assert_eq!(odile.post(&step, &[]).await.status, StatusCode::SEE_OTHER);
        let mut lead = lab.sign_in(Role::Lead).await;
        assert_eq!(lead.post(&step, &[("reason", "")]).await.status, StatusCode::UNPROCESSABLE_ENTITY, "a lead says why");
        assert_eq!(lead.post(&step, &[("reason", "chamber is needed")]).await.status, StatusCode::SEE_OTHER);
        let page = odile.page(&run).await;
        assert!(page.text("main").contains("chamber is needed"), "the reason stays");
        assert!(page.text("main").contains("This is the last set point"));
        assert_eq!(odile.post(&step, &[]).await.status, StatusCode::UNPROCESSABLE_ENTITY, "there is no further one");
    }

    async fn a_run_is_broken_off_with_a_reason_and_goes_on_with_another(lab: Lab) {
        let find = iron(&lab, "61").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let run = begun(&mut odile, &lab, (Drying, find), DRYING).await;
        for (how, words) in [("", "x"), ("broken_off", ""), ("done", "I am sure")] {
            let refused = end(&mut odile, &run, how, words).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{how} {words}");
            assert_eq!(refused.text("#end_words"), words, "what was typed stays");
        }
        assert_eq!(end(&mut odile, &run, "broken_off", "a flake lifts").await.status, StatusCode::SEE_OTHER);
        assert_eq!(state(&lab, find, Stage::Drying).await, StageState::InHand);
        let refused = weigh(&mut odile, &run, IRON_G[1]).await;
        assert!(refused.text(".wrong").contains("has ended"), "{}", refused.text(".wrong"));
        let path = format!("{run}/reopening");
        assert_eq!(odile.post(&path, &[("reason", "")]).await.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(odile.post(&path, &[("reason", "flake secured")]).await.status, StatusCode::SEE_OTHER);
        assert_eq!(weigh(&mut odile, &run, IRON_G[1]).await.status, StatusCode::SEE_OTHER);
        let mut tx = lab.site.db.read().await.unwrap();
        assert_eq!(store::runs::find(&mut tx, id_of(&run)).await.unwrap().unwrap().ended_at, None);
    }

    async fn a_weighing_is_a_look_at_what_dries(lab: Lab) {
        let find = iron(&lab, "61").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let run = begun(&mut odile, &lab, (Drying, find), DRYING).await;
        weigh(&mut odile, &run, IRON_G[4]).await;
        let mut tx = lab.site.db.read().await.unwrap();
        let clocks = store::clocks::list_running(&mut tx, find).await.unwrap();
        let clock = clocks.iter().find(|clock| clock.kind == domain::clocks::ClockKind::Drying).unwrap();
        let days = |at: Option<domain::Instant>| at.map(|at| at.format("%d %H:%M").to_string());
        assert_eq!(days(clock.last_check_at).as_deref(), Some("12 08:30"));
        assert_eq!(days(clock.next_check_at).as_deref(), Some("19 08:30"), "a week on");
    }
}
