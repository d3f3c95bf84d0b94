//! PDF and drawings: attached, handed out as files and never as pages, withdrawn.
use super::plain;
use axum::http::{StatusCode, header};
use domain::ids::FindId;
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::{Lab, Reply, Visitor};

const SVG: &[u8] = b"<svg xmlns=\"http://www.w3.org/2000/svg\"><script>alert(1)</script></svg>";
const PDF: &[u8] = b"%PDF-1.7 of no page";

async fn attach(
    visitor: &mut Visitor,
    find: FindId,
    typed: &[(&str, &str)],
    files: &[(&str, &[u8])],
) -> Reply {
    let files: Vec<_> = files.iter().map(|(name, bytes)| ("file", *name, *bytes)).collect();
    visitor.upload(&format!("/finds/{find}/attachments"), typed, &files).await
}

async fn first(visitor: &mut Visitor, find: FindId) -> String {
    let page = visitor.page(&format!("/finds/{find}/attachments")).await;
    page.attributes("a[download]", "href").first().cloned().unwrap_or_default()
}

on_both_engines! {
    async fn a_drawing_is_handed_out_as_a_file_whatever_it_carries(lab: Lab) {
        let find = lab.site.find("88").add().await;
        let mut ansel = lab.sign_in(Role::Photographer).await;
        let saved = attach(&mut ansel, find, &[("title", "front, 1:5")], &[("VSQ31_88.svg", SVG), ("note.html", PDF)]).await;
        assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text(".wrong"));
        let page = ansel.page(&format!("/finds/{find}/attachments")).await;
        let hrefs = page.attributes("a[download]", "href");
        assert_eq!(hrefs.len(), 2);
        for (href, bytes, kind, name) in [(&hrefs[0], SVG, "application/octet-stream", "VSQ31_88.svg"), (&hrefs[1], PDF, "application/pdf", "note.html.pdf")] {
            let file = ansel.get(href).await;
            let said = |name: header::HeaderName| file.headers.get(name).unwrap().to_str().unwrap().to_owned();
            assert_eq!(file.body, bytes);
            assert_eq!(said(header::CONTENT_TYPE), kind);
            assert_eq!(said(header::X_CONTENT_TYPE_OPTIONS), "nosniff");
            assert!(said(header::CONTENT_DISPOSITION).starts_with(&format!("attachment; filename=\"{name}\"")), "{}", said(header::CONTENT_DISPOSITION));
        }
        assert!(ansel.page(&format!("/finds/{find}")).await.text(".journal").contains("attached the file VSQ31_88.svg"));
    }

    async fn what_is_neither_pdf_nor_drawing_is_refused_by_name(lab: Lab) {
        let find = lab.site.find("88").add().await;
        let mut ansel = lab.sign_in(Role::Photographer).await;
        let refused = attach(&mut ansel, find, &[], &[("a.png", &plain(1)), ("b.exe", b"MZ\0\0"), ("c.pdf", PDF), ("d.pdf", b"")]).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(refused.count(".wrong li"), 3, "{}", refused.text(".wrong"));
        assert!(!first(&mut ansel, find).await.is_empty(), "the good one is kept");
    }

    async fn a_file_that_tells_the_findspot_is_for_those_who_may_know_it(lab: Lab) {
        let find = lab.site.find("88").add().await;
        let mut ansel = lab.sign_in(Role::Photographer).await;
        attach(&mut ansel, find, &[("findspot", "yes")], &[("plan.pdf", PDF)]).await;
        assert_eq!(first(&mut ansel, find).await, "");
        lab.site.clear(Role::Conservator).await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let href = first(&mut odile, find).await;
        assert_eq!(odile.get(&href).await.status, StatusCode::OK);
        assert_eq!(ansel.get(&href).await.status, StatusCode::NOT_FOUND);
    }

    async fn a_withdrawn_file_is_kept_and_out_of_reach(lab: Lab) {
        let find = lab.site.find("88").add().await;
        let mut ansel = lab.sign_in(Role::Photographer).await;
        attach(&mut ansel, find, &[], &[("plan.pdf", PDF)]).await;
        let href = first(&mut ansel, find).await;
        let path = format!("{href}/withdrawal");
        let refused = ansel.post(&path, &[("to", "withdraw"), ("reason", " ")]).await;
        assert!(refused.text(".wrong").contains("Say why"), "{}", refused.text(".wrong"));
        assert_eq!(ansel.post(&path, &[("to", "withdraw"), ("reason", "wrong find")]).await.status, StatusCode::SEE_OTHER);
        assert_eq!(ansel.get(&href).await.status, StatusCode::NOT_FOUND);
        let again = attach(&mut ansel, find, &[], &[("plan.pdf", PDF)]).await;
        assert!(again.text(".wrong").contains("wrong find"), "{}", again.text(".wrong"));
        ansel.post(&path, &[("to", "return"), ("reason", "right after all")]).await;
        assert_eq!(ansel.get(&href).await.status, StatusCode::OK);
    }
}
