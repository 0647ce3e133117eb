"""Flow of a crescent internal gear pump, written plainly with numpy and scipy.

Gap law: dp = f(Re)(L/h) rho W w + K rho w^2/2, W = sqrt(w^2 + (U/2)^2),
Re = 2hW rho/mu, f = max(24/Re, 0.0868 Re^-1/4); barriers in series share dp.
"""
import json
import sys
import time

import numpy as np
import scipy
from scipy.optimize import brentq, least_squares

given = json.load(sys.stdin)
p = given["pump"]
ENTRY_EXIT = 1.5


def mean_speed(gap, dp, rho, mu):
    h, length, _, wall, _ = gap
    if dp == 0 or h <= 0:
        return 0.0
    if dp < 0:
        return -mean_speed(gap, -dp, rho, mu)

    def excess(w):
        both = np.hypot(w, wall / 2)
        if both == 0:
            return -dp
        re = 2 * h * both * rho / mu
        f = max(24 / re, 0.0868 * re**-0.25)
        return f * length / h * rho * both * w + ENTRY_EXIT * rho * w * w / 2 - dp

    high = min(np.sqrt(2 * dp / (ENTRY_EXIT * rho)), h * h * dp / (12 * mu * length))
    return brentq(excess, 0.0, high * (1 + 1e-12), xtol=1e-15, rtol=1e-13)


def through(gaps, dp, rho, mu):
    """Pressure-driven flow of parallel gaps."""
    return sum(g[2] * g[0] * mean_speed(g, dp, rho, mu) for g in gaps)


def dragged(gaps):
    return sum(g[4] * g[2] * g[0] * g[3] / 2 for g in gaps)


def equal(gaps, barriers, dp, rho, mu):
    return through(gaps, dp / barriers, rho, mu) - dragged(gaps)


def unequal(stations, barriers, dp, rho, mu):
    """Stations in series, each worth the same number of barriers."""
    each = barriers / len(stations)

    def pressure(gaps, flow):
        need = flow + dragged(gaps)
        if need == 0:
            return 0.0
        size = 1e3
        while (through(gaps, np.copysign(size, need), rho, mu) - need) * np.sign(need) < 0:
            size *= 4
        low, high = sorted((0.0, np.copysign(size, need)))
        return brentq(lambda x: through(gaps, x, rho, mu) - need, low, high, xtol=1e-7, rtol=1e-13)

    flows = [equal(g, barriers, dp, rho, mu) for g in stations]
    low, high = min(flows), max(flows)
    if high - low < 1e-15:
        return low
    return brentq(lambda q: each * sum(pressure(g, q) for g in stations) - dp, low, high, xtol=1e-16, rtol=1e-12)


class Pump:
    def __init__(self):
        zr, zi, m, alpha = p["zr"], p["zi"], p["m"], p["alpha"]
        self.e = m * (zr - zi) / 2
        self.rr, self.ri = m * zr / 2, m * zi / 2
        self.rar, self.rfr = self.rr - p["ha"] * m, self.rr + p["hf"] * m
        self.rai, self.rfi = self.ri + p["ha"] * m, self.ri - p["hf"] * m
        self.rbr, self.rbi = self.rr * np.cos(alpha), self.ri * np.cos(alpha)
        inv = lambda a: np.tan(a) - a
        at = lambda base, r: np.arccos(min(1.0, base / r))

        def idler_tooth(r):
            r = max(r, self.rbi)
            return 2 * r * ((np.pi * m / 2 - p["backlash"] / 2) / (2 * self.ri) + inv(alpha) - inv(at(self.rbi, r)))

        def rotor_tooth(r):
            r = max(r, self.rbr)
            space = 2 * r * ((np.pi * m / 2 + p["backlash"] / 2) / (2 * self.rr) + inv(alpha) - inv(at(self.rbr, r)))
            return 2 * np.pi * r / zr - space

        self.land_r = rotor_tooth((self.rar + self.rfr) / 2)
        self.land_i = idler_tooth(max((self.rai + self.rfi) / 2, self.rbi))
        self.tip_r, self.tip_i = rotor_tooth(self.rar), idler_tooth(self.rai)
        pb = np.pi * m * np.cos(alpha)
        s_i = np.sqrt(self.rai**2 - self.rbi**2) - self.ri * np.sin(alpha)
        s_r = np.sqrt(self.rar**2 - self.rbr**2) - self.rr * np.sin(alpha)
        self.contact = (s_i - s_r) / pb
        self.displacement = np.pi * p["b"] * (
            self.rr**2 - self.rar**2 + zr / zi * (self.rai**2 - self.ri**2) - (zr / zi - 1) * pb**2 / 12)
        self.crescent = self.rar - self.rai + self.e

    def slip(self, n, dp, rho, mu):
        """Net leak in m3/s at n rev/s."""
        w = 2 * np.pi * n
        wi = w * p["zr"] / p["zi"]
        b, ro, se, fi, scr = p["b"], p["ro"], p["se"], p["fi"], p["scr"]
        head, floor = p["sigma"] * fi, (1 - p["sigma"]) * fi
        mesh = [
            (p["cod"], p["lod"], b, w * ro, -1),
            (se, self.land_r, ro - self.rr, w * (self.rar + ro) / 2, 0),
            (head, self.land_i, self.ri - self.rfi, wi * self.ri, 0),
            (floor, self.land_i, self.ri - self.rfi, 0, 0),
        ]
        total = equal(mesh, self.contact, dp, rho, mu)
        stations = []
        for k in range(5):
            theta = np.pi / 2 + p["phir"] * ((k + 0.5) / 5 - 0.5)
            stations.append([
                (p["cod"] * (1 + p["eps"] * np.cos(theta)), p["lod"], b, w * ro, 1),
                (se, self.land_r, ro - self.rar, w * (self.rar + ro) / 2, 0),
                (p["cco"], self.tip_r, b, w * self.rar, 1),
            ])
        total += unequal(stations, max(1, p["phir"] * p["zr"] / (2 * np.pi)), dp, rho, mu)
        total += equal([
            (p["cci"], self.tip_i, b, wi * self.rai, 1),
            (head, self.land_i, self.rai - self.rfi, wi * self.ri, 0),
            (floor, self.land_i, self.rai - self.rfi, (wi - w) * self.ri, 0),
        ], max(1, p["phii"] * p["zi"] / (2 * np.pi)), dp, rho, mu)
        length = np.pi / 4 * (self.rfi + p["rpin"])
        total += equal([
            (head, length, length * self.shape(head), wi * (self.rfi + p["rpin"]) / 2, 0),
            (floor, length, length * self.shape(floor), (wi - w) * self.ri, 0),
        ], 1, dp, rho, mu)
        middle = (self.rar + self.rai - self.e) / 2
        total += equal([(scr, p["phir"] * middle, 0.8 * self.crescent, w * middle, 0)], 1, dp, rho, mu)
        return total + self.back(w, dp, rho, mu)

    def shape(self, h):
        k = np.arange(1, 400)
        x = np.log(self.rfi / p["rpin"])
        ramp, wide = np.pi / p["zi"], 1.0
        edge = 2 / (np.pi * k**2) * (np.sin(k * ramp) / (2 * ramp) + np.sin(k * (np.pi - wide)) / (2 * wide))
        bore = k * p["b"] / 2 * p["cpin"]**3 * (1 + 1.5 * 0.25) / (h**3 * p["rpin"])
        t = np.tanh(k * x)
        return float(np.sum(edge * (1 - np.cos(k * np.pi)) * (t + bore) / (1 + bore * t)))

    def back(self, w, dp, rho, mu):
        if dp == 0:
            return 0.0
        nodes, weights = np.polynomial.legendre.leggauss(8)
        breadth = 0.9 * np.pi * p["ro"]
        ring = lambda sign: [
            (p["cod"] * (1 + sign * p["eps"] * np.cos(np.pi / 2 * x)), p["bd"], breadth * g / 2, w * p["ro"], 0)
            for x, g in zip(nodes, weights)]
        wide, narrow = ring(1), ring(-1)
        chamber = brentq(lambda x: through(narrow, x, rho, mu) - through(wide, dp - x, rho, mu), 0, dp, xtol=1e-6, rtol=1e-13)
        return through(narrow, chamber, rho, mu)


best = float("inf")
for repeat in range(given["repeats"]):
    start = time.perf_counter()
    pump = Pump()
    if "bench" in given:
        rows = given["bench"]
        leak = np.array([pump.slip(r["n"], r["dp"], given["rho"], given["mu"]) for r in rows])
        none = np.array([pump.slip(r["n"], 0.0, given["rho"], given["mu"]) for r in rows])
        speed, flow = np.array([r["n"] for r in rows]), np.array([r["q"] for r in rows])

        def off(theta):
            predicted = theta[1] * pump.displacement * speed - (np.exp(theta[0]) * (leak - none) + none)
            return np.append((predicted - flow) / given["u"], [theta[0] / 0.35, (theta[1] - 1) / 0.01])

        found = least_squares(off, [0.0, 1.0], xtol=1e-12, ftol=1e-12, gtol=1e-12)
        spread = np.sqrt(np.diag(np.linalg.inv(found.jac.T @ found.jac)))
        answer = {"Slip": float(np.exp(found.x[0])), "SlipU": float(spread[0]), "Displacement": float(found.x[1]),
                  "DisplacementU": float(spread[1]), "Cost": float(2 * found.cost)}
    else:
        answer = {"Flow": [[float(pump.displacement * n - pump.slip(n, dp, given["rho"], given["mu"]))
                            for dp in given["pressures"]] for n in given["speeds"]]}
    best = min(best, time.perf_counter() - start)
json.dump({"Version": "scipy " + scipy.__version__, "Seconds": best, **answer}, sys.stdout)
