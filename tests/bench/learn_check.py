#!/usr/bin/python3
"""Works out what learn_check printed by another road: the joint covariance of all observations from the model's
structure (a random walk's covariance is its steps' variance times the earlier index), then conditional means and
variances and the likelihood by dense matrices (NumPy, SciPy). Prints the largest differences."""
import sys
import numpy as np
from scipy.stats import multivariate_normal

prior, items, lots, brews, said = {}, [], [], [], {}
walk = likelihood = lasting = None
for line in sys.stdin:
    w = line.split()
    if w[0] == "walk": walk = [float(x) for x in w[1:]]
    elif w[0] == "prior": prior[int(w[1])] = [float(x) for x in w[2:]]
    elif w[0] == "item": items.append(float(w[-1]))
    elif w[0] == "lot": lots.append((int(w[2]), float(w[3])))
    elif w[0] == "lasting": lasting = float(w[1])
    elif w[0] == "brew": brews.append(dict(share={}, row=[], read=[]))
    elif w[0] == "with": brews[-1]["read"].append(int(w[1]))
    elif w[0] == "share": brews[-1]["share"][int(w[1])] = float(w[2])
    elif w[0] == "row": brews[-1]["row"].append([float(x) for x in w[1:]])
    elif w[0] == "likelihood": likelihood = float(w[1])
    else: said[(w[0], int(w[1]))] = (float(w[2]), float(w[3]))

B, L = len(brews), len(lots)
I = 1 + max((i for b in brews for i in b["read"]), default=-1)
order = np.arange(B)
# latent vector: c_1..c_B, l_1..l_B, three constants, lots, lasting errors of instruments
n = 2 * B + 3 + L + I
mean, cov = np.zeros(n), np.zeros((n, n))
for q in (0, 1):
    at = slice(q * B, (q + 1) * B)
    mean[at] = prior[q][0]
    cov[at, at] = prior[q][1] ** 2 + walk[q] ** 2 * np.minimum.outer(order, order)
for k in range(3):
    mean[2 * B + k], cov[2 * B + k, 2 * B + k] = prior[2 + k][0], prior[2 + k][1] ** 2
for i, (item_i, sd_i) in enumerate(lots):
    for j, (item_j, _) in enumerate(lots):
        cov[2 * B + 3 + i, 2 * B + 3 + j] = (items[item_i] ** 2 if item_i == item_j else 0.0) + (sd_i ** 2 if i == j else 0.0)
for i in range(2 * B + 3 + L, n): cov[i, i] = lasting
# every brew's own five figures: level or constant, lots, scatter
scatter = np.array([prior[q][2] ** 2 for q in range(5)])
rows, values, noise = [], [], []
for b, brew in enumerate(brews):
    figures = np.zeros((5, n))
    figures[0, b], figures[1, B + b] = 1.0, 1.0
    for lot, share in brew["share"].items(): figures[0, 2 * B + 3 + lot] = share
    for k in range(3): figures[2 + k, 2 * B + k] = 1.0
    r = np.array([row[:5] for row in brew["row"]])
    offsets = np.zeros((len(brew["read"]), n))
    for k, i in enumerate(brew["read"]): offsets[k, 2 * B + 3 + L + i] = 1.0
    rows.append(r @ figures + np.array([row[5:-1] for row in brew["row"]]) @ offsets)
    values += [row[-1] for row in brew["row"]]
    noise.append(r @ np.diag(scatter) @ r.T + np.eye(len(r)))
A, y = np.vstack(rows), np.array(values)
S = A @ cov @ A.T
at = 0
for block in noise:
    k = len(block)
    S[at:at + k, at:at + k] += block
    at += k
gain = np.linalg.solve(S, A @ cov).T
post_mean = mean + gain @ (y - A @ mean)
post_sd = np.sqrt(np.diag(cov - gain @ A @ cov))
worst_mean = worst_sd = 0.0
for (what, k), (m, sd) in said.items():
    i = {"conversion": k, "lauter": B + k, "constant": 2 * B + k, "found": 2 * B + 3 + k, "lasts": 2 * B + 3 + L + k}[what]
    worst_mean = max(worst_mean, abs(m - post_mean[i]))
    worst_sd = max(worst_sd, abs(sd - post_sd[i]))
dense = multivariate_normal(A @ mean, S).logpdf(y)
print(f"{B} brews, {L} lots, {len(y)} observations: largest difference of a mean {worst_mean:.1e}, of an sd {worst_sd:.1e}")
print(f"log likelihood: sparse {likelihood:.6f}, dense {dense:.6f}")
sys.exit(0 if max(worst_mean, worst_sd) < 1e-6 else 1)
