//! A picture that a phone's camera reads, as one path.

use std::fmt::Write as _;

use qrcode::{Color, EcLevel, QrCode};

/// Modules of rest around the picture (ISO/IEC 18004 asks for four).
const REST: usize = 4;

/// A QR code to be drawn: every dark module is in `path`, on a square of `size` modules.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// Width and height, the rest around it included.
    pub size: usize,
    /// The `d` of an SVG path.
    pub path: String,
}

impl Picture {
    /// Draws a text; `None` when it is too long for any code.
    #[must_use]
    pub fn of(text: &str) -> Option<Self> {
        let code = QrCode::with_error_correction_level(text, EcLevel::M).ok()?;
        let width = code.width();
        let colors = code.to_colors();
        let mut path = String::new();
        for (y, row) in colors.chunks(width).enumerate() {
            let mut x = 0;
            while x < row.len() {
                let run = row[x..].iter().take_while(|color| **color == Color::Dark).count();
                if run > 0 {
                    // Writing to a String cannot fail.
                    let _ = write!(path, "M{} {}h{run}v1h-{run}z", x + REST, y + REST);
                }
                x += run.max(1);
            }
        }
        Some(Self { size: width + 2 * REST, path })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Draws the path into a grid again.
    fn modules(picture: &Picture) -> Vec<Vec<bool>> {
        let mut grid = vec![vec![false; picture.size]; picture.size];
        for run in picture.path.split('M').skip(1) {
            let (start, rest) = run.split_once('h').unwrap();
            let (x, y) = start.split_once(' ').unwrap();
            let (x, y): (usize, usize) = (x.parse().unwrap(), y.parse().unwrap());
            let long: usize = rest.split_once('v').unwrap().0.parse().unwrap();
            grid[y][x..x + long].fill(true);
        }
        grid
    }

    #[test]
    fn the_path_holds_exactly_the_dark_modules() {
        let text = "otpauth://totp/Windmill%20Hill:ines%40example.org?secret=GEZDGNBVGY3TQOJQ";
        let picture = Picture::of(text).unwrap();
        let code = QrCode::with_error_correction_level(text, EcLevel::M).unwrap();
        let grid = modules(&picture);
        for (y, row) in grid.iter().enumerate() {
            for (x, dark) in row.iter().enumerate() {
                let inside = (REST..REST + code.width()).contains(&x)
                    && (REST..REST + code.width()).contains(&y);
                let wanted = inside && code[(x - REST, y - REST)] == Color::Dark;
                assert_eq!(*dark, wanted, "{x} {y}");
            }
        }
    }

    #[test]
    fn a_text_that_no_code_holds_is_told() {
        assert_eq!(Picture::of(&"x".repeat(5_000)), None);
    }
}
