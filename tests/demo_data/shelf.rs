//! What must be true of the things on the shelf.

use std::collections::{BTreeMap, BTreeSet};

use super::files::{Club, Row};

const STATES: [&str; 5] = ["in_service", "needs_inspection", "in_repair", "missing", "retired"];
const BARRELS: [&str; 3] = ["24.5", "31.75", "50.8"];
const LAYOUTS: [&str; 5] =
    ["refractor", "newtonian", "schmidt_cassegrain", "maksutov_cassegrain", "other"];
const CLASSES: [&str; 4] = ["two_lens", "three_element", "four_element", "wide_field"];

/// The widest field stop a barrel holds, mm; common practice, no source.
fn widest_field_stop(barrel: &str) -> f64 {
    match barrel {
        "24.5" => 23.0,
        "31.75" => 27.5,
        _ => 46.5,
    }
}

/// A fault unless at least `least` rows are `kind`.
pub fn too_few(kind: &str, found: usize, least: usize) -> Option<String> {
    (found < least).then(|| format!("only {found} {kind}, at least {least} are wanted"))
}

/// Files with too little in them, and kinds of things of which there is none.
pub fn size_faults(club: &Club) -> Vec<String> {
    let solar = |row: &&Row| row.text("kind") == "solar_full_aperture";
    let mut faults: Vec<String> = [
        too_few("telescopes", club.telescopes.len(), 16),
        too_few("eyepieces", club.eyepieces.len(), 76),
        too_few("Barlows", club.barlows.len(), 8),
        too_few("filters", club.filters.len(), 14),
        too_few("solar filters", club.filters.iter().filter(solar).count(), 4),
        too_few("members", club.members.len(), 48),
        too_few("reservations", club.reservations.len(), 25),
    ]
    .into_iter()
    .flatten()
    .collect();
    let kinds: [(&[Row], &str, &[&str]); 6] = [
        (&club.telescopes, "layout", &LAYOUTS),
        (&club.telescopes, "focuser_barrel_mm", &BARRELS),
        (&club.telescopes, "mount", &["dobsonian", "tabletop", "altazimuth", "equatorial"]),
        (&club.eyepieces, "optical_class", &CLASSES),
        (&club.eyepieces, "barrel_mm", &BARRELS),
        (&club.barlows, "barrel_mm", &BARRELS),
    ];
    for (rows, column, wanted) in kinds {
        let found: BTreeSet<&str> = rows.iter().map(|row| row.text(column)).collect();
        let absent = wanted.iter().filter(|word| !found.contains(*word));
        faults.extend(absent.map(|word| format!("nothing has {column} {word}")));
    }
    for column in ["eye_relief_mm", "apparent_field_deg", "field_stop_mm", "mass_g"] {
        if club.eyepieces.iter().all(|row| !row.text(column).is_empty()) {
            faults.push(format!("every eyepiece has its {column}, as in no real cupboard"));
        }
    }
    faults
}

/// Tags that are not of the club's form or are used twice, and items that no shelf could hold.
pub fn tag_faults(club: &Club) -> Vec<String> {
    let mut faults = Vec::new();
    let mut seen = BTreeSet::new();
    let shelves = [
        ("T-", &club.telescopes),
        ("E-", &club.eyepieces),
        ("B-", &club.barlows),
        ("F-", &club.filters),
    ];
    for (prefix, rows) in shelves {
        for row in rows {
            let tag = row.text("asset_tag");
            let number = tag.strip_prefix(prefix).unwrap_or_default();
            if !(2..=3).contains(&number.len()) || !number.bytes().all(|b| b.is_ascii_digit()) {
                faults.push(row.fault(format_args!("{tag:?} is no tag like {prefix}07")));
            }
            if !seen.insert(tag) {
                faults.push(row.fault(format_args!("{tag} is used twice")));
            }
            if row.text("name").is_empty() || row.text("name").len() > 80 {
                faults.push(row.fault("the name is empty or long"));
            }
            faults.extend(row.other_than("state", &STATES));
            faults.extend(row.outside("acquired_year", 1950.0..=2026.0));
        }
    }
    faults
}

/// Telescopes that cannot be.
pub fn telescope_faults(club: &Club) -> Vec<String> {
    let mut faults = Vec::new();
    for row in &club.telescopes {
        faults.extend(row.other_than("layout", &LAYOUTS));
        faults.extend(
            row.other_than("mount", &["dobsonian", "tabletop", "altazimuth", "equatorial"]),
        );
        faults.extend(row.other_than("tracking", &["yes", "no", ""]));
        faults.extend(row.other_than("focuser_barrel_mm", &BARRELS));
        faults.extend(row.other_than("helpers", &["0", "1", "2"]));
        faults.extend(row.outside("aperture_mm", 60.0..=406.0));
        faults.extend(row.outside("focuser_travel_mm", 0.0..=500.0));
        faults.extend(row.outside("balance_limit_g", 100.0..=5000.0));
        faults.extend(row.outside("eyepiece_height_min_mm", 500.0..=1500.0));
        faults.extend(row.outside("eyepiece_height_max_mm", 900.0..=2000.0));
        let (Some(aperture), Some(focal_length), Some(total), Some(part), Some(low), Some(high)) = (
            row.number("aperture_mm"),
            row.number("focal_length_mm"),
            row.number("total_mass_g"),
            row.number("heaviest_part_mass_g"),
            row.number("eyepiece_height_min_mm"),
            row.number("eyepiece_height_max_mm"),
        ) else {
            faults.push(row.fault("aperture, focal length, masses or heights are missing"));
            continue;
        };
        if !(3.5..=16.0).contains(&(focal_length / aperture)) {
            faults.push(row.fault(format_args!("f/{:.1} is not built", focal_length / aperture)));
        }
        if part > total || part < 1000.0 || total > 100_000.0 {
            faults.push(row.fault("the heaviest part weighs more than the whole, or nothing"));
        }
        if low >= high {
            faults.push(row.fault("the eyepiece's lowest place is above its highest"));
        }
        // Common practice, no source: past about 12 kg one wants help, past 20 kg two helpers.
        let helpers = match part {
            ..=12_000.0 => 0.0,
            ..=20_000.0 => 1.0,
            _ => 2.0,
        };
        if row.number("helpers") != Some(helpers) {
            faults.push(row.fault(format_args!("{part} g asks for {helpers} helpers")));
        }
        match (row.text("layout"), row.number("central_obstruction_mm")) {
            ("refractor", Some(_)) => faults.push(row.fault("a refractor has no obstruction")),
            (_, Some(obstruction)) if !(0.15..=0.45).contains(&(obstruction / aperture)) => {
                faults.push(row.fault(format_args!("obstruction {obstruction} of {aperture} mm")));
            }
            _ => {}
        }
    }
    let without =
        |column: &str| club.telescopes.iter().filter(|r| r.text(column).is_empty()).count();
    let refractors = club.telescopes.iter().filter(|r| r.text("layout") == "refractor").count();
    if without("central_obstruction_mm") <= refractors {
        faults.push("no obstruction is unknown, as in no real cupboard".to_owned());
    }
    faults.extend(too_few("telescopes of unknown focuser travel", without("focuser_travel_mm"), 3));
    faults
}

/// Eyepieces that cannot be, or whose name does not describe them.
pub fn eyepiece_faults(club: &Club) -> Vec<String> {
    let mut faults = Vec::new();
    for row in &club.eyepieces {
        faults.extend(row.other_than("optical_class", &CLASSES));
        faults.extend(row.other_than("barrel_mm", &BARRELS));
        faults.extend(row.outside("focal_length_mm", 2.5..=56.0));
        faults.extend(row.outside("apparent_field_deg", 30.0..=110.0));
        faults.extend(row.outside("mass_g", 15.0..=1200.0));
        let Some(focal_length) = row.number("focal_length_mm") else {
            faults.push(row.fault("no focal length"));
            continue;
        };
        if !row.text("name").starts_with(&format!("{focal_length} mm ")) {
            faults.push(row.fault("the name does not begin with the focal length"));
        }
        if let Some(field_stop) = row.number("field_stop_mm") {
            let widest = widest_field_stop(row.text("barrel_mm"));
            if field_stop > widest {
                faults
                    .push(row.fault(format_args!("stop {field_stop} in a barrel for {widest} mm")));
            }
            // Without distortion the stop is f times the field in radians.
            if let Some(field) = row.number("apparent_field_deg") {
                let plain = focal_length * field.to_radians();
                if !(0.9..=1.1).contains(&(field_stop / plain)) {
                    faults
                        .push(row.fault(format_args!("stop {field_stop}, but f·A is {plain:.1}")));
                }
            }
        }
        let claimed = row.number("eye_relief_mm");
        if let (Some(usable), Some(claimed)) = (row.number("usable_eye_relief_mm"), claimed)
            && usable >= claimed
        {
            faults.push(row.fault("measured relief is not less than the claim"));
        }
        let range = match row.text("optical_class") {
            "wide_field" => 8.0..=30.0,
            _ => 0.3 * focal_length..=0.8 * focal_length,
        };
        faults.extend(row.outside("eye_relief_mm", range));
    }
    let measured = |row: &&Row| !row.text("usable_eye_relief_mm").is_empty();
    faults.extend(too_few("measured reliefs", club.eyepieces.iter().filter(measured).count(), 3));
    faults
}

/// Barlows that cannot be.
pub fn barlow_faults(club: &Club) -> Vec<String> {
    let check = |row: &Row| {
        [
            row.other_than("kind", &["plain", "telecentric", ""]),
            row.other_than("barrel_mm", &BARRELS),
            row.outside("factor", 1.5..=5.0),
            row.outside("mass_g", 30.0..=600.0),
            row.number("factor").is_none().then(|| row.fault("no factor")),
        ]
    };
    club.barlows.iter().flat_map(check).flatten().collect()
}

/// Filters that cannot be, and what the Sun's gate needs to be tried on.
pub fn filter_faults(club: &Club) -> Vec<String> {
    let kinds = ["solar_full_aperture", "moon", "nebula", "colour", "polarising"];
    let scopes: BTreeSet<&str> = club.telescopes.iter().map(|row| row.text("asset_tag")).collect();
    let mut faults = Vec::new();
    let (mut overdue, mut damaged, mut good) = (0, 0, 0);
    for row in &club.filters {
        faults.extend(row.other_than("kind", &kinds));
        faults.extend(row.other_than("damaged", &["yes", "no"]));
        faults.extend(row.outside("mass_g", 5.0..=500.0));
        let telescope = row.text("fits_telescope");
        let least = row.number("fits_outer_diameter_min_mm");
        let most = row.number("fits_outer_diameter_max_mm");
        let tested = row.date("last_light_test");
        if row.text("kind") != "solar_full_aperture" {
            faults.extend(row.other_than("barrel_mm", &BARRELS));
            if !telescope.is_empty() || least.is_some() || most.is_some() || tested.is_some() {
                faults.push(row.fault("only a solar filter goes over the front"));
            }
            continue;
        }
        faults.extend(row.other_than("barrel_mm", &[""]));
        if !telescope.is_empty() && !scopes.contains(telescope) {
            faults.push(row.fault(format_args!("fits {telescope}, which is not there")));
        }
        let aperture = club
            .telescopes
            .iter()
            .find(|scope| scope.text("asset_tag") == telescope)
            .and_then(|scope| scope.number("aperture_mm"));
        match (least, most, tested) {
            (Some(least), Some(most), Some(tested)) => {
                if least >= most || aperture.is_some_and(|aperture| least < aperture) {
                    faults.push(row.fault("the tube it goes over cannot be"));
                }
                if tested > super::lending::REFERENCE {
                    faults.push(row.fault("the light test is yet to come"));
                }
                let is_overdue = super::lending::days_from_reference(tested) < -365;
                let is_damaged = row.text("damaged") == "yes";
                overdue += usize::from(is_overdue && row.in_service());
                damaged += usize::from(is_damaged);
                good += usize::from(!is_overdue && !is_damaged && !telescope.is_empty());
                if is_damaged && row.in_service() {
                    faults.push(row.fault("damaged, yet in service"));
                }
            }
            _ => faults.push(row.fault("a solar filter needs its diameters and its light test")),
        }
    }
    faults.extend(too_few("solar filters with an overdue test", overdue, 1));
    faults.extend(too_few("damaged solar filters", damaged, 1));
    faults.extend(too_few("good solar filters made for a telescope", good, 3));
    faults
}

/// Too few groups of eyepieces alike in every figure, or groups too large.
pub fn twin_faults(club: &Club) -> Vec<String> {
    let own = ["asset_tag", "acquired_year", "state", "notes"];
    let mut groups: BTreeMap<String, usize> = BTreeMap::new();
    for row in club.eyepieces.iter().filter(|row| row.in_service()) {
        let figures: Vec<&str> =
            row.cells().filter(|(column, _)| !own.contains(column)).map(|(_, text)| text).collect();
        *groups.entry(figures.join("|")).or_default() += 1;
    }
    let mut faults: Vec<String> =
        too_few("sets of twins", groups.values().filter(|size| **size > 1).count(), 3)
            .into_iter()
            .collect();
    faults.extend(
        groups
            .iter()
            .filter(|(_, size)| **size > 4)
            .map(|(figures, size)| format!("{size} eyepieces are all {figures}")),
    );
    faults
}
