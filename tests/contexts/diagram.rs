//! The diagram page: what is drawn, left out, and said in words.
use super::{above, relate};
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::Lab;
use web::links;

on_both_engines! {
    async fn the_diagram_draws_each_context_once_and_leaves_out_what_is_said_already(lab: Lab) {
        let site = &lab.site;
        above(site, "101", "102").await;
        above(site, "102", "103").await;
        above(site, "101", "103").await;
        relate(site, ("103", "306"), "same_as").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let page = odile.page(&links::contexts(site.code)).await;
        let page = odile.page(&page.link("Stratigraphic diagram")).await;
        assert_eq!(page.texts(".strata .box-number"), ["101", "102", "103 = 306"]);
        assert_eq!(page.count(".strata .relation"), 2);
        assert!(page.text("main").contains("4 contexts, 2 relations drawn; 1 relation is left out"), "{}", page.text("main"));
        assert!(page.text("details.source").contains("101 above 103"));
        assert_eq!(page.texts("tbody tr:nth-child(2) td[data-label='Lies above']"), ["103"]);
        assert_eq!(page.texts("tbody tr:nth-child(3) td[data-label='Same as']"), ["306"]);
        let box_of = links::context(site.context("102").await);
        assert!(page.attributes(".strata a", "href").contains(&box_of));
    }

    async fn circles_are_listed_in_words(lab: Lab) {
        let site = &lab.site;
        for (later, earlier) in [("101", "102"), ("102", "103"), ("103", "101"), ("103", "104")] {
            above(site, later, earlier).await;
        }
        let mut odile = lab.sign_in(Role::Conservator).await;
        let said = odile.page(&links::diagram(site.code)).await.text("#conflicts ~ ul");
        assert!(said.contains("101, 102 and 103 lead to each other in a circle"), "{said}");
    }

    async fn sizes_are_links_and_a_made_up_one_does_no_harm(lab: Lab) {
        let site = &lab.site;
        above(site, "101", "102").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let page = odile.page(&links::diagram(site.code)).await;
        let width = |page: &tests::support::Reply| page.attributes(".strata svg", "width").remove(0);
        let full: i32 = width(&page).parse().unwrap();
        assert_eq!(width(&odile.page(&page.link("50 %")).await), (full / 2).to_string());
        assert_eq!(width(&odile.page(&page.link("Whole")).await), "100%");
        assert_eq!(width(&odile.page(&links::diagram_at(site.code, "-3e9", "")).await), full.to_string());
        let empty = odile.page(&links::diagram_at(site.code, "", "no such area")).await;
        assert_eq!(empty.count(".strata"), 0);
    }
}
