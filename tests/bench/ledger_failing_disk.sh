#!/usr/bin/env bash
# The program itself on a disk that fails (failing_disk.c before the C library): each opening, write, flush, cut and
# deletion of one command in turn, once and for good, with EIO (5) and ENOSPC (28). Every command ends with 0 and is
# booked, or ends with 4 and is not; the ledger then verifies.
# usage: ledger_failing_disk.sh LOTWORT   (needs gcc)
set -euo pipefail
lotwort=$(realpath "$1")
here=$(dirname "$(realpath "$0")")
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cd "$folder"
gcc -O1 -shared -fPIC -o failing_disk.so "$here/failing_disk.c" -ldl
mkdir good try
export LOTWORT_LEDGER="$folder/good/l.lotwort"
"$lotwort" init >/dev/null
"$lotwort" receive "pale ale malt" 25kg --lot P-1 >/dev/null
export LOTWORT_LEDGER="$folder/try/l.lotwort"
points=0 booked=0 refused=0
for with in 5 28; do
    for all in "" 1; do
        for at in $(seq 1 1000); do
            rm -f try/*
            cp good/l.lotwort try/
            code=0
            env ${all:+FAIL_ALL=1} FAIL_AT="$at" FAIL_WITH="$with" LD_PRELOAD="$folder/failing_disk.so" \
                "$lotwort" discard P-1 1kg --reason spilled >out 2>err || code=$?
            entries=$("$lotwort" history --csv | tail -n +2 | wc -l)
            "$lotwort" verify >/dev/null || { echo "point $at, errno $with: verify fails" >&2; exit 1; }
            case "$code $entries" in
            "0 3") booked=$((booked + 1)) ;;
            "4 2") refused=$((refused + 1)); grep -q "ledger" err || { echo "point $at: no message" >&2; exit 1; } ;;
            *) echo "point $at, errno $with${all:+, for good}: exit $code, $entries entries: $(cat err)" >&2; exit 1 ;;
            esac
            points=$((points + 1))
            # past the last operation nothing fails any more
            [ "$at" -gt 40 ] && [ "$code" = 0 ] && break
        done
    done
done
echo "$points points: $booked booked and reported, $refused refused with exit 4 and not there; verify passed after each"
