/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis_inside.h"
#include "analysis_signal.h"

#include <math.h>
#include <string.h>

/* Power, cadence, heart rate of a long hold by the minute. */

#define MINUTE_US ((int64_t)(MINUTE_ROW_S * 1e6))

static void end_minute(struct auxiliary_sums *sums, struct minute_auxiliary *row)
{
    for (int kind = 0; kind < AUXILIARIES; kind++) {
        row->mean[kind] = sums->good[kind] > 0
                              ? sums->sum[kind] / (double)sums->good[kind] / AUXILIARY_TENTHS
                              : (double)NAN;
    }
    memset(sums, 0, sizeof *sums);
}

struct filling {
    const struct placing_record *placing;
    struct auxiliary_sums sums;
    struct minute_auxiliary *rows;
    size_t row, most;
    bool begun;
    int64_t start_us;
};

static void take_samples(void *taker, const struct sample *samples, size_t count)
{
    static const uint8_t none_cut = 0;
    struct filling *filling = taker;
    for (size_t i = 0; i < count; i++) {
        filling->start_us = filling->begun ? filling->start_us : samples[i].time_us;
        filling->begun = true;
        size_t at = (size_t)((samples[i].time_us - filling->start_us) / MINUTE_US);
        for (; filling->row < at && filling->row + 1 < filling->most; filling->row++) {
            end_minute(&filling->sums, &filling->rows[filling->row]);
        }
        auxiliary_add(filling->placing, &samples[i], 1, &none_cut, &filling->sums);
    }
}

void analysis_minute_auxiliary(const struct session_record *record, int hold, sample_source *source,
                               void *context, struct minute_auxiliary *rows, size_t most)
{
    const struct capture_record *capture = &record->capture[record->hold[hold].capture];
    struct filling filling = {.placing = analysis_placing_of(record, record->hold[hold].build),
                              .rows = rows,
                              .most = most};
    for (size_t row = 0; row < most; row++) {
        end_minute(&filling.sums, &rows[row]); /* nothing seen yet */
    }
    if (most > 0 && samples_in_turn(source, context, capture->first_sample, capture->last_sample,
                                    take_samples, &filling)) {
        end_minute(&filling.sums, &rows[filling.row]);
    }
}
