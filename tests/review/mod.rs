//! A specialist far away, a colleague who disagrees, an editor who settles without averaging.
mod desk;
mod opinions;
mod received;
mod reminders;
mod reopening;
mod sharing;

use axum::http::StatusCode;
use domain::ids::FindId;
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::Site;
use tests::support::http::{Lab, Reply, Visitor};

/// Submits or keeps an opinion as the form does with scripts: the readings were asked for while the date was typed.
pub(crate) async fn opine(visitor: &mut Visitor, find: FindId, what: &str, date: &str, verb: &str) -> Reply {
    let shown = shown(visitor, find, &[date]).await;
    let fields = [
        ("identification", what),
        ("date_words", date),
        ("shown", &shown),
        ("material_words", "alabaster"),
        ("parallels_none", "yes"),
        ("basis", "drapery and hem"),
        ("seen_as", "image"),
        ("finality", "preliminary"),
        ("do_what", verb),
    ];
    visitor.post(&format!("/finds/{find}/opinion"), &fields).await
}

/// How the page says that dates are read.
async fn shown(visitor: &mut Visitor, find: FindId, dates: &[&str]) -> String {
    let read: serde_json::Value = reading(visitor, find, dates).await;
    read["shown"].as_str().unwrap().to_owned()
}

async fn reading(visitor: &mut Visitor, find: FindId, dates: &[&str]) -> serde_json::Value {
    let mut query = form_urlencoded::Serializer::new(String::new());
    query.extend_pairs(dates.iter().map(|date| ("date_words", date)));
    let path = format!("/finds/{find}/opinion/reading?{}", query.finish());
    serde_json::from_str(visitor.get(&path).await.source()).unwrap()
}

on_both_engines! {
    // Thirds of a century (late 68–100, mid 34–67) give 1368 and 1467 by hand; the other range is stated in full.
    async fn two_opinions_stand_side_by_side_and_are_settled_with_dissent_kept(site: Site) {
        let panel = site.find("88").material("stone").object("panel, carved").add().await;
        let other = site.find("89").material("stone").object("capital").add().await;
        let colleague = site.another(Role::Specialist, "Maren Ash").await;
        let lab = Lab::of(site);
        let mut petra = lab.sign_in(Role::Manager).await;
        let form = format!("/projects/{}/assignments/new", lab.site.code);
        let id = panel.to_string();
        for specialist in [lab.site.person(Role::Specialist), colleague] {
            let who = specialist.to_string();
            let fields = [("find", id.as_str()), ("specialist", &who), ("question", "Which saint?"), ("due_on", "2031-10-15")];
            assert_eq!(petra.post(&form, &fields).await.status, StatusCode::SEE_OTHER);
        }
        let mut ilka = lab.sign_in(Role::Specialist).await;
        let mut maren = lab.sign_in_as(colleague).await;
        let mine = ilka.page("/my-finds").await;
        assert!(mine.source().contains("Which saint?") && mine.source().contains("88"));
        assert_eq!(ilka.get(&format!("/finds/{other}")).await.status, StatusCode::NOT_FOUND, "only what is assigned");

        assert_eq!(opine(&mut ilka, panel, "secret draft", "", "keep").await.status, StatusCode::SEE_OTHER);
        for reader in [&mut maren, &mut petra] {
            let page = reader.page(&format!("/finds/{panel}")).await;
            assert!(!page.source().contains("secret draft"), "a draft is its author’s alone");
        }
        let wrong = opine(&mut ilka, panel, "altarpiece", "5th quarter of the 14th century", "submit").await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(wrong.attributes("#identification", "value"), ["altarpiece"], "what was typed stays");
        opine(&mut ilka, panel, "altarpiece", "late C14–mid C15", "submit").await;
        opine(&mut maren, panel, "Saint John", "AD 1417–1461", "submit").await;
        let page = maren.page(&format!("/finds/{panel}")).await;
        assert!(!page.source().contains("altarpiece"), "a colleague’s opinion is not shown to a specialist");

        let side = petra.page(&format!("/finds/{panel}/opinions")).await;
        assert!(side.source().contains("AD 1368 to AD 1467") && side.source().contains("AD 1417 to AD 1461"));
        assert!(side.text("svg desc").contains("All hold: AD 1417 to AD 1461"), "{}", side.text("svg desc"));
        opine(&mut ilka, panel, "altarpiece panel", "late C14–mid C15", "submit").await;
        let side = petra.page(&format!("/finds/{panel}/opinions")).await;
        assert!(side.source().contains("version 2"), "a revision is a new version");

        let adopted = side.attributes("input[name=adopted]", "value");
        let johns = adopted[side.texts("#adopted label").iter().position(|l| l.contains("Saint John")).unwrap()].clone();
        let path = format!("/finds/{panel}/settlements");
        let refused = petra.post(&path, &[("outcome", "agreed"), ("adopted", &johns), ("reason", "r")]).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "agreed means everybody");
        let settle = [("outcome", "majority"), ("adopted", johns.as_str()), ("identification", "Saint John"), ("reason", "the book")];
        assert_eq!(petra.post(&path, &settle).await.status, StatusCode::SEE_OTHER);
        let side = petra.page(&format!("/finds/{panel}/opinions")).await;
        assert!(side.text("main").contains("dissent"), "dissent is kept");

        let report = petra.page(&format!("/projects/{}/report", lab.site.code)).await;
        assert!(report.text("main").to_lowercase().contains("preliminary"), "the report says so");
        assert!(report.source().contains("altarpiece panel") && report.source().contains("Saint John"));
        assert!(!report.source().contains("secret draft"));
    }

    async fn human_remains_stay_out_of_sight_without_the_clearance(site: Site) {
        let urn = site.find("95").material("cremated_bone").object("urn spit").restricted().add().await;
        let lab = Lab::of(site);
        let mut odile = lab.sign_in(Role::Conservator).await;
        assert_eq!(odile.get(&format!("/finds/{urn}")).await.status, StatusCode::NOT_FOUND);
        let list = odile.page(&format!("/projects/{}/finds", lab.site.code)).await;
        assert!(!list.source().contains("urn spit"));
        let found = odile.page(&format!("/projects/{}/finds?q=urn", lab.site.code)).await;
        assert!(!found.source().contains("urn spit"));
        let csv = odile.get(&format!("/projects/{}/finds.csv", lab.site.code)).await;
        assert!(!csv.source().contains("urn spit"));
        lab.site.clear(Role::Conservator).await;
        odile.page(&format!("/finds/{urn}")).await;
        lab.site.assign(&[urn]).await;
        let mut joss = lab.sign_in(Role::Specialist).await;
        joss.page(&format!("/finds/{urn}")).await;
        let mut maud = lab.sign_in(Role::Reader).await;
        let report = maud.page(&format!("/projects/{}/report", lab.site.code)).await;
        assert!(!report.source().contains("urn spit"), "nothing in the report");
    }
}
