//! Every gate at every stage it may guard, as a table: shut without its record, with a way to the form that supplies it; opened by
//! that record; opened by a lead with a reason that stays; opened, or not, by a stage not needed and by a standing authorisation.
//!
//! What a gate asks for is told, with its source, beside the gate itself (`domain::stages::gate`).
use axum::http::StatusCode;
use domain::finds::RecoveredState;
use domain::ids::FindId;
use domain::permission::Role;
use domain::stages::{Gate, Route, RouteStage, Stage, StageState};
use tests::on_both_engines;
use tests::support::{Lab, Reply, Visitor};

/// One row: the gate, the stage it guards, whether the stage before may be marked as not needed instead, whether a standing
/// authorisation of the class stands for the record.
struct Row {
    gate: Gate,
    stage: Stage,
    not_needed_opens: bool,
    standing_opens: bool,
}

const fn row(gate: Gate, stage: Stage, not_needed_opens: bool, standing_opens: bool) -> Row {
    Row { gate, stage, not_needed_opens, standing_opens }
}

const TABLE: &[Row] = &[
    row(Gate::DryCleanFirst, Stage::WetClean, true, false),
    row(Gate::TestedMixture, Stage::WetClean, false, true),
    row(Gate::AuthorisedLevel, Stage::DryClean, false, false),
    row(Gate::AuthorisedLevel, Stage::WetClean, false, true),
    row(Gate::XrayFirst, Stage::DryClean, true, false),
    row(Gate::XrayFirst, Stage::WetClean, true, false),
    row(Gate::XrayFirst, Stage::Desalination, true, false),
    row(Gate::DriedFirst, Stage::Packing, false, false),
];

const SHUT: StatusCode = StatusCode::UNPROCESSABLE_ENTITY;
const OPEN: StatusCode = StatusCode::SEE_OTHER;

/// A find whose route has the stage that opens the gate and the stage it guards, and no other gate.
async fn find_before(lab: &Lab, row: &Row, number: &str) -> FindId {
    let find = lab.site.find(number).material("stone").object("panel");
    let find = find.with(|f| f.recovered_state = RecoveredState::Damp).add().await;
    let mut route = vec![Stage::Registration, row.gate.opened_by(), row.stage];
    if row.stage == Stage::WetClean {
        // the form of a level asks nothing of the route, but a standing authorisation skips test and level
        route.extend([Stage::SpotTest, Stage::CleaningLevel]);
    }
    let mut seen = Vec::new();
    route.retain(|stage| {
        !seen.contains(stage) && {
            seen.push(*stage);
            true
        }
    });
    route.sort();
    let gates = |stage| if stage == row.stage { vec![row.gate] } else { Vec::new() };
    let route = Route(route.into_iter().map(|stage| RouteStage { stage, gates: gates(stage) }).collect());
    let mut tx = lab.site.db.write().await.unwrap();
    store::projects::replace_route(&mut tx, lab.site.project, "stone", &route).await.unwrap();
    tx.commit().await.unwrap();
    find
}

async fn record(
    visitor: &mut Visitor,
    lab: &Lab,
    (stage, find): (Stage, FindId),
    more: &[(&str, &str)],
) -> Reply {
    let find = find.to_string();
    let fields = [
        ("find", find.as_str()),
        ("quantity", ""),
        ("done_by", "O. Marchbank"),
        ("done_on", "2031-09-14"),
        ("finished", "yes"),
        ("method", "swab"),
        ("materials", "cotton"),
        ("outcome", "as hoped"),
        ("aim", "soil off"),
        ("area", "whole"),
        ("begun", "09:00"),
        ("ended", "10:00"),
        ("removed", "soil"),
    ];
    let usual = fields.into_iter().filter(|(name, _)| more.iter().all(|(other, _)| other != name));
    let fields: Vec<(&str, &str)> = usual.chain(more.iter().copied()).collect();
    visitor.post(&web::links::record_new(lab.site.code, stage), &fields).await
}

/// Tries what the gate guards.
async fn attempt(visitor: &mut Visitor, lab: &Lab, stage: Stage, find: FindId, standing: &str) -> Reply {
    let more: &[(&str, &str)] = match stage {
        Stage::WetClean => &[("mixture", "water"), ("standing", standing)],
        Stage::Packing => &[("container", "box")],
        Stage::Desalination => &[
            ("started_at", "2031-09-14T08:30"),
            ("mass_g", "850"),
            ("threshold", "40"),
            ("threshold_reason", "the lab’s rule"),
            ("baths_in_row", "2"),
        ],
        _ => &[("standing", standing)],
    };
    record(visitor, lab, (stage, find), more).await
}

/// Makes the record that opens the gate.
async fn open(lab: &Lab, gate: Gate, find: FindId) {
    let mut odile = lab.sign_in(Role::Conservator).await;
    let more: &[(&str, &str)] = match gate {
        Gate::DryCleanFirst => &[],
        Gate::TestedMixture => &[
            ("site", "underside"),
            ("mixture", "Water"),
            ("effect_on_original", "none"),
            ("decision", "accepted"),
        ],
        Gate::AuthorisedLevel => &[
            ("level", "loose soil off"),
            ("stop_point", "first tint"),
            ("decided_by", "T. Reedling"),
            ("layers_to_keep", "all paint"),
            ("evidence", "tests 1 and 2"),
            ("consulted", "nobody"),
        ],
        Gate::XrayFirst => {
            &[("verdict", "positive"), ("question", "A core?"), ("seen", "a core"), ("plate_number", "4")]
        }
        Gate::DriedFirst => &[("end_rule", "air-dried"), ("checked_by", "O. Marchbank")],
    };
    let reply = record(&mut odile, lab, (gate.opened_by(), find), more).await;
    assert_eq!(reply.status, OPEN, "{gate}: {}", reply.text(".wrong"));
    if gate == Gate::AuthorisedLevel {
        let mut lead = lab.sign_in(Role::Lead).await;
        let page = lead.page(&format!("/finds/{find}")).await;
        let action = page.attributes("form[action$=authorisation]", "action")[0].clone();
        assert_eq!(lead.post(&action, &[("answer", "authorised")]).await.status, OPEN);
    }
}

async fn give_standing(lab: &Lab) -> String {
    let mut lead = lab.sign_in(Role::Lead).await;
    let given = [
        ("material", "stone"),
        ("words", "sound plain stone"),
        ("mixture", "water"),
        ("stop_point", "at the skin"),
    ];
    assert_eq!(lead.post(&format!("/projects/{}/standing", lab.site.code), &given).await.status, OPEN);
    let mut tx = lab.site.db.read().await.unwrap();
    store::work::standing::list(&mut tx, lab.site.project).await.unwrap()[0].id.to_string()
}

async fn state(lab: &Lab, find: FindId, stage: Stage) -> StageState {
    let mut tx = lab.site.db.read().await.unwrap();
    store::finds::progress::find_progress(&mut tx, find).await.unwrap().state(stage)
}

async fn refused_with_a_way_on(odile: &mut Visitor, lab: &Lab, row: &Row, find: FindId) {
    let refused = attempt(odile, lab, row.stage, find, "").await;
    let (gate, told) = (row.gate, refused.text(".wrong"));
    assert_eq!(refused.status, SHUT, "{gate} at {}", row.stage);
    assert!(told.contains(gate.sentence()), "{gate} at {}: {told}", row.stage);
    let ways = refused.attributes(".wrong a", "href");
    let way = ways
        .iter()
        .find(|href| href.contains(&format!("find={find}")))
        .unwrap_or_else(|| panic!("{gate} at {}: no way on in {ways:?}", row.stage));
    assert_eq!(odile.get(way).await.status, StatusCode::OK, "{way}");
    assert!(!ways.iter().any(|href| href.contains("/lifts/")), "a conservator lifts nothing");
    assert_ne!(state(lab, find, row.stage).await, StageState::Done, "nothing is saved");
}

async fn lifted_with_a_reason(odile: &mut Visitor, lab: &Lab, row: &Row, find: FindId) {
    let path = web::links::lift_new(find, row.gate);
    assert_eq!(
        odile.post(&path, &[("reason", "one flake, for the owner")]).await.status,
        StatusCode::FORBIDDEN,
        "{}",
        row.gate
    );
    let mut lead = lab.sign_in(Role::Lead).await;
    let stopped = attempt(&mut lead, lab, row.stage, find, "").await;
    assert!(stopped.attributes(".wrong a", "href").contains(&path), "{}: a lead is shown the way", row.gate);
    for empty in ["", "  "] {
        let unsaid = lead.post(&path, &[("reason", empty)]).await;
        assert_eq!(unsaid.status, SHUT, "{}: a reason is asked", row.gate);
    }
    assert_eq!(lead.post(&path, &[("reason", "one flake, for the owner")]).await.status, OPEN);
    let reply = attempt(odile, lab, row.stage, find, "").await;
    assert_eq!(reply.status, OPEN, "{} at {} is lifted: {}", row.gate, row.stage, reply.text(".wrong"));
    let page = lead.page(&format!("/finds/{find}")).await;
    assert!(page.text(".journal").contains("one flake, for the owner"), "{}: the reason stays", row.gate);
}

on_both_engines! {
    async fn each_gate_is_shut_opened_by_its_record_lifted_with_a_reason_and_knows_its_standing_word(lab: Lab) {
        let mut odile = lab.sign_in(Role::Conservator).await;
        let standing = give_standing(&lab).await;
        for (nth, row) in TABLE.iter().enumerate() {
            let number = |what: &str| format!("{nth}{what}");
            let find = find_before(&lab, row, &number("A")).await;
            refused_with_a_way_on(&mut odile, &lab, row, find).await;
            open(&lab, row.gate, find).await;
            let reply = attempt(&mut odile, &lab, row.stage, find, "").await;
            assert_eq!(reply.status, OPEN, "{} at {} is open: {}", row.gate, row.stage, reply.text(".wrong"));

            let find = find_before(&lab, row, &number("B")).await;
            lifted_with_a_reason(&mut odile, &lab, row, find).await;

            let find = find_before(&lab, row, &number("C")).await;
            let id = find.to_string();
            let skip = [("find", id.as_str()), ("stage", row.gate.opened_by().code()), ("state", "not_needed"), ("reason", "nothing to be done")];
            assert_eq!(odile.post(&web::links::mark_new(lab.site.code), &skip).await.status, OPEN);
            let reply = attempt(&mut odile, &lab, row.stage, find, "").await;
            assert_eq!(reply.status == OPEN, row.not_needed_opens, "{} at {}, not needed: {}", row.gate, row.stage, reply.text(".wrong"));

            let find = find_before(&lab, row, &number("D")).await;
            let reply = attempt(&mut odile, &lab, row.stage, find, &standing).await;
            assert_eq!(reply.status == OPEN, row.standing_opens, "{} at {}, standing: {}", row.gate, row.stage, reply.text(".wrong"));
        }
    }
}

on_both_engines! {
    async fn what_was_washed_is_dried_before_it_is_packed_however_it_left_the_ground(lab: Lab) {
        let jar = lab.site.find("61").material("ceramic").object("jar").add().await;
        for stage in [Stage::FirstAid, Stage::Condition, Stage::DryClean, Stage::WetClean] {
            lab.site.mark(jar, stage, StageState::Done).await;
        }
        let mut odile = lab.sign_in(Role::Conservator).await;
        let refused = attempt(&mut odile, &lab, Stage::Packing, jar, "").await;
        assert_eq!(refused.status, SHUT, "{}", refused.text("main"));
        assert!(refused.text(".wrong").contains("finish its drying"), "{}", refused.text(".wrong"));
        open(&lab, Gate::DriedFirst, jar).await;
        let packed = attempt(&mut odile, &lab, Stage::Packing, jar, "").await;
        assert_eq!(packed.status, OPEN, "{}", packed.text(".wrong"));
    }

    async fn the_form_says_what_stands_in_the_way_before_anything_is_typed(lab: Lab) {
        let hasp = lab.site.find("61").material("iron").object("hasp").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let form = web::links::record_of(lab.site.code, Stage::DryClean, hasp);
        let page = odile.page(&form).await;
        assert!(page.text("main").contains("Not yet. 61: This find is X-rayed before it is cleaned."), "{}", page.text("main"));
        lab.site.mark(hasp, Stage::Xray, StageState::Done).await;
        assert!(!odile.page(&form).await.text("main").contains("Not yet."));
    }

    async fn of_a_bag_so_many_pieces_may_be_washed_as_were_cleaned_dry(lab: Lab) {
        let bag = lab.site.find("61").material("ceramic").bulk(40).add().await;
        let mut lead = lab.sign_in(Role::Lead).await;
        let given = [("material", "ceramic"), ("words", "sound sherds"), ("mixture", "water"), ("stop_point", "at the slip")];
        assert_eq!(lead.post(&format!("/projects/{}/standing", lab.site.code), &given).await.status, OPEN);
        let mut tx = lab.site.db.read().await.unwrap();
        let standing = store::work::standing::list(&mut tx, lab.site.project).await.unwrap()[0].id.to_string();
        drop(tx);
        for stage in [Stage::FirstAid, Stage::Condition] {
            lab.site.mark(bag, stage, StageState::Done).await;
        }
        let mut odile = lab.sign_in(Role::Conservator).await;
        let mut wash = async |pieces: &str| {
            let more = [("quantity", pieces), ("mixture", "water"), ("standing", standing.as_str())];
            record(&mut odile, &lab, (Stage::WetClean, bag), &more).await
        };
        assert_eq!(wash("5").await.status, SHUT, "nothing is cleaned dry yet");
        let mut bea = lab.sign_in(Role::Conservator).await;
        let dry = record(&mut bea, &lab, (Stage::DryClean, bag), &[("quantity", "35")]).await;
        assert_eq!(dry.status, OPEN, "{}", dry.text(".wrong"));
        assert_eq!(wash("30").await.status, OPEN);
        assert_eq!(wash("6").await.status, SHUT, "five are left of the thirty-five");
        assert_eq!(wash("5").await.status, OPEN);
    }
}

#[test]
fn the_table_has_every_gate_at_every_stage_it_may_guard() {
    let mut told: Vec<(Gate, Stage)> = TABLE.iter().map(|row| (row.gate, row.stage)).collect();
    let mut all: Vec<(Gate, Stage)> =
        Gate::ALL.iter().flat_map(|gate| gate.guards().iter().map(|stage| (*gate, *stage))).collect();
    told.sort();
    all.sort();
    assert_eq!(told, all);
}
