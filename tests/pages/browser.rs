//! Pages judged in Chromium.
use super::crawl::{Crawl, Seen};
use std::collections::BTreeMap;
use tests::browser::{Browser, DESKTOP, NARROW, PHONE};
use tests::judged;

/// One page, and the widths at which it is judged.
pub struct Looked<'a> {
    pub seen: &'a Seen,
    judged: &'static [(u32, u32)],
}

/// Each shape of page as two people see it, since a page differs by what they may: one at a desk, the other on a telephone; a
/// page that only one person sees, at both. What stands behind the question mark makes no other page. Each person's share together, so that they sign in once.
pub fn shared_out<'a>(crawl: &'a Crawl) -> BTreeMap<&'a str, Vec<Looked<'a>>> {
    let mut shapes: BTreeMap<&str, Vec<&Seen>> = BTreeMap::new();
    for seen in &crawl.seen {
        let path = seen.shape.split('?').next().unwrap_or_default();
        let pages = shapes.entry(path).or_default();
        if pages.len() < 2 && pages.iter().all(|page| page.who != seen.who) {
            pages.push(seen);
        }
    }
    let mut people: BTreeMap<&str, Vec<Looked>> = BTreeMap::new();
    let mut look =
        |seen: &'a Seen, judged| people.entry(&seen.who).or_default().push(Looked { seen, judged });
    for pages in shapes.into_values() {
        match pages.as_slice() {
            [only] => look(only, &[DESKTOP, PHONE]),
            [first, second, ..] => {
                look(first, &[DESKTOP]);
                look(second, &[PHONE]);
            }
            [] => {}
        }
    }
    people
}

/// What keeps anybody from reading a page at a desk, on a telephone or in the narrowest window.
pub async fn unreadable(crawl: &Crawl) -> Vec<String> {
    let browser = Browser::open(&crawl.lab).await;
    let mut wrong = Vec::new();
    for (who, pages) in shared_out(crawl) {
        browser.go_on_as(crawl.visitor(who)).await;
        for Looked { seen, judged } in pages {
            let mark = judged::mark(&("read", judged, seen.lasting()));
            if mark.found_good() {
                continue;
            }
            let before = wrong.len();
            browser.goto(&seen.path).await;
            for size in [DESKTOP, PHONE, NARROW] {
                browser.size(size).await;
                let found = if judged.contains(&size) {
                    browser.inaccessible(size == DESKTOP || judged.len() == 1).await
                } else {
                    Vec::new()
                };
                wrong.extend(found.into_iter().map(|w| format!("{who}, {}, {} px: {w}", seen.path, size.0)));
                let over = browser.overflow().await;
                if over > 0 {
                    wrong.push(format!("{who}, {}: {over} px too wide for {} px", seen.path, size.0));
                }
            }
            wrong
                .extend(browser.complaints().await.into_iter().map(|w| format!("{who}, {}: {w}", seen.path)));
            if wrong.len() == before {
                mark.leave();
            }
        }
    }
    browser.close().await;
    wrong
}
