//! `kits`: the main question, asked from a shell.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, ValueEnum};
use jiff::tz::TimeZone;

use super::running::{Failure, open_existing};
use crate::choosing::discreet::Telling;
use crate::choosing::search::{Ask, AskedEyes};
use crate::choosing::search_api::{self, SearchAnswer};
use crate::choosing::wire::Explain;
use crate::choosing::wire::Id;
use crate::eye::{Glasses, Observer};
use crate::kit::{Question, Usage};
use crate::lending::Nights;
use crate::observing::sites::{self, SiteError, SiteId};
use crate::optics::{Age, Cylinder};
use crate::people::{self, MemberId};
use crate::profile::{self, OwnCase};
use crate::store::Store;
use crate::web::clock::Clock;

/// How many telescopes' kits are told.
const KITS_TOLD: usize = 5;

/// Options of `kits`.
#[derive(Debug, Args)]
pub struct Options {
    /// Folder of the club's data.
    #[arg(long, env = "BORROWED_LIGHT_DATA")]
    data: PathBuf,
    /// A member's number in the database.
    #[arg(long, required_unless_present = "age", conflicts_with_all = ["age", "glasses", "cylinder"])]
    member: Option<i64>,
    /// The observer's age in years.
    #[arg(long)]
    age: Option<f64>,
    /// Whether glasses stay on at the eyepiece.
    #[arg(long, value_enum, default_value = "off")]
    glasses: OnOff,
    /// The cylinder of the observing eye, dioptres.
    #[arg(long, allow_negative_numbers = true)]
    cylinder: Option<f64>,
    /// The date of the first evening, such as 2026-06-05.
    #[arg(long)]
    from: String,
    /// The date of the last evening.
    #[arg(long)]
    to: String,
    /// The number of an observing site; without it, where the club usually observes.
    #[arg(long)]
    site: Option<i64>,
    /// Most eyepieces in a kit.
    #[arg(long, default_value = "5", value_parser = clap::value_parser!(u8).range(1..=8))]
    eyepieces: u8,
    /// Answer as JSON, as the API does.
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum OnOff {
    On,
    Off,
}

/// Runs `kits`: status 1 where there is no kit.
///
/// # Errors
/// The folder holds no club, or what was asked makes no sense.
pub async fn run(options: Options) -> Result<ExitCode, Failure> {
    let wrong = |error: &dyn std::fmt::Display| Failure::WrongUse(error.to_string());
    let nights = Nights::parse(&options.from, &options.to).map_err(|error| wrong(&error))?;
    let described = options.age.map(|years| described(&options, years)).transpose()?;
    let store = open_existing(&options.data).await?;
    if let Some(site) = options.site {
        known_site(&store, site).await?;
    }
    let (observer, own) = match (described, options.member) {
        (Some(observer), _) => (observer, OwnCase::default()),
        (None, Some(member)) => of_member(&store, member).await?,
        (None, None) => return Err(Failure::WrongUse("give --member or --age".into())),
    };
    let ask = Ask {
        question: Question { observer, seeing: None, usage: Usage::Night, tonight: None },
        nights,
        site: options.site.map(SiteId),
        telescope: None,
        max_eyepieces: usize::from(options.eyepieces),
        limit: KITS_TOLD,
        own,
        telling: Telling::Plainly,
        eyes: AskedEyes::Described,
    };
    let answer = search_api::find(&store, &ask, Explain::Kits)
        .await
        .map_err(|error| Failure::Failed(error.to_string()));
    store.close().await;
    let answer = answer?;
    if options.json {
        let text = serde_json::to_string_pretty(&answer)
            .map_err(|error| Failure::Failed(error.to_string()))?;
        println!("{text}");
    } else {
        print!("{}", told(&answer));
    }
    Ok(if answer.found.kits.is_empty() { ExitCode::FAILURE } else { ExitCode::SUCCESS })
}

fn described(options: &Options, years: f64) -> Result<Observer, Failure> {
    let wrong = |error: &dyn std::fmt::Display| Failure::WrongUse(error.to_string());
    let age = Age::new(years).map_err(|error| wrong(&error))?;
    let glasses = match options.glasses {
        OnOff::On => Glasses::KeepsOn,
        OnOff::Off => Glasses::None,
    };
    let mut observer = Observer::person(age, glasses);
    observer.prescription.cylinder =
        options.cylinder.map(Cylinder::new).transpose().map_err(|error| wrong(&error))?;
    Ok(observer)
}

async fn known_site(store: &Store, site: i64) -> Result<(), Failure> {
    let mut conn = store.reader().acquire().await?;
    match sites::site(&mut conn, SiteId(site)).await {
        Ok(_) => Ok(()),
        Err(SiteError::NotThere) => Err(Failure::Failed(format!(
            "there is no observing site with the number {site}; leave --site out for the usual one"
        ))),
        Err(error) => Err(Failure::Failed(error.to_string())),
    }
}

async fn of_member(store: &Store, member: i64) -> Result<(Observer, OwnCase), Failure> {
    let failed = |error: people::PeopleError| Failure::Failed(error.to_string());
    let mut conn = store.reader().acquire().await?;
    let record = people::member(&mut conn, MemberId(member)).await.map_err(failed)?;
    let Some(record) = record else {
        return Err(Failure::Failed(format!("there is no member with the number {member}")));
    };
    let eyes = people::member_eye(&mut conn, record.id).await.map_err(failed)?;
    let own = profile::own_case(&mut conn, record.id)
        .await
        .map_err(|error| Failure::Failed(error.to_string()))?;
    Ok((eyes.observer(Clock::system(TimeZone::system()).today().year()), own))
}

/// The answer in plain text.
fn told(answer: &SearchAnswer) -> String {
    use std::fmt::Write as _;
    let name = |id: &Id| {
        let found = answer.items.iter().find(|item| item.id == *id);
        found.map_or_else(|| id.to_string(), |item| format!("{} {}", item.asset_tag, item.name))
    };
    let mut text = String::new();
    // Writing to a String cannot fail.
    for kit in &answer.found.kits {
        let _ =
            writeln!(text, "{}  (value {:.3}, {})", name(&kit.telescope), kit.value, kit.verdict);
        for piece in kit.eyepieces.iter().chain(&kit.barlow) {
            let _ = writeln!(text, "    {}", name(piece));
        }
        for view in &kit.views {
            let with = if view.barlow.is_some() { " with the Barlow" } else { "" };
            let _ = writeln!(
                text,
                "    {:>4.0}×  {:>4.1} mm  {}{with}: {}",
                view.view.magnification,
                view.view.exit_pupil_mm,
                name(&view.eyepiece),
                view.view.verdict
            );
        }
    }
    if answer.found.kits.is_empty() {
        let _ = writeln!(text, "Nothing that is free suits on these nights.");
        if let Some(way) = &answer.in_the_way {
            for one in &way.promised {
                let _ = writeln!(
                    text,
                    "  {} {} is promised from {} to {}.",
                    one.asset_tag, one.name, one.nights.first_night, one.nights.last_night
                );
            }
        }
        for other in &answer.next_nights {
            let _ = writeln!(
                text,
                "  It works from {} to {}, with {} for example.",
                other.nights.first_night, other.nights.last_night, other.telescope
            );
        }
    } else if answer.found.proven_optimal {
        let _ = writeln!(text, "Proven: nothing that is free makes a better kit.");
    }
    text
}
