/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis_inside.h"

#include <math.h>
#include <string.h>

/* Power, cadence, heart rate of a long hold by the minute. */

#define READ_SAMPLES 1024
#define MINUTE_US 60000000

static void end_minute(struct auxiliary_sums *sums, struct minute_auxiliary *row)
{
    for (int kind = 0; kind < AUXILIARIES; kind++) {
        row->mean[kind] = sums->good[kind] > 0
                              ? sums->sum[kind] / (double)sums->good[kind] / AUXILIARY_TENTHS
                              : (double)NAN;
    }
    memset(sums, 0, sizeof *sums);
}

size_t analysis_minute_auxiliary(const struct session_record *record, int hold,
                                 sample_source *source, void *context,
                                 struct minute_auxiliary *rows, size_t most)
{
    static const uint8_t none_cut = 0;
    const struct capture_record *capture = &record->capture[record->hold[hold].capture];
    const struct placing_record *placing = analysis_placing_of(record, record->hold[hold].build);
    struct auxiliary_sums sums = {.good = {0}};
    size_t row = 0;
    int64_t start_us = 0;
    for (int64_t from = capture->first_sample; from <= capture->last_sample && most > 0;
         from += READ_SAMPLES) {
        const struct sample *samples = NULL;
        size_t count = 0;
        int64_t to = from + READ_SAMPLES - 1;
        to = to < capture->last_sample ? to : capture->last_sample;
        if (!source(context, from, to, &samples, &count)) {
            return 0;
        }
        for (size_t i = 0; i < count; i++) {
            start_us = from == capture->first_sample && i == 0 ? samples[0].time_us : start_us;
            size_t at = (size_t)((samples[i].time_us - start_us) / MINUTE_US);
            for (; row < at && row + 1 < most; row++) {
                end_minute(&sums, &rows[row]);
            }
            auxiliary_add(placing, &samples[i], 1, &none_cut, &sums);
        }
    }
    if (most > 0) {
        end_minute(&sums, &rows[row]);
    }
    return most > 0 ? row + 1 : 0;
}
