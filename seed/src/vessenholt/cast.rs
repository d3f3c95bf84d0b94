//! The people of the demo. All invented.
use domain::permission::Role;

/// A person with the roles held at the quay.
#[derive(Debug, Clone, Copy)]
pub struct Person {
    pub name: &'static str,
    /// Before the sign `@vessenholt.example`.
    pub local: &'static str,
    pub qualification: &'static str,
    pub roles: &'static [Role],
    /// Sees human remains and other restricted material.
    pub restricted: bool,
    /// Sees exact findspots.
    pub findspot: bool,
    pub administrator: bool,
}

const fn person(
    name: &'static str,
    local: &'static str,
    qualification: &'static str,
    roles: &'static [Role],
) -> Person {
    Person { name, local, qualification, roles, restricted: false, findspot: false, administrator: false }
}

/// The conservator at the bench.
pub const ODILE: &str = "odile";
/// The lead conservator.
pub const TOMAS: &str = "tomas";
/// The finds officer.
pub const BEA: &str = "bea";
/// The project manager.
pub const PETRA: &str = "petra";
/// The specialist in medieval carving.
pub const ILKA: &str = "ilka";
/// The specialist in bone.
pub const JOSS: &str = "joss";
/// A second eye on carving.
pub const MAREN: &str = "maren";
/// The specialist in glass and pottery.
pub const SABINE: &str = "sabine";

/// Everybody.
pub const CAST: &[Person] = &[
    Person {
        restricted: true,
        findspot: true,
        ..person("Odile Marchbank", ODILE, "MSc conservation", &[Role::Conservator])
    },
    Person {
        restricted: true,
        findspot: true,
        ..person("Tomas Reedling", TOMAS, "accredited conservator", &[Role::Lead])
    },
    Person {
        restricted: true,
        findspot: true,
        ..person("Bea Lisle-Okoro", BEA, "BA archaeology", &[Role::FindsOfficer])
    },
    person("Ansel Wrayburn", "ansel", "scientific photographer", &[Role::Photographer]),
    Person {
        restricted: true,
        findspot: true,
        ..person("Petra Dunmoor", PETRA, "MA archaeology", &[Role::Manager])
    },
    person("Prof. Ilka Varnsted", ILKA, "chair of medieval art", &[Role::Specialist]),
    person("Dr Maren Tolliver-Ash", MAREN, "PhD, alabaster carving", &[Role::Specialist]),
    person("Dr Joss Penhallick", JOSS, "PhD, human osteology", &[Role::Specialist]),
    person("Sabine Okafor-Lind", SABINE, "MA, vessel glass and pottery", &[Role::Specialist]),
    person("Maud Etherley", "maud", "museum curator", &[Role::Reader]),
    person("Cyril Tansome", "cyril", "archive officer", &[Role::Archivist]),
    Person { administrator: true, ..person("Wenna Harrack", "wenna", "", &[]) },
];
