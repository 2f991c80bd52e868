#!/usr/bin/env bash
# The ledger's speed beside the sqlite3 shell: tests/bench/ledger_speed.sh BUILD_FOLDER (of preset bench).
# Medians of 31 runs, whole processes, the file in the page cache. Checks that both give the same answer.
set -euo pipefail
bench="$1/tests/bench/ledger_speed"
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
ledger="$folder/ledger"

median_ms() { # of 31 runs of a command
    for _ in $(seq 31); do
        local begun=$EPOCHREALTIME
        "$@" >/dev/null
        local ended=$EPOCHREALTIME
        echo $((${ended/./} - ${begun/./}))
    done | sort -n | sed -n 16p | awk '{ printf "%.1f ms", $1 / 1000 }'
}

"$bench" make "$ledger"
sqlite3 "$ledger" "SELECT 'movements alone: ' || round(sum(pgsize) * 1.0 / (SELECT count(*) FROM movement), 1) ||
    ' bytes each, their indexes included' FROM dbstat WHERE name GLOB 'movement*'"

list="SELECT item, code, measure, balance, ifnull(promised, 0), received_amount, price_minor, best_before, held,
    (SELECT kind FROM item_now WHERE item_now.name = item) FROM stock_now ORDER BY item, received, code"
sum="SELECT sum(balance) FROM (SELECT balance FROM stock_now)"
[ "$("$bench" stock "$ledger")" = "$(sqlite3 "$ledger" "$sum")" ] || { echo "the answers differ" >&2; exit 1; }
echo "stock:  ledger $(median_ms "$bench" stock "$ledger"), sqlite3 shell $(median_ms sqlite3 "$ledger" "$list")"
echo "append: one discard, durable, $(median_ms "$bench" append "$ledger")"
