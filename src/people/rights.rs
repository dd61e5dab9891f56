//! Who may do what: one table of roles and deeds.

/// What somebody is to the club. One person can be several.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Role {
    /// Borrows.
    Member,
    /// Looks after the shelf and the loans.
    Quartermaster,
    /// Prepares public nights.
    Outreach,
    /// Looks after accounts and the service itself.
    Admin,
}

impl Role {
    /// Every role.
    pub const ALL: [Role; 4] = [Role::Member, Role::Quartermaster, Role::Outreach, Role::Admin];

    /// The word in the database and on the command line.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Member => "member",
            Self::Quartermaster => "quartermaster",
            Self::Outreach => "outreach",
            Self::Admin => "admin",
        }
    }

    /// What the role is called on pages.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::Member => "Member",
            Self::Quartermaster => "Quartermaster",
            Self::Outreach => "Outreach lead",
            Self::Admin => "Administrator",
        }
    }

    /// What somebody with the role does, in a sentence.
    #[must_use]
    pub fn says(self) -> &'static str {
        match self {
            Self::Member => "Borrows for themselves.",
            Self::Quartermaster => "Looks after the shelf and the loans.",
            Self::Outreach => "Prepares public nights.",
            Self::Admin => "Looks after accounts and the service itself.",
        }
    }

    /// Reads the word.
    #[must_use]
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|role| role.as_str() == word)
    }
}

/// Something that not everybody may do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Deed {
    /// Look at the shelf, the help and one's own account.
    Look,
    /// Ask which kits suit a described observer, or oneself.
    Ask,
    /// Ask for another member, whose eyes are then used but not shown.
    AskForMember,
    /// See what choosing needs of another member's eyes, open what they share, and write down who
    /// stands up for the young.
    SeeNeeds,
    /// See the list of members.
    SeeMembers,
    /// Set up what protects one's own account, and leave. The only thing that staff may do before
    /// they have a second factor.
    SecureAccount,
    /// See which letters could not be sent, and decide about them.
    KeepPost,
    /// Reserve for oneself, and look after one's own reservations and loans.
    Borrow,
    /// Run the desk: everybody's reservations, hand-overs, returns and the club's rules.
    RunDesk,
    /// See who has an account, and make links for those who borrow only.
    Invite,
    /// Look after accounts: roles, switching off, the club's list, who may ask to join.
    ManageAccounts,
    /// Read the audit log.
    ReadAudit,
    /// Add to the shelf and change what is on it.
    KeepShelf,
    /// Say where the club observes, and what the sky is like there.
    KeepSites,
    /// Prepare public nights and look back on them.
    KeepPublicNights,
    /// Work out what the club should buy and sell.
    PlanPurchases,
}

impl Deed {
    /// Every deed.
    pub const ALL: [Deed; 16] = [
        Deed::Look,
        Deed::Ask,
        Deed::AskForMember,
        Deed::SeeNeeds,
        Deed::SeeMembers,
        Deed::SecureAccount,
        Deed::KeepPost,
        Deed::Borrow,
        Deed::RunDesk,
        Deed::Invite,
        Deed::ManageAccounts,
        Deed::ReadAudit,
        Deed::KeepShelf,
        Deed::KeepSites,
        Deed::KeepPublicNights,
        Deed::PlanPurchases,
    ];

    /// The roles that may do it. The whole of the table.
    #[must_use]
    pub fn allowed(self) -> &'static [Role] {
        use Role::{Admin, Member, Outreach, Quartermaster};
        match self {
            Self::Look | Self::Ask | Self::SecureAccount | Self::Borrow => {
                &[Member, Quartermaster, Outreach, Admin]
            }
            // What choosing needs of somebody's eyes is for quartermasters alone.
            Self::AskForMember | Self::SeeNeeds | Self::RunDesk | Self::KeepShelf => {
                &[Quartermaster]
            }
            Self::SeeMembers => &[Quartermaster, Outreach, Admin],
            Self::KeepPublicNights => &[Quartermaster, Outreach],
            Self::KeepPost | Self::Invite | Self::KeepSites | Self::PlanPurchases => {
                &[Quartermaster, Admin]
            }
            Self::ManageAccounts | Self::ReadAudit => &[Admin],
        }
    }
}

/// The roles of one person.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Roles(Vec<Role>);

impl Roles {
    /// These roles, each once.
    #[must_use]
    pub fn of(roles: impl IntoIterator<Item = Role>) -> Self {
        let mut all: Vec<Role> = roles.into_iter().collect();
        all.sort_unstable();
        all.dedup();
        Self(all)
    }

    /// Whether one of them may do it.
    #[must_use]
    pub fn may(&self, deed: Deed) -> bool {
        deed.allowed().iter().any(|role| self.0.contains(role))
    }

    /// Whether this is one of them.
    #[must_use]
    pub fn include(&self, role: Role) -> bool {
        self.0.contains(&role)
    }

    /// Whether any of them works for the club, and its sessions are therefore short.
    #[must_use]
    pub fn are_staff(&self) -> bool {
        self.0.iter().any(|role| *role != Role::Member)
    }

    /// Whether any of them can do so much harm that a password alone is not enough.
    #[must_use]
    pub fn need_codes(&self) -> bool {
        self.include(Role::Quartermaster) || self.include(Role::Admin)
    }

    /// All of them.
    pub fn iter(&self) -> impl Iterator<Item = Role> + '_ {
        self.0.iter().copied()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nobody_without_a_role_may_do_anything() {
        for deed in Deed::ALL {
            assert!(!Roles::default().may(deed), "{deed:?}");
        }
    }

    #[test]
    fn members_ask_for_themselves_and_quartermasters_for_anybody() {
        let member = Roles::of([Role::Member]);
        assert!(member.may(Deed::Ask) && !member.may(Deed::AskForMember) && !member.are_staff());
        for role in [Role::Quartermaster, Role::Outreach, Role::Admin] {
            let staff = Roles::of([role]);
            assert_eq!(staff.may(Deed::AskForMember), role == Role::Quartermaster, "{role:?}");
            assert!(staff.are_staff(), "{role:?}");
        }
    }

    #[test]
    fn every_role_survives_its_word() {
        for role in Role::ALL {
            assert_eq!(Role::parse(role.as_str()), Some(role));
        }
    }
}
