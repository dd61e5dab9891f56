//! A small writer of PDF pages (ISO 32000-1): black rectangles and lines of text, in a typeface that
//! every reader has. Coordinates are points (1/72 inch) from the lower left corner.

use std::fmt::Write as _;

/// Points in a millimetre.
pub const POINTS: f64 = 72.0 / 25.4;

/// Which of the two cuts of the typeface.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cut {
    /// For reading.
    Regular,
    /// For finding.
    Bold,
}

/// One page's drawing.
#[derive(Clone, Debug, Default)]
pub struct Drawing {
    commands: String,
}

impl Drawing {
    /// Fills a rectangle.
    pub fn fill(&mut self, x: f64, y: f64, width: f64, height: f64) {
        // Writing to a String cannot fail.
        let _ = writeln!(self.commands, "{x:.2} {y:.2} {width:.2} {height:.2} re f");
    }

    /// Draws only inside a rectangle, until [`Drawing::unclip`].
    pub fn clip(&mut self, x: f64, y: f64, width: f64, height: f64) {
        let _ = writeln!(self.commands, "q {x:.2} {y:.2} {width:.2} {height:.2} re W n");
    }

    /// Ends what [`Drawing::clip`] began.
    pub fn unclip(&mut self) {
        self.commands.push_str("Q\n");
    }

    /// Writes a line of text whose foot stands at this height.
    pub fn text(&mut self, x: f64, y: f64, size: f64, cut: Cut, text: &str) {
        let font = match cut {
            Cut::Regular => "F1",
            Cut::Bold => "F2",
        };
        let _ = writeln!(
            self.commands,
            "BT /{font} {size:.2} Tf {x:.2} {y:.2} Td <{}> Tj ET",
            encoded(text)
        );
    }
}

/// A text in Windows' Latin encoding, as hexadecimal digits; what that lacks becomes a question mark.
fn encoded(text: &str) -> String {
    let byte = |letter: char| match letter {
        ' '..='~' | '\u{a1}'..='\u{ff}' => u8::try_from(u32::from(letter)).unwrap_or(b'?'),
        '\u{a0}' => b' ',
        '€' => 0x80,
        '…' => 0x85,
        '‘' => 0x91,
        '’' | '′' => 0x92,
        '“' => 0x93,
        '”' | '″' => 0x94,
        '–' | '‒' => 0x96,
        '—' => 0x97,
        'Œ' => 0x8c,
        'œ' => 0x9c,
        'Š' => 0x8a,
        'š' => 0x9a,
        'Ž' => 0x8e,
        'ž' => 0x9e,
        _ => b'?',
    };
    let mut hex = String::new();
    for letter in text.chars().filter(|letter| !letter.is_control()) {
        let _ = write!(hex, "{:02X}", byte(letter));
    }
    hex
}

/// The whole file: pages of one size, in points, under a title.
pub fn file(title: &str, (width, height): (f64, f64), pages: &[Drawing]) -> Vec<u8> {
    let count = pages.len();
    let kids: Vec<String> = (0..count).map(|page| format!("{} 0 R", 6 + 2 * page)).collect();
    let mut objects = vec![
        "<< /Type /Catalog /Pages 2 0 R /Lang (en-GB) /ViewerPreferences << /DisplayDocTitle true /PrintScaling /None >> >>".to_owned(),
        format!("<< /Type /Pages /Kids [{}] /Count {count} >>", kids.join(" ")),
        "<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding >>".to_owned(),
        "<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica-Bold /Encoding /WinAnsiEncoding >>".to_owned(),
        format!("<< /Title <{}> >>", encoded(title)),
    ];
    for (at, page) in pages.iter().enumerate() {
        objects.push(format!(
            "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {width:.2} {height:.2}] /Resources << /Font << /F1 3 0 R /F2 4 0 R >> >> /Contents {} 0 R >>",
            7 + 2 * at
        ));
        let stream = &page.commands;
        objects.push(format!("<< /Length {} >>\nstream\n{stream}endstream", stream.len()));
    }
    assemble(&objects)
}

fn assemble(objects: &[String]) -> Vec<u8> {
    let mut out = b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n".to_vec();
    let mut places = Vec::with_capacity(objects.len());
    for (at, object) in objects.iter().enumerate() {
        places.push(out.len());
        out.extend(format!("{} 0 obj\n{object}\nendobj\n", at + 1).into_bytes());
    }
    let table = out.len();
    let size = objects.len() + 1;
    let mut tail = format!("xref\n0 {size}\n0000000000 65535 f \n");
    for place in places {
        let _ = writeln!(tail, "{place:010} 00000 n ");
    }
    let _ = write!(
        tail,
        "trailer\n<< /Size {size} /Root 1 0 R /Info 5 0 R >>\nstartxref\n{table}\n%%EOF\n"
    );
    out.extend(tail.into_bytes());
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_object_stands_where_the_table_says() {
        let mut page = Drawing::default();
        page.text(10.0, 10.0, 8.0, Cut::Bold, "E-031 (25 mm) \\ 2× “wide”");
        page.fill(1.0, 2.0, 3.0, 4.0);
        let bytes = file("Labels", (595.28, 841.89), &[page.clone(), page]);
        // One letter for each byte, so that places agree.
        let letter = |byte: &u8| if byte.is_ascii() { char::from(*byte) } else { '?' };
        let text: String = bytes.iter().map(letter).collect();
        let table: usize =
            text.split("startxref\n").nth(1).unwrap().lines().next().unwrap().parse().unwrap();
        assert!(text[table..].starts_with("xref\n0 10\n"));
        for (at, line) in text[table..].lines().skip(3).take(9).enumerate() {
            let place: usize = line[..10].parse().unwrap();
            assert!(text[place..].starts_with(&format!("{} 0 obj", at + 1)), "{line}");
        }
        let length = text.split("/Length ").nth(1).unwrap().split(' ').next().unwrap();
        let stream = text.split("\nstream\n").nth(1).unwrap().split("endstream").next().unwrap();
        assert_eq!(length.parse::<usize>().unwrap(), stream.len());
        assert!(text.contains("/Count 2"));
    }

    #[test]
    fn text_cannot_end_its_string_and_unknown_letters_are_marked() {
        assert_eq!(encoded(")\\("), "295C28");
        assert_eq!(encoded("é×\u{0}λ"), "E9D73F");
        assert_eq!(encoded("a\u{a0}b"), "612062");
    }
}
