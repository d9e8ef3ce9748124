/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Is a sensor found that was bumped in a hold or a ride? The virtual rig's riders, whose head
 * sensor is knocked up by 8 mm at a time of its own; heights at 10 readings a second with a
 * sensor's noise. The table stands in docs/measures.md.
 *
 *     bumps [HOLDS [SEED]]      200 holds a row, seed 20250101
 */
#include "base/random.h"
#include "base/text.h"
#include "measure/hold.h"
#include "measure/rules.h"
#include "rig/virtual_rig.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define RATE_HZ 10.0
#define NOISE_MM 1.8
#define CHANNELS 2

static const struct {
    const char *name, *rider, *parameters;
    double length_s, bump_mm;
} rows[] = {
    {"steady, 3 min", "steady", "", 180, 0},
    {"steady, 3 min, 8 mm", "steady", "", 180, 8},
    {"usual, 3 min", "winter", "", 180, 0},
    {"usual, 3 min, 8 mm", "winter", "", 180, 8},
    {"steady, 20 min", "steady", "", 1200, 0},
    {"steady, 20 min, 8 mm", "steady", "", 1200, 8},
    {"usual, 20 min", "winter", "", 1200, 0},
    {"usual, 20 min, 8 mm", "winter", "", 1200, 8},
    {"usual, 20 min, 12 mm", "winter", "", 1200, 12},
    {"steady, 1 h", "steady", "", 3600, 0},
    {"steady, 1 h, 8 mm", "steady", "", 3600, 8},
    {"usual, 1 h", "winter", "", 3600, 0},
    {"usual, 1 h, 8 mm", "winter", "", 3600, 8},
    {"usual, 1 h, 12 mm", "winter", "", 3600, 12},
    {"tires by 12 mm, 1 h", "winter", "tires=12", 3600, 0},
    {"tires by 12 mm, 1 h, 8 mm", "winter", "tires=12", 3600, 8},
};

struct ridden {
    double *time_s, *height_mm[CHANNELS];
    uint8_t *valid;
    size_t count;
};

static bool ride(struct virtual_rig *rig, struct random_source *random, struct ridden *ridden)
{
    double first_mm[CHANNELS] = {0};
    for (size_t i = 0; i < ridden->count; i++) {
        char bytes[VIRTUAL_RIG_BYTES];
        int64_t time_us;
        struct virtual_truth truth;
        virtual_rig_next(rig, bytes, sizeof bytes, &time_us);
        virtual_rig_truth(rig, &truth);
        ridden->time_s[i] = (double)i / RATE_HZ;
        ridden->valid[i] = 1;
        for (int c = 0; c < CHANNELS; c++) {
            first_mm[c] = i == 0 ? truth.sensor_height_mm[c] : first_mm[c];
            double seen_mm = truth.body_height_mm[c] - (truth.sensor_height_mm[c] - first_mm[c]);
            ridden->height_mm[c][i] = rint(seen_mm + NOISE_MM * random_normal(random));
        }
    }
    return true;
}

static struct hold_input input_of(const struct ridden *ridden, int channel, double length_s)
{
    return (struct hold_input){.time_s = ridden->time_s,
                               .height_mm = ridden->height_mm[channel],
                               .valid = ridden->valid,
                               .count = ridden->count,
                               .duration_s = length_s,
                               .rate_hz = RATE_HZ};
}

/* As the program tells it: a channel stepped, and no other by a third of it. */
static bool stepped_alone(const struct ridden *ridden, int channel, double length_s, bool *stepped)
{
    static const struct hold_settings settings;
    struct hold_input input = input_of(ridden, channel, length_s);
    struct hold_summary summary;
    double other_mm;
    *stepped = hold_summarise(&input, &settings, &summary) == MEASURE_OK && summary.stepped;
    if (!*stepped) {
        return false;
    }
    input = input_of(ridden, 1 - channel, length_s);
    return hold_step_at(&input, summary.step_at_s, &other_mm) == MEASURE_OK &&
           STEP_ALONE * fabs(other_mm) < fabs(summary.step_mm);
}

static bool row(size_t r, long holds, uint64_t seed, struct ridden *ridden)
{
    struct random_source random;
    long stepped = 0, alone = 0, chest = 0, chest_alone = 0;
    double length_s = rows[r].length_s;
    random_seed(&random, seed + r);
    ridden->count = (size_t)(length_s * RATE_HZ);
    for (long h = 0; h < holds; h++) {
        char parameters[256];
        struct virtual_rig_settings settings;
        struct problem problem = {PROBLEM_NONE, ""};
        bool steps;
        double at_min = (0.1 + 0.8 * random_uniform(&random)) * length_s / 60.0;
        snprintf(parameters, sizeof parameters, "rate=10&seed=%ld&bump=%g&bump_at=%.3f&%s",
                 1000 * (long)r + h, rows[r].bump_mm, at_min, rows[r].parameters);
        if (!virtual_rig_settings_read(rows[r].rider, parameters, &settings, &problem)) {
            fprintf(stderr, "%s\n", problem.sentence);
            return false;
        }
        struct virtual_rig *rig = virtual_rig_create(&settings);
        if (rig == NULL || !ride(rig, &random, ridden)) {
            return false;
        }
        virtual_rig_destroy(rig);
        alone += stepped_alone(ridden, 0, length_s, &steps);
        stepped += steps;
        chest_alone += stepped_alone(ridden, 1, length_s, &steps);
        chest += steps;
    }
    double n = (double)holds;
    printf("| %-26s | %5ld | %5.3f | %5.3f | %5.3f | %5.3f |\n", rows[r].name, holds,
           (double)stepped / n, (double)alone / n, (double)chest / n, (double)chest_alone / n);
    return true;
}

int main(int argc, char **argv)
{
    int64_t holds = 200, seed = 20250101;
    size_t most = (size_t)(3600 * RATE_HZ);
    struct ridden ridden = {.time_s = calloc(most, sizeof(double)), .valid = calloc(most, 1)};
    bool done = (argc <= 1 || (text_to_int64(argv[1], &holds) && holds > 0)) &&
                (argc <= 2 || text_to_int64(argv[2], &seed));
    if (!done) {
        fprintf(stderr, "usage: bumps [HOLDS [SEED]]\n");
        return 2;
    }
    for (int c = 0; c < CHANNELS; c++) {
        ridden.height_mm[c] = calloc(most, sizeof(double));
        done = done && ridden.height_mm[c] != NULL;
    }
    done = done && ridden.time_s != NULL && ridden.valid != NULL;
    printf("%lld holds a row, seed %lld. Shares in which the head's level is told to have stepped, "
           "and to have done so\nalone (sensor or rider? read the board); the same of the chest, "
           "whose sensor nobody touched.\n\n"
           "| hold                       | holds | head  | alone | chest | alone |\n"
           "| -------------------------- | ----- | ----- | ----- | ----- | ----- |\n",
           (long long)holds, (long long)seed);
    for (size_t r = 0; done && r < sizeof rows / sizeof rows[0]; r++) {
        done = row(r, (long)holds, (uint64_t)seed, &ridden);
    }
    free(ridden.time_s);
    free(ridden.valid);
    for (int c = 0; c < CHANNELS; c++) {
        free(ridden.height_mm[c]);
    }
    return done ? EXIT_SUCCESS : EXIT_FAILURE;
}
