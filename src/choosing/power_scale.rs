//! The sill and the scales under the picture of powers.

use std::fmt;

use super::labels::{Wish, spread};
use super::power_drawing::{Drawing, Size};
use crate::web::format;

/// Powers worth a tick, from the weakest finder to the strongest telescope.
const POWER_TICKS: [f64; 16] = [
    5.0, 10.0, 15.0, 20.0, 30.0, 40.0, 50.0, 70.0, 100.0, 150.0, 200.0, 300.0, 400.0, 600.0, 800.0,
    1200.0,
];
/// Exit pupils worth a tick, in mm.
const PUPIL_TICKS: [f64; 12] = [10.0, 8.0, 7.0, 6.0, 5.0, 4.0, 3.0, 2.0, 1.5, 1.0, 0.7, 0.5];

impl Drawing<'_> {
    /// Magnifications at `powers` and the exit pupils that belong to them at `pupils`.
    pub(super) fn write_scales(
        &self,
        f: &mut fmt::Formatter<'_>,
        powers: f64,
        pupils: f64,
    ) -> fmt::Result {
        let aperture = self.picture.aperture_mm;
        let times = |tick| format!("{tick}×");
        self.write_scale(f, powers, "magnification", &POWER_TICKS, |tick| tick, times)?;
        let mm = |tick: f64| tick.to_string();
        self.write_scale(f, pupils, "exit pupil, mm", &PUPIL_TICKS, |tick| aperture / tick, mm)
    }

    /// The open, half open and shut stretches of the scale, and the words beneath.
    pub(super) fn write_sill(&self, f: &mut fmt::Formatter<'_>, y: f64, words: f64) -> fmt::Result {
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
}

/// The half open stretch: a line of light along the lower half.
fn write_half(f: &mut fmt::Formatter<'_>, from: f64, to: f64, y: f64) -> fmt::Result {
    write!(
        f,
        r#"<path class="sill open" d="M{from:.1} {:.1}H{to:.1}v7H{from:.1}z"/><path class="sill half" d="M{from:.1} {y:.1}H{to:.1}v14H{from:.1}z"/>"#,
        y + 7.0
    )
}
