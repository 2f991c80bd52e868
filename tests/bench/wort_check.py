#!/usr/bin/python3
"""The figures of `lotwort convert` beside those of general programs, worked out there from the published formulas.

    /usr/bin/python3 tests/bench/wort_check.py .build/release/lotwort

Wants python3-scipy, python3-iapws, r-base-core and units (Debian); what is not installed is said and left out. The
figures stand in docs/methods/wort.md.
"""
import json
import math
import subprocess
import sys

import numpy
from scipy import integrate, optimize

PROGRAM = sys.argv[1] if len(sys.argv) > 1 else ".build/release/lotwort"


def ours(*words):
    out = subprocess.run([PROGRAM, "convert", *words, "--json"], capture_output=True, text=True)
    if out.returncode != 0:
        sys.exit(f"convert {' '.join(words)}: {out.stderr}")
    return json.loads(out.stdout)


def table(*words):
    return [(row["given"], row["value"]) for row in ours(*words, "--table")["rows"]]


rows = []


def note(figure, by, count, worst, unit):
    rows.append((figure, by, count, worst, unit))


# ICUMSA SPS-4, its coefficients as printed; here in NumPy's own polynomials.
B = numpy.array([
    [385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.2890],
    [-46.2720, -7.1720, 1.1597, 5.1126, 17.5254, 0.0],
    [59.7712, 7.2491, 12.3630, -35.4791, 0.0, 0.0],
    [-47.2207, -21.6977, 27.6301, 0.0, 0.0, 0.0],
    [18.3184, 12.3081, 0.0, 0.0, 0.0, 0.0],
])


def water(t):
    return numpy.polyval([-2.8103006e-10, 1.0584601e-7, -4.6241757e-5, -7.9905127e-3, 16.952577, 999.83952], t) / (
        1 + 0.016887236 * t)


def density(w, t):
    tau = (t - 20) / 100
    return water(t) + sum(tau**i * B[i, k] * w**(k + 1) for i in range(5) for k in range(6))


def extract(rho, t):
    return 100 * optimize.brentq(lambda w: density(w, t) - rho, -0.09, 0.95, xtol=1e-15)


# extract of a gravity, and of a stem's mark, by SciPy's root finder
cells = table("1.000..1.150/0.001", "--to", "plato")
note("extract of SG", "SciPy brentq", len(cells),
     max(abs(v - extract(float(g) * water(20), 20)) for g, v in cells), "°P")
worst, count = 0.0, 0
for t in range(5, 65, 5):
    for g, v in table("1.000..1.120/0.005", "--read-at", f"{t}C", "--stem", "20C", "--to", "plato"):
        worst = max(worst, abs(v - extract(float(g) * water(20) / (1 + 25e-6 * (t - 20)), t)))
        count += 1
note("extract of a stem's mark, 5 to 60 °C", "SciPy brentq", count, worst, "°P")
cells = table("0P..60P/1", "--to", "kg/m3", "--at", "65C")
note("wort's density at 65 °C", "NumPy", len(cells),
     max(abs(v - density(float(g[:-1]) / 100, 65)) for g, v in cells), "kg/m3")


def index_polynomial(n):
    return numpy.polyval([11758.74, -88885.21, 270177.93, -413145.80, 318417.95, -99127.4536], n)


cells = table("1Bx..39Bx/1", "--to", "index")
note("refractive index of a reading", "SciPy brentq", len(cells),
     max(abs(v - optimize.brentq(lambda n: index_polynomial(n) - index_polynomial(1.332986) - float(g[:-2]), 1.32, 1.41,
                                 xtol=1e-15)) for g, v in cells), "")

# stands and cooling by adaptive quadrature
def ratio(t):
    return math.exp(11858 * (1 / 373.15 - 1 / (t + 273.15)))


worst, count = 0.0, 0
for minutes in (5, 15, 30, 60):
    for end in (20, 40, 60, 80, 95):
        exact, _ = integrate.quad(lambda m: ratio(100 + (end - 100) * m / minutes), 0, minutes, epsabs=1e-13)
        worst = max(worst, abs(ours(f"0min:100C,{minutes}min:{end}C", "--to", "boil-minutes")["value"] - exact))
        count += 1
note("minutes of boil of cooling", "SciPy quad", count, worst, "min")

# carried uncertainty by NumPy's draws
generator = numpy.random.default_rng(20240917)
n = 400000
og, fg = generator.normal(12, 0.25, n), generator.normal(2.5, 0.25, n)
abv = (og - 0.1808 * og - 0.8192 * fg) / (2.0665 - 0.010665 * og) * density(fg / 100, 20) / 789.239
said = ours("12±0.25P", "--final", "2.5±0.25P", "--to", "abv")
note("sd of alcohol by volume", "NumPy, 400,000 draws", 1, abs(said["sd"] / abv.std() - 1), "of it")
warm = generator.normal(80, 15, n)
minutes = 30 * numpy.exp(11858 * (1 / 373.15 - 1 / (warm + 273.15)))
said = ours("30min", "--stand", "80±15C", "--to", "boil-minutes")
rows.append(("mean of a stand at 80 ± 15 °C", "NumPy, 400,000 draws", 1, abs(said["mean"] / minutes.mean() - 1),
             f"of it (first order {abs(said['value'] / minutes.mean() - 1):.2f}; warned)"))

try:
    from iapws import IAPWS95
    cells = table("5C..95C/5", "--to", "kg/m3")
    gaps = [(float(g[:-1]), abs(v - IAPWS95(T=float(g[:-1]) + 273.15, P=0.101325).rho)) for g, v in cells]
    note("water to 40 °C", "python3-iapws", sum(t <= 40 for t, _ in gaps), max(d for t, d in gaps if t <= 40), "kg/m3")
    note("water above", "python3-iapws", sum(t > 40 for t, _ in gaps), max(d for t, d in gaps if t > 40), "kg/m3")
    worst = 0.0
    for altitude in range(0, 5001, 500):
        pressure = 0.101325 * (1 - 0.0065 * altitude / 288.15)**5.255877
        kelvin = IAPWS95(P=pressure, x=0).T
        worst = max(worst, abs(ours(f"{altitude}m", "--to", "boiling-point")["value"] - (kelvin - 273.15)))
    note("boiling by altitude", "python3-iapws", 11, worst, "°C")
except ImportError:
    print("python3-iapws is not installed: its rows are left out")


def run(*words, text=None):
    try:
        return subprocess.run(words, input=text, capture_output=True, text=True, check=True).stdout
    except (OSError, subprocess.CalledProcessError):
        return None


# R, told the formulas once more
R = run("Rscript", "-", text="""
k <- function(t) exp(11858 * (1/373.15 - 1/(t + 273.15)))
cat(sprintf("%.12f\\n", integrate(function(m) k(100 - 80 * m/30), 0, 30, rel.tol = 1e-12)$value))
a <- function(h, n, t) h * exp(log(1 - 0.35)/180 * 2^((t - 20)/15) * 0.5 * n)
cat(sprintf("%.12f\\n", a(11, 160, 4)))
""")
if R is None:
    print("R is not installed: its rows are left out")
else:
    cooled, alpha = map(float, R.split())
    note("half an hour from 100 to 20 °C", "R integrate", 1,
         abs(ours("0min:100C,30min:20C", "--to", "boil-minutes")["value"] - cooled), "min")
    note("alpha after 160 days at 4 °C", "R", 1,
         abs(ours("11%", "--to", "alpha", "--days", "160days", "--storage", "4C", "--packaging", "vacuum")["value"] -
             alpha), "%")

# the units program's table of NBS C440, gravity in air by Brix
gaps = []
for brix in range(1, 61):
    text = run("units", "-t", "--", f"brix({brix})", "0.99717 g/cm^3")  # back from density to the table
    if text is None:
        break
    gaps.append((brix, abs(float(text) - ours(f"{brix}P", "--to", "sg-air")["value"])))
if not gaps:
    print("units is not installed, or has no Brix: its rows are left out")
else:
    for upto in (20, 30, 60):
        note(f"gravity in air to {upto} °Bx", "GNU units, its table", upto, max(d for b, d in gaps if b <= upto), "")
units = [("55lb", "kg", "55 lb", "kg"), ("6galUS", "l", "6 gallon", "liter"), ("6galUK", "l", "6 brgallon", "liter"),
         ("5ptUK", "l", "5 brpint", "liter"), ("14in", "cm", "14 inch", "cm"),
         ("2bblUS", "l", "2 usbeerbarrel", "liter"), ("16oz", "g", "16 oz", "g")]
worst, count = 0.0, 0
for value, to, theirs, unit in units:
    text = run("units", "-t", "-d15", theirs, unit)
    if text is None:
        continue
    worst = max(worst, abs(ours(value, "--to", to)["value"] / float(text) - 1))
    count += 1
if count:
    note("pounds, gallons, pints, barrels, inches", "GNU units", count, worst, "of it")

print("| figure | by | values | farthest apart |\n| --- | --- | --- | --- |")
for figure, by, count, worst, unit in rows:
    print(f"| {figure} | {by} | {count} | {worst:.2g} {unit} |".replace("  |", " |"))
