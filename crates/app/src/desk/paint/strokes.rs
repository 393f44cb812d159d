//! How each line of the chart looks beside its colour: width, dash pattern and marker, so that colour never stands alone.

use eframe::egui::{Color32, Stroke};

use crate::desk::theme::Palette;

/// A small shape set along a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Marker {
    /// Open square.
    Square,
    /// Open triangle, point up.
    Triangle,
    /// Open diamond.
    Diamond,
    /// Diagonal cross.
    Cross,
    /// Upright tick.
    Tick,
    /// Filled disc.
    Disc,
    /// Filled arrow that points right, for the left edge of a mark.
    Arrow,
}

/// Width, dash and marker of a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineLook {
    /// Width in points.
    pub width_px: f32,
    /// Lengths in points, on and off in turn; empty for a solid line.
    pub dash_px: &'static [f32],
    /// Shape set along the line.
    pub marker: Option<Marker>,
}

/// Every kind of line that a lane can hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineRole {
    /// The drawn curve.
    Curve,
    /// The drawn curve after the drop.
    PastDrop,
    /// The curve as it would be: the preview of a change that isn't applied yet.
    Preview,
    /// The heater's effort as it would be.
    PreviewHeater,
    /// The fan's settings as they would be.
    PreviewAir,
    /// What the machine and beans are expected to do.
    Forecast,
    /// Edge of the reach corridor.
    ReachEdge,
    /// Outer edge of the forecast spread.
    SpreadOuter,
    /// Inner edge of the forecast spread.
    SpreadInner,
    /// Rate of rise of the drawn curve.
    Rate,
    /// Heater effort.
    Heater,
    /// Air effort.
    Air,
    /// First roast or plan to compare with.
    Log1,
    /// Second roast or plan to compare with.
    Log2,
    /// Third roast or plan to compare with.
    Log3,
    /// Fourth roast or plan to compare with.
    Log4,
    /// Fifth roast or plan to compare with; shares the second's colour, not its dash or marker.
    Log5,
    /// Sixth roast or plan to compare with; shares the fourth's colour, not its dash or marker.
    Log6,
    /// Mark or limit.
    Mark,
    /// Leader of a finish that is not chosen.
    Finish,
    /// Leader of the chosen finish.
    FinishChosen,
    /// Phase boundary through the lanes; the drop is the same line, solid.
    Boundary,
}

/// The lines to compare with, in the order in which they are given out.
pub const LOGS: [LineRole; 6] = [
    LineRole::Log1,
    LineRole::Log2,
    LineRole::Log3,
    LineRole::Log4,
    LineRole::Log5,
    LineRole::Log6,
];

impl LineRole {
    /// Width, dash and marker.
    pub fn look(self) -> LineLook {
        let (width_px, dash_px, marker): (f32, &'static [f32], _) = match self {
            Self::Curve => (2.75, &[], None),
            Self::PastDrop => (1.25, &[3.0, 3.0], None),
            Self::Preview | Self::PreviewHeater => (2.0, &[6.0, 3.0], None),
            Self::PreviewAir => (1.5, &[6.0, 3.0, 2.0, 3.0], None),
            Self::Forecast => (2.25, &[8.0, 4.0], None),
            Self::ReachEdge => (1.0, &[1.5, 4.5], None),
            Self::SpreadOuter => (0.8, &[1.0, 3.0], None),
            Self::SpreadInner | Self::Finish => (0.8, &[], None),
            Self::Rate => (2.5, &[], Some(Marker::Tick)),
            Self::Heater => (2.5, &[], None),
            Self::Air => (2.0, &[2.0, 3.0], Some(Marker::Disc)),
            Self::Log1 => (1.75, &[9.0, 3.0, 2.0, 3.0], Some(Marker::Square)),
            Self::Log2 => (1.75, &[], Some(Marker::Triangle)),
            Self::Log3 => (1.75, &[14.0, 4.0], Some(Marker::Diamond)),
            Self::Log4 => (1.75, &[2.0, 4.0], Some(Marker::Cross)),
            Self::Log5 => (1.75, &[6.0, 5.0], Some(Marker::Disc)),
            Self::Log6 => (1.75, &[12.0, 2.0, 4.0, 2.0], Some(Marker::Tick)),
            Self::Mark => (1.5, &[10.0, 3.0, 2.0, 3.0, 2.0, 3.0], Some(Marker::Arrow)),
            Self::FinishChosen => (1.5, &[], None),
            Self::Boundary => (1.0, &[2.0, 3.0], None),
        };
        LineLook {
            width_px,
            dash_px,
            marker,
        }
    }

    /// Colour in `palette`, with the opacity that belongs to the role.
    pub fn color(self, palette: &Palette) -> Color32 {
        match self {
            Self::Curve | Self::PastDrop | Self::ReachEdge | Self::FinishChosen => palette.setpoint,
            Self::Preview | Self::PreviewHeater | Self::PreviewAir => palette.accent,
            Self::Forecast => palette.forecast,
            Self::SpreadOuter | Self::SpreadInner => palette.spread_edge(),
            Self::Rate => palette.rate,
            Self::Heater => palette.heater,
            Self::Air => palette.air,
            Self::Log1 => palette.log1,
            Self::Log2 | Self::Log5 => palette.log2,
            Self::Log3 => palette.log3,
            Self::Log4 | Self::Log6 => palette.log4,
            Self::Mark => palette.mark,
            Self::Finish => palette.leader_line(),
            Self::Boundary => palette.boundary_line(),
        }
    }

    /// Width and colour in one.
    pub fn stroke(self, palette: &Palette) -> Stroke {
        Stroke::new(self.look().width_px, self.color(palette))
    }
}

#[cfg(test)]
mod tests {
    #![allow(missing_docs, reason = "tests")]
    use super::*;

    #[test]
    fn lines_that_share_a_lane_differ_without_colour() {
        // identity.md, section 1 "line sets"; ticks, discs and dashes must tell them apart for a reader without colour.
        let lanes: [&[LineRole]; 3] = [
            &[
                LineRole::Curve,
                LineRole::Preview,
                LineRole::Forecast,
                LineRole::Mark,
            ],
            &[
                LineRole::Rate,
                LineRole::Preview,
                LineRole::Forecast,
                LineRole::Mark,
            ],
            &[
                LineRole::Heater,
                LineRole::Air,
                LineRole::PreviewHeater,
                LineRole::PreviewAir,
                LineRole::Mark,
            ],
        ];
        for lane in lanes {
            let all: Vec<_> = lane.iter().chain(&LOGS).collect();
            for (index, one) in all.iter().enumerate() {
                for other in &all[..index] {
                    let (a, b) = (one.look(), other.look());
                    assert!(
                        a.dash_px != b.dash_px || a.marker != b.marker,
                        "{one:?} and {other:?} look alike"
                    );
                }
            }
        }
    }
}
