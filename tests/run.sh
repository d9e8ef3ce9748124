#!/bin/sh
# SPDX-FileCopyrightText: 2026 The Holdline authors
# SPDX-License-Identifier: GPL-3.0-or-later
# Runs the test programs given, two for each processor at a time (TEST_JOBS; half of them wait for a clock),
# shows what each said when it has ended, adds up Check's closing lines and prints one.
#   tests/run.sh PROGRAM...
set -u
export LC_ALL=C.UTF-8
# Four seconds are what Check gives a test that asks for no more: too few on a machine that does much else.
export CK_DEFAULT_TIMEOUT="${CK_DEFAULT_TIMEOUT:-60}"

# How many times longer a test may take, and who waits for a picture waits, on a machine that does much else: what
# stands in its queue for each of the places that the tests themselves take.
multiplier()
{
    load=0
    [ ! -r /proc/loadavg ] || read -r load _ </proc/loadavg
    times=$((${load%.*} / ($(nproc) * 2)))
    echo $((times < 1 ? 1 : times > 20 ? 20 : times))
}

# One program: called again by xargs below, with the folder for results first.
if [ "${1:-}" = --one ]; then
    folder=$2
    program=$3
    name=$(echo "${program##*/tests/}" | tr '/' '-')
    started=$(date +%s)
    export CK_TIMEOUT_MULTIPLIER="${CK_TIMEOUT_MULTIPLIER:-$(multiplier)}"
    # Room for a whole screen where a test may show one. Check takes so much at every assertion: dear elsewhere.
    case $program in */app/* | */screen/*) export CK_MAX_MSG_SIZE=100000 ;; esac
    "$program" >"$folder/$name.log" 2>&1 </dev/null
    status=$?
    closing=$(grep -aE '^[0-9]+%: Checks: [0-9]+, Failures: [0-9]+, Errors: [0-9]+' "$folder/$name.log" |
        tail -n 1 | sed -E 's/.*Checks: ([0-9]+), Failures: ([0-9]+), Errors: ([0-9]+).*/\1 \2 \3/')
    skipped=$(grep -ac '^skipped: ' "$folder/$name.log")
    echo "$status $skipped ${closing:-none} $program" >"$folder/$name.result"
    (
        flock 9
        echo "== ${program##*/tests/} ($(($(date +%s) - started)) s)"
        cat "$folder/$name.log"
    ) 9>"$folder/lock"
    exit 0
fi

if [ ! -e /dev/pts/ptmx ]; then
    echo "note: /dev/pts is not mounted: what needs a pseudo-terminal cannot be tested here"
fi

results=$(mktemp -d)
trap 'rm -rf "$results"' EXIT
trap 'exit 130' INT TERM
if [ $# -gt 0 ]; then
    printf '%s\n' "$@" | xargs -P "${TEST_JOBS:-$(($(nproc) * 2))}" -n 1 sh "$0" --one "$results"
fi

# Once more where it is looked for: what failed, after everything that was said.
grep -ahE '^[^ ]+:[0-9]+:[FE]:' "$results"/*.log | cut -c 1-400 || true

passed=0 failed=0 skipped=0 silent="" verdicts=0
for result in "$results"/*.result; do
    [ -e "$result" ] || continue
    verdicts=$((verdicts + 1))
    read -r status skips checks failures errors program <"$result"
    skipped=$((skipped + skips))
    if [ "$checks" = none ]; then
        silent="$silent ${failures##*/tests/}"
        failed=$((failed + 1))
        continue
    fi
    passed=$((passed + checks - failures - errors))
    failed=$((failed + failures + errors))
    if [ "$status" -ne 0 ] && [ $((failures + errors)) -eq 0 ]; then
        silent="$silent ${program##*/tests/}"
        failed=$((failed + 1))
    fi
done
[ -z "$silent" ] || echo "ended without a verdict, or badly after a good one:$silent"
if [ "$verdicts" -ne $# ]; then
    echo "$verdicts of $# programs were run"
    failed=$((failed + 1))
fi
if [ "$passed" -eq 0 ] && [ "$failed" -eq 0 ]; then
    echo "no test ran"
    exit 1
fi
echo "$passed passed, $failed failed, $skipped skipped"
[ "$failed" -eq 0 ]
