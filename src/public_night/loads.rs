//! Which station goes into which vehicle. Pure.

/// A station's set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heavy {
    /// How heavy it is, as far as known, g.
    pub mass_g: f64,
}

/// The positions of the sets in each vehicle: a set stays together, and the heaviest goes where
/// least is yet. The heaviest load is then at most 4/3 of the least possible one (Graham 1969,
/// SIAM J. Appl. Math. 17, 416, `from memory`).
#[must_use]
pub fn loads(sets: &[Heavy], vehicles: usize) -> Vec<Vec<usize>> {
    let vehicles = vehicles.max(1);
    let mut order: Vec<usize> = (0..sets.len()).collect();
    order.sort_by(|a, b| sets[*b].mass_g.total_cmp(&sets[*a].mass_g).then(a.cmp(b)));
    let mut loads = vec![(0.0, Vec::new()); vehicles];
    for at in order {
        let lightest = loads.iter_mut().min_by(|a: &&mut (f64, Vec<usize>), b| {
            a.0.total_cmp(&b.0).then(a.1.len().cmp(&b.1.len()))
        });
        if let Some(load) = lightest {
            load.0 += sets[at].mass_g;
            load.1.push(at);
        }
    }
    loads
        .into_iter()
        .map(|(_, mut load)| {
            load.sort_unstable();
            load
        })
        .filter(|load| !load.is_empty())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sets(masses: &[f64]) -> Vec<Heavy> {
        masses.iter().map(|mass_g| Heavy { mass_g: *mass_g }).collect()
    }

    fn heaviest(sets: &[Heavy], loads: &[Vec<usize>]) -> f64 {
        let mass = |load: &Vec<usize>| load.iter().map(|at| sets[*at].mass_g).sum::<f64>();
        loads.iter().map(mass).fold(0.0, f64::max)
    }

    /// The least possible heaviest load, by trying everything.
    fn least(sets: &[Heavy], vehicles: usize) -> f64 {
        let ways = vehicles.pow(u32::try_from(sets.len()).unwrap());
        (0..ways)
            .map(|way| {
                let mut loads = vec![Vec::new(); vehicles];
                let mut rest = way;
                for at in 0..sets.len() {
                    loads[rest % vehicles].push(at);
                    rest /= vehicles;
                }
                heaviest(sets, &loads)
            })
            .fold(f64::INFINITY, f64::min)
    }

    #[test]
    fn every_set_is_packed_once_and_the_loads_are_nearly_even() {
        for masses in [&[20e3, 5e3, 6e3, 9e3, 4e3, 27e3][..], &[3.0, 3.0, 2.0, 2.0, 2.0], &[0.0; 4]]
        {
            let sets = sets(masses);
            for vehicles in 1..=4 {
                let found = loads(&sets, vehicles);
                let mut all: Vec<usize> = found.concat();
                all.sort_unstable();
                assert_eq!(all, (0..sets.len()).collect::<Vec<_>>());
                let bound = least(&sets, vehicles) * 4.0 / 3.0 + 1e-9;
                assert!(heaviest(&sets, &found) <= bound, "{masses:?} {vehicles}: {found:?}");
            }
        }
        // What nobody weighed is spread by number.
        assert_eq!(loads(&sets(&[0.0; 4]), 2), [[0, 2], [1, 3]]);
    }
}
