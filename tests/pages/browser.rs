//! Pages judged in Chromium.
use super::crawl::{Crawl, Seen};
use std::collections::BTreeMap;
use tests::browser::{Browser, DESKTOP, NARROW, PHONE};

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

/// What keeps anybody from reading a page at a desk, on a telephone or in the narrowest window.
pub async fn unreadable(crawl: &Crawl) -> Vec<String> {
    let browser = Browser::open(&crawl.lab).await;
    let mut wrong = Vec::new();
    for (who, pages) in by_person(crawl) {
        let visitor = &crawl.people.iter().find(|(name, _)| name == who).unwrap().1;
        browser.go_on_as(visitor).await;
        for seen in pages {
            browser.goto(&seen.path).await;
            for size in [DESKTOP, PHONE, NARROW] {
                browser.size(size).await;
                let found = if size == NARROW { Vec::new() } else { browser.inaccessible().await };
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
    wrong
}

/// What of a page is not there when scripts do not run.
pub async fn lost_without_scripts(crawl: &Crawl) -> Vec<String> {
    let browser = Browser::open(&crawl.lab).await;
    browser.scripts(false).await;
    let mut wrong = Vec::new();
    for (who, pages) in by_person(crawl) {
        browser.go_on_as(&crawl.people.iter().find(|(name, _)| name == who).unwrap().1).await;
        for seen in pages {
            browser.goto(&seen.path).await;
            let source = browser.driver.source().await.unwrap();
            let shown = tests::support::Reply { body: source.into_bytes(), ..seen.reply.clone() };
            for what in ["form", "main h1", "input:not([type=hidden])", "select", "textarea", "button"] {
                let (there, sent) = (shown.count(what), seen.reply.count(what));
                if there != sent {
                    wrong.push(format!("{who}, {}: {what} {there} of {sent}", seen.path));
                }
            }
            if browser.text("main").await.trim().is_empty() {
                wrong.push(format!("{who}, {}: nothing to read", seen.path));
            }
        }
    }
    browser.close().await;
    wrong
}
