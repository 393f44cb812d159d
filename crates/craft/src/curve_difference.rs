//! Two curves on one clock: how far the new one lies from the old one, in temperature and in rate of rise.

use crate::plan::Plan;
use chaffinch_curve::MAX_TIME_S;

/// New minus old at 0, 1, 2, … s, up to the earlier of both drops; a curve that never drops counts up to its end.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct CurveDifference {
    /// In temperature, in K.
    pub temp_k: Vec<f64>,
    /// In the rate of rise, in °C/s; as many.
    pub rise_c_per_s: Vec<f64>,
}

/// Where a difference is of greatest size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GreatestDifference {
    /// When, in s.
    pub time_s: f64,
    /// With its sign, in K.
    pub temp_k: f64,
}

impl CurveDifference {
    /// Lays `new` over `old`, both from charge on.
    pub fn between(old: &Plan, new: &Plan) -> Self {
        let to_s = end_s(old).min(end_s(new)).min(MAX_TIME_S);
        let mut difference = Self::default();
        let mut time_s = 0.0;
        while time_s <= to_s {
            let temp_k = new.curve.temp_c(time_s) - old.curve.temp_c(time_s);
            let rise_c_per_s = new.curve.rise_c_per_s(time_s) - old.curve.rise_c_per_s(time_s);
            difference.temp_k.push(temp_k);
            difference.rise_c_per_s.push(rise_c_per_s);
            time_s += 1.0;
        }
        difference
    }

    /// Temperature, in K, and rise, in °C/s, at the second nearest to `time_s`; nothing outside.
    pub fn at(&self, time_s: f64) -> Option<(f64, f64)> {
        let second = time_s.round();
        if second < 0.0 {
            return None;
        }
        let second = second as usize;
        let temp_k = self.temp_k.get(second)?;
        let rise_c_per_s = self.rise_c_per_s.get(second)?;
        Some((*temp_k, *rise_c_per_s))
    }

    /// The greatest difference in temperature, the first of several; nothing where the two share no moment.
    pub fn greatest(&self) -> Option<GreatestDifference> {
        let mut greatest: Option<GreatestDifference> = None;
        for (second, &temp_k) in self.temp_k.iter().enumerate() {
            if greatest.is_none_or(|so_far| so_far.temp_k.abs() < temp_k.abs()) {
                greatest = Some(GreatestDifference {
                    time_s: second as f64,
                    temp_k,
                });
            }
        }
        greatest
    }
}

/// When the chosen finish is reached, in s; else the curve's end.
fn end_s(plan: &Plan) -> f64 {
    let drop_s = plan.curve.first_reach(plan.finish().temp_c);
    drop_s.unwrap_or(plan.curve.end_s())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]
    use super::*;
    use crate::edit::Edit;
    use chaffinch_curve::PointEdit;

    /// The example with all points but the first moved by hand.
    fn moved(plan: &Plan, temp_c: f64) -> Plan {
        let points = plan.curve.points();
        let edits = points.iter().map(|point| {
            Edit::Points(PointEdit::Move {
                id: point.id,
                to: chaffinch_curve::CurvePoint {
                    time_s: point.time_s,
                    temp_c: point.temp_c + temp_c,
                },
            })
        });
        plan.edited(&Edit::Together("Move", edits.collect()))
            .unwrap()
    }

    #[test]
    fn a_curve_differs_from_itself_by_nothing_up_to_its_drop() {
        let plan = Plan::fresh();
        let difference = CurveDifference::between(&plan, &plan);
        let drop_s = plan.curve.first_reach(plan.finish().temp_c).unwrap();
        assert_eq!(difference.temp_k.len(), drop_s as usize + 1, "length");
        assert!(
            difference
                .temp_k
                .iter()
                .chain(&difference.rise_c_per_s)
                .all(|&value| value == 0.0),
            "{difference:?}"
        );
    }

    #[test]
    fn a_curve_moved_up_differs_by_that_much_and_rises_alike() {
        let old = Plan::fresh();
        let new = moved(&old, 4.0);
        let there = CurveDifference::between(&old, &new);
        let back = CurveDifference::between(&new, &old);
        assert_eq!(there.temp_k.len(), back.temp_k.len(), "the earlier drop");
        for (second, (&up, &down)) in there.temp_k.iter().zip(&back.temp_k).enumerate() {
            assert!((up - 4.0).abs() < 1e-9, "{second} s: {up}");
            assert!((up + down).abs() < 1e-9, "{second} s: {up} {down}");
        }
        assert!(
            there.rise_c_per_s.iter().all(|rise| rise.abs() < 1e-9),
            "rise"
        );
        let greatest = there.greatest().unwrap();
        assert!((greatest.temp_k - 4.0).abs() < 1e-9, "{greatest:?}");
        assert_eq!(there.at(-3.0), None, "before charge");
        assert_eq!(there.at(1e9), None, "after the drop");
        assert_eq!(CurveDifference::default().greatest(), None, "nothing");
    }
}
