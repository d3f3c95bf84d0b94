//! How long the pages take on large sites; the computation alone is timed in the crate of calculations.
use domain::permission::Role;
use store::contexts::NewContext;
use tests::on_both_engines;
use tests::support::{Engine, Lab, Site, engines, noon};
use web::links;

/// A site of that many contexts, each over up to three of the next forty, every tenth with a dated find.
async fn dug(site: &Site, count: usize) -> Vec<domain::ids::ContextId> {
    let mut tx = site.db.write().await.unwrap();
    let new = |n: usize| NewContext {
        number: (n + 1).to_string(),
        phase: format!("{}, phase", 9 - n * 9 / count),
        ..NewContext::default()
    };
    let contexts: Vec<NewContext> = (0..count).map(new).collect();
    let ids = store::contexts::insert_many(&mut tx, site.project, &contexts, noon()).await.unwrap();
    for n in 0..count {
        for step in [1 + n % 3, 7 + n % 11, 20 + n % 19] {
            if let Some(earlier) = ids.get(n + step) {
                store::contexts::insert_relation(&mut tx, site.project, ids[n], *earlier, "above")
                    .await
                    .unwrap();
            }
        }
    }
    tx.commit().await.unwrap();
    for n in (0..count).step_by((count / 30).max(1)) {
        super::dated(site, &format!("{n}"), ids[n], (1000 - n as i64 / 20, 1100)).await;
    }
    ids
}

on_both_engines! {
    async fn three_hundred_contexts_are_drawn_at_once(lab: Lab) {
        dug(&lab.site, 300).await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        odile.page(&links::diagram(lab.site.code)).await;
        let begun = std::time::Instant::now();
        let page = odile.page(&links::diagram(lab.site.code)).await;
        let taken = begun.elapsed();
        println!("diagram of 300 contexts: {taken:?}");
        assert_eq!(page.count(".strata a"), 300);
        let allowed = if cfg!(debug_assertions) { 5_000 } else { 200 };
        assert!(taken.as_millis() < allowed, "{taken:?}");
    }

}

/// On one engine: what takes its time here is the computation.
#[test]
fn a_context_among_ten_thousand_is_dated_at_once() {
    engines::run(Engine::Sqlite, async |lab: Lab| {
        let ids = dug(&lab.site, 10_000).await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        odile.page(&links::context(ids[3])).await;
        let begun = std::time::Instant::now();
        let page = odile.page(&links::context(ids[3])).await;
        let taken = begun.elapsed();
        println!("a context among 10,000: {taken:?}");
        assert_eq!(page.count(".value"), 1);
        let allowed = if cfg!(debug_assertions) { 20_000 } else { 1_000 };
        assert!(taken.as_millis() < allowed, "{taken:?}");
    });
}
