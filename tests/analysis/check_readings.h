/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_ANALYSIS_CHECK_READINGS_H
#define HOLDLINE_TESTS_ANALYSIS_CHECK_READINGS_H

#include "analysis/check.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

/* Readings made by hand for a check of the sensors: 50 a second of two channels, head and chest. */

enum { READINGS = 1000, PHASES = 4, HEAD = 0, CHEST = 1 };

static struct sample sample[PHASES][READINGS];
static struct check_stretch stretch[PHASES];
static struct placing_record placing;
static struct check_plan plan;
static struct check_record check;
static struct check_findings findings;

static inline void read_all(int phase, int channel, double mm)
{
    for (int i = 0; i < READINGS; i++) {
        sample[phase][i].range_tenth_mm[channel] = (int32_t)lround(10.0 * mm);
    }
}

/* Every second reading. */
static inline void read_half(int phase, int channel, double mm)
{
    for (int i = 0; i < READINGS; i += 2) {
        sample[phase][i].range_tenth_mm[channel] = (int32_t)lround(10.0 * mm);
    }
}

static inline void begin(void)
{
    memset(sample, 0, sizeof sample);
    memset(&placing, 0, sizeof placing);
    memset(&plan, 0, sizeof plan);
    memset(&check, 0, sizeof check);
    placing.channel_count = 2;
    for (int c = 0; c < 2; c++) {
        placing.channel[c].role = ROLE_BODY;
        placing.channel[c].gain = 1.0;
    }
    strcpy(placing.channel[HEAD].name, "head");
    strcpy(placing.channel[CHEST].name, "chest");
    for (int p = 0; p < PHASES; p++) {
        for (int i = 0; i < READINGS; i++) {
            sample[p][i].time_us = INT64_C(1000000000) * (p + 1) + 20000 * i;
        }
        stretch[p] = (struct check_stretch){sample[p], READINGS};
        read_all(p, HEAD, 400.0);
        read_all(p, CHEST, 500.0);
    }
    for (int p = 0; p < CHECK_PHASES_MAX; p++) {
        plan.asked_mm[p] = NAN;
    }
}

static inline bool found(enum check_found kind)
{
    check_judge(&plan, &placing, stretch, &check, &findings);
    for (int i = 0; i < findings.count; i++) {
        if (findings.finding[i].kind == kind) {
            return true;
        }
    }
    return false;
}

#endif
