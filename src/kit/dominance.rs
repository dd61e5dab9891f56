//! When one piece can stand for another, whatever the telescope, the observer and the sky.
//!
//! Each comparison holds because the rules and the worth never punish the better number: the
//! tests of common sense say so, and the exhaustive comparison would notice.

use crate::optics::{Barlow, Eyepiece};

/// Whether `one` serves at least as well as `other` everywhere: the same focal length and barrel,
/// and no number worse. Unknown facts compare only with unknown ones.
pub(super) fn never_worse(one: &Eyepiece, other: &Eyepiece) -> bool {
    let field = if one.field_stop().is_none() {
        other.field_stop().is_none() && at_least(one.apparent_field(), other.apparent_field())
    } else {
        one.apparent_field() == other.apparent_field()
            && at_least(one.field_stop(), other.field_stop())
    };
    let faster = |eyepiece: &Eyepiece| eyepiece.class().map(|class| -class.fastest_focal_ratio());
    one.focal_length() == other.focal_length()
        && one.barrel() == other.barrel()
        && field
        && at_least(one.relief(), other.relief())
        && at_least(faster(one), faster(other))
        && at_least(other.mass(), one.mass())
}

/// The same for Barlows.
pub(super) fn never_worse_barlow(one: &Barlow, other: &Barlow) -> bool {
    one.factor == other.factor && one.barrel == other.barrel && at_least(other.mass, one.mass)
}

/// Both known and the first no smaller, or both unknown.
fn at_least<T: PartialOrd>(one: Option<T>, other: Option<T>) -> bool {
    match (one, other) {
        (Some(one), Some(other)) => one >= other,
        (None, None) => true,
        _ => false,
    }
}
