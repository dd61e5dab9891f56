//! The rules' words as the marks that pages show.

use crate::kit::rules::{Standing, Verdict};
use crate::web::mark::Mark;

impl From<Standing> for Mark {
    fn from(standing: Standing) -> Self {
        match standing {
            Standing::Suits => Self::Suits,
            Standing::NotKnown => Self::NotKnown,
            Standing::Compromise => Self::Compromise,
            Standing::Unsuitable => Self::Unsuitable,
            Standing::Blocked => Self::Blocked,
        }
    }
}

impl From<Verdict> for Mark {
    fn from(verdict: Verdict) -> Self {
        match verdict {
            Verdict::Suits => Self::Suits,
            Verdict::Compromise => Self::Compromise,
            Verdict::Unsuitable => Self::Unsuitable,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pages_and_programs_use_the_same_words() {
        for standing in [
            Standing::Suits,
            Standing::NotKnown,
            Standing::Compromise,
            Standing::Unsuitable,
            Standing::Blocked,
        ] {
            assert_eq!(Mark::from(standing).word().replace(' ', "_"), standing.as_str());
        }
        for verdict in [Verdict::Suits, Verdict::Compromise, Verdict::Unsuitable] {
            assert_eq!(Mark::from(verdict).word(), verdict.as_str());
        }
    }
}
