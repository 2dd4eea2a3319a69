#!/usr/bin/env python3
"""Integrates one body on a ring-shaped canal with a general ODE solver.

An independent port of the model's equations, to compare the settling engine with: the circle is exact
(no table of nodes), the wall pushes back like a stiff spring (no projection), and SciPy's LSODA chooses
its own steps.

    python3 ring_reference.py > ring_reference.csv     # about ten seconds
    python3 ring_reference.py --time                   # seconds per run of 300 s (rtol 1e-8), one number

Units: mm, mg, s, so force nN, pressure mPa; volumes in nL (1e-3 mm^3) while integrating, in pL in the
table. Axes: head axes, x nasal, y left, z up. The ring lies in the plane x = 0 around the origin; angles
along it count from the cupula, the lowest point of the upright head is at 25 degrees.

    v  = f(gap) W/zeta + beta Q t/A        W buoyant weight, zeta = 6 pi mu a
    dP = beta (W + F).t/A                  F what a wall with friction takes: v loses -f F/zeta, at most all
    R V' = -K V - 2 rho S.alpha + dP       Q = V'

f and beta: on the axis Bungay & Brenner 1973 and Haberman & Sayre 1958, on the wall rolling at a gap of
1 % of the radius (0.177, 1.65 a/b), in between as documented in the crate that is tested.
"""

import math
import sys
import time

import scipy
from scipy.integrate import solve_ivp

# Material numbers and geometry.
MU = 1.0  # mPa s
RHO = 1.0  # mg/mm^3
CALCITE = 2.7  # mg/mm^3
G = 9810.0  # mm/s^2
TAU_C = 4.2  # s
ROUGH = 0.01
ROLLING = 0.177
ROLLING_BETA = 1.65
ARC = 3.2  # mm
BORE = 0.16  # mm
DUCT = 1.4 * math.pi * ARC  # mm
LOWEST_UPRIGHT = math.radians(25.0)
AREA = math.pi * BORE * BORE
RESISTANCE = 8.0 * MU * DUCT / (math.pi * BORE**4)  # mPa s/mm^3
CIRCULATION = 2.0 * RHO * math.pi * ARC * ARC  # mg/mm, along -x

# Solver.
METHOD = "LSODA"
RTOL = 1e-10  # at 1e-8 the time at which a body leaves the upper wall wanders: up to 11 um
ATOL = 1e-13
TIMED_RTOL = 1e-8
TIMED_ATOL = 1e-10
MAX_STEP = 0.2  # s
WALL_RATE = 2e4  # 1/s: how fast the wall pushes an overlap out
SAMPLE = 2.0  # s

# Start (yaw, track) and steps (yaw, track, move, hold), degrees and seconds.
START = (0.0, 20.0)
STEPS = [
    (0.0, 20.0, 0.0, 5.0),
    (0.0, 120.0, 3.0, 57.0),
    (20.0, 30.0, 2.5, 57.5),
    (35.0, 150.0, 4.0, 56.0),
    (-30.0, 75.0, 6.0, 54.0),
    (0.0, 130.0, 5.0, 50.0),
]
# Diameter in micrometres, friction.
CASES = [(10.0, 0.0), (20.0, 0.0), (36.0, 0.0), (50.0, 0.0), (80.0, 0.0), (30.0, 0.1)]
TIMED = (20.0, 0.0)


def axis_resistance(lam):
    e = 1.0 - lam
    series = 1.0 - 73.0 / 60.0 * e + 77293.0 / 50400.0 * e * e
    tail = -22.5083 - 5.6117 * lam - 0.3363 * lam**2 - 1.216 * lam**3 + 1.647 * lam**4
    return (2.25 * math.pi**2 * math.sqrt(2.0) * e**-2.5 * series + tail) / (6.0 * math.pi)


def axis_beta(lam):
    return 2.0 * (1.0 - 2.0 / 3.0 * lam**2 - 0.20217 * lam**5) / (1.0 - 0.75857 * lam**5)


def smooth(x):
    x = min(max(x, 0.0), 1.0)
    return x * x * (3.0 - 2.0 * x)


class Case:
    """One body and the head's motion."""

    def __init__(self, diameter_um, friction):
        self.a = diameter_um / 2000.0
        self.friction = friction
        self.rest = self.a * (1.0 + ROUGH)
        self.mass = 4.0 / 3.0 * math.pi * self.a**3 * (CALCITE - RHO)
        self.zeta = 6.0 * math.pi * MU * self.a
        lam = self.a / BORE
        self.on_axis = 1.0 / axis_resistance(lam)
        self.beta_axis = axis_beta(lam)
        self.beta_wall = min(ROLLING_BETA * lam, self.beta_axis)
        self.step = None

    def ratios(self, gap_radii, off_axis):
        """Speed along and across the wall over free speed, and beta."""
        delta = max(gap_radii, ROUGH)
        across = min((6 * delta * delta + 2 * delta) / (6 * delta * delta + 9 * delta + 2), self.on_axis)
        if delta <= ROUGH:
            return min(ROLLING, self.on_axis), across, self.beta_wall
        decades = math.log10(delta / ROUGH) if delta < 1.0 else 2.0
        x = 1.0 / (1.0 + delta)
        free = 1.0 - 9.0 / 16.0 * x + x**3 / 8.0 - 45.0 / 256.0 * x**4 - x**5 / 16.0
        along = min(ROLLING + (free - ROLLING) * smooth(decades), self.on_axis)
        beta_free = max(self.beta_axis - 2.0 * off_axis * off_axis, self.beta_wall)
        return along, across, self.beta_wall + (beta_free - self.beta_wall) * smooth(0.5 * decades)

    def head(self, t):
        """Gravity (3) in head axes, mm/s^2, and angular acceleration about +x, rad/s^2."""
        start_s, (yaw0, track0), (yaw1, track1, move, _) = self.step
        u = 1.0 if move == 0.0 else min(max((t - start_s) / move, 0.0), 1.0)
        share = u**3 * (10.0 - u * (15.0 - 6.0 * u))
        yaw = math.radians(yaw0 + (yaw1 - yaw0) * share)
        track = math.radians(track0 + (track1 - track0) * share)
        accel = 0.0
        if 0.0 < u < 1.0:
            rate = 30.0 * u * u * (1.0 - u) ** 2 / move
            bend = 60.0 * u * (1.0 - u) * (1.0 - 2.0 * u) / move**2
            dyaw, dtrack = math.radians(yaw1 - yaw0), math.radians(track1 - track0)
            accel = dtrack * bend * math.cos(yaw) - dtrack * rate * dyaw * rate * math.sin(yaw)
        st = math.sin(track)
        return (-G * st * math.sin(yaw), -G * st * math.cos(yaw), -G * math.cos(track)), accel

    def rates(self, t, state):
        x, y, z, v_debris, v_turn = state
        (gx, gy, gz), accel = self.head(t)
        # The nearest point of the circle, its tangent away from the cupula, the way out from it.
        far = math.hypot(y, z)
        oy, oz = y / far, z / far
        ty, tz = oz, -oy
        side = far - ARC
        off = math.hypot(side, x)
        ix, iy, iz = (-x / off, -side * oy / off, -side * oz / off) if off > 1e-12 else (1.0, 0.0, 0.0)
        depth = BORE - off
        along, across, beta = self.ratios((depth - self.a) / self.a, off / BORE)
        k = self.mass / self.zeta
        wx, wy, wz = gx * k, gy * k, gz * k
        into = wx * ix + wy * iy + wz * iz
        sx, sy, sz = (wx - into * ix) * along, (wy - into * iy) * along, (wz - into * iz) * along
        gap = depth - self.rest
        weight_mpa = beta / AREA * self.mass * (gy * ty + gz * tz)
        q_turn = CIRCULATION * accel / RESISTANCE - v_turn * 1e-3 / TAU_C
        grip = 0.0
        if self.friction > 0.0 and into < 0.0 and gap <= 2e-3 * self.a:
            grip = -into * along * self.friction
        # What the wall takes of the pressure changes the flow, and the flow what the wall takes: by 1e-3,
        # so that a few rounds are exact.
        taken_mpa = 0.0
        for _ in range(6 if grip > 0.0 else 1):
            q_debris = (weight_mpa - taken_mpa) / RESISTANCE - v_debris * 1e-3 / TAU_C
            carried = beta / AREA * (q_debris + q_turn)
            vx, vy, vz = sx, sy + carried * ty, sz + carried * tz
            out = vx * ix + vy * iy + vz * iz
            vx, vy, vz = vx - out * ix, vy - out * iy, vz - out * iz
            speed = math.sqrt(vx * vx + vy * vy + vz * vz)
            taken = min(grip / speed, 1.0) if speed > 0.0 else 0.0
            taken_mpa = beta / AREA * self.zeta / along * taken * (vy * ty + vz * tz)
        sx, sy, sz = sx - taken * vx, sy - taken * vy, sz - taken * vz
        push = into * across + (WALL_RATE * -gap if gap < 0.0 else 0.0)
        return (
            sx + push * ix,
            sy + push * iy + carried * ty,
            sz + push * iz + carried * tz,
            q_debris * 1e3,
            q_turn * 1e3,
        )

    def run(self, rtol=RTOL, atol=ATOL):
        """Rows (time, x, y, z, debris pL, turn pL)."""
        angle = math.radians(START[1])  # from the lowest point of the upright head
        far = ARC + BORE - self.rest
        state = [0.0, -far * math.sin(angle), -far * math.cos(angle), 0.0, 0.0]
        rows = [(0.0, *state)]
        start_s, came_from = 0.0, START
        for target in STEPS:
            yaw, track, move, hold = target
            self.step = (start_s, came_from, target)
            for length in (move, hold):
                if length == 0.0:
                    continue
                end_s = start_s + length if length is move else start_s + move + hold
                begin_s = start_s if length is move else start_s + move
                first = math.floor(begin_s / SAMPLE + 1e-9) + 1
                wanted = [i * SAMPLE for i in range(first, math.floor(end_s / SAMPLE + 1e-9) + 1)]
                if not wanted or wanted[-1] < end_s:
                    wanted.append(end_s)
                found = solve_ivp(
                    self.rates, (begin_s, end_s), state, METHOD, wanted,
                    rtol=rtol, atol=atol, max_step=MAX_STEP,
                )
                if not found.success:
                    raise RuntimeError(found.message)
                state = [c[-1] for c in found.y]
                for i, t in enumerate(found.t):
                    if abs(t / SAMPLE - round(t / SAMPLE)) < 1e-9:
                        rows.append((t, *(c[i] for c in found.y)))
            start_s += move + hold
            came_from = (yaw, track)
        return [(t, x, y, z, vd * 1e3, vr * 1e3) for t, x, y, z, vd, vr in rows]


def seconds_per_run(repeats=3):
    best = math.inf
    for _ in range(repeats):
        begin = time.perf_counter()
        Case(*TIMED).run(TIMED_RTOL, TIMED_ATOL)
        best = min(best, time.perf_counter() - begin)
    return best


def main():
    if "--time" in sys.argv[1:]:
        print(f"{seconds_per_run():.6f}")
        return
    print(f"# ring_reference.py, scipy {scipy.__version__}, {METHOD}, rtol {RTOL}, atol {ATOL}, "
          f"max_step {MAX_STEP} s, wall {WALL_RATE} /s")
    print(f"# arc {ARC} mm, bore {BORE} mm, duct {DUCT:.9f} mm, mu {MU}, rho {RHO}, calcite {CALCITE}, "
          f"g {G}, tau_c {TAU_C} s")
    print(f"# start yaw, track: {START[0]}, {START[1]}")
    for step in STEPS:
        print("# step yaw, track, move, hold: " + ", ".join(str(v) for v in step))
    print("diameter_um,friction,time_s,x_mm,y_mm,z_mm,debris_pl,turn_pl")
    for diameter_um, friction in CASES:
        for row in Case(diameter_um, friction).run():
            print(f"{diameter_um},{friction}," + ",".join(f"{v:.7g}" for v in row))


if __name__ == "__main__":
    main()
