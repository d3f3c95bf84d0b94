//! Pages judged in Chromium.
use super::crawl::{Crawl, Seen};
use std::collections::BTreeMap;
use tests::browser::{Browser, DESKTOP, NARROW, PHONE};
use tests::support::{Db, Engine, engines};

/// How many people look at each shape of page: the same page differs by what they may.
const LOOKERS: usize = 2;

/// So many pages of each shape, each of another person where there is one.
fn chosen(crawl: &Crawl) -> BTreeMap<&str, Vec<&Seen>> {
    let mut shapes: BTreeMap<&str, Vec<&Seen>> = BTreeMap::new();
    for seen in &crawl.seen {
        let pages = shapes.entry(&seen.shape).or_default();
        if pages.len() < LOOKERS && pages.iter().all(|page| page.who != seen.who) {
            pages.push(seen);
        }
    }
    shapes
}

/// Each person's share, so that they sign in once.
fn by_person(crawl: &Crawl) -> BTreeMap<&str, Vec<&Seen>> {
    let mut people: BTreeMap<&str, Vec<&Seen>> = BTreeMap::new();
    for seen in chosen(crawl).into_values().flatten() {
        people.entry(&seen.who).or_default().push(seen);
    }
    people
}

async fn look(db: Db, sizes: &[(u32, u32)]) {
    let crawl = Crawl::of(db).await;
    let browser = Browser::open(&crawl.lab).await;
    let mut wrong = Vec::new();
    for (who, pages) in by_person(&crawl) {
        let visitor = &crawl.people.iter().find(|(name, _)| name == who).unwrap().1;
        browser.go_on_as(visitor).await;
        for seen in pages {
            browser.goto(&seen.path).await;
            for size in sizes {
                browser.size(*size).await;
                let found = if *size == NARROW { Vec::new() } else { browser.inaccessible().await };
                wrong.extend(found.into_iter().map(|w| format!("{who}, {}, {} px: {w}", seen.path, size.0)));
                let over = browser.overflow().await;
                if over > 0 {
                    wrong.push(format!("{who}, {}: {over} px too wide for {} px", seen.path, size.0));
                }
            }
            wrong
                .extend(browser.complaints().await.into_iter().map(|w| format!("{who}, {}: {w}", seen.path)));
        }
    }
    browser.close().await;
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn pages_can_be_read_at_a_desk_on_a_telephone_and_on_the_narrowest_window() {
    engines::run(Engine::Sqlite, async |db: Db| look(db, &[DESKTOP, PHONE, NARROW]).await);
}

#[test]
fn pages_and_their_forms_are_there_without_scripts() {
    engines::run(Engine::Sqlite, async |db: Db| {
        let crawl = Crawl::of(db).await;
        let browser = Browser::open(&crawl.lab).await;
        browser.scripts(false).await;
        let mut wrong = Vec::new();
        for (who, pages) in by_person(&crawl) {
            browser.go_on_as(&crawl.people.iter().find(|(name, _)| name == who).unwrap().1).await;
            for seen in pages {
                browser.goto(&seen.path).await;
                let source = browser.driver.source().await.unwrap();
                let shown = tests::support::Reply { body: source.into_bytes(), ..seen.reply.clone() };
                for what in ["form", "main h1", "input:not([type=hidden])", "select", "textarea", "button"] {
                    if shown.count(what) != seen.reply.count(what) {
                        wrong.push(format!(
                            "{who}, {}: {what} {} of {}",
                            seen.path,
                            shown.count(what),
                            seen.reply.count(what)
                        ));
                    }
                }
                if browser.text("main").await.trim().is_empty() {
                    wrong.push(format!("{who}, {}: nothing to read", seen.path));
                }
            }
        }
        browser.close().await;
        assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
    });
}
