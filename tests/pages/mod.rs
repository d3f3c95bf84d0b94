//! Every page of the demo as every one of its people sees it: links lead somewhere, the HTML is sound, nothing keeps anybody
//! from reading it, on a telephone, at a desk, and without scripts.
mod browser;
mod crawl;
mod markup;

use crawl::{Crawl, Follow};
use tests::support::{Db, Engine, engines};

#[test]
fn every_link_of_the_demo_leads_somewhere() {
    engines::run(Engine::Postgres, async |db: Db| {
        let crawl = Crawl::of(db, Follow::Everything).await;
        assert!(crawl.seen.len() > 100, "only {} pages were seen", crawl.seen.len());
        assert!(crawl.broken.is_empty(), "\n{}", crawl.broken.join("\n"));
    });
}

/// One walk for all three, as it is the longest part.
#[test]
fn everybody_can_read_every_page_at_every_width_and_without_scripts_and_its_html_is_sound() {
    engines::run(Engine::Sqlite, async |db: Db| {
        let crawl = Crawl::of(db, Follow::Pages).await;
        let (unreadable, lost) =
            tokio::join!(browser::unreadable(&crawl), browser::lost_without_scripts(&crawl));
        // Last, as some forms do what they are for even when empty.
        let unsound = markup::unsound(&crawl).await;
        let wrong = [unreadable, lost, unsound].concat();
        assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
    });
}
