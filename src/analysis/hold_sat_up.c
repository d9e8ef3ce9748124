/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis_inside.h"

#include <math.h>
#include <string.h>

static int find_tellers(const struct session_record *record, int index,
                        const struct hold_settings *of, struct up_teller *tellers)
{
    const struct placing_record *placing = analysis_placing_of(record, record->hold[index].build);
    int count = 0;
    for (int c = 0; c < placing->channel_count; c++) {
        const struct hold_settings settings = of[c];
        if (placing->channel[c].role != ROLE_BODY || !settings.has_band ||
            !isfinite(settings.cue.band_above_mm)) {
            continue;
        }
        struct up_teller *teller = &tellers[count++];
        teller->channel = c;
        teller->is_head = strcmp(placing->channel[c].name, "head") == 0;
        teller->limit_mm = settings.target_mm + settings.cue.band_above_mm;
        cue_start(&teller->slow, &settings.cue, settings.target_mm, placing->announced_rate_hz);
    }
    return count;
}

void up_watch_begin(struct up_watch *watch, const struct session_record *record, int index,
                    const struct hold_settings *settings)
{
    *watch = (struct up_watch){.build = record->hold[index].build};
    if (record->hold[index].purpose != PURPOSE_NONE) {
        watch->telling = find_tellers(record, index, settings, watch->teller);
    }
    sat_up_start(&watch->sat);
}

bool up_watch_step(struct up_watch *watch, const struct session_record *record,
                   const struct analysis *analysis, const struct sample *sample, double at_s,
                   struct hold_cut *cut)
{
    bool seen = false, over = false;
    watch->at_s = at_s;
    for (int k = 0; k < watch->telling; k++) {
        struct up_teller *teller = &watch->teller[k];
        if (sample->quality[teller->channel] != READING_GOOD) {
            continue;
        }
        double height_mm = analysis_height_mm(record, analysis, watch->build, teller->channel,
                                              sample->range_tenth_mm[teller->channel]);
        cue_step(&teller->slow, at_s, height_mm, true);
        seen = true;
        over = over || sat_up_is_over(teller->slow.slow_mm, teller->limit_mm, teller->is_head);
    }
    return seen && sat_up_step(&watch->sat, at_s, over, cut);
}

bool up_watch_end(struct up_watch *watch, struct hold_cut *cut)
{
    return sat_up_end(&watch->sat, watch->at_s, cut);
}

double up_watch_known_s(const struct up_watch *watch)
{
    double since_s = watch->sat.up ? watch->sat.back_s : watch->sat.since_s;
    return isnan(since_s) ? watch->at_s : since_s;
}

int analysis_sat_up(const struct session_record *record, const struct analysis *analysis, int index,
                    const struct hold_settings *settings, const struct sample *samples,
                    size_t count, struct hold_cut *cuts, int most)
{
    struct up_watch watch;
    int found = 0;
    up_watch_begin(&watch, record, index, settings);
    for (size_t i = 0; watch.telling > 0 && i < count && found < most; i++) {
        double at_s = (double)(samples[i].time_us - samples[0].time_us) / 1e6;
        found += up_watch_step(&watch, record, analysis, &samples[i], at_s, &cuts[found]);
    }
    if (found < most) {
        found += up_watch_end(&watch, &cuts[found]);
    }
    return found;
}

/* Seen by all sensors of the body that have a band, and not sat up. */
void analysis_posture_share(const struct session_record *record, int index,
                            const struct analysis *analysis, struct hold_result *result)
{
    double seen = 1.0;
    result->posture_share = NAN;
    for (int c = 0; c < analysis->channel_count; c++) {
        const struct hold_summary *summary = &result->summary[c];
        if (analysis->body[c] && result->has[c]) { /* of no readings 0 / 0, which says nothing */
            seen = fmin(seen, (double)summary->valid / (double)summary->readings);
        }
    }
    if (record->hold[index].purpose != PURPOSE_NONE && result->duration_s > 0.0) {
        result->posture_share = fmax(0.0, seen * (1.0 - result->sat_up_s / result->duration_s));
    }
}
