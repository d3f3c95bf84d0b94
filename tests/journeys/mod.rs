//! A person's task from beginning to end, in a real browser. Every page on the way is judged as it is reached.
//! The cast and their finds are those of the invented site, Vessenholt Quay.

/// Each journey twice in one browser: on a telephone over SQLite, then at a desk over PostgreSQL. `body` is the journey itself.
macro_rules! at_both_widths {
    ($(async fn $name:ident($lab:ident: Lab, $browser:ident: &Browser) $body:block)+) => {$(
        mod $name {
            use super::*;
            use tests::browser::{DESKTOP, PHONE};
            use tests::support::engines;

            pub async fn body($lab: Lab, $browser: &Browser) $body

            #[test]
            fn on_a_telephone_and_at_a_desk() {
                engines::run_on_both(async |sqlite: Lab, postgres: Lab| {
                    let mut browser = Browser::open(&sqlite).await;
                    browser.size(PHONE).await;
                    println!("on a telephone");
                    body(sqlite, &browser).await;
                    browser.turn_to(&postgres).await;
                    browser.size(DESKTOP).await;
                    println!("at a desk");
                    body(postgres, &browser).await;
                    browser.close().await;
                });
            }
        }
    )+};
}

/// A journey that is made at a desk, over PostgreSQL; its pages are judged on a telephone by the walk over all pages.
macro_rules! at_a_desk {
    ($(async fn $name:ident($lab:ident: Lab, $browser:ident: &Browser) $body:block)+) => {$(
        mod $name {
            use super::*;
            use tests::support::{Engine, engines};

            pub async fn body($lab: Lab, $browser: &Browser) $body

            #[test]
            fn at_a_desk() {
                engines::run(Engine::Postgres, async |lab: Lab| {
                    let browser = Browser::open(&lab).await;
                    body(lab, &browser).await;
                    browser.close().await;
                });
            }
        }
    )+};
}

/// The journey of that name once more on a telephone, with scripts turned off.
macro_rules! without_scripts {
    ($name:ident) => {
        #[test]
        fn the_same_goes_without_scripts() {
            use tests::support::{Engine, engines};
            engines::run(Engine::Postgres, async |lab: Lab| {
                let browser = Browser::open(&lab).await;
                browser.size(tests::browser::PHONE).await;
                browser.scripts(false).await;
                $name::body(lab, &browser).await;
                browser.close().await;
            });
        }
    };
}

mod account;
mod bench;
mod carving;
mod desk;
mod dispatch;
mod finds_list;
mod intake;
mod invitation;
mod looking;
mod opinions;
mod photographs;
mod projects;
mod register;
mod report;
mod rings;
mod rows;
mod runs;
mod shots;
mod sign_in;
mod stages;
mod stories;
mod stratigraphy;

use domain::ids::PersonId;
use std::path::PathBuf;
use tests::browser::Browser;
use tests::support::Lab;

/// Where the application of the tests says it is, in letters.
const BASE: &str = "http://127.0.0.1:8080";

/// Sends what waits and gives the path of the link in the letter that came last to an address.
async fn letter_link(lab: &Lab, address: &str) -> String {
    web::letterbox::send_due(&lab.app).await.unwrap();
    let letters = std::fs::read_dir(lab.folder().join("letters")).unwrap().map(|file| file.unwrap());
    let mut letters: Vec<_> =
        letters.map(|file| (file.metadata().unwrap().modified().unwrap(), file)).collect();
    letters.sort_by_key(|(at, _)| *at);
    let read = |file: &std::fs::DirEntry| plain(&std::fs::read_to_string(file.path()).unwrap());
    let ours = |mail: &String| mail.lines().any(|line| line.starts_with("To:") && line.contains(address));
    let mail = letters.iter().rev().map(|(_, file)| read(file)).find(ours);
    let mail = mail.unwrap_or_else(|| panic!("no letter to {address}"));
    let link = mail.lines().find_map(|line| line.strip_prefix(BASE));
    link.unwrap_or_else(|| panic!("no link in: {mail}")).to_owned()
}

/// A mail in quoted-printable (RFC 2045, 6.7), as far as links need it.
fn plain(mail: &str) -> String {
    mail.replace("=\r\n", "").replace("=\n", "").replace("=3D", "=")
}

/// Goes on as a person of the site who is signed in already, from the page they begin with.
async fn as_person(lab: &Lab, browser: &Browser, person: PersonId) {
    browser.go_on_as(&lab.sign_in_as(person).await).await;
    browser.goto("/").await;
}

/// Puts a file on the person's desk; where it lies.
fn lay_down(lab: &Lab, name: &str, bytes: &[u8]) -> PathBuf {
    let desk = lab.folder().join("desk");
    std::fs::create_dir_all(&desk).unwrap();
    std::fs::write(desk.join(name), bytes).unwrap();
    desk.join(name)
}
