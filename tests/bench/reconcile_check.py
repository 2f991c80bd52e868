#!/usr/bin/python3
"""The reconciliation of every brew of an exchange file, worked out again by SciPy and compared.

The balances and expectations are written here anew from docs/methods (reconcile.md, wort.md, malt.md, brewhouse.md);
nothing is shared with lotwort but the file. Instrument biases are unknowns of their own here (lotwort puts them into
the covariance), the slopes are differences, and the solver is scipy.optimize.least_squares.

usage: reconcile_check.py LOTWORT FILE.json [...]     (LOTWORT: the program; needs Debian's python3-scipy)
"""
import json
import math
import os
import subprocess
import sys
import tempfile

import numpy as np
from scipy.optimize import brentq, least_squares

C = [999.83952, 16.952577, -0.0079905127, -4.6241757e-05, 1.0584601e-07, -2.8103006e-10]
B = [[385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.289], [-46.272, -7.172, 1.1597, 5.1126, 17.5254],
     [59.7712, 7.2491, 12.363, -35.4791], [-47.2207, -21.6977, 27.6301], [18.3184, 12.3081]]


def rho(w, t):  # kg/L, ICUMSA
    water = sum(c * t**i for i, c in enumerate(C)) / (1 + 0.016887236 * t)
    tau = (t - 20) / 100
    return (water + sum(tau**i * sum(b * w**(k + 1) for k, b in enumerate(row)) for i, row in enumerate(B))) / 1000


W20 = rho(0, 20)


def fraction_of(density, t):
    return brentq(lambda w: rho(w, t) - density, -0.05, 0.6, xtol=1e-15, rtol=1e-15)


def mark(w, t, t0, unit):
    glass = rho(w, t) * (1 + 25e-6 * (t - t0))
    return glass / rho(0, t0) if unit == "sg" else 100 * fraction_of(glass, t0)


def by_name(records, name, key="name"):
    return next(r for r in records if r[key] == name)


def malt(book, addition):
    lot = by_name(book["lots"], addition["lot"], "code")
    item = by_name(book["items"], lot["item"])
    c = lot["certificate"]
    assert c["extract_basis"] == "fine-dry", "the breweries' certificates are all fine, dry"
    e, m = c["extract_pct"] / 100, c["moisture_pct"] / 100
    u_e, u_m = c["extract_sd_pct"] / 100, c.get("moisture_sd_pct", 0.3) / 100
    return item["kind"], e * (1 - m), math.hypot(u_e * (1 - m), e * u_m), m


def equations(book, brew):
    house = by_name(book["brewhouses"], brew["brewhouse"])
    scale = by_name(book["instruments"], "malt scale")
    X = own = moisture = mass = bias = 0.0
    lots = {}
    for a in brew["additions"]:
        kind, e, u, m = malt(book, a) if a["stage"] == "mash" else (None, 0, 0, 0)
        if kind is None:
            continue
        kg = a["mass_kg"]
        mass, X, moisture = mass + kg, X + kg * e, moisture + kg * m
        lots[a["lot"]] = lots.get(a["lot"], 0) + kg * u
        own += (e * scale["repeatability"])**2
        bias += e * scale["bias_sd"]
    u_X = math.sqrt(own + bias**2 + sum(v * v for v in lots.values()))
    V = house["volume_l"]
    hours = brew["boil_minutes"] / 60
    n = 1 + house.get("batch_sparges", 1) if house["sparge"] == "batch" else house["wash_stages"]
    names = {}
    eqs = []  # (function of balance, read, own sd, bias sd, instrument)

    def add(f, read, sd, bias_sd=0.0, instrument=None):
        if instrument:
            names.setdefault(instrument, len(names))
        eqs.append((f, read, sd, bias_sd, instrument))

    liquor_read = set()
    for r in brew["readings"]:
        point = r["point"]
        if point == "final":
            continue
        if "volume_l" in r:
            i = by_name(book["instruments"], r["volume_instrument"])
            t = r["volume_at_c"]
            if point.endswith("liquor"):
                liquor_read.add(point)
                add(lambda b, p=point, t=t: b[p] * W20 / rho(0, t), r["volume_l"], i["repeatability"], i["bias_sd"], i["name"])
            else:
                add(lambda b, p=point, t=t: b[p][0] / rho(b[p][1], t), r["volume_l"], i["repeatability"], i["bias_sd"], i["name"])
        for key, unit in (("gravity_sg", "sg"), ("gravity_plato", "plato")):
            if key in r:
                i = by_name(book["instruments"], r["gravity_instrument"])
                assert i["unit"] == unit
                add(lambda b, p=point, t=r["gravity_at_c"], t0=i["calibration_c"], u=unit: mark(b[p][1], t, t0, u),
                    r[key], i["repeatability"], i["bias_sd"], i["name"])
    R = house["absorption_l_per_kg"] * mass + house["tun_loss_l"]
    boil, loss = house["boil_off_l_per_h"] * hours, house["kettle_loss_l"]
    conv, conv_sd = house["conversion_pct"] / 100, house["conversion_sd_pct"] / 100
    add(lambda b: b["X"], X, u_X)
    add(lambda b: b["D"] / b["X"], conv, conv_sd)
    add(lambda b: b["K"] / (b["D"] * b["expected"]), house.get("lauter_pct_of_expected", 100) / 100, house.get("lauter_sd_pct", 2) / 100)
    add(lambda b: b["R"], R, house["absorption_sd_l_per_kg"] * mass)
    add(lambda b: b["boil"], boil, house["boil_off_sd_l_per_h"] * hours)
    add(lambda b: b["loss"], loss, house["kettle_loss_sd_l"])
    add(lambda b: b["top"], 0.0, 0.001 * V)
    add(lambda b: b["into kettle"], 0.0, 0.001 * V)
    strike = 3.0 * mass

    def state(theta):
        s = dict(zip(("strike-liquor", "sparge-liquor", "X", "D", "R", "K", "boil", "loss", "top", "into kettle"), theta))
        mash = s["strike-liquor"] * W20 + moisture + s["D"]
        w1 = s["D"] / mash
        mash_l = mash / rho(w1, 20)
        held = s["D"] - s["K"]
        wr = brentq(lambda w: w * rho(w, 20) * s["R"] - held, -0.2, 0.6, xtol=1e-15, rtol=1e-15)
        kettle = mash + (s["sparge-liquor"] + s["into kettle"]) * W20 - s["R"] * rho(wr, 20)
        kettle_l = kettle / rho(s["K"] / kettle, 20)
        run_off = kettle - s["into kettle"] * W20
        rest = run_off / rho(s["K"] / run_off, 20) - (mash_l - s["R"])
        s["expected"] = 1 - s["R"] / mash_l * (s["R"] / (s["R"] + rest / (n - 1)))**(n - 1)
        cast = kettle - s["boil"] * W20
        cast_l = cast / rho(s["K"] / cast, 20)
        kept = 1 - s["loss"] / cast_l
        ferm = cast * kept + s["top"] * W20
        s["first-wort"] = (mash_l - s["R"], w1)
        s["last-runnings"] = (s["R"], wr)
        s["kettle-full"], s["cast-out"] = (kettle, s["K"] / kettle), (cast, s["K"] / cast)
        s["fermenter"] = (ferm, s["K"] * kept / ferm)
        s["eff"] = (s["D"] / s["X"], s["K"] / s["D"], s["K"] / s["X"], kept, s["K"] * kept / s["X"])
        return s

    def total_liquor():
        recipe = by_name(book["recipes"], brew["recipe"])
        target = recipe["volume_l"]

        def miss(total):
            k = 0.85 * conv * X
            st = min(strike, total)
            for _ in range(60):
                s = state([st, total - st, X, conv * X, R, k, boil, loss, 0.0, 0.0])
                k = conv * X * house.get("lauter_pct_of_expected", 100) / 100 * s["expected"]
            f = s["fermenter"]
            return f[0] / rho(f[1], 20) - target

        return brentq(miss, 0.8 * target, 3.0 * target, xtol=1e-10)

    total = total_liquor()
    if "strike-liquor" not in liquor_read:
        add(lambda b: b["strike-liquor"], strike, 0.5 * mass)
    if "sparge-liquor" not in liquor_read:
        add(lambda b: b["strike-liquor"] + b["sparge-liquor"], total, 0.1 * total)
    start = [strike, total - strike, X, conv * X, R, 0.88 * conv * X, boil, loss, 0.0, 0.0]
    return eqs, names, state, start


def solve(book, brew):
    eqs, names, state, start = equations(book, brew)
    k = len(start)
    size = np.array([max(abs(x), 0.01 * start[0]) for x in start] + [1.0] * len(names))

    def residuals(z):
        s = state(z[:k] * size[:k])
        r = [(f(s) + (b * z[k + names[i]] if i else 0.0) - read) / sd for f, read, sd, b, i in eqs]
        return np.array(r + list(z[k:]))  # each bias is a standard normal unknown

    z0 = np.concatenate([np.array(start) / size[:k], np.zeros(len(names))])
    fit = least_squares(residuals, z0, method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15, max_nfev=20000)
    z = fit.x
    for _ in range(3):  # Gauss-Newton steps with central differences remove what the optimiser left
        jacobian, slopes = np.empty((len(fit.fun), len(z))), np.empty((5, len(z)))
        for j in range(len(z)):
            h = 1e-5
            up, down = z.copy(), z.copy()
            up[j] += h
            down[j] -= h
            jacobian[:, j] = (residuals(up) - residuals(down)) / (2 * h)
            slopes[:, j] = (np.array(state(up[:k] * size[:k])["eff"]) - np.array(state(down[:k] * size[:k])["eff"])) / (2 * h)
        z = z + np.linalg.lstsq(jacobian, -residuals(z), rcond=None)[0]
    cov = np.linalg.inv(jacobian.T @ jacobian)
    sd = np.sqrt(np.einsum("ij,jk,ik->i", slopes, cov, slopes))
    return np.array(state(z[:k] * size[:k])["eff"]), sd, float(np.sum(residuals(z)**2)), len(eqs) - k


def main():
    lotwort, worst, worst_sd, brews, limited = sys.argv[1], 0.0, 0.0, 0, 0
    for path in sys.argv[2:]:
        book = json.load(open(path))
        for brew in book["brews"]:
            # alone in its ledger: what other brews taught is expected of none
            alone = {name: records for name, records in book.items()
                     if name not in ("brews", "plans", "packages", "movements", "orders")}
            with tempfile.TemporaryDirectory() as folder:
                env = dict(os.environ, LOTWORT_LEDGER=folder + "/check.lotwort")
                with open(folder + "/alone.json", "w") as out:
                    json.dump(dict(alone, brews=[{k: v for k, v in brew.items() if k != "plan"}]), out)
                subprocess.run([lotwort, "init"], env=env, check=True, capture_output=True)
                subprocess.run([lotwort, "import", out.name], env=env, check=True, capture_output=True)
                answer = json.loads(subprocess.run([lotwort, "reconcile", brew["code"], "--json"], env=env, check=True,
                                                   capture_output=True, text=True).stdout)
                value, sd, statistic, dof = solve(book, brew)
                near = max(value[:2] + 4 * sd[:2]) > 1.0  # a limit (100 %): lotwort's intervals are bent ones
                limited += near
                for name, v, u in zip(("conversion", "lauter", "kettle_yield", "transfer", "brewhouse"), value, sd):
                    ours = answer["efficiencies"][name]
                    worst = max(worst, abs(ours["value"] - v) / u)
                    if not near:
                        worst_sd = max(worst_sd, abs(ours["sd"] / u - 1))
                    if abs(ours["value"] - v) > 1e-6 * u:
                        print(f"{path} {brew['code']} {name}: ours {ours['value']:.9f} sd {ours['sd']:.9f}, SciPy {v:.9f} sd {u:.9f}")
                if dof != answer["test"]["degrees_of_freedom"] or abs(statistic - answer["test"]["statistic"]) > 1e-6 * (1 + statistic):
                    print(f"{path} {brew['code']}: test {answer['test']['statistic']:.9f} ({answer['test']['degrees_of_freedom']}), SciPy {statistic:.9f} ({dof})")
                brews += 1
    print(f"{brews} brews: largest difference of an efficiency {worst:.1e} of its sd; of an sd, of the {brews - limited} "
          f"that no limit is near, {worst_sd:.1e} relative")


main()
