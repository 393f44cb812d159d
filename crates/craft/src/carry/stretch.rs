//! Stretching the times between the points of a curve, round its locked times.

use crate::airflow::{AirPoint, AirflowSchedule, MIN_AIR_GAP_S};
use chaffinch_curve::{ControlPoint, MIN_GAP_S};

/// Times of `points` when each gap behind a point becomes longer by a factor of e to the power of its entry in `logs` (one fewer than
/// points). Between two points whose times are locked (the first always is) only the proportions of the gaps change. Taking the
/// logarithms back gives the old times again.
pub(super) fn stretched_times_s(points: &[ControlPoint], logs: &[f64]) -> Vec<f64> {
    let mut times_s: Vec<f64> = points.iter().map(|point| point.time_s).collect();
    let last = points.len() - 1;
    let mut from = 0;
    while from < last {
        let anchor = (from + 1..=last).find(|&i| points[i].lock.holds_time());
        let to = anchor.unwrap_or(last);
        let gaps_s: Vec<f64> = (from..to)
            .map(|i| (points[i + 1].time_s - points[i].time_s) * logs[i].exp())
            .collect();
        let wished_s: f64 = gaps_s.iter().sum();
        let factor = anchor.map_or(1.0, |_| {
            (points[to].time_s - points[from].time_s) / wished_s
        });
        let is_unchanged = logs[from..to].iter().all(|log| *log == 0.0);
        for (i, gap_s) in (from..to).zip(gaps_s) {
            // An unchanged stretch only moves along, without the rounding of a sum.
            times_s[i + 1] = if is_unchanged {
                points[i + 1].time_s + (times_s[from] - points[from].time_s)
            } else {
                times_s[i] + (gap_s * factor).max(MIN_GAP_S)
            };
        }
        if anchor.is_some() {
            times_s[to] = points[to].time_s;
        }
        from = to;
    }
    times_s
}

/// Where `time_s` comes to lie when the times `from_s` become `to_s` (both rising, equally many, at least two); behind the last it
/// moves along with it.
pub(super) fn moved_time_s(time_s: f64, from_s: &[f64], to_s: &[f64]) -> f64 {
    let last = from_s.len() - 1;
    if from_s[last] <= time_s {
        return to_s[last] + (time_s - from_s[last]);
    }
    let after = from_s.partition_point(|from_s| *from_s <= time_s).max(1);
    let share = (time_s - from_s[after - 1]) / (from_s[after] - from_s[after - 1]);
    to_s[after - 1] + share * (to_s[after] - to_s[after - 1])
}

/// The schedule with its times moved as those of the curve's points; points that would come too close keep their distance.
pub(super) fn moved_airflow(
    airflow: &AirflowSchedule,
    from_s: &[f64],
    to_s: &[f64],
) -> AirflowSchedule {
    if from_s == to_s {
        return airflow.clone();
    }
    let mut earliest_s = 0.0;
    let points: Vec<AirPoint> = airflow
        .points()
        .iter()
        .map(|point| {
            let time_s = moved_time_s(point.time_s, from_s, to_s).max(earliest_s);
            earliest_s = time_s + MIN_AIR_GAP_S;
            AirPoint { time_s, ..*point }
        })
        .collect();
    // Times rise by the least gap and the first stays at 0 s, so the only refusal left is a time beyond the longest curve.
    AirflowSchedule::new(airflow.shape(), points).unwrap_or_else(|_| airflow.clone())
}

#[cfg(test)]
mod tests {
    use super::*;
    use chaffinch_curve::{Lock, PointId};

    fn points(times_s: &[f64]) -> Vec<ControlPoint> {
        (0..)
            .zip(times_s)
            .map(|(id, &time_s)| ControlPoint::new(PointId(id), time_s, 100.0))
            .collect()
    }

    #[test]
    fn stretching_there_and_back_gives_the_old_times_round_a_locked_one() {
        let mut points = points(&[0.0, 60.0, 200.0, 300.0, 450.0]);
        points[3].lock = Lock::Time;
        let logs = [0.2, -0.1, 0.3, 0.05];
        let there_s = stretched_times_s(&points, &logs);
        assert_eq!(there_s[3], 300.0, "the locked time");
        // The last gap is free: 150 s · e^0.05, by hand 157.69 s.
        assert!((there_s[4] - 457.69).abs() < 0.01, "{there_s:?}");
        let moved: Vec<ControlPoint> = points
            .iter()
            .zip(&there_s)
            .map(|(point, &time_s)| ControlPoint { time_s, ..*point })
            .collect();
        let back_s = stretched_times_s(&moved, &logs.map(|log| -log));
        for (point, back_s) in points.iter().zip(&back_s) {
            assert!((point.time_s - back_s).abs() < 1e-9, "{back_s} {point:?}");
        }
    }

    #[test]
    fn a_time_moves_with_the_gap_that_it_lies_in() {
        let (from_s, to_s) = ([0.0, 100.0, 200.0], [0.0, 150.0, 200.0]);
        for (time_s, expected_s) in [(0.0, 0.0), (50.0, 75.0), (150.0, 175.0), (260.0, 260.0)] {
            let found_s = moved_time_s(time_s, &from_s, &to_s);
            assert!((found_s - expected_s).abs() < 1e-12, "{time_s}: {found_s}");
        }
    }
}
