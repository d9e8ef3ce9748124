/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "capture.h"

#include "bands_proposed.h"
#include "check_phase.h"
#include "commands.h"
#include "heights.h"
#include "machine_effects.h"
#include "resit.h"
#include "retie.h"
#include "ride_measure.h"

#include "analysis/hold_use.h"
#include "base/numbers.h"
#include "measure/plate_still.h"
#include "measure/rules.h"
#include "say/holds.h"
#include "say/slip.h"
#include "say/taken.h"
#include "say/target.h"

#include <math.h>
#include <stdlib.h>

/* What is in progress on the stream: a hold, a target or a plate reading, after its settling time.
 * Begins and ends by sample time. */

bool capture_start(struct session *session, enum activity activity, enum capture_kind kind,
                   double settle_s, double planned_s, struct problem *problem)
{
    struct session_record *record = &session->record;
    if (session->doing.activity != ACTIVITY_NONE) {
        return problem_set(problem,
                           "there is a hold, target or plate reading in progress: stop it first");
    }
    if (!acts_room(session, EFFECT_CAPTURE, 1)) {
        return problem_set(problem, "no more than %d captures in a session", CAPTURES_MAX);
    }
    if (!machine_ensure_build(session, problem)) {
        return false;
    }
    ride_measure_drop(session);
    session->doing.capture = record->capture_count++;
    record->capture[session->doing.capture] = (struct capture_record){
        .uuid = machine_uuid(session, EFFECT_CAPTURE, session->doing.capture), .kind = kind};
    session->doing.activity = activity;
    session->begun = false;
    session->doing.asked_at_us = session->has_sample ? session->last.time_us : 0;
    session->doing.settle_s = settle_s;
    session->doing.planned_s = planned_s;
    session->doing.length_proposed = activity != ACTIVITY_TARGET;
    session->progress_second = -1;
    session->serial++;
    return true;
}

/* Holds that setups are compared by. */
static bool asks_for_resit(const struct hold_record *hold)
{
    return !hold->guided && hold->purpose == PURPOSE_NONE && !hold->kept_afterwards;
}

static void begin(struct session *session, const struct sample *sample)
{
    struct session_record *record = &session->record;
    session->begun = true;
    session->doing.begin_us = sample->time_us;
    session->progress_second = -1;
    record->capture[session->doing.capture].first_sample = sample->number;
    if (ride_measure_is_on(session)) {
        ride_measure_begin(session);
    }
    if (!ride_measure_is_on(session) || session->elsewhere == NULL) {
        memory_pin_begin(session->memory, sample->number);
    }
    machine_emit(session, EFFECT_CAPTURE, session->doing.capture);
    if (session->doing.activity == ACTIVITY_HOLD) {
        struct hold_record *hold = &record->hold[session->doing.hold];
        if (asks_for_resit(hold) && hold->resit == RESIT_UNKNOWN && !session->doing.unwatched) {
            hold->resit = resit_found(session);
        }
        machine_emit(session, EFFECT_HOLD, session->doing.hold);
        machine_say(session, "hold %d is being recorded", record->hold[session->doing.hold].number);
    } else if (session->doing.activity == ACTIVITY_TARGET) {
        machine_emit(session, EFFECT_TARGET, record->target_count - 1);
    }
}

static void analysis_failed(struct session *session, const struct problem *problem)
{
    machine_say(session, "%s", problem->sentence);
    session->message_is_problem = true;
}

/* A level that is hardly the rider's stays said until a key: the holds after it would be as it is.
 */
static void say_ended(struct session *session, int hold)
{
    const struct session_record *record = &session->record;
    const struct analysis *analysis = session->analysis;
    char text[SAY_SIZE], far[SAY_SIZE] = "";
    say_hold_ended(text, sizeof text, &record->hold[hold], analysis_hold_is_long(analysis, hold),
                   hold_is_same_sit(record, analysis, hold), &analysis->hold[hold]);
    for (int c = 0; c < analysis->channel_count && far[0] == '\0'; c++) {
        say_far_level(far, sizeof far, record, analysis, hold, c);
    }
    machine_say(session, "%s%s%s", text, far[0] != '\0' ? "; " : "", far);
    session->message_is_problem = session->message_is_problem || far[0] != '\0';
}

static void end_hold(struct session *session, enum hold_status status)
{
    struct hold_record *hold = &session->record.hold[session->doing.hold];
    struct problem problem = {0};
    hold->status = status;
    machine_emit(session, EFFECT_HOLD, session->doing.hold);
    int anew = ride_measure_end(session) ? -1 : session->doing.hold;
    if (!analysis_add_hold(&session->record, anew, session_samples, session, session->analysis,
                           &problem)) {
        analysis_failed(session, &problem);
        return;
    }
    retie_history(session); /* a reference channel's hold ties its build */
    if (asks_for_resit(hold)) {
        resit_begin(session);
    }
    say_ended(session, session->doing.hold);
}

static void end_target(struct session *session)
{
    struct session_record *record = &session->record;
    int target = record->target_count - 1;
    struct problem problem = {0};
    record->target[target].kept = true;
    session->target = target;
    machine_emit(session, EFFECT_TARGET, target);
    if (!analysis_add_target(record, target, session_samples, session, session->analysis,
                             &problem)) {
        analysis_failed(session, &problem);
        return;
    }
    machine_retarget(session);
    bands_propose(session);
    double worst_mm = 0.0;
    bool settled = true;
    for (int c = 0; c < session->analysis->channel_count; c++) {
        const struct channel_target *result = &session->analysis->target[target][c];
        if (!session->analysis->body[c]) {
            continue;
        }
        settled = settled && !result->not_settled;
        if (!isnan(worst_mm) && !(result->has && result->half_width_mm <= worst_mm)) {
            worst_mm = result->has ? result->half_width_mm : (double)NAN;
        }
    }
    char text[SAY_SIZE];
    say_target_kept(text, sizeof text, worst_mm, record->target[target].until_mm, settled);
    machine_say(session, "%s", text);
}

/* The plate's range: the median of the good readings of each channel that wants one. */
static int compare_int32(const void *a, const void *b)
{
    int32_t x = *(const int32_t *)a, y = *(const int32_t *)b;
    return (x > y) - (x < y);
}

/* Was the plate held still before a channel? Calibrated ranges in the order in which they came. */
static bool plate_moved(const struct channel_record *channel, const int32_t *ranges, size_t count,
                        double *moved_mm)
{
    double *mm = malloc((count + 1) * sizeof *mm);
    struct plate_still still = {.moved = false};
    for (size_t i = 0; mm != NULL && i < count; i++) {
        mm[i] = calibrated_mm(channel, (double)ranges[i]);
    }
    bool moved = mm != NULL && plate_still(mm, count, &still) == MEASURE_OK && still.moved;
    free(mm);
    *moved_mm = still.moved_mm;
    return moved;
}

/* The plate before the holds and now, on the channel on which they are the furthest apart. */
static double ends_apart_mm(const struct session *session)
{
    double worst_mm = NAN;
    for (int c = 0; c < session->analysis->channel_count; c++) {
        double apart_mm = session->analysis->tie[session->build][c].ends_apart_mm;
        if (session->analysis->body[c] && !(apart_mm <= worst_mm) && !isnan(apart_mm)) {
            worst_mm = apart_mm;
        }
    }
    return worst_mm;
}

/* A channel's good readings of a plate, in tenths of mm; gives how many. */
static size_t good_ranges(const struct sample *samples, size_t count, int channel, int32_t *ranges)
{
    size_t good = 0;
    for (size_t i = 0; i < count; i++) {
        if (samples[i].quality[channel] == READING_GOOD) {
            ranges[good++] = samples[i].range_tenth_mm[channel];
        }
    }
    return good;
}

/* Mean of the middle half, tenths of mm: as robust as needed, finer than the sensors' quantum. */
static double middle_mean(int32_t *ranges, size_t count)
{
    double sum = 0.0;
    size_t from = count / 4, to = count - count / 4;
    qsort(ranges, count, sizeof *ranges, compare_int32);
    for (size_t i = from; i < to; i++) {
        sum += (double)ranges[i];
    }
    return sum / (double)(to - from);
}

static void keep_plate(struct session *session, int channel, double value_mm, int64_t at_sample)
{
    struct session_record *record = &session->record;
    record->tie_reading[record->tie_reading_count] = (struct tie_reading_record){
        .uuid = machine_tie_uuid(session, session->build),
        .kind = TIE_READING_PLATE,
        .build = session->build,
        .channel = channel,
        .value_mm = value_mm,
        .plate_height_mm =
            machine_plate_height_mm(session, session->build, channel, session->doing.plate_rest,
                                    session->doing.plate_height_mm),
        .rest = session->doing.plate_rest,
        .at_sample = at_sample,
    };
    machine_emit(session, EFFECT_TIE_READING, record->tie_reading_count++);
}

static void end_plate(struct session *session)
{
    const struct capture_record *capture = &session->record.capture[session->doing.capture];
    const struct placing_record *placing = machine_placing(session);
    const struct sample *samples = NULL;
    size_t count = 0;
    int read = 0;
    const char *moved_channel = NULL;
    double moved_mm = 0, moved_here_mm;
    int32_t *ranges = NULL;
    if (placing != NULL &&
        session_samples(session, capture->first_sample, capture->last_sample, &samples, &count)) {
        ranges = malloc(count * sizeof *ranges);
    }
    for (int c = 0; ranges != NULL && c < placing->channel_count; c++) {
        size_t good = good_ranges(samples, count, c, ranges);
        if (placing->channel[c].role != ROLE_BODY || good < (size_t)PLATE_READINGS_MIN ||
            !acts_room(session, EFFECT_TIE_READING, 1)) {
            continue;
        }
        if (plate_moved(&placing->channel[c], ranges, good, &moved_here_mm)) {
            bool most = moved_channel == NULL || moved_here_mm > moved_mm;
            moved_channel = most ? placing->channel[c].name : moved_channel;
            moved_mm = most ? moved_here_mm : moved_mm;
            continue;
        }
        double mean_mm = calibrated_mm(&placing->channel[c], middle_mean(ranges, good));
        keep_plate(session, c, mean_mm, capture->last_sample);
        read++;
    }
    free(ranges);
    machine_ties_changed(session);
    char text[SAY_SIZE];
    say_plate_read(text, sizeof text, read, moved_channel, moved_mm, ends_apart_mm(session));
    machine_say(session, "%s", text);
    session->message_is_problem = read == 0 || moved_channel != NULL;
    if (read > 0) {
        machine_say_alarms(session, session->build);
    }
}

void capture_drop_target(struct session *session)
{
    if (!session->begun) {
        capture_stop(session, HOLD_STOPPED);
        return;
    }
    int target = session->record.target_count - 1;
    session->record.capture[session->doing.capture].last_sample = session->last.number;
    memory_pin_end(session->memory, session->last.number); /* all is worked out anew now and then */
    machine_emit(session, EFFECT_CAPTURE, session->doing.capture);
    machine_emit(session, EFFECT_TARGET, target);
    analysis_add_target(&session->record, target, session_samples, session, session->analysis,
                        NULL);
    session->doing.activity = ACTIVITY_NONE;
    session->begun = false;
    session->progress_second = -1;
    machine_say(session, session->target >= 0 ? "target dropped: the one before it stands"
                                              : "target dropped");
}

void capture_stop(struct session *session, enum hold_status status)
{
    enum activity activity = session->doing.activity;
    if (activity == ACTIVITY_NONE) {
        return;
    }
    struct capture_record *capture = &session->record.capture[session->doing.capture];
    if (session->begun) {
        capture->last_sample = session->last.number;
        memory_pin_end(session->memory, capture->last_sample);
        machine_emit(session, EFFECT_CAPTURE, session->doing.capture);
    }
    session->doing.activity = ACTIVITY_NONE;
    session->progress_second = -1;
    if (activity == ACTIVITY_CHECK) {
        session->record.capture_count -= session->begun ? 0 : 1;
        session->begun = false;
        check_phase_ended(session, status != HOLD_COMPLETE);
        return;
    }
    if (!session->begun) {
        /* Nothing was recorded: the places taken for it are given back. */
        session->record.capture_count--;
        if (activity == ACTIVITY_HOLD) {
            session->record.hold_count--;
        } else if (activity == ACTIVITY_TARGET) {
            session->record.target_count--;
        }
        machine_say(session, "countdown stopped");
    } else if (activity == ACTIVITY_HOLD) {
        end_hold(session, status);
    } else if (activity == ACTIVITY_TARGET) {
        end_target(session);
    } else {
        end_plate(session);
    }
    session->begun = false;
}

void capture_cancel(struct session *session)
{
    struct session_record *record = &session->record;
    if (!session->begun) {
        capture_stop(session, HOLD_STOPPED);
        return;
    }
    record->capture[session->doing.capture].last_sample = session->last.number;
    memory_pin_end(session->memory, session->last.number);
    machine_emit(session, EFFECT_CAPTURE, session->doing.capture);
    if (session->doing.activity == ACTIVITY_HOLD) {
        record->hold[session->doing.hold].status = HOLD_STOPPED;
        machine_emit(session, EFFECT_HOLD, session->doing.hold);
    }
    session->doing.activity = ACTIVITY_NONE;
    session->begun = false;
    session->progress_second = -1;
}

static bool body_so_far(struct session *session, int channel, struct target_estimate *estimate)
{
    return analysis_target_stretch(&session->record, session->analysis, session->build, channel,
                                   session->record.capture[session->doing.capture].first_sample,
                                   session->last.number, session_samples, session, estimate);
}

bool capture_target_can_be_kept(struct session *session)
{
    const struct placing_record *placing = machine_placing(session);
    bool enough = true, any = false;
    for (int c = 0; placing != NULL && c < placing->channel_count; c++) {
        struct target_estimate estimate;
        if (placing->channel[c].role == ROLE_BODY) {
            any = true;
            enough = enough && body_so_far(session, c, &estimate) &&
                     (estimate.has_interval || estimate.not_settled);
        }
    }
    return any && enough;
}

/* How long the target's capture is to become, seen now: as its slowest channel wants. */
static double target_takes_s(struct session *session, double elapsed_s)
{
    const struct placing_record *placing = machine_placing(session);
    double takes_s = 0.0;
    bool any = false;
    for (int c = 0; placing != NULL && c < placing->channel_count; c++) {
        struct target_estimate estimate;
        if (placing->channel[c].role == ROLE_BODY) {
            any = true;
            body_so_far(session, c, &estimate);
            takes_s = fmax(takes_s,
                           target_length_s(&estimate, &session->doing.target_settings, elapsed_s));
        }
    }
    return any ? takes_s : session->doing.target_settings.at_most_s;
}

static void step(struct session *session, const struct sample *sample)
{
    if (!session->begun) {
        if ((double)(sample->time_us - session->doing.asked_at_us) / 1e6 >=
            session->doing.settle_s) {
            begin(session, sample);
            ride_measure_sample(session, sample);
        }
        return;
    }
    ride_measure_sample(session, sample);
    double elapsed_s = (double)(sample->time_us - session->doing.begin_us) / 1e6;
    bool over = elapsed_s >= session->doing.planned_s;
    if (over && session->doing.activity == ACTIVITY_TARGET) {
        session->doing.planned_s = target_takes_s(session, elapsed_s);
        session->doing.length_proposed = true;
        over = elapsed_s >= session->doing.planned_s;
    }
    if (over) {
        capture_stop(session, HOLD_COMPLETE);
    }
}

/* The act that began it, where it is over by now. */
static void close_act(struct session *session, enum activity activity)
{
    if (session->doing.activity == ACTIVITY_NONE) {
        acts_close_running(session, activity == ACTIVITY_HOLD     ? ACTS_END_THERE
                                    : activity == ACTIVITY_TARGET ? ACTS_END_LAST
                                                                  : ACTS_END_MADE);
    } else {
        session->acts->open = NULL;
    }
}

void capture_sample(struct session *session, const struct sample *sample)
{
    enum activity activity = session->doing.activity;
    acts_open_running(session);
    step(session, sample);
    close_act(session, activity);
}

void capture_end(struct session *session, enum hold_status status)
{
    enum activity activity = session->doing.activity;
    acts_open_running(session);
    capture_stop(session, status);
    close_act(session, activity);
}
