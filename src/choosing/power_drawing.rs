//! How the picture of powers is laid out and written as SVG.

use std::fmt::{self, Write as _};

use super::labels::{Wish, spread};
use super::power_picture::{Escaped, Place, PowerPicture};
use crate::web::format;
use crate::web::mark::Mark;

/// How large the drawing is, in units of its own.
#[derive(Clone, Copy)]
pub(super) struct Size {
    name: &'static str,
    pub(super) width: f64,
    /// Length of one millimetre of pupil at most.
    per_mm: f64,
    /// Size of the letters.
    pub(super) text: f64,
}

impl Size {
    pub(super) const NARROW: Size = Size { name: "narrow", width: 360.0, per_mm: 14.0, text: 12.0 };
    pub(super) const WIDE: Size = Size { name: "wide", width: 860.0, per_mm: 20.0, text: 15.0 };
    pub(super) const MARGIN: f64 = 12.0;
}

/// Heights of a lane: its marks, the first line of its labels, and where threads leave them.
struct Rows {
    marks: f64,
    label: f64,
    foot: f64,
}

/// A picture on its way to paper.
pub(super) struct Drawing<'a> {
    pub(super) picture: &'a PowerPicture,
    pub(super) size: Size,
    pub(super) id: String,
    pub(super) low: f64,
    pub(super) high: f64,
    per_mm: f64,
}

impl<'a> Drawing<'a> {
    pub(super) fn of(picture: &'a PowerPicture, size: Size, name: &str) -> Self {
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
    pub(super) fn x(&self, power: f64) -> f64 {
        let share = (power / self.low).ln() / (self.high / self.low).ln();
        Size::MARGIN + share.clamp(0.0, 1.0) * (self.size.width - 2.0 * Size::MARGIN)
    }

    /// Half the width of a beam or pupil on paper.
    fn half(&self, mm: f64) -> f64 {
        mm.min(9.0) * self.per_mm / 2.0
    }

    pub(super) fn write(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
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
        self.write_scales(f, powers, pupils)?;
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

    /// About how wide a text is: the typeface's figures are 0.6 of its size.
    pub(super) fn wide(&self, text: &str) -> f64 {
        text.chars().count() as f64 * self.size.text * 0.58
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    fn picture(floor: f64) -> PowerPicture {
        PowerPicture {
            aperture_mm: 203.2,
            pupil_mm: [5.2, 6.2, 7.2],
            floor,
            ceiling: 200.0,
            best_ceiling: 320.0,
            barlow: None,
            places: vec![],
        }
    }

    #[test]
    fn the_shaft_meets_the_rails_at_the_power_floor() {
        let picture = picture(203.2 / 6.2);
        let drawing = Drawing::of(&picture, Size::NARROW, "x");
        let beam = drawing.half(picture.aperture_mm / picture.floor);
        assert!((beam - drawing.half(picture.pupil_mm[1])).abs() < 1e-9);
    }

    #[test]
    fn equal_ratios_of_power_are_equal_steps_on_paper() {
        let picture = picture(30.0);
        let drawing = Drawing::of(&picture, Size::WIDE, "x");
        let step = drawing.x(80.0) - drawing.x(40.0);
        assert!((drawing.x(160.0) - drawing.x(80.0) - step).abs() < 1e-9);
    }

    #[test]
    fn powers_beyond_the_scale_stay_on_paper() {
        let picture = picture(30.0);
        let drawing = Drawing::of(&picture, Size::NARROW, "x");
        assert!(drawing.x(0.1) >= Size::MARGIN && drawing.x(1e6) <= 360.0 - Size::MARGIN);
    }
}
