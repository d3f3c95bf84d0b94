//! Seeds the demo.
use crate::App;
use seed::pictures::{Cleaning, Kind, Picture, Subject, draw, jpeg};
use seed::vessenholt::cast::CAST;
use seed::vessenholt::load::{self, Placed, Site};
use store::images::{ImageWords, NewImage};

/// How to sign in as one of the demo's people.
pub struct DemoPerson {
    pub role: String,
    pub email: String,
    pub password: &'static str,
}

/// One password for all of them: the folder is thrown away.
const PASSWORD: &str = "quayside-lantern-42";

/// Fills an empty database with the invented sites.
pub async fn seed(app: &App) -> Result<Vec<DemoPerson>, Fault> {
    let hash = app.passwords.hash(PASSWORD.into()).await?;
    let mut tx = app.db.write().await?;
    let site = load::load(&mut tx, &hash, app.clock.now()).await?;
    tx.commit().await?;
    photograph(app, &site).await?;
    let roles = |person: &seed::vessenholt::cast::Person| match person.roles {
        [] => "administrator".to_owned(),
        roles => roles.iter().map(|r| r.label()).collect::<Vec<_>>().join(", "),
    };
    let line = |person| DemoPerson {
        role: roles(person),
        email: format!("{}@vessenholt.example", person.local),
        password: PASSWORD,
    };
    Ok(CAST.iter().map(line).collect())
}

/// Finds that are photographed; each takes part of a second to draw and print.
const PHOTOGRAPHED: usize = 36;

type Fault = Box<dyn std::error::Error + Send + Sync>;

/// Draws pictures of some finds, the told ones first, and takes them in as a photographer would.
async fn photograph(app: &App, site: &Site) -> Result<(), Fault> {
    let told = site.finds.iter().filter(|find| find.told);
    let others = site.finds.iter().filter(|find| !find.told);
    let drawn = told.chain(others).filter_map(|find| kind_of(find).map(|kind| (find, kind)));
    for (at, (find, kind)) in drawn.take(PHOTOGRAPHED).enumerate() {
        let mut subject = Subject::of(kind, at as u64, vec!["VSQ31".into(), find.number.clone()]);
        subject.cleaning = if at % 3 == 0 { Cleaning::After } else { Cleaning::Before };
        (subject.width, subject.height) = (1000, 750);
        let cleaned = if subject.cleaning == Cleaning::After { "after cleaning" } else { "before cleaning" };
        let picture: Picture = tokio::task::spawn_blocking(move || draw(&subject)).await?;
        let mut incoming = app.files.receive(app.config.max_upload_bytes).await?;
        incoming.write(&jpeg(&picture, 88, None)).await?;
        let taken = app.darkroom.admit(&app.files, incoming.seal().await?).await?;
        let words = ImageWords {
            caption: format!("{}, {cleaned}", find.object),
            view: "front".into(),
            light: "visible".into(),
            credit: "Ansel Wrayburn".into(),
        };
        let new = NewImage {
            project: site.project,
            sha256: taken.checksum.to_string(),
            file_name: format!("VSQ31_{}.jpg", find.number),
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
        store::images::insert_find(&mut tx, id, find.id).await?;
        tx.commit().await?;
    }
    Ok(())
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
