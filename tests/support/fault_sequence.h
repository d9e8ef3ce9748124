/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_FAULT_SEQUENCE_H
#define HOLDLINE_TESTS_SUPPORT_FAULT_SEQUENCE_H

#include <stdbool.h>
#include <stdint.h>

/* Live sessions in which clock, disk, memory, link and terminal fail together, in an order that a
 * seed picks, until each is ended, killed or dies; then the model is asked (fault_model.h). */

struct fault_sequences_wanted {
    const char *program, *shim, *sessions; /* sessions: the project's folder of that name */
    uint64_t seed;                         /* of the first; the others follow */
    long count, jobs;                      /* so many at once, each in a folder of its own */
};

enum fault_sequence_result { SEQUENCE_HELD, SEQUENCE_BROKE, SEQUENCE_SKIPPED };

struct fault_sequence_counts {
    long result[3]; /* enum fault_sequence_result */
    long act[32], ending[4];
    long lines, commands, failed_disk, failed_memory;
};

/* True where all held; each that broke is printed with its seed, what did not hold, and what had
 * been done. */
bool fault_sequences_run(const struct fault_sequences_wanted *wanted,
                         struct fault_sequence_counts *counts);

/* How often what was done. */
void fault_sequences_print(const struct fault_sequence_counts *counts);

#endif
