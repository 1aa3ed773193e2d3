//! What the owner accepts, and limits replaced.

use super::Until;
use super::table::table;

table! {
    "an [[accept]] table"
    /// A finding accepted as it is. It stays in the report, with the reason, and no longer counts as a failure.
    pub struct Accept {
        /// Id of the check, such as "weight/side-slope".
        pub check: String,
        /// What the finding is about, as the report names it. Left out: all of that check.
        pub about: Option<String>,
        /// Name of the state. Left out: every state.
        pub state: Option<String>,
        /// The finding's case, where a check has several for one subject.
        pub case: Option<String>,
        /// The owner's reason.
        pub why: String,
        /// Last day it holds, such as "2027-05-01", or an event, such as "first weighing".
        pub until: Option<Until>,
    }
}

table! {
    "a [[limit]] table"
    /// A limit replaced by the owner's own. The report shows the old value, the new one and the reason.
    pub struct LimitOverride {
        /// Id of the limit, such as "weight/steer-share".
        pub id: String,
        /// The limit set it is replaced in. Left out: in all chosen sets.
        pub set: Option<String>,
        /// The new value as text with its unit, such as "25 %" or "2.5 m".
        pub value: String,
        /// The owner's reason.
        pub why: String,
        /// Where the new value comes from.
        pub basis: Option<String>,
    }
}
