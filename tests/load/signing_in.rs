//! Fifty people sign in at once: what that does to memory.

use std::time::Duration;

use crate::client::{Client, Who};
use crate::club::Club;
use crate::service::Service;

pub fn fifty_at_once(service: &Service, club: &Club) {
    let (before, _) = service.memory_mb();
    let person = club.person("member");
    let form = format!(
        "email={}&password={}",
        person.email.replace('@', "%40"),
        person.password.replace(' ', "+")
    );
    let statuses: Vec<u16> = std::thread::scope(|scope| {
        let all: Vec<_> = (0..50)
            .map(|_| {
                scope.spawn(|| {
                    let kind = "application/x-www-form-urlencoded";
                    Client::to(&service.address)
                        .post("/sign-in", &Who::nobody(), kind, &form)
                        .status
                })
            })
            .collect();
        all.into_iter().map(|one| one.join().unwrap()).collect()
    });
    let signed = statuses.iter().filter(|status| **status == 303).count();
    let (_, peak) = service.memory_mb();
    std::thread::sleep(Duration::from_secs(2));
    let (after, _) = service.memory_mb();
    println!(
        "fifty sign in at once: {signed} did; memory {before:.1} MB before, {peak:.1} at its highest \
         (goal 68), {after:.1} afterwards (goal 40)\n"
    );
}
