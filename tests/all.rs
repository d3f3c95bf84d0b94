mod media;
#[test]
fn it_builds() {}
