//! Doing the same for a kind's own figures, whichever kind it is.

/// `for_kind!(kind, T => body)`: the body with `T` the figures of that kind.
macro_rules! for_kind {
    ($kind:expr, $figures:ident => $body:expr) => {
        match $kind {
            $crate::shelf::Kind::Telescope => {
                type $figures = $crate::shelf::TelescopeFigures;
                $body
            }
            $crate::shelf::Kind::Eyepiece => {
                type $figures = $crate::optics::Eyepiece;
                $body
            }
            $crate::shelf::Kind::Barlow => {
                type $figures = $crate::optics::Barlow;
                $body
            }
            $crate::shelf::Kind::Filter => {
                type $figures = $crate::shelf::FilterFigures;
                $body
            }
            $crate::shelf::Kind::Accessory => {
                type $figures = $crate::shelf::AccessoryFigures;
                $body
            }
        }
    };
}
pub(super) use for_kind;
