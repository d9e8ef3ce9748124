/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The made-up session's sensors: what is on the wire, and how the checks stand. */
#include "base/text.h"
#include "support/views.h"

#include <math.h>

static void add_result(struct view *view, enum check_kind kind, const char *channel, double at_s,
                       enum check_verdict verdict, const char *words)
{
    struct view_check_result *result = &view->check.result[view->check.result_count++];
    *result = (struct view_check_result){
        .number = view->check.result_count, .kind = kind, .at_s = at_s, .verdict = verdict};
    for (int i = 0; i < CHECK_PHASES_MAX; i++) {
        result->asked_mm[i] = NAN;
    }
    text_copy(result->channel, sizeof result->channel, channel);
    text_copy(result->words, sizeof result->words, words);
}

void made_results(struct view *view)
{
    add_result(view, CHECK_RIDER, "", 95.0, CHECK_PASSED,
               "the head follows the nod, the body is followed up and down; nothing follows the "
               "hands, no beam sees two things");
    add_result(view, CHECK_BEAM, "head", 140.0, CHECK_PASSED,
               "head follows: 106 mm shorter; no other sensor responds");
    add_result(view, CHECK_STEP, "head", 190.0, CHECK_FAILED,
               "head: the block of 25 mm reads 27.1 \u00B10.2 mm (limit \u00B11.5); a millimetre "
               "reads +8 \u00B11 %: calibrate the sensor");
    view->check.result[2].asked_mm[0] = 25.0;
    view->check.result[2].wants_calibration = true;
}

void made_check(struct view *view)
{
    struct view_check *check = &view->check;
    view->phase = VIEW_CHECK;
    check->running = check->waits_for_go = true;
    check->kind = CHECK_STEP;
    check->channel = 0;
    check->phase = 1;
    check->phase_count = 2;
    check->length_s = 10.0;
    text_copy(check->ask, sizeof check->ask,
              "lay the block of 25 mm on the plate, in the beam of head");
    text_copy(view->next_step, sizeof view->next_step, check->ask);
    text_copy(view->next_command, sizeof view->next_command, "check go");
    check->former_mm[0] = 437.7;
    check->former_mm[1] = 300.0;
}

void made_wire(struct view *view)
{
    struct snapshot *snapshot = made_snapshot(view);
    struct placing_record *placing = &snapshot->record.placing[0];
    snapshot->placing = 0;
    snapshot->record.placing_count = 1;
    text_copy(placing->rig_id, sizeof placing->rig_id, "bench-a");
    text_copy(view->dialect, sizeof view->dialect, "bench");
    text_copy(view->link_name, sizeof view->link_name, "serial:/dev/ttyACM0");
    view->health.clock_known = view->health.clock_rate_known = true;
    view->health.clock_error_ms = 0.13;
    view->health.clock_rate_ppm = -12.0;
    view->health.arrival_jitter_ms = 1.2;
    view->health.worst_gap_ms = 40.0;
    view->health.bytes_per_s = 1750.0;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        view->check.range_mm[c] = 412.4 - 112.4 * c;
        view->check.sent_mm[c] = view->check.range_mm[c];
        view->check.former_mm[c] = NAN;
    }
}
