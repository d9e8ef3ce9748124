#!/bin/sh
# SPDX-FileCopyrightText: 2026 The Holdline authors
# SPDX-License-Identifier: GPL-3.0-or-later
# What the tests ran, from a build with --coverage: lines and branches for each folder, and pages to read.
#   .ci/coverage.sh BUILD
# A test that fails ends without writing its counts: figures of a failing run are too low.
set -eu
build=$1
lcov --quiet --capture --directory "$build" --base-directory . --output-file "$build/all.info" 2>"$build/lcov.log" \
    --rc lcov_branch_coverage=1
lcov --quiet --extract "$build/all.info" "$PWD/src/*" --output-file "$build/src.info" \
    --rc lcov_branch_coverage=1
genhtml --quiet --branch-coverage --prefix "$PWD/src" --output-directory "$build/html" "$build/src.info"
for folder in src/*/; do
    lcov --extract "$build/src.info" "$PWD/$folder*" --output-file "$build/one.info" \
        --rc lcov_branch_coverage=1 >/dev/null 2>&1 || continue
    lcov --summary "$build/one.info" --rc lcov_branch_coverage=1 2>/dev/null |
        awk -v folder="$folder" '
            /lines\.+:/    { lines = $2; of = $0; sub(/.*\(/, "", of); sub(/ lines\).*/, "", of) }
            /branches\.+:/ { branches = $2 }
            END { if (lines != "") printf "%-14s lines %6s (%s)  branches %6s\n", folder, lines, of, branches }'
done
echo "pages: $build/html/index.html"

.ci/unreached.sh "$build"
