//! The ways between the pages about oneself.

/// A page about oneself, as the row of links on top of each of them names it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Section {
    /// Name, address, password, sessions.
    Doors,
    /// The eyes.
    Observer,
    /// What they own.
    Gear,
    /// What the club has written to them.
    Letters,
    /// Tokens for programs.
    Tokens,
    /// Everything kept of them.
    Data,
}

impl Section {
    /// In the order in which they are shown.
    pub const ALL: [Self; 6] =
        [Self::Doors, Self::Observer, Self::Gear, Self::Letters, Self::Tokens, Self::Data];

    /// The words of the link.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::Doors => "My account",
            Self::Observer => "My eyes",
            Self::Gear => "My own case",
            Self::Letters => "Letters",
            Self::Tokens => "Access tokens",
            Self::Data => "My data",
        }
    }

    /// Where it leads.
    #[must_use]
    pub fn address(self) -> &'static str {
        match self {
            Self::Doors => "/account",
            Self::Observer => "/account/observer",
            Self::Gear => "/account/gear",
            Self::Letters => "/account/letters",
            Self::Tokens => "/account/tokens",
            Self::Data => "/account/data",
        }
    }
}
