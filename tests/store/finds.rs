//! Registering finds and where they stand.
use domain::ids::PersonId;
use domain::permission::Role;
use domain::stages::{Headline, Stage, StageMark, StageState};
use std::collections::BTreeMap;
use store::StoreError;
use store::finds::{self, NewFind};
use store::planning::list_backlog;
use tests::on_both_engines;
use tests::support::{Site, noon};

async fn backlog(site: &Site) -> BTreeMap<(Headline, String), i64> {
    let cells = list_backlog(&mut site.db.read().await.unwrap(), site.project, true).await.unwrap();
    cells.into_iter().map(|cell| ((cell.headline, cell.material), cell.finds)).collect()
}

/// The same counted from the finds themselves.
async fn counted(site: &Site) -> BTreeMap<(Headline, String), i64> {
    let rows: Vec<(String, String, i64)> = site
        .db
        .read()
        .await
        .unwrap()
        .sql(
            "SELECT headline, material, COUNT(*) FROM find WHERE project_id = $1 AND headline <> 'finished'
              GROUP BY headline, material",
        )
        .bind(site.project.0)
        .all()
        .await
        .unwrap();
    rows.into_iter().map(|(headline, material, n)| ((headline.parse().unwrap(), material), n)).collect()
}

on_both_engines! {
    async fn a_find_comes_back_as_it_was_registered(site: Site) {
        let context = site.context("214").await;
        let place = site.place("Box 7").await;
        let new = NewFind {
            number: "12a".into(),
            bulk: true,
            context: Some(context),
            material: "glass".into(),
            quantity: 17,
            weight_g: Some(41.2),
            fragments: Some(18),
            recovered_on: Some(tests::support::site::day(9, 1)),
            completeness_pct: Some(12.5),
            restricted: true,
            place: Some(place),
            note: "rim; “lead” came".into(),
            ..NewFind::default()
        };
        let mut tx = site.db.write().await.unwrap();
        let id = finds::insert(&mut tx, site.project, &new, None, noon()).await.unwrap();
        tx.commit().await.unwrap();
        site.clear(Role::Conservator).await;
        let actor = site.actor(Role::Conservator).await;
        let kept = finds::find_visible(&mut site.db.read().await.unwrap(), &actor, id).await.unwrap().unwrap();
        assert_eq!(kept.as_new(), new);
        assert_eq!((kept.context_number.as_deref(), kept.place_path.as_deref()), (Some("214"), Some("Box 7")));
    }

    async fn what_was_not_said_stays_unsaid(site: Site) {
        let id = site.find("1").add().await;
        let actor = site.actor(Role::Conservator).await;
        let kept = finds::find_visible(&mut site.db.read().await.unwrap(), &actor, id).await.unwrap().unwrap();
        assert_eq!((kept.weight_g, kept.fragments, kept.recovered_on), (None, None, None));
        assert_eq!((kept.length_mm, kept.context_id, kept.place_id, kept.assignee_id), (None, None, None, None));
    }

    async fn many_finds_are_registered_at_once_in_order(site: Site) {
        let new: Vec<NewFind> = (1..=1_000)
            .map(|n| NewFind { number: n.to_string(), material: "ceramic".into(), ..Default::default() })
            .collect();
        let mut tx = site.db.write().await.unwrap();
        let ids = finds::insert_many(&mut tx, site.project, &new, None, noon()).await.unwrap();
        for n in [1, 400, 401, 1_000] {
            let id = finds::find_by_number(&mut tx, site.project, &n.to_string()).await.unwrap();
            assert_eq!(id, Some(ids[n - 1]));
        }
        let journal: Option<i64> = tx.sql("SELECT COUNT(*) FROM journal").cell().await.unwrap();
        assert_eq!(journal, Some(1_000));
        tx.commit().await.unwrap();
        assert_eq!(backlog(&site).await, counted(&site).await);
        assert_eq!(backlog(&site).await.values().sum::<i64>(), 1_000);
    }

    async fn a_number_is_given_once_in_a_project(site: Site) {
        site.find("7").add().await;
        let foreign = Site::named(&site.db, tests::support::FOREIGN).await;
        foreign.find("7").add().await;
        let mut tx = site.db.write().await.unwrap();
        let seven = NewFind { number: "7".into(), ..Default::default() };
        let again = finds::insert(&mut tx, site.project, &seven, None, noon()).await;
        assert!(matches!(again, Err(StoreError::Taken)), "{again:?}");
    }

    async fn the_backlog_follows_every_mark(site: Site) {
        let mut finds = Vec::new();
        for (number, material) in [("1", "ceramic"), ("2", "iron"), ("3", "iron"), ("4", "glass")] {
            finds.push(site.find(number).material(material).add().await);
        }
        let stages = [Stage::FirstAid, Stage::Condition, Stage::Xray, Stage::DryClean, Stage::SpotTest, Stage::WetClean];
        for (at, find) in finds.iter().enumerate() {
            for stage in &stages[..=at] {
                site.mark(*find, *stage, StageState::Done).await;
                assert_eq!(backlog(&site).await, counted(&site).await, "after {stage}");
            }
        }
        site.mark(finds[3], Stage::FirstAid, StageState::Waiting).await;
        assert_eq!(backlog(&site).await, counted(&site).await, "after a step back");
        assert_eq!(backlog(&site).await.values().sum::<i64>(), 4);
    }

    async fn restricted_finds_count_in_the_backlog_only_for_whom_they_are_there(site: Site) {
        site.find("1").material("inhumed_bone").restricted().add().await;
        site.find("2").material("iron").add().await;
        site.find("3").material("iron").restricted().add().await;
        let mut tx = site.db.read().await.unwrap();
        let counts = |cells: Vec<store::planning::Cell>| -> Vec<(String, i64)> {
            cells.into_iter().map(|cell| (cell.material, cell.finds)).collect()
        };
        let plain = counts(list_backlog(&mut tx, site.project, false).await.unwrap());
        assert_eq!(plain, [("iron".to_owned(), 1)]);
        let all = counts(list_backlog(&mut tx, site.project, true).await.unwrap());
        assert_eq!(all.iter().map(|(_, finds)| finds).sum::<i64>(), 3);
    }

    async fn journal_and_change_are_one(site: Site) {
        let find = site.find("1").material("iron").add().await;
        let before = journal(&site).await;
        let mut tx = site.db.write().await.unwrap();
        let mark = StageMark { stage: Stage::FirstAid, state: StageState::Done, quantity_done: 1, reason: String::new() };
        finds::progress::mark(&mut tx, find, &mark, noon()).await.unwrap();
        let entry = store::journal::Entry {
            project: Some(site.project),
            find: Some(find),
            verb: "stage",
            words: "packed it".into(),
            by: Some(site.person(Role::Conservator)),
            ..Default::default()
        };
        store::journal::append(&mut tx, &entry, noon()).await.unwrap();
        drop(tx);
        assert_eq!(journal(&site).await, before);
        let marks: Option<i64> =
            site.db.read().await.unwrap().sql("SELECT COUNT(*) FROM find_stage").cell().await.unwrap();
        assert_eq!(marks, Some(0));
        assert_eq!(backlog(&site).await, counted(&site).await);
    }

    async fn what_is_not_for_a_person_is_not_there(site: Site) {
        let plain = site.find("1").add().await;
        let restricted = site.find("2").restricted().add().await;
        let foreign = Site::named(&site.db, tests::support::FOREIGN).await;
        let strange = foreign.find("1").add().await;
        site.assign(&[restricted]).await;
        let sees = async |person: PersonId| {
            let actor = site.actor_of(person).await;
            let mut tx = site.db.read().await.unwrap();
            let mut seen = Vec::new();
            for find in [plain, restricted, strange] {
                seen.push(finds::find_visible(&mut tx, &actor, find).await.unwrap().is_some());
            }
            seen
        };
        assert_eq!(sees(site.person(Role::Conservator)).await, [true, false, false]);
        assert_eq!(sees(site.person(Role::Specialist)).await, [false, true, false]);
        assert_eq!(sees(site.person(Role::Reader)).await, [false, false, false]);
        assert_eq!(sees(site.administrator).await, [false, false, false]);
        site.clear(Role::Conservator).await;
        assert_eq!(sees(site.person(Role::Conservator)).await, [true, true, false]);
    }
}

async fn journal(site: &Site) -> Option<i64> {
    site.db.read().await.unwrap().sql("SELECT COUNT(*) FROM journal").cell().await.unwrap()
}
