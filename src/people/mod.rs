//! Members, their accounts and their access.

pub mod access;
mod member;
mod member_store;
pub mod rights;
pub mod session;
pub mod sign_in_page;
pub mod token;

pub use member::{
    BirthYear, Email, EyeRecord, MemberFacts, MemberId, MemberNumber, MemberRecord, MemberState,
    NotABirthYear, NotAnEmail, WrittenCylinder,
};
pub use member_store::{
    PeopleError, add_member, member, member_by_number, member_eye, members, put_member_eye,
    replace_member,
};
