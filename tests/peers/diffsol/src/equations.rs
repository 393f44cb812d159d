//! The problem file and the right sides, the same as in `../../roasts/cvode.c` and `../../roasts/equations.py`.

use crate::dual::Number;

/// Four temperatures, water, released J/kg, share lost, heater W, tip.
pub const STATES: usize = 9;
/// Place of the probe's tip among them.
pub const TIP: usize = 8;
/// Numbers of a roast.
const NUMBERS: usize = 23;

/// One roast.
pub struct Roast {
    pub numbers: [f64; NUMBERS],
    /// Effort at each second; a line between.
    pub efforts: Vec<f64>,
    /// Readings as they should be.
    pub want: Vec<f64>,
}

/// All roasts and what they share.
pub struct Problem {
    share: Vec<f64>,
    across: Vec<f64>,
    film_k: Vec<f64>,
    film_group: Vec<f64>,
    /// Absolute tolerance over the relative one.
    pub scales: [f64; STATES],
    flow: f64,
    pub seconds: Vec<f64>,
    pub roasts: Vec<Roast>,
}

impl Roast {
    /// State at charge.
    pub fn start(&self, y: &mut [f64]) {
        y.fill(0.0);
        y[..4].fill(self.numbers[0]);
        y[4] = self.numbers[10];
        y[TIP] = self.numbers[0];
    }
}

impl Problem {
    /// From the text that `compare.py` writes.
    pub fn read(text: &str) -> Result<Self, String> {
        let numbers: Vec<f64> = text
            .split_ascii_whitespace()
            .map(|word| word.parse().map_err(|_| format!("no number: {word}")))
            .collect::<Result<_, String>>()?;
        let mut rest = numbers.as_slice();
        let mut take = |count: usize| -> Result<Vec<f64>, String> {
            let (list, left) = rest
                .split_at_checked(count)
                .ok_or("the problem ends early")?;
            rest = left;
            Ok(list.to_vec())
        };
        let counts = take(2)?;
        let (count, length) = (counts[0] as usize, counts[1] as usize);
        let (share, across) = (take(4)?, take(16)?);
        let (film_k, film_group) = (take(5)?, take(6)?);
        let scales = take(STATES)?.try_into().map_err(|_| "scales")?;
        let flow = take(1)?[0];
        // Setpoint and airflow of the real problem, which isn't solved here.
        take(2 * length)?;
        let mut roasts = Vec::new();
        for _ in 0..count {
            let numbers = take(NUMBERS)?.try_into().map_err(|_| "numbers")?;
            let (efforts, want) = (take(length)?, take(length)?);
            take(length)?;
            roasts.push(Roast {
                numbers,
                efforts,
                want,
            });
        }
        let seconds = (0..length).map(|second| second as f64).collect();
        Ok(Self {
            share,
            across,
            film_k,
            film_group,
            scales,
            flow,
            seconds,
            roasts,
        })
    }
}

/// Polynomial, constant term first.
#[inline]
fn polynomial<N: Number>(coefficients: &[f64], x: N) -> N {
    let mut sum = x * 0.0;
    for c in coefficients.iter().rev() {
        sum = sum * x + *c;
    }
    sum
}

/// Gives the rate of every state at `t`, in s.
#[inline]
pub fn rates<N: Number>(
    problem: &Problem,
    roast: &Roast,
    t: f64,
    state: impl Fn(usize) -> N,
    mut set: impl FnMut(usize, N),
) {
    let p = &roast.numbers;
    let y: [N; STATES] = std::array::from_fn(state);
    let second = (t as usize).min(roast.efforts.len() - 2);
    let (from, to) = (roast.efforts[second], roast.efforts[second + 1]);
    let effort = from + (t - second as f64) * (to - from);
    let inlet = y[7] * (p[3] / problem.flow) + p[0];
    let x = ((inlet + y[3]) * 0.5 + (273.15 - 450.0)) * (1.0 / 200.0);
    let air = p[1] * problem.flow;
    let units = polynomial(&problem.film_k, x) * (p[6] / air)
        + polynomial(&problem.film_group, x) * (p[7] * problem.flow.sqrt() / air);
    let s = &problem.share;
    let mean = y[0] * s[0] + y[1] * s[1] + y[2] * s[2] + y[3] * s[3];
    let per_k = (mean + 273.15).recip();
    let dried = y[4] * y[4] * (per_k * -9889.0).exp() * -p[11];
    let released = (per_k * -5500.0).exp() * (p[12] * 116.2e6) * (y[5] * (-1.0 / 232e3) + 1.0);
    let activation = 130_000.0 / 8.314_462_618;
    let lost = (per_k * -activation + activation / 480.15).exp()
        * (p[13] * 4e-4)
        * (y[6] * (-1.0 / 0.25) + 1.0);
    let source = dried * 2.79e6 + released;
    let taken = ((units * -1.0).exp() * -air + air) * (inlet - y[3]);
    for i in 0..4 {
        let a = &problem.across[4 * i..4 * i + 4];
        let mut flux = (y[0] * a[0] + y[1] * a[1] + y[2] * a[2] + y[3] * a[3]) * -p[8];
        if i == 3 {
            flux = flux + taken;
        }
        let heat = (y[6] * -1.0 + 1.0) * (y[i] * 7.0 + 1099.0) + y[4] * 5000.0;
        set(i, (flux * (1.0 / (p[9] * s[i])) + source) / heat);
    }
    set(4, dried);
    set(5, released);
    set(6, lost);
    set(7, (y[7] * -1.0 + effort * p[2]) * (1.0 / p[4]));
    let beside = (units * -p[16]).exp() * (1.0 - p[15]);
    set(
        TIP,
        (y[3] + beside * (inlet - y[3]) - y[TIP]) * (1.0 / p[14]),
    );
}
