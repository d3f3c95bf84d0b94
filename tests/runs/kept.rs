//! What is kept of a run.
use super::{DRYING, begun, id_of, iron, pot, with};
use chrono::Duration;
use domain::permission::Role;
use domain::runs::{Plan, RunKind, Schedule};
use store::runs::{self, weighings};
use tests::on_both_engines;
use tests::support::{Lab, noon};

on_both_engines! {
    async fn a_run_comes_back_as_it_was_set(lab: Lab) {
        let find = iron(&lab, "61").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let chamber = [("rh_start_pct", "90"), ("rh_end_pct", "50"), ("rh_step_pct", "10"), ("hold_days", "4"), ("chamber_c", "18.5")];
        let run = begun(&mut odile, &lab, (RunKind::Drying, find), &with(DRYING, &chamber)).await;
        let mut tx = lab.site.db.read().await.unwrap();
        let kept = runs::find(&mut tx, id_of(&run)).await.unwrap().unwrap();
        let Plan::Drying(plan) = kept.plan().unwrap() else { panic!("a drying run") };
        assert_eq!((plan.standard.as_str(), plan.balance_g), ("en_iso_12570", 0.01));
        let schedule = Schedule { start_pct: 90.0, end_pct: 50.0, step_pct: 10.0, hold_days: 4.0, chamber_c: 18.5 };
        assert_eq!(plan.schedule, Some(schedule));
        assert_eq!(runs::list_finds(&mut tx, kept.id).await.unwrap(), [(find, None)]);
        assert_eq!(runs::steps::list(&mut tx, kept.id).await.unwrap().len(), 1, "the first set point is held from the start");
        let weighed = weighings::list(&mut tx, kept.id).await.unwrap();
        assert_eq!((weighed.len(), weighed[0].mass_g, weighed[0].weighed_at), (1, 182.4, kept.started_at));
        assert!(runs::is_of_run(&mut tx, kept.record_id).await.unwrap());
        assert_eq!(runs::find_running(&mut tx, find, RunKind::Drying).await.unwrap().map(|run| run.id), Some(kept.id));
        assert!(runs::find_running(&mut tx, find, RunKind::Desalination).await.unwrap().is_none());
    }

    async fn a_run_ends_once_and_a_weighing_is_withdrawn_once(lab: Lab) {
        let find = iron(&lab, "61").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let run = id_of(&begun(&mut odile, &lab, (RunKind::Drying, find), DRYING).await);
        let mut tx = lab.site.db.write().await.unwrap();
        let record = runs::find(&mut tx, run).await.unwrap().unwrap().record_id;
        let ending = runs::Ending { record, well: true, words: "dry".into() };
        let mut ends = Vec::new();
        for _ in 0..2 {
            ends.push(runs::update_end(&mut tx, run, &ending, noon()).await.unwrap());
        }
        assert_eq!(ends, [true, false]);
        let mut reopened = Vec::new();
        for _ in 0..2 {
            reopened.push(runs::update_reopened(&mut tx, run).await.unwrap());
        }
        assert_eq!(reopened, [true, false]);
        let weighing = weighings::list(&mut tx, run).await.unwrap()[0].id;
        assert_eq!(weighings::find_run(&mut tx, weighing).await.unwrap(), Some(run));
        assert!(weighings::update_withdrawn(&mut tx, weighing, "wrong tray").await.unwrap());
        assert!(!weighings::update_withdrawn(&mut tx, weighing, "again").await.unwrap());
        let line = &runs::list_of_find(&mut tx, find).await.unwrap()[0];
        assert_eq!((line.readings, line.ended_at), (0, None), "what is withdrawn is not counted");
    }

    async fn running_runs_stand_first_and_a_restricted_find_hides_its_run(lab: Lab) {
        let (first, second) = (iron(&lab, "61").await, pot(&lab, "7").await);
        let urn = lab.site.find("9").material("ceramic").restricted().add().await;
        lab.site.clear(Role::Lead).await;
        let mut lead = lab.sign_in(Role::Lead).await;
        let run = id_of(&begun(&mut lead, &lab, (RunKind::Drying, first), DRYING).await);
        for find in [second, urn] {
            begun(&mut lead, &lab, (RunKind::Drying, find), DRYING).await;
        }
        {
            let mut tx = lab.site.db.write().await.unwrap();
            let record = runs::find(&mut tx, run).await.unwrap().unwrap().record_id;
            let ending = runs::Ending { record, well: false, words: "broken off".into() };
            runs::update_end(&mut tx, run, &ending, noon() + Duration::hours(1)).await.unwrap();
            tx.commit().await.unwrap();
        }
        let path = web::links::runs(lab.site.code);
        let told = lead.page(&path).await.texts("tbody th");
        assert_eq!(told.len(), 3, "{told:?}");
        assert!(told[2].starts_with("61"), "the ended one is last: {told:?}");
        let mut odile = lab.sign_in(Role::Conservator).await;
        let told = odile.page(&path).await.texts("tbody th");
        assert!(told.len() == 2 && told.iter().all(|words| !words.starts_with('9')), "{told:?}");
    }
}
