#!/usr/bin/python3
"""The program's verbs beside the sqlite3 shell doing the bare minimum of the same work on the same file, in one run.

usage: ledger_beside_shell.py LOTWORT LEDGER_SPEED [FOLDER]     (FOLDER on the disk to be measured)
KEEP=1 leaves the ledger there, and KEPT=FILE asks such a one again; it gains the appended entries.

A ledger of 1,000,000 movements over 20,000 lots is made first, each delivery and each brew day an entry of its own.
Both are whole processes that take turns; the least and the median of 31 turns, wall time in ms, and the least
processor time. Appending is durable on both sides: the journal, the ledger and the folder flushed.
"""
import os, resource, statistics, subprocess, sys, tempfile, time

lotwort, maker = map(os.path.realpath, sys.argv[1:3])
folder = tempfile.mkdtemp(dir=sys.argv[3] if len(sys.argv) > 3 else None)
ledger = os.environ.get("KEPT") or os.path.join(folder, "l.lotwort")
os.environ["LOTWORT_LEDGER"] = ledger
turns = 31


def once(command):
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    at = time.perf_counter()
    subprocess.run(command, stdout=subprocess.DEVNULL, check=True)
    wall = time.perf_counter() - at
    now = resource.getrusage(resource.RUSAGE_CHILDREN)
    return 1000 * wall, 1000 * (now.ru_utime + now.ru_stime - used.ru_utime - used.ru_stime)


def beside(name, words, sql):
    ours, theirs = [], []
    for _ in range(turns):
        ours.append(once([lotwort, *words]))
        theirs.append(once(["sqlite3", ledger, sql]))
    row = [f"{name:18}"]
    for measured in (ours, theirs):
        walls, cpus = zip(*measured)
        row.append(f"{min(walls):6.1f} {statistics.median(walls):6.1f} {min(cpus):6.1f}")
    times = [min(w for w, _ in ours) / min(w for w, _ in theirs),
             statistics.median(w for w, _ in ours) / statistics.median(w for w, _ in theirs),
             min(c for _, c in ours) / min(c for _, c in theirs)]
    print(" | ".join(row), "|", " ".join(f"{t:5.2f}" for t in times), flush=True)


try:
    if "KEPT" not in os.environ:
        subprocess.run([maker, "decades", ledger], check=True)
    movements = 1_000_000
    print(f"size: {os.path.getsize(ledger) / movements:.1f} bytes a movement, lots, brews, entries and indexes included")
    print(f"{'':18} | lotwort: least, median, processor | shell: the same | times")
    beside("append one entry", ["discard", "L19999", "1g", "--reason", "spilled"],
           "PRAGMA foreign_keys = ON; PRAGMA synchronous = EXTRA; BEGIN IMMEDIATE; INSERT INTO entry (kind, on_date, "
           "booked_at, by_name, what, why) VALUES ('discard', date(), strftime('%Y-%m-%dT%H:%M:%SZ'), '', 'spilled', "
           "''); INSERT INTO movement (entry_id, lot_id, on_date, kind, change, reason) SELECT last_insert_rowid(), "
           "lot_id, date(), 'discard', -1000, 'spilled' FROM lot WHERE code = 'L19999'; COMMIT;")
    beside("stock", ["stock"],
           "SELECT item, measure, sum(balance), sum(ifnull(promised, 0)), min(best_before), sum(price_minor * balance / "
           "received_amount) FROM stock_now WHERE balance > 0 GROUP BY item, measure ORDER BY item")
    beside("stock --lots", ["stock", "--lots"],
           "SELECT item, code, measure, balance, ifnull(promised, 0), received_amount, price_minor, best_before, held "
           "FROM stock_now WHERE balance > 0 ORDER BY item, received, code")
    moves = ("SELECT on_date, kind, change, reason, brew.code, stage FROM movement JOIN lot USING (lot_id) LEFT JOIN "
             "brew USING (brew_id) WHERE lot.code = 'L10000' ORDER BY on_date, movement_id")
    state = "SELECT * FROM lot_now JOIN lot_balance USING (lot_id) WHERE code = 'L10000'; "
    beside("lot", ["lot", "L10000"], state + "SELECT * FROM certificate WHERE lot_detail_id = 10001; "
           "SELECT * FROM retest WHERE lot_id = 10001; SELECT * FROM item_now WHERE name = 'pale malt'; " + moves)
    beside("trace of a lot", ["trace", "L10000"], state + moves.replace("stage", "stage, brew_head.recipe").replace(
        "brew USING (brew_id)", "brew USING (brew_id) LEFT JOIN brew_head USING (brew_id)"))
    beside("trace of a brew", ["trace", "B12000"],
           "SELECT * FROM brew_now WHERE code = 'B12000'; SELECT on_date, lot.code, change, stage, supplier, "
           "supplier_lot, price_minor FROM brew JOIN movement USING (brew_id) JOIN lot USING (lot_id) JOIN lot_detail "
           "USING (lot_id) WHERE brew.code = 'B12000' ORDER BY on_date, movement_id; "
           "SELECT * FROM lot_now WHERE harvested_from = 'B12000'")
    beside("history --last 20", ["history", "--last", "20"],
           "SELECT * FROM entry LEFT JOIN reversal USING (entry_id) ORDER BY entry_id DESC LIMIT 20")
finally:
    if "KEEP" not in os.environ:
        for name in os.listdir(folder):
            os.remove(os.path.join(folder, name))
        os.rmdir(folder)
