//! One lane: its rectangle on the screen and the two axes in it.
//!
//! Curve space (s, and °C, °C/s or %) and screen space (points) meet here and nowhere else.

use super::super::window_span::Span;
use chaffinch_curve::CurvePoint;
use eframe::egui::{Id, Pos2, Rect, Response, Role, Sense, Ui, UiBuilder, Vec2, WidgetInfo, pos2};
use egui_plot::{Plot, PlotBounds, PlotUi};

/// A lane's place and scales.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LaneFrame {
    /// Where the lane lies on the screen.
    pub rect: Rect,
    /// The time axis, in s.
    pub time_s: Span,
    /// The value axis, in the lane's own unit.
    pub values: Span,
}

impl LaneFrame {
    /// Horizontal place of a moment.
    pub fn screen_x_from_time(&self, time_s: f64) -> f32 {
        self.rect.left() + (self.time_s.share_of(time_s) * f64::from(self.rect.width())) as f32
    }

    /// Vertical place of a value; larger values lie higher.
    pub fn screen_y_from_value(&self, value: f64) -> f32 {
        self.rect.bottom() - (self.values.share_of(value) * f64::from(self.rect.height())) as f32
    }

    /// Place of a moment and a value.
    pub fn screen_from(&self, time_s: f64, value: f64) -> Pos2 {
        pos2(
            self.screen_x_from_time(time_s),
            self.screen_y_from_value(value),
        )
    }

    /// The moment at a horizontal place, in s.
    pub fn time_from_screen_x(&self, x: f32) -> f64 {
        let share = f64::from(x - self.rect.left()) / f64::from(self.rect.width());
        self.time_s.value_at(share)
    }

    /// The value at a vertical place.
    pub fn value_from_screen_y(&self, y: f32) -> f64 {
        let share = f64::from(self.rect.bottom() - y) / f64::from(self.rect.height());
        self.values.value_at(share)
    }

    /// Place in curve space; for the temperature lane.
    pub fn curve_from_screen(&self, at: Pos2) -> CurvePoint {
        CurvePoint {
            time_s: self.time_from_screen_x(at.x),
            temp_c: self.value_from_screen_y(at.y),
        }
    }

    /// Points per second.
    pub fn px_per_s(&self) -> f64 {
        f64::from(self.rect.width()) / self.time_s.width()
    }

    /// Points per unit of the value axis.
    pub fn px_per_value(&self) -> f64 {
        f64::from(self.rect.height()) / self.values.width()
    }

    /// Shows the plot of this lane under this name; `draw` adds its lines. The response senses clicks, drags and hovering,
    /// but takes no focus: what can be changed in a lane are its handles.
    ///
    /// Zoom, pan and bounds are ours (`navigate.rs`), because all lanes share them and nothing may rescale in a drag.
    pub fn show_plot(
        &self,
        ui: &mut Ui,
        name: &str,
        draw: impl FnOnce(&mut PlotUi<'_>),
    ) -> Response {
        let bounds = PlotBounds::from_min_max(
            [self.time_s.from, self.values.from],
            [self.time_s.to, self.values.to],
        );
        let mut lane = ui.new_child(UiBuilder::new().max_rect(self.rect).id_salt(name));
        let response = Plot::new(Id::unique(name))
            .width(self.rect.width())
            .height(self.rect.height())
            .show_axes(false)
            .show_grid(false)
            .show_background(false)
            .show_x(false)
            .show_y(false)
            .show_crosshair(false)
            .set_margin_fraction(Vec2::ZERO)
            .allow_drag(false)
            .allow_zoom(false)
            .allow_scroll(false)
            .allow_boxed_zoom(false)
            .allow_axis_zoom_drag(false)
            .allow_double_click_reset(false)
            .sense(Sense::CLICK | Sense::DRAG)
            .show(&mut lane, |plot| {
                plot.set_plot_bounds(bounds);
                draw(plot);
            })
            .response;
        response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, name));
        response
    }
}

/// Says what a lane shows, for screen readers: its lines are not in their tree. `words` is asked only while one listens.
pub(super) fn speak(ui: &Ui, response: &Response, words: impl FnOnce() -> String) {
    ui.ctx()
        .accesskit_node_builder(response.id, |node| node.set_value(words()));
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME: LaneFrame = LaneFrame {
        rect: Rect::from_min_max(pos2(100.0, 50.0), pos2(700.0, 350.0)),
        time_s: Span {
            from: 0.0,
            to: 600.0,
        },
        values: Span {
            from: 80.0,
            to: 230.0,
        },
    };

    #[test]
    fn screen_and_curve_undo_each_other() {
        for (time_s, temp_c) in [(0.0, 80.0), (300.0, 155.0), (612.0, 75.0)] {
            let back = FRAME.curve_from_screen(FRAME.screen_from(time_s, temp_c));
            assert!((back.time_s - time_s).abs() < 1e-3, "{time_s} {back:?}");
            assert!((back.temp_c - temp_c).abs() < 1e-3, "{temp_c} {back:?}");
        }
    }

    #[test]
    fn higher_values_lie_higher_on_the_screen() {
        assert!(
            FRAME.screen_y_from_value(200.0) < FRAME.screen_y_from_value(100.0),
            "y grows downwards on the screen"
        );
        assert_eq!(FRAME.screen_from(0.0, 80.0), pos2(100.0, 350.0), "foot");
    }
}
