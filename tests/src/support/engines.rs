//! A fresh database per test: a copy of one that was migrated once.
use super::Start;
use sqlx::{AssertSqlSafe, Connection, PgConnection};
use std::fs::File;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::atomic::{AtomicU32, Ordering};
use store::{Db, Engine};
use tokio::runtime::Runtime;

/// The address of a running PostgreSQL; unset, the tests start one and leave it for the next run.
const SERVER: &str = "FINDWAY_TEST_POSTGRES";

/// Runs one test on a database of its own, which goes when the test ends, however it ends.
pub fn run<A, F>(engine: Engine, body: impl FnOnce(A) -> F)
where
    A: Start,
    F: Future<Output = ()>,
{
    let runtime = Runtime::new().unwrap();
    let database = runtime.block_on(Engines::fresh(engine));
    let db = database.db.clone();
    let outcome =
        catch_unwind(AssertUnwindSafe(|| runtime.block_on(async { body(A::start(db).await).await })));
    runtime.block_on(database.close());
    if let Err(cause) = outcome {
        resume_unwind(cause);
    }
}

/// Runs one test on a database of each engine, SQLite first; both go when the test ends.
pub fn run_on_both<A, F>(body: impl FnOnce(A, A) -> F)
where
    A: Start,
    F: Future<Output = ()>,
{
    let runtime = Runtime::new().unwrap();
    let fresh = |engine| runtime.block_on(Engines::fresh(engine));
    let (first, second) = (fresh(Engine::Sqlite), fresh(Engine::Postgres));
    let (sqlite, postgres) = (first.db.clone(), second.db.clone());
    let whole = async { body(A::start(sqlite).await, A::start(postgres).await).await };
    let outcome = catch_unwind(AssertUnwindSafe(|| runtime.block_on(whole)));
    runtime.block_on(first.close());
    runtime.block_on(second.close());
    if let Err(cause) = outcome {
        resume_unwind(cause);
    }
}

/// Where databases come from.
pub struct Engines;

/// An empty, migrated database.
pub struct Database {
    pub db: Db,
    kept: Kept,
}

enum Kept {
    Folder(tempfile::TempDir),
    Named { server: String, name: String },
}

impl Engines {
    /// A database of that engine for one test.
    pub async fn fresh(engine: Engine) -> Database {
        match engine {
            Engine::Sqlite => fresh_sqlite().await,
            Engine::Postgres => fresh_postgres().await,
        }
    }
}

impl Database {
    /// Closes every connection and takes the database away.
    pub async fn close(self) {
        self.db.close().await;
        match self.kept {
            Kept::Folder(folder) => folder.close().unwrap(),
            Kept::Named { server, name } => {
                tell(&server, format!("DROP DATABASE \"{name}\" WITH (FORCE)")).await.unwrap();
            }
        }
    }
}

async fn fresh_sqlite() -> Database {
    let migrated = quick_folder().join(format!("findway-migrated-{:016x}", migrations()));
    if !migrated.exists() {
        let _turn = turn("sqlite");
        if !migrated.exists() {
            let making = tempfile::tempdir_in(quick_folder()).unwrap();
            let db = Db::open(&address(making.path())).await.unwrap();
            db.migrate().await.unwrap();
            db.close().await;
            std::fs::rename(making.keep(), &migrated).unwrap();
        }
    }
    let folder = tempfile::Builder::new().prefix("findway-test-").tempdir_in(quick_folder()).unwrap();
    // The log beside the database may hold what has not been taken over yet.
    for file in ["test.db", "test.db-wal"] {
        if migrated.join(file).exists() {
            std::fs::copy(migrated.join(file), folder.path().join(file)).unwrap();
        }
    }
    Database { db: Db::open(&address(folder.path())).await.unwrap(), kept: Kept::Folder(folder) }
}

async fn fresh_postgres() -> Database {
    static COUNT: AtomicU32 = AtomicU32::new(0);
    let server = server();
    let migrated = format!("migrated_{:016x}", migrations());
    let name = format!("test_{}_{}", std::process::id(), COUNT.fetch_add(1, Ordering::Relaxed));
    // a copy of its files: the other way every page of it goes through the log
    let copy = format!("CREATE DATABASE \"{name}\" TEMPLATE \"{migrated}\" STRATEGY FILE_COPY");
    if tell(&server, copy.clone()).await.is_err() {
        let _turn = turn("postgres-migrated");
        if tell(&server, copy.clone()).await.is_err() {
            migrate_postgres(&server, &migrated).await;
            tell(&server, copy).await.unwrap();
        }
    }
    let db = Db::open(&in_server(&server, &name)).await.unwrap();
    Database { db, kept: Kept::Named { server, name } }
}

async fn migrate_postgres(server: &str, name: &str) {
    let making = format!("{name}_making");
    tell(server, format!("DROP DATABASE IF EXISTS \"{making}\" WITH (FORCE)")).await.unwrap();
    tell(server, format!("CREATE DATABASE \"{making}\"")).await.unwrap();
    let db = Db::open(&in_server(server, &making)).await.unwrap();
    db.migrate().await.unwrap();
    db.close().await;
    tell(server, format!("ALTER DATABASE \"{making}\" RENAME TO \"{name}\"")).await.unwrap();
}

/// The PostgreSQL server of this run.
fn server() -> String {
    if let Ok(address) = std::env::var(SERVER) {
        return address;
    }
    let folder = quick_folder().join("findway-test-postgres");
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/postgres.sh");
    let started = Command::new("bash").arg(script).arg("start").arg(folder).output().unwrap();
    assert!(started.status.success(), "PostgreSQL: {}", String::from_utf8_lossy(&started.stderr));
    String::from_utf8(started.stdout).unwrap().trim().to_owned()
}

fn in_server(server: &str, database: &str) -> String {
    server.replacen("/postgres?", &format!("/{database}?"), 1)
}

/// Tells the server itself something, beside every database of ours.
async fn tell(server: &str, statement: String) -> sqlx::Result<()> {
    let mut server = PgConnection::connect(server).await?;
    sqlx::raw_sql(AssertSqlSafe(statement)).execute(&mut server).await?;
    server.close().await
}

fn address(folder: &Path) -> String {
    format!("sqlite:{}", folder.join("test.db").display())
}

/// In memory where the machine offers that: tests fsync nothing they mean to keep.
pub fn quick_folder() -> PathBuf {
    let memory = Path::new("/dev/shm");
    if memory.is_dir() { memory.to_path_buf() } else { std::env::temp_dir() }
}

/// Holds everybody else off until it is dropped.
fn turn(what: &str) -> File {
    let file = File::create(quick_folder().join(format!("findway-test-{what}.lock"))).unwrap();
    file.lock().unwrap();
    file
}

/// Changes when the tables do.
fn migrations() -> u64 {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap();
    let mut files: Vec<_> =
        std::fs::read_dir(root.join("migrations")).unwrap().map(|file| file.unwrap().path()).collect();
    files.sort();
    files.push(root.join("server/store/src/dialect.rs"));
    let mut hasher = DefaultHasher::new();
    for file in files {
        std::fs::read(file).unwrap().hash(&mut hasher);
    }
    hasher.finish()
}
