//! The gate to packing as a table: shut, opened by a run or lifted by a lead, shut again by a bath.
use super::{BATHS, DRYING, IRON_G, begin, begun, end, iron, pot, read, state, weigh};
use axum::http::StatusCode;
use domain::ids::FindId;
use domain::permission::Role;
use domain::runs::RunKind::{Desalination, Drying};
use domain::stages::{Stage, StageState};
use tests::on_both_engines;
use tests::support::http::{Lab, Reply, Visitor};

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
        ("done_on", "2031-09-15"),
        ("method", "as usual"),
        ("outcome", "done"),
        ("finished", "yes"),
    ];
    visitor.post(&web::links::record_new(lab.site.code, stage), &[&fields, more].concat()).await
}

async fn pack(visitor: &mut Visitor, lab: &Lab, find: FindId) -> StatusCode {
    record(visitor, lab, (Stage::Packing, find), &[("container", "clip-lid box")]).await.status
}

const SHUT: StatusCode = StatusCode::UNPROCESSABLE_ENTITY;
const OPEN: StatusCode = StatusCode::SEE_OTHER;

on_both_engines! {
    async fn what_dries_in_a_run_is_packed_when_the_run_says_so(lab: Lab) {
        let find = iron(&lab, "61").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        assert_eq!(pack(&mut odile, &lab, find).await, SHUT, "damp");
        let run = begun(&mut odile, &lab, (Drying, find), DRYING).await;
        assert_eq!(pack(&mut odile, &lab, find).await, SHUT, "it dries");
        for weighing in &IRON_G[1..4] {
            weigh(&mut odile, &run, *weighing).await;
        }
        assert_eq!(end(&mut odile, &run, "done", "dry to the touch").await.status, SHUT, "the run says no");
        let past = [("end_rule", "air-dried"), ("checked_by", "O. Marchbank")];
        let refused = record(&mut odile, &lab, (Stage::Drying, find), &past).await;
        assert!(refused.text(".wrong").contains("A drying run is on"), "no way past it: {}", refused.text(".wrong"));
        let skip = [("find", find.to_string()), ("stage", "drying".into()), ("state", "not_needed".into()), ("reason", "dry".into())];
        let skip: Vec<(&str, &str)> = skip.iter().map(|(name, value)| (*name, value.as_str())).collect();
        let refused = odile.post(&web::links::mark_new(lab.site.code), &skip).await;
        assert!(refused.text("main").contains("A drying run is on"), "{}", refused.text("main"));
        weigh(&mut odile, &run, IRON_G[4]).await;
        assert_eq!(pack(&mut odile, &lab, find).await, SHUT, "the run has not ended");
        assert_eq!(end(&mut odile, &run, "done", "").await.status, OPEN);
        assert_eq!(pack(&mut odile, &lab, find).await, OPEN);
    }

    async fn a_broken_run_leaves_the_gate_shut_until_a_lead_lifts_it(lab: Lab) {
        let find = iron(&lab, "61").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let run = begun(&mut odile, &lab, (Drying, find), DRYING).await;
        end(&mut odile, &run, "broken_off", "scale is away").await;
        assert_eq!(pack(&mut odile, &lab, find).await, SHUT);
        let lift = format!("/finds/{find}/lifts/dried_first/new");
        assert_eq!(odile.post(&lift, &[("reason", "goes to the freezer")]).await.status, StatusCode::FORBIDDEN);
        let mut lead = lab.sign_in(Role::Lead).await;
        assert_eq!(lead.post(&lift, &[("reason", "")]).await.status, SHUT, "a reason is asked");
        assert_eq!(lead.post(&lift, &[("reason", "goes to the freezer")]).await.status, OPEN);
        assert_eq!(pack(&mut odile, &lab, find).await, OPEN);
        assert!(lead.page(&format!("/finds/{find}")).await.source().contains("goes to the freezer"));
    }

    async fn what_lay_in_a_bath_is_dried_before_it_is_packed(lab: Lab) {
        let find = pot(&lab, "7").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let dried = [("end_rule", "air-dried, dry to the touch"), ("checked_by", "O. Marchbank")];
        assert_eq!(record(&mut odile, &lab, (Stage::Drying, find), &dried).await.status, OPEN);
        let run = begun(&mut odile, &lab, (Desalination, find), BATHS).await;
        assert_eq!(pack(&mut odile, &lab, find).await, SHUT, "it lies in a bath");
        for (at, reading) in [("2031-08-03 08:30", "15"), ("2031-08-06 08:30", "14")] {
            read(&mut odile, &run, (at, reading)).await;
        }
        assert_eq!(end(&mut odile, &run, "done", "clean by the rule").await.status, OPEN);
        assert_eq!(state(&lab, find, Stage::Drying).await, StageState::Waiting, "wet again");
        assert_eq!(pack(&mut odile, &lab, find).await, SHUT, "wet from the bath, though it came dry");
        assert_eq!(record(&mut odile, &lab, (Stage::Drying, find), &dried).await.status, OPEN);
        assert_eq!(pack(&mut odile, &lab, find).await, OPEN);
    }

    async fn iron_is_not_bathed_before_its_plate_where_the_route_says_so(lab: Lab) {
        let find = iron(&lab, "61").await;
        {
            let mut tx = lab.site.db.write().await.unwrap();
            let mut route = store::finds::progress::find_progress(&mut tx, find).await.unwrap().route;
            for stage in route.0.iter_mut().filter(|stage| stage.stage == Stage::Desalination) {
                stage.gates.push(domain::stages::Gate::XrayFirst);
            }
            store::projects::replace_route(&mut tx, lab.site.project, "iron", &route).await.unwrap();
            tx.commit().await.unwrap();
        }
        let mut odile = lab.sign_in(Role::Conservator).await;
        let refused = begin(&mut odile, &lab, (Desalination, find), BATHS).await;
        assert_eq!(refused.status, SHUT);
        assert!(refused.text(".wrong").contains("X-rayed"), "{}", refused.text(".wrong"));
        assert_eq!(refused.attributes("#threshold", "value"), ["40"], "what was typed stays");
        lab.site.mark(find, Stage::Xray, StageState::Done).await;
        assert_eq!(begin(&mut odile, &lab, (Desalination, find), BATHS).await.status, OPEN);
    }
}
