//! Where dragged points go: as close to the pointer as snapping, locks and limits allow.

use crate::desk::{
    drag::Drag,
    lanes::LaneFrame,
    layout,
    snapping::{AxisKeeper, Magnets, ScreenScale, Snap, snapped},
};
use chaffinch_craft::{Edit, Plan, units::TempUnit};
use chaffinch_curve::{CurvePoint, Offset, PointEdit, ShiftLimit};
use eframe::egui::{Modifiers, Pos2};

/// The edit that takes the dragged points as close to the pointer as snapping, locks and limits allow.
pub(in crate::desk) fn follow(
    drag: &mut Drag,
    pointer: Pos2,
    modifiers: Modifiers,
    frame: &LaneFrame,
    unit: TempUnit,
) -> Edit {
    let at = pointer - drag.hold_px;
    let snap = if modifiers.alt {
        Snap::HeldOff
    } else {
        Snap::On
    };
    let points = drag.start.curve.points().iter();
    let times_s: Vec<f64> = points
        .filter(|point| !drag.ids.contains(&point.id))
        .map(|point| point.time_s)
        .collect();
    let temps_c = magnet_temps(&drag.start);
    let magnets = Magnets {
        times_s: &times_s,
        temps_c: &temps_c,
        time_reach_px: f64::from(layout::SNAP_PX),
        temp_reach_px: f64::from(layout::SNAP_PX),
    };
    let scale = ScreenScale {
        px_per_s: frame.px_per_s(),
        px_per_c: frame.px_per_value(),
    };
    let mut wish = snapped(frame.curve_from_screen(at), magnets, scale, unit, snap).at;
    if modifiers.shift {
        let moved = at - frame.screen_from(drag.from.time_s, drag.from.temp_c);
        drag.keeper = drag.keeper.after([moved.x, moved.y]);
        wish = drag.keeper.kept(drag.from, wish);
    } else {
        // Held again, the key chooses anew.
        drag.keeper = AxisKeeper::default();
    }
    drag.wish = wish;
    let by = Offset {
        time_s: wish.time_s - drag.from.time_s,
        temp_c: wish.temp_c - drag.from.temp_c,
    };
    let limited = drag.start.curve.limit_shift(&drag.ids, by);
    drag.stopped_by = limited.stopped_by;
    // That the first point alone moves in temperature only is no news; that it holds others in time is.
    if drag.ids.len() == 1 {
        drag.stopped_by
            .retain(|limit| *limit != ShiftLimit::FirstPointStays);
    }
    Edit::Points(match drag.ids.as_slice() {
        // Exactly where it snapped: a sum of differences could miss it by a rounding error.
        [id] if limited.by == by => PointEdit::Move { id: *id, to: wish },
        [id] => PointEdit::Move {
            id: *id,
            to: CurvePoint {
                time_s: drag.from.time_s + limited.by.time_s,
                temp_c: drag.from.temp_c + limited.by.temp_c,
            },
        },
        ids => PointEdit::Shift {
            ids: ids.to_vec(),
            by: limited.by,
        },
    })
}

fn magnet_temps(plan: &Plan) -> Vec<f64> {
    let finishes = plan.finishes.finishes().iter().map(|finish| finish.temp_c);
    [plan.marks.colour_change_c, plan.marks.first_crack_c]
        .into_iter()
        .chain(finishes)
        .collect()
}
