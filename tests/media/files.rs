//! The file store: complete under its final name, or not there.

use std::{
    fs,
    path::Path,
    time::{Duration, SystemTime},
};

use media::{Checksum, FileStore, MediaError, Variant};
use tempfile::TempDir;

/// SHA-256 of "abc" (FIPS 180-4, worked example).
const ABC: &str = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

async fn store() -> (TempDir, FileStore) {
    let folder = TempDir::new().expect("a folder");
    let store = FileStore::open(folder.path()).await.expect("opened");
    (folder, store)
}

fn abc() -> Checksum {
    ABC.parse().expect("a checksum")
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).expect("a folder");
    entries.map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned()).collect()
}

#[tokio::test]
async fn an_original_lies_under_its_checksum_byte_for_byte() {
    let (folder, store) = store().await;
    let mut incoming = store.receive(3).await.expect("begun");
    incoming.write(b"a").await.expect("room");
    incoming.write(b"bc").await.expect("room");
    let stored = incoming.seal().await.expect("sealed").keep().await.expect("kept");
    assert_eq!((stored.checksum, stored.size_bytes), (abc(), 3));
    let path = folder.path().join("originals").join(&ABC[..2]).join(&ABC[2..]);
    assert_eq!(fs::read(path).expect("there"), b"abc");
    assert!(names(&folder.path().join("incoming")).is_empty());
    assert!(store.exists(abc()).await.expect("asked"));
    store.verify(abc()).await.expect("unaltered");
}

#[tokio::test]
async fn the_same_bytes_twice_are_one_original() {
    let (folder, store) = store().await;
    assert_eq!(store.put(b"abc").await.expect("put"), store.put(b"abc").await.expect("put again"));
    assert_eq!(names(&folder.path().join("originals/ba")).len(), 1);
    assert!(names(&folder.path().join("incoming")).is_empty());
}

#[tokio::test]
async fn a_file_beyond_the_limit_is_refused_and_leaves_nothing() {
    let (folder, store) = store().await;
    let mut incoming = store.receive(2_000_000).await.expect("begun");
    incoming.write(&[7; 1_999_999]).await.expect("room");
    let refused = incoming.write(b"ab").await.expect_err("too large");
    assert!(matches!(refused, MediaError::TooLarge { limit_bytes: 2_000_000 }));
    assert!(refused.to_string().contains("2 MB"), "{refused}");
    drop(incoming);
    assert!(names(&folder.path().join("incoming")).is_empty());
    assert!(names(&folder.path().join("originals")).is_empty());
}

#[tokio::test]
async fn a_file_of_no_bytes_is_refused() {
    let (_folder, store) = store().await;
    assert!(matches!(store.put(b"").await, Err(MediaError::Empty)));
}

#[tokio::test]
async fn what_a_crash_left_does_not_confuse_a_later_file() {
    let (folder, store) = store().await;
    let incoming = folder.path().join("incoming");
    // a process of the same number crashed before: its first passing names are taken
    for n in 0..5 {
        fs::write(incoming.join(format!("{}-{n}", std::process::id())), "half a pict").expect("written");
    }
    let stored = store.put(b"abc").await.expect("put");
    store.verify(stored.checksum).await.expect("whole");
    assert_eq!(names(&incoming).len(), 5, "another's files are left alone");
    assert_eq!(store.sweep(SystemTime::UNIX_EPOCH).await.expect("swept"), 0, "young ones may be in use");
    let touched_at =
        fs::metadata(incoming.join(format!("{}-0", std::process::id()))).expect("there").modified();
    let later = touched_at.expect("a time") + Duration::from_secs(60);
    assert_eq!(store.sweep(later).await.expect("swept"), 5);
    assert!(names(&incoming).is_empty());
}

#[tokio::test]
async fn a_torn_file_under_the_final_name_is_replaced() {
    let (folder, store) = store().await;
    let bucket = folder.path().join("originals/ba");
    fs::create_dir_all(&bucket).expect("made");
    fs::write(bucket.join(&ABC[2..]), "a").expect("written");
    store.put(b"abc").await.expect("put");
    store.verify(abc()).await.expect("whole");
}

#[tokio::test]
async fn an_altered_original_is_found_out() {
    let (folder, store) = store().await;
    store.put(b"abc").await.expect("put");
    fs::write(folder.path().join("originals/ba").join(&ABC[2..]), "abd").expect("written");
    assert!(matches!(store.verify(abc()).await, Err(MediaError::Altered(found)) if found == abc()));
}

#[tokio::test]
async fn a_large_original_is_read_piece_by_piece() {
    let (_folder, store) = store().await;
    let bytes: Vec<u8> = (0..200_000u32).map(|n| n as u8).collect();
    let stored = store.put(&bytes).await.expect("put");
    let mut reading = store.read(stored.checksum).await.expect("opened");
    assert_eq!(reading.size_bytes, 200_000);
    let mut read = Vec::new();
    while let Some(chunk) = reading.next_chunk().await.expect("read") {
        assert!(chunk.len() <= 64 * 1024);
        read.extend_from_slice(&chunk);
    }
    assert_eq!(read, bytes);
}

#[tokio::test]
async fn what_is_not_there_is_told_from_what_cannot_be_reached() {
    let (folder, store) = store().await;
    assert!(matches!(store.read(abc()).await, Err(MediaError::Missing(_))));
    assert!(matches!(store.derived(abc(), Variant::Thumb).await, Err(MediaError::Missing(_))));
    store.ready().await.expect("ready");
    fs::remove_dir(folder.path().join("incoming")).expect("removed");
    store.ready().await.expect("a part that is missing is made again");
    // as when a disk is not mounted
    fs::remove_dir_all(folder.path()).expect("removed");
    assert!(matches!(store.ready().await, Err(MediaError::Unavailable(_))));
    assert!(matches!(store.put(b"abc").await, Err(MediaError::Unavailable(_))));
}

#[tokio::test]
async fn a_print_can_be_made_anew() {
    let (folder, store) = store().await;
    store.put_derived(abc(), Variant::Thumb, b"first".to_vec()).await.expect("put");
    store.put_derived(abc(), Variant::Thumb, b"again".to_vec()).await.expect("put");
    assert_eq!(store.derived(abc(), Variant::Thumb).await.expect("there"), "again");
    assert_eq!(names(&folder.path().join("derived").join(ABC)), ["thumb.jpg"]);
}

#[test]
fn a_checksum_has_one_spelling() {
    assert_eq!(abc().to_string(), ABC);
    for wrong in ["", "ba", &ABC.to_uppercase(), &format!("{}g", &ABC[..63]), &format!("../{}", &ABC[3..])] {
        assert!(wrong.parse::<Checksum>().is_err(), "{wrong}");
    }
}
