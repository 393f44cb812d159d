//! Random plans and random edits, sensible and nonsensical alike, for property tests.

use chaffinch_craft::{
    AirEdit, AirId, AirShape, Boundary, Edit, FinishEdit, FinishId, Given, HandEdit, KeptEnd,
    Knowledge, LotText, MarkName, NumberName, Plan, RatioRange, RiseAtDrop, SheetNumber,
};
use chaffinch_curve::{
    ControlPoint, CurvePoint, Lock, Offset, PointEdit, PointId, Segment, SetpointCurve, Shape,
};
use chaffinch_twin::FeedForward;
use proptest::{prelude::*, sample::select};

/// A roast-like plan: 3 to 12 points, rising.
pub(crate) fn plan() -> impl Strategy<Value = Plan> {
    let steps = prop::collection::vec((10.0..90.0_f64, 0.5..40.0_f64), 2..11);
    (steps, select(vec![Shape::Monotone, Shape::Smooth])).prop_map(|(steps, shape)| {
        let mut at = (0.0, 100.0);
        let mut points = vec![ControlPoint::new(PointId(1), at.0, at.1)];
        for ((time_s, temp_c), id) in steps.into_iter().zip(2..) {
            at = (at.0 + time_s, f64::min(at.1 + temp_c, 300.0));
            points.push(ControlPoint::new(PointId(id), at.0, at.1));
        }
        let mut parts = Plan::fresh().into_parts();
        parts.curve = SetpointCurve::new(shape, points).unwrap();
        Plan::new(parts).unwrap()
    })
}

fn ids() -> impl Strategy<Value = Vec<PointId>> {
    prop::collection::vec((1..14_u32).prop_map(PointId), 0..5)
}

fn id() -> impl Strategy<Value = PointId> {
    (1..14_u32).prop_map(PointId)
}

fn point_edit() -> impl Strategy<Value = PointEdit> {
    let place = || {
        (-20.0..800.0_f64, -10.0..340.0_f64)
            .prop_map(|(time_s, temp_c)| CurvePoint { time_s, temp_c })
    };
    let offset =
        (-60.0..60.0_f64, -30.0..30.0_f64).prop_map(|(time_s, temp_c)| Offset { time_s, temp_c });
    let lock = select(vec![Lock::Free, Lock::Time, Lock::Temp, Lock::Both]);
    let segment = select(vec![Segment::Curved, Segment::Straight, Segment::Hold]);
    prop_oneof![
        (id(), place()).prop_map(|(id, to)| PointEdit::Move { id, to }),
        (0.0..800.0_f64).prop_map(|time_s| PointEdit::InsertOnCurve { time_s }),
        place().prop_map(|at| PointEdit::InsertAt { at }),
        ids().prop_map(|ids| PointEdit::Remove { ids }),
        (ids(), offset).prop_map(|(ids, by)| PointEdit::Shift { ids, by }),
        (ids(), 0.0..600.0_f64, -0.5..2.0_f64).prop_map(|(ids, pivot_s, factor)| {
            PointEdit::StretchTime {
                ids,
                pivot_s,
                factor,
            }
        }),
        (ids(), 80.0..240.0_f64, -0.5..2.0_f64).prop_map(|(ids, pivot_c, factor)| {
            PointEdit::ScaleTemp {
                ids,
                pivot_c,
                factor,
            }
        }),
        (id(), prop::option::of(-0.5..1.0_f64))
            .prop_map(|(id, rise_c_per_s)| PointEdit::PinRise { id, rise_c_per_s }),
        (id(), segment).prop_map(|(id, segment)| PointEdit::SetSegment { id, segment }),
        (ids(), lock).prop_map(|(ids, lock)| PointEdit::SetLock { ids, lock }),
        select(vec![Shape::Monotone, Shape::Smooth]).prop_map(PointEdit::SetShape),
        replaced().prop_map(PointEdit::Replace),
    ]
}

/// Shaping by the rate of rise, sensible and not.
fn hand_edit() -> impl Strategy<Value = HandEdit> {
    let end = prop_oneof![
        (0.0..1.0_f64).prop_map(RiseAtDrop::Share),
        (-0.1..0.3_f64).prop_map(RiseAtDrop::Rise),
    ];
    prop_oneof![
        (id(), -0.2..1.5_f64, select(KeptEnd::ALL.to_vec())).prop_map(|(id, to_c_per_s, keep)| {
            HandEdit::BendRise {
                id,
                to_c_per_s,
                keep,
            }
        }),
        (id(), id()).prop_map(|(from, to)| HandEdit::StraightenRise { from, to }),
        (prop::option::of(id()), end)
            .prop_map(|(from, rise)| HandEdit::EaseIntoDrop { from, rise }),
    ]
}

/// Other points in place of all: two to eight, rising; now and then one with an id twice.
fn replaced() -> impl Strategy<Value = Vec<ControlPoint>> {
    let steps = prop::collection::vec((0.5..90.0_f64, -2.0..40.0_f64), 1..8);
    (steps, 1..14_u32).prop_map(|(steps, odd)| {
        let mut at = (0.0, 90.0);
        let mut points = vec![ControlPoint::new(PointId(1), at.0, at.1)];
        for ((time_s, temp_c), number) in steps.into_iter().zip(2..) {
            at = (at.0 + time_s, at.1 + temp_c);
            let id = if number == odd { 1 } else { number };
            points.push(ControlPoint::new(PointId(id), at.0, at.1));
        }
        points
    })
}

/// Any edit, about half of which are refused; one in sixteen is several edits as one.
pub(crate) fn edit() -> impl Strategy<Value = Edit> {
    let together = prop::collection::vec(single_edit(), 0..4)
        .prop_map(|edits| Edit::Together("Did several things", edits));
    prop_oneof![15 => single_edit(), 1 => together]
}

fn single_edit() -> impl Strategy<Value = Edit> {
    let finish = || (1..6_u32).prop_map(FinishId);
    let temp_c = || 90.0..330.0_f64;
    let air = || (1..5_u32).prop_map(AirId);
    prop_oneof![
        8 => point_edit().prop_map(Edit::Points),
        2 => hand_edit().prop_map(Edit::Hand),
        1 => (select(Boundary::ALL.to_vec()), 5.0..800.0_f64)
            .prop_map(|(boundary, to_s)| Edit::MoveBoundary { boundary, to_s }),
        1 => (select(MarkName::ALL.to_vec()), temp_c())
            .prop_map(|(mark, temp_c)| Edit::SetMark { mark, temp_c }),
        1 => prop_oneof![
            (finish(), temp_c()).prop_map(|(id, temp_c)| FinishEdit::Move { id, temp_c }),
            (finish(), "[a-z]{0,3}").prop_map(|(id, name)| FinishEdit::Rename { id, name }),
            ("[a-z]{1,3}", temp_c()).prop_map(|(name, temp_c)| FinishEdit::Add { name, temp_c }),
            finish().prop_map(FinishEdit::Remove),
            finish().prop_map(FinishEdit::Choose),
        ].prop_map(Edit::Finish),
        1 => prop_oneof![
            (air(), 0.0..500.0_f64, -5.0..105.0_f64)
                .prop_map(|(id, time_s, percent)| AirEdit::Move { id, time_s, percent }),
            (0.0..500.0_f64, 0.0..100.0_f64)
                .prop_map(|(time_s, percent)| AirEdit::Insert { time_s, percent }),
            air().prop_map(AirEdit::Remove),
            select(vec![AirShape::Steps, AirShape::Ramps]).prop_map(AirEdit::SetShape),
        ].prop_map(Edit::Air),
        1 => prop_oneof![
            "[a-zé\n]{0,8}".prop_map(Edit::SetTitle),
            (select(LotText::ALL.to_vec()), "[a-z ]{0,8}").prop_map(|(field, text)| Edit::LotText(field, text)),
            number().prop_map(|(name, given)| Edit::Number(name, given)),
            select(vec![FeedForward::None, FeedForward::AirToSetpoint]).prop_map(Edit::FeedForward),
            (50.0..400.0_f64).prop_map(Edit::MachineCeiling),
            "[a-zé\n]{0,20}".prop_map(|text| Edit::SetNotes(text.repeat(4))),
            (0.0..0.3_f64, 0.31..1.0_f64)
                .prop_map(|(least, most)| Edit::WishedDevelopment(RatioRange::new(least, most).unwrap())),
            "[a-zé\n]{0,8}".prop_map(Edit::MachineName),
            "[a-zé\n]{0,8}".prop_map(Edit::RoomName),
        ],
    ]
}

/// A number of any sheet: within its range, at either end of it, outside, or cleared.
pub(crate) fn number() -> impl Strategy<Value = (NumberName, Option<Given>)> {
    fn names<K: SheetNumber>(name: impl Fn(K) -> NumberName) -> Vec<NumberName> {
        K::ALL.iter().map(|&number| name(number)).collect()
    }
    let all = [
        names(NumberName::Lot),
        names(NumberName::Machine),
        names(NumberName::Room),
        names(NumberName::Variation),
    ];
    let share = prop_oneof![
        6 => 0.0..=1.0_f64,
        1 => Just(0.0),
        1 => Just(1.0),
        1 => Just(1.5),
    ];
    let given = prop::option::weighted(0.9, (share, select(Knowledge::ALL.to_vec())));
    (select(all.concat()), given).prop_map(|(name, given)| {
        let facts = name.facts();
        let given = given.map(|(share, knowledge)| Given {
            value: facts.least + share * (facts.most - facts.least),
            knowledge,
        });
        (name, given)
    })
}
