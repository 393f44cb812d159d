//! Everything that a roast does, sampled once a second.

/// One roast at 0, 1, 2, … s; every list has the same length: that of the setpoint, or less where the roaster drops before its end.
/// Temperatures in °C.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Trace {
    /// Reading of the bean probe.
    pub probe_c: Vec<f64>,
    /// Bean surface.
    pub surface_c: Vec<f64>,
    /// Bean centre; ±7 K before calibration.
    pub core_c: Vec<f64>,
    /// Mean of the bean.
    pub mean_c: Vec<f64>,
    /// Electric power that the element gives off, in W.
    pub heater_w: Vec<f64>,
    /// Heater effort for the coming second, 0 to 1.
    pub effort: Vec<f64>,
    /// Share of the full airflow in the coming second, 0 to 1.
    pub flow_share: Vec<f64>,
    /// Air into the bed.
    pub inlet_c: Vec<f64>,
    /// Air out of the bed.
    pub outlet_c: Vec<f64>,
    /// Chamber wall.
    pub wall_c: Vec<f64>,
    /// Heat that roasting sets free in the whole dose less what drying takes, in W; mean of the second before.
    pub own_heat_w: Vec<f64>,
    /// Water as a share of the weight of the moment.
    pub moisture_wb: Vec<f64>,
    /// Share of the green weight that has gone; ±0.03 before calibration.
    pub weight_loss: Vec<f64>,
    /// Share of the green dry matter that has gone.
    pub dry_loss: Vec<f64>,
}

/// One row of a [`Trace`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Sample {
    pub(crate) probe_c: f64,
    pub(crate) surface_c: f64,
    pub(crate) core_c: f64,
    pub(crate) mean_c: f64,
    pub(crate) heater_w: f64,
    pub(crate) effort: f64,
    pub(crate) flow_share: f64,
    pub(crate) inlet_c: f64,
    pub(crate) outlet_c: f64,
    pub(crate) wall_c: f64,
    pub(crate) own_heat_w: f64,
    pub(crate) moisture_wb: f64,
    pub(crate) weight_loss: f64,
    pub(crate) dry_loss: f64,
}

impl Trace {
    /// Empty lists with room for `len` rows.
    pub(crate) fn with_capacity(len: usize) -> Self {
        let list = || Vec::with_capacity(len);
        Self {
            probe_c: list(),
            surface_c: list(),
            core_c: list(),
            mean_c: list(),
            heater_w: list(),
            effort: list(),
            flow_share: list(),
            inlet_c: list(),
            outlet_c: list(),
            wall_c: list(),
            own_heat_w: list(),
            moisture_wb: list(),
            weight_loss: list(),
            dry_loss: list(),
        }
    }

    /// Adds the row of the next second.
    pub(crate) fn push(&mut self, row: &Sample) {
        self.probe_c.push(row.probe_c);
        self.surface_c.push(row.surface_c);
        self.core_c.push(row.core_c);
        self.mean_c.push(row.mean_c);
        self.heater_w.push(row.heater_w);
        self.effort.push(row.effort);
        self.flow_share.push(row.flow_share);
        self.inlet_c.push(row.inlet_c);
        self.outlet_c.push(row.outlet_c);
        self.wall_c.push(row.wall_c);
        self.own_heat_w.push(row.own_heat_w);
        self.moisture_wb.push(row.moisture_wb);
        self.weight_loss.push(row.weight_loss);
        self.dry_loss.push(row.dry_loss);
    }

    /// Number of samples.
    pub fn len(&self) -> usize {
        self.probe_c.len()
    }

    /// Whether there is no sample.
    pub fn is_empty(&self) -> bool {
        self.probe_c.is_empty()
    }

    /// First time, in s, at which the probe passes `temp_c` upwards, by a straight line between samples.
    pub fn probe_passes_s(&self, temp_c: f64) -> Option<f64> {
        let pair = |w: &[f64]| w[0] < temp_c && temp_c <= w[1];
        let second = self.probe_c.windows(2).position(pair)?;
        let (from_c, to_c) = (self.probe_c[second], self.probe_c[second + 1]);
        Some(second as f64 + (temp_c - from_c) / (to_c - from_c))
    }
}
