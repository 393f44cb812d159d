//! One roast in closed loop: the controller looks once a second, the charge moves on in between.

use crate::charge::{Charge, Demand, Flows, Stepper};
use crate::controller::{Controller, Sight};
use crate::params::RoastParams;
use crate::setpoint::Setpoint;
use crate::start::Start;
use crate::trace::Trace;

/// Shells of the roast that is shown: 0.03 K of the mean bean and 0.07 K of the surface after the first minute (0.14 K in it)
/// away from 64 shells. In a hot machine the surface jumps as the beans come in, and the reading is up to 0.5 K off in the first minute.
pub const SHELLS: usize = 8;

/// Seconds at the start in which a cold element jumps and steps are shorter.
const START_S: usize = 8;
/// Parts that each step is taken in there: the surface is 0.08 K off in the worst of 2,000 roasts without it, 0.03 K with it.
const START_PARTS: u32 = 4;

/// Runs one roast with [`SHELLS`] shells and steps of 1 s (0.25 s in the first 8 s). A 600 s roast takes about 0.1 ms.
///
/// It ends at the drop of the setpoint ([`Setpoint::dropping_at`]), so the trace may be shorter than the setpoint.
/// Nothing is checked: a bed that is not fluidised gets numbers too, void ones. [`crate::Forecast`] looks at that first.
pub fn roast(params: &RoastParams, setpoint: &Setpoint) -> Trace {
    roast_in_steps(params, setpoint, 1)
}

/// The same in `steps_per_s` steps a second (1 or more); more steps only to see that the result does not depend on them.
pub fn roast_in_steps(params: &RoastParams, setpoint: &Setpoint, steps_per_s: u32) -> Trace {
    run::<SHELLS>(params, setpoint, steps_per_s, |_, _, _| ()).0
}

/// Runs one roast; `watch` sees the charge before and after each step with the heat flows in between.
/// Gives the trace and the charge at the drop.
pub(crate) fn run<const N: usize>(
    params: &RoastParams,
    setpoint: &Setpoint,
    steps_per_s: u32,
    mut watch: impl FnMut(&Charge<N>, &Flows, &Charge<N>),
) -> (Trace, Charge<N>) {
    let stepper = Stepper::<N>::new(params, 1.0 / f64::from(steps_per_s));
    let starter = Stepper::<N>::new(params, 1.0 / f64::from(START_PARTS * steps_per_s));
    let start = Start::of(params, params.flow_share(setpoint.air_share()[0]));
    let mut charge = Charge::<N>::green(params, &start);
    let mut trace = Trace::with_capacity(setpoint.temp_c().len());
    let mut controller: Option<Controller> = None;
    let mut watch_drop = setpoint.drop_watch();
    let last = setpoint.duration_s();
    for (second, (&setpoint_c, &setting)) in setpoint
        .temp_c()
        .iter()
        .zip(setpoint.air_share())
        .enumerate()
    {
        let flow = params.flow_share(setting);
        let sight = Sight {
            setpoint_c,
            reading_c: charge.reading_c(params),
            flow,
        };
        let is_drop = watch_drop.drops(sight.reading_c) || second == last;
        let effort = controller
            .get_or_insert_with(|| Controller::new(&sight, start.integral))
            .effort(params, &sight);
        let demand = Demand { effort, flow };
        trace.push(&stepper.sample(&charge, demand));
        if is_drop {
            break;
        }
        let (stepper, steps) = if second < START_S {
            (&starter, START_PARTS * steps_per_s)
        } else {
            (&stepper, steps_per_s)
        };
        for _ in 0..steps {
            let before = charge.clone();
            let flows = stepper.step(&mut charge, demand);
            watch(&before, &flows, &charge);
        }
    }
    (trace, charge)
}
