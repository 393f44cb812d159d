//! Where an interpolant meets a level.
//!
//! The interpolant is cut at its knots and turning points into monotone spans; a span whose ends lie on different sides
//! of the level holds exactly one crossing, found by Newton's method kept inside a shrinking bracket.

use crate::interpolant::{Interpolant, Piece};

/// A meeting of an interpolant with a level; `x` in the unit of the knots (s for a setpoint).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Crossing {
    /// From below (or starting there) to above (or ending there).
    Rising {
        /// Where.
        x: f64,
    },
    /// From above (or starting there) to below (or ending there).
    Falling {
        /// Where.
        x: f64,
    },
    /// On the level at one place, on the same side before and after.
    Touch {
        /// Where.
        x: f64,
    },
    /// On the level over a span.
    Plateau {
        /// Start of the span.
        from: f64,
        /// End of the span, later than `from`.
        to: f64,
    },
}

impl Crossing {
    /// Where the level is first met.
    pub fn start(self) -> f64 {
        match self {
            Self::Rising { x } | Self::Falling { x } | Self::Touch { x } => x,
            Self::Plateau { from, .. } => from,
        }
    }
}

/// Spans on the level shorter than this, in the unit of the knots, count as one place.
const SHORTEST_PLATEAU: f64 = 1e-6;

/// An end of a monotone span.
#[derive(Clone, Copy)]
struct Node {
    x: f64,
    /// Height above the level.
    above: f64,
    /// The piece to the right (last node: to the left).
    piece: usize,
}

pub(crate) fn crossings(curve: &Interpolant, level: f64, tolerance: f64) -> Vec<Crossing> {
    let nodes = nodes(curve, level);
    let side = |node: &Node| -> i8 {
        if node.above.abs() <= tolerance {
            0
        } else if node.above < 0.0 {
            -1
        } else {
            1
        }
    };
    let mut found = Vec::new();
    let mut i = 0;
    while i < nodes.len() {
        if side(&nodes[i]) == 0 {
            let run = nodes[i..].iter().take_while(|node| side(node) == 0).count();
            let before = i.checked_sub(1).map(|j| nodes[j]);
            let after = nodes.get(i + run).copied();
            let sides = (
                before.map_or(0, |n| side(&n)),
                after.map_or(0, |n| side(&n)),
            );
            found.push(on_level(
                curve,
                level,
                &nodes[i..i + run],
                (before, after),
                sides,
            ));
            i += run;
        } else {
            if let Some(next) = nodes.get(i + 1)
                && side(next) == -side(&nodes[i])
            {
                let x = root(curve, level, nodes[i], *next);
                found.push(if side(next) > 0 {
                    Crossing::Rising { x }
                } else {
                    Crossing::Falling { x }
                });
            }
            i += 1;
        }
    }
    found
}

/// What a run of nodes on the level is.
fn on_level(
    curve: &Interpolant,
    level: f64,
    run: &[Node],
    (before, after): (Option<Node>, Option<Node>),
    sides: (i8, i8),
) -> Crossing {
    let (first, last) = (run[0], run[run.len() - 1]);
    if last.x - first.x > SHORTEST_PLATEAU {
        return Crossing::Plateau {
            from: first.x,
            to: last.x,
        };
    }
    let x = match (before, after) {
        // The node is only nearly on the level: the curve passes exactly through it on one side or the other.
        (Some(before), _) if before.above * first.above < 0.0 => root(curve, level, before, first),
        (_, Some(after)) if last.above * after.above < 0.0 => root(curve, level, last, after),
        _ => first.x,
    };
    match sides {
        (-1 | 0, 1) | (-1, 0) => Crossing::Rising { x },
        (0 | 1, -1) | (1, 0) => Crossing::Falling { x },
        _ => Crossing::Touch { x: first.x },
    }
}

fn nodes(curve: &Interpolant, level: f64) -> Vec<Node> {
    let mut nodes = Vec::with_capacity(3 * curve.pieces().len() + 1);
    for (index, piece) in curve.pieces().iter().enumerate() {
        nodes.push(Node {
            x: piece.x,
            above: piece.y - level,
            piece: index,
        });
        for s in piece.slope_quadratic().roots(0.0, piece.width) {
            nodes.push(Node {
                x: piece.x + s,
                above: piece.value(s) - level,
                piece: index,
            });
        }
    }
    let (x, y) = curve.end();
    nodes.push(Node {
        x,
        above: y - level,
        piece: curve.pieces().len() - 1,
    });
    nodes
}

/// The place between two neighbouring nodes on different sides where the curve is on the level.
fn root(curve: &Interpolant, level: f64, from: Node, to: Node) -> f64 {
    let piece: &Piece = &curve.pieces()[from.piece];
    let rising = from.above < to.above;
    let (mut low, mut high) = (from.x - piece.x, (to.x - piece.x).min(piece.width));
    let mut s = low + (high - low) * (from.above / (from.above - to.above));
    for _ in 0..MAX_STEPS {
        let above = piece.value(s) - level;
        if above == 0.0 {
            break;
        }
        if (above > 0.0) == rising {
            high = s;
        } else {
            low = s;
        }
        let newton = s - above / piece.slope_at(s);
        let next = if low < newton && newton < high {
            newton
        } else {
            0.5 * (low + high)
        };
        if (next - s).abs() <= f64::EPSILON * (piece.x.abs() + next) {
            return piece.x + next;
        }
        s = next;
    }
    piece.x + s
}

/// More halvings than a double has digits.
const MAX_STEPS: usize = 100;
