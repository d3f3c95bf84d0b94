//! The shot list: what is expected by stage and material, what is missing, and pairs side by side.
use super::{kept, plain};
use axum::http::StatusCode;
use domain::ids::FindId;
use domain::permission::Role;
use domain::stages::{Stage, StageState};
use store::images::ImageWords;
use tests::on_both_engines;
use tests::support::{Lab, noon};

async fn shot(lab: &Lab, find: FindId, at: u32, words: &[&str; 3], scale_mm: Option<i64>) {
    let mut tx = lab.site.db.write().await.unwrap();
    let [moment, view, light] = words.map(str::to_owned);
    let words = ImageWords { moment, view, light, scale_mm, ..ImageWords::default() };
    let new = store::images::NewImage { words, ..super::new_image(&lab.site, &format!("{at:064x}")) };
    let (id, _) =
        store::images::insert(&mut tx, &new, lab.site.person(Role::Photographer), noon()).await.unwrap();
    store::images::insert_find(&mut tx, id, find).await.unwrap();
    tx.commit().await.unwrap();
}

on_both_engines! {
    // story 6: a missing "after", ultraviolet without its visible pair, three without a scale
    async fn the_list_knows_what_is_missing(lab: Lab) {
        let sheath = lab.site.find("61").material("wood_leather").add().await;
        let panel = lab.site.find("88").material("stone").add().await;
        lab.site.mark(sheath, Stage::DryClean, StageState::Done).await;
        shot(&lab, sheath, 1, &["before", "front", "visible"], Some(50)).await;
        shot(&lab, panel, 2, &["before", "back", "ultraviolet"], None).await;
        shot(&lab, panel, 3, &["before", "front", "visible"], None).await;
        shot(&lab, panel, 4, &["before", "front", "raking from the left"], None).await;
        let mut ansel = lab.sign_in(Role::Photographer).await;
        let page = ansel.page(&format!("/finds/{sheath}/shots")).await;
        let rows = page.texts("table tbody tr");
        assert!(rows.iter().any(|row| row.contains("after: front, visible light") && row.contains("missing")), "{rows:?}");
        assert!(rows.iter().any(|row| row.contains("before: front, visible light") && row.contains("taken")), "{rows:?}");
        let list = ansel.page(&format!("/projects/{}/shots", lab.site.code)).await;
        let rows = list.texts("table tbody tr");
        assert!(rows[0].starts_with("61") && rows[0].contains("after: front"), "{rows:?}");
        assert!(rows[1].starts_with("88") && rows[1].contains("ultraviolet without the same view in visible light"), "{rows:?}");
        assert_eq!(rows[1].matches("no scale noted").count(), 3, "{rows:?}");
        let today = ansel.page("/today").await;
        let lines = today.texts(".waiting .lines li");
        assert!(lines.iter().any(|line| line.starts_with("61") && line.contains("after: front, visible light")), "{lines:?}");
        assert!(lines.iter().any(|line| line.starts_with("88") && line.contains("ultraviolet without the same view")), "{lines:?}");
        let mut odile = lab.sign_in(Role::Conservator).await;
        assert!(!odile.page("/today").await.text("main").contains("Photographs lacking"), "the bench has its own list on each find");

        let add = page.attributes("td a[aria-label^='Add it: after']", "href")[0].clone();
        let form = ansel.page(&add).await;
        assert_eq!(form.attributes("#view", "value"), ["front"], "the form knows what it is for");
        assert_eq!(form.attributes("#moment option[selected]", "value"), ["after"]);
        let file = plain(9);
        let (path, fields) = form.form("form[enctype]");
        let fields: Vec<(&str, &str)> = fields.iter().map(|(n, v)| (n.as_str(), v.as_str())).collect();
        ansel.upload(&path, &fields, &[("file", "a.png", &file)]).await;
        assert_eq!(kept(&lab.site, sheath).await.len(), 2);
        let page = ansel.page(&format!("/finds/{sheath}/shots")).await;
        assert_eq!(page.count(".late"), 0, "{}", page.text("table"));
    }

    async fn a_shot_before_a_stage_that_is_done_is_missed(lab: Lab) {
        let find = lab.site.find("1").material("iron").add().await;
        lab.site.mark(find, Stage::DryClean, StageState::Done).await;
        let mut ansel = lab.sign_in(Role::Photographer).await;
        let page = ansel.page(&format!("/finds/{find}/shots")).await;
        assert!(page.text("table").contains("missed: the stage is done"), "{}", page.text("table"));
        lab.site.mark(find, Stage::DryClean, StageState::NotNeeded).await;
        assert_eq!(ansel.page(&format!("/finds/{find}/shots")).await.count("table"), 0, "nothing is asked of a stage left out");
    }

    async fn a_lead_keeps_the_list_of_expected_shots(lab: Lab) {
        let find = lab.site.find("1").material("iron").add().await;
        lab.site.mark(find, Stage::DryClean, StageState::InHand).await;
        let path = format!("/projects/{}/shots/rules", lab.site.code);
        let mut ansel = lab.sign_in(Role::Photographer).await;
        assert_eq!(ansel.get(&path).await.status, StatusCode::FORBIDDEN);
        let mut lead = lab.sign_in(Role::Lead).await;
        let form = lead.page(&path).await;
        let revision = form.attributes("input[name=revision]", "value")[0].clone();
        assert_eq!(revision, "0");
        let row = |cells: [&'static str; 5]| -> Vec<(&str, &str)> { ["material", "stage", "moment", "view", "light"].into_iter().zip(cells).collect() };
        for (cells, sentence) in [
            (["", "", "before", "front", "visible"], "choose the stage"),
            (["moon rock", "dry_clean", "before", "front", "visible"], "choose a material"),
            (["", "dry_clean", "later", "front", "visible"], "before, during or after"),
            (["", "dry_clean", "before", "front", "moonlight"], "choose the light"),
            (["", "finished", "before", "front", "visible"], "choose the stage"),
        ] {
            let mut fields = row(cells);
            fields.push(("revision", "0"));
            let refused = lead.post(&path, &fields).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{cells:?}");
            assert!(refused.text(".wrong").contains(sentence), "{cells:?}: {}", refused.text(".wrong"));
        }
        let mut fields = row(["iron", "dry_clean", "during", "detail", "microscope"]);
        fields.extend(row(["", "", "before", "", "visible"]));
        fields.push(("revision", "0"));
        assert_eq!(lead.post(&path, &fields).await.status, StatusCode::SEE_OTHER);
        assert_eq!(lead.post(&path, &fields).await.status, StatusCode::CONFLICT, "somebody saved meanwhile");
        let page = ansel.page(&format!("/finds/{find}/shots")).await;
        assert_eq!(page.texts("tbody th"), ["during: detail, microscope"]);
    }

    async fn pairs_stand_side_by_side_without_script(lab: Lab) {
        let find = lab.site.find("88").material("stone").add().await;
        shot(&lab, find, 1, &["before", "front", "visible"], Some(50)).await;
        shot(&lab, find, 2, &["before", "front", "uv"], Some(50)).await;
        shot(&lab, find, 3, &["after", "Front", "visible"], Some(50)).await;
        shot(&lab, find, 4, &["after", "back", ""], Some(50)).await;
        let mut ansel = lab.sign_in(Role::Photographer).await;
        let path = format!("/finds/{find}/pairs");
        let page = ansel.page(&path).await;
        assert_eq!(page.count(".pair"), 2, "visible beside ultraviolet, before beside after");
        assert_eq!(page.count(".pair img"), 4);
        let ids = page.attributes("#left option", "value");
        let chosen = ansel.page(&format!("{path}?left={}&right={}", ids[0], ids[3])).await;
        assert_eq!(chosen.count(".pair"), 1);
        assert!(chosen.text(".pair").contains("after, back"));
    }
}
