"""Batch roasts: our kernel beside NumPy/Numba, SciPy and SUNDIALS, measured round by round in one run.

    python -m venv /tmp/peers && /tmp/peers/bin/pip install numpy==2.4.6 scipy==1.17.1 numba==0.68.1 scikit-sundae==1.2.0
    cargo bench -p chaffinch-twin --bench batch --no-run          # prints the path of the benchmark's binary
    /tmp/peers/bin/python crates/twin/outside/roast.py PATH_OF_THAT_BINARY

All use one core, the same equations (crates/twin/src/bed.rs, kinetics.rs, controller.rs) and the same four Gauss-Radau radii
(crates/twin/src/batch/bean.rs), on roasts drawn from the same ranges. Two problems: the real one, in which the controller acts once a
second, so that a solver with adaptive steps starts anew each second; and a smooth one that suits such solvers better than it suits us:
the effort of the real roast as a line between the seconds, nothing to restart. Errors are those of the reading at every second
against the fixed-step scheme at 1/32 s.
"""
import math
import statistics
import subprocess
import sys
import time

import numba
import numpy as np
from scipy.integrate import solve_ivp
from scipy.special import roots_jacobi
from sksundae.cvode import CVODE

GAS, ZERO, CP = 8.314462618, 273.15, 1017.0
TOP_K, HALF_K = 543.15, 140.0
ROUNDS = 7


def draw(count, seed=1):
    """Parameters of `count` roasts, one row each, as RoastParams holds them."""
    rng = np.random.default_rng(seed)
    between = lambda low, high: rng.uniform(low, high, count)
    power, lag, fan, contact = 1600 * between(0.9, 1.25), between(2, 8), 5.3e-3 * between(0.9, 1.1), between(0.6, 1.6)
    probe_lag, share, depth, offset = between(2, 8), between(0.5, 0.9), between(0.2, 0.8), between(-2, 2)
    dose, wet, density, d, k = between(0.14, 0.24), between(0.08, 0.13), between(1100, 1300), between(5.6e-3, 6.8e-3), between(0.11, 0.2)
    drying, exotherm, loss = between(0.6, 1.6), between(0, 1.5), between(0.5, 1.5)
    altitude, room, humidity, volt = between(0, 1800), between(5, 32), between(0.2, 0.9), between(205, 245)
    pressure = 101325 * (1 - 0.0065 * altitude / 288.15) ** (9.80665 / (287.05287 * 0.0065))
    vapour = humidity * 610.94 * np.exp(17.625 * room / (243.04 + room))
    flow = fan * (pressure - (1 - 0.621945) * vapour) / (287.05287 * (room + ZERO))
    air, ceiling, beans = flow * CP, power * (volt / 230) ** 2, dose / (density * np.pi * d**3 / 6)
    per_d = contact * beans * np.pi * d
    feed = (np.arange(count) % 2) * air / (0.95 * ceiling)
    gain = np.full(count, 0.03)
    return np.stack([
        room, air, ceiling, 0.95 / air, lag, air * (330 - room) / (0.95 * ceiling), 2 * per_d, 0.6 * per_d * np.sqrt(flow * d / 2.9e-3),
        4 * np.pi * beans * k * d, dose * (1 - wet), wet / (1 - wet), drying * 4.32e9 / (d * 1e3) ** 2, exotherm, loss,
        probe_lag, share, depth, offset, gain, gain / 45, gain * 4, np.full(count, 1 - math.exp(-0.5)), feed,
    ], 1)


def curve():
    t = np.arange(601.0)
    temp = np.interp(t, [0, 30, 60, 120, 180, 240, 330, 420, 540, 600], [20, 70, 100, 132, 154, 171, 189, 202, 214, 219])
    return temp, np.where(t < 200, 1.0, np.where(t < 400, 0.95, 0.9))


def radau():
    """Weights and conduction matrix on four Gauss-Radau points in (r/R)^2."""
    s = np.append((1 + roots_jacobi(3, 1, 0.5)[0]) / 2, 1.0)
    basis = [np.poly1d(np.poly(np.delete(s, i))) / np.prod(s[i] - np.delete(s, i)) for i in range(4)]
    moment = lambda p, power: sum(c / (j + power + 1) for j, c in enumerate(p.coeffs[::-1]))
    share = np.array([1.5 * moment(b, 0.5) for b in basis])
    across = np.array([[moment(a.deriv() * b.deriv(), 1.5) for b in basis] for a in basis])
    return share, across


SHARE, ACROSS = radau()


def minimax(f, degree, low=-1.0, high=1.0):
    """Polynomial of least relative error, constant term first."""
    x = (low + high) / 2 + (high - low) / 2 * np.cos(np.pi * (np.arange(2000) + 0.5) / 2000)
    y, weight = f(x), np.ones(2000)
    for _ in range(60):
        c = np.linalg.lstsq(np.vander(x, degree + 1, increasing=True) / y[:, None] * weight[:, None], weight, rcond=None)[0]
        r = np.abs(np.polyval(c[::-1], x) / y - 1)
        weight = weight * np.sqrt(r / r.max() + 1e-3)
    return c


root = lambda e: (lambda x: np.exp(-e / 8 * (1 / (TOP_K + HALF_K * (x - 1)) - 1 / TOP_K)))
DRY, EXO, LOSS = minimax(root(9889), 7), minimax(root(5500), 7), minimax(root(130000 / GAS), 7)
DECAY = minimax(lambda y: np.exp(-y), 6, 0.0, 1.0)
viscosity = lambda t: 1.458e-6 * t**1.5 / (t + 110.4)
conduct = lambda t: 2.64638e-3 * t**1.5 / (t + 245.4 * 10 ** (-12 / t))
group = lambda t: conduct(t) / np.sqrt(viscosity(t)) * (viscosity(t) * CP / conduct(t)) ** (1 / 3)
COND, GROUP = minimax(lambda x: conduct(450 + 200 * x), 4), minimax(lambda x: group(450 + 200 * x), 5)


def lanes_kernel(width, number):
    """The scheme of crates/twin/src/batch for `width` roasts in the inner loop, in `number` precision."""
    f = number
    w1, w2, w3, w4 = (f(x) for x in SHARE)
    s11, s12, s13, s14 = (f(x) for x in ACROSS[0])
    s22, s23, s24 = (f(x) for x in ACROSS[1, 1:])
    s33, s34, s44 = f(ACROSS[2, 2]), f(ACROSS[2, 3]), f(ACROSS[3, 3])
    c0, c1, c2, c3, c4 = (f(x) for x in COND)
    g0, g1, g2, g3, g4, g5 = (f(x) for x in GROUP)
    e0, e1, e2, e3, e4, e5, e6 = (f(x) for x in DECAY)
    a0, a1, a2, a3, a4, a5, a6, a7 = (f(x) for x in DRY)
    b0, b1, b2, b3, b4, b5, b6, b7 = (f(x) for x in EXO)
    l0, l1, l2, l3, l4, l5, l6, l7 = (f(x) for x in LOSS)
    zero, one, half, two = f(0), f(1), f(0.5), f(2)
    film_mid, film_half, bean_mid, bean_half = f(450 - ZERO), f(1 / 200), f(TOP_K - HALF_K - ZERO), f(1 / HALF_K)
    k_dry, k_exo = f(math.exp(-9889 / TOP_K)), f(116.2e6 / 232e3 * math.exp(-5500 / TOP_K))
    k_loss = f(4e-4 / 0.25 * math.exp(130000 / GAS * (1 / 480.15 - 1 / TOP_K)))
    r32, quarter, heat0, rise, water = f(1 / 32), f(0.25), f(1099), f(7), f(5000)
    latent, released = f(2.79e6), f(232e3)

    @numba.njit(inline="always", fastmath=True)
    def decay(x):
        y = min(x * r32, one)
        p = e0 + y * (e1 + y * (e2 + y * (e3 + y * (e4 + y * (e5 + y * e6)))))
        p = p * p; p = p * p; p = p * p; p = p * p
        return p * p

    # All numbers of the roasts stand in one list, so that the compiler sees that no two of them overlap and can use vectors.
    n1, n2, n3, n4, v1, v2, v3, v4, y, h, d, ry, rh, rd, power, tip, integral, seen, left, mean_left, p_left, p_rise, scale, now = (
        k * width for k in range(23, 47))

    @numba.njit(fastmath=True, error_model="numpy")
    def run(p, sp, air_share, out):
        z = np.zeros(47 * width, number)
        z[:23 * width] = p.ravel()
        for i in range(width):
            for k in range(4):
                z[n1 + k * width + i] = p[0, i]
            z[y + i] = p[10, i]; z[tip + i] = p[0, i]; z[seen + i] = sp[0] - p[0, i] - p[17, i]
            z[left + i] = math.exp(-1 / p[4, i]); z[mean_left + i] = (1 - z[left + i]) * p[4, i]
            z[p_left + i] = math.exp(-1 / p[14, i])
            z[p_rise + i] = 0.5 * (1 + z[p_left + i]) - p[14, i] * (1 - z[p_left + i])
            z[scale + i] = p[9, i] / (0.5 * p[8, i])
        for second in range(len(sp)):
            flow = air_share[second]; target = sp[second]; root_flow = np.sqrt(flow)
            for i in range(width):
                z[now + i] = z[tip + i] + z[17 * width + i]
                error = target - z[tip + i] - z[17 * width + i]
                change = z[21 * width + i] * (error - z[seen + i]); z[seen + i] += change
                wish = z[18 * width + i] * error + z[20 * width + i] * change + z[integral + i] + z[22 * width + i] * flow * (target - z[0 * width + i])
                effort = min(max(wish, zero), min(one, z[5 * width + i] * flow))
                z[integral + i] += zero if (wish - effort) * error > zero else z[19 * width + i] * error
                asked = effort * z[2 * width + i]; over = z[power + i] - asked
                inlet = z[0 * width + i] + z[3 * width + i] / flow * (asked + over * z[mean_left + i])
                rise_in = z[3 * width + i] / flow * (over * z[left + i] - over)
                z[power + i] = asked + over * z[left + i]
                t1 = z[n1 + i] + z[v1 + i]; t2 = z[n2 + i] + z[v2 + i]; t3 = z[n3 + i] + z[v3 + i]; t4 = z[n4 + i] + z[v4 + i]
                x = min(max((half * (inlet + t4) - film_mid) * film_half, -one), one)
                k = c0 + x * (c1 + x * (c2 + x * (c3 + x * c4)))
                g = g0 + x * (g1 + x * (g2 + x * (g3 + x * (g4 + x * g5))))
                units = (z[6 * width + i] * k + z[7 * width + i] * root_flow * g) / (z[1 * width + i] * flow)
                taken = z[1 * width + i] * flow / z[8 * width + i] * (one - decay(units)); at_probe = decay(units * z[16 * width + i])
                x = min(max((w1 * t1 + w2 * t2 + w3 * t3 + w4 * t4 - bean_mid) * bean_half, -one), one)
                fa = a0 + x * (a1 + x * (a2 + x * (a3 + x * (a4 + x * (a5 + x * (a6 + x * a7))))))
                fb = b0 + x * (b1 + x * (b2 + x * (b3 + x * (b4 + x * (b5 + x * (b6 + x * b7))))))
                fl = l0 + x * (l1 + x * (l2 + x * (l3 + x * (l4 + x * (l5 + x * (l6 + x * l7))))))
                fa *= fa; fa *= fa; fa *= fa; fb *= fb; fb *= fb; fb *= fb; fl *= fl; fl *= fl; fl *= fl
                ym = z[y + i] - half * z[ry + i]
                z[ry + i] = z[11 * width + i] * k_dry * fa * ym * ym
                z[rh + i] = z[12 * width + i] * k_exo * fb * (one - z[h + i] - half * z[rh + i])
                z[rd + i] = z[13 * width + i] * k_loss * fl * (one - z[d + i] - half * z[rd + i])
                ym = z[y + i] - half * z[ry + i]; solids = one - quarter * (z[d + i] + half * z[rd + i])
                z[y + i] -= z[ry + i]; z[h + i] += z[rh + i]; z[d + i] += z[rd + i]
                heat = z[scale + i] * (solids * heat0 + water * ym); hr = z[scale + i] * rise * solids
                source = half * z[scale + i] * (released * z[rh + i] - latent * z[ry + i])
                m1 = w1 * (heat + hr * t1) + s11; m2 = w2 * (heat + hr * t2) + s22
                m3 = w3 * (heat + hr * t3) + s33; m4 = w4 * (heat + hr * t4) + s44 + taken
                u1 = z[n4 + i] - z[n1 + i]; u2 = z[n4 + i] - z[n2 + i]; u3 = z[n4 + i] - z[n3 + i]
                q1 = w1 * source + s11 * u1 + s12 * u2 + s13 * u3; q2 = w2 * source + s12 * u1 + s22 * u2 + s23 * u3
                q3 = w3 * source + s13 * u1 + s23 * u2 + s33 * u3
                q4 = w4 * source + s14 * u1 + s24 * u2 + s34 * u3 + taken * (inlet - z[n4 + i])
                up = m1 * m2 - s12 * s12
                x13 = m2 * s13 - s12 * s23; x23 = m1 * s23 - s12 * s13; x14 = m2 * s14 - s12 * s24; x24 = m1 * s24 - s12 * s14
                b33 = up * m3 - (x13 * s13 + x23 * s23); b34 = up * s34 - (x14 * s13 + x24 * s23)
                b44 = up * m4 - (x14 * s14 + x24 * s24)
                y3 = up * q3 - (x13 * q1 + x23 * q2); y4 = up * q4 - (x14 * q1 + x24 * q2)
                low = b33 * b44 - b34 * b34; quotient = one / (up * low)
                d3 = (b44 * y3 - b34 * y4) * quotient * up; d4 = (b33 * y4 - b34 * y3) * quotient * up
                z1 = q1 - s13 * d3 - s14 * d4; z2 = q2 - s23 * d3 - s24 * d4
                d1 = (m2 * z1 - s12 * z2) * quotient * low; d2 = (m1 * z2 - s12 * z1) * quotient * low
                z[v1 + i] = d1; z[v2 + i] = d2; z[v3 + i] = d3; z[v4 + i] = d4
                surface = z[n4 + i] + d4
                z[n1 + i] += two * d1; z[n2 + i] += two * d2; z[n3 + i] += two * d3; z[n4 + i] += two * d4
                mix = (one - z[15 * width + i]) * at_probe; felt = surface + mix * (inlet - surface)
                z[tip + i] = felt + (z[tip + i] - felt) * z[p_left + i] + z[p_rise + i] * (two * d4 + mix * (rise_in - two * d4))
            for i in range(width):
                out[second, i] = z[now + i]

    def batch(rows, sp, air_share):
        out = np.empty((len(rows), len(sp)))
        block = np.empty((len(sp), width), number)
        sp, air_share = sp.astype(number), air_share.astype(number)
        for start in range(0, len(rows), width):
            run(np.ascontiguousarray(rows[start:start + width].T).astype(number), sp, air_share, block)
            out[start:start + width] = block.T
        return out

    return batch


@numba.njit(fastmath=True)
def rates(state, p, effort, flow, share, across, out):
    """Right sides of the equations; state = four nodes, water, released J/kg, lost, heater W, tip."""
    inlet = p[0] + p[3] / flow * state[7]
    film = 0.5 * (inlet + state[3]) + ZERO
    k = 2.64638e-3 * film * math.sqrt(film) / (film + 245.4 * 10 ** (-12 / film))
    mu = 1.458e-6 * film * math.sqrt(film) / (film + 110.4)
    air = p[1] * flow
    units = (p[6] * k + p[7] * math.sqrt(flow / mu) * k * (mu * CP / k) ** (1 / 3)) / air
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


@numba.njit(fastmath=True)
def fine(p, sp, air_share, share, across, steps, readings, efforts, follow):
    """RK4 in `steps` a second: in closed loop, or (`follow`) along `efforts` as lines between the seconds."""
    x = np.zeros(9); x[:4] = p[0]; x[4] = p[10]; x[8] = p[0]
    integral, seen, h = 0.0, sp[0] - p[0] - p[17], 1.0 / steps
    k1, k2, k3, k4 = np.zeros(9), np.zeros(9), np.zeros(9), np.zeros(9)
    for second in range(len(sp)):
        readings[second] = x[8] + p[17]
        flow = air_share[second]
        if not follow:
            error = sp[second] - readings[second]; change = p[21] * (error - seen); seen += change
            wish = p[18] * error + p[20] * change + integral + p[22] * flow * (sp[second] - p[0])
            efforts[second] = min(max(wish, 0.0), min(1.0, p[5] * flow))
            if (wish - efforts[second]) * error <= 0:
                integral += p[19] * error
        if second == len(sp) - 1:
            break
        e0 = efforts[second]; slope = efforts[second + 1] - e0 if follow else 0.0
        for j in range(steps):
            t = j * h
            rates(x, p, e0 + slope * t, flow, share, across, k1)
            rates(x + 0.5 * h * k1, p, e0 + slope * (t + 0.5 * h), flow, share, across, k2)
            rates(x + 0.5 * h * k2, p, e0 + slope * (t + 0.5 * h), flow, share, across, k3)
            rates(x + h * k3, p, e0 + slope * (t + h), flow, share, across, k4)
            x += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4)


def start(p):
    return np.array([p[0]] * 4 + [p[10], 0.0, 0.0, 0.0, p[0]])


SCALES = np.array([1, 1, 1, 1, 1e-3, 1e3, 1e-3, 10, 1])


def smooth_lsoda(p, air_share, efforts, rtol):
    grid, seconds = np.zeros(9), np.arange(len(efforts), dtype=float)
    def f(t, y):
        i = min(int(t), len(efforts) - 2)
        rates(y, p, efforts[i] + (t - i) * (efforts[i + 1] - efforts[i]), air_share[i], SHARE, ACROSS, grid)
        return grid
    return solve_ivp(f, (0, seconds[-1]), start(p), "LSODA", seconds, rtol=rtol, atol=rtol * SCALES).y[8] + p[17]


def smooth_cvode(p, air_share, efforts, rtol):
    seconds = np.arange(len(efforts), dtype=float)
    def f(t, y, yp):
        i = min(int(t), len(efforts) - 2)
        rates(y, p, efforts[i] + (t - i) * (efforts[i + 1] - efforts[i]), air_share[i], SHARE, ACROSS, yp)
    return CVODE(f, rtol=rtol, atol=rtol * SCALES, method="BDF").solve(seconds, start(p)).y[:, 8] + p[17]


def real_lsoda(p, sp, air_share, rtol):
    grid, x, integral, seen, readings = np.zeros(9), start(p), 0.0, sp[0] - p[0] - p[17], np.empty(len(sp))
    for second in range(len(sp)):
        readings[second] = x[8] + p[17]
        flow, error = air_share[second], sp[second] - readings[second]
        change = p[21] * (error - seen); seen += change
        wish = p[18] * error + p[20] * change + integral + p[22] * flow * (sp[second] - p[0])
        effort = min(max(wish, 0.0), min(1.0, p[5] * flow))
        if (wish - effort) * error <= 0:
            integral += p[19] * error
        if second < len(sp) - 1:
            def f(t, y):
                rates(y, p, effort, flow, SHARE, ACROSS, grid)
                return grid
            x = solve_ivp(f, (0, 1), x, "LSODA", rtol=rtol, atol=rtol * SCALES).y[:, -1]
    return readings


def main():
    sp, air = curve()
    even = np.full(len(sp), 0.95)
    rows = draw(1024)
    checked = 16
    truth, efforts = np.empty((checked, len(sp))), np.empty((checked, len(sp)))
    smooth, kept = np.empty((checked, len(sp))), np.empty((checked, len(sp)))
    for i in range(checked):
        fine(rows[i], sp, air, SHARE, ACROSS, 32, truth[i], efforts[i], False)
        fine(rows[i], sp, even, SHARE, ACROSS, 32, smooth[i], kept[i], False)
        fine(rows[i], sp, even, SHARE, ACROSS, 32, smooth[i], kept[i], True)
    lanes64, lanes64w, lanes32 = lanes_kernel(16, np.float64), lanes_kernel(32, np.float64), lanes_kernel(32, np.float32)
    each = lambda f, n: (n, lambda: np.array([f(i) for i in range(n)]))
    peers = [
        ("real", "numba, same scheme, 16 lanes f64", (1024, lambda: lanes64(rows, sp, air)), truth),
        ("real", "numba, same scheme, 32 lanes f64", (1024, lambda: lanes64w(rows, sp, air)), truth),
        ("real", "numba, same scheme, 32 lanes f32", (1024, lambda: lanes32(rows, sp, air)), truth),
        ("real", "SciPy LSODA rtol 1e-5, restarted each second, numba right side", each(lambda i: real_lsoda(rows[i], sp, air, 1e-5), 2), truth),
        ("smooth", "SciPy LSODA rtol 1e-5, numba right side", each(lambda i: smooth_lsoda(rows[i], even, kept[i], 1e-5), 8), smooth),
        ("smooth", "CVODE BDF rtol 1e-5 (scikit-sundae), numba right side", each(lambda i: smooth_cvode(rows[i], even, kept[i], 1e-5), 8), smooth),
        ("smooth", "CVODE BDF rtol 1e-4 (scikit-sundae), numba right side", each(lambda i: smooth_cvode(rows[i], even, kept[i], 1e-4), 8), smooth),
    ]
    errors = [np.abs(run()[:checked] - want[:min(n, checked)]).max() for _, _, (n, run), want in peers]
    times = [[] for _ in peers]
    ours = {}
    for _ in range(ROUNDS):
        for i, (_, _, (n, run), _) in enumerate(peers):
            begin = time.perf_counter(); run(); times[i].append((time.perf_counter() - begin) / n * 1e6)
        for line in subprocess.run([sys.argv[1], "--bench"], capture_output=True, text=True).stdout.splitlines():
            cells = line.split(" | ")
            if len(cells) == 5 and cells[0] != "kernel":
                ours.setdefault(cells[0], []).append((float(cells[1]), float(cells[4])))
    print(f"µs a roast of 600 s, one core, medians of {ROUNDS} interleaved rounds")
    for name, found in ours.items():
        print(f"{statistics.median(t for t, _ in found):12.2f}  real    error {found[0][1]:.4f} K  chaffinch, {name}")
    best = min(statistics.median(t for t, _ in f) for n, f in ours.items() if n.startswith("Double"))
    best32 = min(statistics.median(t for t, _ in f) for n, f in ours.items() if n.startswith("Single"))
    for (kind, name, _, _), took, error in zip(peers, times, errors):
        median = statistics.median(took)
        print(f"{median:12.2f}  {kind:6}  error {error:.4f} K  {name}; {median / best:.1f} x our f64, {median / best32:.1f} x our f32")


main()
