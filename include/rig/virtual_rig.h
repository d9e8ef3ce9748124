#ifndef HOLDLINE_RIG_VIRTUAL_RIG_H
#define HOLDLINE_RIG_VIRTUAL_RIG_H

#include "base/problem.h"
#include "rig/sample.h"

#include <stddef.h>
#include <stdint.h>

/* A modelled rider on a modelled bike whose sensors ride on its bars: seeded, deterministic, sample by sample.
 * It prints bench lines; docs/scripts.md has the lines it understands. Amounts are of the size measured on
 * real sensors and bodies (standing, lying and out of the saddle: other situations than a trainer). Its truth is
 * for tests only: nothing else may include this header's truth part. */
struct virtual_rig;

struct virtual_rig_settings {
    uint64_t seed;
    double rate_hz;                 /* 50 */
    int channel_count;              /* 2: head, chest; up to 8 */
    double follow_share[CHANNELS_MAX]; /* how much of a pad or bar move the body follows: 0.6 head, 0.5 chest */
    double hold_sd_mm;              /* re-positioning at each hold: 4 */
    double build_sd_mm;             /* re-assembly at each build: 0.7 */
    double breathing_mm, breathing_hz, bob_mm, cadence_hz, wander_mm, wander_s, creep_mm_per_min;
    double glances_per_min;
    double noise_mm_at_300, quantum_mm;
    double missing_share, doubtful_share, outlier_share, lost_share;
    double fatigue_mm_per_hold;
};
void virtual_rig_defaults(struct virtual_rig_settings *settings, uint64_t seed);

/* name: 'winter' (the demo's rider), 'steady', 'restless', 'rough' (a bad rig); parameters as in a link
 * ('seed=7&rate=100&noise=0'). */
bool virtual_rig_settings_read(const char *name, const char *parameters,
                               struct virtual_rig_settings *settings, struct problem *problem);

struct virtual_rig *virtual_rig_create(const struct virtual_rig_settings *settings);
void virtual_rig_destroy(struct virtual_rig *rig);

/* A line to the rig; unknown lines are passed over. False: bad value in a line it knows. */
bool virtual_rig_tell(struct virtual_rig *rig, const char *line, struct problem *problem);

/* The bytes of the next sample (a line, at times a heading before it, or nothing where the line is lost)
 * and its rig time. Returns the length. */
size_t virtual_rig_next(struct virtual_rig *rig, char *bytes, size_t size, int64_t *rig_time_us);

/* The truth, for tests. */
struct virtual_truth {
    double body_height_mm[CHANNELS_MAX];       /* over the bottom bracket, at the last sample, all movement in it */
    double posture_height_mm[CHANNELS_MAX];    /* this hold's mean posture: setup, re-positioning */
    double setup_height_mm[CHANNELS_MAX];      /* what this setup does to this rider, on average */
    double sensor_height_mm[CHANNELS_MAX];     /* with this build's re-assembly error */
};
void virtual_rig_truth(const struct virtual_rig *rig, struct virtual_truth *truth);

#endif
