"""The same aim windows with NumPy: vectorised bisection with throw, and a Newton form; and compiled by
numba, edge by edge.

Reads a file of aims and edges written by the comparison (see run.sh), solves every edge's
line of centres, and prints windows per second. The model is that of the program: ghost ball,
friction law with its cap, sign conventions; nothing is imported from it.
"""
import math
import sys
import time

import numba
import numpy as np

D, E_B = 0.05715, 0.95
MU_A, MU_B, MU_C = 9.951e-3, 0.108, 1.088
CAP = (2 / 7) / (1 + E_B)


def contact(apart, centres):
    """Aim, cut (sine, cosine) and travel for a line of centres, measured from cue to object ball."""
    x, y = apart - D * np.cos(centres), -D * np.sin(centres)
    travel = np.hypot(x, y)
    gx, gy = x / travel, y / travel
    s, c = np.sin(centres), np.cos(centres)
    return np.arctan2(gy, gx), gx * s - gy * c, gx * c + gy * s, travel


def throw(speed, roll, sin, cos):
    """tan T and its derivative with respect to the cut."""
    v_t, v_n = speed * sin, speed * cos
    v_k = roll * v_n
    v_r = np.hypot(v_t, v_k)
    decaying = MU_B * np.exp(-MU_C * v_r)
    mu = MU_A + decaying
    grips = mu * v_n >= CAP * v_r
    safe = np.where(v_r > 0, v_r, 1.0)
    rub = mu * v_t / safe
    dv_r = (v_t * v_n - v_k * roll * speed * sin) / safe
    d_rub = -MU_C * decaying * dv_r * v_t / safe + mu * (v_n - v_t * dv_r / safe) / safe
    grip, d_grip = CAP * sin / cos, CAP / cos**2
    return np.where(grips, grip, rub), np.where(grips, d_grip, d_rub)


def direction(apart, speed, roll, centres):
    _, sin, cos, travel = contact(apart, centres)
    tan, slope = throw(speed, roll, sin, cos)
    theta = centres - np.arctan(tan)
    d = 1 - slope / (1 + tan**2) * (1 + D * cos / travel)
    return theta, d


def bisect(apart, speed, roll, wanted):
    half = np.arctan(MU_A + MU_B)
    lo, hi = wanted - half, wanted + half
    for _ in range(46):  # to 1e-14 rad
        mid = 0.5 * (lo + hi)
        above = direction(apart, speed, roll, mid)[0] > wanted
        hi = np.where(above, mid, hi)
        lo = np.where(above, lo, mid)
    return 0.5 * (lo + hi)


def newton(apart, speed, roll, wanted):
    centres = wanted.copy()
    for _ in range(12):
        theta, slope = direction(apart, speed, roll, centres)
        step = (theta - wanted) / slope
        centres -= step
        if np.max(np.abs(step)) < 1e-13:
            break
    return centres


@numba.njit
def compiled(apart, speed, roll, wanted):
    aims = np.empty_like(wanted)
    for i in range(wanted.shape[0]):
        for k in range(wanted.shape[1]):
            centres, aim = wanted[i, k], 0.0
            for _ in range(12):
                s, c = math.sin(centres), math.cos(centres)
                x, y = apart[i] - D * c, -D * s
                per = 1.0 / math.sqrt(x * x + y * y)
                gx, gy = x * per, y * per
                sin, cos = gx * s - gy * c, gx * c + gy * s
                v_t, v_n = speed[i] * sin, speed[i] * cos
                v_k = roll[i] * v_n
                v_r = math.sqrt(v_t * v_t + v_k * v_k)
                decaying = MU_B * math.exp(-MU_C * v_r)
                mu = MU_A + decaying
                if mu * v_n >= CAP * v_r:
                    tan, slope = CAP * sin / cos, CAP / (cos * cos)
                else:
                    d_r = (v_t * v_n - v_k * roll[i] * speed[i] * sin) / v_r
                    tan = mu * v_t / v_r
                    slope = -MU_C * decaying * d_r * v_t / v_r + mu * (v_n - v_t * d_r / v_r) / v_r
                aim = math.atan2(gy, gx)
                miss = centres - math.atan(tan) - wanted[i, k]
                step = miss / (1.0 - slope / (1.0 + tan * tan) * (1.0 + D * cos * per))
                centres -= step
                if abs(step) < 1e-12:
                    break
            aims[i, k] = aim
    return aims


def main():
    table = np.loadtxt(sys.argv[1], delimiter=",", skiprows=1)
    apart, speed, roll = table[:, 0], table[:, 1], table[:, 2]
    wanted, truth = table[:, 3:10], table[:, 10:17]
    for name, solve in (("bisection", bisect), ("newton", newton)):
        best = np.inf
        for _ in range(3):
            start = time.perf_counter()
            found = np.column_stack([
                contact(apart, solve(apart, speed, roll, wanted[:, k]))[0] for k in range(7)
            ])
            best = min(best, time.perf_counter() - start)
        worst = np.max(np.abs(found - truth))
        print(f"{name} in NumPy,{len(apart)},{best / len(apart) * 1e6:.3f},{worst:.2e}")
    best = np.inf
    for _ in range(6):  # the first one compiles
        start = time.perf_counter()
        found = compiled(apart, speed, roll, wanted)
        best = min(best, time.perf_counter() - start)
    worst = np.max(np.abs(found - truth))
    print(f"Newton compiled by numba,{len(apart)},{best / len(apart) * 1e6:.3f},{worst:.2e}")


if __name__ == "__main__":
    main()
