#!/usr/bin/env bash
# Runs each test program given, shows its output, adds up Check's closing lines and prints one.
set -u
export LC_ALL=C.UTF-8
checks=0 failed=0 skipped=0 broken=""
log=$(mktemp)
trap 'rm -f "$log"' EXIT
for program in "$@"; do
    "$program" >"$log" 2>&1
    status=$?
    cat "$log"
    line=$(grep -E '^[0-9]+%: Checks: [0-9]+, Failures: [0-9]+, Errors: [0-9]+' "$log" | tail -n 1)
    if [ -z "$line" ]; then
        broken="$broken $program"
        failed=$((failed + 1))
        continue
    fi
    read -r n f e <<<"$(sed -E 's/.*Checks: ([0-9]+), Failures: ([0-9]+), Errors: ([0-9]+).*/\1 \2 \3/' <<<"$line")"
    checks=$((checks + n - f - e))
    failed=$((failed + f + e))
    skipped=$((skipped + $(grep -c '^skipped: ' "$log")))
    if [ "$status" -ne 0 ] && [ $((f + e)) -eq 0 ]; then
        broken="$broken $program"
        failed=$((failed + 1))
    fi
done
[ -z "$broken" ] || echo "ended without a verdict:$broken"
echo "$checks passed, $failed failed, $skipped skipped"
[ "$failed" -eq 0 ]
