//! Helpers to telescopes to eyepieces: the best so many paths at given scores.
//!
//! A path takes one helper, one telescope they may run and one eyepiece; no two paths share any of
//! the three. That is a flow of least cost in a small network, grown path by path along shortest
//! residual paths (successive shortest paths; Ahuja, Magnanti and Orlin 1993, *Network Flows*,
//! section 9.7, from memory), so each number of stations is optimal before the next is tried.

use super::Problem;

/// What one telescope with one eyepiece brings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Pair {
    pub(super) telescope: usize,
    pub(super) eyepiece: usize,
    pub(super) score: i64,
}

/// A path of the answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Path {
    pub(super) helper: usize,
    /// Position among the pairs.
    pub(super) pair: usize,
}

/// The best paths and what they bring.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Paths {
    pub(super) score: i64,
    pub(super) taken: Vec<Path>,
    /// By how much the score drops, at least, if this pair is forced in; by pair.
    pub(super) regret: Vec<i64>,
}

#[derive(Debug, Clone, Copy)]
struct Arc {
    from: usize,
    to: usize,
    cost: i64,
    free: bool,
}

const FAR: i64 = i64::MAX / 4;

/// The network's numbering: source, helpers, telescopes coming in, telescopes going out, eyepieces,
/// sink.
struct Network {
    arcs: Vec<Arc>,
    helpers: usize,
    telescopes: usize,
    first_pair: usize,
    nodes: usize,
}

impl Network {
    fn new(problem: &Problem, pairs: &[Pair]) -> Self {
        let (helpers, eyepieces) = (&problem.helpers, problem.eyepieces);
        let telescopes = problem.telescopes.len();
        let nodes = helpers.len() + 2 * telescopes + eyepieces + 2;
        let mut network =
            Self { arcs: Vec::new(), helpers: helpers.len(), telescopes, first_pair: 0, nodes };
        let helper = |at: usize| 1 + at;
        let inwards = |at: usize| 1 + helpers.len() + at;
        let outwards = |at: usize| 1 + helpers.len() + telescopes + at;
        let eyepiece = |at: usize| 1 + helpers.len() + 2 * telescopes + at;
        for (at, who) in helpers.iter().enumerate() {
            network.add(0, helper(at), 0);
            for (telescope, _) in who.may_run.iter().enumerate().filter(|(_, may)| **may) {
                network.add(helper(at), inwards(telescope), 0);
            }
        }
        for at in 0..telescopes {
            network.add(inwards(at), outwards(at), 0);
        }
        for at in 0..eyepieces {
            network.add(eyepiece(at), nodes - 1, 0);
        }
        network.first_pair = network.arcs.len();
        for pair in pairs {
            network.add(outwards(pair.telescope), eyepiece(pair.eyepiece), -pair.score);
        }
        network
    }

    /// Every arc is followed by its way back.
    fn add(&mut self, from: usize, to: usize, cost: i64) {
        self.arcs.push(Arc { from, to, cost, free: true });
        self.arcs.push(Arc { from: to, to: from, cost: -cost, free: false });
    }

    /// Distances from the source over free arcs, and the arc each was reached by.
    fn distances(&self) -> (Vec<i64>, Vec<usize>) {
        let mut far = vec![FAR; self.nodes];
        let mut by = vec![usize::MAX; self.nodes];
        far[0] = 0;
        // A residual network of least cost has no negative circle, so this ends.
        for _ in 0..self.nodes {
            let mut settled = true;
            for (at, arc) in self.arcs.iter().enumerate().filter(|(_, arc)| arc.free) {
                if far[arc.from] < FAR && far[arc.from] + arc.cost < far[arc.to] {
                    far[arc.to] = far[arc.from] + arc.cost;
                    by[arc.to] = at;
                    settled = false;
                }
            }
            if settled {
                break;
            }
        }
        (far, by)
    }

    fn push_along(&mut self, by: &[usize]) {
        let mut node = self.nodes - 1;
        while node != 0 {
            let at = by[node];
            self.arcs[at].free = false;
            self.arcs[at ^ 1].free = true;
            node = self.arcs[at].from;
        }
    }

    fn paths(&self, pairs: &[Pair]) -> Vec<Path> {
        let used = |at: usize| !self.arcs[self.first_pair + 2 * at].free;
        let taken: Vec<usize> = (0..pairs.len()).filter(|at| used(*at)).collect();
        let runs = |helper: usize, telescope: usize| {
            self.arcs[..self.first_pair].iter().step_by(2).any(|arc| {
                !arc.free && arc.from == 1 + helper && arc.to == 1 + self.helpers + telescope
            })
        };
        taken
            .into_iter()
            .filter_map(|pair| {
                let telescope = pairs[pair].telescope;
                let helper = (0..self.helpers).find(|helper| runs(*helper, telescope))?;
                Some(Path { helper, pair })
            })
            .collect()
    }

    /// How much the score drops at least where a pair that is not taken is forced in: the length of
    /// the shortest circle through it, from the distances of the last residual network.
    fn regrets(&self, pairs: &[Pair], more: bool, fewer: bool) -> Vec<i64> {
        let back = self.circles(more, fewer);
        pairs
            .iter()
            .enumerate()
            .map(|(at, pair)| {
                let arc = self.arcs[self.first_pair + 2 * at];
                if !arc.free {
                    return 0;
                }
                let (telescope, eyepiece) = (pair.telescope, pair.eyepiece);
                back[telescope][eyepiece].saturating_add(arc.cost).max(0)
            })
            .collect()
    }

    /// The shortest way from each eyepiece back to each telescope's way out, over free arcs. Where a
    /// path more is allowed, the sink leads back to the source, and where there is one to take away,
    /// the source leads to the sink.
    fn circles(&self, more: bool, fewer: bool) -> Vec<Vec<i64>> {
        let eyepieces = self.nodes - 2 - self.helpers - 2 * self.telescopes;
        let first_out = 1 + self.helpers + self.telescopes;
        let first_eyepiece = first_out + self.telescopes;
        (0..self.telescopes)
            .map(|telescope| {
                // Distances to this telescope's way out, walked backwards.
                let mut far = vec![FAR; self.nodes];
                far[first_out + telescope] = 0;
                for _ in 0..self.nodes {
                    let mut settled = true;
                    for arc in self.arcs.iter().filter(|arc| arc.free) {
                        if far[arc.to] < FAR && far[arc.to] + arc.cost < far[arc.from] {
                            far[arc.from] = far[arc.to] + arc.cost;
                            settled = false;
                        }
                    }
                    let (source, sink) = (far[0], far[self.nodes - 1]);
                    if more && source < sink {
                        far[self.nodes - 1] = source;
                        settled = false;
                    }
                    if fewer && sink < source {
                        far[0] = sink;
                        settled = false;
                    }
                    if settled {
                        break;
                    }
                }
                (0..eyepieces).map(|at| far[first_eyepiece + at]).collect()
            })
            .collect()
    }
}

/// Whether the drop for each pair is wanted as well, which costs more than the paths.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Regrets {
    Wanted,
    NotWanted,
}

/// The best paths, at most `problem.stations` of them, each bringing something.
pub(super) fn best_paths(problem: &Problem, pairs: &[Pair], regrets: Regrets) -> Paths {
    let most = problem.stations;
    let mut network = Network::new(problem, pairs);
    let (mut score, mut count) = (0, 0);
    while count < most {
        let (far, by) = network.distances();
        let length = far[network.nodes - 1];
        if length >= 0 {
            break;
        }
        network.push_along(&by);
        score -= length;
        count += 1;
    }
    let taken = network.paths(pairs);
    let regret = match regrets {
        Regrets::Wanted => network.regrets(pairs, count < most, count > 0),
        Regrets::NotWanted => Vec::new(),
    };
    Paths { score, taken, regret }
}
