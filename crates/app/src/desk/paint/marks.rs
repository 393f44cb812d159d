//! Markers on lines, handles of control points in their states, and the glyphs of findings.

use std::f32::consts::PI;

use chaffinch_craft::Severity;
use eframe::egui::{
    Color32, CornerRadius, Pos2, Rangef, Rect, Shape, Stroke, StrokeKind, Vec2, pos2, vec2,
};

use super::{dash::dashed, strokes::Marker};
use crate::desk::theme::Palette;

/// `kind` around `center` in `ink`; open shapes are filled with `ground`, so that the line does not run through them.
pub fn marker(kind: Marker, center: Pos2, ink: Color32, ground: Color32) -> Vec<Shape> {
    let stroke = Stroke::new(1.5, ink);
    let around = |offsets: &[(f32, f32)]| {
        offsets
            .iter()
            .map(|(x, y)| center + vec2(*x, *y))
            .collect::<Vec<_>>()
    };
    match kind {
        Marker::Square => {
            let square = Rect::from_center_size(center, Vec2::splat(7.0));
            vec![
                Shape::rect_filled(square, CornerRadius::ZERO, ground),
                Shape::rect_stroke(square, CornerRadius::ZERO, stroke, StrokeKind::Middle),
            ]
        }
        Marker::Triangle => vec![Shape::convex_polygon(
            around(&[(0.0, -4.5), (4.5, 3.5), (-4.5, 3.5)]),
            ground,
            stroke,
        )],
        Marker::Diamond => vec![Shape::convex_polygon(
            around(&[(0.0, -4.5), (4.5, 0.0), (0.0, 4.5), (-4.5, 0.0)]),
            ground,
            stroke,
        )],
        Marker::Cross => cross(center, 3.0, stroke),
        Marker::Tick => vec![Shape::line(
            around(&[(0.0, -4.5), (0.0, 4.5)]),
            Stroke::new(2.0, ink),
        )],
        Marker::Disc => vec![Shape::circle_filled(center, 3.0, ink)],
        Marker::Arrow => vec![Shape::convex_polygon(
            around(&[(0.0, -4.0), (6.0, 0.0), (0.0, 4.0)]),
            ink,
            Stroke::NONE,
        )],
    }
}

fn cross(center: Pos2, arm: f32, stroke: Stroke) -> Vec<Shape> {
    [vec2(arm, arm), vec2(arm, -arm)]
        .map(|reach| Shape::line_segment([center - reach, center + reach], stroke))
        .into()
}

/// What the body of a handle says.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum HandleBody {
    /// Ring with a chart-coloured core.
    #[default]
    Idle,
    /// Yolk core with a dark dot.
    Selected,
    /// Filled square with a bar: can't be dragged.
    Locked,
    /// Ring with a cross in madder: the drag asks for more than a rule allows.
    Refused,
}

/// State of a handle.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct HandleState {
    /// What the body says.
    pub body: HandleBody,
    /// The pointer is on it.
    pub is_hovered: bool,
    /// It has the keyboard's focus.
    pub is_focused: bool,
}

/// The handle of a control point around `center`.
pub fn handle(center: Pos2, state: HandleState, palette: &Palette) -> Vec<Shape> {
    let mut shapes = Vec::new();
    if state.is_focused {
        shapes.push(Shape::circle_filled(center, 10.0, palette.chart));
        shapes.push(Shape::circle_stroke(
            center,
            11.0,
            Stroke::new(2.0, palette.accent),
        ));
    }
    if state.is_hovered {
        shapes.push(Shape::circle_filled(center, 12.0, palette.halo()));
    }
    let ring = |radius: f32, core: Color32, ink: Color32| {
        [
            Shape::circle_filled(center, radius, core),
            Shape::circle_stroke(center, radius, Stroke::new(2.0, ink)),
        ]
    };
    match state.body {
        HandleBody::Idle => {
            let radius = if state.is_hovered { 6.0 } else { 5.25 };
            shapes.extend(ring(radius, palette.chart, palette.setpoint));
        }
        HandleBody::Selected => {
            shapes.extend(ring(7.0, palette.select, palette.setpoint));
            shapes.push(Shape::circle_filled(center, 2.25, palette.select_dot()));
        }
        HandleBody::Locked => {
            let square = Rect::from_center_size(center, Vec2::splat(12.0));
            let bar = Rect::from_center_size(center, vec2(6.0, 2.0));
            shapes.push(Shape::rect_filled(
                square,
                CornerRadius::same(1),
                palette.setpoint,
            ));
            shapes.push(Shape::rect_filled(bar, CornerRadius::ZERO, palette.chart));
        }
        HandleBody::Refused => {
            shapes.extend(ring(6.0, palette.chart, palette.stop));
            shapes.extend(cross(center, 2.25, Stroke::new(1.75, palette.stop)));
        }
    }
    shapes
}

/// Dotted ghost at `wish`, where the pointer asks a refused point to go, tied to where it is `held`.
pub fn refused_wish(held: Pos2, wish: Pos2, palette: &Palette) -> Vec<Shape> {
    const RADIUS_PX: f32 = 5.25;
    let away = (wish - held).normalized();
    let tie = [held + away * 8.0, wish - away * RADIUS_PX];
    let mut shapes = if held.distance(wish) > 8.0 + RADIUS_PX {
        dashed(
            &tie,
            &[1.5, 3.0],
            Stroke::new(1.5, palette.stop),
            Rect::EVERYTHING,
        )
    } else {
        Vec::new()
    };
    let outline = round(wish, RADIUS_PX, 32);
    let stroke = Stroke::new(1.25, palette.setpoint);
    shapes.extend(dashed(&outline, &[2.0, 2.0], stroke, Rect::EVERYTHING));
    shapes
}

/// A closed regular polygon with `sides` sides, first corner on the right; the first point is repeated at the end.
fn round(center: Pos2, radius: f32, sides: u8) -> Vec<Pos2> {
    (0..=sides)
        .map(|side| center + radius * Vec2::angled(2.0 * PI * f32::from(side) / f32::from(sides)))
        .collect()
}

/// The glyph of a finding, 17 px across: ring with an i, triangle, or filled octagon with a bar; `ground` fills the open ones.
pub fn finding_glyph(
    severity: Severity,
    center: Pos2,
    palette: &Palette,
    ground: Color32,
) -> Vec<Shape> {
    let ink = palette.severity(severity);
    let upright = |top: f32, bottom: f32| {
        let ends = [center + vec2(0.0, top), center + vec2(0.0, bottom)];
        Shape::line_segment(ends, Stroke::new(1.75, ink))
    };
    let dot = |down: f32| Shape::circle_filled(center + vec2(0.0, down), 1.1, ink);
    match severity {
        Severity::Note => vec![
            Shape::circle_filled(center, 7.5, ground),
            Shape::circle_stroke(center, 7.5, Stroke::new(1.75, ink)),
            dot(-3.5),
            upright(-0.75, 4.25),
        ],
        Severity::Caution => {
            let corners = [vec2(0.0, -7.5), vec2(8.0, 6.5), vec2(-8.0, 6.5)];
            vec![
                Shape::convex_polygon(
                    corners.map(|corner| center + corner).to_vec(),
                    ground,
                    Stroke::new(1.75, ink),
                ),
                upright(-3.0, 1.75),
                dot(4.1),
            ]
        }
        Severity::Stop => {
            let turn = PI / 8.0;
            let corners = (0_u8..8)
                .map(|corner| center + 8.5 * Vec2::angled(turn + PI / 4.0 * f32::from(corner)))
                .collect();
            let bar = Rect::from_center_size(center, vec2(8.0, 2.25));
            vec![
                Shape::convex_polygon(corners, ink, Stroke::NONE),
                Shape::rect_filled(bar, CornerRadius::ZERO, ground),
            ]
        }
    }
}

/// The bracket of a finding on its rail: a line over `x_px` at the height `y_px` with upright ends, cut to `clip`.
pub fn bracket(
    severity: Severity,
    x_px: Rangef,
    y_px: f32,
    palette: &Palette,
    clip: Rect,
) -> Vec<Shape> {
    let stroke = Stroke::new(2.0, palette.severity(severity));
    let dash_px: &[f32] = match severity {
        Severity::Note => &[2.0, 3.0],
        Severity::Caution => &[6.0, 3.0],
        Severity::Stop => &[],
    };
    let ends = [pos2(x_px.min, y_px), pos2(x_px.max, y_px)];
    let mut shapes = dashed(&ends, dash_px, stroke, clip);
    shapes.extend(
        ends.map(|end| Shape::line_segment([end - vec2(0.0, 4.5), end + vec2(0.0, 4.5)], stroke)),
    );
    shapes
}

#[cfg(test)]
mod tests {
    #![allow(missing_docs, clippy::missing_assert_message, reason = "tests")]
    use super::*;
    use crate::desk::layout::HIT_PX;

    fn extent(shapes: &[Shape]) -> Rect {
        shapes.iter().fold(Rect::NOTHING, |all, shape| {
            all.union(shape.visual_bounding_rect())
        })
    }

    #[test]
    fn handles_have_the_sizes_of_the_identity() {
        // shared design, identity.md section 5: idle 12.5, hover halo 24, focus ring 24, selected 16, locked 12 px.
        let size = |body, is_hovered, is_focused| {
            let state = HandleState {
                body,
                is_hovered,
                is_focused,
            };
            extent(&handle(pos2(50.0, 50.0), state, &Palette::LIGHT)).width()
        };
        assert_eq!(size(HandleBody::Idle, false, false), 12.5);
        assert_eq!(size(HandleBody::Idle, true, false), HIT_PX);
        assert_eq!(size(HandleBody::Idle, false, true), HIT_PX);
        assert_eq!(size(HandleBody::Selected, false, false), 16.0);
        assert_eq!(size(HandleBody::Locked, false, false), 12.0);
    }

    #[test]
    fn finding_glyphs_are_told_apart_by_shape() {
        let shapes = [Severity::Note, Severity::Caution, Severity::Stop].map(|severity| {
            finding_glyph(
                severity,
                pos2(20.0, 20.0),
                &Palette::DARK,
                Palette::DARK.raised,
            )
        });
        assert!(matches!(shapes[0][0], Shape::Circle(_)));
        let corners = |shape: &Shape| match shape {
            Shape::Path(path) => path.points.len(),
            _ => 0,
        };
        assert_eq!(corners(&shapes[1][0]), 3);
        assert_eq!(corners(&shapes[2][0]), 8);
        for glyph in &shapes {
            assert!(extent(glyph).width() <= 20.0);
        }
    }

    #[test]
    fn a_wish_on_the_point_itself_draws_no_tie() {
        let at = pos2(10.0, 10.0);
        let near = refused_wish(at, at, &Palette::LIGHT);
        assert!(extent(&near).is_finite(), "{near:?}");
        assert!(refused_wish(at, pos2(60.0, 10.0), &Palette::LIGHT).len() > near.len());
    }
}
