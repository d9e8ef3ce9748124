/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "machine.h"

#include "base/text.h"

#include <math.h>
#include <string.h>

/* What the view shows of the checks: the one that is going on, the sensors' readings, what was
 * found. */

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
                sum += (double)samples[i].range_tenth_mm[c] / 10.0;
                good++;
            }
        }
        sent_mm[c] = range_mm[c] = NAN;
        if (good > 0) {
            sent_mm[c] = sum / (double)good;
            range_mm[c] = placing->channel[c].gain * sent_mm[c] + placing->channel[c].offset_mm;
        }
    }
}

static bool is_listed(const struct view_check *view, const struct view_check_result *row)
{
    for (int i = 0; i < view->result_count; i++) {
        if (view->result[i].kind == row->kind &&
            text_equal(view->result[i].channel, row->channel)) {
            return true;
        }
    }
    return false;
}

static void fill_result(const struct session_record *record, int index,
                        struct view_check_result *row)
{
    const struct check_record *check = &record->check[index];
    row->number = index + 1;
    row->kind = check->kind;
    row->verdict = check->verdict;
    row->wants_calibration = check_wants_calibration(check);
    row->at_s = check_time_s(record, check);
    row->channel[0] = '\0';
    if (check->channel >= 0) {
        memcpy(row->channel, record->placing[check->placing].channel[check->channel].name,
               sizeof row->channel);
    }
    memcpy(row->asked_mm, check->asked_mm, sizeof row->asked_mm);
    memcpy(row->words, check->words, sizeof row->words);
}

/* What was found before the sensors were fixed anew says nothing of them now. */
static void fill_results(const struct session *session, struct view_check *view)
{
    const struct session_record *record = &session->record;
    view->result_count = 0;
    for (int i = record->check_count - 1; i >= 0 && view->result_count < VIEW_CHECKS; i--) {
        struct view_check_result *row = &view->result[view->result_count];
        if (record->check[i].placing != session->placing) {
            continue;
        }
        fill_result(record, i, row);
        view->result_count += is_listed(view, row) ? 0 : 1;
    }
    for (int low = 0, high = view->result_count - 1; low < high; low++, high--) {
        struct view_check_result later = view->result[low];
        view->result[low] = view->result[high];
        view->result[high] = later;
    }
}

void check_fill_view(struct session *session, struct view_check *view)
{
    double now_s = machine_now_s(session);
    fill_results(session, view);
    view->running = session->activity == ACTIVITY_CHECK;
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
        bool former = view->running && session->check_phase > 0;
        view->former_mm[c] = former ? session->check_former_mm[c] : (double)NAN;
    }
    if (!view->running) {
        return;
    }
    const struct check_phase *phase = &session->check_plan.phase[session->check_phase];
    view->kind = session->check_plan.kind;
    view->channel = session->check_plan.channel;
    view->phase = session->check_phase;
    view->phase_count = session->check_plan.phase_count;
    memcpy(view->ask, phase->ask, sizeof view->ask);
    view->recording = session->begun;
    view->waits_for_go = !session->begun && isinf(session->settle_s);
    view->length_s = phase->length_s;
    if (session->begun) {
        view->left_s = phase->length_s - (now_s - (double)session->begin_us / 1e6);
    } else if (!view->waits_for_go) {
        view->left_s = session->settle_s - (now_s - (double)session->asked_at_us / 1e6);
    }
}
