"""Writes figures_reference.csv: intervals by scipy's binomtest, and the random-intercept logistic model by
Gauss-Hermite quadrature (numpy, 200 nodes) and Nelder-Mead (scipy), which share nothing with the crate's
sum over equal steps and golden sections. Made with scipy 1.17.1; in this folder:
python3 figures_reference.py"""

import csv
import math

import numpy
from scipy import optimize, special, stats

COUNTS = [(81, 263), (15, 148), (0, 20), (1, 29), (3, 41), (7, 63), (20, 20), (2, 1000), (500, 1000)]
HOMES = {
    "unlike": [(1, 40), (9, 35), (2, 52), (12, 48), (0, 30), (6, 44)],
    "alike": [(3, 40), (3, 38), (4, 45), (3, 41)],
    "large": [(30, 300), (75, 310), (12, 280), (51, 305), (44, 299)],
    "small": [(0, 6), (2, 7), (0, 5), (3, 8), (1, 9), (0, 4), (4, 6)],
}


NODES, WEIGHTS = numpy.polynomial.hermite_e.hermegauss(200)
LOG_WEIGHTS = numpy.log(WEIGHTS) - 0.5 * math.log(2 * math.pi)


def home(k, n, b, s):
    """Log-likelihood of one home with its binomial factor."""
    eta = b + s * NODES
    log_terms = k * eta - n * numpy.logaddexp(0, eta) + LOG_WEIGHTS
    return special.logsumexp(log_terms) + math.log(math.comb(n, k))


def fit(homes):
    def lost(x):
        return -sum(home(k, n, x[0], abs(x[1])) for k, n in homes)

    k = sum(h[0] for h in homes)
    n = sum(h[1] for h in homes)
    start = math.log(k / (n - k))
    best = None
    for s in (0.05, 0.8):
        found = optimize.minimize(lost, [start, s], method="Nelder-Mead",
                                  options={"xatol": 1e-8, "fatol": 1e-12, "maxiter": 4000})
        if best is None or found.fun < best.fun:
            best = found
    b, s = best.x[0], abs(best.x[1])
    # The edge without spread is a model too.
    if -sum(home(k, n, start, 0.0) for k, n in homes) <= best.fun + 1e-9:
        b, s = start, 0.0
    top = -sum(home(k, n, b, s) for k, n in homes)
    over = float(numpy.sum(WEIGHTS / math.sqrt(2 * math.pi) / (1 + numpy.exp(-(b + s * NODES)))))
    return b, s, -top, over


with open("figures_reference.csv", "w", newline="") as file:
    rows = csv.writer(file, lineterminator="\n")
    rows.writerow(["what", "a", "b", "c", "d", "e", "f"])
    for k, n in COUNTS:
        test = stats.binomtest(k, n)
        w = test.proportion_ci(method="wilson")
        e = test.proportion_ci(method="exact")
        rows.writerow(["interval", k, n, f"{w.low:.10f}", f"{w.high:.10f}", f"{e.low:.10f}", f"{e.high:.10f}"])
    for name, homes in HOMES.items():
        b, s, top, over = fit(homes)
        rows.writerow(["homes", name, " ".join(f"{k}/{n}" for k, n in homes), f"{b:.7f}", f"{s:.7f}", f"{top:.8f}", f"{over:.8f}"])
