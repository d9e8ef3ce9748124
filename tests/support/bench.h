/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_BENCH_H
#define HOLDLINE_TESTS_SUPPORT_BENCH_H

#include <stdbool.h>

/* What the programs of tests/bench share: a folder, the run of a program, and one form of telling.
 * A ratio is how many times better than its goal a figure is: 1 or more keeps the goal, whether the
 * goal is an upper or a lower bound. What could not be measured is told and has no ratio. */
struct bench {
    const char *name; /* first word of every line */
    char folder[64];  /* gone at the end with everything in it */
    int missed, failed;
};

/* False where no folder can be made (told). */
bool bench_begin(struct bench *bench, const char *name);
/* Exit status of the bench: a success when everything was measured and every goal kept. */
int bench_end(struct bench *bench);

void bench_at_most(struct bench *bench, const char *what, double value, const char *unit,
                   double goal);
void bench_at_least(struct bench *bench, const char *what, double value, const char *unit,
                    double goal);
/* A figure without a goal. */
void bench_tell(const struct bench *bench, const char *what, double value, const char *unit);
/* What can't be measured here, and why; no failure. */
void bench_skip(const struct bench *bench, const char *what);
/* Something could not be measured. Always false. */
bool bench_fail(struct bench *bench, const char *format, ...) __attribute__((format(printf, 2, 3)));

struct bench_cost {
    double elapsed_s, processor_s;
};
/* Runs a program (looked for in PATH where it has no slash) in the bench's folder, from start to
 * exit; all that it prints goes to the file output there, NULL: nowhere. False when it could not be
 * started or did not end with a success: told, with what it printed. cost may be NULL. */
bool bench_run(struct bench *bench, const char *const argv[], const char *output,
               struct bench_cost *cost);
/* The least time from start to exit of so many runs; NAN when one failed (told). */
double bench_least_ms(struct bench *bench, const char *const argv[], const char *output, int runs);

/* Processor time of a process so far, all its threads; NAN when it is not there. */
double bench_processor_s(int process);

/* A visit of twelve holds of 60 s at 50 readings a second on three setups, with a target, guided
 * holds and ratings, from the virtual rig into a store in the bench's folder. */
bool bench_store_visit(struct bench *bench, const char *store);

#endif
