#!/usr/bin/env bash
# The program itself on a disk that fails (failing_disk.c before the C library): each opening, reading, write, flush (the
# folder's too), cut and deletion of a command in turn, once and for good, with EIO (5) and ENOSPC (28). Every command ends
# with 0 and is booked, where a reading for the answer fails with the entry named; or with 4 and is not; or with 4 and names
# the entry that is to be looked for, because nobody can tell. A disk that fails is never called a damaged ledger. The ledger then verifies.
# usage: ledger_failing_disk.sh LOTWORT ["COMMAND" ...]   (needs gcc; all nine take half an hour)
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
"$lotwort" receive "bittering hop" 1kg --lot H-1 >/dev/null
"$lotwort" brewhouse add main 23L >/dev/null
printf 'name = "pale"\nvolume_l = 20\ngrist = [{item = "pale ale malt", mass_kg = 4}]\n' >pale.toml
"$lotwort" recipe add pale.toml >/dev/null
"$lotwort" brew --recipe pale >/dev/null
newest=$("$lotwort" history --csv | tail -n +2 | wc -l)
next=$((newest + 1))
export LOTWORT_LEDGER="$folder/try/l.lotwort"
commands=("discard P-1 1kg --reason spilled" "receive munich 10kg --lot M-1" "count P-1 20kg --reason weighed"
    "item add honey --kind sugar" "plan pale --on 2030-01-01" "brew --recipe pale" "reverse 3" "lot P-1 --open"
    "measure B1 kettle-full 28L 1.040")
[ $# -lt 2 ] || commands=("${@:2}")
points=0 booked=0 unanswered=0 refused=0 doubted=0
for command in "${commands[@]}"; do
    read -ra words <<<"$command"
    for with in 5 28; do
        for all in "" 1; do
            well=0
            for at in $(seq 1 1000); do
                rm -f try/*
                cp good/l.lotwort try/
                code=0
                env ${all:+FAIL_ALL=1} FAIL_AT="$at" FAIL_WITH="$with" LD_PRELOAD="$folder/failing_disk.so" \
                    "$lotwort" "${words[@]}" >out 2>err || code=$?
                entries=$("$lotwort" history --csv | tail -n +2 | wc -l)
                "$lotwort" verify >/dev/null || { echo "$command, point $at, errno $with: verify fails" >&2; exit 1; }
                case "$code $entries $(grep -c "lotwort history $next" err || true)" in
                "0 $next 0") booked=$((booked + 1)) ;;
                "0 $next 1") unanswered=$((unanswered + 1)) ;;
                "4 $newest 0") refused=$((refused + 1)) ;;
                "4 $next 1") doubted=$((doubted + 1)) ;;
                "4 $newest 1") doubted=$((doubted + 1)) ;;
                *) echo "$command, point $at, errno $with${all:+, for good}: exit $code, $entries entries: $(cat err)" >&2
                    exit 1 ;;
                esac
                [ "$code" = 0 ] || grep -q "ledger" err || { echo "$command, point $at: no message" >&2; exit 1; }
                ! grep -q damaged err || { echo "$command, point $at: called damaged: $(cat err)" >&2; exit 1; }
                points=$((points + 1))
                # past the last operation nothing fails any more
                well=$((code == 0 ? well + 1 : 0))
                [ "$well" -lt 30 ] || break
            done
        done
    done
done
echo "$points points in ${#commands[@]} commands: $booked booked and reported, $unanswered booked and" \
    "the entry named, the answer missing, $refused refused with exit 4 and not there," \
    "$doubted with the entry named that is to be looked for; verify passed after each"
