//! The carving and its specialist (story 8), two people at once: Ilka Varnsted far away with a telephone, Petra Dunmoor at her
//! desk. What one does the other sees, and what comes to light later opens again what was settled.
use super::{as_person, letter_link};
use axum::http::StatusCode;
use domain::ids::{FindId, PersonId};
use domain::permission::Role;
use tests::browser::{Browser, PHONE};
use tests::support::{Engine, Lab, engines, noon};
use web::links;

const ILKA: &str = "ilka.varnsted@vsq31.example";

/// The panel with two raking shots, sent to both specialists blind; Maren Ash has answered.
async fn prepare(lab: &Lab) -> (FindId, PersonId) {
    let panel = lab.site.find("88").material("stone").object("panel, carved").add().await;
    let ilka = lab.site.another(Role::Specialist, "Ilka Varnsted").await;
    let maren = lab.site.another(Role::Specialist, "Maren Ash").await;
    let mut ansel = lab.sign_in(Role::Photographer).await;
    let path = format!("/finds/{panel}/images");
    for grey in [90, 160] {
        let file = crate::images::plain(grey);
        let name = format!("raking_{grey}.png");
        let reply = ansel.upload(&path, &[], &[("file", &name, &file)]).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text("main"));
    }
    let mut petra = lab.sign_in(Role::Manager).await;
    for specialist in [ilka, maren] {
        let (find, who) = (panel.to_string(), specialist.to_string());
        let fields = [
            ("find", find.as_str()),
            ("specialist", &who),
            ("question", "Which saint, and when was it carved?"),
            ("due_on", "2031-10-15"),
            ("blind", "yes"),
        ];
        let reply = petra.post(&links::assignment_new(lab.site.code), &fields).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text("main"));
    }
    let mut colleague = lab.sign_in_as(maren).await;
    crate::review::opine(&mut colleague, panel, "Saint John the Baptist", "AD 1417–1461", "submit").await;
    (panel, ilka)
}

/// A plate of the panel, taken after it was settled.
async fn xray(lab: &Lab, panel: FindId) {
    let mut odile = lab.sign_in(Role::Conservator).await;
    let find = panel.to_string();
    let fields = [
        ("find", find.as_str()),
        ("question", "Is the arm a later piece?"),
        ("area", "left arm"),
        ("verdict", "positive"),
        ("seen", "An iron dowel in the left arm, cut by machine"),
        ("plate_number", "12"),
        ("tube_kv", "90"),
        ("exposure_mas", "20"),
        ("distance_mm", "900"),
        ("view_angle", "from the front"),
        ("done_by", "Odile Marchbank"),
        ("done_on", "2031-09-15"),
        ("finished", "yes"),
    ];
    let form = format!("/projects/{}/examinations/xray/new", lab.site.code);
    let reply = odile.post(&form, &fields).await;
    assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text("main"));
}

async fn write(ilka: &Browser) {
    ilka.fill("Identification", "altarpiece panel, a saint").await;
    ilka.fill("Date, in your words", "late C14–mid C15").await;
    ilka.fill("What it rests on", "drapery and hem, from the raking shots").await;
    if !ilka.field("images").await.is_selected().await.unwrap() {
        ilka.tick("images").await;
    }
    ilka.press("Submit").await;
    if ilka.text("main").await.contains("See how the dates are read") {
        ilka.press("Submit").await;
    }
    ilka.assert_says("Your opinion on 88 is submitted").await;
}

async fn settle(petra: &Browser) {
    petra.choose("Outcome", "majority").await;
    petra.tick("Maren Ash: Saint John the Baptist").await;
    petra.fill("Identification", "Saint John the Baptist").await;
    petra.fill("Reason", "the lamb under the left hand").await;
    petra.press("Record the settlement").await;
    petra.assert_says("Its authors are written to").await;
}

async fn story(lab: Lab, ilka: &Browser, petra: &Browser) {
    let (panel, person) = prepare(&lab).await;
    as_person(&lab, petra, lab.site.person(Role::Manager)).await;
    petra.goto(&links::opinions(panel)).await;
    petra.assert_says("AD 1417 to AD 1461").await;
    petra.assert_silent("Ilka Varnsted").await;

    as_person(&lab, ilka, person).await;
    ilka.assert_page("My finds").await;
    ilka.follow("88").await;
    ilka.assert_page("88 panel").await;
    ilka.assert_silent("Saint John").await;
    ilka.follow("Write an opinion").await;
    write(ilka).await;

    // Petra, signed in all the while, sees both, what they share, and no third date
    petra.goto(&links::opinions(panel)).await;
    petra.assert_page("Opinions on 88").await;
    // by hand: the last third of the 14th century begins 1368, the middle third of the 15th ends 1467
    petra.assert_says("AD 1368 to AD 1467").await;
    petra.assert_says("All hold").await;
    petra.assert_says("AD 1417 to AD 1461").await;
    let bylines = petra.text(".opinions").await;
    assert_eq!(bylines.matches("preliminary, from images").count(), 2, "{bylines}");
    petra.assert_silent("Date of the find").await;
    settle(petra).await;

    // the letter leads Ilka to it
    ilka.goto(&letter_link(&lab, ILKA).await).await;
    ilka.assert_page("88 Saint John the Baptist").await;
    ilka.assert_says("Settled as majority: Saint John the Baptist. the lamb under the left hand").await;

    // a plate comes later, and what was settled is open again
    xray(&lab, panel).await;
    petra.go("Today").await;
    petra.assert_page("Today").await;
    petra.assert_says("Settlements open again").await;
    petra.follow("88").await;
    petra.assert_page("Opinions on 88").await;
    petra.assert_says("there is a new X-ray").await;
    petra.assert_says("An iron dowel in the left arm").await;
    ilka.goto(&letter_link(&lab, ILKA).await).await;
    ilka.assert_says("Open again since 15 Sep 2031, there is a new X-ray").await;

    // and she may do without such letters, by one click, signed in or not
    ilka.driver.delete_all_cookies().await.unwrap();
    ilka.goto(&foot_link(&lab).await).await;
    ilka.assert_page("Do without these letters?").await;
    ilka.press("Do without them").await;
    ilka.assert_page("These letters no longer come").await;
}

/// The link at the foot of letters about settlements to Ilka.
async fn foot_link(lab: &Lab) -> String {
    let mut tx = lab.site.db.write().await.unwrap();
    let ilka = store::people::find_by_email(&mut tx, ILKA).await.unwrap().unwrap();
    let kind = domain::letters::LetterKind::Settlement;
    let token = store::letter_wishes::token(&mut tx, ilka.id, kind, noon()).await.unwrap();
    tx.commit().await.unwrap();
    links::letters_off(&token)
}

#[test]
fn a_carving_is_judged_from_far_away_settled_and_opened_again_by_a_plate() {
    engines::run(Engine::Postgres, async |lab: Lab| {
        let (ilka, petra) = (Browser::open(&lab).await, Browser::open(&lab).await);
        ilka.size(PHONE).await;
        story(lab, &ilka, &petra).await;
        ilka.close().await;
        petra.close().await;
    });
}
