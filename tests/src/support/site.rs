//! The invented site, one person per role, and short words for putting records into it.
use super::Start;
use chrono::{NaiveDate, TimeZone, Utc};
use domain::Instant;
use domain::finds::RecoveredState;
use domain::ids::{AssignmentId, ContextId, FindId, PersonId, PlaceId, ProjectId};
use domain::permission::{Actor, Role};
use domain::review::share::Shares;
use domain::stages::{Stage, StageMark, StageState};
use store::finds::NewFind;
use store::people::{FINDSPOT, NewPerson, RESTRICTED};
use store::places::NewPlace;
use store::projects::NewProject;
use store::review::assignments::{NewAssignment, Terms};
use store::{Db, Tx};

/// Everybody's password.
pub const PASSWORD: &str = "quayside-lantern-42";
/// [`PASSWORD`], hashed with the least work argon2 allows, so that signing in costs nothing.
const HASH: &str =
    "$argon2id$v=19$m=8,t=1,p=1$Gb0vCKvysy8hgYeywJHFJg$sQwr+iTByIeSa5dTMFzb1hTFDJZkQzTB6nOn7N+QbVA";
/// The project of a test.
pub const HOME: &str = "VSQ31";
/// A project nobody of [`HOME`] has a part in.
pub const FOREIGN: &str = "NBR32";

/// The moment of every test: Monday, 15 September 2031, 12:00 UTC.
pub fn noon() -> Instant {
    Utc.with_ymd_and_hms(2031, 9, 15, 12, 0, 0).single().unwrap()
}

/// A day of the year of the tests.
pub fn day(month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2031, month, day).unwrap()
}

/// A project with one person per role and an administrator who has no part in it.
#[derive(Clone)]
pub struct Site {
    pub db: Db,
    pub code: &'static str,
    pub project: ProjectId,
    pub administrator: PersonId,
    cast: Vec<(Role, PersonId)>,
}

impl Start for Site {
    async fn start(db: Db) -> Self {
        Site::new(&db).await
    }
}

impl Site {
    /// The project [`HOME`] with its people.
    pub async fn new(db: &Db) -> Site {
        Site::named(db, HOME).await
    }

    /// A project of that code with its own people.
    pub async fn named(db: &Db, code: &'static str) -> Site {
        let mut tx = db.write().await.unwrap();
        let project = NewProject {
            code: code.into(),
            name: format!("Site {code}"),
            site: "Vessenholt, the old quay and chapel".into(),
            client: "Vessenholt Harbour Trust".into(),
            summary: String::new(),
            number_pattern: "#".into(),
            date_convention: "thirds".into(),
        };
        let project = store::projects::insert(&mut tx, &project, noon()).await.unwrap();
        let mut cast = Vec::new();
        for &role in Role::ALL {
            let id = insert_person(&mut tx, &email_of(code, role), role.label(), false).await;
            store::people::insert_role(&mut tx, project, id, role).await.unwrap();
            cast.push((role, id));
        }
        let administrator =
            insert_person(&mut tx, &format!("administrator@{code}.example"), "administrator", true).await;
        tx.commit().await.unwrap();
        Site { db: db.clone(), code, project, administrator, cast }
    }

    /// The person of a role.
    pub fn person(&self, role: Role) -> PersonId {
        self.cast.iter().find(|(r, _)| *r == role).unwrap().1
    }

    /// The address the person of a role signs in with.
    pub fn email(&self, role: Role) -> String {
        email_of(self.code, role)
    }

    /// The person of a role as the one who acts.
    pub async fn actor(&self, role: Role) -> Actor {
        self.actor_of(self.person(role)).await
    }

    /// A person as the one who acts.
    pub async fn actor_of(&self, person: PersonId) -> Actor {
        let mut tx = self.db.read().await.unwrap();
        store::people::find_actor(&mut tx, person).await.unwrap().unwrap()
    }

    /// One more person with that role.
    pub async fn another(&self, role: Role, name: &str) -> PersonId {
        let mut tx = self.db.write().await.unwrap();
        let email = format!("{}@{}.example", name.to_lowercase().replace(' ', "."), self.code.to_lowercase());
        let id = insert_person(&mut tx, &email, name, false).await;
        store::people::insert_role(&mut tx, self.project, id, role).await.unwrap();
        tx.commit().await.unwrap();
        id
    }

    /// Lets the person of a role see restricted material and exact findspots.
    pub async fn clear(&self, role: Role) {
        let mut tx = self.db.write().await.unwrap();
        for kind in [RESTRICTED, FINDSPOT] {
            store::people::insert_clearance(&mut tx, self.project, self.person(role), kind).await.unwrap();
        }
        tx.commit().await.unwrap();
    }

    /// A find to be registered; end with [`FindBuilder::add`].
    pub fn find(&self, number: &str) -> FindBuilder<'_> {
        FindBuilder { site: self, find: NewFind { number: number.into(), ..Default::default() } }
    }

    /// A context; the same number twice is the same context.
    pub async fn context(&self, number: &str) -> ContextId {
        let mut tx = self.db.write().await.unwrap();
        if let Some(context) = store::contexts::find_by_number(&mut tx, self.project, number).await.unwrap() {
            return context.id;
        }
        let new =
            store::contexts::NewContext { number: number.into(), kind: "fill".into(), ..Default::default() };
        let id = store::contexts::insert(&mut tx, self.project, &new, noon()).await.unwrap();
        tx.commit().await.unwrap();
        id
    }

    /// A box that stands nowhere in particular.
    pub async fn place(&self, name: &str) -> PlaceId {
        let mut tx = self.db.write().await.unwrap();
        let new = NewPlace { project: self.project, parent: None, kind: "box".into(), name: name.into() };
        let id = store::places::insert(&mut tx, &new, noon()).await.unwrap();
        tx.commit().await.unwrap();
        id
    }

    /// Marks a stage of a find.
    pub async fn mark(&self, find: FindId, stage: Stage, state: StageState) {
        let mut tx = self.db.write().await.unwrap();
        let mark = StageMark { stage, state, quantity_done: 1, reason: String::new() };
        store::finds::progress::mark(&mut tx, find, &mark, noon()).await.unwrap();
        tx.commit().await.unwrap();
    }

    /// Gives finds to the site's specialist with a question due in thirty days and everything that is recorded.
    pub async fn assign(&self, finds: &[FindId]) -> AssignmentId {
        self.assign_sharing(finds, Shares::ALL).await
    }

    /// The same, sharing only this.
    pub async fn assign_sharing(&self, finds: &[FindId], shares: Shares) -> AssignmentId {
        let mut tx = self.db.write().await.unwrap();
        let new = NewAssignment {
            project: self.project,
            specialist: self.person(Role::Specialist),
            question: "What is it, and when was it made?".into(),
            due_on: day(10, 15),
            finds: finds.to_vec(),
            terms: Terms { shares, ..Terms::default() },
        };
        let by = self.person(Role::Manager);
        let id = store::review::assignments::insert(&mut tx, &new, by, noon()).await.unwrap();
        tx.commit().await.unwrap();
        id
    }
}

fn email_of(code: &str, role: Role) -> String {
    format!("{}@{}.example", role.code(), code.to_lowercase())
}

async fn insert_person(tx: &mut Tx, email: &str, name: &str, administrator: bool) -> PersonId {
    let person = NewPerson {
        email: email.to_lowercase(),
        name: name.into(),
        qualification: String::new(),
        password_hash: Some(HASH.into()),
        administrator,
    };
    store::people::insert(tx, &person, noon()).await.unwrap()
}

/// A find while it is being described.
pub struct FindBuilder<'a> {
    site: &'a Site,
    find: NewFind,
}

impl FindBuilder<'_> {
    /// The code of a material group: `iron`, `glass`, `ceramic`, …
    pub fn material(mut self, code: &str) -> Self {
        self.find.material = code.into();
        self
    }

    pub fn object(mut self, words: &str) -> Self {
        self.find.object_type = words.into();
        self
    }

    pub fn description(mut self, words: &str) -> Self {
        self.find.description = words.into();
        self
    }

    /// Recovered wet: its clock starts.
    pub fn wet(mut self) -> Self {
        self.find.recovered_state = RecoveredState::Wet;
        self
    }

    /// A bulk find of that many pieces.
    pub fn bulk(mut self, quantity: i64) -> Self {
        self.find.bulk = true;
        self.find.quantity = quantity;
        self
    }

    pub fn restricted(mut self) -> Self {
        self.find.restricted = true;
        self
    }

    pub fn in_context(mut self, context: ContextId) -> Self {
        self.find.context = Some(context);
        self
    }

    pub fn at_place(mut self, place: PlaceId) -> Self {
        self.find.place = Some(place);
        self
    }

    /// Anything else a register says.
    pub fn with(mut self, change: impl FnOnce(&mut NewFind)) -> Self {
        change(&mut self.find);
        self
    }

    /// Registers it.
    pub async fn add(self) -> FindId {
        let mut tx = self.site.db.write().await.unwrap();
        let by = Some(self.site.person(Role::FindsOfficer));
        let id = store::finds::insert(&mut tx, self.site.project, &self.find, by, noon()).await.unwrap();
        tx.commit().await.unwrap();
        id
    }
}
