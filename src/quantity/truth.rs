//! The three answers.

use serde::{Deserialize, Serialize};

/// An answer that may hang on something not known. There is no conversion to `bool`: every caller chooses.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Truth {
    /// Holds for every value that the facts allow.
    Yes,
    /// Holds for none.
    No,
    /// Holds for some and not for others.
    Open,
}

impl Truth {
    /// Known truth.
    pub fn of(known: bool) -> Truth {
        if known { Truth::Yes } else { Truth::No }
    }
}

impl std::ops::Not for Truth {
    type Output = Truth;

    fn not(self) -> Truth {
        match self {
            Truth::Yes => Truth::No,
            Truth::No => Truth::Yes,
            Truth::Open => Truth::Open,
        }
    }
}
