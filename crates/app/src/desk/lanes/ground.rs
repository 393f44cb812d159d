//! What lies under the lines of a lane: phase tints, grid, axis numbers, frame, phase boundaries.

use super::{
    super::{
        axis::Tick,
        paint::{dash::dashed, strokes::LineRole},
        theme::{Palette, Step},
    },
    frame::LaneFrame,
};
use chaffinch_curve::{Phase, Phases, Reach};
use eframe::egui::{
    Align2, CornerRadius, Painter, Pos2, Rangef, Rect, Stroke, StrokeKind, pos2,
    text::{LayoutJob, TextWrapping},
};

/// Tints the lane by phase and draws the grid.
pub(super) fn paint(
    painter: &Painter,
    frame: &LaneFrame,
    phases: &Phases,
    time_ticks: &[Tick],
    value_ticks: &[Tick],
    palette: &Palette,
) {
    painter.rect_filled(frame.rect, CornerRadius::ZERO, palette.chart);
    let clipped = painter.with_clip_rect(frame.rect.intersect(painter.clip_rect()));
    for (phase, tint) in [
        (&phases.drying, palette.drying),
        (&phases.browning, palette.browning),
        (&phases.development, palette.development),
    ] {
        if let Reach::At(phase) = phase {
            clipped.rect_filled(
                phase_rect(frame, phase),
                CornerRadius::ZERO,
                palette.lane_tint(tint),
            );
        }
    }
    let hair = Stroke::new(1.0, palette.hairline);
    for tick in time_ticks {
        clipped.vline(
            frame.screen_x_from_time(tick.at),
            frame.rect.y_range(),
            hair,
        );
    }
    for tick in value_ticks {
        clipped.hline(
            frame.rect.x_range(),
            frame.screen_y_from_value(tick.at),
            hair,
        );
    }
}

fn phase_rect(frame: &LaneFrame, phase: &Phase) -> Rect {
    Rect::from_x_y_ranges(
        frame.screen_x_from_time(phase.start_s)..=frame.screen_x_from_time(phase.end_s),
        frame.rect.y_range(),
    )
}

/// Draws the lane's frame, its axis numbers in the left gutter, and the unit, turned, beside them.
pub(super) fn paint_axis(
    painter: &Painter,
    frame: &LaneFrame,
    value_ticks: &[Tick],
    unit: &str,
    palette: &Palette,
) {
    painter.rect_stroke(
        frame.rect,
        CornerRadius::ZERO,
        Stroke::new(1.0, palette.lane_frame()),
        StrokeKind::Inside,
    );
    // Numbers keep half a line from the lane's ends so that those of two lanes never touch.
    let room = frame.rect.y_range().shrink(5.0);
    for tick in value_ticks {
        let y = frame.screen_y_from_value(tick.at);
        if let Some(label) = &tick.label
            && room.contains(y)
        {
            painter.text(
                pos2(frame.rect.left() - 8.0, y),
                Align2::RIGHT_CENTER,
                label,
                Step::Small.font(),
                palette.text2,
            );
        }
    }
    turned_text(
        painter,
        pos2(frame.rect.left() - 44.0, frame.rect.center().y),
        unit,
        palette,
    );
}

/// Text that reads upwards, centred on `at`.
fn turned_text(painter: &Painter, at: Pos2, text: &str, palette: &Palette) {
    let galley = painter.layout_no_wrap(text.to_owned(), Step::Small.font(), palette.text3);
    let corner = pos2(at.x - galley.size().y / 2.0, at.y + galley.size().x / 2.0);
    let shape = eframe::egui::epaint::TextShape::new(corner, galley, palette.text3)
        .with_angle(-std::f32::consts::FRAC_PI_2);
    painter.add(shape);
}

/// Draws phase boundaries through the lane: dotted at marks, solid at the drop.
pub(super) fn paint_boundaries(
    painter: &Painter,
    frame: &LaneFrame,
    phases: &Phases,
    palette: &Palette,
) {
    let look = LineRole::Boundary.look();
    let stroke = LineRole::Boundary.stroke(palette);
    for mark in [&phases.colour_change, &phases.first_crack] {
        if let Reach::At(mark) = mark {
            let x = frame.screen_x_from_time(mark.time_s);
            let path = [pos2(x, frame.rect.top()), pos2(x, frame.rect.bottom())];
            painter.extend(dashed(&path, look.dash_px, stroke, frame.rect));
        }
    }
    if let Reach::At(drop) = &phases.drop {
        let x = frame.screen_x_from_time(drop.time_s);
        if frame.rect.x_range().contains(x) {
            painter.vline(x, frame.rect.y_range(), stroke);
        }
    }
}

/// Draws the labels of the time axis below the last lane.
pub(super) fn paint_time_axis(
    painter: &Painter,
    rect: Rect,
    frame: &LaneFrame,
    time_ticks: &[Tick],
    palette: &Palette,
) {
    for tick in time_ticks {
        let x = frame.screen_x_from_time(tick.at);
        if let Some(label) = &tick.label {
            painter.text(
                pos2(x, rect.top() + 14.0),
                Align2::CENTER_CENTER,
                label,
                Step::Small.font(),
                palette.text2,
            );
            painter.vline(
                x,
                Rangef::new(rect.top(), rect.top() + 4.0),
                Stroke::new(1.0, palette.lane_frame()),
            );
        }
    }
    painter.text(
        pos2(rect.right() + 10.0, rect.top() + 14.0),
        Align2::LEFT_CENTER,
        "min:s",
        Step::Small.font(),
        palette.text3,
    );
}

/// One entry of a lane's legend.
pub(super) struct LegendEntry<'a> {
    /// The line it stands for.
    pub role: LineRole,
    /// Its name.
    pub name: &'a str,
}

/// Draws the lane's head and legend from `at` on, which is the middle of their left edge.
pub(super) fn paint_head(
    painter: &Painter,
    frame: &LaneFrame,
    at: Pos2,
    head: &str,
    legend: &[LegendEntry<'_>],
    palette: &Palette,
) {
    let (x, y) = (at.x, at.y);
    // A plate of the lane's ground keeps the words readable where a line runs through them.
    let plate = painter.add(eframe::egui::Shape::Noop);
    let left = x;
    let text = |x: f32, text: &str, step: Step, color| {
        let rect = painter.text(pos2(x, y), Align2::LEFT_CENTER, text, step.font(), color);
        rect.right()
    };
    // A long head, made of two titles, gives way to the legend.
    let name_px = |entry: &LegendEntry<'_>| {
        let name = entry.name.to_owned();
        let galley = painter.layout_no_wrap(name, Step::Small.font(), palette.text2);
        galley.size().x + 33.0 + 18.0
    };
    let legend_px: f32 = legend.iter().map(name_px).sum();
    let mut words =
        LayoutJob::simple_singleline(head.to_owned(), Step::Strong.font(), palette.text);
    words.wrap =
        TextWrapping::truncate_at_width((frame.rect.right() - x - 22.0 - legend_px).max(0.0));
    let words = painter.layout_job(words);
    let mut x = x + words.size().x + 22.0;
    painter.galley(pos2(left, y - words.size().y / 2.0), words, palette.text);
    for entry in legend {
        let path = [pos2(x, y), pos2(x + 26.0, y)];
        let look = entry.role.look();
        painter.extend(dashed(
            &path,
            look.dash_px,
            entry.role.stroke(palette),
            frame.rect,
        ));
        if let Some(marker) = look.marker {
            painter.extend(super::super::paint::marks::marker(
                marker,
                pos2(x + 13.0, y),
                entry.role.color(palette),
                palette.chart,
            ));
        }
        x = text(x + 33.0, entry.name, Step::Small, palette.text2) + 18.0;
    }
    let words = Rect::from_x_y_ranges(left - 5.0..=x - 13.0, y - 10.0..=y + 10.0);
    let ground = palette.chart.gamma_multiply(0.85);
    painter.set(
        plate,
        eframe::egui::Shape::rect_filled(words, CornerRadius::same(3), ground),
    );
}
