//! A photograph's way in: arrived, inspected, developed, stored.

use media::{Darkroom, FileStore, Foreign, MediaError, Variant};
use tempfile::TempDir;

use super::picture;

async fn admit(store: &FileStore, file: &[u8]) -> Result<media::Photograph, MediaError> {
    let mut incoming = store.receive(10_000_000).await?;
    for chunk in file.chunks(1000) {
        incoming.write(chunk).await?;
    }
    Darkroom::open().admit(store, incoming.seal().await?).await
}

#[tokio::test]
async fn an_admitted_photograph_has_its_original_and_all_prints() {
    let folder = TempDir::new().expect("a folder");
    let store = FileStore::open(folder.path()).await.expect("opened");
    let photograph = admit(&store, &picture("phone.jpg")).await.expect("admitted");
    assert_eq!(photograph.size_bytes, picture("phone.jpg").len() as u64);
    assert!(photograph.inspection.has_position);
    let mut reading = store.read(photograph.checksum).await.expect("kept");
    let kept = reading.next_chunk().await.expect("read").expect("some");
    assert_eq!(kept, picture("phone.jpg"), "the original is kept byte for byte");
    for variant in Variant::ALL {
        assert!(store.derived(photograph.checksum, variant).await.is_ok(), "{variant:?}");
        assert_eq!(Variant::of_name(variant.name()), Some(variant));
    }
}

#[tokio::test]
async fn a_refused_photograph_leaves_nothing_behind() {
    let folder = TempDir::new().expect("a folder");
    let store = FileStore::open(folder.path()).await.expect("opened");
    let whole = picture("find.png");
    let refused = admit(&store, &whole[..whole.len() / 2]).await;
    assert!(matches!(refused, Err(MediaError::Damaged)), "{refused:?}");
    let refused = admit(&store, b"%PDF-1.7").await;
    assert!(matches!(refused, Err(MediaError::Unsupported(Foreign::Pdf))), "{refused:?}");
    for part in ["originals", "derived", "incoming"] {
        assert_eq!(std::fs::read_dir(folder.path().join(part)).expect("there").count(), 0, "{part}");
    }
}

#[tokio::test]
async fn prints_and_the_stripped_copy_are_made_from_the_stored_original() {
    let folder = TempDir::new().expect("a folder");
    let store = FileStore::open(folder.path()).await.expect("opened");
    let darkroom = Darkroom::open();
    let stored = store.put(&picture("find.tif")).await.expect("put");
    darkroom.develop(&store, stored.checksum).await.expect("developed");
    assert!(store.derived(stored.checksum, Variant::Screen).await.is_ok());
    let copy = darkroom.strip(&store, stored.checksum, "A. Person").await.expect("stripped");
    assert_eq!(copy.kind, media::Kind::Tiff);
    let absent = "0".repeat(64).parse().expect("a checksum");
    assert!(matches!(darkroom.develop(&store, absent).await, Err(MediaError::Missing(_))));
}

#[tokio::test]
async fn many_photographs_at_once_wait_their_turn() {
    let folder = TempDir::new().expect("a folder");
    let store = FileStore::open(folder.path()).await.expect("opened");
    let darkroom = Darkroom::open();
    let mut waiting = tokio::task::JoinSet::new();
    for _ in 0..8 {
        let (store, darkroom) = (store.clone(), darkroom.clone());
        waiting.spawn(async move {
            let mut incoming = store.receive(10_000_000).await?;
            incoming.write(&picture("phone.jpg")).await?;
            darkroom.admit(&store, incoming.seal().await?).await
        });
    }
    let admitted = waiting.join_all().await;
    let checksums: Vec<_> = admitted.into_iter().map(|done| done.expect("admitted").checksum).collect();
    assert!(checksums.iter().all(|c| *c == checksums[0]));
    store.verify(checksums[0]).await.expect("whole");
}
