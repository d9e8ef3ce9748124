/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* How many scripts a second the door that 'make fuzz' tries takes, without sanitizers: a session
 * begun, given an input's lines and ended. The best of many counts. */
#include "base/clock.h"
#include "support/bench.h"
#include "support/fuzz_doors.h"
#include "support/test_main.h"

#include <malloc.h>
#include <stdio.h>
#include <stdlib.h>

#define INPUT_MOST 4096
#define ROUNDS 300
#define GOAL 10000.0

static void measure(struct bench *bench, const char *input, const char *what)
{
    static uint8_t bytes[INPUT_MOST];
    size_t length = 0;
    if (input != NULL) {
        FILE *file = fopen(source_path(input), "rb");
        length = file != NULL ? fread(bytes, 1, sizeof bytes, file) : 0;
        if (file == NULL || fclose(file) != 0 || length == 0) {
            bench_fail(bench, "%s can't be read", input);
            return;
        }
    }
    const struct fuzz_target *door = fuzz_door_find("session");
    int64_t least_us = INT64_MAX;
    for (int round = 0; round < ROUNDS; round++) {
        int64_t began_us = clock_monotonic_us();
        door->run(bytes, length);
        int64_t took_us = clock_monotonic_us() - began_us;
        least_us = took_us < least_us ? took_us : least_us;
    }
    bench_at_least(bench, what, 1e6 / (double)(least_us > 0 ? least_us : 1), "scripts/s", GOAL);
}

int main(void)
{
    struct bench bench;
    if (!bench_begin(&bench, "scripts")) {
        return EXIT_FAILURE;
    }
    /* A fuzzer keeps its memory: what is given back after each input is paid for page by page. */
    mallopt(M_MMAP_THRESHOLD, 32 << 20);
    mallopt(M_TRIM_THRESHOLD, 1 << 30);
    measure(&bench, NULL, "an empty script");
    measure(&bench, "tests/fuzz/corpus/session/undone", "acts taken back and put back");
    measure(&bench, "tests/fuzz/corpus/session/first", "setups, a target, holds; 800 samples");
    measure(&bench, "tests/fuzz/corpus/session/checks", "checks of sensors; 950 samples");
    return bench_end(&bench);
}
