/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_VIRTUAL_LINE_H
#define HOLDLINE_TESTS_SUPPORT_VIRTUAL_LINE_H

#include "rig/virtual_rig.h"

#include <stdbool.h>
#include <stdint.h>

/* The virtual rig driven by a test: its lines read with the C library, its truth beside them. Each
 * aborts the test where it cannot. */

/* Nothing moves and nothing is noisy. */
#define VIRTUAL_STILL                                                                              \
    "hold=0&build=0&breathing=0&bob=0&wander=0&creep=0&settle=0&glances=0&noise=0&quantum=0.1&"    \
    "missing=0&doubtful=0&outliers=0&lost=0&warm_up=0"

struct virtual_rig *rig_of(const char *name, const char *parameters);
void tell(struct virtual_rig *rig, const char *line);

struct line {
    bool lost, heading;
    unsigned long sequence;
    int64_t time_us;
    double range_mm[CHANNELS_MAX]; /* NAN = none */
    char mark[CHANNELS_MAX];
};

/* The next sample's line, its checksum checked on the way. */
struct line next_line(struct virtual_rig *rig, int channels);

struct virtual_truth truth_of(struct virtual_rig *rig);

#endif
