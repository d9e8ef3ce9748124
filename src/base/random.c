/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/random.h"

#include <math.h>

static uint64_t rotate_left(uint64_t value, int bits)
{
    return value << bits | value >> (64 - bits);
}

void random_seed(struct random_source *source, uint64_t seed)
{
    /* splitmix64, as its authors advise for filling the state. */
    for (int i = 0; i < 4; i++) {
        seed += UINT64_C(0x9E3779B97F4A7C15);
        uint64_t mixed = seed;
        mixed = (mixed ^ mixed >> 30) * UINT64_C(0xBF58476D1CE4E5B9);
        mixed = (mixed ^ mixed >> 27) * UINT64_C(0x94D049BB133111EB);
        source->state[i] = mixed ^ mixed >> 31;
    }
    source->spare_normal = 0;
    source->has_spare = 0;
}

uint64_t random_u64(struct random_source *source)
{
    uint64_t *state = source->state;
    uint64_t result = rotate_left(state[1] * 5, 7) * 9;
    uint64_t shifted = state[1] << 17;
    state[2] ^= state[0];
    state[3] ^= state[1];
    state[1] ^= state[2];
    state[0] ^= state[3];
    state[2] ^= shifted;
    state[3] = rotate_left(state[3], 45);
    return result;
}

double random_uniform(struct random_source *source)
{
    return (double)(random_u64(source) >> 11) * 0x1p-53;
}

double random_normal(struct random_source *source)
{
    if (source->has_spare) {
        source->has_spare = 0;
        return source->spare_normal;
    }
    double x;
    double y;
    double square;
    do {
        x = 2 * random_uniform(source) - 1;
        y = 2 * random_uniform(source) - 1;
        square = x * x + y * y;
    } while (square >= 1 || square == 0);
    double factor = sqrt(-2 * log(square) / square);
    source->spare_normal = y * factor;
    source->has_spare = 1;
    return x * factor;
}
