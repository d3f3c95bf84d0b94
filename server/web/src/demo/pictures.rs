//! The pictures of the demo, drawn and taken in as a photographer would.
use super::Fault;
use crate::App;
use domain::ids::ImageId;
use seed::pictures::{Cleaning, Kind, Light, Picture, Subject, draw, jpeg};
use seed::vessenholt::load::looking;
use seed::vessenholt::load::{Placed, Site};
use store::images::{ImageWords, NewImage};

/// Finds that are photographed; each takes part of a second to draw and print.
const PHOTOGRAPHED: usize = 36;

/// Draws pictures of some finds, the told ones first, and a plate that shows several.
pub(super) async fn photograph(app: &App, site: &Site) -> Result<(), Fault> {
    let told = site.finds.iter().filter(|find| find.told);
    let others = site.finds.iter().filter(|find| !find.told);
    let drawn = told.chain(others).filter_map(|find| kind_of(find).map(|kind| (find, kind)));
    for (at, (find, kind)) in drawn.take(PHOTOGRAPHED).enumerate() {
        let mut subject = Subject::of(kind, at as u64, vec!["VSQ31".into(), find.number.clone()]);
        subject.cleaning = if at % 3 == 0 { Cleaning::After } else { Cleaning::Before };
        let cleaned = if subject.cleaning == Cleaning::After { "after cleaning" } else { "before cleaning" };
        let words = ImageWords {
            caption: format!("{}, {cleaned}", find.object),
            view: "front".into(),
            light: "visible".into(),
            credit: "Ansel Wrayburn".into(),
        };
        let image = take(app, site, subject, format!("VSQ31_{}.jpg", find.number), words).await?;
        let mut tx = app.db.write().await?;
        store::images::insert_find(&mut tx, image, find.id).await?;
        tx.commit().await?;
    }
    plate(app, site).await
}

async fn plate(app: &App, site: &Site) -> Result<(), Fault> {
    let mut subject = Subject::of(Kind::Nail, 91, vec!["VSQ31".into(), "PLATE 4".into()]);
    (subject.light, subject.pieces) = (Light::Xray, 7);
    let words = ImageWords {
        caption: "plate 4, hasp and nails".into(),
        view: "from above".into(),
        light: "X-ray".into(),
        credit: "Ansel Wrayburn".into(),
    };
    let image = take(app, site, subject, "VSQ31_plate_4.jpg".into(), words).await?;
    let mut tx = app.db.write().await?;
    looking::shared_plate(&mut tx, site, image).await?;
    Ok(tx.commit().await?)
}

/// Draws a picture and keeps it.
async fn take(
    app: &App,
    site: &Site,
    mut subject: Subject,
    file_name: String,
    words: ImageWords,
) -> Result<ImageId, Fault> {
    (subject.width, subject.height) = (1000, 750);
    let picture: Picture = tokio::task::spawn_blocking(move || draw(&subject)).await?;
    let mut incoming = app.files.receive(app.config.max_upload_bytes).await?;
    incoming.write(&jpeg(&picture, 88, None)).await?;
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
