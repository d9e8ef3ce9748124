/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check_phase.h"

#include <math.h>
#include <string.h>

/* What the view shows of the check that is going on, and the sensors' readings. */

bool session_waits_for_go(const struct session *session)
{
    return session->doing.activity == ACTIVITY_CHECK && !session->begun &&
           isinf(session->doing.settle_s);
}

void check_ranges(struct session *session, double sent_mm[CHANNELS_MAX],
                  double range_mm[CHANNELS_MAX])
{
    const struct placing_record *placing = machine_placing(session);
    const struct sample *samples = NULL;
    size_t count = 0;
    int64_t first = session->has_sample
                        ? memory_first_since(session->memory, session->last.time_us - 1000000)
                        : 0;
    bool there = first >= 1 && placing != NULL &&
                 session_samples(session, first, session->last.number, &samples, &count);
    for (int c = 0; c < CHANNELS_MAX; c++) {
        double sum = 0.0;
        size_t good = 0;
        for (size_t i = 0; there && c < placing->channel_count && i < count; i++) {
            if (samples[i].quality[c] == READING_GOOD) {
                sum += (double)samples[i].range_tenth_mm[c];
                good++;
            }
        }
        sent_mm[c] = range_mm[c] = NAN;
        if (good > 0) {
            sent_mm[c] = sum / (double)good / 10.0;
            range_mm[c] = calibrated_mm(&placing->channel[c], sum / (double)good);
        }
    }
}

void check_fill_view(struct session *session, struct view_check *view)
{
    double now_s = machine_now_s(session);
    view->running = session->doing.activity == ACTIVITY_CHECK;
    view->recording = view->waits_for_go = false;
    view->left_s = view->length_s = 0.0;
    view->phase = view->phase_count = 0;
    view->ask[0] = '\0';
    /* four times a second, as digits that are to be read */
    int64_t quarter = session->has_sample ? session->last.time_us / 250000 : 0;
    if (quarter != session->check_quarter) {
        session->check_quarter = quarter;
        check_ranges(session, session->check_sent_mm, session->check_range_mm);
    }
    for (int c = 0; c < CHANNELS_MAX; c++) {
        view->sent_mm[c] = session->check_sent_mm[c];
        view->range_mm[c] = session->check_range_mm[c];
        bool former = view->running && session->doing.check_phase > 0;
        view->former_mm[c] = former ? session->doing.check_former_mm[c] : (double)NAN;
    }
    if (!view->running) {
        return;
    }
    const struct check_phase *phase = &session->doing.check_plan.phase[session->doing.check_phase];
    view->kind = session->doing.check_plan.kind;
    view->channel = session->doing.check_plan.channel;
    view->phase = session->doing.check_phase;
    view->phase_count = session->doing.check_plan.phase_count;
    memcpy(view->ask, phase->ask, sizeof view->ask);
    view->recording = session->begun;
    view->waits_for_go = session_waits_for_go(session);
    view->length_s = phase->length_s;
    if (session->begun) {
        view->left_s = phase->length_s - (now_s - (double)session->doing.begin_us / 1e6);
    } else if (!view->waits_for_go) {
        view->left_s = session->doing.settle_s - (now_s - (double)session->doing.asked_at_us / 1e6);
    }
}
