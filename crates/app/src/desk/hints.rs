//! At most three notes at a time on the chart at the first start; each goes when what it says was done, or when it is closed.

use eframe::egui::{
    Align, Area, Color32, Frame, Id, Label, Layout, Margin, Order, Pos2, Rect, Shape, Stroke, Ui,
    Vec2, pos2, vec2,
};

use chaffinch_craft::{Edit, FinishEdit, Severity};
use chaffinch_curve::PointEdit;

use super::{
    ask::Ask,
    lanes::LaneFrame,
    model::Model,
    paint::icons::Icon,
    prefs::Prefs,
    theme::{Palette, Step, radius, space},
    widgets::buttons::icon_button,
};

/// Width of a note's words, in points.
const WORDS_PX: f32 = 176.0;
/// Padding inside a note, in points.
const PADDING_PX: f32 = 8.0;
/// Width of the closing button, in points.
const CLOSE_PX: f32 = 28.0;
/// What a note keeps clear of around each handle: half of the handle's hit area and a little air, in points.
const CLEARANCE_PX: f32 = 18.0;
/// How far from its anchor a note may lie, nearest first, in points.
const DISTANCES_PX: [f32; 6] = [36.0, 60.0, 90.0, 130.0, 180.0, 240.0];
/// Most notes that are shown at a time.
const MOST: usize = 3;
/// Where along the roast the edge of reach is pointed at, as shares of it, the best first.
const REACH_SHARES: [f64; 5] = [0.4, 0.3, 0.5, 0.2, 0.6];
/// Directions from the anchor that are tried, the best first: below right of a rising curve is free ground.
const DIRECTIONS: [(f32, f32); 8] = [
    (0.8, 1.0),
    (-0.8, 1.0),
    (0.0, 1.0),
    (0.0, -1.0),
    (-0.8, -1.0),
    (0.8, -1.0),
    (1.0, 0.0),
    (-1.0, 0.0),
];

/// One of the notes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Hint {
    /// Drag a point.
    DragPoint,
    /// Choose or drag a finish.
    Finish,
    /// What the machine can't do.
    Reach,
    /// Type exact numbers.
    TypeNumbers,
}

impl Hint {
    /// All notes; the one with the least choice of place comes first. The last waits until one of the others has gone.
    pub const ALL: [Self; 4] = [
        Self::Finish,
        Self::DragPoint,
        Self::Reach,
        Self::TypeNumbers,
    ];

    /// The note's bit in [`Prefs::hints_done`].
    pub fn bit(self) -> u8 {
        match self {
            Self::DragPoint => 1,
            Self::Finish => 2,
            Self::TypeNumbers => 4,
            Self::Reach => 8,
        }
    }

    /// Whether the note has done its work.
    pub fn is_done(self, prefs: &Prefs) -> bool {
        prefs.hints_done & self.bit() != 0
    }

    /// The note that somebody who makes this edit by hand no longer needs.
    pub fn taught_by(edit: &Edit) -> Option<Self> {
        match edit {
            Edit::Points(PointEdit::Move { .. } | PointEdit::Shift { .. }) => Some(Self::DragPoint),
            Edit::Finish(FinishEdit::Choose(_) | FinishEdit::Move { .. }) => Some(Self::Finish),
            _ => None,
        }
    }

    fn text(self) -> &'static str {
        match self {
            Self::DragPoint => "Drag a point: everything follows.",
            Self::Finish => "This is where the roast stops: choose or drag a finish.",
            Self::Reach => {
                "What your machine can't do: leave the hatching. Draw a stretch too steep and read the findings."
            }
            Self::TypeNumbers => "Type exact numbers here.",
        }
    }

    /// Its name for screen readers, and of its closing button.
    fn close_label(self) -> &'static str {
        match self {
            Self::DragPoint => "Close the note on dragging",
            Self::Finish => "Close the note on finishes",
            Self::Reach => "Close the note on reach",
            Self::TypeNumbers => "Close the note on exact numbers",
        }
    }
}

/// Where the notes point to, and what they must not cover. All in points of the screen.
#[derive(Clone, Debug)]
pub struct HintAnchors<'a> {
    /// A handle in the middle of the curve.
    pub point: Pos2,
    /// The tip of the chosen finish's tab.
    pub finish: Pos2,
    /// The edge of reach; nothing where there is none in sight.
    pub reach: Option<Pos2>,
    /// Something was drawn that the machine can't do.
    pub is_reach_known: bool,
    /// The exact fields.
    pub fields: Pos2,
    /// Handles and finish tabs.
    pub handles: &'a [Pos2],
    /// Where notes may lie; the one on exact numbers may also lie between here and the fields.
    pub bounds: Rect,
}

/// A place on the edge of reach that is in sight in the temperature lane `lane`: what the machine can't do begins there.
pub fn edge_of_reach(model: &Model<'_>, lane: &LaneFrame) -> Option<Pos2> {
    let corridor = &model.outlook.corridor;
    let seconds = corridor.highest_c.len() as f64;
    let places = REACH_SHARES.into_iter().flat_map(|share| {
        let second = (share * seconds) as usize;
        [&corridor.highest_c, &corridor.lowest_c]
            .into_iter()
            .filter_map(move |edge_c| edge_c.get(second).map(|&c| (second as f64, c)))
    });
    places
        .map(|(time_s, temp_c)| lane.screen_from(time_s, temp_c))
        .find(|place| lane.rect.contains(*place))
}

/// Whether the note on reach has done its work: something was drawn that the machine can't do, and the findings say so.
pub fn knows_reach(model: &Model<'_>) -> bool {
    let mut findings = model.outlook.findings.iter();
    findings.any(|finding| finding.severity() >= Severity::Caution)
}

/// Shows the notes that haven't done their work.
pub fn ui(prefs: &Prefs, anchors: &HintAnchors<'_>, asks: &mut Vec<Ask>, ui: &Ui) {
    let around = |center: &Pos2| Rect::from_center_size(*center, Vec2::splat(2.0 * CLEARANCE_PX));
    if anchors.is_reach_known && !Hint::Reach.is_done(prefs) {
        asks.push(Ask::HintDone(Hint::Reach));
    }
    let taken: Vec<Rect> = anchors.handles.iter().map(around).collect();
    let mut notes = Vec::new();
    let waiting = Hint::ALL.into_iter().filter(|hint| !hint.is_done(prefs));
    for hint in waiting.take(MOST) {
        let anchor = match hint {
            Hint::DragPoint => Some(anchors.point),
            Hint::Finish => Some(anchors.finish),
            Hint::Reach => anchors.reach,
            Hint::TypeNumbers => Some(anchors.fields),
        };
        let Some(anchor) = anchor else { continue };
        // The fields lie at the foot of the window, far below the lane.
        let lowest_px = anchors.bounds.bottom().max(anchor.y - space::NEAR);
        let bounds = match hint {
            Hint::TypeNumbers => anchors.bounds.with_max_y(lowest_px),
            Hint::DragPoint | Hint::Finish | Hint::Reach => anchors.bounds,
        };
        // Without free ground there is no note: it would hide what it speaks of.
        let Some(rect) = placed(anchor, note_size(hint, ui), bounds, &taken, &notes) else {
            continue;
        };
        notes.push(rect.expand(space::TIGHT));
        ui.painter().extend(leader(anchor, rect, Palette::of(ui)));
        if note(hint, rect, ui) {
            asks.push(Ask::HintDone(hint));
        }
    }
}

fn note_size(hint: Hint, ui: &Ui) -> Vec2 {
    let words = ui.painter().layout(
        hint.text().to_owned(),
        Step::Body.font(),
        Color32::PLACEHOLDER,
        WORDS_PX,
    );
    let height_px = words.size().y.max(space::CONTROL_HEIGHT) + 2.0 * PADDING_PX;
    vec2(
        WORDS_PX + space::NEAR + CLOSE_PX + 2.0 * PADDING_PX,
        height_px,
    )
}

/// The first place near `anchor` for a note of `size` where neither it nor its leader covers a handle or another note;
/// `None` when there is none.
fn placed(
    anchor: Pos2,
    size: Vec2,
    bounds: Rect,
    handles: &[Rect],
    notes: &[Rect],
) -> Option<Rect> {
    let candidates = DISTANCES_PX.into_iter().flat_map(|distance_px| {
        DIRECTIONS.into_iter().map(move |(right, down)| {
            let offset = vec2(right, down) * distance_px;
            // The side that faces the anchor lies at the distance, not the note's centre.
            let reach = vec2(
                right.signum() * right.abs().ceil(),
                down.signum() * down.abs().ceil(),
            ) * size
                / 2.0;
            Rect::from_center_size(anchor + offset + reach, size)
        })
    });
    let is_free = |rect: &Rect| {
        let [start, end] = leader_line(anchor, *rect);
        let collides = |other: &Rect| {
            other.intersects(*rect)
                || (0_u8..=16).any(|part| other.contains(start.lerp(end, f32::from(part) / 16.0)))
        };
        // The leader ends at the handle that the note speaks of, and may touch its neighbours.
        let is_far = |handle: &&Rect| handle.distance_to_pos(anchor) > CLEARANCE_PX;
        bounds.contains_rect(*rect)
            && !handles.iter().any(|handle| handle.intersects(*rect))
            && !handles.iter().filter(is_far).chain(notes).any(collides)
    };
    candidates.into_iter().find(is_free)
}

/// From the note's edge to just before its anchor.
fn leader_line(anchor: Pos2, note: Rect) -> [Pos2; 2] {
    let start = pos2(
        anchor.x.clamp(note.left() + 12.0, note.right() - 12.0),
        anchor.y.clamp(note.top(), note.bottom()),
    );
    [start, anchor - (anchor - start).normalized() * 10.0]
}

fn leader(anchor: Pos2, note: Rect, palette: &Palette) -> [Shape; 2] {
    let [start, end] = leader_line(anchor, note);
    let stroke = Stroke::new(1.0, palette.text2);
    [
        Shape::line_segment([start, end], stroke),
        Shape::circle_filled(end, 2.5, palette.text2),
    ]
}

/// Draws a note; says whether it was closed.
fn note(hint: Hint, rect: Rect, ui: &Ui) -> bool {
    let palette = Palette::of(ui);
    let frame = Frame::new()
        .fill(palette.raised)
        .stroke(Stroke::new(1.0, palette.text2))
        .corner_radius(radius::BUTTON)
        .inner_margin(Margin::same(PADDING_PX as i8));
    let area = Area::new(Id::unique(("hint", hint)))
        .order(Order::Middle)
        .fixed_pos(rect.min)
        .constrain(false);
    let shown = area.show(ui.ctx(), |ui| {
        frame
            .show(ui, |ui| {
                ui.set_width(rect.width() - 2.0 * PADDING_PX);
                ui.horizontal_top(|ui| {
                    ui.spacing_mut().item_spacing.x = space::NEAR;
                    let words = vec2(WORDS_PX, rect.height() - 2.0 * PADDING_PX);
                    ui.allocate_ui_with_layout(words, Layout::left_to_right(Align::Center), |ui| {
                        ui.set_width(WORDS_PX);
                        ui.add(Label::new(Step::Body.text(hint.text()).color(palette.text)).wrap());
                    });
                    icon_button(ui, Icon::Cross, hint.close_label(), "").clicked()
                })
                .inner
            })
            .inner
    });
    shown.inner
}

#[cfg(test)]
mod tests {
    #![allow(
        missing_docs,
        clippy::missing_assert_message,
        clippy::unwrap_used,
        reason = "tests"
    )]
    use super::*;

    const BOUNDS: Rect = Rect {
        min: pos2(0.0, 0.0),
        max: pos2(600.0, 400.0),
    };
    const SIZE: Vec2 = vec2(200.0, 40.0);

    #[test]
    fn note_stays_inside_and_clear_of_handles_wherever_its_anchor_is() {
        let handles: Vec<Rect> = (0_u8..8)
            .map(|index| pos2(f32::from(index) * 80.0, 380.0 - f32::from(index) * 45.0))
            .map(|center| Rect::from_center_size(center, Vec2::splat(36.0)))
            .collect();
        for handle in &handles {
            let rect = placed(handle.center(), SIZE, BOUNDS, &handles, &[]).unwrap();
            assert!(BOUNDS.contains_rect(rect));
            assert!(
                handles.iter().all(|other| !other.intersects(rect)),
                "{rect:?}"
            );
        }
    }

    #[test]
    fn without_free_ground_there_is_no_note() {
        assert_eq!(
            placed(pos2(300.0, 200.0), SIZE, BOUNDS, &[BOUNDS], &[]),
            None
        );
    }

    #[test]
    fn leader_crosses_no_other_note() {
        let anchor = pos2(300.0, 40.0);
        let wall = Rect::from_min_max(pos2(0.0, 80.0), pos2(600.0, 120.0));
        let handle = Rect::from_min_max(pos2(0.0, 0.0), pos2(600.0, 79.0));
        assert_eq!(placed(anchor, SIZE, BOUNDS, &[handle], &[wall]), None);
        assert!(placed(anchor, SIZE, BOUNDS, &[handle], &[]).is_some());
    }

    #[test]
    fn each_note_has_a_bit_of_its_own() {
        let all = Hint::ALL
            .iter()
            .fold(0_u32, |sum, hint| sum + u32::from(hint.bit()));
        let bits = Hint::ALL.iter().fold(0_u8, |bits, hint| bits | hint.bit());
        assert_eq!(all, u32::from(bits));
    }
}
