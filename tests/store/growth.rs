//! A grown project: the running totals are what a recount gives.
use chrono::NaiveDate;
use domain::Instant;
use domain::permission::Role;
use domain::stages::{Headline, Stage, StageMark, StageState};
use seed::growth::{Growth, Hands};
use store::finds::marks::{self, Walk};
use store::finds::progress;
use tests::on_both_engines;
use tests::support::{Site, noon};

type Cells = Vec<(String, String, i64)>;

async fn cells(site: &Site, text: &'static str) -> Cells {
    site.db.read().await.unwrap().sql(text).all().await.unwrap()
}

const KEPT: &str =
    "SELECT headline, material, finds FROM backlog_cell WHERE finds <> 0 ORDER BY headline, material";
const COUNTED: &str =
    "SELECT headline, material, COUNT(*) FROM find GROUP BY headline, material ORDER BY headline, material";

fn hands(site: &Site) -> Hands {
    Hands { registrar: site.person(Role::Manager), bench: site.person(Role::Conservator) }
}

on_both_engines! {
    async fn the_totals_of_a_grown_project_equal_a_recount(site: Site) {
        let mut tx = site.db.write().await.unwrap();
        let mut growth = Growth::begin(&mut tx, site.project, hands(&site), 1_500, noon()).await.unwrap();
        while !growth.is_complete() {
            growth.step(&mut tx, 700).await.unwrap();
        }
        tx.commit().await.unwrap();
        assert_eq!(cells(&site, KEPT).await, cells(&site, COUNTED).await);
        let all: i64 = cells(&site, COUNTED).await.iter().map(|(_, _, finds)| finds).sum();
        assert_eq!(all, 1_500);
        let places = cells(&site, "SELECT headline, stage_state, COUNT(*) FROM find GROUP BY headline, stage_state").await;
        assert!(places.iter().any(|(_, state, _)| state == "held"), "{places:?}");
        for headline in Headline::ALL {
            assert!(places.iter().any(|(h, _, _)| h == headline.code()), "{headline} in {places:?}");
        }
    }

    async fn many_marks_at_once_do_what_single_marks_do(site: Site) {
        let route = [Stage::FirstAid, Stage::Condition, Stage::Xray, Stage::DryClean, Stage::Drying, Stage::Packing];
        let mut tx = site.db.write().await.unwrap();
        let (mut one, mut many) = (Vec::new(), Vec::new());
        for far in 0..=route.len() {
            let marks: Vec<(StageMark, Instant)> = route[..far].iter().enumerate().map(|(n, stage)| {
                let state = if n % 3 == 1 { StageState::NotNeeded } else { StageState::Done };
                let mark = StageMark { stage: *stage, state, quantity_done: 1, reason: String::new() };
                (mark, noon() + chrono::Duration::days(3 * n as i64))
            }).collect();
            one.push((format!("{}", far + 1), marks.clone()));
            many.push((format!("{}", far + 101), marks));
        }
        let mut walks = Vec::new();
        for (number, marks) in one.iter().chain(&many) {
            let new = store::finds::NewFind { number: number.clone(), material: "iron".into(), ..Default::default() };
            let find = store::finds::insert(&mut tx, site.project, &new, None, noon()).await.unwrap();
            walks.push(Walk { find, material: "iron".into(), marks: marks.clone() });
        }
        let (singly, at_once) = walks.split_at(one.len());
        for walk in singly {
            for (mark, at) in &walk.marks {
                progress::mark(&mut tx, walk.find, mark, *at).await.unwrap();
            }
        }
        let weeks_singly = weeks(&mut tx).await;
        marks::insert_many(&mut tx, site.project, at_once).await.unwrap();
        let twice: Vec<_> = weeks_singly.iter().map(|(h, week, finds)| (h.clone(), *week, 2 * finds)).collect();
        assert_eq!(weeks(&mut tx).await, twice);
        tx.commit().await.unwrap();
        let standing: Vec<(String, String, Instant)> = site.db.read().await.unwrap()
            .sql("SELECT stage, stage_state, stage_since FROM find ORDER BY sort_key").all().await.unwrap();
        assert_eq!(standing[..one.len()], standing[one.len()..]);
        assert_eq!(cells(&site, KEPT).await, cells(&site, COUNTED).await);
    }
}

async fn weeks(tx: &mut store::Tx) -> Vec<(String, NaiveDate, i64)> {
    tx.sql("SELECT headline, week, finds FROM done_week ORDER BY headline, week").all().await.unwrap()
}
