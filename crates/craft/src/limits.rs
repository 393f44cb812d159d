//! Trade thresholds and ranges, one per line, each with its source.
//!
//! "Common practice, no published source" means: what roasters do and say, seen in no standard or paper.
//! These only decide when the program remarks on something; nothing here forbids a curve.

/// Rise that climbs again after its peak by more than this is remarked on, in °C/s (0.6 °C/min).
/// Common practice, no published source.
pub const RISE_TURN_MIN_GAIN_C_PER_S: f64 = 0.6 / 60.0;

/// Loss of rise that is remarked on after colour change, in °C/s (5 °C/min) …
/// Common practice, no published source.
pub const STEEP_FALL_LOSS_C_PER_S: f64 = 5.0 / 60.0;

/// … within this many seconds. Common practice, no published source.
pub const STEEP_FALL_WINDOW_S: f64 = 30.0;

/// A rise below this, in °C/s (1 °C/min) …
/// Common practice, no published source.
pub const PLATEAU_MAX_RISE_C_PER_S: f64 = 1.0 / 60.0;

/// … for at least this many seconds is a plateau. Common practice, no published source.
pub const PLATEAU_MIN_DURATION_S: f64 = 20.0;

/// Wished development as a share of the whole roast, unless the lot says otherwise.
/// Common practice, no published source.
pub const DEVELOPMENT_RATIO_RANGE: (f64, f64) = (0.12, 0.25);

/// A curve that leaves the range of a segment's two points by more than this is remarked on, in °C.
/// Ours: half the step that the window snaps to.
pub const OVERSHOOT_TOLERANCE_C: f64 = 0.25;

/// Temperature ceiling of a machine that nobody has described yet, in °C. Common practice, no published source: the darkest
/// roasts end a little below 250 °C. The machine's manual decides.
pub const DEFAULT_CEILING_C: f64 = 250.0;

/// Finishes of a new plan, name and drop temperature in °C on the bean probe.
/// Common practice, no published source.
pub const DEFAULT_FINISHES: [(&str, f64); 4] = [
    ("light", 206.0),
    ("medium", 212.0),
    ("full", 218.0),
    ("dark", 224.0),
];

/// Ends of a new plan's curve: (time in s, temperature in °C). Common practice, no published source.
pub const NEW_CURVE: [(f64, f64); 2] = [(0.0, 105.0), (510.0, 218.0)];

/// Fan setting of a new plan, in %. Common practice, no published source.
pub const NEW_AIR_PERCENT: f64 = 80.0;

/// Ceilings that the machine sheet takes, in °C. The greatest keeps well below the temperature at which dry plant matter is
/// commonly said to take fire in hot air, 260 °C and more (from memory, no published source seen for chaff): a ceiling that can be
/// set out of reach would be none.
pub const CEILING_RANGE_C: (f64, f64) = (100.0, 260.0);

/// Longest one-line text, in characters.
pub const MAX_LINE_CHARS: usize = 200;

/// Longest notes, in bytes.
pub const MAX_NOTES_BYTES: usize = 64 * 1024;

/// Nearest that moving a mark brings it to the other one, in °C. Ours: the finest step of a key.
pub const LEAST_MARK_GAP_C: f64 = 0.1;

/// Most finishes in a ladder.
pub const MAX_FINISHES: usize = 12;

/// Half width of the band that a comparison counts time outside of, in °C. Common practice, no published source.
pub const COMPARISON_BAND_C: f64 = 2.0;

/// Longest shift that a best fit of two curves tries, in s. Our choice: a quarter of a long roast.
pub const MOST_SHIFT_S: f64 = 180.0;

/// Least share of the shorter roast that two curves must have in common for a best fit. Our choice: with less, a short
/// common stretch would win over a good fit of the whole.
pub const LEAST_OVERLAP: f64 = 0.5;

/// Shortest phase that a boundary can leave beside it, in s. Our choice: shorter can't be read in the chart.
pub const MIN_PHASE_S: f64 = 5.0;

/// How close a moved boundary comes to the wished time, in s. Our choice: points rest on tenths of a second.
pub const BOUNDARY_TOLERANCE_S: f64 = 0.1;

/// Findings that a repair is looked for, counted from the worst. Our choice: more don't fit on the screen at once.
pub const MAX_REPAIRED_FINDINGS: usize = 6;

/// Step in which a repair moves a point's temperature, in °C. Our choice: the same as the window's snap.
pub const REPAIR_STEP_C: f64 = 0.5;

/// Most such steps that a repair moves a point; a power of two, as the search doubles. Our choice: 16 °C, more would be
/// another curve.
pub const MAX_REPAIR_STEPS: i32 = 32;

/// How many points, nearest to the finding, a repair tries to move. Our choice.
pub const MAX_REPAIR_POINTS: usize = 3;

/// Slowest rise at which a repair carries a curve on to its finish, in °C/s (3 °C/min).
/// Common practice, no published source.
pub const LEAST_PROLONGING_RISE_C_PER_S: f64 = 3.0 / 60.0;

/// How much hotter than its neighbour a finish is that is added above it, in °C. Our choice: a third of the step between
/// the finishes of a new plan.
pub const ADDED_FINISH_STEP_C: f64 = 2.0;

/// The probe meets the curve soon enough if it does so within this many seconds; nothing is remarked on then. Ours: about two lags of
/// a bean probe.
pub const SOON_MET_S: f64 = 10.0;

/// A curve that the probe meets later than this, in s, is worth a caution. Common practice, no published source: within the first
/// minute a probe that was charged cold tells little about the beans anyway.
pub const LATEST_MEETING_S: f64 = 60.0;

/// The curve counts as beyond reach if its rise passes the reach for at least this many seconds. Ours: probe and heater smooth out
/// what is shorter.
pub const LEAST_BEYOND_REACH_S: f64 = 5.0;

/// … by more than this, in °C/s (0.1 °C/min). Ours: half the last digit that rates are shown with would be less.
pub const REACH_MARGIN_C_PER_S: f64 = 0.1 / 60.0;

/// Stretches of one kind that are at most this many seconds apart are told as one. Ours.
pub const JOINED_GAP_S: f64 = 5.0;

/// A miss that begins within this many seconds behind a stretch beyond reach is laid to that stretch. Ours: the lags of heater and
/// probe, twice.
pub const REACH_AFTERMATH_S: f64 = 15.0;

/// Probe and curve may differ by this much, in K, after they met. Common practice, no published source.
pub const MOST_MISS_K: f64 = 5.0;

/// A heater at its limit for at least this many seconds in all is remarked on. Common practice, no published source.
pub const LEAST_LIMITED_S: f64 = 20.0;

/// Forecasts that are tried for the repair of one finding, at most. Ours: six findings at 0.25 ms a forecast stay within 40 ms.
pub const MAX_TRIED_FORECASTS: usize = 24;

/// First move in time that a repair tries, in s; each further one is twice as long.
pub const REPAIR_STEP_S: f64 = 5.0;

/// Most such steps; a power of two. Ours: 160 s, more would be another roast.
pub const MAX_REPAIR_TIME_STEPS: i32 = 32;

/// Step in which a repair lowers the dose, in g. Ours: what is easily weighed and told.
pub const REPAIR_STEP_G: f64 = 5.0;

/// Most such steps; a power of two. Ours: 80 g.
pub const MAX_REPAIR_DOSE_STEPS: i32 = 16;

/// Step in which a repair changes the airflow, in % of the full setting. Ours: the finest that machines commonly have is 1 %.
pub const REPAIR_STEP_AIR_PERCENT: f64 = 2.0;

/// Most such steps; a power of two. Ours: 32 %.
pub const MAX_REPAIR_AIR_STEPS: i32 = 16;

/// A repair keeps the airflow at least this many times above what lifts the bed. Assumed: some headroom for wetter, larger beans.
pub const LEAST_LIFT: f64 = 1.1;

/// Most steps of [`REPAIR_STEP_C`] that a repair moves a finish down beyond what is surely needed; a power of two. Ours.
pub const MAX_REPAIR_FINISH_STEPS: i32 = 8;

/// Step in which a repair lowers the start of a curve, in °C. Ours.
pub const REPAIR_START_STEP_C: f64 = 10.0;

/// Most such steps; a power of two. Ours: 80 °C, the whole way from a warm start to a cold one.
pub const MAX_REPAIR_START_STEPS: i32 = 8;

/// Rises that a point of the rise line can be dragged to, in °C/s (−30 to 120 °C/min). Ours: far beyond any roast on both sides.
pub const BENT_RISE_RANGE_C_PER_S: (f64, f64) = (-0.5, 2.0);

/// Least reach of such a bend to either side, in s. Ours: a narrower one would be a spike that no heater follows.
pub const LEAST_BUMP_S: f64 = 20.0;

/// While the drop stays, a bend leaves the rest of the roast at least this share of its rise. Ours.
pub const LEAST_LEFT_SHARE: f64 = 0.1;

/// Share of the rise at its beginning that easing into the drop leaves at the drop, if nothing else is said.
/// Common practice, no published source: the rise at the drop is often wished at about half of that at first crack.
pub const EASED_SHARE: f64 = 0.5;

/// Shares that easing into the drop takes. Ours: below, the beans would be held; above, there is nothing to ease.
pub const EASED_SHARE_RANGE: (f64, f64) = (0.05, 0.95);

/// Least time for easing into the drop, in s. Ours: twice the shortest phase.
pub const LEAST_EASED_S: f64 = 10.0;

/// A point nearer than this to a moment, in s, stands for it: there is no room for another one beside it.
pub const TOUCHES_S: f64 = chaffinch_curve::MIN_GAP_S;

/// Least difference of dry-matter loss between the lightest and the darkest roast of a colour calibration, as a share. Ours: about
/// what lies between two neighbouring finishes of a new plan; a line through roasts that are nearer tells their scatter, not their way.
pub const LEAST_COLOUR_RANGE: f64 = 0.01;

/// Weight losses, as shares, from which on a roast is called medium, and dark. Common practice, no published source; names differ
/// from roastery to roastery.
pub const COLOUR_WORD_LOSSES: (f64, f64) = (0.14, 0.17);
