//! The permission matrix: every route × every role, an administrator and a stranger × own and foreign project.
//!
//! What is expected follows from the one permission table; the routes are read from the list that serves. A path parameter
//! this file cannot fill fails the test, so that a new route cannot slip by.
use axum::http::{Method, StatusCode, header};
use domain::clocks::ClockKind;
use domain::examination::{Examination, Verdict};
use domain::finds::RecoveredState;
use domain::permission::{Action, Actor, Role};
use domain::stages::Stage;
use domain::work::Detail;
use std::fmt::Write;
use store::Tx;
use store::work::records::NewRecord;
use store::work::standing::NewStanding;
use tests::support::{Db, Engine, FOREIGN, Lab, Reply, Site, Visitor, engines, noon};
use web::routes::Listed;

/// SHA-256 of `abc`, the first example of FIPS 180-4.
const ABC: &str = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

/// What stands in a path for each parameter, in one project.
struct Fillers {
    project: String,
    /// Name and value; the records among them belong to the project.
    records: Vec<(&'static str, String)>,
}

/// Parameters that name no record: the same in every project.
const PLAIN: &[(&str, &str)] = &[
    ("*path", "app.css"),
    ("stage", "dry_clean"),
    ("gate", "xray_first"),
    ("size", "thumb"),
    ("ending", "csv"),
    ("token", "made-up"),
    ("material", "iron"),
    ("method", "uv"),
    ("scale", "condition"),
    ("kind", "drying"),
    ("discipline", "pottery"),
];

/// Parameters whose record this file does not make: the answer to whoever may ask is that nothing is there.
const ABSENT: &[&str] = &["letter", "tablet"];

/// Ids of things a person keeps alone; taking away another's changes nothing and tells nothing.
const OWN: &[&str] = &["filter", "tablet"];

async fn fill(site: &Site) -> Fillers {
    let context = site.context("214").await;
    let find = site
        .find("1")
        .material("ceramic")
        .bulk(4)
        .in_context(context)
        .with(|find| find.recovered_state = RecoveredState::Dry)
        .add()
        .await;
    let assignment = site.assign(&[find]).await;
    let visitor = site.another(Role::Reader, "Maud Etherley").await;
    let (lead, conservator) = (site.person(Role::Lead), site.person(Role::Conservator));
    let mut tx = site.db.write().await.unwrap();
    let hold = store::work::holds::insert(&mut tx, find, "under study", conservator, noon()).await.unwrap();
    let group = store::groups::insert(&mut tx, site.project, "Pot 3", "", noon()).await.unwrap();
    store::groups::insert_member(&mut tx, group, find).await.unwrap();
    let level = level_of(site, find);
    let record = store::work::records::insert(&mut tx, &level, conservator, noon()).await.unwrap();
    let seen = examination_of(site, find);
    let examination = store::work::records::insert(&mut tx, &seen, conservator, noon()).await.unwrap();
    let test =
        store::work::records::insert(&mut tx, &test_of(site, find), conservator, noon()).await.unwrap();
    let standing = insert_standing(&mut tx, site, lead).await;
    let import = insert_import(&mut tx, site).await;
    let image = insert_image(&mut tx, site, find).await;
    let (clock, sheet) = insert_clock(&mut tx, site, find).await;
    let new = store::places::NewPlace {
        project: site.project,
        parent: None,
        kind: "box".into(),
        name: "Box 1".into(),
    };
    let place = store::places::insert(&mut tx, &new, noon()).await.unwrap().to_string();
    let attachment = insert_attachment(&mut tx, site, find).await;
    let (run, weighing, bath) = insert_run(&mut tx, site, (record, find)).await;
    let (judgement, fixed_year) = insert_dating(&mut tx, site, (context, find)).await;
    let (dispatch, dispatch_item) = insert_dispatch(&mut tx, site, find).await;
    let received = insert_received(&mut tx, site, find).await;
    let mould = domain::rings::NewMould { name: "A".into(), rings_mm: vec![12.0, 24.0] };
    let list = ("Moulds", "a book", &[mould][..]);
    let moulds =
        store::rings::insert_list(&mut tx, site.project, list, site.person(Role::Specialist), noon())
            .await
            .unwrap();
    let day = (tests::support::site::day(9, 1), 0.5, "drawing");
    let worked_day = store::review::days::insert(&mut tx, assignment, day, noon()).await.unwrap();
    let rows = insert_rows(&mut tx, site, (assignment, find)).await;
    tx.commit().await.unwrap();
    Fillers {
        project: site.code.into(),
        records: vec![
            ("find", find.to_string()),
            ("context", context.to_string()),
            ("assignment", assignment.to_string()),
            ("hold", hold.to_string()),
            ("group", group.to_string()),
            ("record", record.to_string()),
            ("examination", examination.to_string()),
            ("test", test.to_string()),
            ("standing", standing),
            ("import", import),
            ("image", image),
            ("clock", clock),
            ("sheet", sheet),
            ("attachment", attachment),
            ("place", place),
            ("run", run),
            ("weighing", weighing),
            ("bath", bath),
            ("judgement", judgement),
            ("fixed_year", fixed_year),
            ("dispatch", dispatch),
            ("dispatch_item", dispatch_item),
            ("received", received),
            ("mould_list", moulds.to_string()),
            ("worked_day", worked_day.to_string()),
            ("row_list", rows),
            ("person", visitor.to_string()),
            ("filter", uuid::Uuid::nil().to_string()),
        ],
    }
}

/// A register that was imported, so that its page reads no file.
async fn insert_import(tx: &mut Tx, site: &Site) -> String {
    let run = store::imports::NewRun {
        project: site.project,
        kind: "finds",
        file_name: "register.csv".into(),
        sha256: "0".repeat(64),
        settings: "{}".into(),
    };
    let id = store::imports::insert(tx, &run, None, noon()).await.unwrap();
    store::imports::update_applied(tx, id, (0, 0), noon()).await.unwrap();
    id.to_string()
}

/// An indicator that is to be read, and the round that was printed of it.
async fn insert_clock(tx: &mut Tx, site: &Site, find: domain::ids::FindId) -> (String, String) {
    let rule = store::clocks::rules::find_of(tx, find, ClockKind::Indicator).await.unwrap();
    store::clocks::start(tx, find, ClockKind::Indicator, rule, (noon(), noon())).await.unwrap();
    let clock = store::clocks::list_running(tx, find).await.unwrap()[0].id;
    let by = site.person(Role::FindsOfficer);
    let sheet = store::clocks::sheets::insert(tx, ClockKind::Indicator, &[clock], by, noon()).await.unwrap();
    (clock.to_string(), sheet.to_string())
}

/// A photograph without its file; the tests of photographs hand out bytes.
async fn insert_image(tx: &mut Tx, site: &Site, find: domain::ids::FindId) -> String {
    let new = store::images::NewImage {
        project: site.project,
        sha256: "0".repeat(64),
        file_name: "pot.jpg".into(),
        media_type: "image/jpeg".into(),
        bytes: 1,
        width_px: 1,
        height_px: 1,
        taken_at: String::new(),
        camera: String::new(),
        has_position: false,
        words: store::images::ImageWords::default(),
    };
    let by = site.person(Role::Photographer);
    let (id, _) = store::images::insert(tx, &new, by, noon()).await.unwrap();
    store::images::insert_find(tx, id, find).await.unwrap();
    id.to_string()
}

/// An opinion that came by letter.
async fn insert_received(tx: &mut Tx, site: &Site, find: domain::ids::FindId) -> String {
    let new = store::review::received::NewReceived {
        find,
        author: site.person(Role::Specialist),
        came_as: domain::review::CameAs::Letter,
        came_on: tests::support::site::day(9, 1),
        sha256: ABC.into(),
        file_name: "letter.pdf".into(),
        bytes: 3,
    };
    let by = site.person(Role::FindsOfficer);
    store::review::received::insert(tx, &new, by, noon()).await.unwrap().to_string()
}

/// Rows of the site's specialist.
async fn insert_rows(
    tx: &mut Tx,
    site: &Site,
    (assignment, find): (domain::ids::AssignmentId, domain::ids::FindId),
) -> String {
    let pottery = store::rows::disciplines::find(tx, site.project, "pottery").await.unwrap().unwrap();
    let cells = vec![String::new(); pottery.columns.len()];
    let row = domain::rows::Row { find, sub_number: String::new(), cells };
    let new = store::rows::lists::NewList {
        assignment,
        discipline: &pottery.code,
        discipline_name: &pottery.name,
        columns: &pottery.columns,
        rows: &[row],
        note: "",
    };
    store::rows::lists::insert(tx, &new, noon()).await.unwrap().to_string()
}

/// The find judged residual, and a year fixed for its context.
async fn insert_dating(
    tx: &mut Tx,
    site: &Site,
    (context, find): (domain::ids::ContextId, domain::ids::FindId),
) -> (String, String) {
    use store::dating::{fixed_years, judgements};
    let (by, reason) = (site.person(Role::FindsOfficer), String::from("rolled edges"));
    let origin = domain::review::Origin::Residual;
    let judged = judgements::NewJudgement { find, context, origin, reason: reason.clone() };
    let judgement = judgements::insert(tx, &judged, by, noon()).await.unwrap();
    let fixed = fixed_years::NewFixedYear { context, year: 1430, words: "AD 1430".into(), reason };
    let fixed = fixed_years::insert(tx, &fixed, by, noon()).await.unwrap();
    (judgement.to_string(), fixed.to_string())
}

/// A drying run with a weighing, and a bath in it, so that one row fills every path.
async fn insert_run(
    tx: &mut Tx,
    site: &Site,
    (record, find): (domain::ids::RecordId, domain::ids::FindId),
) -> (String, String, String) {
    let by = site.person(Role::Conservator);
    let plan = domain::runs::DryingPlan { standard: "en_13755".into(), balance_g: 0.01, schedule: None };
    let new = store::runs::NewRun {
        project: site.project,
        started_at: noon(),
        done_by: "O. Marchbank".into(),
        method: String::new(),
        plan: domain::runs::Plan::Drying(plan),
        record,
        finds: vec![(find, Some(4))],
    };
    let run = store::runs::insert(tx, &new, by, noon()).await.unwrap();
    let weighing = store::runs::weighings::NewWeighing {
        weighed_at: noon(),
        mass_g: 500.0,
        rh_pct: None,
        t_c: None,
        seen: String::new(),
    };
    store::runs::weighings::insert_many(tx, run, &[weighing], by, noon()).await.unwrap();
    let weighing = store::runs::weighings::list(tx, run).await.unwrap()[0].id;
    let bath = store::runs::baths::NewBath {
        read_at: noon(),
        volume_l: 2.5,
        blank_us_cm: 4.0,
        reading_us_cm: 310.0,
        t_c: None,
        chloride_mg_l: None,
        seen: String::new(),
    };
    let bath = store::runs::baths::insert(tx, run, &bath, by, noon()).await.unwrap();
    (run.to_string(), weighing.to_string(), bath.to_string())
}

/// A dispatch to the site's specialist, and its line.
async fn insert_dispatch(tx: &mut Tx, site: &Site, find: domain::ids::FindId) -> (String, String) {
    let item = store::dispatches::NewItem {
        find,
        amount: domain::dispatch::Amount { pieces: 4, mass_g: None },
        condition: "stable".into(),
    };
    let new = store::dispatches::NewDispatch {
        project: site.project,
        recipient_id: Some(site.person(Role::Specialist)),
        recipient: "specialist".into(),
        address: String::new(),
        purpose: "date".into(),
        packing: "foam".into(),
        carrier: "by hand".into(),
        insurer: String::new(),
        sampling: String::new(),
        lifted: String::new(),
        sent_on: tests::support::site::day(9, 1),
        due_on: tests::support::site::day(10, 1),
        sent_by: "finds officer".into(),
        items: vec![item],
    };
    let by = site.person(Role::FindsOfficer);
    let (id, _) = store::dispatches::insert(tx, &new, by, noon()).await.unwrap();
    let item = store::dispatches::items::list(tx, id).await.unwrap()[0].id;
    (id.to_string(), item.to_string())
}

/// A drawing.
async fn insert_attachment(tx: &mut Tx, site: &Site, find: domain::ids::FindId) -> String {
    let new = store::attachments::NewAttachment {
        project: site.project,
        sha256: ABC.into(),
        file_name: "profile.svg".into(),
        kind: "svg".into(),
        bytes: 1,
        title: String::new(),
        findspot: false,
    };
    let by = site.person(Role::Photographer);
    let (id, _) = store::attachments::insert(tx, &new, by, noon()).await.unwrap();
    store::attachments::insert_find(tx, id, find).await.unwrap();
    id.to_string()
}

fn level_of(site: &Site, find: domain::ids::FindId) -> NewRecord {
    NewRecord {
        project: site.project,
        stage: Stage::CleaningLevel,
        done_by: "O. Marchbank".into(),
        done_on: tests::support::site::day(9, 1),
        method: String::new(),
        materials: String::new(),
        outcome: String::new(),
        note: String::new(),
        finished: true,
        standing: None,
        supersedes: None,
        detail: Detail::Level {
            level: "loose soil".into(),
            layers_to_keep: String::new(),
            stop_point: "glaze".into(),
            decided_by: "O. Marchbank".into(),
        },
        finds: vec![(find, Some(4))],
    }
}

fn examination_of(site: &Site, find: domain::ids::FindId) -> NewRecord {
    let seen = Examination::by(domain::examination::Method::Uv, Verdict::Negative);
    NewRecord {
        stage: Stage::Examination,
        detail: Detail::Examination(Box::new(seen)),
        ..level_of(site, find)
    }
}

fn test_of(site: &Site, find: domain::ids::FindId) -> NewRecord {
    NewRecord {
        stage: Stage::SpotTest,
        detail: Detail::SpotTest {
            site: "inside of the rim".into(),
            mixture: "water".into(),
            dwell_s: None,
            effect_on_soiling: String::new(),
            effect_on_original: domain::work::EffectOnOriginal::None,
            decision: domain::work::TestDecision::Accepted,
        },
        ..level_of(site, find)
    }
}

async fn insert_standing(tx: &mut Tx, site: &Site, lead: domain::ids::PersonId) -> String {
    let standing = NewStanding {
        project: site.project,
        material: "ceramic".into(),
        words: "sound unpainted sherds".into(),
        mixture: "water".into(),
        stop_point: "clean breaks".into(),
    };
    store::work::standing::insert(tx, &standing, lead, noon()).await.unwrap().to_string()
}

/// A path with its parameters filled, the project and the records from one site each.
fn path_of(listed: &Listed, project: &Fillers, records: &Fillers) -> String {
    let mut path = String::new();
    let mut rest = listed.path;
    while let Some((before, after)) = rest.split_once('{') {
        let (name, after) = after.split_once('}').unwrap();
        path += before;
        path += &filler(name, project, records)
            .unwrap_or_else(|| panic!("{}: say in tests/permissions.rs how to fill {{{name}}}", listed.path));
        rest = after;
    }
    path + rest
}

fn filler(name: &str, project: &Fillers, records: &Fillers) -> Option<String> {
    if name == "project" {
        return Some(project.project.clone());
    }
    if ABSENT.contains(&name) {
        return Some(uuid::Uuid::nil().to_string());
    }
    let plain = PLAIN.iter().find(|(known, _)| *known == name).map(|(_, value)| (*value).to_owned());
    plain.or_else(|| records.records.iter().find(|(known, _)| *known == name).map(|(_, id)| id.clone()))
}

fn names(listed: &Listed) -> impl Iterator<Item = &str> {
    listed.path.split('{').skip(1).map(|part| part.split('}').next().unwrap_or_default())
}

fn names_record(listed: &Listed) -> bool {
    names(listed).any(|name| {
        name != "project" && !OWN.contains(&name) && PLAIN.iter().all(|(plain, _)| *plain != name)
    })
}

/// What a route must answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Expected {
    /// The handler was reached: a page, a redirect, a form sent back.
    Allowed,
    /// Signed in, but not granted.
    Forbidden,
    /// Not there, or not for this person. A person whose roles never grant the action may be told so before anything is
    /// looked up.
    Absent,
    SignIn,
}

fn expected(listed: &Listed, actor: Option<&Actor>, own: bool, site: &Site) -> Expected {
    let in_project =
        names(listed).next().is_some_and(|_| names(listed).any(|n| n == "project") || names_record(listed));
    match (listed.action, actor) {
        (Action::Public, _) => Expected::Allowed,
        (_, None) => Expected::SignIn,
        (action, Some(actor)) if !actor.reaches(action) => Expected::SignIn,
        (Action::OwnStart | Action::OwnAccount, Some(_)) => Expected::Allowed,
        (Action::Administer, Some(actor)) if actor.administrator => Expected::Allowed,
        (Action::Administer, Some(_)) => Expected::Forbidden,
        (_, Some(_)) if in_project && !own => Expected::Absent,
        (_, Some(actor)) if in_project && actor.memberships.is_empty() => Expected::Absent,
        (action, Some(actor)) if in_project && actor.may(action, site.project) => Expected::Allowed,
        (action, Some(actor)) if !in_project && actor.may_somewhere(action) => Expected::Allowed,
        _ => Expected::Forbidden,
    }
}

fn fits(expected: Expected, reply: &Reply, absent: bool) -> bool {
    let to = reply.headers.get(header::LOCATION).map(|to| to.to_str().unwrap()).unwrap_or_default();
    let to_sign_in = reply.status.is_redirection() && to.starts_with(web::links::SIGN_IN);
    match expected {
        Expected::SignIn => to_sign_in,
        Expected::Forbidden => reply.status == StatusCode::FORBIDDEN,
        Expected::Absent => matches!(reply.status, StatusCode::NOT_FOUND | StatusCode::FORBIDDEN),
        Expected::Allowed => match reply.status {
            StatusCode::BAD_REQUEST
            | StatusCode::UNPROCESSABLE_ENTITY
            | StatusCode::CONFLICT
            | StatusCode::GONE => true,
            StatusCode::NOT_FOUND => absent,
            status => {
                status.is_success() || status.is_redirection() && (!to_sign_in || to == web::links::SIGN_IN)
            }
        },
    }
}

/// One row of the matrix with the answers that did not fit.
struct Matrix {
    lab: Lab,
    own: Fillers,
    foreign: Fillers,
    /// Whether people come by a PIN.
    by_pin: bool,
    wrong: String,
}

impl Matrix {
    async fn new(db: Db) -> Self {
        let site = Site::new(&db).await;
        let other = Site::named(&db, FOREIGN).await;
        let (own, foreign) = (fill(&site).await, fill(&other).await);
        let lab = Lab::of(site);
        for variant in [media::Variant::Thumb, media::Variant::Screen, media::Variant::Large] {
            let checksum = "0".repeat(64).parse().unwrap();
            lab.app.files.put_derived(checksum, variant, b"a print".to_vec()).await.unwrap();
        }
        lab.app.files.put(b"abc").await.unwrap();
        Self { lab, own, foreign, by_pin: false, wrong: String::new() }
    }

    async fn visitor(&self, who: Option<&Actor>) -> Visitor {
        match who {
            Some(actor) if self.by_pin => self.lab.come_by_pin(actor.person).await,
            Some(actor) => self.lab.sign_in_as(actor.person).await,
            None => self.lab.stranger(),
        }
    }

    async fn ask(&self, who: Option<&Actor>, listed: &Listed, path: &str) -> Reply {
        let mut visitor = self.visitor(who).await;
        if listed.method == Method::GET { visitor.get(path).await } else { visitor.post(path, &[]).await }
    }

    async fn check(&mut self, name: &str, who: Option<&Actor>, listed: &Listed) {
        let absent = names(listed).any(|n| ABSENT.contains(&n) || n == "*path");
        let mut cases = vec![("own", path_of(listed, &self.own, &self.own), true)];
        if names(listed).any(|n| n == "project") || names_record(listed) {
            cases.push(("foreign", path_of(listed, &self.foreign, &self.foreign), false));
        }
        if names(listed).any(|n| n == "project") && names_record(listed) && !absent {
            cases.push(("foreign record in own project", path_of(listed, &self.own, &self.foreign), false));
        }
        for (whose, path, own) in cases {
            let expected = expected(listed, who, own, &self.lab.site);
            let reply = self.ask(who, listed, &path).await;
            if !fits(expected, &reply, absent) {
                let (method, status, action) = (&listed.method, reply.status, listed.action.code());
                writeln!(
                    self.wrong,
                    "{name}, {whose}: {method} {} ({action}) answered {status}, expected {expected:?}",
                    listed.path
                )
                .unwrap();
            }
        }
    }

    /// A change without the session's token, or sent from elsewhere, is refused.
    async fn check_forged(&mut self, name: &str, who: &Actor, listed: &Listed) {
        let path = path_of(listed, &self.own, &self.own);
        let mut without = self.visitor(Some(who)).await.post_bare(&path, &[("_token", "guessed")]).await;
        if without.status == StatusCode::BAD_REQUEST {
            let mut visitor = self.visitor(Some(who)).await;
            visitor.token = "guessed".into();
            without = visitor.upload(&path, &[], &[]).await;
        }
        let refused = [StatusCode::FORBIDDEN, StatusCode::NOT_FOUND];
        // What a PIN does not reach leads to the password before the form is looked at.
        let led_away = !who.reaches(listed.action) && fits(Expected::SignIn, &without, false);
        if listed.action != Action::Public && !led_away && !refused.contains(&without.status) {
            writeln!(self.wrong, "{name}: POST {} without a token answered {}", listed.path, without.status)
                .unwrap();
        }
        let mut visitor = self.visitor(Some(who)).await;
        let token = tests::support::http::url_encoded(&[("_token", &visitor.token)]);
        for foreign in [("origin", "https://elsewhere.example"), ("sec-fetch-site", "cross-site")] {
            let kind = ("content-type", "application/x-www-form-urlencoded");
            let reply = visitor.send(Method::POST, &path, &[kind, foreign], token.clone().into_bytes()).await;
            if reply.status != StatusCode::FORBIDDEN {
                writeln!(self.wrong, "{name}: POST {} from elsewhere answered {}", listed.path, reply.status)
                    .unwrap();
            }
        }
    }
}

async fn check_all(db: Db, name: &str, who: impl AsyncFnOnce(&Site) -> Option<Actor>) {
    let mut matrix = Matrix::new(db).await;
    let who = who(&matrix.lab.site).await;
    matrix.by_pin = who.as_ref().is_some_and(|who| who.bench_only);
    for listed in web::routes::all(&matrix.lab.app).listed {
        // who may not do it at all is refused whatever is sent
        if listed.method != Method::GET
            && let Some(who) = &who
            && who.may_somewhere(listed.action)
        {
            matrix.check_forged(name, who, &listed).await;
        }
        matrix.check(name, who.as_ref(), &listed).await;
    }
    assert!(matrix.wrong.is_empty(), "\n{}", matrix.wrong);
}

/// Each role on the engines named: those whose finds SQL narrows down on both, the others on one of the two.
macro_rules! each_role {
    ($($name:ident: $role:ident on $($engine:ident)+,)+) => {
        $(#[test]
        fn $name() {
            $(engines::run(Engine::$engine, async |db: Db| {
                check_all(db, Role::$role.label(), async |site: &Site| Some(site.actor(Role::$role).await)).await;
            });)+
        })+

        #[test]
        fn every_role_has_its_matrix() {
            assert_eq!(Role::ALL, &[$(Role::$role),+]);
        }
    };
}

each_role! {
    a_conservator_reaches_what_the_table_grants: Conservator on Sqlite,
    a_lead_reaches_what_the_table_grants: Lead on Postgres,
    a_finds_officer_reaches_what_the_table_grants: FindsOfficer on Sqlite,
    a_photographer_reaches_what_the_table_grants: Photographer on Postgres,
    a_specialist_reaches_what_the_table_grants: Specialist on Sqlite Postgres,
    a_manager_reaches_what_the_table_grants: Manager on Postgres,
    an_archivist_reaches_what_the_table_grants: Archivist on Sqlite,
    a_reader_reaches_what_the_table_grants: Reader on Sqlite Postgres,
}

/// Who has no part in any project is narrowed by no SQL: one engine each.
#[test]
fn an_administrator_without_a_part_reaches_no_project_and_a_stranger_is_led_to_the_sign_in_page() {
    engines::run(Engine::Postgres, async |db: Db| {
        check_all(db, "administrator", async |site: &Site| Some(site.actor_of(site.administrator).await))
            .await;
    });
    engines::run(Engine::Sqlite, async |db: Db| check_all(db, "stranger", async |_: &Site| None).await);
}

/// What a PIN takes away is taken from roles whose finds no SQL narrows: one engine each.
#[test]
fn people_by_pin_reach_the_bench_and_nothing_else() {
    for (engine, role) in [(Engine::Sqlite, Role::Lead), (Engine::Postgres, Role::FindsOfficer)] {
        engines::run(engine, async |db: Db| {
            let who = format!("{} by PIN", role.label());
            check_all(db, &who, async |site: &Site| Some(site.actor(role).await.by_pin())).await;
        });
    }
}
