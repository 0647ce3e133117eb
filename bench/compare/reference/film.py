"""Reynolds equation of a full journal bearing by finite differences.

Sparse direct solve; P >= 0 by an active set (free boundary of Swift and
Stieber), P = 0 at the widest gap and at the end, half the length."""
import json
import sys
import time

import numpy as np
import scipy
from scipy.sparse import csr_matrix
from scipy.sparse.linalg import spsolve

given = json.load(sys.stdin)
eps, ratio, nt, nz = given["eccentricity"], given["ratio"], given["around"], given["along"]


def solve():
    dt, dz = 2 * np.pi / nt, 1.0 / nz
    half = (np.arange(nt) + 0.5) * dt
    h3 = (1 + eps * np.cos(half)) ** 3
    theta = np.arange(nt + 1) * dt
    here = (1 + eps * np.cos(theta)) ** 3 / ratio**2
    inner = (nt - 1) * nz  # i = 1..nt-1, j = 0..nz-1, j = 0 is the middle
    number = lambda i, j: (i - 1) * nz + j
    rows, cols, vals = [], [], []
    right = np.zeros(inner)

    def put(a, b, v):
        rows.append(a), cols.append(b), vals.append(v)

    for i in range(1, nt):
        west, east, side = h3[i - 1] / dt**2, h3[i] / dt**2, here[i] / dz**2
        for j in range(nz):
            n = number(i, j)
            put(n, n, west + east + 2 * side)
            if i > 1:
                put(n, number(i - 1, j), -west)
            if i < nt - 1:
                put(n, number(i + 1, j), -east)
            if j == 0:
                put(n, number(i, 1), -2 * side)
            else:
                put(n, number(i, j - 1), -side)
                if j < nz - 1:
                    put(n, number(i, j + 1), -side)
            right[n] = eps * np.sin(theta[i])
    matrix = csr_matrix((vals, (rows, cols)), shape=(inner, inner))
    free = np.ones(inner, bool)
    for _ in range(100):
        index = np.flatnonzero(free)
        pressure = np.zeros(inner)
        pressure[index] = spsolve(matrix[index][:, index].tocsc(), right[index])
        rest = matrix @ pressure - right
        now = np.where(free, pressure > 0, rest < 0)
        if np.array_equal(now, free):
            break
        free = now
    field = np.zeros((nt + 1, nz + 1))
    field[1:nt, :nz] = pressure.reshape(nt - 1, nz)
    along = np.trapz(field, dx=dz, axis=1)
    x = np.trapz(-along * np.cos(theta), dx=dt)
    y = np.trapz(along * np.sin(theta), dx=dt)
    load = np.hypot(x, y)
    friction = (3 * eps * y + 2 * np.pi / np.sqrt(1 - eps**2)) / (6 * load)
    return 1 / (6 * np.pi * load), float(np.arctan2(y, x)), friction


best = float("inf")
for repeat in range(given["repeats"]):
    start = time.perf_counter()
    s, attitude, friction = solve()
    best = min(best, time.perf_counter() - start)
json.dump({"Version": "scipy " + scipy.__version__, "Seconds": best, "Sommerfeld": s, "Attitude": attitude, "Friction": friction}, sys.stdout)
