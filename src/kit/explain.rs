//! Sentences for findings: plain words, for someone at their first telescope.

use super::bench::Bench;
use super::rules::{Detail, Fact, Finding, Rule, Standing, Usage};
use crate::optics::{Barlow, Barrel, Eyepiece, OpticalClass, Seeing, View};

/// The view a sentence is about.
#[derive(Debug, Clone, Copy)]
pub struct Subject<'a> {
    /// The telescope for this observer.
    pub bench: &'a Bench<'a>,
    /// The eyepiece.
    pub eyepiece: &'a Eyepiece,
    /// The Barlow, if one is used.
    pub barlow: Option<&'a Barlow>,
}

impl Finding {
    /// One sentence on what this rule found.
    #[must_use]
    pub fn sentence(&self, subject: Subject<'_>) -> String {
        match self.rule {
            Rule::Fits => self.on_fit(subject),
            Rule::Pupil => self.on_pupil(subject),
            Rule::ThinBeam => self.on_thin_beam(),
            Rule::Ceiling => self.on_ceiling(subject),
            Rule::EyeRelief => self.on_eye_relief(subject),
            Rule::Focus => self.on_focus(),
            Rule::FieldEdge => self.on_field_edge(),
            Rule::Balance => self.on_balance(),
            Rule::Sun => self.on_sun(subject),
        }
    }

    fn value_or_zero(&self) -> f64 {
        self.value.unwrap_or(0.0)
    }

    fn limit_or_zero(&self) -> f64 {
        self.limit.unwrap_or(0.0)
    }

    fn on_fit(&self, subject: Subject<'_>) -> String {
        let own = subject.eyepiece.barrel().map_or(String::new(), barrel);
        match self.detail {
            Detail::GoesInWithAdapter => {
                "It goes in with an adapter ring from the wider to the narrower barrel.".into()
            }
            Detail::EyepieceTooWide { into, barlow: true } => {
                format!(
                    "Its {own} barrel is wider than the Barlow's {}: it does not go in.",
                    barrel(into)
                )
            }
            Detail::EyepieceTooWide { into, barlow: false } => {
                format!(
                    "Its {own} barrel is wider than the {} focuser: it does not go in.",
                    barrel(into)
                )
            }
            Detail::BarlowTooWide { into } => {
                format!("The Barlow is wider than the {} focuser: it does not go in.", barrel(into))
            }
            Detail::Missing(fact) => not_recorded(fact, "whether it goes in"),
            _ => "It goes straight in.".into(),
        }
    }

    fn on_pupil(&self, subject: Subject<'_>) -> String {
        let beam = mm(self.value_or_zero());
        let pupil = subject.bench.pupil();
        let typical = mm(pupil.typical.mm());
        let when = match subject.bench.usage() {
            Usage::Night => "in the dark",
            Usage::Day | Usage::Sun => "by day",
        };
        match self.detail {
            Detail::BeamFits { some_eyes_smaller: true } => format!(
                "The {beam} beam goes into a pupil that opens to about {typical} {when}; some eyes open only to {}.",
                mm(pupil.low.mm())
            ),
            Detail::BeamFits { some_eyes_smaller: false } => {
                format!("The {beam} beam goes into a pupil that opens to about {typical} {when}.")
            }
            Detail::LightLost { loss, effective_aperture_mm } => format!(
                "The {beam} beam is wider than a pupil of about {typical}: {} of the light is lost, and the telescope works like one of {effective_aperture_mm:.0} mm.",
                per_cent(loss)
            ),
            Detail::TooWideForAnObstruction => format!(
                "A {beam} beam is wider than any eye should be given here: over {} the shadow of the secondary mirror shows as a dark spot.",
                mm(self.limit_or_zero())
            ),
            Detail::Shadow { share } if self.standing == Standing::Unsuitable => format!(
                "The secondary mirror's shadow would cover {} of the pupil's width: a dark spot floats in the view.",
                per_cent(share)
            ),
            Detail::Shadow { share } => format!(
                "The secondary mirror's shadow takes {} of the pupil's width: it shows when the eye moves, and more so by day.",
                per_cent(share)
            ),
            Detail::WideForFirstTimers => format!(
                "A {beam} beam is hard to hold for someone new to eyepieces; up to {} is easy.",
                mm(self.limit_or_zero())
            ),
            Detail::Missing(fact) => not_recorded(fact, "whether all the light gets into the eye"),
            _ => format!("The {beam} beam goes into the eye."),
        }
    }

    fn on_thin_beam(&self) -> String {
        let beam = mm(self.value_or_zero());
        match (self.detail, self.standing) {
            (Detail::BeamThin, Standing::Unsuitable) => format!(
                "A {beam} beam is too thin: the view is dim, and every speck in your own eye shows."
            ),
            (Detail::BeamThin, _) => format!(
                "A {beam} beam is thin: the view is dim, and specks in your own eye begin to show."
            ),
            (Detail::ThinForFirstTimers, _) => format!(
                "A {beam} beam is easy to lose for someone new to eyepieces; from {} it is easy to hold.",
                mm(self.limit_or_zero())
            ),
            _ => format!("A {beam} beam is not too thin."),
        }
    }

    fn on_ceiling(&self, subject: Subject<'_>) -> String {
        let limit = power(self.limit_or_zero());
        let power = power(self.value_or_zero());
        let seeing = subject.bench.seeing.map_or(0.0, Seeing::arcsec);
        match (self.detail, self.standing) {
            (Detail::PowerForAperture, Standing::Unsuitable) => format!(
                "{power} is beyond the {limit} that this aperture carries on the best nights: larger and dimmer, but no sharper."
            ),
            (Detail::PowerForAperture, _) => format!(
                "{power} is more than the {limit} that this aperture carries on most nights; keep it for a steady one."
            ),
            (Detail::PowerForSeeing, Standing::Unsuitable) => format!(
                "{power} is beyond the {limit} at which {seeing}″ seeing shows nothing more."
            ),
            (Detail::PowerForSeeing, _) => format!(
                "{power} is more than the {limit} at which {seeing}″ seeing still looks crisp."
            ),
            _ => format!("{power} is within the {limit} to expect on most nights."),
        }
    }

    fn on_eye_relief(&self, subject: Subject<'_>) -> String {
        let relief = whole_mm(self.value_or_zero());
        let view = View::of(subject.bench.telescope, subject.eyepiece, subject.barlow);
        // What is comfortable, whichever limit decided: that is what to look for.
        let limit = number(subject.bench.relief_needed_mm(view.exit_pupil().mm()));
        match (self.detail, self.standing) {
            (Detail::Missing(Fact::EyeRelief), _) => {
                format!("Its eye relief is not recorded, so nobody knows whether the eye can get close enough; you need {limit} mm.")
            }
            (Detail::Missing(_), _) => {
                "Whether you wear glasses at the eyepiece is not recorded; the eye relief is enough either way.".into()
            }
            (Detail::BareRelief, Standing::Unsuitable) => format!(
                "{relief} of eye relief: your lashes will touch the glass; you need {limit}."
            ),
            (Detail::BareRelief, Standing::Compromise) => {
                format!("{relief} of eye relief is snug: usable, but {limit} is comfortable.")
            }
            (Detail::GlassesRelief, Standing::Unsuitable) => format!(
                "{relief} of eye relief: your glasses will touch long before the whole field shows; you need {limit}."
            ),
            (Detail::GlassesRelief, Standing::Compromise) => format!(
                "{relief} of eye relief with glasses on: the edge of the field may hide; {limit} shows it all."
            ),
            (Detail::GlassesRelief, _) => {
                format!("{relief} of eye relief leaves room for glasses.")
            }
            (Detail::GlassesMayComeOff { hidden_below_mm, a_little_blur: false }, standing) => {
                let off = format!(
                    "Glasses can come off here: a beam under {} hides your astigmatism, and the focuser does the rest.",
                    mm(hidden_below_mm)
                );
                match standing {
                    Standing::Suits => format!("{off} {relief} of eye relief is then comfortable."),
                    _ => format!("{off} {relief} of eye relief is then snug; {limit} is comfortable."),
                }
            }
            (Detail::GlassesMayComeOff { hidden_below_mm, a_little_blur: true }, _) => format!(
                "Glasses can come off here at the price of a little blur (your astigmatism hides below {}); {relief} of eye relief is then enough.",
                mm(hidden_below_mm)
            ),
            (Detail::AstigmatismShows { hidden_below_mm }, _) => format!(
                "{relief} of eye relief is comfortable, but without glasses your astigmatism blurs stars in beams over {}.",
                mm(hidden_below_mm)
            ),
            _ => format!("{relief} of eye relief is comfortable."),
        }
    }

    fn on_focus(&self) -> String {
        match self.detail {
            Detail::FocusReached => format!(
                "Without glasses the focus moves {}, which the focuser reaches.",
                mm(self.value_or_zero())
            ),
            Detail::FocusShort { shift_mm } => format!(
                "Without glasses the focus moves {} {}; the focuser may not reach that far.",
                mm(shift_mm.abs()),
                if shift_mm < 0.0 { "inward" } else { "outward" }
            ),
            Detail::Missing(fact) => {
                not_recorded(fact, "whether the focus can be reached without glasses")
            }
            _ => "The focuser has nothing unusual to reach.".into(),
        }
    }

    fn on_field_edge(&self) -> String {
        match self.detail {
            Detail::ClassForRatio { class, ratio } => format!(
                "{} wants f/{} or slower; at f/{} stars near the edge stretch.",
                class_in_words(class),
                number(class.fastest_focal_ratio()),
                number(ratio)
            ),
            Detail::Coma { clean_share } => format!(
                "The mirror's coma shows: only the inner {} of the field's width is clean.",
                per_cent(clean_share)
            ),
            Detail::Missing(fact) => not_recorded(fact, "how clean the edge of the field is"),
            _ => "The field is clean far enough out.".into(),
        }
    }

    fn on_balance(&self) -> String {
        let mass = self.value_or_zero();
        let limit = self.limit_or_zero();
        match (self.detail, self.standing) {
            (Detail::Heavy, Standing::Unsuitable) => format!(
                "{mass:.0} g is far more than this telescope carries at the eyepiece (up to {limit:.0} g): it would sink or slip."
            ),
            (Detail::Heavy, _) => format!(
                "{mass:.0} g is more than the {limit:.0} g this telescope balances: add a counterweight."
            ),
            (Detail::Missing(fact), _) => {
                not_recorded(fact, "whether the telescope stays in balance")
            }
            _ => format!("{mass:.0} g is easily carried."),
        }
    }

    fn on_sun(&self, subject: Subject<'_>) -> String {
        match self.detail {
            Detail::NoFilter if subject.bench.usage() == Usage::Sun => {
                "Blocked: no full-aperture front filter is recorded as fitting this telescope, tested in time and undamaged. Never look at the Sun without one.".into()
            }
            Detail::NoFilter => {
                "Blocked: while the Sun is up this telescope leaves only with a verified full-aperture front filter. One glance at the Sun blinds for life.".into()
            }
            Detail::FilterVerified => {
                "A verified full-aperture front filter goes with it. Inspect it before every use, and cap the finder.".into()
            }
            _ => "For the night only: never point it near the Sun.".into(),
        }
    }
}

fn not_recorded(fact: Fact, so: &str) -> String {
    format!("Not known {so}: {} not recorded.", fact_in_words(fact))
}

/// The missing fact with its verb, as it stands in a sentence.
#[must_use]
pub fn fact_in_words(fact: Fact) -> &'static str {
    match fact {
        Fact::EyepieceBarrel => "the eyepiece's barrel is",
        Fact::BarlowBarrel => "the Barlow's barrel is",
        Fact::FocuserBarrel => "the telescope's focuser barrel is",
        Fact::Obstruction => "the telescope's central obstruction is",
        Fact::Age => "the observer's year of birth is",
        Fact::EyeRelief => "the eyepiece's eye relief is",
        Fact::Glasses => "whether the observer wears glasses is",
        Fact::FocuserTravel => "the focuser's travel is",
        Fact::Sphere => "the observer's sphere is",
        Fact::OpticalClass => "the eyepiece's optical class is",
        Fact::Layout => "the telescope's optical layout is",
        Fact::Field => "the eyepiece's field is",
        Fact::Mass => "the eyepiece's or Barlow's mass is",
        Fact::BalanceLimit => "what the telescope balances is",
    }
}

fn class_in_words(class: OpticalClass) -> &'static str {
    match class {
        OpticalClass::TwoLens => "A two-lens eyepiece",
        OpticalClass::ThreeElement => "A three-element eyepiece",
        OpticalClass::FourElement => "A four-element eyepiece",
        OpticalClass::WideField => "Even a wide-field eyepiece",
    }
}

fn barrel(barrel: Barrel) -> String {
    format!("{} mm", barrel.mm())
}

/// At most one decimal, and none where it is zero.
fn number(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

fn mm(value: f64) -> String {
    format!("{value:.1} mm")
}

fn whole_mm(value: f64) -> String {
    format!("{} mm", number(value))
}

fn power(value: f64) -> String {
    format!("{value:.0}×")
}

fn per_cent(share: f64) -> String {
    format!("{:.0}%", share * 100.0)
}
