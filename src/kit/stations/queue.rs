//! The queue at a station: how many get a look, and how long they wait.
//!
//! A visit is a look and stepping up to it. Where the mount stands still, the target drifts through the
//! field and the helper brings it back; turning to another target closes the station for a while. The
//! waiting is simulated, evening by evening. Two formulas hold the simulation in the tests: for a
//! queue that keeps up, the mean wait of Pollaczek and Khinchine, λ·E\[S²\] / (2·(1 − ρ)); for one that
//! does not, or for a class that comes at once, the fluid that runs into a vessel faster than out.

/// Stepping up to the eyepiece and away from it, s. Common practice, no source.
pub const STEP_UP_S: f64 = 15.0;

/// One look of a first-time visitor, s. Common practice, no source.
pub const LOOK_S: f64 = 30.0;

/// Bringing a target back to the field's edge, s. Common practice, no source.
pub const RECENTRE_S: f64 = 8.0;

/// Turning to another target, s. Common practice, no source.
pub const CHANGE_S: f64 = 180.0;

/// The share of a drift through the whole field in which the target stands well enough to be shown.
/// Common practice, no source.
const GOOD_DRIFT: f64 = 0.7;

/// Visits differ by so much of their mean: standard deviation over mean. Our own choice.
pub const SPREAD: f64 = 0.5;

/// How visitors come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Coming {
    /// One by one, at any time of the evening.
    OneByOne,
    /// All at the beginning, as a class does.
    AtOnce,
}

/// One station's evening.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Service {
    /// From beginning to end, s.
    pub evening_s: f64,
    /// Seconds in which it shows nothing or turns to something else.
    pub closed_s: f64,
    /// How long a target takes across the field, s; none where the mount follows.
    pub drift_s: Option<f64>,
}

impl Service {
    /// What one visitor takes on average, with their share of bringing the target back, s.
    #[must_use]
    pub fn visit_s(&self) -> f64 {
        let visit = LOOK_S + STEP_UP_S;
        match self.drift_s {
            // The sky turns while people step up as well.
            Some(drift) => visit * (1.0 + RECENTRE_S / (GOOD_DRIFT * drift).max(RECENTRE_S)),
            None => visit,
        }
    }

    /// How long it is open, s.
    #[must_use]
    pub fn open_s(&self) -> f64 {
        (self.evening_s - self.closed_s).max(0.0)
    }

    /// How many it can serve in the evening.
    #[must_use]
    pub fn capacity(&self) -> f64 {
        self.open_s() / self.visit_s()
    }
}

/// What a queue does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Queue {
    /// How many get a look in the evening, on average.
    pub served: f64,
    /// How long those wait, on average, s.
    pub wait_s: f64,
    /// How long nine in ten of those wait at most, s.
    pub long_wait_s: f64,
}

/// Random numbers from a seed: `SplitMix64` (Steele, Lea and Flood 2014, from memory).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Evenly from 0 to 1, both excluded.
    fn share(&mut self) -> f64 {
        ((self.next() >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    /// Gamma-distributed with mean 1 and variance 1/4: the sum of four exponentials.
    fn visit(&mut self) -> f64 {
        // SPREAD² = 1/4.
        -(0..4).map(|_| self.share().ln()).sum::<f64>() / 4.0
    }
}

/// Simulates so many evenings of a station to which so many come; the same seed gives the same answer.
///
/// Who has not begun to look when the evening ends is not served. The station's closed time is spread
/// over its evening, so the queue moves at the pace of its open time.
#[must_use]
pub fn simulate(
    service: &Service,
    visitors: f64,
    coming: Coming,
    evenings: u32,
    seed: u64,
) -> Queue {
    let nothing = Queue { served: 0.0, wait_s: 0.0, long_wait_s: 0.0 };
    if service.open_s() <= 0.0 || visitors <= 0.0 || evenings == 0 {
        return nothing;
    }
    let mut chance = Chance(seed);
    let pace = service.visit_s() * service.evening_s / service.open_s();
    let mut waits = Vec::new();
    for _ in 0..evenings {
        let mut free = 0.0_f64;
        for arrival in arrivals(service.evening_s, visitors, coming, &mut chance) {
            let begins = free.max(arrival);
            if begins >= service.evening_s {
                break;
            }
            waits.push(begins - arrival);
            free = begins + pace * chance.visit();
        }
    }
    if waits.is_empty() {
        return nothing;
    }
    waits.sort_by(f64::total_cmp);
    Queue {
        served: waits.len() as f64 / f64::from(evenings),
        wait_s: waits.iter().sum::<f64>() / waits.len() as f64,
        long_wait_s: waits[waits.len() * 9 / 10],
    }
}

fn arrivals(evening_s: f64, visitors: f64, coming: Coming, chance: &mut Chance) -> Vec<f64> {
    match coming {
        Coming::AtOnce => vec![0.0; visitors.round() as usize],
        Coming::OneByOne => {
            let mut all = Vec::new();
            let mut at = 0.0;
            loop {
                at -= chance.share().ln() * evening_s / visitors;
                if at >= evening_s {
                    return all;
                }
                all.push(at);
            }
        }
    }
}

/// The mean wait that Pollaczek and Khinchine give for a queue that has settled, s; `None` where it
/// grows for ever.
#[must_use]
pub fn settled_wait_s(service: &Service, visitors: f64) -> Option<f64> {
    let pace = service.visit_s() * service.evening_s / service.open_s();
    let per_second = visitors / service.evening_s;
    let load = per_second * pace;
    (load < 1.0).then(|| per_second * pace * pace * (1.0 + SPREAD * SPREAD) / (2.0 * (1.0 - load)))
}

#[cfg(test)]
mod tests {
    use super::*;

    const EVENING: Service = Service { evening_s: 7_200.0, closed_s: 0.0, drift_s: None };

    #[test]
    fn a_queue_that_keeps_up_waits_as_pollaczek_and_khinchine_say() {
        // Long evenings, so that the beginning without a queue does not count.
        let long = Service { evening_s: 2_000_000.0, ..EVENING };
        for load in [0.3, 0.6, 0.8] {
            let visitors = load * long.capacity();
            let simulated = simulate(&long, visitors, Coming::OneByOne, 4, 7).wait_s;
            let formula = settled_wait_s(&long, visitors).unwrap();
            assert!((simulated / formula - 1.0).abs() < 0.04, "{load}: {simulated} {formula}");
        }
        assert_eq!(settled_wait_s(&long, long.capacity() * 1.01), None);
    }

    #[test]
    fn a_class_that_comes_at_once_waits_half_its_own_length() {
        let service = Service { closed_s: 1_800.0, ..EVENING };
        let pace = service.visit_s() * service.evening_s / service.open_s();
        let queue = simulate(&service, 40.0, Coming::AtOnce, 2_000, 11);
        assert!((queue.wait_s / (39.0 / 2.0 * pace) - 1.0).abs() < 0.02, "{queue:?}");
        assert!((queue.served - 40.0).abs() < 0.01);
    }

    #[test]
    fn a_crowd_beyond_capacity_waits_as_a_vessel_fills() {
        let visitors = 3.0 * EVENING.capacity();
        let queue = simulate(&EVENING, visitors, Coming::OneByOne, 400, 13);
        assert!((queue.served / EVENING.capacity() - 1.0).abs() < 0.02, "{queue:?}");
        // Whoever is served at t came at t/3: two thirds of the evening's mean.
        assert!((queue.wait_s / (7_200.0 / 3.0) - 1.0).abs() < 0.05, "{queue:?}");
    }

    #[test]
    fn drifting_and_changing_cost_looks() {
        let drifting = Service { drift_s: Some(60.0), ..EVENING };
        let changing = Service { closed_s: 2.0 * CHANGE_S, ..EVENING };
        assert!(drifting.capacity() < EVENING.capacity());
        assert!(changing.capacity() < EVENING.capacity());
        // 45 s, and 8 s for every 42 s: 53.57 s.
        assert!((drifting.visit_s() - 45.0 * (1.0 + 8.0 / 42.0)).abs() < 1e-9);
        let slow = Service { drift_s: Some(300.0), ..EVENING };
        assert!(slow.visit_s() < drifting.visit_s());
    }

    #[test]
    fn the_same_seed_gives_the_same_evening() {
        let one = simulate(&EVENING, 100.0, Coming::OneByOne, 20, 3);
        assert_eq!(one, simulate(&EVENING, 100.0, Coming::OneByOne, 20, 3));
        assert_ne!(one, simulate(&EVENING, 100.0, Coming::OneByOne, 20, 4));
    }

    #[test]
    fn nobody_and_never_are_no_queue() {
        for (service, visitors) in
            [(EVENING, 0.0), (Service { closed_s: 9_000.0, ..EVENING }, 50.0)]
        {
            let queue = simulate(&service, visitors, Coming::AtOnce, 5, 1);
            assert!(queue.served.abs() < 1e-12);
        }
    }
}
