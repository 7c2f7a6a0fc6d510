"""The outlook's posterior in numpy and scipy: what it costs there, and its values for tests/science/posterior_scipy.rs.

    python3 benches/posterior_scipy.py tests/data/posterior_scipy.csv     # writes the values
    python3 benches/posterior_scipy.py                                    # measures alone

600 sowings of 6 to 120 seeds, each counted four times: viability Beta(17, 3), log-logistic emergence with median 103 and
spread 0.15, whose logarithms are off by 0.25 and 0.3. The median is summed over an even grid of standard normal scores,
the spread over the three-point Gauss-Hermite rule; each timing weighs as the likelihood of the interval counts. Written
apart from src/science/outlook: it shares the formula (Gelman et al. 2013, section 2.4; Ritz, Pipper & Streibig 2013) and
the least share that an interval with new seedlings is given, no code.
"""

import csv
import sys
import time

import numpy as np
from scipy.special import betaln, expit, gammaln, logsumexp

A, B, MEDIAN, SPREAD, MEDIAN_DOUBT, SPREAD_DOUBT = 17.0, 3.0, 103.0, 0.15, 0.25, 0.3
LATE_NOTE = 1e-3


def sowings():
    for i in range(600):
        sown = [6, 12, 24, 40, 72, 72, 84, 120][i % 8]
        vigour = [0.0, 0.3, 0.6, 0.8, 0.9, 1.0][i % 6]
        pace = 7.0 + (i * 7 % 11) / 4.0
        # Without a shoot it is decided upon at some one and a half medians.
        days = [10, 14, 20, 40] if vigour > 0.0 else [6, 9, 12, 16]
        up = [0] + [int(sown * vigour * part) for part in (0.3, 0.8, 1.0)]
        yield sown, [day * pace for day in days], up


def posterior(sown, times, up, points):
    """The chance of one more, the expected final number, and its 10 % and 90 % quantiles."""
    scores = np.linspace(-8.0, 8.0, points)
    nodes = np.array([-np.sqrt(3.0), 0.0, np.sqrt(3.0)])
    of_node = np.array([1.0, 4.0, 1.0]) / 6.0
    centre = np.log(MEDIAN) + MEDIAN_DOUBT * scores[:, None]
    scale = SPREAD * np.exp(SPREAD_DOUBT * nodes)[None, :]
    k, m = up[-1], sown - up[-1]
    share = np.array([expit((np.log(t) - centre) / scale) for t in times])
    left = expit((centre - np.log(times[-1])) / scale)
    log = -0.5 * scores[:, None] ** 2 + np.log(of_node)[None, :]
    fewer, before = 0, np.zeros_like(left)
    for now, by in zip(up, share):
        if now > fewer:
            log = log + (now - fewer) * np.log(np.maximum(by - before, LATE_NOTE * share[-1]))
        fewer, before = now, by
    v = np.arange(m + 1)
    alive = gammaln(m + 1) - gammaln(v + 1) - gammaln(m - v + 1) + betaln(A + k + v, B + m - v)
    each = alive + v * np.log(left)[:, :, None]
    log = log[:, :, None] + each
    further = np.exp(logsumexp(log, axis=(0, 1)) - logsumexp(log))
    sums = np.cumsum(further)
    quantile = lambda level: k + int(np.searchsorted(sums, level - 1e-12))
    return 1.0 - further[0], k + float(v @ further), quantile(0.1), quantile(0.9)


def main():
    all_of_them = list(sowings())
    for points in (401, 41):
        started = time.process_time()
        results = [posterior(*sowing, points) for sowing in all_of_them]
        spent = 1000.0 * (time.process_time() - started)
        print(f"600 posteriors over {points} medians: {spent:.0f} ms of CPU", file=sys.stderr)
        if points == 401 and len(sys.argv) > 1:
            with open(sys.argv[1], "w", newline="") as file:
                out = csv.writer(file, lineterminator="\n")
                out.writerow(["sown", *(f"{what}{n}" for n in range(1, 5) for what in ("time", "up")),
                              "chance_of_more", "expected_final", "tenth", "ninth_tenth"])
                for (sown, times, up), (more, final, low, high) in zip(all_of_them, results):
                    counts = [cell for pair in zip(times, up) for cell in pair]
                    out.writerow([sown, *counts, f"{more:.10g}", f"{final:.10g}", low, high])


main()
