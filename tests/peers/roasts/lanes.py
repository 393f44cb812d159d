"""The scheme of crates/twin/src/batch in Python, compiled by numba: several roasts in the inner loop, for the compiler to put into lanes.

Like the kernel: four radii, neighbours coupled implicitly, one linearly implicit midpoint step a second, the same polynomials for exponentials, one division a step,
what depends on the airflow multiplied out when that changes. `figures` says whether the running figures of a roast (greatest miss and
when, RMS, energy, greatest effort, time at the limit, greatest gap) are kept as the kernel keeps them, or readings alone.
"""
import math

import numba
import numpy as np

from equations import ACROSS, COND, GAS, GROUP, SHARE, ZERO, minimax

TOP_K, HALF_K = 543.15, 140.0
# One root of all three reactions' factors, and what its powers lack to the second and the third.
factor = lambda e: (lambda x: np.exp(-e * (1 / (TOP_K + HALF_K * (x - 1)) - 1 / TOP_K)))
rest = lambda e, power: (lambda x: factor(e)(x) / np.polyval(BASE[::-1], x) ** power)
BASE = minimax(factor(1100), 7)
DRY, LOSS = minimax(rest(9889, 9), 3), minimax(rest(130000 / GAS, 14), 4)
DECAY = minimax(lambda y: np.exp(-y), 5, 0.0, 1.0)
TO_CENTRE = (1.931283963464966, -1.719258250226236, 1.33484928676127, -0.546875)


def kernel(width, number, figures):
    """Runs rows of numbers, `width` at a time, in `number` precision; gives readings and figures, one row a roast."""
    f = number
    w1, w2, w3, w4 = (f(x) for x in SHARE)
    m1, m2, m3, m4 = (f(x) for x in TO_CENTRE)
    s12, s13, s14 = (f(x) for x in ACROSS[0, 1:])
    s23, s24, s34 = f(ACROSS[1, 2]), f(ACROSS[1, 3]), f(ACROSS[2, 3])
    e0, e1, e2, e3, e4, e5 = (f(x) for x in DECAY)
    b0, b1, b2, b3, b4, b5, b6, b7 = (f(x) for x in BASE)
    a0, a1, a2, a3 = (f(x) for x in DRY)
    l0, l1, l2, l3, l4 = (f(x) for x in LOSS)
    films = np.stack([np.append(COND, 0), GROUP]).astype(f) / f(32)
    zero, one, two, quarter = f(0), f(1), f(2), f(0.25)
    film_twice, film_half, bean_mid, bean_half = f(2 * (450 - ZERO)), f(1 / 400), f(TOP_K - HALF_K - ZERO), f(1 / HALF_K)
    k_dry, k_exo = f(0.5 * math.exp(-9889 / TOP_K)), f(0.5 * 116.2e6 / 232e3 * math.exp(-5500 / TOP_K))
    k_loss = f(0.5 * 4e-4 / 0.25 * math.exp(130000 / GAS * (1 / 480.15 - 1 / TOP_K)))
    heat0, rise, water, latent, released = f(1099), f(7), f(5000), f(2.79e6), f(232e3)

    @numba.njit(inline="always", fastmath=True)
    def decay(x):
        y = min(x, one)
        p = e0 + y * (e1 + y * (e2 + y * (e3 + y * (e4 + y * e5))))
        p = p * p; p = p * p; p = p * p; p = p * p
        return p * p

    # All numbers of the roasts stand in one list, so that the compiler sees that no two of them overlap and can use vectors.
    # 0 to 22 are the roast's own numbers; then what is multiplied out, the state, and the figures.
    (left, mean_left, p_left, p_rise, dry_heat, dry_rise, water_heat, drying_heat, exo_heat, k_d, k_e, k_l, air_side,
     air, per_w, u0, u1, u2, u3, u4, u5, limit, ahead,
     n1, n2, n3, n4, v1, v2, v3, v4, y, h, d, ry, rh, rd, power, tip, integral, seen, now,
     worst, size, when, squares, energy, peak, limited, widest) = (k * width for k in range(23, 73))

    @numba.njit(fastmath=True, error_model="numpy")
    def run(p, sp, air_share, out, told):
        z = np.zeros(73 * width, number)
        z[:23 * width] = p.ravel()
        for i in range(width):
            for k in range(4):
                z[n1 + k * width + i] = p[0, i]
            z[y + i] = p[10, i]; z[h + i] = one; z[d + i] = one; z[tip + i] = p[0, i]; z[seen + i] = sp[0] - p[0, i] - p[17, i]
            z[left + i] = math.exp(-1 / p[4, i]); z[mean_left + i] = (1 - z[left + i]) * p[4, i]
            z[p_left + i] = math.exp(-1 / p[14, i])
            z[p_rise + i] = 0.5 * (1 + z[p_left + i]) - p[14, i] * (1 - z[p_left + i])
            scale = p[9, i] / (0.5 * p[8, i])
            z[dry_heat + i] = scale * heat0; z[dry_rise + i] = scale * rise; z[water_heat + i] = scale * water
            z[drying_heat + i] = scale * latent; z[exo_heat + i] = scale * released
            z[k_d + i] = p[11, i] * k_dry; z[k_e + i] = p[12, i] * k_exo; z[k_l + i] = p[13, i] * k_loss
            z[air_side + i] = one - p[15, i]
        for second in range(len(sp)):
            target = sp[second]
            if second == 0 or air_share[second] != air_share[second - 1]:
                flow = air_share[second]; root_flow = np.sqrt(flow); per_flow = one / flow
                for i in range(width):
                    z[air + i] = p[1, i] * flow / p[8, i]; z[per_w + i] = p[3, i] * per_flow
                    still = p[6, i] / p[1, i] * per_flow; moving = p[7, i] / p[1, i] * root_flow * per_flow
                    for k in range(6):
                        z[u0 + k * width + i] = films[0, k] * still + films[1, k] * moving
                    z[limit + i] = min(one, p[5, i] * flow); z[ahead + i] = p[22, i] * flow
            time = number(second)
            for i in range(width):
                z[now + i] = z[tip + i] + z[17 * width + i]
                error = target - z[now + i]
                if figures:
                    far = abs(error)
                    worse = far > z[size + i]
                    z[worst + i] = -error if worse else z[worst + i]
                    z[when + i] = time if worse else z[when + i]
                    z[size + i] = max(z[size + i], far); z[squares + i] += error * error
                change = z[21 * width + i] * (error - z[seen + i]); z[seen + i] += change
                wish = z[18 * width + i] * error + z[20 * width + i] * change + z[integral + i] + z[ahead + i] * (target - z[0 * width + i])
                effort = min(max(wish, zero), z[limit + i])
                z[integral + i] += zero if (wish - effort) * error > zero else z[19 * width + i] * error
                asked = effort * z[2 * width + i]; over = z[power + i] - asked
                mean_w = asked + over * z[mean_left + i]; before = z[power + i]
                inlet = z[0 * width + i] + z[per_w + i] * mean_w
                z[power + i] = asked + over * z[left + i]
                rise_in = z[per_w + i] * (z[power + i] - before)
                t1 = z[n1 + i] + z[v1 + i]; t2 = z[n2 + i] + z[v2 + i]; t3 = z[n3 + i] + z[v3 + i]; t4 = z[n4 + i] + z[v4 + i]
                x = min(max((inlet + t4 - film_twice) * film_half, -one), one)
                units = z[u0 + i] + x * (z[u1 + i] + x * (z[u2 + i] + x * (z[u3 + i] + x * (z[u4 + i] + x * z[u5 + i]))))
                taken = z[air + i] - z[air + i] * decay(units); at_probe = decay(units * z[16 * width + i])
                x = min(max((w1 * t1 + w2 * t2 + w3 * t3 + w4 * t4 - bean_mid) * bean_half, -one), one)
                base = b0 + x * (b1 + x * (b2 + x * (b3 + x * (b4 + x * (b5 + x * (b6 + x * b7))))))
                fourth = base * base; fourth *= fourth
                fb = fourth * base; ninth = fb * fourth
                fa = ninth * (a0 + x * (a1 + x * (a2 + x * a3)))
                fl = ninth * fb * (l0 + x * (l1 + x * (l2 + x * (l3 + x * l4))))
                ym = z[y + i] - z[ry + i]
                z[ry + i] = z[k_d + i] * fa * (ym * ym)
                z[rh + i] = z[k_e + i] * fb * (z[h + i] - z[rh + i])
                z[rd + i] = z[k_l + i] * fl * (z[d + i] - z[rd + i])
                ym = z[y + i] - z[ry + i]; dm = z[d + i] - z[rd + i]; solids = one - quarter + quarter * dm
                z[y + i] = ym - z[ry + i]; z[h + i] -= two * z[rh + i]; z[d + i] = dm - z[rd + i]
                heat = solids * z[dry_heat + i] + z[water_heat + i] * ym; hr = z[dry_rise + i] * solids
                source = z[exo_heat + i] * z[rh + i] - z[drying_heat + i] * z[ry + i]
                d11 = w1 * (heat + hr * t1) - s12; d22 = w2 * (heat + hr * t2) - s12 - s23
                d33 = w3 * (heat + hr * t3) - s23 - s34; d44 = w4 * (heat + hr * t4) - s34 + taken
                f12 = s12 * (z[n2 + i] - z[n1 + i]); f23 = s23 * (z[n3 + i] - z[n2 + i]); f34 = s34 * (z[n4 + i] - z[n3 + i])
                f13 = s13 * (t3 - t1); f14 = s14 * (t4 - t1); f24 = s24 * (t4 - t2)
                q1 = w1 * source - (f12 + f13 + f14); q2 = w2 * source + f12 - (f23 + f24)
                q3 = w3 * source + (f23 + f13) - f34; q4 = w4 * source + (f34 + f24 + f14) + taken * (inlet - z[n4 + i])
                mid2 = d11 * d22 - s12 * s12; right2 = d11 * q2 - s12 * q1
                mid3 = d44 * d33 - s34 * s34; right3 = d44 * q3 - s34 * q4
                side2 = d11 * s23; side3 = d44 * s23; ends = d11 * d44
                det = mid2 * mid3 - side2 * side3
                quotient = one / (det * ends); per = quotient * ends; rest = quotient * det
                d2 = (right2 * mid3 - side2 * right3) * per; d3 = (mid2 * right3 - side3 * right2) * per
                d1 = (q1 - s12 * d2) * (rest * d44); d4 = (q4 - s34 * d3) * (rest * d11)
                z[v1 + i] = d1; z[v2 + i] = d2; z[v3 + i] = d3; z[v4 + i] = d4
                surface = z[n4 + i] + d4
                if figures:
                    centre = m1 * (z[n1 + i] + d1) + m2 * (z[n2 + i] + d2) + m3 * (z[n3 + i] + d3) + m4 * surface
                    z[widest + i] = max(z[widest + i], surface - centre)
                    z[energy + i] += mean_w; z[peak + i] = max(z[peak + i], effort)
                    z[limited + i] += zero if effort < z[limit + i] else one
                z[n1 + i] += two * d1; z[n2 + i] += two * d2; z[n3 + i] += two * d3; z[n4 + i] += two * d4
                mix = z[air_side + i] * at_probe; felt = surface + mix * (inlet - surface)
                z[tip + i] = felt + (z[tip + i] - felt) * z[p_left + i] + z[p_rise + i] * (two * d4 + mix * (rise_in - two * d4))
            for i in range(width):
                out[second, i] = z[now + i]
        told[:] = z[worst:].reshape(8, width)

    def batch(rows, sp, air_share):
        out, told = np.empty((len(rows), len(sp)), np.float32), np.empty((len(rows), 8))
        block, told_block = np.empty((len(sp), width), np.float32), np.empty((8, width))
        sp, air_share = sp.astype(number), air_share.astype(number)
        for at in range(0, len(rows), width):
            run(np.ascontiguousarray(rows[at:at + width].T).astype(number), sp, air_share, block, told_block)
            out[at:at + width] = block.T
            told[at:at + width] = told_block.T
        return out, told

    return batch
