#!/bin/sh
# SPDX-FileCopyrightText: 2026 The Holdline authors
# SPDX-License-Identifier: GPL-3.0-or-later
# Clang's libFuzzer at one of the targets of tests/support/fuzz_targets.c.
#   libfuzzer.sh there                                     is it on this machine? says so where not
#   libfuzzer.sh run PROGRAM TARGET SECONDS FOUND_FOLDER   goes on from the corpus; new inputs go to FOUND_FOLDER
set -u

case ${1:-} in
there)
    folder=$(mktemp -d)
    trap 'rm -rf "$folder"' EXIT
    echo '#include <stddef.h>
        int LLVMFuzzerTestOneInput(const char *bytes, size_t length);
        int LLVMFuzzerTestOneInput(const char *bytes, size_t length) { return bytes == NULL && length > 0; }' \
        >"$folder/try.c"
    clang -fsanitize=fuzzer,address -o "$folder/try" "$folder/try.c" >/dev/null 2>&1 && exit 0
    echo "fuzz: no targets for the dialects and the clock: clang's libFuzzer is not here (make deps-dev brings it)"
    exit 1
    ;;
run)
    program=$2 target=$3 seconds=$4 found=$5/$3
    corpus=${0%/*}/corpus/$target
    mkdir -p "$found"
    if FUZZ_TARGET=$target "$program" -max_total_time="$seconds" -max_len=4096 -rss_limit_mb=2048 \
        -print_final_stats=1 -artifact_prefix="$found/" "$found" "$corpus" >"$found.log" 2>&1; then
        printf 'fuzz %-9s %s runs in %s s: nothing found\n' "$target" \
            "$(sed -n 's/^stat::number_of_executed_units: *//p' "$found.log")" "$seconds"
        exit 0
    fi
    grep -aE '^fuzz|ERROR|SUMMARY|runtime error|Test unit written' "$found.log"
    echo "fuzz $target FAILED: the whole story is in $found.log; keep the input in $corpus"
    exit 1
    ;;
*)
    echo "libfuzzer.sh there, or libfuzzer.sh run PROGRAM TARGET SECONDS FOUND_FOLDER" >&2
    exit 2
    ;;
esac
