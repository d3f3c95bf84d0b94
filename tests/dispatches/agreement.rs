//! Whatever happens to objects that are out, three papers say the same of them.
use super::{count, counted, explain, glass, line, sent};
use axum::http::StatusCode;
use domain::dispatch::Way;
use domain::ids::DispatchId;
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::http::Lab;
use web::links;

/// The count and mass of find 3 by the list that is taken away, by the report and by the dispatch.
async fn said(lab: &Lab, dispatch: DispatchId) -> [String; 3] {
    let mut bea = lab.sign_in(Role::FindsOfficer).await;
    let csv = bea.get(&links::finds_file(lab.site.code, "csv")).await;
    let row = csv.source().lines().find(|row| row.starts_with("3,")).unwrap().to_owned();
    let cells: Vec<&str> = row.split(',').collect();
    let at =
        |name: &str| csv.source().lines().next().unwrap().split(',').position(|head| head == name).unwrap();
    // a comma stands within “vessel, rim”, which the list quotes
    let shift = cells.len() - csv.source().lines().next().unwrap().split(',').count();
    let register = format!("{} pieces, {} g", cells[at("Quantity") + shift], cells[at("Mass g") + shift]);

    let report = bea.page(&links::report(lab.site.code)).await;
    let rows = report.texts("table tr");
    let glass = rows.iter().find(|row| row.starts_with("Glass")).unwrap();
    let figures: Vec<&str> = glass.split_whitespace().collect();
    let report = format!("{} pieces, {} g", figures[2], figures[3]);

    let page = bea.page(&links::dispatch(dispatch)).await;
    let expected = page.text("td[data-label='Since changed to']").trim_start_matches("now ").to_owned();
    let sent = page.text("td[data-label='Sent']").trim_start_matches("sent ").to_owned();
    let of_dispatch = if expected.is_empty() { sent } else { expected };
    [register, report, of_dispatch]
}

fn all(words: &str) -> [String; 3] {
    [words.to_owned(), words.to_owned(), words.to_owned()]
}

on_both_engines! {
    // Story 7 of trade.md, §9: 17 glass pieces out, 16 back; two joined; count 16, mass unchanged 41.2 g.
    async fn seventeen_go_sixteen_come_back_and_two_joined_closes_it(lab: Lab) {
        let find = glass(&lab).await;
        lab.site.assign(&[find]).await;
        let (mut bea, mut sabine) = (lab.sign_in(Role::FindsOfficer).await, lab.sign_in(Role::Specialist).await);
        let dispatch = sent(&mut bea, &lab, &[find], &[]).await;
        assert_eq!(said(&lab, dispatch).await, all("17 pieces, 41.2 g"));
        counted(&mut sabine, &links::receipt_new(dispatch, Way::There), ("17", "41.2")).await;
        counted(&mut bea, &links::receipt_new(dispatch, Way::Back), ("16", "41.2")).await;

        let page = bea.page(&links::dispatch(dispatch)).await;
        assert!(page.text("td[data-label='Differs']").contains("1 piece fewer came back than expected"));
        let today = bea.page("/today").await;
        assert!(today.text("main").contains("Differences to be explained"), "{}", today.text("main"));
        let desk = sabine.page("/my-finds").await;
        assert!(desk.text("main").contains("a difference to be explained"), "{}", desk.text("main"));
        assert_eq!(said(&lab, dispatch).await, all("17 pieces, 41.2 g"), "nobody has said what became of it");

        let fields = [("change", "join"), ("before", "2"), ("after", "1"), ("reason", "two sherds of the rim join")];
        let told = explain(&mut sabine, &lab, dispatch, &fields).await;
        assert_eq!(told.status, StatusCode::SEE_OTHER, "{}", told.text(".wrong"));
        assert_eq!(said(&lab, dispatch).await, all("16 pieces, 41.2 g"));

        let page = bea.page(&links::dispatch(dispatch)).await;
        assert!(page.text(".next").contains("Nothing is waited for"), "{}", page.text(".next"));
        assert_eq!(page.text("td[data-label='Differs']"), "");
        for page in [page, bea.page(&links::find(find)).await] {
            let words = page.text("main");
            assert!(words.contains("17 pieces, 41.2 g before, 16 pieces, 41.2 g after"), "both versions: {words}");
            assert!(words.contains("two sherds of the rim join"), "{words}");
        }
        assert!(!bea.page("/today").await.text("main").contains("Differences to be explained"));
        assert!(!sabine.page("/my-finds").await.text("main").contains("Objects with you"));
    }

    async fn an_event_entered_on_the_finds_own_page_reaches_the_dispatch_it_is_on(lab: Lab) {
        let find = glass(&lab).await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let dispatch = sent(&mut bea, &lab, &[find], &[]).await;
        let split = bea.page(&links::find_split(find)).await;
        let fields = [("number", "3a"), ("quantity", "2"), ("weight_g", "5.2"), ("reason", "a vessel of its own")];
        let reply = bea.submit(&split, "main form", &fields).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text(".wrong"));
        assert_eq!(said(&lab, dispatch).await[0], "15 pieces, 36 g");
        let page = bea.page(&links::dispatch(dispatch)).await;
        assert_eq!(page.texts("tbody th"), ["3", "3a"], "the piece taken out is out too");
        assert_eq!(page.texts("td[data-label='Since changed to']"), ["now 15 pieces, 36 g", "now 2 pieces, 5.2 g"]);
        let form = bea.page(&links::receipt_new(dispatch, Way::Back)).await;
        let items = form.attributes("input[name=as_sent]", "value");
        let as_sent: Vec<(&str, &str)> = items.iter().map(|item| ("as_sent", item.as_str())).collect();
        let reply = bea.submit(&form, "main form", &as_sent).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text(".wrong"));
        assert!(bea.page(&links::dispatch(dispatch)).await.text(".next").contains("Everything is back"));
    }

    async fn a_count_edited_in_the_register_while_all_of_it_is_out_is_one_of_the_dispatch(lab: Lab) {
        let find = glass(&lab).await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let dispatch = sent(&mut bea, &lab, &[find], &[]).await;
        let edit = bea.page(&links::find_edit(find)).await;
        bea.submit(&edit, "main form", &[("quantity", "18"), ("weight_g", "41.4")]).await;
        assert_eq!(said(&lab, dispatch).await, all("18 pieces, 41.4 g"));
    }

    async fn half_a_bag_goes_and_what_is_done_to_the_other_half_is_not_the_dispatchs(lab: Lab) {
        let find = glass(&lab).await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let dispatch = sent(&mut bea, &lab, &[find], &[("quantity", "5"), ("mass_g", "12.1")]).await;
        let split = bea.page(&links::find_split(find)).await;
        let too_many = [("number", "3a"), ("quantity", "13"), ("reason", "a vessel")];
        let refused = bea.submit(&split, "main form", &too_many).await;
        assert!(refused.text(".wrong").contains("Only 12 are there"), "{}", refused.text(".wrong"));
        let some = [("number", "3a"), ("quantity", "2"), ("weight_g", "5"), ("reason", "a vessel")];
        assert_eq!(bea.submit(&split, "main form", &some).await.status, StatusCode::SEE_OTHER);
        let account = line(&lab, dispatch).await.account(false);
        assert_eq!((account.expected().pieces, account.outstanding()), (5, 5));

        counted(&mut bea, &links::receipt_new(dispatch, Way::Back), ("4", "12.1")).await;
        let joined = [("change", "join"), ("before", "2"), ("after", "1"), ("reason", "a join")];
        explain(&mut bea, &lab, dispatch, &joined).await;
        assert_eq!(said(&lab, dispatch).await[0], "14 pieces, 36.2 g", "17 less 2 taken out less 1 joined");
        assert_eq!(line(&lab, dispatch).await.account(true).gap(), None);
    }

    async fn a_sample_takes_mass_a_loss_takes_pieces_and_what_is_found_again_comes_back(lab: Lab) {
        let find = glass(&lab).await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let dispatch = sent(&mut bea, &lab, &[find], &[("sampling", "one sherd, up to 0.5 g")]).await;
        let sampled = [("change", "sampled"), ("before", "1"), ("after", "1"), ("mass_g", "0.4"), ("reason", "section")];
        assert_eq!(explain(&mut bea, &lab, dispatch, &sampled).await.status, StatusCode::SEE_OTHER);
        assert_eq!(said(&lab, dispatch).await, all("17 pieces, 40.8 g"));
        counted(&mut bea, &links::receipt_new(dispatch, Way::Back), ("16", "38.4")).await;
        let missing = [("change", "missing"), ("before", "1"), ("after", "0"), ("mass_g", "2.4"), ("reason", "not in the bag")];
        assert_eq!(explain(&mut bea, &lab, dispatch, &missing).await.status, StatusCode::SEE_OTHER);
        assert_eq!(said(&lab, dispatch).await, all("16 pieces, 38.4 g"));

        // The bag is counted again: the piece was under the foam.
        let page = bea.page(&links::dispatch(dispatch)).await;
        let form = bea.page(&page.link("Correct it")).await;
        bea.submit(&form, "main form", &[("quantity", "17"), ("mass_g", "40.8")]).await;
        let page = bea.page(&links::dispatch(dispatch)).await;
        assert!(page.text("td[data-label='Differs']").contains("1 piece more and 2.4 g more came back"));
        assert!(page.text("main").contains("corrected later"), "both receipts stay");
        let found = [("change", "found"), ("before", "0"), ("after", "1"), ("mass_g", "2.4"), ("reason", "under the foam")];
        assert_eq!(explain(&mut bea, &lab, dispatch, &found).await.status, StatusCode::SEE_OTHER);
        assert_eq!(said(&lab, dispatch).await, all("17 pieces, 40.8 g"));
        assert!(bea.page(&links::dispatch(dispatch)).await.text(".next").contains("Everything is back"));
    }

    async fn explanations_that_cannot_be_are_refused_with_what_was_typed(lab: Lab) {
        let find = glass(&lab).await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let dispatch = sent(&mut bea, &lab, &[find], &[]).await;
        for (change, before, after, mass, says) in [
            ("join", "1", "2", "", "several became fewer"),
            ("join", "2", "1", "3", "Leave this empty"),
            ("missing", "18", "0", "", "Only 17 are on this line"),
            ("missing", "1", "0", "99", "more than all of it weighs"),
            ("sampled", "1", "1", "", "how much of a piece"),
            ("recount", "", "", "", "Nothing differs here"),
        ] {
            let fields = [("change", change), ("before", before), ("after", after), ("mass_g", mass), ("reason", "kept")];
            let refused = explain(&mut bea, &lab, dispatch, &fields).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{change}");
            assert!(refused.text(".wrong").contains(says), "{change}: {}", refused.text(".wrong"));
            assert_eq!(refused.text("#reason"), "kept");
        }
        assert_eq!(said(&lab, dispatch).await, all("17 pieces, 41.2 g"));
    }

    async fn a_loss_on_the_way_there_is_explained_once(lab: Lab) {
        let find = glass(&lab).await;
        lab.site.assign(&[find]).await;
        let (mut bea, mut sabine) = (lab.sign_in(Role::FindsOfficer).await, lab.sign_in(Role::Specialist).await);
        let dispatch = sent(&mut bea, &lab, &[find], &[]).await;
        counted(&mut sabine, &links::receipt_new(dispatch, Way::There), ("18", "41.2")).await;
        let page = sabine.page(&links::dispatch(dispatch)).await;
        assert!(page.text("td[data-label='Differs']").contains("1 piece more arrived than was sent"));
        let broken = [("change", "broken"), ("before", "1"), ("after", "2"), ("reason", "snapped in the post")];
        assert_eq!(explain(&mut sabine, &lab, dispatch, &broken).await.status, StatusCode::SEE_OTHER);
        assert_eq!(said(&lab, dispatch).await, all("18 pieces, 41.2 g"));
        counted(&mut bea, &links::receipt_new(dispatch, Way::Back), ("18", "41.2")).await;
        assert!(bea.page(&links::dispatch(dispatch)).await.text(".next").contains("Everything is back"));
    }

    async fn what_was_counted_before_is_not_to_come_again(lab: Lab) {
        let find = glass(&lab).await;
        lab.site.assign(&[find]).await;
        let (mut bea, mut sabine) = (lab.sign_in(Role::FindsOfficer).await, lab.sign_in(Role::Specialist).await);
        let dispatch = sent(&mut bea, &lab, &[find], &[]).await;
        let arrivals = links::receipt_new(dispatch, Way::There);
        let both = count(&mut sabine, &arrivals, &[("quantity", "5"), ("as_sent", &line(&lab, dispatch).await.id.to_string())]).await;
        assert!(both.text(".wrong").contains("tick it or count it"), "{}", both.text(".wrong"));
        counted(&mut sabine, &arrivals, ("12", "30")).await;
        let page = sabine.page(&arrivals).await;
        assert!(page.text("main").contains("expected: 5 pieces, 11.2 g more"), "{}", page.text("main"));
        let again = count(&mut sabine, &arrivals, &[("quantity", "17"), ("mass_g", "41.2")]).await;
        assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(again.text(".wrong").contains("12 were counted before, so 5 are still to come"), "{}", again.text(".wrong"));
        counted(&mut sabine, &arrivals, ("5", "11.2")).await;
        assert!(sabine.page(&arrivals).await.text("main").contains("expected: nothing more"));
    }

    async fn a_receipt_asks_for_every_line_unless_more_is_to_come(lab: Lab) {
        let find = glass(&lab).await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let dispatch = sent(&mut bea, &lab, &[find], &[]).await;
        let path = links::receipt_new(dispatch, Way::Back);
        let refused = count(&mut bea, &path, &[]).await;
        assert!(refused.text(".wrong").contains("say how many came back"), "{}", refused.text(".wrong"));
        let part = count(&mut bea, &path, &[("quantity", "10"), ("mass_g", "24"), ("more", "yes")]).await;
        assert_eq!(part.status, StatusCode::SEE_OTHER);
        assert_eq!(line(&lab, dispatch).await.account(false).outstanding(), 7);
        let page = bea.page(&links::find(find)).await;
        assert!(page.text(".strip").contains("7 of 17 pieces are out with"), "{}", page.text(".strip"));
        counted(&mut bea, &path, ("7", "17.2")).await;
        assert!(bea.page(&links::dispatch(dispatch)).await.text(".next").contains("Everything is back"));
    }
}
