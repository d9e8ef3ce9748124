/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_FUZZ_TARGETS_H
#define HOLDLINE_TESTS_SUPPORT_FUZZ_TARGETS_H

#include <stddef.h>
#include <stdint.h>

/* What any bytes may be given to. Each aborts, with a line on standard error, where something that
 * must hold does not: however a stream is cut the same samples come out, every line is a sample or
 * is counted, all that comes out is within its limits, the time axis never runs backwards. The
 * inputs kept are in tests/fuzz/corpus/<name>/.
 *
 * A dialect's input is a stream; a first line that begins with '?' says what the person said:
 * '?columns unit time_column time_unit no_echo', '-' where nothing was. '*??' stands for '*' and
 * the right checksum.
 *
 * The clock's input is lines of three whole numbers: sequence, rig time, arrival, in microseconds;
 * '-' where there is none, '+' before one that is added to the last, and 'x' before a line's first
 * field repeats it ('20x+1 +20000 +20013'). A line 'recording' first: arrivals mean nothing; 'rate
 * 50': the stated rate.
 *
 * A ride's input is a file: a table, or GPX. */
struct fuzz_target {
    const char *name;
    void (*run)(const uint8_t *bytes, size_t length);
};

extern const struct fuzz_target fuzz_targets[];
extern const size_t fuzz_target_count;

/* NULL when none is called so. */
const struct fuzz_target *fuzz_target_find(const char *name);

#endif
