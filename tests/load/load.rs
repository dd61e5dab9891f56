//! The whole service under load, as a process of its own, beside what its work costs alone: a static
//! string from the same server, the bare search, the bare SQL, a bare durable commit. Every figure is
//! a ratio to something measured in the same run on the same machine.
//!
//! `cargo bench --bench load` runs all; `--most N` ends the sizes at N pieces, `--loans N` the loans.
//! It needs `wrk` for throughput. Everything goes to this machine's own loopback address and ends by
//! itself.
#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used)]

mod client;
mod club;
mod reading;
mod service;
#[path = "../shelves/mod.rs"]
mod shelves;
mod signing_in;
mod slow_disk;
mod writing;

use club::Club;
use service::Service;

/// Pieces on the shelf.
const SIZES: [usize; 4] = [100, 2_000, 20_000, 100_000];

/// Loans that are over, on a shelf of 2,000 pieces.
const LOANS: [i64; 3] = [1_000, 100_000, 1_000_000];

fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    let named = |name: &str| {
        let at = arguments.iter().position(|one| one == name)?;
        arguments.get(at + 1)?.parse::<usize>().ok()
    };
    let most = named("--most").unwrap_or(usize::MAX);
    let loans = named("--loans").map_or(i64::MAX, |loans| i64::try_from(loans).unwrap());
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build().unwrap();

    if arguments.iter().any(|one| one == "--only-writing") {
        runtime.block_on(slow_disk::writing());
        return;
    }
    println!("## By the size of the shelf, with ten past loans for each piece\n");
    for pieces in SIZES.into_iter().filter(|size| *size <= most) {
        let past = i64::try_from(pieces * 10).unwrap().min(loans);
        let club = runtime.block_on(Club::with(pieces, past));
        println!("### {pieces} pieces, {past} past loans\n");
        standing(&club);
        let service = Service::on(club.folder.path());
        reading::throughput(&service, &club);
        runtime.block_on(reading::main_answer(&service, &club));
        runtime.block_on(reading::free_pieces(&service, &club));
        let (now, peak) = service.memory_mb();
        println!("memory after all that: {now:.1} MB, at its highest {peak:.1} MB\n");
    }

    println!("## By the number of past loans, with 2,000 pieces\n");
    let mut table = reading::Lists::default();
    for past in LOANS.into_iter().filter(|past| *past <= loans) {
        let club = runtime.block_on(Club::with(2_000, past));
        if past == LOANS[0] {
            // A service of its own: the goal is told from one that nobody has used.
            signing_in::fifty_at_once(&Service::on(club.folder.path()), &club);
        }
        let service = Service::on(club.folder.path());
        table.ask(&service, &club, past);
        println!("### {past} past loans\n");
        runtime.block_on(writing::one_client(&service, &club));
        runtime.block_on(writing::fifty_clients(&service, &club));
        writing::reading_meanwhile(&service, &club);
    }
    table.print();
    println!("\n## By the disk\n");
    slow_disk::all();
}

/// How fast it starts and how much memory it has before anybody came.
fn standing(club: &Club) {
    let mut starts: Vec<f64> =
        (0..5).map(|_| Service::on(club.folder.path()).cold_start.as_secs_f64() * 1e3).collect();
    starts.sort_by(f64::total_cmp);
    let service = Service::on(club.folder.path());
    let (idle, _) = service.memory_mb();
    println!("start to first answer: {:.0} ms (median of 5; goal 100)", starts[2]);
    println!("memory before anybody came: {idle:.1} MB (goal 30)\n");
}
