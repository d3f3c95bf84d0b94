//! Object groups: finds that were one thing, or belong together.
use axum::http::StatusCode;
use domain::ids::FindId;
use domain::permission::Role;
use store::groups;
use tests::on_both_engines;
use tests::support::http::{Reply, Visitor};
use tests::support::{FOREIGN, Lab, Site, noon};
use web::links;

const CHEST: &str = "chest in context 214";
const FORM: &str = "form[action$='/groups']";

/// Lays a find to a group by the form of its page; the page it leads to.
async fn lay(visitor: &mut Visitor, find: FindId, group: &str) -> Reply {
    let page = visitor.page(&links::find(find)).await;
    let sent = visitor.submit(&page, FORM, &[("name", group)]).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text("main"));
    visitor.follow(&sent).await
}

/// What a page says of the chest: with which other finds this one belongs to it.
fn chest(page: &Reply) -> Vec<String> {
    page.texts("details.section p").into_iter().filter(|line| line.starts_with(CHEST)).collect()
}

/// The names of the groups of the project.
async fn names(lab: &Lab) -> Vec<String> {
    let mut tx = lab.site.db.read().await.unwrap();
    let groups = groups::list(&mut tx, lab.site.project).await.unwrap();
    groups.into_iter().map(|group| group.name).collect()
}

on_both_engines! {
    async fn finds_of_one_group_lead_to_each_other_until_one_is_taken_out(lab: Lab) {
        let lock = lab.site.find("61").material("iron").object("lock plate").add().await;
        let handle = lab.site.find("62").material("iron").object("handle").add().await;
        let apart = lab.site.find("63").material("glass").object("rim").add().await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let page = lay(&mut bea, lock, CHEST).await;
        assert_eq!(page.text(".notice"), "61 belongs to chest in context 214 now.");
        assert_eq!(chest(&page), ["chest in context 214: nothing else yet"]);
        let page = lay(&mut bea, handle, &format!("  {CHEST} ")).await;
        assert_eq!(chest(&page), ["chest in context 214: 61"]);
        assert!(page.attributes("details.section p a", "href").contains(&links::find(lock)), "61 leads to its page");
        assert_eq!(names(&lab).await, [CHEST], "the second find joined the group of that name");

        let page = lay(&mut bea, handle, CHEST).await;
        assert_eq!(chest(&page), ["chest in context 214: 61"], "laid twice it is in it once");
        let page = bea.page(&links::find(lock)).await;
        assert_eq!(chest(&page), ["chest in context 214: 62"]);
        assert!(chest(&bea.page(&links::find(apart)).await).is_empty(), "63 belongs to nothing");

        let left = bea.submit(&page, "form[action*='/groups/'][action$='/removal']", &[]).await;
        assert_eq!(left.status, StatusCode::SEE_OTHER);
        let page = bea.follow(&left).await;
        assert_eq!(page.text(".notice"), "61 no longer belongs to chest in context 214.");
        assert!(chest(&page).is_empty());
        let page = bea.page(&links::find(handle)).await;
        assert_eq!(chest(&page), ["chest in context 214: nothing else yet"], "62 stays in it");
    }

    async fn a_group_without_a_name_is_asked_for_one_and_not_made(lab: Lab) {
        let lock = lab.site.find("61").material("iron").object("lock plate").add().await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        for nothing in ["", "  \t "] {
            let page = lay(&mut bea, lock, nothing).await;
            assert!(page.text(".notice").starts_with("Give the group a name"), "{}", page.text(".notice"));
            assert_eq!(page.count("form[action*='/groups/']"), 0, "it belongs to nothing");
        }
        assert!(names(&lab).await.is_empty());
    }

    async fn a_restricted_find_of_a_group_is_named_to_those_only_who_may_see_it(lab: Lab) {
        let lock = lab.site.find("61").material("iron").object("lock plate").add().await;
        let urn = lab.site.find("64").material("cremated_bone").restricted().add().await;
        lab.site.clear(Role::FindsOfficer).await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        lay(&mut bea, urn, CHEST).await;
        let page = lay(&mut bea, lock, CHEST).await;
        assert_eq!(chest(&page), ["chest in context 214: 64"]);
        let mut odile = lab.sign_in(Role::Conservator).await;
        let page = odile.page(&links::find(lock)).await;
        assert_eq!(chest(&page), ["chest in context 214: nothing else yet"]);
        assert!(!page.source().contains(&links::find(urn)), "no way leads there");
    }

    async fn a_group_of_another_project_takes_nothing_out_of_ours(lab: Lab) {
        let lock = lab.site.find("61").material("iron").object("lock plate").add().await;
        let foreign = Site::named(&lab.site.db, FOREIGN).await;
        let theirs = {
            let mut tx = lab.site.db.write().await.unwrap();
            let id = groups::insert(&mut tx, foreign.project, CHEST, "", noon()).await.unwrap();
            tx.commit().await.unwrap();
            id
        };
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        lay(&mut bea, lock, CHEST).await;
        assert_eq!(names(&lab).await, [CHEST], "a group of our own was made for it");
        let strange = bea.post(&links::group_removal(lock, theirs), &[]).await;
        assert_eq!(strange.status, StatusCode::NOT_FOUND);
        assert_eq!(chest(&bea.page(&links::find(lock)).await), ["chest in context 214: nothing else yet"]);
    }
}
