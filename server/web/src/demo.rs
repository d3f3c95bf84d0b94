//! Seeds the demo.
use crate::App;
use domain::permission::Role;
use store::people::NewPerson;
use store::projects::NewProject;

/// How to sign in as one of the demo's people.
pub struct DemoPerson {
    pub role: &'static str,
    pub email: String,
    pub password: &'static str,
}

/// One password for all of them: the folder is thrown away.
const PASSWORD: &str = "quayside-lantern-42";

/// Fills an empty database with the invented site.
pub async fn seed(app: &App) -> Result<Vec<DemoPerson>, Box<dyn std::error::Error + Send + Sync>> {
    let now = app.clock.now();
    let hash = app.passwords.hash(PASSWORD.into()).await?;
    let mut tx = app.db.write().await?;
    let project = NewProject {
        code: "VSQ31".into(),
        name: "Vessenholt Quay".into(),
        site: "Vessenholt, the old quay and chapel".into(),
        client: "Vessenholt Harbour Trust".into(),
        summary: String::new(),
        number_pattern: "#".into(),
        date_convention: "thirds".into(),
    };
    let project = store::projects::insert(&mut tx, &project, now).await?;
    let cast = [("Odile Marchbank", "odile", Role::Conservator), ("Petra Dunmoor", "petra", Role::Manager)];
    let mut people = Vec::new();
    for (name, local, role) in cast {
        let email = format!("{local}@vessenholt.example");
        let person = NewPerson {
            email: email.clone(),
            name: name.into(),
            qualification: String::new(),
            password_hash: Some(hash.clone()),
            administrator: false,
        };
        let id = store::people::insert(&mut tx, &person, now).await?;
        store::people::insert_role(&mut tx, project, id, role).await?;
        people.push(DemoPerson { role: role.label(), email, password: PASSWORD });
    }
    let find = store::finds::NewFind {
        number: "214-1".into(),
        material: "iron".into(),
        object_type: "nail".into(),
        ..Default::default()
    };
    store::finds::insert(&mut tx, project, &find, None, now).await?;
    tx.commit().await?;
    Ok(people)
}
