//! Random valid curves and edits.

use chaffinch_curve::{
    ControlPoint, CurvePoint, Lock, Offset, PointEdit, PointId, Segment, SetpointCurve, Shape,
};
use proptest::collection::vec;
use proptest::prelude::*;

/// What may differ between the points of a random curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Variety {
    /// Curved, unpinned, free.
    Plain,
    /// Straight segments and holds too.
    Segments,
    /// And pinned rises and locks.
    Everything,
}

pub(crate) fn shape() -> impl Strategy<Value = Shape> {
    prop_oneof![Just(Shape::Monotone), Just(Shape::Smooth)]
}

fn segment() -> impl Strategy<Value = Segment> {
    prop_oneof![3 => Just(Segment::Curved), 1 => Just(Segment::Straight), 1 => Just(Segment::Hold)]
}

fn lock() -> impl Strategy<Value = Lock> {
    prop_oneof![4 => Just(Lock::Free), 1 => Just(Lock::Time), 1 => Just(Lock::Temp), 1 => Just(Lock::Both)]
}

/// A gap to the point before, a temperature and the rest of a point.
fn step() -> impl Strategy<Value = (f64, f64, Segment, Option<f64>, Lock)> {
    let gap = prop_oneof![Just(1.0), 1.0..20.0, 20.0..300.0];
    let temp = prop_oneof![Just(160.0), 0.0..320.0];
    (
        gap,
        temp,
        segment(),
        prop::option::weighted(0.2, -3.0..3.0),
        lock(),
    )
}

pub(crate) fn curve(shape: Shape, variety: Variety) -> impl Strategy<Value = SetpointCurve> {
    vec(step(), 2..12).prop_map(move |steps| {
        let mut points: Vec<ControlPoint> = Vec::new();
        for (id, (gap_s, temp_c, segment, pinned, lock)) in (0..).zip(steps) {
            let before = points.last().copied();
            let mut point = ControlPoint::new(
                PointId(id),
                before.map_or(0.0, |p| p.time_s + gap_s),
                temp_c,
            );
            if let Some(before) = before.filter(|before| before.segment == Segment::Hold) {
                point.temp_c = before.temp_c;
            }
            if variety != Variety::Plain {
                point.segment = segment;
            }
            if variety == Variety::Everything {
                point.pinned_rise_c_per_s = pinned;
                point.lock = lock;
            }
            points.push(point);
        }
        SetpointCurve::new(shape, points).unwrap()
    })
}

fn id() -> impl Strategy<Value = PointId> {
    (0u32..14).prop_map(PointId)
}

fn ids() -> impl Strategy<Value = Vec<PointId>> {
    vec(id(), 1..4)
}

fn place() -> impl Strategy<Value = CurvePoint> {
    (0.0..1500.0, 0.0..320.0).prop_map(|(time_s, temp_c)| CurvePoint { time_s, temp_c })
}

pub(crate) fn offset() -> impl Strategy<Value = Offset> {
    let time = prop_oneof![Just(0.0), -5.0..5.0, -4000.0..4000.0];
    let temp = prop_oneof![Just(0.0), -5.0..5.0, -400.0..400.0];
    (time, temp).prop_map(|(time_s, temp_c)| Offset { time_s, temp_c })
}

pub(crate) fn edit() -> impl Strategy<Value = PointEdit> {
    prop_oneof![
        4 => (id(), place()).prop_map(|(id, to)| PointEdit::Move { id, to }),
        2 => (0.0..1500.0).prop_map(|time_s| PointEdit::InsertOnCurve { time_s }),
        2 => place().prop_map(|at| PointEdit::InsertAt { at }),
        2 => ids().prop_map(|ids| PointEdit::Remove { ids }),
        4 => (ids(), offset()).prop_map(|(ids, by)| PointEdit::Shift { ids, by }),
        2 => (ids(), 0.0..900.0, 0.5..1.5)
            .prop_map(|(ids, pivot_s, factor)| PointEdit::StretchTime { ids, pivot_s, factor }),
        2 => (ids(), 0.0..320.0, -0.2..1.5)
            .prop_map(|(ids, pivot_c, factor)| PointEdit::ScaleTemp { ids, pivot_c, factor }),
        1 => (id(), prop::option::of(-3.0..3.0))
            .prop_map(|(id, rise_c_per_s)| PointEdit::PinRise { id, rise_c_per_s }),
        3 => (id(), segment()).prop_map(|(id, segment)| PointEdit::SetSegment { id, segment }),
        1 => (ids(), lock()).prop_map(|(ids, lock)| PointEdit::SetLock { ids, lock }),
        1 => shape().prop_map(PointEdit::SetShape),
        1 => curve(Shape::Monotone, Variety::Segments)
            .prop_map(|curve| PointEdit::Replace(curve.points().to_vec())),
    ]
}
