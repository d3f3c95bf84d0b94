//! Odile Marchbank weighs iron until it is dry and seals it (story 2, without its logger); she reads the baths of a pot and
//! goes round a leather that waits too long (story 5).
use chrono::Duration;
use domain::clocks::ClockKind;
use domain::finds::RecoveredState;
use domain::ids::FindId;
use domain::permission::Role;
use domain::runs::RunKind;
use domain::stages::{RouteStage, Stage};
use store::clocks::looks::{self, NewLook};
use tests::browser::Browser;
use tests::support::{Lab, noon};
use web::links;

/// One more weighing; the page says what it makes of it.
async fn weigh(browser: &Browser, (at, mass): (&str, &str), verdict: &str) {
    browser.fill("Mass", mass).await;
    browser.fill("Weighed", at).await;
    browser.press("Save the weighing").await;
    browser.assert_says("The weighing is on record").await;
    assert_eq!(browser.text("#verdict").await, verdict, "after {mass} g");
}

async fn leather(lab: &Lab) -> FindId {
    let recovered = (noon() - Duration::days(23)).date_naive();
    let shoe = lab.site.find("23").material("wood_leather").object("turnshoe").wet();
    let shoe = shoe.with(|find| find.recovered_on = Some(recovered)).add().await;
    let mut tx = lab.site.db.write().await.unwrap();
    let clock = store::clocks::list_running(&mut tx, shoe).await.unwrap()[0].id;
    let looked_at = noon() - Duration::days(9);
    let rule = store::clocks::rules::find_of(&mut tx, shoe, ClockKind::Wet).await.unwrap();
    let look = NewLook {
        clock,
        find: shoe,
        in_order: true,
        put_right: false,
        words: String::new(),
        indicator_rh: None,
        looked_at,
        next_at: rule.next_look_at(looked_at, true),
        done_by: "O. Marchbank".into(),
    };
    let by = lab.site.person(Role::Conservator);
    looks::insert_many(&mut tx, &[look], by, looked_at).await.unwrap();
    tx.commit().await.unwrap();
    shoe
}

/// A pot that came damp, baths before its drying.
async fn pot(lab: &Lab) -> FindId {
    let damp = |find: &mut store::finds::NewFind| find.recovered_state = RecoveredState::Damp;
    let pot = lab.site.find("105").material("ceramic").object("jar").with(damp).add().await;
    let mut tx = lab.site.db.write().await.unwrap();
    let mut route = store::finds::progress::find_progress(&mut tx, pot).await.unwrap().route;
    let drying = route.0.iter().position(|stage| stage.stage == Stage::Drying).unwrap();
    route.0.insert(drying, RouteStage { stage: Stage::Desalination, gates: Vec::new() });
    store::finds::update_own_route(&mut tx, pot, Some((&route, "salts from the silt"))).await.unwrap();
    tx.commit().await.unwrap();
    pot
}

async fn read_bath(browser: &Browser, (at, reading): (&str, &str)) {
    browser.fill("Reading at its end", reading).await;
    browser.fill("Read", at).await;
    browser.fill("Water", "2.5").await;
    browser.fill("Blank", "4").await;
    browser.press("Save the bath").await;
    browser.assert_says("The bath is on record").await;
}

at_a_desk! {
    async fn iron_is_weighed_until_it_is_dry_and_only_then_sealed(lab: Lab, browser: &Browser) {
        let damp = |find: &mut store::finds::NewFind| find.recovered_state = RecoveredState::Damp;
        let hinge = lab.site.find("61").material("iron").object("strap hinge").with(damp).add().await;
        browser.sign_in(&lab.site.email(Role::Conservator)).await;
        browser.goto(&links::find(hinge)).await;
        browser.unfold("Runs").await;
        browser.follow("Begin a drying run").await;
        browser.assert_page("Begin a drying run").await;

        // the same masses from a 0.1 g balance prove nothing
        browser.fill("Begun", "2031-09-08T08:30").await;
        browser.fill("Mass", "182.40").await;
        browser.fill("The balance reads to", "0.1").await;
        browser.press("Begin the run").await;
        browser.assert_says("cannot prove constant mass").await;
        browser.assert_page("Begin a drying run").await;
        browser.fill("The balance reads to", "0.01").await;
        browser.press("Begin the run").await;
        browser.assert_page("Drying run of 61").await;

        weigh(browser, ("2031-09-09T08:30", "175.10"), "Drying").await;
        weigh(browser, ("2031-09-10T08:30", "173.00"), "Drying").await;
        weigh(browser, ("2031-09-11T08:30", "172.90"), "Drying").await;
        browser.goto(&links::packing_of(lab.site.code, hinge)).await;
        browser.fill("Name of a new box", "Iron 3").await;
        browser.fill("Container", "clip-lid box, 12 L").await;
        browser.press("Pack").await;
        browser.assert_says("finish its drying before it is packed").await;
        browser.goto(&links::find(hinge)).await;
        browser.follow("drying run, begun 8 Sep 2031, 08:30").await;
        weigh(browser, ("2031-09-12T08:30", "172.90"), "Dry").await;
        browser.assert_says("the last changes were 0.06 % and 0 %").await;
        browser.assert_says("9.50 g, 5.2 %").await;
        browser.assert_page("Drying run of 61").await;
        browser.tick("Dry: the mass is constant").await;
        browser.press("End the run").await;
        browser.assert_says("The run has ended: dry. Packing is open.").await;

        browser.goto(&links::packing_of(lab.site.code, hinge)).await;
        browser.fill("Name of a new box", "Iron 3").await;
        browser.fill("Container", "clip-lid box, 12 L").await;
        for (label, value) in [
            ("Gel", "silica gel"),
            ("Mass of gel", "300"),
            ("Reservoir of the gel", "1.5"),
            ("Where that is from", "supplier’s curve"),
            ("Humidity packed in", "10"),
            ("Humidity around the box", "60"),
            ("Temperature", "20"),
            ("Volume of the box", "12"),
            ("Air exchange, assumed", "0.4"),
            ("Gross mass", "8.2"),
        ] {
            browser.fill(label, value).await;
        }
        browser.press("Work out the gel").await;
        browser.assert_says("within 12 % for about 22 days").await;
        browser.assert_page("Pack 61").await;
        browser.press("Pack").await;
        browser.assert_says("Look at its indicator on 7 Oct 2031").await;
        browser.assert_says("8.2 kg. Close to the body").await;
        browser.assert_page("Iron 3").await;
        browser.follow("Move it").await;
        browser.assert_says("There is no other place yet").await;
    }

    async fn a_pot_is_bathed_to_its_end_rule_and_a_leather_waits_too_long(lab: Lab, browser: &Browser) {
        let (pot, shoe) = (pot(&lab).await, leather(&lab).await);
        let fresh = (noon() - Duration::days(2)).date_naive();
        lab.site.find("24").material("wood_leather").wet().with(|find| find.recovered_on = Some(fresh)).add().await;
        browser.sign_in(&lab.site.email(Role::Conservator)).await;
        browser.goto(&format!("{}?kind=wet", links::ROUNDS)).await;
        browser.assert_says("9 days past its limit, look 2 days overdue").await;
        assert!(browser.text(".pack").await.contains("23"), "the shoe stands first");
        browser.goto(&links::find(shoe)).await;
        browser.assert_says("9 days past its limit").await;

        browser.goto(&links::run_of(lab.site.code, RunKind::Desalination, pot)).await;
        browser.assert_page("Begin a desalination run").await;
        for (label, value) in [
            ("Begun", "2031-08-01T08:30"),
            ("Mass in the bath", "850"),
            ("Clean at or below", "40"),
            ("Why this value", "what a clean sherd gives in this water"),
        ] {
            browser.fill(label, value).await;
        }
        browser.press("Begin the run").await;
        for bath in [
            ("2031-08-03T08:30", "310"),
            ("2031-08-06T08:30", "140"),
            ("2031-08-10T08:30", "66"),
            ("2031-08-15T08:30", "31"),
            ("2031-08-21T08:30", "15"),
        ] {
            read_bath(browser, bath).await;
        }
        browser.assert_says("900, 400, 182, 79, 32 µS/cm · L/kg").await;
        browser.assert_says("Not at the end: one more clean bath asked for").await;
        browser.assert_page("Desalination run of 105").await;
        browser.tick("Finished: salts enough are out").await;
        browser.press("End the run").await;
        browser.assert_says("a run is not finished without a reason").await;
        browser.assert_page("Desalination run of 105").await;
        browser.fill("Why it stops here", "the next bath reads the blank; T. Reedling agrees").await;
        browser.press("End the run").await;
        browser.assert_says("What comes from a bath is dried before it is packed").await;
        browser.assert_says("end rule not met; the next bath reads the blank").await;
    }
}
