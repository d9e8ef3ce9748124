/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BASE_RANDOM_H
#define HOLDLINE_BASE_RANDOM_H

#include <stdint.h>

/* A small seeded generator (xoshiro256** seeded by splitmix64; Blackman and Vigna 2018) for the
 * virtual rig, identifiers and tests: the same numbers on every machine. Not for secrets. */
struct random_source {
    uint64_t state[4];
    double spare_normal;
    int has_spare;
};

void random_seed(struct random_source *source, uint64_t seed);
uint64_t random_u64(struct random_source *source);
double random_uniform(struct random_source *source); /* [0, 1) */
double random_normal(struct random_source *source);  /* mean 0, SD 1 (polar method) */

#endif
