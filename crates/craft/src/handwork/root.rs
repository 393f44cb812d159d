//! The place where one number meets another, by a method that can't lose it.
//!
//! From 0 a step is doubled until the sign changes; inside the bracket the Illinois rule (M. Dowell and P. Jarratt, BIT 11 (1971) 168,
//! from memory) and now and then a halving close in.

/// Most doublings and halvings while a bracket is looked for.
const MAX_BRACKET_STEPS: usize = 24;
/// Most steps inside the bracket.
const MAX_STEPS: usize = 80;
/// Every so many steps the bracket is halved: the Illinois rule crawls where the function is flat on one side.
const HALVE_EVERY: usize = 3;

/// What `try_at` makes at the place where its miss is at most `tolerance`; `None` if there is none.
///
/// `start_miss` is the miss at 0, `first` the first step: the function should cross zero in its direction. Where `try_at` fails, the
/// place is taken to be too far.
///
/// # Errors
/// What `try_at` failed with last, if no place in reach of it has the other sign.
pub(super) fn root<T, E>(
    start_miss: f64,
    first: f64,
    tolerance: f64,
    mut try_at: impl FnMut(f64) -> Result<(T, f64), E>,
) -> Result<Option<T>, E> {
    let mut low = (0.0, start_miss);
    let mut too_far = None;
    let mut at = first;
    let mut high = None;
    for _ in 0..MAX_BRACKET_STEPS {
        match try_at(at) {
            Ok((found, miss)) if miss.abs() <= tolerance => return Ok(Some(found)),
            Ok((_, miss)) if (miss > 0.0) == (start_miss > 0.0) => {
                low = (at, miss);
                at = match &too_far {
                    Some((limit, _)) => f64::midpoint(at, *limit),
                    None => 2.0 * at,
                };
            }
            Ok((_, miss)) => {
                high = Some((at, miss));
                break;
            }
            Err(error) => {
                let limit = at;
                at = f64::midpoint(low.0, at);
                too_far = Some((limit, error));
            }
        }
    }
    match (high, too_far) {
        (Some(high), _) => Ok(between(low, high, tolerance, try_at)?),
        (None, Some((_, error))) => Err(error),
        (None, None) => Ok(None),
    }
}

fn between<T, E>(
    mut low: (f64, f64),
    mut high: (f64, f64),
    tolerance: f64,
    mut try_at: impl FnMut(f64) -> Result<(T, f64), E>,
) -> Result<Option<T>, E> {
    for step in 1..=MAX_STEPS {
        let at = if step % HALVE_EVERY == 0 {
            f64::midpoint(low.0, high.0)
        } else {
            (low.0 * high.1 - high.0 * low.1) / (high.1 - low.1)
        };
        let (found, miss) = try_at(at)?;
        if miss.abs() <= tolerance {
            return Ok(Some(found));
        }
        if (miss > 0.0) == (high.1 > 0.0) {
            high = (at, miss);
            low.1 /= 2.0;
        } else {
            low = (at, miss);
            high.1 /= 2.0;
        }
    }
    Ok(None)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]
    use super::*;

    fn found(function: impl Fn(f64) -> f64, first: f64) -> Option<f64> {
        let tried = |at: f64| Ok::<_, ()>((at, function(at)));
        root(function(0.0), first, 1e-10, tried).unwrap()
    }

    #[test]
    fn roots_near_and_far_of_steep_and_flat_functions_are_found() {
        for wanted in [1e-3, 0.7, 40.0, 5000.0] {
            let line = found(|at| at - wanted, 1.0).unwrap();
            assert!((line - wanted).abs() < 1e-9, "line {wanted} {line}");
            let cubic = found(|at| (at / wanted).powi(3) - 1.0, 1.0).unwrap();
            assert!(
                (cubic / wanted - 1.0).abs() < 1e-9,
                "cubic {wanted} {cubic}"
            );
        }
        // Flat up to 2, then a line to 0 at 5.
        let bent = found(|at| (at.max(2.0) - 5.0) / 3.0, 0.5).unwrap();
        assert!((bent - 5.0).abs() < 1e-8, "{bent}");
    }

    #[test]
    fn what_lies_beyond_reach_is_told_by_its_own_error() {
        let tried = |at: f64| {
            if at < 3.0 {
                Ok((at, at - 4.0))
            } else {
                Err("too far")
            }
        };
        assert_eq!(
            root(-4.0, 1.0, 1e-9, tried),
            Err("too far"),
            "4 lies beyond 3"
        );
        let tried = |at: f64| {
            if at < 5.0 {
                Ok((at, at - 4.0))
            } else {
                Err("too far")
            }
        };
        let found = root(-4.0, 8.0, 1e-9, tried).unwrap().unwrap();
        assert!((found - 4.0).abs() < 1e-9, "4 lies before 5: {found}");
    }

    #[test]
    fn a_function_without_a_root_has_none() {
        assert_eq!(found(|at| 1.0 + at * at, 1.0), None, "always above zero");
    }
}
