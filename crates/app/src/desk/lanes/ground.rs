//! What lies under the lines of a lane: phase tints, grid, axis numbers, frame, phase boundaries.

use super::{
    super::{
        axis::Tick,
        paint::{dash::dashed, hatch::hatch_rect, marks::marker, strokes::LineRole},
        theme::{Palette, Step},
    },
    frame::LaneFrame,
    reach, reworked,
};
use chaffinch_curve::{Phase, Phases, Reach};
use eframe::egui::{
    Align2, CornerRadius, Painter, Pos2, Rangef, Rect, Stroke, StrokeKind, pos2,
    text::{LayoutJob, TextWrapping},
    vec2,
};

/// Distance of the hatch's lines in a legend's small sample, in points.
const LEGEND_PITCH_PX: f32 = 4.0;

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
    // Clear of a label that stands at the lane's right edge.
    painter.text(
        pos2(rect.right() + 22.0, rect.top() + 14.0),
        Align2::LEFT_CENTER,
        "min:s",
        Step::Small.font(),
        palette.text3,
    );
}

/// What lies behind the sample of a line in a legend.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Behind {
    /// Nothing.
    #[default]
    Nothing,
    /// The tints of the forecast spread.
    Spread,
    /// The tint of what a reworked curve hangs on.
    Guessed,
    /// The hatch of the reach corridor: the line is drawn as both its edges.
    Hatch,
}

/// One entry of a lane's legend.
pub(super) struct LegendEntry<'a> {
    /// The line it stands for.
    pub role: LineRole,
    /// Its name.
    pub name: &'a str,
    /// What the line stands on.
    pub behind: Behind,
}

impl<'a> LegendEntry<'a> {
    /// An entry for a line alone.
    pub(super) fn line(role: LineRole, name: &'a str) -> Self {
        Self {
            role,
            name,
            behind: Behind::Nothing,
        }
    }
}

/// Half the height of head and legend.
pub(super) const HEAD_HALF_PX: f32 = 10.0;
/// Width that head and legend of a low lane take, about.
const HEAD_WIDTH_PX: f32 = 330.0;

/// Width up to which a head is never cut, in points: "Rate of rise", not two titles.
const KEPT_HEAD_PX: f32 = 110.0;
/// Gap behind an entry of the legend, in points.
const ENTRY_GAP_PX: f32 = 18.0;

/// Which of two places for head and legend, the middles of their left edges, covers fewer `points` of the lane's lines; the first one
/// if neither does.
pub(super) fn freer_head(places: [Pos2; 2], points: impl Iterator<Item = Pos2>) -> usize {
    let rects = places.map(|at| {
        Rect::from_min_size(
            at - vec2(0.0, HEAD_HALF_PX),
            vec2(HEAD_WIDTH_PX, 2.0 * HEAD_HALF_PX),
        )
    });
    let mut covered = [0_usize; 2];
    for point in points {
        for (count, rect) in covered.iter_mut().zip(&rects) {
            *count += usize::from(rect.contains(point));
        }
    }
    usize::from(covered[1] < covered[0])
}

/// How many of the legend's first entries, so wide, stand beside a head without leaving the lane.
fn entries_beside(head_px: f32, widths_px: &[f32], free_px: f32) -> usize {
    let mut left_px = free_px - head_px;
    let fits = |width_px: &&f32| {
        left_px -= **width_px;
        // Behind the last entry there need be no gap.
        left_px > -ENTRY_GAP_PX
    };
    widths_px.iter().take_while(fits).count()
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
    // A head of two titles gives way to the legend, a shorter one doesn't: the last entries do.
    let name_px = |entry: &LegendEntry<'_>| {
        let name = entry.name.to_owned();
        let galley = painter.layout_no_wrap(name, Step::Small.font(), palette.text2);
        galley.size().x + 33.0 + ENTRY_GAP_PX
    };
    let mut words =
        LayoutJob::simple_singleline(head.to_owned(), Step::Strong.font(), palette.text);
    let head_px = painter.layout_job(words.clone()).size().x;
    let free_px = frame.rect.right() - x - 22.0;
    let widths: Vec<f32> = legend.iter().map(name_px).collect();
    let legend = &legend[..entries_beside(head_px.min(KEPT_HEAD_PX), &widths, free_px)];
    let legend_px: f32 = widths[..legend.len()].iter().sum();
    words.wrap = TextWrapping::truncate_at_width((free_px + ENTRY_GAP_PX - legend_px).max(0.0));
    let words = painter.layout_job(words);
    let mut x = x + words.size().x + 22.0;
    painter.galley(pos2(left, y - words.size().y / 2.0), words, palette.text);
    for entry in legend {
        paint_sample(painter, frame, pos2(x, y), entry, palette);
        x = text(x + 33.0, entry.name, Step::Small, palette.text2) + ENTRY_GAP_PX;
    }
    let words = Rect::from_x_y_ranges(left - 5.0..=x - 13.0, y - HEAD_HALF_PX..=y + HEAD_HALF_PX);
    let ground = palette.chart.gamma_multiply(0.85);
    painter.set(
        plate,
        eframe::egui::Shape::rect_filled(words, CornerRadius::same(3), ground),
    );
}

/// A short piece of what a legend's entry stands for; `at` is the middle of its left edge.
fn paint_sample(
    painter: &Painter,
    frame: &LaneFrame,
    at: Pos2,
    entry: &LegendEntry<'_>,
    palette: &Palette,
) {
    const WIDTH_PX: f32 = 26.0;
    const HALF_HEIGHT_PX: f32 = 6.0;
    let (look, stroke) = (entry.role.look(), entry.role.stroke(palette));
    let box_of = |half_px: f32| {
        Rect::from_x_y_ranges(at.x..=at.x + WIDTH_PX, at.y - half_px..=at.y + half_px)
    };
    let swatch = box_of(HALF_HEIGHT_PX);
    let heights: &[f32] = match entry.behind {
        Behind::Nothing => &[0.0],
        Behind::Spread => {
            painter.rect_filled(swatch, CornerRadius::ZERO, palette.band_outer);
            painter.rect_filled(
                box_of(HALF_HEIGHT_PX / 2.0),
                CornerRadius::ZERO,
                palette.band_inner,
            );
            &[0.0]
        }
        Behind::Guessed => {
            painter.rect_filled(swatch, CornerRadius::ZERO, reworked::band_tint(palette));
            &[0.0]
        }
        Behind::Hatch => {
            painter.extend(hatch_rect(
                swatch,
                LEGEND_PITCH_PX,
                reach::hatch_stroke(palette),
            ));
            &[-HALF_HEIGHT_PX, HALF_HEIGHT_PX]
        }
    };
    for height in heights {
        let from = at + vec2(0.0, *height);
        let path = [from, from + vec2(WIDTH_PX, 0.0)];
        painter.extend(dashed(&path, look.dash_px, stroke, frame.rect));
    }
    if let Some(kind) = look.marker {
        let middle = at + vec2(WIDTH_PX / 2.0, 0.0);
        painter.extend(marker(kind, middle, stroke.color, palette.chart));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn last_entries_of_a_legend_give_way_to_the_head() {
        let widths = [70.0, 80.0, 100.0];
        assert_eq!(entries_beside(80.0, &widths, 330.0), 3, "all fit");
        assert_eq!(entries_beside(80.0, &widths, 315.0), 3, "but for a gap");
        assert_eq!(entries_beside(80.0, &widths, 300.0), 2, "one too many");
        assert_eq!(entries_beside(80.0, &widths, 60.0), 0, "none fits");
    }

    #[test]
    fn head_goes_where_fewer_lines_run() {
        let places = [pos2(10.0, 20.0), pos2(10.0, 80.0)];
        let line = |y| (0..40_u8).map(move |step| pos2(10.0 * f32::from(step), y));
        assert_eq!(freer_head(places, line(50.0)), 0, "both are free");
        assert_eq!(freer_head(places, line(24.0)), 1, "a line in the first");
        let both = line(24.0).take(10).chain(line(80.0));
        assert_eq!(freer_head(places, both), 0, "more of one in the second");
    }
}
