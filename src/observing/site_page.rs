//! The pages of the club's observing sites.

use askama::Template;
use askama_web::WebTemplate;

use super::coordinate;
use super::site::{KeptSite, Usually};
use super::site_form::SiteForm;
use super::skyline::Skyline;
use crate::web::frame::Frame;

/// A site as the list shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SiteRow {
    /// What it is called.
    pub name: String,
    /// Its page.
    pub address: String,
    /// Whether the club usually observes there.
    pub usual: bool,
    /// How dark it is, and how steady the air.
    pub sky: String,
    /// Where it lies.
    pub place: String,
    /// What stands around it.
    pub skyline: Skyline,
}

impl SiteRow {
    /// The row of a site.
    #[must_use]
    pub fn of(kept: &KeptSite) -> Self {
        let site = &kept.site;
        let (mag, words) = (site.sky.mag(), site.sky.in_words());
        let words = crate::web::format::sentence_case(words);
        let seeing = site.seeing.map_or_else(String::new, |seeing| {
            format!(" Stars are usually {} arcseconds wide.", seeing.arcsec())
        });
        Self {
            name: site.name.to_string(),
            address: format!("/sites/{}", kept.id),
            usual: kept.usually == Usually::Here,
            sky: format!("{words}, {mag:.1} magnitudes per square arcsecond.{seeing}"),
            place: format!(
                "{}, {:.0} m, clocks of {}",
                coordinate::written(site.place.latitude.deg(), site.place.longitude.deg()),
                site.place.height.m(),
                site.zone.name()
            ),
            skyline: Skyline::of(&site.horizon),
        }
    }
}

/// `/sites`
#[derive(Template, WebTemplate)]
#[template(path = "observing/sites.html")]
pub struct SitesPage {
    /// The frame.
    pub frame: Frame,
    /// Every site, the usual one first.
    pub sites: Vec<SiteRow>,
    /// Good news to show once.
    pub notice: Option<&'static str>,
}

/// `/sites/{id}` and `/sites/new`
#[derive(Template, WebTemplate)]
#[template(path = "observing/site.html")]
pub struct SitePage {
    /// The frame.
    pub frame: Frame,
    /// The form.
    pub form: SiteForm,
    /// Where the form is sent.
    pub action: String,
    /// The version that the reader saw; none for something new.
    pub version: Option<i64>,
    /// Whether the club usually observes there as it stands.
    pub is_usual: bool,
    /// The skyline as it is kept.
    pub skyline: Option<Skyline>,
    /// What stands in the way, whatever is typed.
    pub refused: Option<String>,
}

#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, signed_in};
    use crate::observing::site_form::Typed;
    use crate::people::rights::Role;
    use crate::sky::Horizon;
    use crate::web::frame::{Place, Scheme};

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let frame = |title: &str| {
            signed_in(title, scheme, "Ines Aldous", &[Role::Quartermaster])
                .at(Place::Sites)
                .returning_to("/sites")
        };
        let skyline = Skyline::of(&Horizon::LEVEL);
        let row = |name: &str, usual| SiteRow {
            name: name.into(),
            address: "/sites/1".into(),
            usual,
            sky: "A country sky, 20.6 magnitudes per square arcsecond.".into(),
            place: "52.31° N, 2.12° W, 110 m, clocks of Europe/London".into(),
            skyline: skyline.clone(),
        };
        let list = |sites, notice| SitesPage { frame: frame("Where we observe"), sites, notice };
        let mut wrong = SiteForm::typed(&Typed {
            name: "<script>alert(1)</script>".into(),
            latitude: "far north".into(),
            ..Typed::default()
        });
        assert!(wrong.check().is_none());
        let page = |form, version, refused| SitePage {
            frame: frame("Long Meadow"),
            form,
            action: "/sites/1".into(),
            version,
            is_usual: version.is_some(),
            skyline: version.map(|_| skyline.clone()),
            refused,
        };
        let late = Some("This site was changed meanwhile.".to_owned());
        vec![
            Sample::of("sites-none", &list(Vec::new(), None)),
            Sample::of(
                "sites",
                &list(
                    vec![row("Windmill Hill", true), row("\"><script>alert(1)</script>", false)],
                    Some("Saved."),
                ),
            ),
            Sample::of("site-new", &page(SiteForm::fresh("Europe/London"), None, None)),
            Sample::of("site-refused", &page(wrong, Some(2), late)),
        ]
    }
}
