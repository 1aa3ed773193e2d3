//! How a run ended, in one place.

use std::process::ExitCode;

/// How a run ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Status {
    /// Nothing fails.
    Fine = 0,
    /// A finding fails.
    Fails = 1,
    /// A check could not run.
    Fault = 3,
    /// The input or the command line is wrong: an incomplete answer must not look like a complete one.
    Wrong = 2,
}

impl Status {
    /// The worse of two.
    pub(crate) fn and(self, other: Self) -> Self {
        let rank = |status| match status {
            Self::Fine => 0,
            Self::Fails => 1,
            Self::Fault => 2,
            Self::Wrong => 3,
        };
        if rank(other) > rank(self) { other } else { self }
    }
}

impl From<Status> for ExitCode {
    fn from(status: Status) -> Self {
        Self::from(status as u8)
    }
}

#[cfg(test)]
mod tests {
    use super::Status::{Fails, Fault, Fine, Wrong};

    #[test]
    fn two_over_three_over_one_over_nothing() {
        assert_eq!(Fine.and(Fails).and(Fault).and(Wrong), Wrong);
        assert_eq!(Wrong.and(Fine), Wrong);
        assert_eq!(Fault.and(Fails), Fault);
        assert_eq!((Fine as u8, Fails as u8, Wrong as u8, Fault as u8), (0, 1, 2, 3));
    }
}
