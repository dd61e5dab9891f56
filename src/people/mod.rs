//! Members, their accounts and their access.

pub mod access;
pub mod account;
pub mod account_page;
pub mod account_pages;
mod addressee;
pub mod check;
mod common;
pub mod forget;
pub mod guardian;
pub mod invite;
pub mod invite_letters;
pub mod invite_pages;
pub mod joining;
pub mod joining_page;
pub mod joining_pages;
pub mod link_pages;
pub mod links;
pub mod list_page;
pub mod list_pages;
pub mod list_preview;
pub mod manage;
mod member;
mod member_store;
mod member_table;
pub mod names;
pub mod pages;
pub mod password;
pub mod people_page;
pub mod people_pages;
pub mod places;
mod porter;
pub mod profile;
mod proof;
pub mod rights;
pub mod roster;
pub mod second;
pub mod session;
pub mod setup;
pub mod setup_pages;
pub mod sign_in_page;
pub mod throttle;
pub mod token;
mod warnings;

pub use addressee::{Addressee, addressee_of_account, addressee_of_guardian, addressee_of_member};
pub use member::{
    BirthYear, Email, EyeRecord, MemberFacts, MemberId, MemberNumber, MemberRecord, MemberState,
    NotABirthYear, NotAnEmail, WrittenCylinder,
};
pub use member_store::{
    PeopleError, add_member, member, member_by_number, member_eye, members, put_member_eye,
    replace_member,
};
pub use member_table::{MEMBER_COLUMNS, MemberRow, read_members, take_members_in, write_members};
pub use porter::Porter;
pub use proof::Proof;
