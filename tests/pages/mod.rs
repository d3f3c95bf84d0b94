//! Every page of the demo as every one of its people sees it: links lead somewhere, the HTML is sound, nothing keeps anybody
//! from reading it, on a telephone, at a desk, and without scripts.
mod browser;
mod crawl;
mod markup;

use crawl::Crawl;
use tests::support::{Db, Engine, engines};

/// One walk for all of it, as it is the longest part.
#[test]
fn every_link_leads_somewhere_and_everybody_can_read_every_page_at_every_width_and_without_scripts() {
    engines::run(Engine::Postgres, async |db: Db| {
        let crawl = Crawl::of(db).await;
        assert!(crawl.seen.len() > 100, "only {} pages were seen", crawl.seen.len());
        let withheld = markup::withheld(&crawl);
        let unreadable = browser::unreadable(&crawl).await;
        // Last, as some forms do what they are for even when empty.
        let unsound = markup::unsound(&crawl).await;
        let unseen = crawl.unseen();
        let wrong = [crawl.broken, unseen, unreadable, withheld, unsound].concat();
        assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
    });
}
