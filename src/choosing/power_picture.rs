//! The picture of a kit's powers: a shaft of light that the telescope sends through the eye's
//! window.
//!
//! From left to right the magnification grows (a logarithmic scale) and the shaft, as wide as
//! the exit pupil, thins. Two rails show how wide the observer's pupil opens in the dark, each as
//! thick as we are unsure of it; light outside the rails is lost, and the shaft meets them at the
//! power floor. Below it a sill tells where powers are open, half open and shut. Every eyepiece
//! stands in the shaft as a round mark, every eyepiece with the Barlow as a square one on its
//! corner; a mark wholly lit suits, half lit is a compromise, unlit does not suit.

use std::fmt::{self, Write as _};

use super::power_drawing::{Drawing, Size};
use crate::web::format;
use crate::web::mark::Mark;

/// A view's place in the picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// The magnification.
    pub power: f64,
    /// The eyepiece's focal length as a label, "25 mm".
    pub label: String,
    /// Whether the Barlow is in use.
    pub barlow: bool,
    /// Position in [`PowerPicture::places`] of the same eyepiece without the Barlow, if it is
    /// there; an arc joins the two.
    pub alone: Option<usize>,
    /// The view's verdict.
    pub mark: Mark,
}

/// What the picture shows. Build it, then put [`PowerPicture::figure`] into a page.
#[derive(Clone, Debug, PartialEq)]
pub struct PowerPicture {
    /// The telescope's aperture in mm.
    pub aperture_mm: f64,
    /// The observer's dark pupil in mm: low, typical and high.
    pub pupil_mm: [f64; 3],
    /// The weakest power that loses no light, as a magnification.
    pub floor: f64,
    /// The strongest power for most nights.
    pub ceiling: f64,
    /// The strongest power for rare, steady nights; at least `ceiling`.
    pub best_ceiling: f64,
    /// The Barlow's factor as a label, "2×"; none without a Barlow.
    pub barlow: Option<String>,
    /// The views, in any order.
    pub places: Vec<Place>,
}

/// A picture as a `<figure>`, ready for a page.
pub struct Figure<'a> {
    picture: &'a PowerPicture,
    name: String,
    sketch: bool,
}

/// Text in the picture comes from the shelf, so it is escaped where it is written.
impl askama::filters::HtmlSafe for Figure<'_> {}

impl PowerPicture {
    /// The picture under a name that is unique on its page.
    pub fn figure(&self, name: impl fmt::Display) -> Figure<'_> {
        let name: String = format!("kit-{name}")
            .chars()
            .filter(|c| c.is_ascii_alphanumeric() || *c == '-')
            .collect();
        Figure { picture: self, name, sketch: false }
    }

    /// The same, small and without its key, for a kit further down a page that has explained it.
    pub fn sketch(&self, name: impl fmt::Display) -> Figure<'_> {
        Figure { sketch: true, ..self.figure(name) }
    }

    /// The same in one paragraph, for those who don't see it.
    pub(super) fn in_words(&self) -> String {
        let mut views: Vec<&Place> = self.places.iter().collect();
        views.sort_by(|a, b| a.power.total_cmp(&b.power));
        let told: Vec<String> = views
            .iter()
            .map(|place| {
                let with = if place.barlow { " with the Barlow" } else { "" };
                format!(
                    "{}{with} {} ({})",
                    place.label,
                    format::power(place.power),
                    place.mark.word()
                )
            })
            .collect();
        let ceiling = if self.best_ceiling > self.ceiling * 1.01 {
            format!(
                "{} is the ceiling on most nights, {} on rare steady ones",
                format::power(self.ceiling),
                format::power(self.best_ceiling)
            )
        } else {
            format!("{} is the ceiling", format::power(self.ceiling))
        };
        let [low, typical, high] = self.pupil_mm;
        format!(
            "Below {} light is lost beside the pupil, which opens to about {} ({} to {}); {ceiling}. Views: {}.",
            format::power(self.floor),
            format::millimetres(typical),
            format::millimetres(low),
            format::millimetres(high),
            if told.is_empty() { "none".to_owned() } else { format::list(&told) }
        )
    }
}

impl fmt::Display for Figure<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.sketch {
            f.write_str(r#"<figure class="powers sketch">"#)?;
            Drawing::of(self.picture, Size::NARROW, &self.name).write(f)?;
            return f.write_str("</figure>");
        }
        f.write_str(r#"<figure class="powers">"#)?;
        Drawing::of(self.picture, Size::NARROW, &self.name).write(f)?;
        Drawing::of(self.picture, Size::WIDE, &self.name).write(f)?;
        f.write_str(concat!(
            r#"<figcaption class="key"><ul>"#,
            r#"<li><svg class="key-mark" viewBox="0 0 16 16" aria-hidden="true" focusable="false"><circle class="node" cx="8" cy="8" r="5.5"/></svg> eyepiece alone</li>"#,
        ))?;
        if self.picture.barlow.is_some() {
            f.write_str(r#"<li><svg class="key-mark" viewBox="0 0 16 16" aria-hidden="true" focusable="false"><path class="node" d="M8 1.5 14.5 8 8 14.5 1.5 8z"/></svg> with the Barlow</li>"#)?;
        }
        f.write_str(concat!(
            r#"<li><svg class="key-mark" viewBox="0 0 16 16" aria-hidden="true" focusable="false"><circle class="node" cx="8" cy="8" r="5.5"/><circle class="core" cx="8" cy="8" r="3.4"/></svg> suits</li>"#,
            r#"<li><svg class="key-mark" viewBox="0 0 16 16" aria-hidden="true" focusable="false"><circle class="node" cx="8" cy="8" r="5.5"/><path class="core" d="M4.6 8a3.4 3.4 0 0 0 6.8 0z"/></svg> compromise</li>"#,
            "</ul><p>The shaft is as wide as the beam that leaves the eyepiece; the two rails are how far this eye opens in the dark.</p></figcaption></figure>"
        ))
    }
}

/// Text made safe for markup.
pub(super) struct Escaped<'a>(pub(super) &'a str);

impl fmt::Display for Escaped<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for letter in self.0.chars() {
            match letter {
                '<' => f.write_str("&lt;")?,
                '>' => f.write_str("&gt;")?,
                '&' => f.write_str("&amp;")?,
                '"' => f.write_str("&quot;")?,
                other => f.write_char(other)?,
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn picture() -> PowerPicture {
        let place = |power: f64, barlow: bool, alone, mark| Place {
            power,
            label: "25\u{a0}mm".into(),
            barlow,
            alone,
            mark,
        };
        PowerPicture {
            aperture_mm: 203.2,
            pupil_mm: [5.2, 6.2, 7.2],
            floor: 32.77,
            ceiling: 200.0,
            best_ceiling: 320.0,
            barlow: Some("2×".into()),
            places: vec![
                place(48.76, false, None, Mark::Suits),
                place(97.52, true, Some(0), Mark::Compromise),
            ],
        }
    }

    #[test]
    fn the_picture_says_in_words_what_it_shows() {
        assert_eq!(
            picture().in_words(),
            "Below 33× light is lost beside the pupil, which opens to about 6.2\u{a0}mm \
             (5.2\u{a0}mm to 7.2\u{a0}mm); 200× is the ceiling on most nights, 320× on rare steady \
             ones. Views: 25\u{a0}mm 49× (suits) and 25\u{a0}mm with the Barlow 98× (compromise)."
        );
    }

    #[test]
    fn labels_from_the_shelf_cannot_become_markup() {
        let mut odd = picture();
        odd.places[0].label = "<script>&\"".into();
        odd.barlow = Some("<b>".into());
        let drawn = odd.figure("x").to_string();
        assert!(drawn.contains("&lt;script&gt;&amp;&quot;") && !drawn.contains("<script>"));
        assert!(!drawn.contains("<b>"));
    }

    #[test]
    fn every_view_has_a_mark_of_its_kind_and_a_label_in_each_size() {
        let drawn = picture().figure("x").to_string();
        assert_eq!(drawn.matches("<svg class=\"power-picture").count(), 2);
        assert_eq!(drawn.matches("class=\"glass\"").count(), 4);
        assert_eq!(drawn.matches("class=\"arc\"").count(), 2);
    }

    #[test]
    fn a_kit_without_a_barlow_does_not_speak_of_one() {
        let mut plain = picture();
        plain.barlow = None;
        plain.places.truncate(1);
        let drawn = plain.figure("x").to_string();
        assert!(!drawn.contains("Barlow"));
    }

    #[test]
    fn an_empty_picture_and_a_broken_arc_are_drawn_without_fuss() {
        let mut odd = picture();
        odd.places[1].alone = Some(99);
        assert!(odd.figure("x").to_string().ends_with("</figure>"));
        odd.places.clear();
        assert!(odd.figure("x").to_string().contains("Views: none."));
    }
}
