//! The third layer: what the roaster's own roasts suggest. Until there are enough of them it only says how many are missing.

/// Liked roasts of each of the two coffees from which on a difference between them is worth naming. Ours: with fewer, the spread of
/// a difference is wider than the differences that roasters make.
pub const LEAST_LIKED_ROASTS: usize = 5;

/// How many liked roasts there are of the coffee carried from and of the coffee carried to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct YourRoasts {
    /// Liked roasts of the coffee carried from.
    pub liked_from: usize,
    /// Liked roasts of the coffee carried to.
    pub liked_to: usize,
}

impl YourRoasts {
    /// How many more are needed, of each; 0 and 0 once there are enough.
    pub fn missing(self) -> (usize, usize) {
        let missing = |liked: usize| LEAST_LIKED_ROASTS.saturating_sub(liked);
        (missing(self.liked_from), missing(self.liked_to))
    }

    /// The layer's state, in one sentence. It changes nothing yet.
    pub fn sentence(self) -> String {
        match self.missing() {
            (0, 0) => "There are enough liked roasts of both coffees; reading a difference from them is not built yet, so this layer changes nothing.".to_owned(),
            (from, to) => format!(
                "Your roasts change nothing yet: {from} more liked roasts of the coffee carried from and {to} more of the coffee carried to are needed ({LEAST_LIKED_ROASTS} of each)."
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn missing_roasts_are_counted_for_each_coffee() {
        let none = YourRoasts::default();
        assert_eq!(none.missing(), (5, 5), "none yet");
        let some = YourRoasts {
            liked_from: 7,
            liked_to: 2,
        };
        assert_eq!(some.missing(), (0, 3), "one side is enough");
        assert!(some.sentence().contains("3 more"), "{}", some.sentence());
    }
}
