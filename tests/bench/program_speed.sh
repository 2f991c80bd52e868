#!/usr/bin/env bash
# How long the program takes, beside peers in the same run: start-up beside a C++ hello world, `stock` on a ledger of
# 100,000 movements over 2,000 lots beside the sqlite3 shell answering the same from the same file, and the import of
# that ledger from one file. Least of several runs, milliseconds of wall time; processor time for the import.
# usage: program_speed.sh LOTWORT   (needs sqlite3, g++, python3)
set -euo pipefail
lotwort=$(realpath "$1")
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cd "$folder"
export LOTWORT_LEDGER="$folder/l.lotwort"

printf '#include <iostream>\nint main() { std::cout << "hello, world\\n"; }\n' > hello.cpp
g++ -O2 -o hello hello.cpp

python3 - <<'PY'
import json
lots, moves = 2000, 98000
book = {"schema": "lotwort/exchange/1", "currency": "EUR",
        "items": [{"name": f"malt {i}", "kind": "malt", "class": "base"} for i in range(40)],
        "lots": [{"code": f"L{i:04}", "item": f"malt {i % 40}", "received": "2020-01-01", "mass_kg": 1000, "price": 900,
                  "best_before": "2030-01-01"} for i in range(lots)],
        "movements": [{"on": f"{2020 + k // 24500}-{1 + k // 2042 % 12:02}-{1 + k // 73 % 28:02}", "lot": f"L{k * 7919 % lots:04}",
                       "kind": "discard", "mass_kg": -0.5 - (k % 100) / 1000, "reason": "bench"} for k in range(moves)]}
json.dump(book, open("big.json", "w"))
PY

least() { # least wall time of N runs, in ms
    python3 - "$@" <<'PY'
import subprocess, sys, time
n, best = int(sys.argv[1]), 1e9
for _ in range(n):
    at = time.perf_counter()
    subprocess.run(sys.argv[2:], stdout=subprocess.DEVNULL, check=True)
    best = min(best, time.perf_counter() - at)
print(f"{1000 * best:.2f}")
PY
}

"$lotwort" init >/dev/null
python3 - "$lotwort" <<'PY'
import os, subprocess, sys, time
at, used = time.perf_counter(), os.times()
subprocess.run([sys.argv[1], "import", "big.json"], stdout=subprocess.DEVNULL, check=True)
wall, now = time.perf_counter() - at, os.times()
cpu = now.children_user + now.children_system - used.children_user - used.children_system
print(f"import of 100,000 movements over 2,000 lots: {wall:.2f} s wall, {cpu:.2f} s processor: "
      f"{100000 / wall:,.0f} movements a second by the wall, {100000 / cpu:,.0f} by the processor")
PY
echo "size on disk: $(($(stat -c %s l.lotwort) / 100000)) bytes a movement"

by_item="SELECT item, measure, sum(balance), sum(ifnull(promised, 0)), min(best_before),
    sum(price_minor * balance / received_amount) FROM stock_now GROUP BY item, measure ORDER BY item"
by_lot="SELECT item, code, measure, balance, ifnull(promised, 0), received_amount, price_minor, best_before, held
    FROM stock_now ORDER BY item, received, code"
hello=$(least 40 ./hello) help=$(least 40 "$lotwort" --help)
shell_items=$(least 30 sqlite3 -readonly l.lotwort "$by_item") items=$(least 30 "$lotwort" stock)
shell_lots=$(least 30 sqlite3 -readonly l.lotwort "$by_lot") lots=$(least 30 "$lotwort" stock --lots)
python3 -c "print(f'start: hello world $hello ms, lotwort --help $help ms: {$help/$hello:.2f} times')
print(f'stock by item: sqlite3 shell $shell_items ms, lotwort stock $items ms: {$items/$shell_items:.2f} times')
print(f'stock by lot: sqlite3 shell $shell_lots ms, lotwort stock --lots $lots ms: {$lots/$shell_lots:.2f} times')"
