//! Where a dragged point comes to rest: on the grid, on another point's time, on a mark or a finish.
//!
//! Named places win over the grid when they lie within a few pixels, the nearest first; the grid takes the rest.
//! A held key frees the point; it then moves by 0.1 s and 0.01 °C, the finest that a field shows with ease.
//! Pure: screen scales come in as pixels per second and per °C.

use chaffinch_craft::units::{Celsius, TempUnit};
use chaffinch_curve::CurvePoint;

/// Grid of times, in s.
const TIME_GRID_PER_S: f64 = 1.0;
/// Grid of temperatures while °C is shown: 0.5 °C.
const TEMP_GRID_PER_C: f64 = 2.0;
/// Grid of temperatures while °F is shown: 1 °F.
const TEMP_GRID_PER_F: f64 = 1.0;
/// Grid of times of a freed point: 0.1 s.
const FREE_PER_S: f64 = 10.0;
/// Grid of temperatures of a freed point: 0.01 °C.
const FREE_PER_C: f64 = 100.0;

/// How far the pointer moves before a held axis is chosen, in px.
pub const AXIS_DECISION_PX: f32 = 4.0;

/// Whether snapping is on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Snap {
    /// To named places and the grid.
    On,
    /// Held off by a key.
    HeldOff,
}

/// Pixels per unit of each axis, both positive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ScreenScale {
    /// Pixels per second.
    pub px_per_s: f64,
    /// Pixels per °C.
    pub px_per_c: f64,
}

/// Named places that attract a point, and from how far.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Magnets<'a> {
    /// Times of the points that aren't dragged, in s.
    pub times_s: &'a [f64],
    /// Temperatures of marks and finishes, in °C.
    pub temps_c: &'a [f64],
    /// How near a time attracts, in px.
    pub time_reach_px: f64,
    /// How near a temperature attracts, in px.
    pub temp_reach_px: f64,
}

/// What one coordinate came to rest on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rest {
    /// The magnet at this index of its list; worth a guide line.
    Magnet(usize),
    /// The grid of whole seconds, half °C or whole °F.
    Grid,
    /// Nothing; freed by the key.
    Free,
}

/// A place and what each coordinate rests on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Snapped {
    /// Where the point comes to rest.
    pub at: CurvePoint,
    /// What its time rests on.
    pub time: Rest,
    /// What its temperature rests on.
    pub temp: Rest,
}

/// Where a point that is wished at `wished` comes to rest while temperatures are shown in `unit`.
pub fn snapped(
    wished: CurvePoint,
    magnets: Magnets,
    scale: ScreenScale,
    unit: TempUnit,
    snap: Snap,
) -> Snapped {
    if snap == Snap::HeldOff {
        let at = CurvePoint {
            time_s: on_grid(wished.time_s, FREE_PER_S),
            temp_c: on_grid(wished.temp_c, FREE_PER_C),
        };
        return Snapped {
            at,
            time: Rest::Free,
            temp: Rest::Free,
        };
    }
    let time_magnet = nearest(
        wished.time_s,
        magnets.times_s,
        magnets.time_reach_px / scale.px_per_s,
    );
    let temp_magnet = nearest(
        wished.temp_c,
        magnets.temps_c,
        magnets.temp_reach_px / scale.px_per_c,
    );
    let (time, time_s) =
        time_magnet.unwrap_or_else(|| (Rest::Grid, on_grid(wished.time_s, TIME_GRID_PER_S)));
    let (temp, temp_c) =
        temp_magnet.unwrap_or_else(|| (Rest::Grid, temp_on_grid(wished.temp_c, unit)));
    Snapped {
        at: CurvePoint { time_s, temp_c },
        time,
        temp,
    }
}

/// A temperature in °C on the grid of the shown unit: 0.5 °C or 1 °F. For marks and finishes, which move in temperature alone.
pub fn temp_on_grid(temp_c: f64, unit: TempUnit) -> f64 {
    let per_unit = match unit {
        TempUnit::Celsius => TEMP_GRID_PER_C,
        TempUnit::Fahrenheit => TEMP_GRID_PER_F,
    };
    Celsius::from_shown(on_grid(Celsius(temp_c).shown(unit), per_unit), unit).0
}

/// The nearest multiple of `1 / per_unit`; dividing keeps decimal grids at the double that their text reads back to.
fn on_grid(value: f64, per_unit: f64) -> f64 {
    (value * per_unit).round() / per_unit
}

/// The nearest magnet within `reach`; of two at one distance the first.
fn nearest(value: f64, magnets: &[f64], reach: f64) -> Option<(Rest, f64)> {
    let distance = |magnet: f64| (magnet - value).abs();
    magnets
        .iter()
        .enumerate()
        .filter(|(_, magnet)| distance(**magnet) <= reach)
        .min_by(|(_, a), (_, b)| distance(**a).total_cmp(&distance(**b)))
        .map(|(index, &magnet)| (Rest::Magnet(index), magnet))
}

/// An axis along which a drag is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    /// The point moves in time and keeps its temperature.
    Time,
    /// The point moves in temperature and keeps its time.
    Temp,
}

/// Keeps a drag on the axis that moved first, for as long as the key is held.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct AxisKeeper {
    axis: Option<Axis>,
}

impl AxisKeeper {
    /// The keeper after the pointer has gone `moved_px` (right, down) from where the drag began.
    ///
    /// The axis is chosen once, when the pointer is [`AXIS_DECISION_PX`] away; of two equal ways time wins.
    #[must_use]
    pub fn after(self, moved_px: [f32; 2]) -> Self {
        let [across_px, up_px] = moved_px.map(f32::abs);
        if self.axis.is_some() || across_px.hypot(up_px) < AXIS_DECISION_PX {
            return self;
        }
        Self {
            axis: Some(if across_px >= up_px {
                Axis::Time
            } else {
                Axis::Temp
            }),
        }
    }

    /// The chosen axis; `None` before the pointer has gone far enough.
    pub fn axis(self) -> Option<Axis> {
        self.axis
    }

    /// `snapped` with the other coordinate exactly as it was at `start`; both before an axis is chosen.
    pub fn kept(self, start: CurvePoint, snapped: CurvePoint) -> CurvePoint {
        match self.axis {
            None => start,
            Some(Axis::Time) => CurvePoint {
                temp_c: start.temp_c,
                ..snapped
            },
            Some(Axis::Temp) => CurvePoint {
                time_s: start.time_s,
                ..snapped
            },
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        missing_docs,
        clippy::missing_assert_message,
        reason = "tests"
    )]
    use super::*;

    const SCALE: ScreenScale = ScreenScale {
        px_per_s: 1.0,
        px_per_c: 2.0,
    };
    const MAGNETS: Magnets = Magnets {
        times_s: &[60.3, 64.0, 300.0],
        temps_c: &[160.0, 198.25],
        time_reach_px: 5.0,
        temp_reach_px: 4.0,
    };

    fn at(time_s: f64, temp_c: f64) -> CurvePoint {
        CurvePoint { time_s, temp_c }
    }

    fn snap(wished: CurvePoint, unit: TempUnit) -> Snapped {
        snapped(wished, MAGNETS, SCALE, unit, Snap::On)
    }

    #[test]
    fn a_point_rests_on_whole_seconds_and_half_degrees() {
        let found = snap(at(120.4, 180.3), TempUnit::Celsius);
        assert_eq!(
            found,
            Snapped {
                at: at(120.0, 180.5),
                time: Rest::Grid,
                temp: Rest::Grid
            }
        );
    }

    #[test]
    fn in_fahrenheit_a_point_rests_on_whole_degrees_fahrenheit() {
        // 180.3 °C = 356.54 °F, nearest 357 °F = 180.555... °C by the definition of the scale.
        let found = snap(at(120.4, 180.3), TempUnit::Fahrenheit).at.temp_c;
        assert!((found - 1625.0 / 9.0).abs() < 1e-8, "{found}");
        assert_eq!(temp_on_grid(205.1, TempUnit::Fahrenheit), 205.0);
    }

    #[test]
    fn the_nearest_named_place_within_reach_wins_over_the_grid() {
        let found = snap(at(61.0, 197.0), TempUnit::Celsius);
        assert_eq!(
            found,
            Snapped {
                at: at(60.3, 198.25),
                time: Rest::Magnet(0),
                temp: Rest::Magnet(1)
            }
        );
        assert_eq!(
            snap(at(62.5, 180.0), TempUnit::Celsius).time,
            Rest::Magnet(1)
        );
        // 5 px are 5 s, 4 px are 2 °C: just out of reach.
        let found = snap(at(305.1, 162.1), TempUnit::Celsius);
        assert_eq!((found.time, found.temp), (Rest::Grid, Rest::Grid));
    }

    #[test]
    fn zooming_in_narrows_what_attracts() {
        let near = ScreenScale {
            px_per_s: 10.0,
            px_per_c: 20.0,
        };
        let found = snapped(at(61.0, 197.0), MAGNETS, near, TempUnit::Celsius, Snap::On);
        assert_eq!(
            found,
            Snapped {
                at: at(61.0, 197.0),
                time: Rest::Grid,
                temp: Rest::Grid
            }
        );
    }

    #[test]
    fn a_freed_point_moves_by_tenths_of_a_second_and_hundredths_of_a_degree() {
        let found = snapped(
            at(60.26, 198.2449),
            MAGNETS,
            SCALE,
            TempUnit::Fahrenheit,
            Snap::HeldOff,
        );
        assert_eq!(
            found,
            Snapped {
                at: at(60.3, 198.24),
                time: Rest::Free,
                temp: Rest::Free
            }
        );
    }

    #[test]
    fn the_grid_leaves_a_point_that_lies_on_it() {
        let magnets = Magnets {
            times_s: &[],
            temps_c: &[],
            ..MAGNETS
        };
        for step in 0..20_000 {
            let wished = at(f64::from(step) * 0.173, f64::from(step) * 0.0157);
            for unit in [TempUnit::Celsius, TempUnit::Fahrenheit] {
                for held in [Snap::On, Snap::HeldOff] {
                    let once = snapped(wished, magnets, SCALE, unit, held).at;
                    assert_eq!(
                        snapped(once, magnets, SCALE, unit, held).at,
                        once,
                        "{unit:?} {held:?}"
                    );
                }
            }
        }
    }

    #[test]
    fn the_axis_that_moved_first_is_kept_to_the_last_bit() {
        let (start, wished) = (at(100.123, 150.456), at(140.0, 170.0));
        let keeper = AxisKeeper::default().after([2.0, -2.0]);
        assert_eq!(keeper.axis(), None, "under 4 px nothing is decided");
        assert_eq!(keeper.kept(start, wished), start);
        let keeper = keeper.after([3.0, -4.0]);
        assert_eq!(keeper.axis(), Some(Axis::Temp));
        assert_eq!(
            keeper.after([300.0, 0.0]).kept(start, wished),
            at(100.123, 170.0),
            "the choice stays"
        );
        let keeper = AxisKeeper::default().after([4.0, 0.0]);
        assert_eq!(keeper.kept(start, wished), at(140.0, 150.456));
    }
}
