/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check_judging.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- readings -------------------------------------------------------------------------------- */

bool readings_of(const struct placing_record *placing, int channel, bool raw,
                 const struct check_stretch *stretch, struct readings *readings)
{
    const struct channel_record *recorded = &placing->channel[channel];
    memset(readings, 0, sizeof *readings);
    readings->all_time_s = malloc((stretch->count + 1) * sizeof(double));
    readings->all_mm = malloc((stretch->count + 1) * sizeof(double));
    readings->time_s = malloc((stretch->count + 1) * sizeof(double));
    readings->mm = malloc((stretch->count + 1) * sizeof(double));
    readings->valid = malloc(stretch->count + 1);
    if (readings->all_time_s == NULL || readings->all_mm == NULL || readings->time_s == NULL ||
        readings->mm == NULL || readings->valid == NULL) {
        readings_free(readings);
        return false;
    }
    for (size_t i = 0; i < stretch->count; i++) {
        const struct sample *sample = &stretch->samples[i];
        double time_s = (double)(sample->time_us - stretch->samples[0].time_us) / 1e6;
        if (readings->all > 0 && time_s <= readings->all_time_s[readings->all - 1]) {
            continue; /* two at one time: the second says nothing about how it went on */
        }
        double tenths = (double)sample->range_tenth_mm[channel];
        double mm = raw ? tenths / 10.0 : calibrated_mm(recorded, tenths);
        bool good = sample->quality[channel] == READING_GOOD;
        readings->all_time_s[readings->all] = time_s;
        readings->all_mm[readings->all] = mm;
        readings->valid[readings->all++] = good;
        if (good) {
            readings->time_s[readings->good] = time_s;
            readings->mm[readings->good++] = mm;
        }
    }
    return true;
}

void readings_free(struct readings *readings)
{
    free(readings->all_time_s);
    free(readings->all_mm);
    free(readings->time_s);
    free(readings->mm);
    free(readings->valid);
    memset(readings, 0, sizeof *readings);
}

/* ---- results --------------------------------------------------------------------------------- */

void check_put(struct judging *judging, enum check_quantity quantity, int channel, int phase,
               double value)
{
    struct check_record *check = judging->check;
    if (check->number_count < CHECK_NUMBERS_MAX && isfinite(value)) {
        check->number[check->number_count++] =
            (struct check_number){quantity, channel, phase, value};
    }
}

double check_value(const struct check_record *check, enum check_quantity quantity, int channel,
                   int phase)
{
    for (int i = 0; i < check->number_count; i++) {
        const struct check_number *number = &check->number[i];
        if (number->quantity == quantity && number->channel == channel && number->phase == phase) {
            return number->value;
        }
    }
    return NAN;
}

void check_find(struct check_findings *findings, enum check_found kind, int channel, int count,
                const double *values)
{
    if (findings->count < CHECK_FINDINGS_MAX) {
        struct check_finding *finding = &findings->finding[findings->count++];
        *finding = (struct check_finding){.kind = kind, .channel = channel};
        memcpy(finding->value, values, (size_t)count * sizeof *values);
    }
}

void check_worsen(struct judging *judging, enum check_verdict verdict)
{
    struct check_record *check = judging->check;
    /* failed is worse than not known */
    if (check->verdict != CHECK_FAILED) {
        check->verdict = verdict;
    }
}

bool check_measured(struct judging *judging, int channel, enum measure_status status)
{
    if (status == MEASURE_OK) {
        return true;
    }
    check_worsen(judging, status == MEASURE_CONSTANT ? CHECK_FAILED : CHECK_UNCERTAIN);
    FIND(judging, CHECK_FOUND_STATUS, channel, (double)status);
    return false;
}
