//! Members, their accounts and their access.

mod member;
pub mod sign_in_page;

pub use member::{
    BirthYear, Email, EyeRecord, LONGEST_NAME, MemberFacts, MemberId, MemberNumber, MemberRecord,
    MemberState, NotABirthYear, NotAnEmail, WrittenCylinder,
};
