"""Writes tests/reference/15_roast/*.csv: whole roasts by SciPy's LSODA, restarted each second with the controller in between.

Written from the equations of the design notes, not from the Rust code; SI units, temperatures in degC. Run from the
workspace root, with numpy and scipy: python tests/peers/roast_lsoda.py, or with --check to see whether the files still are what it
computes.
"""
import csv
import pathlib
import sys

import numpy as np
import scipy
from scipy.integrate import solve_ivp

N = 8
OUT = pathlib.Path("tests/reference/15_roast")
LINES = [(0, 20), (30, 70), (60, 100), (120, 132), (180, 154), (240, 171), (330, 189), (420, 202), (480, 208.5), (540, 214)]
KELVIN = 273.15

# name: dose kg, moisture wb, bean density, bean diameter m, mains V, room degC, humidity, altitude m, contact, exotherm,
# feed-forward, fan exponent, fan setting at start and at drop, probe offset K, inlet ceiling degC
CASES = {
    "soft": (0.2, 0.108, 1130, 6.4e-3, 230, 20, 0.0, 100, 1.0, 1.0, False, 1.0, 1.0, 1.0, 0.0, 330),
    "washed": (0.2, 0.112, 1200, 6.3e-3, 230, 20, 0.5, 100, 1.0, 1.0, False, 1.0, 1.0, 1.0, 0.0, 330),
    "hard_low_mains": (0.2, 0.115, 1280, 6.0e-3, 207, 20, 0.5, 100, 1.0, 1.0, False, 1.0, 1.0, 1.0, 0.0, 330),
    "ahead_high": (0.15, 0.112, 1200, 6.3e-3, 240, 28, 0.8, 1500, 1.6, 0.5, True, 1.4, 1.0, 0.85, 1.5, 225),
}
COLUMNS = ["probe_c", "surface_c", "core_c", "mean_c", "heater_w", "effort", "inlet_c", "outlet_c", "wall_c",
           "moisture_wb", "weight_loss", "dry_loss"]


def case(dose, wb, rho_b, d, volts, room, humidity, altitude, phi, k_e, ahead, fan_power, fan_from, fan_to, offset, t_in_max):
    sp = np.interp(np.arange(541), *zip(*LINES))
    fan = np.linspace(fan_from, fan_to, 541) ** fan_power
    pressure = 101325 * (1 - 0.0065 * altitude / 288.15) ** (9.80665 / (287.05287 * 0.0065))
    vapour = humidity * 610.94 * np.exp(17.625 * room / (243.04 + room))
    rho = (pressure - (1 - 0.621945) * vapour) / (287.05287 * (room + KELVIN))
    cp, area, eta, tau_h = 1017.0, 2.9e-3, 0.95, 4.0
    p_ceil = 1600 * (volts / 230) ** 2
    y0 = wb / (1 - wb)
    m_dm = dose * (1 - wb)
    n_b = dose / (rho_b * np.pi * d**3 / 6)
    a_b, radius, k_b = n_b * np.pi * d**2, d / 2, 0.15
    r = np.linspace(0, radius, N + 1)
    cubes = r[1:] ** 3 - r[:-1] ** 3
    m = m_dm * cubes / radius**3
    rb2 = np.append(0.6 * (r[1:] ** 5 - r[:-1] ** 5) / cubes, radius**2)
    kk = 8 * np.pi * n_b * k_b * r[1:] ** 3 / np.diff(rb2)
    c_w, ua_w, ua_a, tau_p, w, z_p = 300.0, 1.0, 0.4, 4.0, 0.7, 0.5
    k_p, t_i, t_d, t_f = 0.03, 45.0, 4.0, 2.0

    def air(g, t_in, t_n):
        tk = (t_in + t_n) / 2 + KELVIN
        mu = 1.458e-6 * tk**1.5 / (tk + 110.4)
        k = 2.64638e-3 * tk**1.5 / (tk + 245.4 * 10 ** (-12 / tk))
        nu = 2 + 0.6 * np.sqrt(g / area * d / mu) * (mu * cp / k) ** (1 / 3)
        ntu = phi * nu * k / d * a_b / (g * cp)
        taken = (1 - np.exp(-ntu)) * g * cp
        t_s = (taken * t_in + kk[-1] * t_n) / (taken + kk[-1])
        tip = w * t_s + (1 - w) * (t_s + (t_in - t_s) * np.exp(-z_p * ntu))
        return t_s, t_in - taken * (t_in - t_s) / (g * cp), tip, taken * (t_in - t_s)

    def rhs(_, s, u, g):
        t, y, h, dl, t_w, p_h, t_p = s[:N], s[N], s[N + 1], s[N + 2], s[N + 3], s[N + 4], s[N + 5]
        t_in = room + eta * p_h / (g * cp)
        _, t_out, tip, q = air(g, t_in, t[-1])
        tm = (m @ t) / m_dm + KELVIN
        dy = -4.32e9 * y * y / (d * 1e3) ** 2 * np.exp(-9889 / tm)
        dh = k_e * 116.2e6 * np.exp(-5500 / tm) * (232e3 - h) / 232e3
        dd = 4e-4 * np.exp(-130000 / 8.314462618 * (1 / tm - 1 / 480.15)) * (1 - dl / 0.25)
        flow = np.append(kk[:-1] * np.diff(t), q)
        c = (1 - dl) * (1099 + 7.0 * t) + 5000 * y
        dt = (flow - np.append(0, flow[:-1]) + m * (2.79e6 * dy + dh)) / (m * c)
        dw = (ua_w * (t_out - t_w) - ua_a * (t_w - room)) / c_w
        return np.concatenate([dt, [dy, dh, dd, dw, (u * p_ceil - p_h) / tau_h, (tip - t_p) / tau_p]])

    state = np.concatenate([np.full(N, float(room)), [y0, 0, 0, room, 0, room]])
    integral, filtered = 0.0, sp[0] - (room + offset)
    rows = []
    for second in range(541):
        g = rho * 5.3e-3 * fan[second]
        error = sp[second] - (state[N + 5] + offset)
        change = (1 - np.exp(-1 / t_f)) * (error - filtered)
        filtered += change
        known = g * cp * (sp[second] - room) / (eta * p_ceil) if ahead else 0.0
        v = k_p * (error + t_d * change) + integral + known
        limit = min(1.0, g * cp * (t_in_max - room) / (eta * p_ceil))
        if not ((v > limit and error > 0) or (v < 0 and error < 0)):
            integral += k_p / t_i * error
        u = min(max(v, 0.0), limit)
        t, y, dl = state[:N], state[N], state[N + 2]
        t_in = room + eta * state[N + 4] / (g * cp)
        t_s, t_out, _, _ = air(g, t_in, t[-1])
        core = t[0] - (t[1] - t[0]) * rb2[0] / (rb2[1] - rb2[0])
        rows.append([state[N + 5] + offset, t_s, core, (m @ t) / m_dm, state[N + 4], u, t_in, t_out, state[N + 3],
                     y / (1 - dl + y), 1 - (1 - dl + y) / (1 + y0), dl])
        if second < 540:
            # tolerances: 1e-9 of each state, and far below what the test allows
            result = solve_ivp(rhs, (0, 1), state, "LSODA", args=(u, g), rtol=1e-9, atol=1e-9)
            assert result.success, result.message
            state = result.y[:, -1]
    return rows


def columns(numbers):
    # Every third second: at most 300 rows a file.
    return [[s, *(f"{x:.9g}" for x in row)] for s, row in enumerate(case(*numbers)) if s % 3 == 0]


def write():
    for name, numbers in CASES.items():
        with open(OUT / f"{name}.csv", "w", newline="") as file:
            writer = csv.writer(file, lineterminator="\n")
            writer.writerow(["time_s", *COLUMNS])
            writer.writerows(columns(numbers))
    (OUT / "versions.txt").write_text(f"python {sys.version.split()[0]}\nnumpy {np.__version__}\nscipy {scipy.__version__}\n")


def check():
    """Compares with what is there: another processor's rounding may move a value by ten times the solver's tolerance, no more."""
    for name, numbers in CASES.items():
        with open(OUT / f"{name}.csv", newline="") as file:
            head, *kept = csv.reader(file)
        kept, again = (np.array(rows, float) for rows in (kept, columns(numbers)))
        off = np.abs(again - kept) / np.maximum(1, np.abs(kept))
        print(f"{name}: {off.max():.1e} at most, in {head[np.unravel_index(off.argmax(), off.shape)[1]]}")
        if off.max() > 1e-6:
            sys.exit(f"{name}.csv is not what this script computes")


check() if sys.argv[1:] == ["--check"] else write()
