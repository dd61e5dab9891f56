//! How today's shelf serves each telescope.

use super::classes::coarse;
use super::facts::Facts;
use super::report::{Cover, Piece};
use crate::kit::purchase::Glassware;
use crate::kit::purchase::coverage::{Reach, STEPS, THINNEST_MM, WIDEST_MM, beam_mm, reach};
use crate::kit::{Settings, ShelfTelescope};

/// Cover of all telescopes, and how many members have too little eye relief everywhere; none where
/// `go_on` says no.
pub(super) fn cover(
    facts: &Facts,
    settings: &Settings,
    go_on: &mut dyn FnMut(usize, usize) -> bool,
) -> Option<(Vec<Cover>, usize)> {
    let (mut eyepieces, mut barlows, mut correctors) = (Vec::new(), Vec::new(), Vec::new());
    for glass in &facts.owned {
        match glass {
            Glassware::Eyepiece(one) if !eyepieces.contains(one) => eyepieces.push(*one),
            Glassware::Barlow(one) if !barlows.contains(one) => barlows.push(*one),
            Glassware::Corrector(one) if !correctors.contains(one) => correctors.push(*one),
            _ => {}
        }
    }
    let members = facts.members();
    let mut short_everywhere = vec![true; facts.classes.len()];
    let mut covers = Vec::new();
    for (at, telescope) in facts.telescopes.iter().enumerate() {
        if !go_on(at, facts.telescopes.len()) {
            return None;
        }
        let reaches: Vec<Reach> = facts
            .classes
            .iter()
            .map(|class| {
                let question = class.question();
                let with = correctors.iter().filter_map(|corrector| {
                    let spec = telescope.spec.with_corrector(corrector)?;
                    Some(ShelfTelescope::plain(spec, telescope.sun_filter))
                });
                let plain = reach(telescope, &question, settings, &eyepieces, &barlows);
                with.fold(plain, |all, with| {
                    all.or(&reach(&with, &question, settings, &eyepieces, &barlows))
                })
            })
            .collect();
        let mut shares = vec![0.0; STEPS];
        let (mut older, mut without_low, mut short) = (0, 0, 0);
        for ((class, reach), everywhere) in
            facts.classes.iter().zip(&reaches).zip(&mut short_everywhere)
        {
            for (share, comfortable) in shares.iter_mut().zip(reach.comfortable) {
                if comfortable {
                    *share += class.members as f64 / members.max(1) as f64;
                }
            }
            if class.key.is_older() {
                older += class.members;
                if reach.lowest.is_none_or(|lowest| lowest > 2.0 * reach.floor) {
                    without_low += class.members;
                }
            }
            if !reach.relief_suffices {
                short += class.members;
            }
            *everywhere &= !reach.relief_suffices;
        }
        let named = &facts.telescope_names[at];
        covers.push(Cover {
            telescope: Piece { tag: named.tag.clone(), name: named.name.clone() },
            gaps: gaps(&shares, telescope.spec.aperture().mm()),
            shares,
            older_without_low_power: coarse(without_low),
            older: coarse(older),
            relief_too_short: coarse(short),
        });
    }
    let short = facts.classes.iter().zip(short_everywhere).filter(|(_, short)| *short);
    Some((covers, coarse(short.map(|(class, _)| class.members).sum())))
}

/// Powers between steps that somebody has, at which nobody has a comfortable view. What lies beyond
/// the lowest and the highest is no gap but an end.
fn gaps(shares: &[f64], aperture_mm: f64) -> Vec<(f64, f64)> {
    let there = |share: &f64| *share > 0.0;
    let (Some(first), Some(last)) = (shares.iter().position(there), shares.iter().rposition(there))
    else {
        return vec![(aperture_mm / WIDEST_MM, aperture_mm / THINNEST_MM)];
    };
    let half = (WIDEST_MM / THINNEST_MM).powf(0.5 / STEPS as f64);
    let mut gaps: Vec<(f64, f64)> = Vec::new();
    let mut from = None;
    for (step, share) in shares.iter().enumerate().take(last + 1).skip(first) {
        match (there(share), from) {
            (false, None) => from = Some(step),
            (true, Some(start)) => {
                gaps.push((
                    aperture_mm / beam_mm(start) / half,
                    aperture_mm / beam_mm(step - 1) * half,
                ));
                from = None;
            }
            _ => {}
        }
    }
    gaps
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gap_lies_between_what_is_there() {
        let mut shares = vec![0.0; STEPS];
        assert_eq!(gaps(&shares, 70.0), [(10.0, 70.0 / THINNEST_MM)]);
        shares[3] = 0.5;
        shares[6] = 0.1;
        let found = gaps(&shares, 200.0);
        assert_eq!(found.len(), 1);
        let (low, high) = found[0];
        assert!(200.0 / beam_mm(3) < low && high < 200.0 / beam_mm(6));
        assert!(low < 200.0 / beam_mm(4) && 200.0 / beam_mm(5) < high);
        shares[4] = 0.2;
        shares[5] = 0.2;
        assert_eq!(gaps(&shares, 200.0), []);
    }
}
