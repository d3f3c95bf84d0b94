//! An opinion comes by letter: entered for its author with the original, confirmed or corrected by one link.
use super::{opine, shown};
use axum::http::StatusCode;
use domain::Instant;
use domain::ids::FindId;
use domain::permission::Role;
use domain::review::Finality;
use store::review::opinions::Opinion;
use tests::on_both_engines;
use tests::support::Site;
use tests::support::http::{Lab, Visitor};
use tests::support::noon;

const SCAN: &[u8] = b"%PDF-1.4 a scan of a letter";
const BRANKA: &str = "branka@far.example";

async fn said(site: &Site, find: FindId) -> Vec<Opinion> {
    let mut tx = site.db.read().await.unwrap();
    store::review::opinions::list_of_find(&mut tx, find).await.unwrap()
}

/// The original is kept; the page on which it is entered.
async fn keep(bea: &mut Visitor, find: FindId) -> String {
    let fields = [
        ("author", ""),
        ("name", "Dr Branka Solt"),
        ("email", BRANKA),
        ("qualification", "hanging bowls"),
        ("came_as", "letter"),
        ("came_on", "2031-09-03"),
    ];
    let kept =
        bea.upload(&format!("/finds/{find}/received/new"), &fields, &[("file", "solt.pdf", SCAN)]).await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text("main"));
    kept.location()
}

async fn enter(bea: &mut Visitor, page: &str, find: FindId, also: &str) {
    let date = "late C14–mid C15";
    let query: String = form_urlencoded::byte_serialize(date.as_bytes()).collect();
    let read = bea.get(&format!("/finds/{find}/opinions/reading?date_words={query}")).await;
    let read: serde_json::Value = serde_json::from_str(read.source()).unwrap();
    let fields = [
        ("identification", "bowl escutcheon"),
        ("date_words", date),
        ("shown", read["shown"].as_str().unwrap()),
        ("basis", "the enamel"),
        ("seen_as", "image"),
        ("finality", "final"),
        ("also", also),
        ("do_what", "submit"),
    ];
    let entered = bea.post(page, &fields).await;
    assert_eq!(entered.status, StatusCode::SEE_OTHER, "{}", entered.text("main"));
}

/// The path of the link in the last letter to an address.
async fn link(lab: &Lab, to: &str) -> String {
    let mut tx = lab.site.db.write().await.unwrap();
    let later: Instant = noon() + chrono::Duration::days(1);
    let mut found = None;
    while let Some(letter) =
        store::letters::take_due(&mut tx, later, later + chrono::Duration::days(9)).await.unwrap()
    {
        if letter.to_address == to {
            found = letter.body.lines().find(|line| line.contains("/confirmation/")).map(str::to_owned);
        }
    }
    let link = found.expect("a letter with a link");
    link[link.find("/confirmation/").unwrap()..].to_owned()
}

on_both_engines! {
    async fn a_letter_is_entered_for_its_author_who_confirms_it_by_one_link(site: Site) {
        let (bowl, lid) = (site.find("12").material("copper_alloy").add().await, site.find("13").material("copper_alloy").add().await);
        let lab = Lab::of(site);
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let bare = bea.upload(&format!("/finds/{bowl}/received/new"), &[("came_as", "letter")], &[]).await;
        assert_eq!(bare.status, StatusCode::UNPROCESSABLE_ENTITY, "author, day and original are wanted");
        let program = bea.upload(&format!("/finds/{bowl}/received/new"), &[
            ("name", "B"), ("email", BRANKA), ("came_as", "pdf"), ("came_on", "2031-09-03"),
        ], &[("file", "solt.exe", SCAN)]).await;
        assert!(program.text("#file-error").contains("not taken"), "{}", program.text("main"));
        let page = keep(&mut bea, bowl).await;
        let half = [("identification", "bowl esc"), ("do_what", "keep")];
        assert_eq!(bea.post(&page, &half).await.status, StatusCode::SEE_OTHER);
        assert_eq!(bea.page(&page).await.attributes("#identification", "value"), ["bowl esc"], "a draft");
        enter(&mut bea, &page, bowl, "13").await;
        for find in [bowl, lid] {
            let one = &said(&lab.site, find).await[0];
            assert!(one.is_unconfirmed() && one.finality == Finality::Preliminary, "only a confirmed one can be final");
        }
        let mut petra = lab.sign_in(Role::Manager).await;
        let side = petra.page(&format!("/finds/{lid}/opinions")).await;
        assert!(side.text("main").contains("entered by finds officer from a letter, not yet confirmed"), "{}", side.text("main"));
        let report = petra.page(&format!("/projects/{}/report", lab.site.code)).await;
        assert!(report.source().contains("not yet confirmed"), "the report says so");
        let original = petra.get(&side.attributes(".opinion a", "href")[0]).await;
        assert_eq!(original.body, SCAN, "byte for byte");
        assert!(original.headers["content-disposition"].to_str().unwrap().contains("solt.pdf"));
        let mut specialist = lab.sign_in(Role::Specialist).await;
        assert!(specialist.get(&side.attributes(".opinion a", "href")[0]).await.status.is_client_error());

        let path = link(&lab, BRANKA).await;
        let mut branka = lab.stranger();
        let opened = branka.get(&path).await;
        assert_eq!(opened.location(), "/confirmation", "the token leaves the address");
        let form = branka.page("/confirmation").await;
        assert!(form.text("main").contains("bowl escutcheon") && form.text("h1").contains("12, 13"));
        let early = branka.post_bare("/confirmation", &[("do_what", "confirm"), ("finality", "final")]).await;
        assert_eq!(early.status, StatusCode::UNPROCESSABLE_ENTITY, "a final one says more");
        let yes = branka.post_bare("/confirmation", &[("do_what", "confirm"), ("finality", "preliminary")]).await;
        assert_eq!(yes.status, StatusCode::OK, "{}", yes.text("main"));
        for find in [bowl, lid] {
            let one = &said(&lab.site, find).await[0];
            assert!(!one.is_unconfirmed() && one.superseded_at.is_none());
        }
        let side = petra.page(&format!("/finds/{bowl}/opinions")).await;
        assert!(side.text("main").contains("entered by finds officer from a letter, confirmed 15 Sep 2031"));
        let mut again = lab.stranger();
        again.get(&path).await;
        assert_eq!(again.get("/confirmation").await.status, StatusCode::GONE, "it works once");
        assert_eq!(branka.post_bare("/confirmation", &[("do_what", "confirm")]).await.status, StatusCode::GONE);
    }

    async fn an_author_corrects_what_was_entered_and_may_make_it_final(site: Site) {
        let bowl = site.find("12").material("copper_alloy").add().await;
        let lab = Lab::of(site);
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let page = keep(&mut bea, bowl).await;
        enter(&mut bea, &page, bowl, "").await;
        let first = link(&lab, BRANKA).await;
        assert_eq!(bea.post(&format!("{page}/letter"), &[]).await.status, StatusCode::SEE_OTHER);
        let path = link(&lab, BRANKA).await;
        let mut branka = lab.stranger();
        branka.get(&first).await;
        assert_eq!(branka.get("/confirmation").await.status, StatusCode::GONE, "a newer letter ends the link before");
        branka.get(&path).await;
        let form = branka.page("/confirmation").await;
        let (to, mut fields) = form.form("details form");
        assert_eq!(to, "/confirmation");
        fields.retain(|(name, _)| !["identification", "confidence", "finality", "do_what", "parallels_none"].contains(&name.as_str()));
        let more = [
            ("identification", "escutcheon of a hanging bowl"), ("confidence", "certain"), ("parallels_none", "yes"),
            ("finality", "final"), ("do_what", "correct"),
        ];
        let mut all: Vec<(&str, &str)> = fields.iter().map(|(n, v)| (n.as_str(), v.as_str())).collect();
        all.extend(more);
        let yes = branka.post_bare("/confirmation", &all).await;
        assert_eq!(yes.status, StatusCode::OK, "{}", yes.text("main"));
        let said = said(&lab.site, bowl).await;
        let [new, old] = said.as_slice() else { panic!("{} versions", said.len()) };
        assert_eq!((new.version, new.finality, new.identification.as_str()), (2, Finality::Final, "escutcheon of a hanging bowl"));
        assert!(new.received().is_none() && old.superseded_at.is_some() && old.identification == "bowl escutcheon", "kept, never edited");
        assert_eq!((new.date_lo, new.date_hi), (Some(1368), Some(1467)));
    }

    async fn a_letter_takes_nothing_from_what_its_author_said_until_it_is_confirmed(site: Site) {
        let bowl = site.find("12").material("copper_alloy").add().await;
        site.assign(&[bowl]).await;
        let author = site.person(Role::Specialist).to_string();
        let lab = Lab::of(site);
        let mut ilka = lab.sign_in(Role::Specialist).await;
        opine(&mut ilka, bowl, "bowl", "AD 1417–1461", "submit").await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let fields = [("author", author.as_str()), ("came_as", "email"), ("came_on", "2031-09-03")];
        let kept = bea.upload(&format!("/finds/{bowl}/received/new"), &fields, &[("file", "mail.eml", b"Subject: bowl")]).await;
        enter(&mut bea, &kept.location(), bowl, "").await;
        let standing = |said: Vec<Opinion>| said.into_iter().filter(|o| o.superseded_at.is_none()).count();
        assert_eq!(standing(said(&lab.site, bowl).await), 2);
        assert_eq!(ilka.page("/my-finds").await.texts("ul.lines li").len(), 1, "the find stands there once");
        // her own desk does as well as the link
        let form = ilka.page(&format!("/finds/{bowl}/opinion")).await;
        assert_eq!(form.attributes("#identification", "value"), ["bowl escutcheon"]);
        let _ = shown(&mut ilka, bowl, &[]).await;
        let sent = ilka.submit(&form, "form[data-keep=opinion]", &[("do_what", "submit")]).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text("[role=alert]"));
        assert_eq!(standing(said(&lab.site, bowl).await), 1);
        let path = link(&lab, "specialist@vsq31.example").await;
        let mut late = lab.stranger();
        late.get(&path).await;
        assert_eq!(late.get("/confirmation").await.status, StatusCode::GONE, "nothing is left to confirm");
    }
}
