//! The page of a context says what dates it. Years are worked by hand from the rule: the latest first year among the
//! finds of a context and of all below it (science of the trade: terminus post quem).
use super::{above, date, dated, relate, settle};
use axum::http::StatusCode;
use domain::permission::Role;
use domain::review::Outcome;
use tests::on_both_engines;
use tests::support::Lab;
use web::links;

on_both_engines! {
    async fn a_context_is_dated_by_its_latest_find_and_by_what_lies_below(lab: Lab) {
        let site = &lab.site;
        let (floor, pit) = (site.context("213").await, site.context("214").await);
        above(site, "213", "214").await;
        dated(site, "4", pit, (120, 160)).await;
        dated(site, "5", pit, (270, 273)).await;
        let mut petra = lab.sign_in(Role::Manager).await;
        let said = petra.page(&links::context(pit)).await.text("main");
        for words in ["AD 270", "find 5", "AD 120", "possibly residual"] {
            assert!(said.contains(words), "{words}: {said}");
        }
        let said = petra.page(&links::context(floor)).await.text("main");
        assert!(said.contains("AD 270") && said.contains("214, below") && said.contains("no earlier than AD 270, by find 5"), "{said}");
    }

    async fn a_find_that_is_judged_sets_no_date_until_it_is_withdrawn(lab: Lab) {
        let site = &lab.site;
        let pit = site.context("214").await;
        dated(site, "4", pit, (120, 160)).await;
        let coin = dated(site, "5", pit, (270, 273)).await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let form = bea.page(&links::judgement_new(coin)).await;
        let again = bea.submit(&form, "main form", &[("origin", "intrusive"), ("reason", "")]).await;
        assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(again.text("[role=alert]").contains("rests on"));
        let sent = bea.submit(&again, "main form", &[("reason", "from a root hole")]).await;
        let page = bea.follow(&sent).await;
        let said = page.text("main");
        assert!(said.contains("No, intrusive.") && said.contains("finds officer, 15 Sep 2031: from a root hole"), "{said}");
        assert_eq!(page.texts(".value"), ["AD 120"]);
        assert!(bea.page(&links::find(coin)).await.text("main").contains("judged it intrusive in context 214: from a root hole"));
        let twice = bea.submit(&form, "main form", &[("origin", "residual"), ("reason", "x"), ("submission", "")]).await;
        assert!(twice.text("[role=alert]").contains("stands already"));
        let form = bea.page(&page.link("Withdraw the judgement of 5")).await;
        let sent = bea.submit(&form, "main form", &[("reason", "the hole is older")]).await;
        let page = bea.follow(&sent).await;
        assert_eq!(page.texts(".value"), ["AD 270"]);
        assert!(page.text("main").contains("withdrawn: the hole is older"));
        assert!(bea.page(&links::find(coin)).await.text("main").contains("withdrew the judgement"));
    }

    async fn the_settled_date_counts_and_otherwise_all_that_the_opinions_allow(lab: Lab) {
        let site = &lab.site;
        let grave = site.context("208").await;
        let panel = dated(site, "88", grave, (1368, 1467)).await;
        date(site, panel, (1417, 1461)).await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        assert_eq!(odile.page(&links::context(grave)).await.texts(".value"), ["AD 1368"]);
        settle(site, panel, Outcome::Unresolved, (1417, 1461)).await;
        assert_eq!(odile.page(&links::context(grave)).await.texts(".value"), ["AD 1368"]);
        settle(site, panel, Outcome::Majority, (1417, 1461)).await;
        assert_eq!(odile.page(&links::context(grave)).await.texts(".value"), ["AD 1417"]);
    }

    async fn a_fixed_year_is_passed_down_and_what_it_contradicts_is_named(lab: Lab) {
        let site = &lab.site;
        above(site, "206", "207").await;
        above(site, "207", "208").await;
        let (floor, below) = (site.context("206").await, site.context("208").await);
        dated(site, "442", below, (1450, 1500)).await;
        let mut petra = lab.sign_in(Role::Manager).await;
        let form = petra.page(&links::fixed_year_new(floor)).await;
        let again = petra.submit(&form, "main form", &[("words", "after 1430"), ("reason", "accounts")]).await;
        assert!(again.text("[role=alert]").contains("no end"));
        let sent = petra.submit(&again, "main form", &[("words", "AD 1425-1430")]).await;
        let said = petra.follow(&sent).await.text("main");
        assert!(said.contains("Conflict.") && said.contains("asks for AD 1450 or later"), "{said}");
        let said = petra.page(&links::context(below)).await.text("main");
        assert!(said.contains("possibly intrusive: it begins after AD 1430") && said.contains("passed down from context 206: accounts"), "{said}");
        let drawn = petra.page(&links::diagram(site.code)).await.text("#conflicts ~ ul");
        assert!(drawn.contains("206, 207 and 208: Find 442 from context 208 asks for AD 1450 or later"), "{drawn}");
    }

    async fn finds_all_older_than_what_lies_below_are_named(lab: Lab) {
        let site = &lab.site;
        above(site, "213", "214").await;
        let (floor, pit) = (site.context("213").await, site.context("214").await);
        dated(site, "4", floor, (120, 160)).await;
        dated(site, "5", pit, (270, 273)).await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let said = odile.page(&links::context(floor)).await.text(".caution");
        assert!(said.contains("ends by AD 160, before AD 270, the year find 5 in context 214 below gives"), "{said}");
    }

    async fn restricted_finds_date_nothing_for_those_who_may_not_see_them(lab: Lab) {
        let site = &lab.site;
        above(site, "409", "410").await;
        let (pit, over) = (site.context("410").await, site.context("409").await);
        let urn = site.find("95").object("urn").in_context(pit).restricted().add().await;
        date(site, urn, (120, 160)).await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        for page in [links::context(pit), links::context(over), links::diagram(site.code)] {
            let source = odile.page(&page).await.source().to_owned();
            assert!(!source.contains("AD 120") && !source.contains("from 120") && !source.contains("urn"), "{page}");
        }
        assert_eq!(odile.get(&links::judgement_new(urn)).await.status, StatusCode::FORBIDDEN);
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        assert_eq!(bea.get(&links::judgement_new(urn)).await.status, StatusCode::NOT_FOUND);
        site.clear(Role::Conservator).await;
        let said = odile.page(&links::context(over)).await.text("main");
        assert!(said.contains("AD 120"), "{said}");
    }

    async fn who_may_not_read_opinions_sees_no_dates(lab: Lab) {
        let site = &lab.site;
        let pit = site.context("214").await;
        dated(site, "5", pit, (270, 273)).await;
        let mut photographer = lab.sign_in(Role::Photographer).await;
        for page in [links::context(pit), links::diagram(site.code)] {
            let source = photographer.page(&page).await.source().to_owned();
            // a number alone may stand in a token
            assert!(!source.contains("AD 270") && !source.contains("from 270"), "{page}");
        }
    }

    async fn a_circle_elsewhere_stops_no_date(lab: Lab) {
        let site = &lab.site;
        above(site, "213", "214").await;
        above(site, "301", "302").await;
        above(site, "302", "301").await;
        above(site, "302", "213").await;
        relate(site, ("302", "303"), "same_as").await;
        dated(site, "5", site.context("214").await, (270, 273)).await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let said = odile.page(&links::context(site.context("303").await)).await.text("main");
        assert!(said.contains("AD 270") && said.contains("2 relations of the project lead in a circle"), "{said}");
    }
}
