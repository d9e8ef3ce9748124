/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The made-up session's sensors: what is on the wire, and how the checks stand. */
#include "base/random.h"
#include "base/text.h"
#include "support/views.h"

#include <math.h>
#include <string.h>

struct check_record *made_checked(struct view *view, enum check_kind kind, int channel,
                                  enum check_verdict verdict, double at_s, const char *words)
{
    struct session_record *record = &made_snapshot(view)->record;
    struct check_record *check = &record->check[record->check_count++];
    struct random_source random;
    memset(check, 0, sizeof *check);
    random_seed(&random, 1);
    check->uuid = uuid_make(&random, record->started_ms + (int64_t)(at_s * 1000.0));
    check->kind = kind;
    check->channel = channel;
    check->verdict = verdict;
    for (int i = 0; i < CHECK_PHASES_MAX; i++) {
        check->asked_mm[i] = NAN;
    }
    text_copy(check->words, sizeof check->words, words);
    return check;
}

void made_off_scale(struct check_record *check)
{
    check->verdict = CHECK_FAILED;
    check->asked_mm[0] = 25.0;
    check->number_count = 2;
    check->number[0] = (struct check_number){
        .quantity = CHECK_BLOCK_STEP, .channel = check->channel, .value = 27.1};
    check->number[1] =
        (struct check_number){.quantity = CHECK_LIMIT, .channel = check->channel, .value = 1.5};
}

void made_results(struct view *view)
{
    made_checked(view, CHECK_RIDER, -1, CHECK_PASSED, 95.0,
                 "the head follows the nod, the body is followed up and down; nothing follows the "
                 "hands, no beam sees two things");
    made_checked(view, CHECK_BEAM, 0, CHECK_PASSED, 140.0,
                 "head follows: 106 mm shorter; no other sensor responds");
    made_off_scale(made_checked(
        view, CHECK_STEP, 0, CHECK_FAILED, 190.0,
        "head: the block of 25 mm reads 27.1 \u00B10.2 mm (limit \u00B11.5); a millimetre reads +8 "
        "\u00B11 %: calibrate the sensor"));
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
