/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/record.h"

#include "base/text.h"
#include "measure/rules.h"

#include <string.h>

static void clear_placing(struct placing_record *placing)
{
    for (int i = 0; i < CHANNELS_MAX; i++) {
        struct channel_record *channel = &placing->channel[i];
        channel->mount.x_mm = channel->mount.y_mm = NAN;
        channel->mount.direction = 1;
        channel->gain = 1.0;
    }
}

static void clear_band(struct band_record *band)
{
    for (int i = 0; i < CHANNELS_MAX; i++) {
        band->cue[i] = cue_usual(false);
    }
}

void learnt_clear(struct learnt_repeatability *learnt)
{
    *learnt = (struct learnt_repeatability){
        .rider_sd_mm = NAN, .rider_df = NAN, .store_sd_mm = NAN, .store_df = NAN};
}

static struct spread spread_of(double sd_mm, double df)
{
    bool known = isfinite(sd_mm) && isfinite(df) && sd_mm > 0.0 && df > 0.0;
    return known ? (struct spread){sd_mm * sd_mm, df} : (struct spread){0.0, 0.0};
}

struct spread learnt_spread(const struct comparison_settings *settings, int channel)
{
    const struct learnt_repeatability *learnt = &settings->learnt[channel];
    struct spread rider = spread_of(learnt->rider_sd_mm, learnt->rider_df);
    struct spread store = spread_of(learnt->store_sd_mm, learnt->store_df);
    switch (settings->learnt_from) {
    case LEARNT_FROM_RIDER:
        return rider;
    case LEARNT_FROM_STORE:
        return store;
    case LEARNT_FROM_NONE:
        return (struct spread){0.0, 0.0};
    case LEARNT_FROM_ALL:
        break;
    }
    return spread_together(rider, store);
}

static void clear_target(struct target_record *target)
{
    target->capture = target->build = -1;
    target->until_mm = NAN;
    for (int i = 0; i < CHANNELS_MAX; i++) {
        target->entered_mm[i] = target->entered_half_width_mm[i] = NAN;
    }
}

void check_record_clear(struct check_record *check)
{
    memset(check, 0, sizeof *check);
    check->placing = check->build = check->channel = check->capture = -1;
    for (int i = 0; i < CHECK_PHASES_MAX; i++) {
        check->asked_mm[i] = NAN;
    }
}

void session_record_begin(struct session_record *record)
{
    int *const counts[] = {
        &record->placing_count,     &record->setup_count,   &record->build_count,
        &record->tie_reading_count, &record->capture_count, &record->target_count,
        &record->band_count,        &record->hold_count,    &record->mark_count,
        &record->rating_count,      &record->note_count,    &record->check_count,
        &record->cue_sound_count,   &record->air_count,     &record->run_count,
        &record->leg_count,
    };
    for (size_t i = 0; i < sizeof counts / sizeof counts[0]; i++) {
        *counts[i] = 0;
    }
    struct session_header header = {.settings.baseline_setup = 1, .settings.trunk_slope_deg = NAN};
    for (int i = 0; i < CHANNELS_MAX; i++) {
        header.settings.matters_mm[i] = MATTERS_MM;
        learnt_clear(&header.settings.learnt[i]);
    }
    bike_limits_clear(&header.limits);
    bike_torques_clear(&header.torques);
    drag_settings_clear(&header.drag);
    session_record_take_header(record, &header);
    record->last_sample = record->last_time_us = 0;
    record->has_rider = record->has_bike = false;
    memset(&record->rider, 0, sizeof record->rider);
    memset(&record->bike, 0, sizeof record->bike);
    bike_values_clear(&record->bike.frame);
}

void session_record_clear(struct session_record *record)
{
    memset(record, 0, sizeof *record);
    session_record_begin(record);
    for (int i = 0; i < PLACINGS_MAX; i++) {
        clear_placing(&record->placing[i]);
    }
    for (int i = 0; i < SETUPS_MAX; i++) {
        bike_values_clear(&record->setup[i].bike);
    }
    for (int i = 0; i < BUILDS_MAX; i++) {
        record->build[i].setup = record->build[i].placing = -1;
    }
    for (int i = 0; i < TIES_MAX; i++) {
        struct tie_reading_record *reading = &record->tie_reading[i];
        reading->build = reading->channel = -1;
        reading->value_mm = reading->plate_height_mm = NAN;
    }
    for (int i = 0; i < TARGETS_MAX; i++) {
        clear_target(&record->target[i]);
    }
    for (int i = 0; i < BANDS_MAX; i++) {
        clear_band(&record->band[i]);
    }
    for (int i = 0; i < HOLDS_MAX; i++) {
        struct hold_record *hold = &record->hold[i];
        hold->capture = hold->build = hold->target = hold->band = -1;
        hold->planned_s = hold->guessed_share = NAN;
    }
    for (int i = 0; i < MARKS_MAX; i++) {
        record->mark[i].hold = -1;
    }
    for (int i = 0; i < RATINGS_MAX; i++) {
        rating_clear(&record->rating[i]);
    }
    for (int i = 0; i < AIRS_MAX; i++) {
        air_record_clear(&record->air[i]);
    }
    for (int i = 0; i < RUNS_MAX; i++) {
        run_record_clear(&record->run[i]);
    }
    for (int i = 0; i < LEGS_MAX; i++) {
        leg_record_clear(&record->leg[i]);
    }
    for (int i = 0; i < CHECKS_MAX; i++) {
        check_record_clear(&record->check[i]);
    }
}

/* What a session's record and its header both have, from one into the other. */
#define COPY_HEADER(to, from)                                                                      \
    do {                                                                                           \
        (to)->uuid = (from)->uuid;                                                                 \
        (to)->started_ms = (from)->started_ms;                                                     \
        (to)->seed = (from)->seed;                                                                 \
        memcpy((to)->version, (from)->version, sizeof(to)->version);                               \
        (to)->ended = (from)->ended;                                                               \
        (to)->settings = (from)->settings;                                                         \
        (to)->limits = (from)->limits;                                                             \
        (to)->torques = (from)->torques;                                                           \
        (to)->drag = (from)->drag;                                                                 \
    } while (0)

void session_record_header(const struct session_record *record, struct session_header *header)
{
    memset(header, 0, sizeof *header);
    COPY_HEADER(header, record);
}

void session_record_take_header(struct session_record *record, const struct session_header *header)
{
    COPY_HEADER(record, header);
}

int session_record_setup(const struct session_record *record, int number)
{
    for (int i = 0; i < record->setup_count; i++) {
        if (record->setup[i].number == number) {
            return i;
        }
    }
    return -1;
}

bool session_record_build_has_captures(const struct session_record *record, int build)
{
    for (int h = 0; h < record->hold_count; h++) {
        if (record->hold[h].build == build) {
            return true;
        }
    }
    for (int t = 0; t < record->target_count; t++) {
        if (record->target[t].build == build && record->target[t].capture >= 0) {
            return true;
        }
    }
    return false;
}

bool session_record_has_captures(const struct session_record *record, int setup)
{
    for (int b = 0; b < record->build_count; b++) {
        if (record->build[b].setup == setup && session_record_build_has_captures(record, b)) {
            return true;
        }
    }
    for (int r = 0; r < record->run_count; r++) {
        if (record->run[r].setup == setup) {
            return true;
        }
    }
    return false;
}

bool tie_reading_is_datum(const struct tie_reading_record *reading)
{
    return reading->kind == TIE_READING_PLATE && reading->rest == REST_PADS &&
           reading->plate_height_mm == 0.0;
}

int session_record_baseline(const struct session_record *record)
{
    int setup = session_record_setup(record, record->settings.baseline_setup);
    return setup == -1 ? 0 : setup;
}

static int find_run(const struct session_record *record, const char *text, size_t length)
{
    char number[16] = "";
    int64_t wanted = 0;
    if (length == 0 || length >= sizeof number) {
        return -1;
    }
    memcpy(number, text, length);
    for (int r = 0; text_to_int64(number, &wanted) && r < record->run_count; r++) {
        if (record->run[r].number == wanted) {
            return r;
        }
    }
    return -1;
}

bool session_record_ridden(const struct session_record *record, const char *text, int *run,
                           int *leg)
{
    size_t whole = strcspn(text, ".");
    int64_t number = 0;
    *leg = -1;
    *run = find_run(record, text, whole);
    if (*run < 0 || text[whole] == '\0') {
        return *run >= 0;
    }
    for (int l = 0; text_to_int64(text + whole + 1, &number) && l < record->leg_count; l++) {
        if (record->leg[l].run == *run && record->leg[l].number == number) {
            *leg = l;
        }
    }
    return *leg >= 0;
}

double calibrated_mm(const struct channel_record *channel, double range_tenth_mm)
{
    return channel->gain * range_tenth_mm / 10.0 + channel->offset_mm;
}
