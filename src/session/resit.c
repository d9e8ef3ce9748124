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

/* Where each part of the body was held on a build; NAN: not known. */
struct held {
    int build;
    double at_mm[CHANNELS_MAX];
};

/* One sample more. */
static void step(const struct session *session, const struct held *held, struct resit_watch *watch,
                 const struct sample *sample)
{
    double step_s = (double)(sample->time_us - watch->last_us) / 1e6;
    int seen = 0, up = 0;
    for (int c = 0; c < session->analysis->channel_count; c++) {
        if (!isnan(held->at_mm[c]) && sample->quality[c] == READING_GOOD) {
            double height_mm = analysis_height_mm(&session->record, session->analysis, held->build,
                                                  c, sample->range_tenth_mm[c]);
            seen++;
            up += height_mm - held->at_mm[c] > RESIT_UP_MM;
        }
    }
    watch->last_us = sample->time_us;
    watch->looked_s += step_s;
    watch->unseen_s = seen > 0 ? 0.0 : watch->unseen_s + step_s;
    watch->up_s = up > 0 ? watch->up_s + step_s : seen > 0 ? 0.0 : watch->up_s;
    watch->up = watch->up || watch->up_s >= RESIT_UP_S;
    watch->blind = watch->blind || sample->link_gap_before || step_s >= RESIT_UP_S ||
                   watch->unseen_s >= RESIT_UP_S;
}

enum resit resit_since(struct session *session, int build, int64_t first, int64_t sample)
{
    const struct sample *samples = NULL;
    size_t count = 0;
    struct resit_watch watch = {.hold = -1};
    struct held held = {.build = build};
    for (int c = 0; c < CHANNELS_MAX; c++) {
        struct hold_summary summary;
        bool known = c < session->analysis->channel_count && session->analysis->body[c] &&
                     analysis_stretch(&session->record, session->analysis, build, c, first, sample,
                                      session_samples, session, NULL, &summary) &&
                     summary.status == MEASURE_OK;
        held.at_mm[c] = known ? summary.mean_mm : NAN;
    }
    if (!session_samples(session, sample, session->last.number, &samples, &count)) {
        return RESIT_UNKNOWN;
    }
    watch.last_us = count > 0 ? samples[0].time_us : 0;
    for (size_t i = 1; i < count && !watch.up; i++) {
        step(session, &held, &watch, &samples[i]);
    }
    return watch.up ? RESIT_SEEN : watch.blind ? RESIT_UNKNOWN : RESIT_NOT_SEEN;
}

void resit_sample(struct session *session, const struct sample *sample)
{
    struct resit_watch *watch = &session->resit;
    if (!goes_on(session)) {
        watch->hold = -1;
        return;
    }
    const struct hold_result *result = &session->analysis->hold[watch->hold];
    struct held held = {.build = session->build};
    for (int c = 0; c < CHANNELS_MAX; c++) {
        bool known =
            session->analysis->body[c] && result->has[c] && result->summary[c].status == MEASURE_OK;
        held.at_mm[c] = known ? result->summary[c].mean_mm : NAN;
    }
    step(session, &held, watch, sample);
    watch->blind = watch->blind || (session->begun && (session->doing.activity == ACTIVITY_PLATE ||
                                                       session->doing.activity == ACTIVITY_CHECK));
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
