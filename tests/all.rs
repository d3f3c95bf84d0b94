#[test] fn it_builds() {}
