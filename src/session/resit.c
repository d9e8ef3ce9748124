/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "resit.h"

#include "analysis/analysis.h"
#include "measure/rules.h"

#include <math.h>
#include <string.h>

void resit_begin(struct session *session)
{
    struct resit_watch *watch = &session->resit;
    *watch = (struct resit_watch){.hold = session->doing.hold, .last_us = session->last.time_us};
    watch->of = session->record.hold[watch->hold].uuid;
}

/* The hold it watches from still stands, and nothing was built since. */
static bool goes_on(const struct session *session)
{
    const struct resit_watch *watch = &session->resit;
    const struct session_record *record = &session->record;
    return watch->hold >= 0 && watch->hold < record->hold_count &&
           record->hold[watch->hold].build == session->build &&
           memcmp(&record->hold[watch->hold].uuid, &watch->of, sizeof watch->of) == 0;
}

/* How many channels of the body are seen, and how many of them are far over where they were held.
 */
static void look(const struct session *session, int hold, const struct sample *sample, int *seen,
                 int *up)
{
    const struct analysis *analysis = session->analysis;
    const struct hold_result *held = &analysis->hold[hold];
    *seen = *up = 0;
    for (int c = 0; c < analysis->channel_count; c++) {
        bool known = analysis->body[c] && held->has[c] && held->summary[c].status == MEASURE_OK;
        if (known && sample->quality[c] == READING_GOOD) {
            double height_mm = analysis_height_mm(&session->record, analysis, session->build, c,
                                                  sample->range_tenth_mm[c]);
            ++*seen;
            *up += height_mm - held->summary[c].mean_mm > RESIT_UP_MM;
        }
    }
}

/* How long it is since the sample before. */
static double step(const struct session *session, struct resit_watch *watch,
                   const struct sample *sample)
{
    double step_s = (double)(sample->time_us - watch->last_us) / 1e6;
    int seen, up;
    watch->last_us = sample->time_us;
    look(session, watch->hold, sample, &seen, &up);
    watch->looked_s += step_s;
    watch->unseen_s = seen > 0 ? 0.0 : watch->unseen_s + step_s;
    watch->up_s = up > 0 ? watch->up_s + step_s : seen > 0 ? 0.0 : watch->up_s;
    watch->up = watch->up || watch->up_s >= RESIT_UP_S;
    return step_s;
}

bool resit_was_since(struct session *session, int hold, int64_t sample)
{
    const struct sample *samples = NULL;
    size_t count = 0;
    struct resit_watch watch = {.hold = hold};
    if (!session_samples(session, sample, session->last.number, &samples, &count) || count == 0) {
        return false;
    }
    watch.last_us = samples[0].time_us;
    for (size_t i = 1; i < count && !watch.up; i++) {
        step(session, &watch, &samples[i]);
    }
    return watch.up;
}

void resit_sample(struct session *session, const struct sample *sample)
{
    struct resit_watch *watch = &session->resit;
    if (!goes_on(session)) {
        watch->hold = -1;
        return;
    }
    double step_s = step(session, watch, sample);
    bool others = session->begun && (session->doing.activity == ACTIVITY_PLATE ||
                                     session->doing.activity == ACTIVITY_CHECK);
    watch->blind = watch->blind || others || sample->link_gap_before || step_s >= RESIT_UP_S ||
                   watch->unseen_s >= RESIT_UP_S;
}

enum resit resit_found(const struct session *session)
{
    const struct resit_watch *watch = &session->resit;
    if (!goes_on(session)) {
        return RESIT_UNKNOWN;
    }
    return watch->up                                          ? RESIT_SEEN
           : watch->blind || watch->looked_s < RESIT_LOOKED_S ? RESIT_UNKNOWN
                                                              : RESIT_NOT_SEEN;
}

bool resit_is_due(const struct session *session)
{
    return goes_on(session) && !session->resit.up && !session->resit.blind;
}
