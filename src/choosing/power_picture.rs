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

use super::labels::{Wish, spread};
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
        Figure { picture: self, name }
    }

    /// The same in one paragraph, for those who don't see it.
    fn in_words(&self) -> String {
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

/// How large the drawing is, in units of its own.
#[derive(Clone, Copy)]
struct Size {
    name: &'static str,
    width: f64,
    /// Length of one millimetre of pupil at most.
    per_mm: f64,
    /// Size of the letters.
    text: f64,
}

impl Size {
    const NARROW: Size = Size { name: "narrow", width: 360.0, per_mm: 14.0, text: 12.0 };
    const WIDE: Size = Size { name: "wide", width: 860.0, per_mm: 20.0, text: 15.0 };
    const MARGIN: f64 = 12.0;
}

/// Heights of a lane: its marks, the first line of its labels, and where threads leave them.
struct Rows {
    marks: f64,
    label: f64,
    foot: f64,
}

/// A picture on its way to paper.
struct Drawing<'a> {
    picture: &'a PowerPicture,
    size: Size,
    id: String,
    low: f64,
    high: f64,
    per_mm: f64,
}

/// Powers worth a tick, from the weakest finder to the strongest telescope.
const POWER_TICKS: [f64; 16] = [
    5.0, 10.0, 15.0, 20.0, 30.0, 40.0, 50.0, 70.0, 100.0, 150.0, 200.0, 300.0, 400.0, 600.0, 800.0,
    1200.0,
];
/// Exit pupils worth a tick, in mm.
const PUPIL_TICKS: [f64; 12] = [10.0, 8.0, 7.0, 6.0, 5.0, 4.0, 3.0, 2.0, 1.5, 1.0, 0.7, 0.5];

impl<'a> Drawing<'a> {
    fn of(picture: &'a PowerPicture, size: Size, name: &str) -> Self {
        let powers = || picture.places.iter().map(|place| place.power);
        let weakest = powers().fold(picture.floor, f64::min).max(1.0);
        let strongest = powers().fold(picture.best_ceiling, f64::max).max(weakest * 4.0);
        let (low, high) = (weakest / 1.22, strongest * 1.14);
        // The shaft is never drawn wider than 9 mm, so that one odd eyepiece can't flatten it all.
        let widest = (picture.aperture_mm / low).max(picture.pupil_mm[2]).min(9.0);
        let per_mm = size.per_mm.min(size.per_mm * 7.5 / widest);
        Self { picture, size, id: format!("{name}-{}", size.name), low, high, per_mm }
    }

    /// Where a power stands.
    fn x(&self, power: f64) -> f64 {
        let share = (power / self.low).ln() / (self.high / self.low).ln();
        Size::MARGIN + share.clamp(0.0, 1.0) * (self.size.width - 2.0 * Size::MARGIN)
    }

    /// Half the width of a beam or pupil on paper.
    fn half(&self, mm: f64) -> f64 {
        mm.min(9.0) * self.per_mm / 2.0
    }

    fn write(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Size { text, width, .. } = self.size;
        let left = Size::MARGIN;
        let right = width - left;
        let [pupil_low, pupil, pupil_high] = self.picture.pupil_mm;

        let widest = self.half(self.picture.aperture_mm / self.low).max(self.half(pupil_high));
        let upper = self.lane(false);
        let lower = self.lane(true);
        let shaft_id = format!("{}-shaft", self.id);
        let top = if upper.is_empty() { 6.0 } else { text * 3.6 + 14.0 };
        let middle = top + widest;
        let step = 8.0 * text / 12.0;
        let under = middle + widest;
        let sill = under + if lower.is_empty() { 12.0 } else { text * 3.6 + 20.0 };
        let words = sill + 14.0 + text * 1.15;
        let powers = words + text * 0.8;
        let pupils = powers + text * 2.9;
        let height = pupils + text * 2.6 + 6.0;

        write!(
            f,
            r#"<svg class="power-picture {}" viewBox="0 0 {width} {height:.0}" role="img" aria-labelledby="{id}-title {id}-words"><title id="{id}-title">The kit's powers</title><desc id="{id}-words">{}</desc>"#,
            self.size.name,
            Escaped(&self.picture.in_words()),
            id = self.id,
        )?;
        write!(
            f,
            r#"<defs><pattern id="{id}-shut" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(35)"><path class="louvre" d="M0 3h6"/></pattern><clipPath id="{id}-eye"><path d="M{left} {:.1}H{right}V{:.1}H{left}z"/></clipPath></defs>"#,
            middle - self.half(pupil),
            middle + self.half(pupil),
            id = self.id,
        )?;

        // The shaft, whole and faint, then once more where it goes through the eye's window.
        let shaft = self.shaft(middle);
        write!(
            f,
            r#"<clipPath id="{shaft_id}"><path d="{shaft}"/></clipPath><path class="spill" d="{shaft}"/><path class="shaft" d="{shaft}" clip-path="url(#{}-eye)"/>"#,
            self.id
        )?;
        for side in [-1.0, 1.0] {
            let (near, far) = (self.half(pupil_low), self.half(pupil_high));
            let y = if side < 0.0 { middle - far } else { middle + near };
            write!(
                f,
                r#"<path class="rail" d="M{left} {y:.1}H{right}v{:.1}H{left}z"/><path class="rail-line" d="M{left} {:.1}H{right}"/>"#,
                far - near,
                middle + side * self.half(pupil),
            )?;
        }

        self.write_sill(f, sill, words)?;

        // Threads twice: light ones in the room, dark ones in the light.
        let foot = under + 16.0;
        let lanes = [
            (
                &upper,
                Rows { marks: middle - step, label: text * 2.15 + 2.0, foot: text * 3.6 + 2.0 },
            ),
            (&lower, Rows { marks: middle + step, label: foot + text * 0.75, foot: foot - 4.0 }),
        ];
        write!(f, r#"<g class="threads"><g id="{}-threads">"#, self.id)?;
        self.write_arcs(f, middle, step)?;
        for (lane, rows) in &lanes {
            self.write_leaders(f, lane, rows)?;
        }
        write!(
            f,
            r##"</g></g><g class="threads lit" clip-path="url(#{shaft_id})"><use href="#{}-threads"/></g>"##,
            self.id
        )?;

        if !upper.is_empty() {
            write!(
                f,
                r#"<text class="lane" x="{left}" y="{:.1}">eyepieces alone</text>"#,
                text + 2.0
            )?;
        }
        if !lower.is_empty() {
            write!(
                f,
                r#"<text class="lane" x="{right}" y="{:.1}" text-anchor="end">with the {} Barlow</text>"#,
                foot + text * 3.0,
                Escaped(self.picture.barlow.as_deref().unwrap_or_default())
            )?;
        }
        for (lane, rows) in &lanes {
            self.write_lane(f, lane, rows)?;
        }
        self.write_scale(
            f,
            powers,
            "magnification",
            &POWER_TICKS,
            |tick| tick,
            |tick| format!("{tick}×"),
        )?;
        let aperture = self.picture.aperture_mm;
        self.write_scale(
            f,
            pupils,
            "exit pupil, mm",
            &PUPIL_TICKS,
            |tick| aperture / tick,
            |tick| tick.to_string(),
        )?;
        f.write_str("</svg>")
    }

    /// Outline of the beam from the weakest power to the strongest.
    fn shaft(&self, middle: f64) -> String {
        const STEPS: i32 = 32;
        let mut over = String::new();
        let mut back = String::new();
        for step in 0..=STEPS {
            let power = self.low * (self.high / self.low).powf(f64::from(step) / f64::from(STEPS));
            let (x, half) = (self.x(power), self.half(self.picture.aperture_mm / power));
            let pen = if step == 0 { 'M' } else { 'L' };
            let _ = write!(over, "{pen}{x:.1} {:.1}", middle - half);
            back.insert_str(0, &format!("L{x:.1} {:.1}", middle + half));
        }
        over + &back + "z"
    }

    /// The open, half open and shut stretches of the scale, and the words beneath.
    fn write_sill(&self, f: &mut fmt::Formatter<'_>, y: f64, words: f64) -> fmt::Result {
        let picture = self.picture;
        let (floor, ceiling, best) =
            (self.x(picture.floor), self.x(picture.ceiling), self.x(picture.best_ceiling));
        let (left, right) = (Size::MARGIN, self.size.width - Size::MARGIN);
        let mut stretch = |class: &str, from: f64, to: f64, fill: bool| -> fmt::Result {
            if to - from < 0.5 {
                return Ok(());
            }
            let pattern =
                if fill { format!(r#" fill="url(#{}-shut)""#, self.id) } else { String::new() };
            write!(
                f,
                r#"<path class="{class}" d="M{from:.1} {y:.1}H{to:.1}v14H{from:.1}z"{pattern}/>"#
            )
        };
        stretch("sill shut", left, floor, true)?;
        stretch("sill open", floor, ceiling, false)?;
        if best > ceiling + 0.5 {
            write_half(f, ceiling, best, y)?;
        }
        let mut stretch = |from: f64, to: f64| -> fmt::Result {
            if to - from < 0.5 {
                return Ok(());
            }
            write!(
                f,
                r#"<path class="sill shut" d="M{from:.1} {y:.1}H{to:.1}v14H{from:.1}z" fill="url(#{}-shut)"/>"#,
                self.id
            )
        };
        stretch(best.max(ceiling), right)?;

        let mut told = vec![
            (floor, format!("floor {}", format::power(picture.floor))),
            (ceiling, format!("ceiling {}", format::power(picture.ceiling))),
        ];
        if best > ceiling + 0.5 {
            told.push((best, format!("at best {}", format::power(picture.best_ceiling))));
        }
        let wishes: Vec<Wish> =
            told.iter().map(|(at, text)| Wish { at: *at, width: self.wide(text) + 10.0 }).collect();
        for ((at, text), place) in told.iter().zip(spread(&wishes, left - 8.0, right + 8.0)) {
            write!(
                f,
                r#"<path class="post" d="M{at:.1} {:.1}v18"/><text class="bound" x="{place:.1}" y="{words:.1}" text-anchor="middle">{text}</text>"#,
                y - 2.0
            )?;
        }
        Ok(())
    }

    fn write_arcs(&self, f: &mut fmt::Formatter<'_>, middle: f64, step: f64) -> fmt::Result {
        for place in &self.picture.places {
            let alone = place.alone.and_then(|index| self.picture.places.get(index));
            if let Some(alone) = alone {
                let (from, to) = (self.x(alone.power), self.x(place.power));
                let dip = (to - from).abs() * 0.14 + 6.0;
                write!(
                    f,
                    r#"<path class="arc" d="M{from:.1} {:.1}Q{:.1} {:.1} {to:.1} {:.1}"/>"#,
                    middle - step,
                    f64::midpoint(from, to),
                    middle + 2.0 * dip,
                    middle + step,
                )?;
            }
        }
        Ok(())
    }

    /// The places of one lane, weakest first.
    fn lane(&self, barlow: bool) -> Vec<&'a Place> {
        let mut lane: Vec<&Place> =
            self.picture.places.iter().filter(|place| place.barlow == barlow).collect();
        lane.sort_by(|a, b| a.power.total_cmp(&b.power));
        lane
    }

    /// Where the labels of a lane stand, weakest first.
    fn places(&self, lane: &[&Place]) -> Vec<f64> {
        let wishes: Vec<Wish> = lane
            .iter()
            .map(|place| {
                let widest = self.wide(&place.label).max(self.wide(&format::power(place.power)));
                Wish { at: self.x(place.power), width: widest + 9.0 }
            })
            .collect();
        spread(&wishes, 2.0, self.size.width - 2.0)
    }

    /// Threads from labels to marks.
    fn write_leaders(
        &self,
        f: &mut fmt::Formatter<'_>,
        lane: &[&Place],
        rows: &Rows,
    ) -> fmt::Result {
        for (place, at) in lane.iter().zip(self.places(lane)) {
            let x = self.x(place.power);
            let knee = if rows.foot < rows.marks { rows.foot + 8.0 } else { rows.foot - 8.0 };
            write!(
                f,
                r#"<path class="leader" d="M{at:.1} {:.1}L{x:.1} {knee:.1}V{:.1}"/>"#,
                rows.foot, rows.marks
            )?;
        }
        Ok(())
    }

    /// Marks on the shaft, and their labels.
    fn write_lane(&self, f: &mut fmt::Formatter<'_>, lane: &[&Place], rows: &Rows) -> fmt::Result {
        let text = self.size.text;
        for (place, at) in lane.iter().zip(self.places(lane)) {
            write_mark(f, place, self.x(place.power), rows.marks, text / 12.0)?;
            write!(
                f,
                r#"<text class="glass" x="{at:.1}" y="{:.1}" text-anchor="middle">{}</text><text class="times" x="{at:.1}" y="{:.1}" text-anchor="middle">{}</text>"#,
                rows.label,
                Escaped(&place.label),
                rows.label + text * 1.12,
                format::power(place.power),
            )?;
        }
        Ok(())
    }

    /// A scale with its caption; ticks that would crowd each other are left out.
    fn write_scale(
        &self,
        f: &mut fmt::Formatter<'_>,
        y: f64,
        caption: &str,
        ticks: &[f64],
        power_of: impl Fn(f64) -> f64,
        label: impl Fn(f64) -> String,
    ) -> fmt::Result {
        let text = self.size.text;
        let (left, right) = (Size::MARGIN, self.size.width - Size::MARGIN);
        write!(f, r#"<path class="scale" d="M{left} {y:.1}H{right}"/>"#)?;
        let mut free = left - 4.0;
        for &tick in ticks {
            let power = power_of(tick);
            if power < self.low || power > self.high {
                continue;
            }
            let (x, words) = (self.x(power), label(tick));
            let half = self.wide(&words) / 2.0 + 3.0;
            if x - half < free || x + half > right + 8.0 {
                continue;
            }
            free = x + half;
            write!(
                f,
                r#"<path class="scale" d="M{x:.1} {y:.1}v5"/><text class="tick" x="{x:.1}" y="{:.1}" text-anchor="middle">{words}</text>"#,
                y + 5.0 + text
            )?;
        }
        write!(
            f,
            r#"<text class="lane" x="{right}" y="{:.1}" text-anchor="end">{caption}</text>"#,
            y + 5.0 + text * 2.0
        )
    }

    /// About how wide a text is: the typeface's figures are 0.6 of its size.
    fn wide(&self, text: &str) -> f64 {
        text.chars().count() as f64 * self.size.text * 0.58
    }
}

/// The half open stretch: a line of light along the lower half.
fn write_half(f: &mut fmt::Formatter<'_>, from: f64, to: f64, y: f64) -> fmt::Result {
    write!(
        f,
        r#"<path class="sill open" d="M{from:.1} {:.1}H{to:.1}v7H{from:.1}z"/><path class="sill half" d="M{from:.1} {y:.1}H{to:.1}v14H{from:.1}z"/>"#,
        y + 7.0
    )
}

/// A round or cornered mark, lit as its verdict says.
fn write_mark(
    f: &mut fmt::Formatter<'_>,
    place: &Place,
    x: f64,
    y: f64,
    scale: f64,
) -> fmt::Result {
    let (outer, inner) = (6.5 * scale, 3.9 * scale);
    let (big, small) = (outer * 1.18, inner * 1.22);
    if place.barlow {
        write!(
            f,
            r#"<path class="node" d="M{x:.1} {:.1}l{big:.1} {big:.1}-{big:.1} {big:.1}-{big:.1}-{big:.1}z"/>"#,
            y - big
        )?;
    } else {
        write!(f, r#"<circle class="node" cx="{x:.1}" cy="{y:.1}" r="{outer:.1}"/>"#)?;
    }
    match (place.mark, place.barlow) {
        (Mark::Suits, false) => {
            write!(f, r#"<circle class="core" cx="{x:.1}" cy="{y:.1}" r="{inner:.1}"/>"#)
        }
        (Mark::Suits, true) => {
            write!(
                f,
                r#"<path class="core" d="M{x:.1} {:.1}l{small:.1} {small:.1}-{small:.1} {small:.1}-{small:.1}-{small:.1}z"/>"#,
                y - small
            )
        }
        (Mark::Compromise, false) => {
            write!(
                f,
                r#"<path class="core" d="M{:.1} {y:.1}a{inner:.1} {inner:.1} 0 0 0 {:.1} 0z"/>"#,
                x - inner,
                inner * 2.0
            )
        }
        (Mark::Compromise, true) => {
            write!(
                f,
                r#"<path class="core" d="M{:.1} {y:.1}h{:.1}l-{small:.1} {small:.1}z"/>"#,
                x - small,
                small * 2.0
            )
        }
        _ => Ok(()),
    }
}

/// Text made safe for markup.
struct Escaped<'a>(&'a str);

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
