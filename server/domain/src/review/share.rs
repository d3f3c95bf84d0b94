//! What an assignment shares of its finds with the specialist.
//!
//! Number, object, description, material, quantity, mass and caution always go with a find: without them nobody can say
//! what is asked about or handle it safely.

crate::text_enum! {
    /// A part of the records that an assignment shares or keeps back.
    Share, "part shared" {
        Images = "images", "photographs, PDF and drawings";
        Xrays = "xrays", "X-rays";
        Conservation = "conservation", "conservation record";
        Measurements = "measurements", "measurements";
        Contexts = "contexts", "contexts, with what lies above and below";
        Restricted = "restricted", "restricted finds";
    }
}

/// Parts of the records.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Shares(u8);

impl Shares {
    /// Everything.
    pub const ALL: Shares = Shares((1 << Share::ALL.len()) - 1);
    /// What a form offers first: everything but restricted finds.
    pub const USUAL: Shares = Shares(Shares::ALL.0 & !(1 << Share::Restricted as u8));

    /// Whether this part is among them.
    pub const fn has(self, part: Share) -> bool {
        self.0 & (1 << part as u8) != 0
    }

    /// The same with this part, where it is `given`.
    pub const fn with(self, part: Share, given: bool) -> Shares {
        if given { Shares(self.0 | (1 << part as u8)) } else { self }
    }

    /// The parts, in the order people expect.
    pub fn parts(self) -> impl Iterator<Item = Share> {
        Share::ALL.iter().copied().filter(move |part| self.has(*part))
    }
}

impl FromIterator<Share> for Shares {
    fn from_iter<I: IntoIterator<Item = Share>>(parts: I) -> Self {
        parts.into_iter().fold(Shares::default(), |all, part| all.with(part, true))
    }
}

crate::text_enum! {
    /// What an agreed fee pays for.
    FeeFor, "base of a fee" {
        Whole = "whole", "for the whole";
        Day = "day", "for each day";
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_usual_parts_keep_restricted_finds_back() {
        assert!(Share::ALL.iter().all(|part| Shares::ALL.has(*part)));
        assert_eq!(Shares::USUAL.with(Share::Restricted, true), Shares::ALL);
        let two: Shares = [Share::Xrays, Share::Images].into_iter().collect();
        assert_eq!(two.parts().collect::<Vec<_>>(), [Share::Images, Share::Xrays]);
    }
}
