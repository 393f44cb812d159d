//! Any plan at all, for property tests: ids are numbered from 1 in order, as reading a file numbers them.

use chaffinch_craft::{
    AirId, AirPoint, AirShape, AirflowSchedule, Finish, FinishId, FinishLadder, Given, Knowledge,
    Lot, Machine, MachineNumber, Numbers, Plan, PlanParts, RatioRange, Room, SheetNumber, limits,
};
use chaffinch_curve::{ControlPoint, Lock, Marks, PointId, Segment, SetpointCurve, Shape};
use chaffinch_twin::FeedForward;
use proptest::{
    collection::vec,
    prelude::{Just, Strategy, any, prop_oneof},
    sample::select,
};

/// One line without control characters.
fn line() -> impl Strategy<Value = String> {
    prop_oneof![
        Just(String::new()),
        "\\PC{0,60}",
        "[a-zA-Z0-9 \"'\\\\#]{0,30}"
    ]
}

/// Any characters, line breaks and control characters included.
fn notes() -> impl Strategy<Value = String> {
    prop_oneof![
        Just(String::new()),
        "(?s).{0,200}",
        "[a-z\r\n\t\"\\\\#]{0,60}"
    ]
}

/// Any number in a range, its ends and whole numbers often.
pub(crate) fn number(least: f64, most: f64) -> impl Strategy<Value = f64> {
    prop_oneof![
        least..=most,
        Just(least),
        Just(most),
        (least..=most).prop_map(f64::round)
    ]
    .prop_map(move |value| value.clamp(least, most))
}

fn point() -> impl Strategy<Value = (f64, ControlPoint)> {
    let segment = select(vec![
        Segment::Curved,
        Segment::Curved,
        Segment::Straight,
        Segment::Hold,
    ]);
    let lock = select(vec![Lock::Free, Lock::Time, Lock::Temp, Lock::Both]);
    let pinned = prop_oneof![
        3 => Just((None, false)),
        1 => (number(-1000.0, 1000.0).prop_map(Some), any::<bool>()),
    ];
    (number(1.1, 60.0), number(0.0, 320.0), pinned, segment, lock).prop_map(
        |(gap_s, temp_c, (pinned_rise_c_per_s, is_rise_kept), segment, lock)| {
            let point = ControlPoint {
                id: PointId(0),
                time_s: 0.0,
                temp_c,
                pinned_rise_c_per_s,
                is_rise_kept,
                segment,
                lock,
            };
            (gap_s, point)
        },
    )
}

fn curve() -> impl Strategy<Value = SetpointCurve> {
    (any::<bool>(), vec(point(), 2..=40)).prop_map(|(is_smooth, items)| {
        let mut points: Vec<ControlPoint> = Vec::new();
        for (number, (gap_s, mut point)) in (1..).zip(items) {
            point.id = PointId(number);
            if let Some(before) = points.last() {
                point.time_s = before.time_s + gap_s;
                if before.segment == Segment::Hold {
                    point.temp_c = before.temp_c;
                }
            }
            points.push(point);
        }
        let shape = if is_smooth {
            Shape::Smooth
        } else {
            Shape::Monotone
        };
        SetpointCurve::new(shape, points).unwrap()
    })
}

fn airflow() -> impl Strategy<Value = AirflowSchedule> {
    let shape = select(vec![AirShape::Steps, AirShape::Ramps]);
    (shape, vec((number(1.1, 50.0), number(0.0, 100.0)), 1..=60)).prop_map(|(shape, items)| {
        let mut time_s = 0.0;
        let points = (1..).zip(items).map(|(number, (gap_s, percent))| {
            let point = AirPoint {
                id: AirId(number),
                time_s,
                percent,
            };
            time_s += gap_s;
            point
        });
        AirflowSchedule::new(shape, points.collect()).unwrap()
    })
}

fn finishes() -> impl Strategy<Value = FinishLadder> {
    (
        vec(("\\PC{0,20}", number(0.0, 320.0)), 1..=12),
        any::<proptest::sample::Index>(),
    )
        .prop_map(|(mut items, chosen)| {
            items.sort_by(|a, b| a.1.total_cmp(&b.1));
            let finishes: Vec<Finish> = (1..)
                .zip(items)
                .map(|(number, (name, temp_c))| {
                    // The number keeps names apart.
                    Finish {
                        id: FinishId(number),
                        name: format!("{name} {number}"),
                        temp_c,
                    }
                })
                .collect();
            let chosen = finishes[chosen.index(finishes.len())].id;
            FinishLadder::new(finishes, chosen).unwrap()
        })
}

fn given<K: SheetNumber>(number_of_sheet: K) -> impl Strategy<Value = Option<Given>> {
    let facts = number_of_sheet.facts();
    let given = (
        number(facts.least, facts.most),
        select(Knowledge::ALL.to_vec()),
    )
        .prop_map(|(value, knowledge)| Some(Given { value, knowledge }));
    prop_oneof![Just(None), given]
}

/// Any numbers of one sheet.
fn numbers<K: SheetNumber>() -> impl Strategy<Value = Numbers<K>> {
    let all: Vec<_> = K::ALL.iter().map(|&number| given(number)).collect();
    all.prop_map(|all| {
        let entered = K::ALL.iter().zip(all);
        entered
            .filter_map(|(&number, given)| Some((number, given?)))
            .collect()
    })
}

/// Any lot that a plan may have.
pub(crate) fn lot() -> impl Strategy<Value = Lot> {
    let texts = (line(), line(), line(), line(), notes());
    (texts, numbers(), 0.0..0.5, 0.5..=1.0).prop_map(|(texts, numbers, least, most)| Lot {
        name: texts.0,
        origin: texts.1,
        process: texts.2,
        harvest: texts.3,
        notes: texts.4,
        numbers,
        wished_development: RatioRange::new(least, most).unwrap(),
    })
}

/// Any machine that a plan may have.
pub(crate) fn machine() -> impl Strategy<Value = Machine> {
    let (least_c, most_c) = limits::CEILING_RANGE_C;
    let feed_forward = select(vec![FeedForward::None, FeedForward::AirToSetpoint]);
    (line(), number(least_c, most_c), feed_forward, numbers()).prop_map(
        |(name, ceiling_c, feed_forward, mut numbers)| {
            let dose_g = |number| numbers.known(number).map(|given: Given| given.value);
            if dose_g(MachineNumber::LeastDose) > dose_g(MachineNumber::GreatestDose) {
                // A batch range upside down is no plan.
                numbers.set(MachineNumber::LeastDose, None);
                numbers.set(MachineNumber::GreatestDose, None);
            }
            Machine {
                name,
                ceiling_c,
                feed_forward,
                numbers,
            }
        },
    )
}

/// Any room that a plan may have.
pub(crate) fn room() -> impl Strategy<Value = Room> {
    (line(), numbers()).prop_map(|(name, numbers)| Room { name, numbers })
}

/// Any plan that the model allows (with at most 40 points and short texts).
pub(crate) fn plan() -> impl Strategy<Value = Plan> {
    let marks = (0.0..150.0, 150.0..=320.0).prop_map(|(colour_change_c, first_crack_c)| Marks {
        colour_change_c,
        first_crack_c,
    });
    let drawn = (curve(), airflow(), marks, finishes());
    let sheets = (lot(), machine(), room(), numbers());
    (line(), notes(), drawn, sheets).prop_map(|(title, notes, drawn, sheets)| {
        let (curve, airflow, marks, finishes) = drawn;
        let (lot, machine, room, variation) = sheets;
        Plan::new(PlanParts {
            title,
            notes,
            curve,
            airflow,
            marks,
            finishes,
            lot,
            machine,
            room,
            variation,
        })
        .unwrap()
    })
}
