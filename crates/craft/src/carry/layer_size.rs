//! How large each layer of a carry-over is: least and greatest move of the curve's points, in temperature, rise and time.

use super::{CarryOver, PointCarry, Shift};
use crate::units::{
    TempUnit, format_rise, format_temp_shift_with_unit, format_time, format_time_shift,
};

/// A layer, or all of them together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layer {
    /// The twin's answer, at its full size.
    Physics,
    /// The rules of practice, at their full size.
    Practice,
    /// All layers, as far as was asked for.
    Together,
}

/// Least and greatest move; both 0 where the layer is off or changes nothing.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct LayerSize {
    /// In temperature, in K.
    pub temp_k: [f64; 2],
    /// In the rate of rise, in °C/s.
    pub rise_c_per_s: [f64; 2],
    /// In time, in s.
    pub time_s: [f64; 2],
}

impl CarryOver {
    /// The size of `layer` over the points of the curve.
    pub fn layer_size(&self, layer: Layer) -> LayerSize {
        let shift = |point: &PointCarry| match layer {
            Layer::Physics => point.physics,
            Layer::Practice => point.practice,
            Layer::Together => point.total,
        };
        let shifts: Vec<Shift> = self.points.iter().map(shift).collect();
        LayerSize {
            temp_k: span(&shifts, |shift| shift.temp_k),
            rise_c_per_s: span(&shifts, |shift| shift.rise_c_per_s),
            time_s: span(&shifts, |shift| shift.time_s),
        }
    }
}

impl LayerSize {
    /// In temperature: “−1.2 to +3.4 °C”, “0 °C”.
    pub fn temp_text(&self, unit: TempUnit) -> String {
        let symbol = unit.symbol();
        let number = |shift_k: f64| {
            let text = format_temp_shift_with_unit(shift_k, unit);
            text.trim_end_matches(symbol).trim_end().to_owned()
        };
        format!("{} {symbol}", joined(self.temp_k.map(number)))
    }

    /// In the rate of rise: “−0.4 to +0.2 °C/min”, “0.0 °C/min”.
    pub fn rise_text(&self, unit: TempUnit) -> String {
        let zero = format_rise(0.0, unit);
        let number = |rise_c_per_s: f64| {
            let text = format_rise(rise_c_per_s, unit);
            if 0.0 < rise_c_per_s && text != zero {
                format!("+{text}")
            } else {
                text
            }
        };
        let numbers = joined(self.rise_c_per_s.map(number));
        format!("{numbers} {}", unit.rise_symbol())
    }

    /// In time: “−0:04 to +0:12”; nothing where no point moves by half a second.
    pub fn time_text(&self) -> Option<String> {
        let texts = self.time_s.map(format_time_shift);
        let is_moved = texts.iter().any(|text| *text != format_time(0.0));
        is_moved.then(|| joined(texts))
    }
}

/// “least to greatest”, or the one that both are.
fn joined([least, greatest]: [String; 2]) -> String {
    if least == greatest {
        least
    } else {
        format!("{least} to {greatest}")
    }
}

fn span(shifts: &[Shift], of: fn(&Shift) -> f64) -> [f64; 2] {
    let mut values = shifts.iter().map(of);
    let Some(first) = values.next() else {
        return [0.0; 2];
    };
    values.fold([first; 2], |[least, greatest], value| {
        [least.min(value), greatest.max(value)]
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const CELSIUS: TempUnit = TempUnit::Celsius;

    #[test]
    fn size_spans_from_least_to_greatest() {
        let shifts = [1.5, -2.25, 0.5].map(|temp_k| Shift {
            temp_k,
            ..Shift::default()
        });
        assert_eq!(span(&shifts, |shift| shift.temp_k), [-2.25, 1.5], "ends");
        assert_eq!(span(&[], |shift| shift.temp_k), [0.0; 2], "no points");
    }

    #[test]
    fn texts_carry_sign_and_unit_once() {
        let size = LayerSize {
            temp_k: [-1.24, 3.4],
            rise_c_per_s: [-0.4 / 60.0, 0.2 / 60.0],
            time_s: [0.0, 12.0],
        };
        assert_eq!(size.temp_text(CELSIUS), "−1.2 to +3.4 °C", "both ends");
        assert_eq!(size.rise_text(CELSIUS), "−0.4 to +0.2 °C/min", "per minute");
        assert_eq!(size.time_text().as_deref(), Some("0:00 to +0:12"), "time");
        // 5 K are 9 °F, without the 32.
        let five = LayerSize {
            temp_k: [5.0; 2],
            ..LayerSize::default()
        };
        assert_eq!(five.temp_text(TempUnit::Fahrenheit), "+9 °F", "once");
    }

    #[test]
    fn a_layer_that_is_off_is_nothing() {
        let off = LayerSize::default();
        assert_eq!(off.temp_text(CELSIUS), "0 °C", "no range");
        assert_eq!(off.rise_text(CELSIUS), "0.0 °C/min", "no sign");
        assert_eq!(off.time_text(), None, "no time moves");
        // Less than is shown has no sign either.
        let tiny = LayerSize {
            temp_k: [-0.01, 0.01],
            rise_c_per_s: [-1e-5, 1e-5],
            time_s: [-0.2, 0.2],
        };
        assert_eq!(tiny.temp_text(CELSIUS), "0 °C", "rounded away");
        assert_eq!(tiny.rise_text(CELSIUS), "0.0 °C/min", "rounded away");
        assert_eq!(tiny.time_text(), None, "rounded away");
    }
}
