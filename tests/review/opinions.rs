//! What an opinion may say, and what it must: dates of several kinds and weights, parallels, joint authors, several finds.
use super::{opine, reading, shown};
use axum::http::StatusCode;
use domain::ids::FindId;
use domain::permission::Role;
use domain::review::opinion::{Confidence, DateKind, Likeness, Weight};
use store::review::opinions::Opinion;
use tests::on_both_engines;
use tests::support::Site;
use tests::support::http::{Lab, Reply, Visitor};

const WORDS: &str = "late fourteenth century, more likely early fifteenth";

async fn said(site: &Site, find: FindId) -> Vec<Opinion> {
    let mut tx = site.db.read().await.unwrap();
    store::review::opinions::list_of_find(&mut tx, find).await.unwrap()
}

/// A form with only what it must hold, and these fields besides.
async fn send(visitor: &mut Visitor, find: FindId, more: &[(&str, &str)]) -> Reply {
    let dates: Vec<&str> =
        more.iter().filter(|(name, _)| *name == "date_words").map(|(_, words)| *words).collect();
    let shown = shown(visitor, find, &dates).await;
    let least = [
        ("identification", "panel"),
        ("basis", "drapery"),
        ("seen_as", "image"),
        ("seen_as", "xray"),
        ("finality", "preliminary"),
        ("shown", shown.as_str()),
        ("do_what", "submit"),
    ];
    visitor.post(&format!("/finds/{find}/opinion"), &[&least, more].concat()).await
}

on_both_engines! {
    // By hand: the last third of the 14th century is 1368–1400, the first of the 15th 1401–1433; circa is ten years each way.
    async fn several_weighted_ranges_of_several_kinds_are_kept_as_written(site: Site) {
        let panel = site.find("88").material("stone").object("panel, carved").add().await;
        site.assign(&[panel]).await;
        let lab = Lab::of(site);
        let mut ilka = lab.sign_in(Role::Specialist).await;
        let read = reading(&mut ilka, panel, &[WORDS, "", "c. 1450", "5th quarter of the 14th century"]).await;
        assert_eq!(read["shown"], "AD 1368 to AD 1400 or more likely AD 1401 to AD 1433 | AD 1440 to AD 1460");
        assert!(read["rows"][0]["reading"].as_str().unwrap().starts_with("Read as AD 1368 to AD 1400 or more likely"));
        assert_eq!(read["rows"][1]["reading"], "");
        assert!(!read["rows"][3]["wrong"].as_str().unwrap().is_empty());

        let more = [
            ("date_words", WORDS), ("date_kind", "manufacture"), ("date_weight", "unsaid"),
            ("date_words", "c. 1450"), ("date_kind", "deposition"), ("date_weight", "less"),
            ("confidence", "probable"), ("origin", "Midlands"), ("negative_findings", "no trace of gilding"),
            ("significance", "regional"), ("joint_authors", "Maren Ash, carving\nSomebody Else"),
            ("parallel_citation", "Lund 1998"), ("parallel_place", "no. 14, fig. 3"), ("parallel_likeness", "1:style"),
            ("parallel_likeness", "1:form"), ("parallel_date", "AD 1420"), ("parallel_basis", "inscription"),
            ("advice_action", "Radiograph the back"), ("advice_reason", "dowels"), ("advice_days", "0,5"), ("advice_cost", "120"),
        ];
        assert_eq!(send(&mut ilka, panel, &more).await.status, StatusCode::SEE_OTHER);
        let said = said(&lab.site, panel).await;
        let [one] = said.as_slice() else { panic!("{} opinions", said.len()) };
        let dates: Vec<_> = one.parts.dates.iter().map(|d| (d.statement, d.kind, d.weight, d.date_lo, d.date_hi)).collect();
        assert_eq!(dates, [
            (1, DateKind::Manufacture, Weight::Unsaid, Some(1368), Some(1400)),
            (1, DateKind::Manufacture, Weight::More, Some(1401), Some(1433)),
            (2, DateKind::Deposition, Weight::Less, Some(1440), Some(1460)),
        ]);
        assert_eq!((one.date_lo, one.date_hi), (Some(1368), Some(1433)), "the making counts for the context");
        assert_eq!((one.confidence(), one.seen_as.label().as_str()), (Some(Confidence::Probable), "images and X-rays"));
        let parallel = &one.parts.parallels[0];
        assert_eq!(parallel.likeness.all(), [Likeness::Form, Likeness::Style]);
        assert_eq!((one.parts.joint.len(), one.parts.recommendations[0].days), (2, Some(0.5)));

        let mut petra = lab.sign_in(Role::Manager).await;
        let page = petra.page(&format!("/finds/{panel}/opinions")).await;
        let words = page.text("main");
        for told in [
            "Maren Ash and Somebody Else", WORDS, "more likely AD 1401 to AD 1433", "Deposited", "no trace of gilding",
            "Lund 1998, no. 14, fig. 3; alike in form and style; dated AD 1420, which rests on inscription",
            "Radiograph the back: dowels (0.5 days, cost 120)", "preliminary, from images and X-rays",
        ] {
            assert!(words.contains(told), "{told}: {words}");
        }
        let report = petra.page(&format!("/projects/{}/report", lab.site.code)).await;
        for told in ["no trace of gilding", "Radiograph the back", "Lund 1998", "Maren Ash", "more likely AD 1401 to AD 1433"] {
            assert!(report.source().contains(told), "{told} in the report");
        }
        assert_eq!(said.len(), 1);
        let form = ilka.page(&format!("/finds/{panel}/opinion")).await;
        assert_eq!(form.attributes("input[name=date_words]", "value"), [WORDS, "c. 1450"], "a revision begins with what was said");
        assert!(form.source().contains(r#"value="1:style" checked"#));
    }

    async fn dates_are_shown_as_they_are_read_before_anything_is_submitted(site: Site) {
        let panel = site.find("88").material("stone").add().await;
        site.assign(&[panel]).await;
        let lab = Lab::of(site);
        let mut ilka = lab.sign_in(Role::Specialist).await;
        let fields = [
            ("identification", "panel"), ("basis", "drapery"), ("seen_as", "image"), ("finality", "preliminary"),
            ("date_words", "late C14–mid C15"), ("do_what", "submit"),
        ];
        let path = format!("/finds/{panel}/opinion");
        let first = ilka.post(&path, &fields).await;
        assert_eq!(first.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(first.text("[role=alert]").contains("Read as AD 1368 to AD 1467"), "{}", first.text("[role=alert]"));
        assert!(said(&lab.site, panel).await.is_empty());
        let second = ilka.submit(&first, "form[data-keep=opinion]", &[("do_what", "submit")]).await;
        assert_eq!(second.status, StatusCode::SEE_OTHER);
        assert_eq!(said(&lab.site, panel).await.len(), 1);
        let wrong = send(&mut ilka, panel, &[("date_words", "Hadrianc")]).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(wrong.text("#date_1-error").contains("Did you mean Hadrianic?"), "{}", wrong.text("#date_1-error"));
        assert_eq!(wrong.attributes("#date_1", "value"), ["Hadrianc"], "what was typed stays");
        let again = ilka.page(&path).await;
        assert_eq!(again.attributes("#date_1", "value"), ["Hadrianc"], "as a draft too");
    }

    async fn a_final_opinion_says_how_sure_it_is_and_names_its_parallels_or_that_there_are_none(site: Site) {
        let panel = site.find("88").material("stone").add().await;
        site.assign(&[panel]).await;
        let lab = Lab::of(site);
        let mut ilka = lab.sign_in(Role::Specialist).await;
        let base = [
            ("identification", "panel"), ("basis", "drapery"), ("seen_as", "object"), ("finality", "final"), ("do_what", "submit"),
        ];
        let to = format!("/finds/{panel}/opinion");
        let refused = ilka.post(&to, &base).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        let wrong = refused.text("[role=alert]");
        assert!(wrong.contains("how sure") && wrong.contains("none was found"), "{wrong}");
        let both = [("confidence", "certain"), ("parallels_none", "yes"), ("parallel_citation", "Lund 1998")];
        let torn = ilka.post(&to, &[&base[..], &both].concat()).await;
        assert_eq!(torn.status, StatusCode::UNPROCESSABLE_ENTITY, "parallels, or none found");
        let loose = [("confidence", "certain"), ("parallel_place", "p. 3")];
        let uncited = ilka.post(&to, &[&base[..], &loose].concat()).await;
        assert!(uncited.text("#parallel_1-error").contains("Cite"), "{}", uncited.text("[role=alert]"));
        let right = [("confidence", "certain"), ("parallels_none", "yes"), ("parallels", "three corpora searched")];
        assert_eq!(ilka.post(&to, &[&base[..], &right].concat()).await.status, StatusCode::SEE_OTHER);
        let page = lab.sign_in(Role::Manager).await.page(&format!("/finds/{panel}/opinions")).await;
        assert!(page.text("main").contains("none found: three corpora searched"));
    }

    async fn one_opinion_covers_several_finds_of_an_assignment_and_no_others(site: Site) {
        let (one, two) = (site.find("3").material("glass").add().await, site.find("4").material("glass").add().await);
        let apart = site.find("9").material("glass").add().await;
        site.assign(&[one, two]).await;
        let lab = Lab::of(site);
        let mut sabine = lab.sign_in(Role::Specialist).await;
        let form = sabine.page(&format!("/finds/{one}/opinion")).await;
        assert_eq!(form.attributes("input[name=covers]", "value"), [two.to_string()]);
        let stranger = send(&mut sabine, one, &[("covers", &apart.to_string())]).await;
        assert_eq!(stranger.status, StatusCode::UNPROCESSABLE_ENTITY, "only what was assigned");
        assert!(said(&lab.site, apart).await.is_empty() && said(&lab.site, one).await.is_empty());
        // a draft on the other find is not lost
        opine(&mut sabine, two, "half a thought", "", "keep").await;
        assert_eq!(send(&mut sabine, one, &[("covers", &two.to_string())]).await.status, StatusCode::SEE_OTHER);
        let draft = sabine.page(&format!("/finds/{two}/opinion")).await;
        assert_eq!(draft.attributes("#identification", "value"), ["half a thought"]);
        for find in [one, two] {
            let of_find = said(&lab.site, find).await;
            assert_eq!((of_find.len(), of_find[0].version, of_find[0].parts.covers.len()), (1, 1, 1));
        }
        let mut petra = lab.sign_in(Role::Manager).await;
        let page = petra.page(&format!("/finds/{two}/opinions")).await;
        assert!(page.text("main").contains("Covers too3"), "{}", page.text("main"));
        let report = petra.page(&format!("/projects/{}/report", lab.site.code)).await;
        assert!(report.source().contains("the same as on find 3"), "told once in full");
        let revision = sabine.page(&format!("/finds/{one}/opinion")).await;
        assert_eq!(revision.attributes("input[name=covers][checked]", "value"), [two.to_string()]);
        assert_eq!(send(&mut sabine, one, &[]).await.status, StatusCode::SEE_OTHER, "a revision of one alone");
        assert_eq!((said(&lab.site, one).await.len(), said(&lab.site, two).await.len()), (2, 1));
    }

    async fn in_a_blind_assignment_colleagues_show_once_the_own_opinion_is_in(site: Site) {
        let panel = site.find("88").material("stone").object("panel").add().await;
        let colleague = site.another(Role::Specialist, "Maren Ash").await;
        let lab = Lab::of(site);
        let mut petra = lab.sign_in(Role::Manager).await;
        let form = format!("/projects/{}/assignments/new", lab.site.code);
        let id = panel.to_string();
        let (first, second) = (lab.site.person(Role::Specialist).to_string(), colleague.to_string());
        let fields = |who: &str| vec![
            ("find".to_owned(), id.clone()), ("specialist".into(), who.to_owned()), ("question".into(), "Which saint?".into()),
            ("due_on".into(), "2031-10-15".into()),
        ];
        let blind = [fields(&first), vec![("blind".into(), "yes".into())]].concat();
        for sent in [blind, fields(&second)] {
            let sent: Vec<(&str, &str)> = sent.iter().map(|(n, v)| (n.as_str(), v.as_str())).collect();
            assert_eq!(petra.post(&form, &sent).await.status, StatusCode::SEE_OTHER);
        }
        let (mut ilka, mut maren) = (lab.sign_in(Role::Specialist).await, lab.sign_in_as(colleague).await);
        opine(&mut maren, panel, "Saint John the Baptist", "AD 1417–1461", "submit").await;
        let hidden = ilka.page(&format!("/finds/{panel}/opinion")).await;
        assert!(!hidden.source().contains("Saint John") && !hidden.source().contains("Maren Ash"));
        assert!(hidden.text("main").contains("shows once your own opinion is in"));
        let find = ilka.page(&format!("/finds/{panel}")).await;
        assert!(!find.source().contains("Saint John"));
        opine(&mut ilka, panel, "an evangelist", "late C14–mid C15", "submit").await;
        let open = ilka.page(&format!("/finds/{panel}/opinion")).await;
        assert!(open.text("main").contains("Saint John the Baptist"));
        let other = maren.page(&format!("/finds/{panel}/opinion")).await;
        assert!(other.text("main").contains("an evangelist"), "not blind: from the beginning");
    }
}
