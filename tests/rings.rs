//! Ring diameters of a find against a list of moulds: ranked on one scale, a near tie said to be a tie.
use axum::http::StatusCode;
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::{FOREIGN, Lab, Site, noon};

/// Case H7_ring_mould_match.o01 of cases/rings.json: SciPy's multivariate normal gives A 0.5598, E 0.4402; D has three rings.
const LIST: &str = "mould;inner;second;third;outer\nA;12;24;38;52\nB;11;25;37;54\nC;14;22;40;51\nD;12;24;36\nE;12,2;24,5;38,6;52,4\n";
const RINGS: &str = "11,83; 23,68; 37,31; 50,7";

on_both_engines! {
    async fn two_moulds_that_fit_about_as_well_are_said_to_be_a_tie(lab: Lab) {
        let base = lab.site.find("12").material("copper_alloy").object("mirror").add().await;
        lab.site.assign(&[base]).await;
        let lists = format!("/projects/{}/moulds", lab.site.code);
        let mut ilka = lab.sign_in(Role::Specialist).await;
        let wrong = "A;12;24\nB;25;11\nC;x;3";
        let again = ilka.upload(&format!("{lists}/new"), &[("name", "Casts"), ("source", ""), ("rows", wrong)], &[]).await;
        assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(again.text("#rows-error").starts_with("Row 2:") && again.text("#rows-error").contains("1 more row"), "{}", again.text("#rows-error"));
        assert!(again.text("#source-error").contains("published"));
        assert!(again.text("#rows").contains("B;25;11"), "what was typed stays");
        let fields = [("name", "Casts"), ("source", "Lund 1998, pl. 4"), ("rows", "")];
        let kept = ilka.upload(&format!("{lists}/new"), &fields, &[("file", "casts.csv", LIST.as_bytes())]).await;
        assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text("main"));
        let page = ilka.follow(&kept).await;
        assert_eq!(page.count("tbody tr"), 5);
        assert!(page.text("tbody").contains("12.2, 24.5, 38.6, 52.4 mm"));

        let form = format!("/finds/{base}/rings/new");
        let fields = [("rings", RINGS), ("u_mm", "0,3"), ("scale_mean", "1"), ("scale_sd", "0.02"), ("done_by", "I. Varnsted"), ("done_on", "2031-09-14")];
        let falling = ilka.post(&form, &[&[("rings", "12 11")], &fields[1..]].concat()).await;
        assert_eq!(falling.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(ilka.post(&form, &fields).await.status, StatusCode::SEE_OTHER);
        let shown = ilka.page(&format!("/finds/{base}/rings")).await;
        assert!(shown.text("main").contains("These diameters cannot separate A and E: a tie."), "{}", shown.text("main"));
        let rows = shown.texts("tbody tr");
        assert_eq!(rows.len(), 4);
        assert!(rows[0].starts_with("A tie") && rows[0].contains("56.0 %") && rows[0].contains("0.980"), "{rows:?}");
        assert!(rows[1].starts_with("E tie") && rows[1].contains("44.0 %") && rows[1].contains("0.969"), "{rows:?}");
        assert!(rows[2].starts_with('B') && rows[2].contains("below 0.1 %"), "{rows:?}");
        assert!(shown.text("main").contains("another number of rings: D"));
        assert!(shown.text("main").contains("take for granted that the true mould is in the list"));
    }

    async fn a_specialist_withdraws_the_own_list_and_the_team_any(lab: Lab) {
        let mould = domain::rings::NewMould { name: "A".into(), rings_mm: vec![12.0] };
        let find = lab.site.find("12").add().await;
        lab.site.assign(&[find]).await;
        let mut tx = lab.site.db.write().await.unwrap();
        let mut list = async |by: Role, name: &str| {
            let new = (name, "a book", &[mould.clone()][..]);
            store::rings::insert_list(&mut tx, lab.site.project, new, lab.site.person(by), noon()).await.unwrap()
        };
        let (team, own) = (list(Role::Lead, "Team").await, list(Role::Specialist, "Own").await);
        tx.commit().await.unwrap();
        let mut ilka = lab.sign_in(Role::Specialist).await;
        assert_eq!(ilka.page(&format!("/moulds/{team}")).await.count("form[action$=withdrawal]"), 0);
        assert_eq!(ilka.post(&format!("/moulds/{team}/withdrawal"), &[]).await.status, StatusCode::FORBIDDEN);
        assert_eq!(ilka.post(&format!("/moulds/{own}/withdrawal"), &[]).await.status, StatusCode::SEE_OTHER);
        let mut odile = lab.sign_in(Role::Conservator).await;
        assert_eq!(odile.post(&format!("/moulds/{team}/withdrawal"), &[]).await.status, StatusCode::SEE_OTHER);
    }

    async fn a_first_row_is_a_heading_only_where_it_holds_words(lab: Lab) {
        let lists = format!("/projects/{}/moulds/new", lab.site.code);
        let mut odile = lab.sign_in(Role::Conservator).await;
        for first in ["Alpha; 12 13 14", "Alpha; 14,5; 12,1", "Alpha, 12, 13"] {
            let rows = format!("{first}\nBeta; 12; 13; 14");
            let reply = odile.upload(&lists, &[("name", "Casts"), ("source", "a book"), ("rows", &rows)], &[]).await;
            assert!(reply.text("#rows-error").starts_with("Row 1:"), "{first}: {}", reply.text("main"));
        }
        let both = [("name", "Casts"), ("source", "a book"), ("rows", "A;12;13")];
        let reply = odile.upload(&lists, &both, &[("file", "casts.csv", b"B;12;13")]).await;
        assert!(reply.text("#file-error").contains("a file is chosen as well"), "{}", reply.text("main"));
        let one = [("name", "Casts"), ("source", "a book"), ("rows", "mould;ring one\nA;12")];
        let kept = odile.upload(&lists, &one, &[]).await;
        assert!(odile.follow(&kept).await.text(".notice").contains("with 1 mould."));
    }

    async fn a_list_of_another_project_is_not_there(lab: Lab) {
        let elsewhere = Site::named(&lab.site.db, FOREIGN).await;
        let mut tx = lab.site.db.write().await.unwrap();
        let mould = domain::rings::NewMould { name: "A".into(), rings_mm: vec![12.0] };
        let by = elsewhere.person(Role::Lead);
        let new = ("Far", "a book", &[mould][..]);
        let list = store::rings::insert_list(&mut tx, elsewhere.project, new, by, noon()).await.unwrap();
        tx.commit().await.unwrap();
        let mut odile = lab.sign_in(Role::Conservator).await;
        assert_eq!(odile.get(&format!("/moulds/{list}")).await.status, StatusCode::NOT_FOUND);
        let find = lab.site.find("12").add().await;
        assert!(!odile.page(&format!("/finds/{find}/rings?list={list}")).await.text("main").contains("Far"));
    }
}
