//! What there is to look at beyond the Solar System.
//!
//! The table of clusters, nebulae and galaxies is data under its own licence: `data/README.md`.

use std::collections::HashMap;
use std::sync::LazyLock;

/// What something is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// A galaxy, or several that look like one.
    Galaxy,
    /// A globular cluster.
    Globular,
    /// An open cluster.
    OpenCluster,
    /// An open cluster in a nebula.
    ClusterWithNebula,
    /// A bright nebula.
    Nebula,
    /// What a star left that burst.
    Remnant,
    /// A planetary nebula.
    PlanetaryNebula,
    /// Stars that only look as if they belonged together.
    Asterism,
    /// A double star.
    Double,
}

impl Kind {
    /// All of them.
    pub const ALL: [Self; 9] = [
        Self::Galaxy,
        Self::Globular,
        Self::OpenCluster,
        Self::ClusterWithNebula,
        Self::Nebula,
        Self::Remnant,
        Self::PlanetaryNebula,
        Self::Asterism,
        Self::Double,
    ];

    /// In words, as the tables and the API say it.
    #[must_use]
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Galaxy => "galaxy",
            Self::Globular => "globular",
            Self::OpenCluster => "open cluster",
            Self::ClusterWithNebula => "cluster with nebula",
            Self::Nebula => "nebula",
            Self::Remnant => "supernova remnant",
            Self::PlanetaryNebula => "planetary nebula",
            Self::Asterism => "asterism",
            Self::Double => "double star",
        }
    }

    fn of(words: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.in_words() == words)
    }
}

/// Something to look at among the stars.
#[derive(Debug, Clone, PartialEq)]
pub struct Object {
    /// Its name in the catalogue, such as `NGC 224`.
    pub name: &'static str,
    /// Its number in Messier's list, such as `M 31`.
    pub messier: Option<&'static str>,
    /// What people call it.
    pub called: Option<&'static str>,
    /// What it is.
    pub kind: Kind,
    /// Right ascension, J2000, degrees.
    pub ra_deg: f64,
    /// Declination, J2000, degrees.
    pub dec_deg: f64,
    /// The constellation's three letters.
    pub constellation: &'static str,
    /// Longer axis, arcminutes.
    pub major_arcmin: Option<f64>,
    /// Shorter axis, arcminutes; a round thing's is its longer one.
    pub minor_arcmin: Option<f64>,
    /// The longer axis from north through east, degrees.
    pub angle_deg: Option<f64>,
    /// Magnitude of all of it together.
    pub magnitude: Option<f64>,
    /// Whether that is V; else it is B, which for most things is fainter by half to one.
    pub magnitude_is_v: bool,
    /// A double star's two magnitudes and their distance, arcseconds.
    pub pair: Option<Pair>,
    /// 1–3 where it is worth showing to newcomers, 3 best.
    pub rank: u8,
    /// Why, in one sentence.
    pub words: Option<&'static str>,
}

/// The two stars of a double.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// The brighter one's magnitude.
    pub brighter: f64,
    /// The fainter one's magnitude.
    pub fainter: f64,
    /// How far apart, arcseconds.
    pub separation_arcsec: f64,
}

/// The letters that stars are named by; the tables shorten them to three signs.
const LETTERS: [&str; 24] = [
    "Alpha", "Beta", "Gamma", "Delta", "Epsilon", "Zeta", "Eta", "Theta", "Iota", "Kappa",
    "Lambda", "Mu", "Nu", "Xi", "Omicron", "Pi", "Rho", "Sigma", "Tau", "Upsilon", "Phi", "Chi",
    "Psi", "Omega",
];

impl Object {
    /// The name a person uses: Messier's number where it has one.
    #[must_use]
    pub fn short_name(&self) -> &'static str {
        self.messier.unwrap_or(self.name)
    }

    /// The short name as it is said: a star's letter in full, `Gamma And` for `gam And`.
    #[must_use]
    pub fn spoken_name(&self) -> String {
        let name = self.short_name();
        let short = name.split(|sign: char| !sign.is_ascii_lowercase()).next().unwrap_or_default();
        let letter = LETTERS
            .iter()
            .find(|letter| letter.get(..3).unwrap_or(letter).eq_ignore_ascii_case(short));
        match (letter, name.strip_prefix(short)) {
            (Some(letter), Some(rest)) => format!("{letter} {}", rest.trim_start()),
            _ => name.to_owned(),
        }
    }

    /// The name with what people call it.
    #[must_use]
    pub fn full_name(&self) -> String {
        let name = self.spoken_name();
        match self.called {
            Some(called) => format!("{called} ({name})"),
            None => name,
        }
    }

    /// V magnitude, with B less 0.7 where V is not known (common practice, no source).
    #[must_use]
    pub fn v_magnitude(&self) -> Option<f64> {
        self.magnitude.map(|mag| if self.magnitude_is_v { mag } else { mag - 0.7 })
    }

    /// What its ellipse covers, square arcminutes.
    #[must_use]
    pub fn area(&self) -> Option<f64> {
        Some(std::f64::consts::FRAC_PI_4 * self.major_arcmin? * self.minor_arcmin?)
    }

    /// Mean brightness over its ellipse, V magnitudes per square arcsecond: the whole light spread
    /// evenly over π/4 · a · b.
    #[must_use]
    pub fn surface_brightness(&self) -> Option<f64> {
        Some(self.v_magnitude()? + 2.5 * (self.area()? * 3600.0).log10())
    }
}

static OBJECTS: LazyLock<Vec<Object>> = LazyLock::new(|| {
    let mut objects: Vec<Object> =
        rows(include_str!("data/objects.csv"), 12).filter_map(|row| object(&row)).collect();
    objects.extend(rows(include_str!("data/doubles.csv"), 8).filter_map(|row| double(&row)));
    let names = names(&objects);
    for row in rows(include_str!("data/showpieces.csv"), 3) {
        let [name, rank, words] = row[..] else { continue };
        if let Some(at) = names.get(&plain(name)) {
            objects[*at].rank = rank.parse().unwrap_or(0);
            objects[*at].words = Some(words);
        }
    }
    objects
});

static NAMES: LazyLock<HashMap<String, usize>> = LazyLock::new(|| names(&OBJECTS));

/// Every object, by right ascension, the double stars last.
#[must_use]
pub fn objects() -> &'static [Object] {
    &OBJECTS
}

/// The object of this name, in any usual spelling: `M31`, `m 31`, `NGC0224`, `Andromeda Galaxy`.
#[must_use]
pub fn find(name: &str) -> Option<&'static Object> {
    NAMES.get(&plain(name)).map(|at| &OBJECTS[*at])
}

fn names(objects: &[Object]) -> HashMap<String, usize> {
    let mut names = HashMap::new();
    for (at, object) in objects.iter().enumerate() {
        for name in [Some(object.name), object.messier].into_iter().flatten() {
            names.insert(plain(name), at);
        }
    }
    for (at, object) in objects.iter().enumerate() {
        if let Some(called) = object.called {
            names.entry(plain(called)).or_insert(at);
        }
    }
    names
}

/// A name without spaces, capitals and leading zeros.
fn plain(name: &str) -> String {
    let mut plain = String::with_capacity(name.len());
    for sign in name.chars().filter(|sign| sign.is_alphanumeric()) {
        let leading = sign == '0' && !plain.ends_with(|last: char| last.is_ascii_digit());
        if !leading {
            plain.extend(sign.to_lowercase());
        }
    }
    plain
}

/// The cells of each row after the header; the last cell may hold commas.
fn rows(table: &'static str, columns: usize) -> impl Iterator<Item = Vec<&'static str>> {
    table
        .lines()
        .skip(1)
        .map(move |line| line.splitn(columns, ',').collect::<Vec<_>>())
        .filter(move |row| row.len() == columns)
}

fn number(cell: &str) -> Option<f64> {
    cell.parse().ok()
}

fn text(cell: &'static str) -> Option<&'static str> {
    (!cell.is_empty()).then_some(cell)
}

fn object(row: &[&'static str]) -> Option<Object> {
    let [name, messier, kind, ra, dec, constellation, major, minor, angle, v, b, called] = *row
    else {
        return None;
    };
    let major_arcmin = number(major);
    Some(Object {
        name,
        messier: text(messier),
        called: text(called),
        kind: Kind::of(kind)?,
        ra_deg: number(ra)?,
        dec_deg: number(dec)?,
        constellation,
        major_arcmin,
        minor_arcmin: number(minor).or(major_arcmin),
        angle_deg: number(angle),
        magnitude: number(v).or(number(b)),
        magnitude_is_v: number(v).is_some(),
        pair: None,
        rank: 0,
        words: None,
    })
}

fn double(row: &[&'static str]) -> Option<Object> {
    let [name, ra, dec, constellation, brighter, fainter, separation, called] = *row else {
        return None;
    };
    let pair = Pair {
        brighter: number(brighter)?,
        fainter: number(fainter)?,
        separation_arcsec: number(separation)?,
    };
    // Two lights together.
    let light = |mag: f64| 10_f64.powf(-0.4 * mag);
    let together = -2.5 * (light(pair.brighter) + light(pair.fainter)).log10();
    Some(Object {
        name,
        messier: name.starts_with("M ").then_some(name),
        called: text(called),
        kind: Kind::Double,
        ra_deg: number(ra)?,
        dec_deg: number(dec)?,
        constellation,
        major_arcmin: None,
        minor_arcmin: None,
        angle_deg: None,
        magnitude: Some(together),
        magnitude_is_v: true,
        pair: Some(pair),
        rank: 0,
        words: None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_every_table_is_read() {
        let lines = |table: &str| table.lines().count() - 1;
        let expected =
            lines(include_str!("data/objects.csv")) + lines(include_str!("data/doubles.csv"));
        assert_eq!(objects().len(), expected);
        let ranked = objects().iter().filter(|object| object.rank > 0).count();
        assert_eq!(ranked, lines(include_str!("data/showpieces.csv")));
        assert!(objects().iter().all(|object| object.rank <= 3));
    }

    #[test]
    fn all_of_messiers_list_is_there_but_the_one_that_is_another_again() {
        for number in (1..=110).filter(|number| *number != 102) {
            assert!(find(&format!("M{number}")).is_some(), "M {number}");
        }
    }

    #[test]
    fn an_object_answers_to_every_usual_spelling() {
        for name in ["M31", "m 31", "M031", "NGC224", "ngc 0224", "Andromeda Galaxy"] {
            assert_eq!(find(name).map(|object| object.name), Some("NGC 224"), "{name}");
        }
        assert_eq!(find("NGC 10"), None);
        assert_eq!(find(""), None);
        assert_eq!(find("Albireo").unwrap().kind, Kind::Double);
    }

    #[test]
    fn stars_are_said_by_their_letters() {
        let said = |name: &str| find(name).unwrap().full_name();
        assert_eq!(said("zet UMa"), "Mizar (Zeta UMa)");
        assert_eq!(said("eps1 Lyr"), "Epsilon 1 Lyr");
        assert_eq!(said("xi Boo"), "Xi Boo");
        assert_eq!(said("61 Cyg"), "61 Cyg");
        assert_eq!(said("M 40"), find("M 40").unwrap().full_name());
    }

    /// A disc 1′ across of magnitude 10 has 10 + 2.5 log₁₀(π/4 · 3600) = 18.628 per square
    /// arcsecond: by hand.
    #[test]
    fn light_is_spread_over_the_ellipse() {
        let ring = find("M 57").unwrap();
        let area = std::f64::consts::FRAC_PI_4
            * ring.major_arcmin.unwrap()
            * ring.minor_arcmin.unwrap()
            * 3600.0;
        let expected = ring.v_magnitude().unwrap() + 2.5 * area.log10();
        assert!((ring.surface_brightness().unwrap() - expected).abs() < 1e-9);
        let disc = Object {
            major_arcmin: Some(1.0),
            minor_arcmin: Some(1.0),
            magnitude: Some(10.0),
            magnitude_is_v: true,
            ..ring.clone()
        };
        assert!((disc.surface_brightness().unwrap() - 18.628).abs() < 1e-3);
    }

    /// Apparent magnitudes add as light: two of magnitude 3 make 2.247 (3 − 2.5 log₁₀ 2).
    #[test]
    fn two_stars_shine_together() {
        let virgo = find("gam Vir").unwrap();
        assert!((virgo.magnitude.unwrap() - (3.5 - 2.5 * 2_f64.log10())).abs() < 1e-9);
    }
}
