//! The layer that makes two engines one.
use chrono::{NaiveDate, SubsecRound, TimeZone, Utc};
use domain::Instant;
use store::{Db, StoreError};
use tests::on_both_engines;
use tests::support::{Engine, Site, noon};
use uuid::Uuid;

type Person = (Uuid, String, Option<String>, bool, Option<Instant>, Instant, i64);

const INSERT_PERSON: &str =
    "INSERT INTO person (id, email, name, qualification, password_hash, administrator, disabled_at,
    created_at, revision) VALUES ($1, $2, $2, '', $3, $4, $5, $6, $7)";
const SELECT_PERSON: &str = "SELECT id, email, password_hash, administrator, disabled_at, created_at, revision FROM person WHERE id = $1";

async fn insert_person(db: &Db, person: Person) {
    let mut tx = db.write().await.unwrap();
    let statement = tx.sql(INSERT_PERSON).bind(person.0).bind(person.1).bind(person.2).bind(person.3);
    statement.bind(person.4).bind(person.5).bind(person.6).run().await.unwrap();
    tx.commit().await.unwrap();
}

async fn read_person(db: &Db, id: Uuid) -> Option<Person> {
    db.read().await.unwrap().sql(SELECT_PERSON).bind(id).opt().await.unwrap()
}

on_both_engines! {
    async fn ids_words_booleans_instants_and_whole_numbers_come_back_as_they_were(db: Db) {
        let odd = Utc.with_ymd_and_hms(1969, 12, 31, 23, 59, 59).single().unwrap()
            + chrono::Duration::microseconds(999_999);
        let full: Person = (
            Uuid::from_u128(1), "ünï “quoted” 'x' \\ 漢字 𐍈\n\t%".into(), Some(String::new()), true, Some(odd), noon(), i64::MAX,
        );
        let bare: Person = (Uuid::max(), String::new(), None, false, None, odd, i64::MIN);
        for person in [full, bare] {
            insert_person(&db, person.clone()).await;
            assert_eq!(read_person(&db, person.0).await, Some(person));
        }
        assert_eq!(read_person(&db, Uuid::from_u128(2)).await, None);
    }

    async fn an_instant_finer_than_a_microsecond_is_cut_before_it_is_kept(db: Db) {
        let fine = noon() + chrono::Duration::nanoseconds(123_456_789);
        assert_eq!(domain::cut(fine), fine.trunc_subsecs(6));
        let id = Uuid::from_u128(3);
        insert_person(&db, (id, "a@b.example".into(), None, false, None, domain::cut(fine), 1)).await;
        assert_eq!(read_person(&db, id).await.unwrap().5, domain::cut(fine));
    }

    async fn bytes_come_back_as_they_were(site: Site) {
        let bytes: Vec<u8> = (0..=255).collect();
        let mut tx = site.db.write().await.unwrap();
        tx.sql("INSERT INTO session (token_hash, person_id, form_token, created_at, last_seen_at, expires_at)
            VALUES ($1, $2, '', $3, $3, $3)").bind(bytes.clone()).bind(site.administrator.0).bind(noon()).run().await.unwrap();
        let kept: Option<Vec<u8>> = tx.sql("SELECT token_hash FROM session").cell().await.unwrap();
        assert_eq!(kept, Some(bytes));
    }

    async fn days_and_measures_come_back_as_they_were(site: Site) {
        let day = NaiveDate::from_ymd_opt(2028, 2, 29);
        let find = site.find("1").with(|find| {
            find.recovered_on = day;
            find.weight_g = Some(0.1 + 0.2);
            find.easting_m = Some(-1.5e-9);
        }).add().await;
        let kept: (Option<NaiveDate>, Option<f64>, Option<f64>, Option<f64>) = site.db.read().await.unwrap()
            .sql("SELECT recovered_on, weight_g, easting_m, northing_m FROM find WHERE id = $1").bind(find.0).one().await.unwrap();
        assert_eq!(kept, (day, Some(0.1 + 0.2), Some(-1.5e-9), None));
    }

    async fn what_is_not_committed_leaves_nothing(db: Db) {
        let mut tx = db.write().await.unwrap();
        let statement = tx.sql(INSERT_PERSON).bind(Uuid::nil()).bind("gone@b.example").bind(None::<String>).bind(false);
        statement.bind(None::<Instant>).bind(noon()).bind(1_i64).run().await.unwrap();
        drop(tx);
        assert_eq!(read_person(&db, Uuid::nil()).await, None);
    }

    async fn a_transaction_for_looking_refuses_changes(site: Site) {
        let mut tx = site.db.read().await.unwrap();
        let refused = tx.sql("UPDATE person SET name = ''").run().await;
        assert!(matches!(refused, Err(StoreError::Statement(_))), "{refused:?}");
        drop(tx);
        let mut tx = site.db.read().await.unwrap();
        let emptied: Option<i64> = tx.sql("SELECT COUNT(*) FROM person WHERE name = ''").cell().await.unwrap();
        assert_eq!(emptied, Some(0));
    }

    async fn a_transaction_for_looking_sees_one_moment(site: Site) {
        const COUNT: &str = "SELECT COUNT(*) FROM find";
        let mut tx = site.db.read().await.unwrap();
        let before: Option<i64> = tx.sql(COUNT).cell().await.unwrap();
        site.find("1").add().await;
        let meanwhile: Option<i64> = tx.sql(COUNT).cell().await.unwrap();
        assert_eq!((before, meanwhile), (Some(0), Some(0)));
    }

    async fn the_kind_of_a_clash_is_told(site: Site) {
        let mut tx = site.db.write().await.unwrap();
        let twice = tx.sql("INSERT INTO membership (project_id, person_id, role) SELECT project_id, person_id, role FROM membership")
            .run().await;
        assert!(matches!(twice, Err(StoreError::Taken)), "{twice:?}");
        drop(tx);
        let mut tx = site.db.write().await.unwrap();
        let dangling = tx.sql("UPDATE membership SET person_id = $1").bind(Uuid::nil()).run().await;
        assert!(matches!(dangling, Err(StoreError::Dangling)), "{dangling:?}");
    }

    async fn a_word_in_a_column_of_numbers_is_refused(site: Site) {
        let mut tx = site.db.write().await.unwrap();
        assert!(tx.sql("UPDATE project SET revision = 'abc'").run().await.is_err());
    }

    async fn two_writers_take_turns(site: Site) {
        let tasks: Vec<_> = (0..20_i64).map(|n| {
            let db = site.db.clone();
            tokio::spawn(async move {
                let mut tx = db.write().await?;
                tx.sql("UPDATE project SET revision = revision + $1").bind(n).run().await?;
                tx.commit().await
            })
        }).collect();
        for task in tasks {
            task.await.unwrap().unwrap();
        }
        let revision: Option<i64> =
            site.db.read().await.unwrap().sql("SELECT revision FROM project").cell().await.unwrap();
        assert_eq!(revision, Some(1 + (0..20).sum::<i64>()));
    }

    async fn commits_survive_a_power_cut(db: Db) {
        // SQLite: https://www.sqlite.org/pragma.html#pragma_synchronous, FULL is 2; in WAL mode NORMAL may lose commits.
        if db.engine() == Engine::Sqlite {
            let mut tx = db.write().await.unwrap();
            assert_eq!(tx.sql("PRAGMA synchronous").cell::<i64>().await.unwrap(), Some(2));
            assert_eq!(tx.sql("PRAGMA journal_mode").cell::<String>().await.unwrap().as_deref(), Some("wal"));
            assert_eq!(tx.sql("PRAGMA foreign_keys").cell::<i64>().await.unwrap(), Some(1));
        } else {
            // https://www.postgresql.org/docs/15/runtime-config-wal.html#GUC-SYNCHRONOUS-COMMIT: the test server itself runs
            // without; the program must not turn it off on its own.
            let mut tx = db.read().await.unwrap();
            let source: Option<String> =
                tx.sql("SELECT source FROM pg_settings WHERE name = 'synchronous_commit'").cell().await.unwrap();
            assert_eq!(source.as_deref(), Some("command line"));
        }
    }
}
