//! One newtype per table, so that a context's id cannot be passed for a find's.
use crate::Instant;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

macro_rules! ids {
    ($($(#[$meta:meta])* $name:ident;)+) => {$(
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub Uuid);
        impl $name {
            /// A fresh id (UUID version 7): time-ordered by the given instant, otherwise random.
            pub fn new(now: Instant) -> Self { Self(fresh(now)) }
        }
        impl From<Uuid> for $name { fn from(id: Uuid) -> Self { Self(id) } }
        impl From<$name> for Uuid { fn from(id: $name) -> Uuid { id.0 } }
        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result { self.0.fmt(f) }
        }
        impl std::str::FromStr for $name {
            type Err = uuid::Error;
            fn from_str(text: &str) -> Result<Self, uuid::Error> { text.parse().map(Self) }
        }
    )+};
}

ids! {
    PersonId; ProjectId; PlaceId; ContextId; FindId; HoldId; ClockId; GateLiftId; MovementId; GroupId; QuantityEventId;
    JournalId; RecordId; StandingId; AssignmentId; OpinionId; SettlementId; ImageId; AttachmentId; ImportRunId; FilterId;
    LetterId; SubmissionId; LookId; SheetId; RecheckId; TabletId;
    RunId; WeighingId; BathId; PackedId; SealingId;
    JudgementId; FixedYearId; ReceivedId; ReopeningId;
    DispatchId; DispatchItemId; ReceiptId;
    MouldListId; RingSetId;
    ThreadLineId; WorkedDayId; RowListId;
}

/// A UUID version 7 stamped with `now`; instants before 1970 count as 1970.
pub fn fresh(now: Instant) -> Uuid {
    let seconds = u64::try_from(now.timestamp()).unwrap_or(0);
    Uuid::new_v7(uuid::Timestamp::from_unix(uuid::NoContext, seconds, now.timestamp_subsec_nanos()))
}
