//! Fields and choices for one control point, used by the bar and by the table.

use super::tools::{bar_slot, read, slot};
use crate::desk::{
    ask::Ask,
    model::Model,
    theme::Step,
    view_state::ViewState,
    widgets::{choice::choice, tooltip::Explanation, typed_field::TypedField},
};
use chaffinch_craft::{
    Edit, Plan,
    entry::{EntryError, parse_rise, parse_temp, parse_time},
    units::{TempUnit, format_rise, format_rise_field, format_temp_field, format_time_field},
};
use chaffinch_curve::{ControlPoint, CurvePoint, Lock, PointEdit, Segment};
use eframe::egui::Ui;

/// How a curve may run from a point to the next, as it is offered.
pub(super) const STRETCHES: [(Segment, &str); 3] = [
    (Segment::Curved, "Curved"),
    (Segment::Straight, "Straight"),
    (Segment::Hold, "Hold"),
];

/// Kinds of lock, as they are offered.
pub(super) const LOCKS: [(Lock, &str); 4] = [
    (Lock::Free, "Free"),
    (Lock::Time, "Time locked"),
    (Lock::Temp, "Temperature locked"),
    (Lock::Both, "Both locked"),
];

/// What is typed in a time field.
pub(super) const TIME_ENTRY: Explanation<'static> = Explanation {
    what: "Time since charge.",
    how: "Type 9:30, 570 s or 9.5 min; +5 and -0:15 change it. Shown to 0.1 s.",
    source: "",
};

/// What is typed in a temperature field.
pub(super) const TEMP_ENTRY: Explanation<'static> = Explanation {
    what: "Temperature of the curve at this point.",
    how: "Type 205, 205 °C or 401 °F; +5, -3 and *1.02 change it. Shown to 0.01.",
    source: "",
};

/// What is typed in a rise field.
pub(super) const RISE_ENTRY: Explanation<'static> = Explanation {
    what: "Rate of rise at this point. Pale: it follows from the curve; dark: it is pinned.",
    how: "Type a number to pin it, per minute unless you write /s. Clear the field to free it.",
    source: "",
};

/// How strongly a rise is drawn that nobody pinned; its text keeps a contrast above 4.5.
const FREE_RISE_OPACITY: f32 = 0.72;

/// Where fields stand; both places may be in view, and names must differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum Place {
    /// In the bar at the foot.
    Bar,
    /// In the table.
    Table,
}

/// A control point as its fields need it.
#[derive(Clone, Copy, Debug)]
pub(super) struct PointRow<'a> {
    pub(super) point: &'a ControlPoint,
    /// Counts from 1.
    pub(super) number: usize,
    pub(super) is_last: bool,
    rise_c_per_s: f64,
    unit: TempUnit,
    plan: &'a Plan,
    place: Place,
}

impl<'a> PointRow<'a> {
    /// The point at `index` of the curve, if there is one.
    pub(super) fn at(model: &Model<'a>, index: usize, place: Place) -> Option<Self> {
        let points = model.plan.curve.points();
        Some(Self {
            point: points.get(index)?,
            number: index + 1,
            is_last: index + 1 == points.len(),
            rise_c_per_s: model.derived.points.get(index)?.rise_c_per_s,
            unit: model.unit,
            plan: model.plan,
            place,
        })
    }

    /// The time of the point.
    pub(super) fn time(
        &self,
        width_px: f32,
        view: &mut ViewState,
        asks: &mut Vec<Ask>,
        ui: &mut Ui,
    ) {
        let now_s = self.point.time_s;
        let (name, shown) = (self.name("time"), format_time_field(now_s));
        let field = TypedField::new(self.salt("time"), &name, &shown)
            .width_px(width_px)
            .explained(TIME_ENTRY);
        let parse = |text: &str| {
            read(self.plan, parse_time(text, now_s), |time_s| {
                self.moved(CurvePoint {
                    time_s,
                    ..self.point.place()
                })
            })
        };
        let is_free = self.number > 1 && !self.point.lock.holds_time();
        let edit = self.show((field, width_px), is_free, view, ui, &parse);
        asks.extend(edit.map(Ask::Apply));
    }

    /// The temperature of the point; `width_px` is that of the field, `unit_px` what is kept for its unit (0: none).
    pub(super) fn temp(
        &self,
        [width_px, unit_px]: [f32; 2],
        view: &mut ViewState,
        asks: &mut Vec<Ask>,
        ui: &mut Ui,
    ) {
        let (now_c, unit) = (self.point.temp_c, self.unit);
        let (name, shown) = (self.name("temperature"), format_temp_field(now_c, unit));
        let symbol = if unit_px > 0.0 { unit.symbol() } else { "" };
        let field = TypedField::new(self.salt("temperature"), &name, &shown)
            .width_px(width_px)
            .unit(symbol)
            .explained(TEMP_ENTRY);
        let parse = |text: &str| {
            read(self.plan, parse_temp(text, now_c, unit), |temp_c| {
                self.moved(CurvePoint {
                    temp_c,
                    ..self.point.place()
                })
            })
        };
        let is_free = !self.point.lock.holds_temp();
        let edit = self.show((field, width_px + unit_px), is_free, view, ui, &parse);
        asks.extend(edit.map(Ask::Apply));
    }

    /// The rise at the point, pinned by hand or not; widths as in [`PointRow::temp`].
    pub(super) fn rise(
        &self,
        [width_px, unit_px]: [f32; 2],
        view: &mut ViewState,
        asks: &mut Vec<Ask>,
        ui: &mut Ui,
    ) {
        let (unit, pinned) = (self.unit, self.point.rise_by_hand_c_per_s());
        let shown = match pinned {
            Some(rise_c_per_s) => format_rise_field(rise_c_per_s, unit),
            None => format_rise(self.rise_c_per_s, unit),
        };
        let name = self.name("rise");
        let symbol = if unit_px > 0.0 {
            unit.rise_symbol()
        } else {
            ""
        };
        let field = TypedField::new(self.salt("rise"), &name, &shown)
            .width_px(width_px)
            .unit(symbol)
            .explained(RISE_ENTRY);
        let now_c_per_s = pinned.unwrap_or(self.rise_c_per_s);
        let parse = |text: &str| {
            read(self.plan, read_rise(text, now_c_per_s, unit), |rise| {
                self.pinned(rise)
            })
        };
        let typed = ui.scope(|ui| {
            if pinned.is_none() {
                ui.multiply_opacity(FREE_RISE_OPACITY);
            }
            match self.place {
                Place::Bar => bar_slot(field, (width_px + unit_px, false), view, ui, &parse),
                Place::Table => slot(field, width_px, view, ui, &parse),
            }
        });
        asks.extend(typed.inner.map(Ask::Apply));
    }

    /// Whether the rise is pinned; ticking pins it as it is. `label` may be empty.
    pub(super) fn pin(&self, label: &str, asks: &mut Vec<Ask>, ui: &mut Ui) {
        let mut is_pinned = self.point.rise_by_hand_c_per_s().is_some();
        let tick = ui
            .checkbox(&mut is_pinned, Step::Body.text(label))
            .accessible_name(self.name("pinned rise"))
            .on_hover_text(
                "Hold the rate of rise at this point; untick to let it follow from the curve",
            );
        if tick.changed() {
            let rise_c_per_s = is_pinned.then_some(self.rise_c_per_s);
            asks.push(Ask::Apply(self.pinned(rise_c_per_s)));
        }
    }

    /// How the curve runs to the next point.
    pub(super) fn stretch(&self, width_px: f32, asks: &mut Vec<Ask>, ui: &mut Ui) {
        let chosen = STRETCHES
            .iter()
            .position(|(segment, _)| *segment == self.point.segment);
        let labels = STRETCHES.map(|(_, label)| label);
        let name = match self.place {
            Place::Bar => format!("From the current point {} to the next", self.number),
            Place::Table => format!("From point {} to the next", self.number),
        };
        if let Some(picked) = choice(ui, &name, width_px, &labels, chosen.unwrap_or_default()) {
            let segment = STRETCHES[picked].0;
            asks.push(Ask::Apply(Edit::Points(PointEdit::SetSegment {
                id: self.point.id,
                segment,
            })));
        }
    }

    /// What no edit may change.
    pub(super) fn lock(&self, width_px: f32, asks: &mut Vec<Ask>, ui: &mut Ui) {
        let chosen = LOCKS.iter().position(|(lock, _)| *lock == self.point.lock);
        let labels = LOCKS.map(|(_, label)| label);
        if let Some(picked) = choice(
            ui,
            &self.name("lock"),
            width_px,
            &labels,
            chosen.unwrap_or_default(),
        ) {
            let lock = LOCKS[picked].0;
            asks.push(Ask::Apply(Edit::Points(PointEdit::SetLock {
                ids: vec![self.point.id],
                lock,
            })));
        }
    }

    /// Shows a field of a coordinate, which a lock may hold; the bar's first free one takes the focus when it is asked for.
    fn show(
        &self,
        (field, width_px): (TypedField<'_>, f32),
        is_free: bool,
        view: &mut ViewState,
        ui: &mut Ui,
        parse: &dyn Fn(&str) -> Result<Edit, String>,
    ) -> Option<Edit> {
        ui.add_enabled_ui(is_free, |ui| match self.place {
            Place::Bar => bar_slot(field, (width_px, is_free), view, ui, parse),
            Place::Table => slot(field, width_px, view, ui, parse),
        })
        .inner
    }

    fn moved(&self, to: CurvePoint) -> Edit {
        Edit::Points(PointEdit::Move {
            id: self.point.id,
            to,
        })
    }

    fn pinned(&self, rise_c_per_s: Option<f64>) -> Edit {
        Edit::Points(PointEdit::PinRise {
            id: self.point.id,
            rise_c_per_s,
        })
    }

    fn name(&self, what: &str) -> String {
        match self.place {
            Place::Bar => format!("Exact {what} of point {}", self.number),
            Place::Table => super::tools::sentence(&format!("{what} of point {}", self.number)),
        }
    }

    fn salt(&self, what: &'static str) -> (Place, &'static str, u32) {
        (self.place, what, self.point.id.0)
    }
}

/// Reads a rise in °C/s; nothing typed means free. Without a rise as it is now, a change such as +=1 is refused.
pub(super) fn read_rise(
    text: &str,
    now_c_per_s: impl Into<Option<f64>>,
    unit: TempUnit,
) -> Result<Option<f64>, EntryError> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    parse_rise(text, now_c_per_s, unit).map(Some)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cleared_rise_is_freed_and_a_typed_one_pinned() {
        assert_eq!(read_rise(" ", 0.2, TempUnit::Celsius), Ok(None), "cleared");
        assert_eq!(
            read_rise("9", 0.2, TempUnit::Celsius),
            Ok(Some(0.15)),
            "9 °C/min are 0.15 °C/s"
        );
        assert!(
            read_rise("fast", 0.2, TempUnit::Celsius).is_err(),
            "not a number"
        );
    }
}
