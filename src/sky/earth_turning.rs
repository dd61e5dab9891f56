//! How the Earth's turning lags behind uniform time.

/// TT − UT1 at the beginning of each year from [`FIRST_YEAR`], s.
///
/// To 1972 the United States Naval Observatory's table of historical values, from 1973 UT1 − UTC of
/// the IERS (Bulletin A), from 2027 its prediction joined to the long-term curve of Stephenson,
/// Morrison & Hohenkerk 2016 (Proc. R. Soc. A 472, 20160404) as continued in Morrison et al. 2021.
/// Values read through a library that carries these tables.
const YEARLY: [f64; 82] = [
    28.575, 28.932, 29.322, 29.699, 30.002, 30.203, 30.409, 30.759, 31.343, 32.032, 32.652, 33.072,
    33.358, 33.621, 33.963, 34.438, 35.094, 35.947, 36.932, 37.955, 38.949, 39.932, 40.950, 42.145,
    43.372, 44.484, 45.476, 46.457, 47.521, 48.534, 49.586, 50.539, 51.381, 52.167, 52.956, 53.788,
    54.343, 54.871, 55.322, 55.820, 56.300, 56.855, 57.565, 58.309, 59.122, 59.984, 60.785, 61.629,
    62.295, 62.966, 63.467, 63.829, 64.091, 64.300, 64.473, 64.574, 64.688, 64.845, 65.146, 65.457,
    65.777, 66.070, 66.325, 66.603, 66.907, 67.281, 67.644, 68.102, 68.593, 68.968, 69.220, 69.361,
    69.359, 69.294, 69.204, 69.175, 69.138, 69.110, 69.096, 69.075, 69.070, 69.075,
];

const FIRST_YEAR: f64 = 1949.0;

/// The same every five years from 2030.
const FIVE_YEARLY: [f64; 25] = [
    69.075, 69.264, 69.722, 70.449, 71.443, 72.704, 74.231, 76.024, 78.081, 80.401, 82.984, 85.831,
    88.936, 92.302, 95.927, 99.811, 103.952, 108.349, 113.003, 117.915, 123.078, 128.494, 134.163,
    140.087, 146.258,
];

/// TT − UT1, s, in a year given with its fraction. Outside the tables, the nearest value.
pub(super) fn lag_s(year: f64) -> f64 {
    if year < 2030.0 {
        between(&YEARLY, year - FIRST_YEAR)
    } else {
        between(&FIVE_YEARLY, (year - 2030.0) / 5.0)
    }
}

fn between(table: &[f64], position: f64) -> f64 {
    let last = table.len() - 1;
    let position = position.clamp(0.0, last as f64);
    let at = (position as usize).min(last - 1);
    let share = position - at as f64;
    table[at] * (1.0 - share) + table[at + 1] * share
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The Astronomical Almanac's table of ΔT, page K9: 1980.0 50.54, 2000.0 63.83, 2010.0 66.07
    /// (from memory).
    #[test]
    fn the_lag_is_the_almanacs() {
        for (year, lag) in [(1980.0, 50.54), (2000.0, 63.83), (2010.0, 66.07)] {
            assert!((lag_s(year) - lag).abs() < 0.02, "{year}: {}", lag_s(year));
        }
    }

    #[test]
    fn the_tables_join_and_end_without_a_jump() {
        assert!((lag_s(2_029.999_999) - lag_s(2030.0)).abs() < 1e-3);
        assert!((lag_s(1900.0) - 28.575).abs() < 1e-12);
        assert!((lag_s(2300.0) - 146.258).abs() < 1e-12);
    }
}
