//! The gates of the route, as a table: each refuses without its record, opens with it, opens when a lead lifts it.
//! What a gate asks for is common practice of the trade; where it has a source, that stands beside the gate itself.
use axum::http::StatusCode;
use domain::ids::FindId;
use domain::permission::Role;
use domain::stages::{Stage, StageState};
use tests::on_both_engines;
use tests::support::Site;
use tests::support::http::{Lab, Reply, Visitor, url_encoded};

async fn record(
    visitor: &mut Visitor,
    lab: &Lab,
    stage: &str,
    find: FindId,
    fields: &[(&str, &str)],
) -> Reply {
    let find = find.to_string();
    let mut all = vec![
        ("find", find.as_str()),
        ("quantity", ""),
        ("done_by", "O. Marchbank"),
        ("done_on", "2031-09-14"),
    ];
    all.extend([("finished", "yes"), ("method", "swab"), ("outcome", "as hoped"), ("materials", "cotton")]);
    all.extend([
        ("aim", "soil off"),
        ("area", "whole"),
        ("begun", "09:00"),
        ("ended", "10:00"),
        ("removed", "soil"),
    ]);
    for (name, value) in fields {
        all.retain(|(known, _)| known != name || *known == "find");
        all.push((name, value));
    }
    visitor.post(&format!("/projects/{}/work/{stage}/new", lab.site.code), &all).await
}

const WET: &[(&str, &str)] = &[("mixture", "water")];
const TEST: &[(&str, &str)] =
    &[("site", "underside"), ("mixture", "Water"), ("effect_on_original", "none"), ("decision", "accepted")];
const LEVEL: &[(&str, &str)] = &[
    ("level", "loose soil off"),
    ("stop_point", "first tint"),
    ("decided_by", "T. Reedling"),
    ("layers_to_keep", "all paint"),
    ("evidence", "tests 1 and 2"),
    ("consulted", "nobody"),
];

async fn state(lab: &Lab, find: FindId, stage: Stage) -> StageState {
    let mut tx = lab.site.db.read().await.unwrap();
    store::finds::progress::find_progress(&mut tx, find).await.unwrap().state(stage)
}

async fn authorise(lab: &Lab, find: FindId) {
    let mut lead = lab.sign_in(Role::Lead).await;
    let page = lead.page(&format!("/finds/{find}")).await;
    let action = page.attributes("form[action$=authorisation]", "action")[0].clone();
    let reply = lead.post(&action, &[("answer", "authorised")]).await;
    assert_eq!(reply.status, StatusCode::SEE_OTHER);
}

on_both_engines! {
    async fn wet_cleaning_opens_with_dry_cleaning_an_accepted_test_and_an_authorised_level(lab: Lab) {
        let find = lab.site.find("1").material("stone").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let refused = record(&mut odile, &lab, "wet_clean", find, WET).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(refused.count(".wrong li"), 3, "{}", refused.text(".wrong"));
        assert_eq!(refused.attributes("#mixture", "value"), ["water"], "what was typed stays");
        assert_eq!(state(&lab, find, Stage::WetClean).await, StageState::Waiting, "nothing half-done is saved");

        assert_eq!(record(&mut odile, &lab, "dry_clean", find, &[]).await.status, StatusCode::SEE_OTHER);
        assert_eq!(record(&mut odile, &lab, "wet_clean", find, WET).await.count(".wrong li"), 2);
        assert_eq!(record(&mut odile, &lab, "spot_test", find, TEST).await.status, StatusCode::SEE_OTHER);
        assert_eq!(record(&mut odile, &lab, "wet_clean", find, WET).await.count(".wrong li"), 1);
        assert_eq!(record(&mut odile, &lab, "cleaning_level", find, LEVEL).await.status, StatusCode::SEE_OTHER);
        assert_eq!(record(&mut odile, &lab, "wet_clean", find, WET).await.count(".wrong li"), 1, "not before the answer");
        authorise(&lab, find).await;
        let other = record(&mut odile, &lab, "wet_clean", find, &[("mixture", "white spirit")]).await;
        assert_eq!(other.count(".wrong li"), 1, "another mixture has no test");
        assert_eq!(record(&mut odile, &lab, "wet_clean", find, WET).await.status, StatusCode::SEE_OTHER);
        assert_eq!(state(&lab, find, Stage::WetClean).await, StageState::Done);
    }

    async fn a_solvent_that_took_colour_is_refused(lab: Lab) {
        let find = lab.site.find("88").material("stone").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        record(&mut odile, &lab, "dry_clean", find, &[]).await;
        let took = [("site", "hem"), ("mixture", "water"), ("effect_on_original", "colour_taken"), ("decision", "accepted")];
        let refused = record(&mut odile, &lab, "spot_test", find, &took).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "harm cannot be accepted");
        let took = [("site", "hem"), ("mixture", "water"), ("effect_on_original", "colour_taken"), ("decision", "refused")];
        assert_eq!(record(&mut odile, &lab, "spot_test", find, &took).await.status, StatusCode::SEE_OTHER, "kept as a result");
        record(&mut odile, &lab, "cleaning_level", find, LEVEL).await;
        authorise(&lab, find).await;
        let refused = record(&mut odile, &lab, "wet_clean", find, WET).await;
        assert!(refused.text(".wrong").contains("no accepted spot test"), "{}", refused.text(".wrong"));
    }

    async fn iron_is_not_cleaned_before_its_plate_unless_a_lead_lifts_the_gate(lab: Lab) {
        let [plated, lifted] = [lab.site.find("1").material("iron").add().await, lab.site.find("2").material("iron").add().await];
        let mut odile = lab.sign_in(Role::Conservator).await;
        for find in [plated, lifted] {
            let refused = record(&mut odile, &lab, "dry_clean", find, &[]).await;
            assert!(refused.text(".wrong").contains("X-rayed"), "{}", refused.text(".wrong"));
        }
        let plate = plated.to_string();
        let path = format!("/projects/{}/examinations/xray/new", lab.site.code);
        let seen = [("find", plate.as_str()), ("done_by", "O. Marchbank"), ("done_on", "2031-09-14"), ("verdict", "positive"), ("question", "A core?"), ("area", "all"), ("seen", "a core"), ("plate_number", "4"), ("finished", "yes")];
        assert_eq!(odile.post(&path, &seen).await.status, StatusCode::SEE_OTHER);
        assert_eq!(record(&mut odile, &lab, "dry_clean", plated, &[]).await.status, StatusCode::SEE_OTHER);

        let path = format!("/finds/{lifted}/lifts/xray_first/new");
        assert_eq!(odile.post(&path, &[("reason", "fragments only")]).await.status, StatusCode::FORBIDDEN);
        let mut lead = lab.sign_in(Role::Lead).await;
        assert_eq!(lead.post(&path, &[("reason", " ")]).await.status, StatusCode::UNPROCESSABLE_ENTITY, "a reason is asked");
        assert_eq!(lead.post(&path, &[("reason", "fragments only")]).await.status, StatusCode::SEE_OTHER);
        assert_eq!(record(&mut odile, &lab, "dry_clean", lifted, &[]).await.status, StatusCode::SEE_OTHER);
        let page = lead.page(&format!("/finds/{lifted}")).await;
        assert!(page.source().contains("fragments only"), "the reason stays on the record");
    }

    async fn what_came_damp_is_packed_after_its_drying_only(lab: Lab) {
        let damp = lab.site.find("1").material("worked_bone").with(|f| f.recovered_state = domain::finds::RecoveredState::Damp).add().await;
        let dry = lab.site.find("2").material("worked_bone").with(|f| f.recovered_state = domain::finds::RecoveredState::Dry).add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let pack = [("container", "box")];
        assert_eq!(record(&mut odile, &lab, "packing", dry, &pack).await.status, StatusCode::SEE_OTHER);
        let refused = record(&mut odile, &lab, "packing", damp, &pack).await;
        assert!(refused.text(".wrong").contains("finish its drying"), "{}", refused.text(".wrong"));
        let dried = [("end_rule", "constant mass"), ("checked_by", "O. Marchbank")];
        assert_eq!(record(&mut odile, &lab, "drying", damp, &dried).await.status, StatusCode::SEE_OTHER);
        assert_eq!(record(&mut odile, &lab, "packing", damp, &pack).await.status, StatusCode::SEE_OTHER);
    }

    async fn a_standing_authorisation_lets_its_class_be_washed_and_no_other(lab: Lab) {
        let sherds = lab.site.find("1").material("ceramic").bulk(40).add().await;
        let stone = lab.site.find("2").material("stone").add().await;
        let mut lead = lab.sign_in(Role::Lead).await;
        let given = [("material", "ceramic"), ("words", "sound unpainted ceramic"), ("mixture", "water"), ("stop_point", "at the slip")];
        assert_eq!(lead.post(&format!("/projects/{}/standing", lab.site.code), &given).await.status, StatusCode::SEE_OTHER);
        let standing = {
            let mut tx = lab.site.db.read().await.unwrap();
            store::work::standing::list(&mut tx, lab.site.project).await.unwrap()[0].id.to_string()
        };
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let marks = format!("/projects/{}/marks/new", lab.site.code);
        let id = sherds.to_string();
        let skip = [("find", id.as_str()), ("stage", "dry_clean"), ("state", "not_needed"), ("reason", "washed at once")];
        assert_eq!(bea.post(&marks, &skip).await.status, StatusCode::SEE_OTHER);
        let half = [("mixture", "Water"), ("standing", standing.as_str()), ("quantity", "15")];
        assert_eq!(record(&mut bea, &lab, "wet_clean", sherds, &half).await.status, StatusCode::SEE_OTHER);
        assert_eq!(state(&lab, sherds, Stage::WetClean).await, StageState::InHand, "half a bag is washed");
        let rest = [("mixture", "Water"), ("standing", standing.as_str()), ("quantity", "25")];
        assert_eq!(record(&mut bea, &lab, "wet_clean", sherds, &rest).await.status, StatusCode::SEE_OTHER);
        assert_eq!(state(&lab, sherds, Stage::WetClean).await, StageState::Done);
        assert_eq!(state(&lab, sherds, Stage::SpotTest).await, StageState::NotNeeded);

        let mut odile = lab.sign_in(Role::Conservator).await;
        record(&mut odile, &lab, "dry_clean", stone, &[]).await;
        let refused = record(&mut odile, &lab, "wet_clean", stone, &[("mixture", "water"), ("standing", &standing)]).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(refused.text(".wrong").contains("another material"), "{}", refused.text(".wrong"));
        let refused = record(&mut bea, &lab, "wet_clean", stone, WET).await;
        assert!(refused.text(".wrong").contains("conservator’s"), "a finds officer washes plain finds only");
    }

    async fn a_find_on_hold_takes_no_work_until_it_is_released(lab: Lab) {
        let find = lab.site.find("1").material("stone").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let reply = odile.post(&format!("/finds/{find}/holds/new"), &[("reason", "owner comes first")]).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER);
        let refused = record(&mut odile, &lab, "dry_clean", find, &[]).await;
        assert!(refused.text(".wrong").contains("on hold"), "{}", refused.text(".wrong"));
        let page = odile.page(&format!("/finds/{find}")).await;
        let release = page.attributes("form[action^='/holds/']", "action")[0].clone();
        assert_eq!(odile.post(&release, &[("reason", "seen")]).await.status, StatusCode::SEE_OTHER);
        assert_eq!(record(&mut odile, &lab, "dry_clean", find, &[]).await.status, StatusCode::SEE_OTHER);
    }

    async fn a_lead_gives_a_find_a_route_of_its_own_with_a_reason(lab: Lab) {
        let find = lab.site.find("1").material("stone").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        record(&mut odile, &lab, "dry_clean", find, &[]).await;
        let path = format!("/finds/{find}/route");
        let mut lead = lab.sign_in(Role::Lead).await;
        let page = lead.page(&path).await;
        let unsaid = lead.submit(&page, "form[action$='/route']", &[("choice", "own")]).await;
        assert_eq!(unsaid.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(unsaid.text(".wrong").contains("Say why"), "{}", unsaid.text(".wrong"));

        let reason = ("reason", "pigment: no water");
        let without = lead.post(&path, &[("stage", "packing"), reason, ("choice", "own")]).await;
        assert!(without.text(".wrong").contains("Work is recorded on dry clean"), "{}", without.text(".wrong"));

        let short = [("stage", "condition"), ("stage", "dry_clean"), ("stage", "drying"), ("stage", "packing"), reason, ("choice", "own")];
        assert_eq!(lead.post(&path, &short).await.status, StatusCode::SEE_OTHER);
        assert_eq!(state(&lab, find, Stage::WetClean).await, StageState::NotNeeded);
        let page = lead.page(&format!("/finds/{find}")).await;
        assert!(page.text("main").contains("pigment: no water"));

        let back = [("reason", "a scrape showed no pigment"), ("choice", "material")];
        assert_eq!(lead.post(&path, &back).await.status, StatusCode::SEE_OTHER);
        assert_eq!(state(&lab, find, Stage::WetClean).await, StageState::Waiting);
    }

    async fn the_same_form_twice_is_one_record_and_a_correction_supersedes(lab: Lab) {
        let find = lab.site.find("1").material("stone").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let page = odile.page(&format!("/projects/{}/work/dry_clean/new?find={find}", lab.site.code)).await;
        let words = [("done_by", "O. Marchbank"), ("method", "brush"), ("outcome", "soil off"), ("materials", "cotton"),
            ("aim", "soil off"), ("area", "whole"), ("begun", "09:00"), ("ended", "10:00"), ("removed", "soil")];
        let first = odile.submit(&page, "form[action*='/work/']", &words).await;
        let second = odile.submit(&page, "form[action*='/work/']", &words).await;
        assert_eq!((first.status, second.status), (StatusCode::SEE_OTHER, StatusCode::SEE_OTHER));
        assert_eq!(first.location(), second.location());
        let records = |n: usize| {
            let db = lab.site.db.clone();
            async move {
                let all = store::work::records::list_of_find(&mut db.read().await.unwrap(), find).await.unwrap();
                assert_eq!(all.len(), n);
                all
            }
        };
        let kept = records(1).await;
        let path = format!("/projects/{}/work/dry_clean/new?find={find}&supersedes={}", lab.site.code, kept[0].id);
        let page = odile.page(&path).await;
        assert_eq!(page.attributes("#method", "value"), ["brush"], "the old words are offered");
        let reply = odile.submit(&page, "form[action*='/work/']", &[("outcome", "soil and crust off")]).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER);
        let kept = records(2).await;
        assert_eq!(kept.iter().filter(|r| r.superseded_at.is_some()).count(), 1, "nothing is overwritten");
    }

    async fn two_who_save_one_find_see_both_versions(site: Site) {
        let lab = Lab::of(site);
        let find = lab.site.find("7").material("iron").add().await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let path = format!("/finds/{find}/edit");
        let (hers, his) = (bea.page(&path).await, bea.page(&path).await);
        let form = "form[action$='/edit']";
        assert_eq!(bea.submit(&hers, form, &[("object_type", "hinge")]).await.status, StatusCode::SEE_OTHER);
        let clash = bea.submit(&his, form, &[("object_type", "strap"), ("note", "bent")]).await;
        assert_eq!(clash.status, StatusCode::CONFLICT);
        assert!(clash.text(".wrong table").contains("hinge") && clash.text(".wrong table").contains("strap"));
        assert_eq!(clash.attributes("#object_type", "value"), ["strap"], "own words are still in the form");
        let taken = bea.submit(&clash, form, &[("take", "object_type")]).await;
        assert_eq!(taken.attributes("#object_type", "value"), ["hinge"]);
        assert_eq!(bea.submit(&taken, form, &[]).await.status, StatusCode::SEE_OTHER);
        let page = bea.page(&format!("/finds/{find}")).await;
        assert!(page.source().contains("hinge") && page.source().contains("bent"));
    }
}

on_both_engines! {
    async fn with_nothing_ticked_the_list_says_to_tick_first(lab: Lab) {
        lab.site.find("12").add().await;
        let mut tilda = lab.sign_in(Role::Lead).await;
        let code = lab.site.code;
        for to in [web::links::labels(code), web::links::move_new(code), web::links::bench_new(code)] {
            let reply = tilda.get(&to).await;
            assert_eq!(reply.status, StatusCode::SEE_OTHER, "{to}");
            let list = tilda.follow(&reply).await;
            assert_eq!(list.text("main h1"), "Finds", "{to}");
            assert!(list.source().contains("Tick between 1 and"), "{to}");
        }
    }
}

on_both_engines! {
    async fn a_number_may_not_be_taken_for_another_and_is_found_however_it_is_written(lab: Lab) {
        let find = lab.site.find("SF 12").object("key").add().await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let form = "form[action$='/finds/new']";
        let page = bea.page(&web::links::find_new(lab.site.code)).await;
        let typed = [("number", "sf\u{200b}012"), ("material", "iron"), ("object_type", "hasp")];
        let refused = bea.submit(&page, form, &typed).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(refused.text("main").contains("would be taken for SF 12"), "{}", refused.text("main"));
        assert_eq!(refused.attributes("#object_type", "value"), ["hasp"], "what was typed stays");
        for written in ["SF12", "sf 12", "SF-012"] {
            let list = bea.page(&format!("{}?{}", web::links::finds(lab.site.code), url_encoded(&[("q", written)]))).await;
            assert!(list.attributes("main p a", "href").contains(&web::links::find(find)), "{written}");
        }
    }

    async fn days_to_come_years_long_gone_and_unclear_numbers_are_asked_about(lab: Lab) {
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let form = "form[action$='/finds/new']";
        let page = bea.page(&web::links::find_new(lab.site.code)).await;
        let sound = [("number", "5"), ("material", "iron")];
        for (field, typed, said) in [
            ("recovered_on", "2199-01-01", "This day has not come yet."),
            ("recovered_on", "1231-05-03", "Look at the year"),
            ("weight_g", "1,234", "can be read in two ways. Write 1234 or 1.234."),
            ("quantity", "99999999999", "is the most"),
        ] {
            let reply = bea.submit(&page, form, &[&sound[..], &[(field, typed)]].concat()).await;
            assert_eq!(reply.status, StatusCode::UNPROCESSABLE_ENTITY, "{typed}");
            assert!(reply.text("main").contains(said), "{typed}: {}", reply.text("main"));
            assert_eq!(reply.attributes(&format!("#{field}"), "value"), [typed], "what was typed stays");
        }
    }

    async fn a_page_that_is_not_there_keeps_the_menu(lab: Lab) {
        let mut tilda = lab.sign_in(Role::Lead).await;
        for path in ["/finds/no-such-id", "/nowhere", "/backlog?project=ZZZ", "/projects/ZZZ"] {
            let reply = tilda.get(path).await;
            assert_eq!(reply.status, StatusCode::NOT_FOUND, "{path}");
            assert_eq!(reply.text("main h1"), "Not here", "{path}");
            assert!(reply.count("nav[aria-label=Main] a") > 3, "{path} lost the menu");
        }
        let twice = tilda.get(&format!("{}?q=a&q=b", web::links::finds(lab.site.code))).await;
        assert_eq!(twice.status, StatusCode::BAD_REQUEST);
        assert!(twice.text("main").contains("this address"), "{}", twice.text("main"));
    }

    async fn a_project_tells_what_happened_to_its_finds_but_not_to_restricted_ones(lab: Lab) {
        let open = lab.site.find("31").add().await;
        let urn = lab.site.find("32").restricted().add().await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let page = bea.page(&web::links::project(lab.site.code)).await;
        let told = page.attributes("section[aria-labelledby=lately] a", "href");
        assert!(told.contains(&web::links::find(open)) && !told.contains(&web::links::find(urn)), "{told:?}");
        let mut reader = lab.sign_in(Role::Reader).await;
        let page = reader.page(&web::links::project(lab.site.code)).await;
        assert_eq!(page.count("section[aria-labelledby=lately] a"), 0, "whoever lists no finds is told of none");
    }
}
