"""The equations of a roast on four radii, their right sides for solvers with adaptive steps, and SciPy's LSODA and SUNDIALS on them.

Written from crates/twin/src (bed.rs, kinetics.rs, controller.rs) and crates/twin/src/batch/bean.rs. Two problems:

- the real one, in which the controller acts once a second, so that a solver with adaptive steps starts anew each second;
- a smooth one that suits such solvers better than it suits us: the effort of the real roast as a line between the seconds and one
  airflow, nothing to restart.
"""
import math

import numba
import numpy as np
from scipy.integrate import solve_ivp
from scipy.special import roots_jacobi

GAS, ZERO, CP = 8.314462618, 273.15, 1017.0
# How large an error in each state weighs 1 K in a temperature: four nodes, water, released J/kg, lost, heater W, tip.
SCALES = np.array([1, 1, 1, 1, 1e-3, 1e3, 1e-3, 10, 1])


def radau():
    """Weights and conduction matrix on four Gauss-Radau points in (r/R)^2."""
    s = np.append((1 + roots_jacobi(3, 1, 0.5)[0]) / 2, 1.0)
    basis = [np.poly1d(np.poly(np.delete(s, i))) / np.prod(s[i] - np.delete(s, i)) for i in range(4)]
    moment = lambda p, power: sum(c / (j + power + 1) for j, c in enumerate(p.coeffs[::-1]))
    share = np.array([1.5 * moment(b, 0.5) for b in basis])
    across = np.array([[moment(a.deriv() * b.deriv(), 1.5) for b in basis] for a in basis])
    return share, across


def minimax(f, degree, low=-1.0, high=1.0):
    """Polynomial of least relative error, constant term first."""
    x = (low + high) / 2 + (high - low) / 2 * np.cos(np.pi * (np.arange(2000) + 0.5) / 2000)
    y, weight = f(x), np.ones(2000)
    for _ in range(60):
        c = np.linalg.lstsq(np.vander(x, degree + 1, increasing=True) / y[:, None] * weight[:, None], weight, rcond=None)[0]
        r = np.abs(np.polyval(c[::-1], x) / y - 1)
        weight = weight * np.sqrt(r / r.max() + 1e-3)
    return c


SHARE, ACROSS = radau()
viscosity = lambda t: 1.458e-6 * t**1.5 / (t + 110.4)
conduct = lambda t: 2.64638e-3 * t**1.5 / (t + 245.4 * 10 ** (-12 / t))
group = lambda t: conduct(t) / np.sqrt(viscosity(t)) * (viscosity(t) * CP / conduct(t)) ** (1 / 3)
# Air conductivity and flow group over 250 to 650 K within 3e-5, for every peer: cheaper than the correlations.
COND, GROUP = minimax(lambda x: conduct(450 + 200 * x), 4), minimax(lambda x: group(450 + 200 * x), 5)


@numba.njit(fastmath=True)
def rates(state, p, effort, flow, share, across, cond, group, out):
    """Right sides; state as in SCALES."""
    inlet = p[0] + p[3] / flow * state[7]
    x = (0.5 * (inlet + state[3]) + ZERO - 450.0) / 200.0
    k = cond[0] + x * (cond[1] + x * (cond[2] + x * (cond[3] + x * cond[4])))
    g = group[0] + x * (group[1] + x * (group[2] + x * (group[3] + x * (group[4] + x * group[5]))))
    air = p[1] * flow
    units = (p[6] * k + p[7] * math.sqrt(flow) * g) / air
    mean = share[0] * state[0] + share[1] * state[1] + share[2] * state[2] + share[3] * state[3]
    per_k = 1 / (mean + ZERO)
    out[4] = -p[11] * state[4] ** 2 * math.exp(-9889 * per_k)
    out[5] = p[12] * 116.2e6 * math.exp(-5500 * per_k) * (1 - state[5] / 232e3)
    out[6] = p[13] * 4e-4 * math.exp(130000 / GAS * (1 / 480.15 - per_k)) * (1 - state[6] / 0.25)
    source = 2.79e6 * out[4] + out[5]
    for i in range(4):
        flux = -p[8] * (across[i, 0] * state[0] + across[i, 1] * state[1] + across[i, 2] * state[2] + across[i, 3] * state[3])
        if i == 3:
            flux += air * (1 - math.exp(-units)) * (inlet - state[3])
        heat = (1 - state[6]) * (1099 + 7 * state[i]) + 5000 * state[4]
        out[i] = (flux / (p[9] * share[i]) + source) / heat
    out[7] = (effort * p[2] - state[7]) / p[4]
    out[8] = (state[3] + (1 - p[15]) * math.exp(-p[16] * units) * (inlet - state[3]) - state[8]) / p[14]


def interpreted(state, p, effort, flow, share, across, cond, group, out):
    """The same as NumPy without a compiler would have it."""
    inlet = p[0] + p[3] / flow * state[7]
    x = (0.5 * (inlet + state[3]) + ZERO - 450.0) / 200.0
    air = p[1] * flow
    units = (p[6] * np.polyval(cond[::-1], x) + p[7] * math.sqrt(flow) * np.polyval(group[::-1], x)) / air
    per_k = 1 / (share @ state[:4] + ZERO)
    out[4] = -p[11] * state[4] ** 2 * math.exp(-9889 * per_k)
    out[5] = p[12] * 116.2e6 * math.exp(-5500 * per_k) * (1 - state[5] / 232e3)
    out[6] = p[13] * 4e-4 * math.exp(130000 / GAS * (1 / 480.15 - per_k)) * (1 - state[6] / 0.25)
    flux = -p[8] * (across @ state[:4])
    flux[3] += air * (1 - math.exp(-units)) * (inlet - state[3])
    heat = (1 - state[6]) * (1099 + 7 * state[:4]) + 5000 * state[4]
    out[:4] = (flux / (p[9] * share) + 2.79e6 * out[4] + out[5]) / heat
    out[7] = (effort * p[2] - state[7]) / p[4]
    out[8] = (state[3] + (1 - p[15]) * math.exp(-p[16] * units) * (inlet - state[3]) - state[8]) / p[14]


@numba.njit(fastmath=True)
def act(p, target, reading, flow, kept):
    """The controller: effort of this second; `kept` holds the integral and the filtered error."""
    error = target - reading
    change = p[21] * (error - kept[1])
    kept[1] += change
    wish = p[18] * error + p[20] * change + kept[0] + p[22] * flow * (target - p[0])
    effort = min(max(wish, 0.0), min(1.0, p[5] * flow))
    if (wish - effort) * error <= 0:
        kept[0] += p[19] * error
    return effort


@numba.njit(fastmath=True)
def fine(p, sp, air_share, share, across, cond, group, steps, readings, efforts, follow):
    """RK4 in `steps` a second: in closed loop, or (`follow`) along `efforts` as lines between the seconds."""
    x = np.zeros(9); x[:4] = p[0]; x[4] = p[10]; x[8] = p[0]
    kept, h = np.array([0.0, sp[0] - p[0] - p[17]]), 1.0 / steps
    k1, k2, k3, k4 = np.zeros(9), np.zeros(9), np.zeros(9), np.zeros(9)
    for second in range(len(sp)):
        readings[second] = x[8] + p[17]
        flow = air_share[second]
        if not follow:
            efforts[second] = act(p, sp[second], readings[second], flow, kept)
        if second == len(sp) - 1:
            break
        e0 = efforts[second]; slope = efforts[second + 1] - e0 if follow else 0.0
        for j in range(steps):
            t = j * h
            rates(x, p, e0 + slope * t, flow, share, across, cond, group, k1)
            rates(x + 0.5 * h * k1, p, e0 + slope * (t + 0.5 * h), flow, share, across, cond, group, k2)
            rates(x + 0.5 * h * k2, p, e0 + slope * (t + 0.5 * h), flow, share, across, cond, group, k3)
            rates(x + h * k3, p, e0 + slope * (t + h), flow, share, across, cond, group, k4)
            x += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4)


def start(p):
    return np.array([p[0]] * 4 + [p[10], 0.0, 0.0, 0.0, p[0]])


def smooth_rates(right, p, flow, efforts):
    """Right sides along a given effort: into `out`, or given back."""
    def f(t, y, out):
        i = min(int(t), len(efforts) - 2)
        right(y, p, efforts[i] + (t - i) * (efforts[i + 1] - efforts[i]), flow, SHARE, ACROSS, COND, GROUP, out)
        return out
    return f


def smooth_lsoda(right, p, flow, efforts, rtol):
    f, out, seconds = smooth_rates(right, p, flow, efforts), np.zeros(9), np.arange(len(efforts), dtype=float)
    result = solve_ivp(lambda t, y: f(t, y, out), (0, seconds[-1]), start(p), "LSODA", seconds, rtol=rtol, atol=rtol * SCALES)
    return result.y[8] + p[17]


def smooth_cvode(p, flow, efforts, rtol):
    from sksundae.cvode import CVODE

    f, seconds = smooth_rates(rates, p, flow, efforts), np.arange(len(efforts), dtype=float)

    def into(t, y, out):
        f(t, y, out)

    return CVODE(into, rtol=rtol, atol=rtol * SCALES, method="BDF").solve(seconds, start(p)).y[:, 8] + p[17]


def real_lsoda(right, p, sp, air_share, rtol):
    out, x, readings = np.zeros(9), start(p), np.empty(len(sp))
    kept = np.array([0.0, sp[0] - p[0] - p[17]])
    for second in range(len(sp)):
        readings[second] = x[8] + p[17]
        flow = air_share[second]
        effort = act(p, sp[second], readings[second], flow, kept)
        if second < len(sp) - 1:
            def f(t, y):
                right(y, p, effort, flow, SHARE, ACROSS, COND, GROUP, out)
                return out
            x = solve_ivp(f, (0, 1), x, "LSODA", rtol=rtol, atol=rtol * SCALES).y[:, -1]
    return readings
