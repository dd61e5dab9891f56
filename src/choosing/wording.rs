//! Words for telescopes, eyepieces, views and rules, as the pages of the main question use them.

use super::discreet::Telling;
use super::search::Told;
use crate::kit::explain::Subject;
use crate::kit::rules::verdict_of;
use crate::kit::story::KitView;
use crate::kit::{Rule, Standing, SunFilter, Verdict};
use crate::lending::Nights;
use crate::lending::cautions::{self, Topic};
use crate::optics::{self, Eyepiece, Telescope};
use crate::shelf::{TelescopeRecord, Wordy};
use crate::web::format;
use crate::web::mark::Reason;

/// From here on, the heaviest part is not lifted without thinking: common practice, no source.
const HEAVY_PART_G: f64 = 15_000.0;

pub(super) fn rule_in_words(rule: Rule) -> &'static str {
    match rule {
        Rule::Fits => "it does not go into the focuser",
        Rule::Pupil => "the beam is wider than the eye, or the secondary's shadow shows",
        Rule::ThinBeam => "the beam is too thin",
        Rule::Ceiling => "the power is more than the aperture or the air allows",
        Rule::EyeRelief => "the eye cannot get close enough",
        Rule::Focus => "the focus is out of reach without glasses",
        Rule::FieldEdge => "the edge of the field is poor",
        Rule::Balance => "it is too heavy for the telescope",
        Rule::Sun => "no verified solar filter goes with the telescope",
    }
}

pub(super) fn in_words(nights: Nights) -> String {
    format::nights(nights.first().evening(), nights.last().evening())
}

pub(super) fn powers(told: &Told) -> (String, String) {
    let power = |view: Option<&KitView>| {
        view.map_or_else(String::new, |view| format::power(view.facts.magnification))
    };
    (power(told.story.views.first()), power(told.story.views.last()))
}

/// The two or three things a view serves best, in a few words.
pub(super) fn good_for(view: &KitView) -> String {
    let names: Vec<&str> = view
        .serves
        .iter()
        .filter(|served| served.worth >= 0.15)
        .take(3)
        .map(|served| served.name)
        .collect();
    format::list(&names)
}

/// The reasons worth reading, worst first; for a view that suits, the one on eye relief.
pub(super) fn reasons(view: &KitView, subject: Subject<'_>, telling: Telling) -> Vec<Reason> {
    let mut findings: Vec<_> = view
        .assessment
        .findings
        .iter()
        .filter(|finding| match finding.standing {
            Standing::Suits => false,
            // What is not known matters where it costs the verdict.
            Standing::NotKnown => verdict_of(finding.rule, finding.standing) != Verdict::Suits,
            _ => true,
        })
        .collect();
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.standing));
    if findings.is_empty() {
        findings.push(view.assessment.of(Rule::EyeRelief));
    }
    findings
        .into_iter()
        .map(|finding| Reason {
            mark: finding.standing.into(),
            text: telling.sentence(finding, subject),
        })
        .collect()
}

/// A telescope in plain words.
#[must_use]
pub fn summary(item: &TelescopeRecord) -> String {
    item.figures.summary()
}

/// An eyepiece's figures in a few words.
#[must_use]
pub fn eyepiece_in_words(eyepiece: &Eyepiece) -> String {
    eyepiece.summary()
}

/// The cautions that go with a telescope.
#[must_use]
pub fn cautions_for(item: &TelescopeRecord, filter: SunFilter) -> Vec<String> {
    let mut told = Vec::new();
    let heaviest = item.figures.heaviest_part.map(optics::Mass::g);
    if let Some(helpers) = item.figures.helpers.filter(|helpers| helpers.count() > 0) {
        let weight = heaviest.map_or_else(String::new, |mass| {
            format!(" (the heaviest part weighs {})", format::mass(mass))
        });
        let needs = format::count(usize::from(helpers.count()), "helper", "helpers");
        told.push(format!("Bring {needs}{weight}. {}", cautions::about(Topic::Lifting).short));
    } else if let Some(mass) = heaviest.filter(|mass| *mass >= HEAVY_PART_G) {
        told.push(format!(
            "The heaviest part weighs {}. {}",
            format::mass(mass),
            cautions::about(Topic::Lifting).short
        ));
    }
    if filter == SunFilter::Missing {
        told.push(cautions::about(Topic::Sun).short.to_owned());
    } else {
        told.push(format!(
            "A verified solar filter exists for it; without it fitted: {}",
            cautions::about(Topic::Sun).short
        ));
    }
    told
}

/// What a corrector makes of a telescope: "makes it 1461 mm, f/5.8, without coma".
pub(super) fn corrected_in_words(corrected: &Telescope) -> String {
    format!(
        "makes it {}, {}, without coma",
        format::millimetres(corrected.focal_length().mm()),
        format::focal_ratio(corrected.focal_ratio().number())
    )
}
