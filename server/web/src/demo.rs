//! Seeds the demo.
mod pictures;

use crate::App;
use seed::vessenholt::cast::CAST;
use seed::vessenholt::load;

/// How to sign in as one of the demo's people.
pub struct DemoPerson {
    pub role: String,
    pub email: String,
    pub password: &'static str,
}

/// One password for all of them: the folder is thrown away.
const PASSWORD: &str = "quayside-lantern-42";

/// The PIN of those who work at the bench.
pub const PIN: &str = "4071";

/// Fills an empty database with the invented sites.
pub async fn seed(app: &App) -> Result<(), Fault> {
    let hash = app.passwords.hash(PASSWORD.into()).await?;
    let pin = app.passwords.hash(PIN.into()).await?;
    let mut tx = app.db.write().await?;
    let site = load::load(&mut tx, &hash, app.clock.now()).await?;
    for person in ["odile", "tomas", "bea"] {
        store::pins::update(&mut tx, site.person(person), Some(&pin)).await?;
    }
    tx.commit().await?;
    pictures::photograph(app, &site).await
}

/// Who can sign in.
pub fn people() -> Vec<DemoPerson> {
    let roles = |person: &seed::vessenholt::cast::Person| match person.roles {
        [] => "administrator".to_owned(),
        roles => roles.iter().map(|r| r.label()).collect::<Vec<_>>().join(", "),
    };
    let line = |person| DemoPerson {
        role: roles(person),
        email: format!("{}@vessenholt.example", person.local),
        password: PASSWORD,
    };
    CAST.iter().map(line).collect()
}

type Fault = Box<dyn std::error::Error + Send + Sync>;
