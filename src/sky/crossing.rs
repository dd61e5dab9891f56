//! Finding when something crosses a height, also where it only just does.

use super::instant::Instant;

/// When a height is crossed, and which way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crossing {
    /// When.
    pub at: Instant,
    /// Whether it rises through the height.
    pub rising: bool,
}

/// Roots are found to this, s.
const CLOSE_S: f64 = 0.02;

/// All crossings of zero by a continuous function between two instants, in order.
///
/// It is sampled every `step` seconds; between samples, a turning point is sought where one side is
/// near enough to zero to hide two crossings.
pub(super) fn crossings(
    from: Instant,
    to: Instant,
    step: f64,
    height: impl Fn(Instant) -> f64,
) -> Vec<Crossing> {
    let steps = (to.since(from) / step).ceil().max(1.0) as usize;
    let step = to.since(from) / steps as f64;
    let mut samples: Vec<(Instant, f64)> = (0..=steps)
        .map(|at| {
            let instant = from.later(step * at as f64);
            (instant, height(instant))
        })
        .collect();
    let turns: Vec<(Instant, f64)> = samples
        .windows(3)
        .filter_map(|three| {
            let [(left, a), (_, b), (right, c)] = three else { return None };
            let sign = if *b > 0.0 { -1.0 } else { 1.0 };
            let same_side = a * b > 0.0 && b * c > 0.0;
            let turns = sign * b >= sign * a && sign * b >= sign * c;
            // Towards zero: the function's highest where it is negative, its lowest where positive.
            (same_side && turns)
                .then(|| turning_point(*left, *right, |t| sign * height(t)))
                .map(|at| (at, height(at)))
        })
        .collect();
    samples.extend(turns);
    samples.sort_by(|a, b| a.0.unix_seconds().total_cmp(&b.0.unix_seconds()));
    samples
        .windows(2)
        .filter_map(|two| {
            let [(left, a), (right, b)] = two else { return None };
            ((*a < 0.0) != (*b < 0.0))
                .then(|| Crossing { at: root(*left, *right, *a, *b, &height), rising: *a < 0.0 })
        })
        .collect()
}

/// The first crossing that goes the wanted way.
pub fn first_crossing(found: &[Crossing], rising: bool) -> Option<Instant> {
    found.iter().find(|one| one.rising == rising).map(|one| one.at)
}

/// Where the function is highest between two instants, by golden section.
pub(super) fn turning_point(
    mut left: Instant,
    mut right: Instant,
    height: impl Fn(Instant) -> f64,
) -> Instant {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let inner = |left: Instant, right: Instant, share: f64| left.later(right.since(left) * share);
    let (mut a, mut b) = (inner(left, right, 1.0 - GOLDEN), inner(left, right, GOLDEN));
    let (mut at_a, mut at_b) = (height(a), height(b));
    while right.since(left) > 1.0 {
        if at_a > at_b {
            (right, b, at_b) = (b, a, at_a);
            a = inner(left, right, 1.0 - GOLDEN);
            at_a = height(a);
        } else {
            (left, a, at_a) = (a, b, at_b);
            b = inner(left, right, GOLDEN);
            at_b = height(b);
        }
    }
    left.later(right.since(left) / 2.0)
}

/// The root between two instants of different sign: secants kept honest by bisection.
fn root(
    mut left: Instant,
    mut right: Instant,
    mut a: f64,
    mut b: f64,
    height: &impl Fn(Instant) -> f64,
) -> Instant {
    for round in 0.. {
        let width = right.since(left);
        if width < CLOSE_S || round > 60 {
            break;
        }
        let secant = if (b - a).abs() > f64::EPSILON { -a / (b - a) } else { 0.5 };
        // Every third step halves, so that the bracket closes whatever the shape.
        let share = if round % 3 == 2 { 0.5 } else { secant.clamp(0.001, 0.999) };
        let middle = left.later(width * share);
        let value = height(middle);
        if (value < 0.0) == (a < 0.0) {
            (left, a) = (middle, value);
        } else {
            (right, b) = (middle, value);
        }
    }
    left.later(right.since(left) / 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn from_zero(seconds: f64) -> Instant {
        Instant::from_unix_seconds(seconds).unwrap()
    }

    fn roots(height: impl Fn(f64) -> f64) -> Vec<(f64, bool)> {
        crossings(from_zero(0.0), from_zero(86_400.0), 600.0, |t| height(t.unix_seconds()))
            .into_iter()
            .map(|one| (one.at.unix_seconds(), one.rising))
            .collect()
    }

    #[test]
    fn a_daily_wave_is_crossed_twice() {
        let found = roots(|t| ((t - 30_000.0) / 86_400.0 * std::f64::consts::TAU).sin());
        assert_eq!(found.iter().map(|one| one.1).collect::<Vec<_>>(), [true, false]);
        assert!((found[0].0 - 30_000.0).abs() < 0.05, "{found:?}");
        assert!((found[1].0 - 73_200.0).abs() < 0.05, "{found:?}");
    }

    #[test]
    fn what_peeps_over_for_half_a_minute_between_two_samples_is_found() {
        let found = roots(|t| 225.0 - (t - 40_321.0).powi(2));
        assert_eq!(found.len(), 2, "{found:?}");
        assert!((found[0].0 - 40_306.0).abs() < 0.05 && (found[1].0 - 40_336.0).abs() < 0.05);
    }

    #[test]
    fn what_never_crosses_is_not_crossed() {
        assert_eq!(roots(|t| 1.0 + (t - 43_210.0).powi(2)), []);
        assert_eq!(roots(|_| -1.0), []);
    }
}
