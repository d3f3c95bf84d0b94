//! The pictures of the demo, drawn and taken in as a photographer would.
use super::Fault;
use crate::App;
use domain::ids::{FindId, ImageId};
use domain::spot_tests::Spot;
use domain::stages::{Stage, StageState};
use futures_util::{StreamExt, TryStreamExt};
use pictures::{Cleaning, Kind, Light, Subject, View, draw, jpeg};
use seed::vessenholt::load::looking;
use seed::vessenholt::load::{Placed, Site};
use seed::vessenholt::stories::PANEL;
use store::attachments::NewAttachment;
use store::images::{ImageWords, NewImage};
use tokio::task::JoinHandle;

/// Finds that are photographed; each takes part of a second to draw and print.
const PHOTOGRAPHED: usize = 36;
/// Where the carved panel was tested, in percent of its photograph.
const PANEL_SITES: [(f64, f64); 5] = [(36.0, 84.0), (50.0, 85.0), (63.0, 84.0), (40.0, 22.0), (57.0, 30.0)];

/// Pictures that are drawn ahead, while those before them are taken in.
const AHEAD: usize = 3;

/// Draws pictures of some finds, the told ones first, and a plate that shows several.
pub(super) async fn photograph(app: &App, site: &Site) -> Result<(), Fault> {
    let clean = cleaned(app, site).await?;
    let told = site.finds.iter().filter(|find| find.told);
    let others = site.finds.iter().filter(|find| !find.told);
    let depicted = told.chain(others).filter_map(|find| kind_of(find).map(|kind| (find, kind)));
    let begun = depicted.take(PHOTOGRAPHED).enumerate().map(|(at, (find, kind))| {
        let mut subject = Subject::of(kind, at as u64, vec!["VSQ31".into(), find.number.clone()]);
        let after = at % 2 == 0 && find.number != PANEL && clean.contains(&find.id);
        subject.cleaning = if after { Cleaning::After } else { Cleaning::Before };
        let drawing = drawing(subject.clone());
        async move { drawing.await.map(|jpeg| (at, find, subject, jpeg)) }
    });
    let mut drawn = futures_util::stream::iter(begun).buffered(AHEAD);
    while let Some((at, find, subject, jpeg)) = drawn.try_next().await? {
        let after = subject.cleaning == Cleaning::After;
        let when = if after { "after cleaning" } else { "before cleaning" };
        let words = ImageWords {
            caption: format!("{}, {when}", find.object),
            view: "front".into(),
            light: "visible".into(),
            credit: "Ansel Wrayburn".into(),
            moment: if after { "after".into() } else { "before".into() },
            // three in a row without a scale noted
            scale_mm: (at % 12 > 2).then_some(50),
        };
        if find.number == PANEL {
            of_panel(app, site, find, &subject).await?;
        }
        let image = take(app, site, &jpeg, format!("VSQ31_{}.jpg", find.number), words).await?;
        let mut tx = app.db.write().await?;
        store::images::insert_find(&mut tx, image, find.id).await?;
        if find.number == PANEL {
            mark_tests(&mut tx, find, image).await?;
        }
        tx.commit().await?;
    }
    plate(app, site).await?;
    in_tray(app, site).await?;
    documents(app, site).await
}

/// The finds that dry or wet cleaning is behind.
async fn cleaned(app: &App, site: &Site) -> Result<Vec<FindId>, Fault> {
    let mut tx = app.db.read().await?;
    let mut clean = Vec::new();
    for find in &site.finds {
        let progress = store::finds::progress::find_progress(&mut tx, find.id).await?;
        let done = |stage| progress.state(stage) == StageState::Done;
        if done(Stage::DryClean) || done(Stage::WetClean) {
            clean.push(find.id);
        }
    }
    Ok(clean)
}

/// Begins to draw, in the size of the demo; gives a JPEG file.
fn drawing(mut subject: Subject) -> JoinHandle<Vec<u8>> {
    (subject.width, subject.height) = (1000, 750);
    tokio::task::spawn_blocking(move || jpeg(&draw(&subject), 88, None))
}

/// Marks the tests of the panel on its photograph.
async fn mark_tests(tx: &mut store::Tx, find: &Placed, image: ImageId) -> Result<(), Fault> {
    let tests = store::work::spot_tests::list_of_find(tx, find.id).await?;
    for (test, (x_pct, y_pct)) in tests.iter().zip(PANEL_SITES) {
        let spot = Spot { image, x_pct, y_pct };
        store::work::spot_tests::update_spot(tx, test.row.record_id, spot).await?;
    }
    Ok(())
}

/// The panel in other lights, from behind, and after dry cleaning; from behind the visible pair is still to be taken.
async fn of_panel(app: &App, site: &Site, find: &Placed, subject: &Subject) -> Result<(), Fault> {
    let others = [
        (View::Front, "front", Light::Raking, "raking light", Cleaning::Before),
        (View::Front, "front", Light::Ultraviolet, "ultraviolet", Cleaning::Before),
        (View::Front, "front", Light::Visible, "visible light", Cleaning::After),
        (View::Back, "back", Light::Ultraviolet, "ultraviolet", Cleaning::Before),
    ];
    for (view, view_words, light, light_words, cleaning) in others {
        let moment = if cleaning == Cleaning::After { "after" } else { "before" };
        let words = ImageWords {
            caption: format!("{}, {view_words}, {light_words}, {moment} dry cleaning", find.object),
            view: view_words.into(),
            light: light_words.into(),
            credit: "Ansel Wrayburn".into(),
            moment: moment.into(),
            scale_mm: Some(50),
        };
        let subject = Subject { view, light, cleaning, ..subject.clone() };
        let name =
            format!("VSQ31_{}_{view_words}_{moment}_{}.jpg", find.number, light_words.replace(' ', "-"));
        let image = take(app, site, &drawing(subject).await?, name, words).await?;
        let mut tx = app.db.write().await?;
        store::images::insert_find(&mut tx, image, find.id).await?;
        tx.commit().await?;
    }
    Ok(())
}

/// Two photographs under the names a camera gave them.
async fn in_tray(app: &App, site: &Site) -> Result<(), Fault> {
    for (kind, name) in [(Kind::Comb, "IMG_2041.JPG"), (Kind::Key, "IMG_2042.JPG")] {
        let words = ImageWords { credit: "Ansel Wrayburn".into(), ..ImageWords::default() };
        let jpeg = drawing(Subject::of(kind, 41, vec!["VSQ31".into()])).await?;
        take(app, site, &jpeg, name.into(), words).await?;
    }
    Ok(())
}

/// A measured drawing and a note of the panel, and a drawing that waits in the tray.
async fn documents(app: &App, site: &Site) -> Result<(), Fault> {
    let panel = Some(site.find(PANEL).id);
    let drawing = b"<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 60 40\"><path d=\"M5 35V8q25-8 50 0v27z\" fill=\"none\" stroke=\"#000\"/></svg>".as_slice();
    let profile = b"<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 60 40\"><path d=\"M5 5q4 20 20 30h30\" fill=\"none\" stroke=\"#000\"/></svg>".as_slice();
    let note = b"%PDF-1.4\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj\n3 0 obj<</Type/Page/Parent 2 0 R/MediaBox[0 0 595 842]>>endobj\ntrailer<</Root 1 0 R>>\n%%EOF\n".as_slice();
    let files = [
        ("VSQ31_88_drawing.svg", "svg", drawing, "measured drawing, front, 1:5", panel),
        ("VSQ31_88_stone.pdf", "pdf", note, "note on the stone", panel),
        ("profile 12.svg", "svg", profile, "", None),
    ];
    for (name, kind, bytes, title, find) in files {
        let stored = app.files.put(bytes).await?;
        let new = NewAttachment {
            project: site.project,
            sha256: stored.checksum.to_string(),
            file_name: name.into(),
            kind: kind.into(),
            bytes: i64::try_from(stored.size_bytes)?,
            title: title.into(),
            findspot: false,
        };
        let mut tx = app.db.write().await?;
        let by = site.person("ansel");
        let (id, _) = store::attachments::insert(&mut tx, &new, by, app.clock.now()).await?;
        if let Some(find) = find {
            store::attachments::insert_find(&mut tx, id, find).await?;
        }
        tx.commit().await?;
    }
    Ok(())
}

async fn plate(app: &App, site: &Site) -> Result<(), Fault> {
    let mut subject = Subject::of(Kind::Nail, 91, vec!["VSQ31".into(), "PLATE 4".into()]);
    (subject.light, subject.pieces) = (Light::Xray, 7);
    let words = ImageWords {
        caption: "plate 4, seven nails".into(),
        view: "from above".into(),
        light: "X-ray".into(),
        credit: "Ansel Wrayburn".into(),
        ..ImageWords::default()
    };
    let image = take(app, site, &drawing(subject).await?, "VSQ31_plate_4.jpg".into(), words).await?;
    let mut tx = app.db.write().await?;
    looking::shared_plate(&mut tx, site, image).await?;
    Ok(tx.commit().await?)
}

/// Takes a picture in.
async fn take(
    app: &App,
    site: &Site,
    jpeg: &[u8],
    file_name: String,
    words: ImageWords,
) -> Result<ImageId, Fault> {
    let mut incoming = app.files.receive(app.config.max_upload_bytes).await?;
    incoming.write(jpeg).await?;
    let taken = app.darkroom.admit(&app.files, incoming.seal().await?).await?;
    let new = NewImage {
        project: site.project,
        sha256: taken.checksum.to_string(),
        file_name,
        media_type: "image/jpeg".into(),
        bytes: i64::try_from(taken.size_bytes)?,
        width_px: i64::from(taken.inspection.width_px),
        height_px: i64::from(taken.inspection.height_px),
        taken_at: String::new(),
        camera: String::new(),
        has_position: false,
        words,
    };
    let mut tx = app.db.write().await?;
    let (id, _) = store::images::insert(&mut tx, &new, site.person("ansel"), app.clock.now()).await?;
    tx.commit().await?;
    Ok(id)
}

/// What a find is drawn as.
fn kind_of(find: &Placed) -> Option<Kind> {
    let has = |word: &str| find.object.contains(word);
    Some(match find.material.as_str() {
        "stone" if has("panel") || has("figure") => Kind::AlabasterPanel,
        "stone" => Kind::MouldedStone,
        "glass" if has("window") => Kind::Quarry,
        "glass" => Kind::GlassRim,
        "copper_alloy" if has("brooch, bow") => Kind::BowBrooch,
        "copper_alloy" if has("brooch") => Kind::RingBrooch,
        "copper_alloy" if has("pin") => Kind::DressPin,
        "copper_alloy" => Kind::Buckle,
        "iron" if has("knife") => Kind::Knife,
        "iron" if has("key") => Kind::Key,
        "iron" if has("hasp") => Kind::Lump,
        "iron" => Kind::Nail,
        "lead" => Kind::LeadCame,
        "silver_gold" => Kind::FingerRing,
        "coin" if has("radiate") => Kind::RomanCoin,
        "coin" => Kind::PennyCoin,
        "ceramic" if has("dish") => Kind::RedGlossSherd,
        "ceramic" if has("jug") => Kind::RimSherd,
        "ceramic" => Kind::BodySherd,
        "plaster_cbm" if has("plaster") => Kind::WallPlaster,
        "plaster_cbm" => Kind::RoofTile,
        "worked_bone" => Kind::Comb,
        "animal_bone" => Kind::AnimalBone,
        "wood_leather" if has("bowl") => Kind::Bowl,
        "wood_leather" => Kind::ShoeSole,
        "textile" => Kind::Textile,
        "cremated_bone" => Kind::Urn,
        "amber_jet_shale" => Kind::JetBead,
        "composite" => Kind::HandledKnife,
        _ => return None,
    })
}
