//! What is kept of dates, judgements and fixed years.
use super::{date, dated, settle};
use domain::permission::Role;
use domain::review::{Origin, Outcome};
use store::StoreError;
use store::dating::{self, fixed_years, judgements};
use tests::on_both_engines;
use tests::support::{Site, noon};

on_both_engines! {
    async fn a_judgement_stands_once_and_is_withdrawn_once(site: Site) {
        let context = site.context("214").await;
        let find = dated(&site, "5", context, (270, 273)).await;
        let by = site.person(Role::FindsOfficer);
        let new = judgements::NewJudgement { find, context, origin: Origin::Intrusive, reason: "root hole".into() };
        let mut tx = site.db.write().await.unwrap();
        let id = judgements::insert(&mut tx, &new, by, noon()).await.unwrap();
        tx.commit().await.unwrap();
        let mut tx = site.db.write().await.unwrap();
        assert!(matches!(judgements::insert(&mut tx, &new, by, noon()).await, Err(StoreError::Taken)));
        drop(tx);
        let mut tx = site.db.write().await.unwrap();
        let aside = judgements::list_set_aside(&mut tx, site.project).await.unwrap();
        assert_eq!(aside.iter().map(|one| (one.find_id, one.origin)).collect::<Vec<_>>(), [(find, Origin::Intrusive)]);
        judgements::update_withdrawn(&mut tx, id, "no hole there", by, noon()).await.unwrap();
        let again = judgements::update_withdrawn(&mut tx, id, "once more", by, noon()).await;
        assert!(matches!(again, Err(StoreError::Changed)));
        assert!(judgements::list_set_aside(&mut tx, site.project).await.unwrap().is_empty());
        let kept = judgements::list_of_context(&mut tx, context, false).await.unwrap();
        assert_eq!((kept.len(), kept[0].withdrawn_why.as_deref()), (1, Some("no hole there")));
        judgements::insert(&mut tx, &new, by, noon()).await.unwrap();
    }

    async fn a_find_put_into_another_context_is_judged_anew(site: Site) {
        let (context, other) = (site.context("214").await, site.context("215").await);
        let find = dated(&site, "5", context, (270, 273)).await;
        let mut tx = site.db.write().await.unwrap();
        let new = judgements::NewJudgement { find, context: other, origin: Origin::Residual, reason: "worn".into() };
        judgements::insert(&mut tx, &new, site.person(Role::FindsOfficer), noon()).await.unwrap();
        assert!(judgements::list_set_aside(&mut tx, site.project).await.unwrap().is_empty());
    }

    async fn dates_are_those_that_stand_of_finds_that_may_be_seen(site: Site) {
        let context = site.context("214").await;
        let plain = dated(&site, "4", context, (120, 160)).await;
        settle(&site, plain, Outcome::Agreed, (130, 150)).await;
        let open = dated(&site, "6", context, (120, 160)).await;
        settle(&site, open, Outcome::Unresolved, (1, 2)).await;
        let hidden = site.find("95").in_context(context).restricted().add().await;
        date(&site, hidden, (300, 400)).await;
        let nowhere = site.find("7").add().await;
        date(&site, nowhere, (300, 400)).await;
        let mut tx = site.db.read().await.unwrap();
        let seen = dating::list_dates(&mut tx, site.project, false).await.unwrap();
        let seen: Vec<_> = seen.iter().map(|date| (date.number.as_str(), date.standing.as_str(), date.date_lo)).collect();
        assert_eq!(seen.len(), 3, "{seen:?}");
        assert!(seen.contains(&("4", "settled", Some(130))) && seen.contains(&("6", "final", Some(120))));
        let all = dating::list_dates(&mut tx, site.project, true).await.unwrap();
        assert!(all.iter().any(|date| date.number == "95"));
    }

    async fn fixed_years_are_withdrawn_and_the_earliest_comes_first(site: Site) {
        let context = site.context("206").await;
        let by = site.person(Role::Manager);
        let mut tx = site.db.write().await.unwrap();
        let mut ids = Vec::new();
        for year in [1500, 1430] {
            let new = fixed_years::NewFixedYear { context, year, words: year.to_string(), reason: "accounts".into() };
            ids.push(fixed_years::insert(&mut tx, &new, by, noon()).await.unwrap());
        }
        let years = |list: &[fixed_years::FixedYear]| list.iter().map(|one| one.year).collect::<Vec<_>>();
        assert_eq!(years(&fixed_years::list(&mut tx, site.project).await.unwrap()), [1430, 1500]);
        fixed_years::update_withdrawn(&mut tx, ids[1], "another chapel", by, noon()).await.unwrap();
        assert_eq!(years(&fixed_years::list(&mut tx, site.project).await.unwrap()), [1500]);
        assert!(fixed_years::find(&mut tx, ids[1]).await.unwrap().unwrap().is_withdrawn);
    }
}
