//! Small rules within the web application that no page shows by itself.
use axum::http::{HeaderMap, HeaderValue};
use chrono::{Duration, NaiveDate, TimeZone, Utc};
use domain::dispatch::{Amount, Gap, Way};
use domain::ids::{FindId, SheetId};
use media::{Kind, Variant};
use std::net::IpAddr;
use web::config::Settings;
use web::inside::{
    Code, OpinionForm, amount, client_address, code_in, disposition, due, endings, fitted, gap, is_secure,
    numbers, own_path, plain_name, round_marks, subscriber,
};
use web::people::limits::SignInLimits;
use web::rounds::words::standing;

#[test]
fn a_downloaded_file_ends_as_what_it_is() {
    assert_eq!(
        disposition("nail.JPG", endings(Kind::Jpeg)),
        "attachment; filename=\"nail.JPG\"; filename*=UTF-8''nail.JPG"
    );
    assert_eq!(
        disposition("nál\".html", endings(Kind::Png)),
        "attachment; filename=\"n_l_.html.png\"; filename*=UTF-8''n%C3%A1l%22.html.png"
    );
}

#[test]
fn a_files_name_is_its_last_part() {
    assert_eq!(plain_name("C:\\fakepath\\IMG 1.jpg"), "IMG 1.jpg");
    assert_eq!(plain_name("../../etc/passwd"), "passwd");
    assert_eq!(plain_name("a\u{7}b.png"), "ab.png");
}

#[test]
fn a_print_keeps_the_shape_and_never_grows() {
    assert_eq!(fitted((6000, 4000), Variant::Thumb), (400, 267));
    assert_eq!(fitted((300, 200), Variant::Thumb), (300, 200));
    assert_eq!(fitted((10, 30_000), Variant::Thumb), (1, 400));
}

#[test]
fn amounts_and_gaps_read_as_people_say_them() {
    assert_eq!(amount(Amount { pieces: 17, mass_g: Some(41.2) }), "17 pieces, 41.2 g");
    assert_eq!(amount(Amount { pieces: 1, mass_g: None }), "1 piece");
    assert_eq!(amount(Amount { pieces: 0, mass_g: Some(812.0) }), "812 g");
    let one = Gap { pieces: -1, mass_g: None };
    assert_eq!(gap(one, Way::Back), "1 piece fewer came back than expected");
    let both = Gap { pieces: 2, mass_g: Some(-2.4) };
    assert_eq!(gap(both, Way::There), "2 pieces more and 2.4 g less arrived than was sent");
}

#[test]
fn a_due_day_is_told_from_today() {
    let day = |d| NaiveDate::from_ymd_opt(2031, 10, d).unwrap_or_default();
    assert_eq!(due(day(10), day(1)), "due back 10 Oct 2031");
    assert_eq!(due(day(10), day(10)), "due back today");
    assert_eq!(due(day(10), day(13)), "3 days overdue");
}

#[test]
fn a_draft_of_an_earlier_version_is_read_with_nothing_lost() {
    let old = r#"{"identification":"cup","date_words":"late C14","seen_as":"image","parallels":"none found","finality":"final"}"#;
    let form = OpinionForm::of_draft(old).unwrap();
    assert_eq!(
        (form.date_words.as_slice(), form.seen_as.as_slice()),
        (&["late C14".to_owned()][..], &["image".to_owned()][..])
    );
    assert_eq!((form.parallels.as_str(), form.finality.as_str()), ("none found", "final"));
}

#[test]
fn marks_are_round_and_lie_on_the_axis() {
    let words: Vec<String> = round_marks(172.4, 183.0).into_iter().map(|(_, words)| words).collect();
    assert_eq!(words, ["174", "176", "178", "180", "182"]);
    let words: Vec<String> = round_marks(0.0, 0.55).into_iter().map(|(_, words)| words).collect();
    assert_eq!(words, ["0.0", "0.1", "0.2", "0.3", "0.4", "0.5"]);
}

#[test]
fn the_leather_of_the_wet_round_story_is_past_its_limit_and_overdue_for_a_look() {
    // Recovered 23 days ago with 14 days allowed, looked at 9 days ago with 7 days between looks.
    let now = Utc.with_ymd_and_hms(2031, 9, 15, 12, 0, 0).single().unwrap();
    let standing = standing(
        Some(now - Duration::days(23) + Duration::days(14)),
        Some(now - Duration::days(9) + Duration::days(7)),
        now,
    );
    assert_eq!(standing.words, "9 days past its limit, look 2 days overdue");
    assert!(standing.overdue);
}

#[test]
fn what_is_to_come_is_a_day() {
    let now = Utc.with_ymd_and_hms(2031, 9, 15, 12, 0, 0).single().unwrap();
    let standing = standing(None, Some(now + Duration::days(3)), now);
    assert_eq!((standing.words.as_str(), standing.overdue), ("next look 18 Sep 2031", false));
}

#[test]
fn plain_http_is_refused_off_this_machine() {
    for fine in ["https://finds.example", "http://127.0.0.1:8080", "http://localhost", "http://[::1]:80"] {
        assert!(is_secure(fine).is_ok(), "{fine}");
    }
    for bad in [
        "http://finds.example",
        "http://127.0.0.1.example",
        "finds.example",
        "https://a/b",
        "http://10.0.0.5:80",
    ] {
        assert!(is_secure(bad).is_err(), "{bad}");
    }
}

#[test]
fn only_a_trusted_proxy_is_believed() {
    let mut settings = Settings::in_folder(std::path::Path::new("x"), ([127, 0, 0, 1], 80).into());
    settings.trusted_proxy = vec![[10, 0, 0, 1].into(), [10, 0, 0, 2].into()];
    let config = settings.check().unwrap();
    let mut headers = HeaderMap::new();
    headers.insert("x-forwarded-for", HeaderValue::from_static("203.0.113.9, 198.51.100.4, 10.0.0.2"));
    let proxy = IpAddr::from([10, 0, 0, 1]);
    assert_eq!(client_address(&config, proxy, &headers), IpAddr::from([198, 51, 100, 4]));
    let stranger = IpAddr::from([192, 0, 2, 1]);
    assert_eq!(client_address(&config, stranger, &headers), stranger);
}

#[test]
fn nobody_is_led_to_another_site() {
    for bad in ["https://elsewhere.example", "//elsewhere.example", "/\\elsewhere.example", "x", "/a\tb"] {
        assert_eq!(own_path(bad), "/", "{bad}");
    }
    assert_eq!(own_path("/my-finds?due=1"), "/my-finds?due=1");
}

#[test]
fn hammering_an_account_from_everywhere_does_not_shut_its_owner_out() {
    let limits = SignInLimits::default();
    for n in 0..60u8 {
        limits.allow("odile@vessenholt.example", IpAddr::from([192, 0, 2, n]), false);
    }
    let home = IpAddr::from([198, 51, 100, 7]);
    assert!(!limits.allow("odile@vessenholt.example", home, false));
    assert!(limits.allow("odile@vessenholt.example", home, true));
    for _ in 0..20 {
        limits.allow("odile@vessenholt.example", home, false);
    }
    assert!(limits.allow("odile@vessenholt.example", home, true), "nor from the desk beside hers");
}

#[test]
fn an_ipv6_subscriber_is_one_subscriber() {
    let [a, b]: [IpAddr; 2] = ["2001:db8:1:2::1", "2001:db8:1:2:ffff::9"].map(|s| s.parse().unwrap());
    assert_eq!(subscriber(a), subscriber(b));
    let mapped: IpAddr = "::ffff:192.0.2.1".parse().unwrap();
    assert_eq!(subscriber(mapped), IpAddr::from([192, 0, 2, 1]));
}

/// An id as labels bear it.
const ID: &str = "019a3b2c-0000-7000-8000-000000000000";

#[test]
fn an_address_is_read_wherever_it_was_printed() {
    let id = FindId(ID.parse().unwrap());
    for typed in [
        format!("https://finds.example/finds/{ID}"),
        format!(" HTTP://127.0.0.1:8080/FINDS/{}\r", ID.to_uppercase()),
        format!("https://finds.example/finds/{ID}?x=1"),
        ID.to_owned(),
    ] {
        assert_eq!(code_in(&typed), Some(Code::Find(id)), "{typed}");
    }
    assert_eq!(code_in(&format!("https://x/rounds/sheets/{ID}")), Some(Code::Sheet(SheetId(id.0))));
    for typed in ["61", "/finds/61", "https://finds.example/finds/é", ""] {
        assert_eq!(code_in(typed), None, "{typed}");
    }
}

#[test]
fn a_number_may_bear_the_code_of_its_project() {
    assert_eq!(numbers("vsq31-61", "VSQ31"), ["vsq31-61", "VSQ31-61", "61"]);
    assert_eq!(numbers("VSQ31 SF 2", "VSQ31"), ["VSQ31 SF 2", "SF 2"]);
    assert_eq!(numbers("VSQ3161", "VSQ31"), ["VSQ3161"]);
    assert_eq!(numbers("é", "VSQ31"), ["é", "É"]);
}
