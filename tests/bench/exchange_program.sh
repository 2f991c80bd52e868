#!/usr/bin/env bash
# Export and import of a ledger of many movements by the program: wall and processor time, and the most memory it held;
# beside the sqlite3 shell reading the same rows of the same file in the same order. Then the report of 1,000 brews.
# usage: exchange_program.sh LOTWORT [MOVEMENTS, 200000]   (needs sqlite3, python3)
set -euo pipefail
source="$(cd "$(dirname "$0")/../.." && pwd)"
lotwort=$(realpath "$1")
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cd "$folder"
export LOTWORT_TODAY=2026-03-10
exec python3 - "$lotwort" "${2:-200000}" "$source" <<'PY'
import copy, datetime, json, os, subprocess, sys, time
lotwort, count, source = sys.argv[1], int(sys.argv[2]), sys.argv[3]

def run(ledger, *words, to=subprocess.DEVNULL):
    at = time.perf_counter()
    child = subprocess.Popen(words, stdout=to, env=dict(os.environ, LOTWORT_LEDGER=ledger))
    _, status, used = os.wait4(child.pid, 0)
    child.returncode = status
    assert status == 0, words
    return time.perf_counter() - at, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024

def told(what, figures, also=""):
    print(f"{what}: {figures[0]:.2f} s, {figures[1]:.2f} s processor, {figures[2]:.0f} MiB{also}", flush=True)

lots, a_day = 2000, -(-count // 1344)
def day(k):
    month, of_month = divmod(k // a_day, 28)
    return f"{2020 + month // 12}-{1 + month % 12:02}-{1 + of_month:02}"
# line by line: what this process holds, its children begin with
with open("made.json", "w") as out:
    out.write('{"schema": "lotwort/exchange/1", "currency": "EUR", "items": [{"name": "malt", "kind": "malt"}],\n"lots": [')
    out.write(",\n".join(f'{{"code": "L{i:04}", "item": "malt", "received": "2020-01-01", "mass_kg": 100000}}'
                         for i in range(lots)))
    out.write('],\n"movements": [')
    for k in range(count):
        out.write(f'{"," if k else ""}\n{{"on": "{day(k)}", "lot": "L{k * 7919 % lots:04}", "kind": "discard", '
                  f'"mass_kg": {-0.5 - k % 100 / 1000:.3f}, "reason": "bench"}}')
    out.write("]}\n")
run("made", lotwort, "init")
told("import of the made file", run("made", lotwort, "import", "made.json"))
run("made", lotwort, "export", "all.json")
size = os.path.getsize("all.json")
run("again", lotwort, "init")
told("a dry run of all of it", run("again", lotwort, "import", "all.json", "--dry-run"))
best = run("again", lotwort, "import", "all.json")
told(f"import of {size / 1e6:.0f} MB, {count:,} movements", best, f"; {count / best[0]:,.0f} movements/s")
told("the same file once more, nothing new", run("again", lotwort, "import", "all.json"))
json.dump({"schema": "lotwort/exchange/1", "items": [{"name": "new", "kind": "malt"}]}, open("small.json", "w"))
told("a file of one item into that ledger", run("again", lotwort, "import", "small.json", "--dry-run"))
by = "SELECT on_date, code, kind, change, reason FROM movement JOIN lot USING (lot_id) ORDER BY 1, 2, 3, 4"
for _ in range(3):
    best = run("again", lotwort, "export", "all.json", "--force")
    told("export", best, f"; {size / 1e6 / best[0]:.0f} MB/s")
    with open("rows.txt", "w") as rows:
        told("  sqlite3 shell, the movements sorted", run("again", "sqlite3", "-readonly", "again", by, to=rows))

book = json.load(open(source + "/tests/golden/first-brewery.json"))
brews = book["brews"]
book["plans"], book["brews"] = [], []
for i in range(1000):
    brew = copy.deepcopy(brews[i % len(brews)])
    brew.pop("plan", None)
    brew.update(code=f"N{i:04}", date=str(datetime.date(2022, 1, 1) + datetime.timedelta(days=i)))
    book["brews"].append(brew)
for lot in book["lots"]:
    lot.update(received="2021-01-01", mass_kg=100000)
    lot.pop("crop_year", None)
json.dump(book, open("brews.json", "w"))
run("brews", lotwort, "init")
run("brews", lotwort, "import", "brews.json")
told("report of a brewery of 1,000 brews, least of 5", min(run("brews", lotwort, "report") for _ in range(5)))
PY
