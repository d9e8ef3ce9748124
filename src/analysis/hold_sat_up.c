/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis_inside.h"

#include "measure/sat_up.h"

#include <math.h>
#include <string.h>

/* A channel that tells of sitting up: of the body, with a band that ends above. */
struct teller {
    int channel;
    bool is_head;
    double limit_mm;
    struct cue_machine slow;
};

static int find_tellers(const struct session_record *record, int index,
                        const struct hold_settings *of, struct teller *tellers)
{
    const struct placing_record *placing = analysis_placing_of(record, record->hold[index].build);
    int count = 0;
    for (int c = 0; c < placing->channel_count; c++) {
        const struct hold_settings settings = of[c];
        if (placing->channel[c].role != ROLE_BODY || !settings.has_band ||
            !isfinite(settings.cue.band_above_mm)) {
            continue;
        }
        struct teller *teller = &tellers[count++];
        teller->channel = c;
        teller->is_head = strcmp(placing->channel[c].name, "head") == 0;
        teller->limit_mm = settings.target_mm + settings.cue.band_above_mm;
        cue_start(&teller->slow, &settings.cue, settings.target_mm, placing->announced_rate_hz);
    }
    return count;
}

int analysis_sat_up(const struct session_record *record, const struct analysis *analysis, int index,
                    const struct hold_settings *settings, const struct sample *samples,
                    size_t count, struct hold_cut *cuts, int most)
{
    struct teller tellers[CHANNELS_MAX];
    struct sat_up sat;
    int found = 0;
    int telling = find_tellers(record, index, settings, tellers);
    sat_up_start(&sat);
    double at_s = 0.0;
    for (size_t i = 0; telling > 0 && i < count && found < most; i++) {
        bool seen = false, over = false;
        at_s = (double)(samples[i].time_us - samples[0].time_us) / 1e6;
        for (int k = 0; k < telling; k++) {
            struct teller *teller = &tellers[k];
            if (samples[i].quality[teller->channel] != READING_GOOD) {
                continue;
            }
            double height_mm =
                analysis_height_mm(record, analysis, record->hold[index].build, teller->channel,
                                   samples[i].range_tenth_mm[teller->channel]);
            cue_step(&teller->slow, at_s, height_mm, true);
            seen = true;
            over = over || sat_up_is_over(teller->slow.slow_mm, teller->limit_mm, teller->is_head);
        }
        if (seen) {
            found += sat_up_step(&sat, at_s, over, &cuts[found]);
        }
    }
    if (found < most) {
        found += sat_up_end(&sat, at_s, &cuts[found]);
    }
    return found;
}
