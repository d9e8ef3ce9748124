/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/full_session.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PLACINGS = 2, SETUPS = 3, BUILDS = 4, TIES = 3, CAPTURES = 6, FULL_TARGETS = 3, BANDS = 2 };
enum { AIRS = 2, RUNS = 3, LEGS = 4 };
enum { HOLDS = 4, FULL_MARKS = 5, RATINGS = 2, NOTES = 2, CHECKS = 3 };

static void name_uuid(struct uuid *uuid, unsigned seed, int kind, int index)
{
    memset(uuid->bytes, 0, sizeof uuid->bytes);
    uuid->bytes[0] = 0x01;
    uuid->bytes[6] = 0x70;
    uuid->bytes[8] = 0x80;
    uuid->bytes[12] = (uint8_t)(seed >> 8);
    uuid->bytes[13] = (uint8_t)seed;
    uuid->bytes[14] = (uint8_t)kind;
    uuid->bytes[15] = (uint8_t)index;
}

static void fill_placings(struct session_record *record, unsigned seed)
{
    static const enum channel_role roles[] = {ROLE_BODY, ROLE_REFERENCE, ROLE_AUXILIARY};
    record->placing_count = PLACINGS;
    for (int i = 0; i < PLACINGS; i++) {
        struct placing_record *placing = &record->placing[i];
        name_uuid(&placing->uuid, seed, 1, i);
        placing->first_sample = 1 + 500 * i;
        snprintf(placing->rig_id, sizeof placing->rig_id, "bench-%d", i);
        placing->announced_rate_hz = 50.0 + 0.1 * i;
        placing->channel_count = 2 + i;
        for (int c = 0; c < placing->channel_count; c++) {
            struct channel_record *channel = &placing->channel[c];
            static const char *const names[] = {"head", "chest", "plate"};
            snprintf(channel->name, sizeof channel->name, "%s", names[c % 3]);
            snprintf(channel->mark, sizeof channel->mark, "mark %d of \"%d\"", c, i);
            channel->role = roles[c % 3];
            channel->mounted = c != 1;
            channel->mount.carrier = (enum carrier)((c + i) % CARRIERS);
            channel->mount.x_mm = 120.25 + c;
            channel->mount.y_mm = c == 2 ? (double)NAN : 40.5 - c;
            channel->mount.tilt_deg = 8.125 * c;
            channel->mount.direction = c == 1 ? -1 : 1;
            channel->gain = 1.0 + 0.001 * c;
            channel->offset_mm = 1.7 - 0.3 * c;
        }
    }
}

static void fill_bikes(struct session_record *record, unsigned seed)
{
    record->has_rider = record->has_bike = true;
    name_uuid(&record->rider.uuid, seed, 2, 0);
    snprintf(record->rider.code, sizeof record->rider.code, "R-%02u", seed);
    snprintf(record->rider.name, sizeof record->rider.name,
             "winter rider %u, Gr\xc3\xb6\xc3\x9f"
             "e",
             seed);
    record->rider.health = ANSWER_YES;
    snprintf(record->rider.watch_for, sizeof record->rider.watch_for, "left wrist; o'clock %u",
             seed);
    name_uuid(&record->bike.uuid, seed, 3, 0);
    snprintf(record->bike.name, sizeof record->bike.name, "training bike");
    record->bike.frame.value[BIKE_STACK] = 545.0 + seed;
    record->bike.frame.value[BIKE_REACH] = 410.1;
    record->bike.frame.value[BIKE_HEAD_ANGLE] = 73.0;
    record->setup_count = SETUPS;
    for (int i = 0; i < SETUPS; i++) {
        static const int numbers[] = {1, 3, 2};
        struct setup_record *setup = &record->setup[i];
        name_uuid(&setup->uuid, seed, 4, i);
        setup->number = numbers[i];
        snprintf(setup->intent, sizeof setup->intent, "intent %d", i);
        for (int key = 0; key < BIKE_KEYS; key++) {
            setup->bike.value[key] = (key + i) % 4 == 0 ? (double)NAN : key * 10.0 + i / 3.0;
        }
    }
    record->build_count = BUILDS;
    for (int i = 0; i < BUILDS; i++) {
        struct build_record *build = &record->build[i];
        name_uuid(&build->uuid, seed, 5, i);
        build->setup = i % SETUPS;
        build->placing = i / 2;
        build->ordinal = 1 + i / SETUPS;
        build->first_sample = 1 + 250 * i;
        build->moved = (enum answer)(i % 3); /* not asked, yes, no */
    }
    record->tie_reading_count = TIES;
    for (int i = 0; i < TIES; i++) {
        struct tie_reading_record *reading = &record->tie_reading[i];
        reading->rest = i == 1 ? REST_PADS : REST_PLATE;
        name_uuid(&reading->uuid, seed, 6, i);
        reading->kind = i == 1 ? TIE_READING_TAPE : TIE_READING_PLATE;
        reading->build = i;
        reading->channel = i % 2;
        reading->value_mm = 412.7 + i;
        reading->plate_height_mm = i == 0 ? 930.2 : (double)NAN;
        reading->at_sample = 40 * i;
    }
}

static void fill_captures(struct session_record *record, unsigned seed)
{
    record->capture_count = CAPTURES;
    for (int i = 0; i < CAPTURES; i++) {
        struct capture_record *capture = &record->capture[i];
        name_uuid(&capture->uuid, seed, 7, i);
        capture->kind = (enum capture_kind)((CAPTURE_HOLD + i) % 4);
        capture->first_sample = 10 + 100 * i;
        capture->last_sample = i == CAPTURES - 1 ? 0 : capture->first_sample + 80;
    }
    record->target_count = FULL_TARGETS;
    for (int i = 0; i < FULL_TARGETS; i++) {
        struct target_record *target = &record->target[i];
        name_uuid(&target->uuid, seed, 8, i);
        target->capture = i == 2 ? -1 : i;
        target->build = i;
        target->until_mm = i == 2 ? (double)NAN : 3.5;
        target->kept = i != 1;
        if (i == 2) {
            target->entered_mm[1] = 771.25;
            target->entered_half_width_mm[1] = 6.5;
        }
    }
    record->band_count = BANDS;
    for (int i = 0; i < BANDS; i++) {
        struct band_record *band = &record->band[i];
        name_uuid(&band->uuid, seed, 9, i);
        band->from_sample = 90 + i;
        band->limited[i] = true;
        band->cue[i] = (struct cue_settings){.band_above_mm = 10.5,
                                             .band_below_mm = i == 0 ? 20.25 : (double)INFINITY,
                                             .filter_hz = 1.5,
                                             .dead_band = 0.25,
                                             .on_delay_s = 0.75,
                                             .off_delay_s = 0.625,
                                             .no_reading_s = 0.4};
    }
}

static void fill_holds(struct session_record *record, unsigned seed)
{
    record->hold_count = HOLDS;
    for (int i = 0; i < HOLDS; i++) {
        struct hold_record *hold = &record->hold[i];
        name_uuid(&hold->uuid, seed, 10, i);
        hold->number = i + 1;
        hold->capture = i;
        hold->build = i;
        hold->target = i == 0 ? -1 : i - 1;
        hold->band = i < 2 ? -1 : i - 2;
        hold->guided = i % 2 != 0;
        hold->kept_afterwards = i == 3;
        hold->purpose = (enum hold_purpose)(i % PURPOSES);
        hold->told = (enum told_way)(i % TOLD_WAYS);
        hold->guessed_share = i == 1 ? 0.7 : (double)NAN;
        hold->resit = (enum resit)(i % RESITS);
        hold->planned_s = i == 3 ? (double)NAN : 60.5;
        hold->status = (enum hold_status)((HOLD_COMPLETE + i) % 4);
        hold->rejected = i == 2;
        snprintf(hold->reject_reason, sizeof hold->reject_reason, i == 2 ? "a bus; it's loud" : "");
    }
    record->mark_count = FULL_MARKS;
    for (int i = 0; i < FULL_MARKS; i++) {
        record->mark[i] = record->mark[0];
        record->mark[i].kind = (enum mark_kind)(i % MARKS);
        record->mark[i].hold = i == 4 ? -1 : i % HOLDS;
        record->mark[i].sample = 15 + i;
        record->mark[i].cut = i % 2 == 0;
    }
    record->rating_count = RATINGS;
    for (int i = 0; i < RATINGS; i++) {
        struct rating_record *rating = &record->rating[i];
        rating_clear(rating);
        name_uuid(&rating->uuid, seed, 11, i);
        rating->setup = i;
        rating->sample = 700 + i;
        rating->morning = i == 1;
        rating->sign = i == 0;
        for (int item = RATING_EFFORT; item <= RATING_BREATHING; item++) {
            rating->value[item] = i == 0 ? item : item % 2 == 0 ? (double)NAN : 10 - item;
        }
        rating->value[RATING_NUMB_HANDS] = i == 0 ? (double)NAN : (double)ANSWER_YES;
        rating->value[RATING_NUMB_SADDLE] = ANSWER_NO;
        rating->value[RATING_WOULD_RACE] = i == 0 ? (double)ANSWER_YES : (double)NAN;
        rating->value[RATING_SEES_AHEAD] = i == 0 ? SEES_STRAINED : SEES_NO;
        rating->value[RATING_COULD_STAY] = i == 0 ? 42.5 : (double)NAN;
    }
    record->cue_sound_count = CUE_SOUNDS;
    for (int i = 0; i < CUE_SOUNDS; i++) {
        record->cue_sound[i] = (struct cue_sound_record){
            .kind = (enum cue_sound)i, .channel = i % 2, .hold = i % HOLDS, .sample = 22 + i};
    }
    record->note_count = NOTES;
    for (int i = 0; i < NOTES; i++) {
        name_uuid(&record->note[i].uuid, seed, 12, i);
        record->note[i].sample = 33 + i;
        snprintf(record->note[i].text, sizeof record->note[i].text, "note %d: 'a' \"b\"; -- c", i);
    }
    record->check_count = CHECKS;
    for (int i = 0; i < CHECKS; i++) {
        struct check_record *check = &record->check[i];
        name_uuid(&check->uuid, seed, 13, i);
        check->kind = i == 0 ? CHECK_STILL : i == 1 ? CHECK_STEP : CHECK_CALIBRATION;
        check->placing = i % PLACINGS;
        check->build = i;
        check->channel = i == 0 ? -1 : i - 1;
        check->capture = i == 2 ? -1 : i;
        check->phase_count = i + 1;
        check->asked_mm[0] = i == 0 ? (double)NAN : 25.0 * i;
        check->asked_mm[2] = i == 2 ? 600.5 : (double)NAN;
        check->verdict = (enum check_verdict)i;
        snprintf(check->words, sizeof check->words, "check %d: \"a\" and 'b'", i);
        check->number_count = i;
        for (int n = 0; n < i; n++) {
            check->number[n] = (struct check_number){(enum check_quantity)(3 * i + n), n, i - 1,
                                                     0.1 + (double)i / 3.0};
        }
    }
}

static void fill_runs(struct session_record *record, unsigned seed)
{
    record->drag = (struct drag_settings){.mass_kg = 84.5 + seed,
                                          .rolling = .0038,
                                          .course = COURSE_OUT_AND_BACK,
                                          .course_length_m = 1000.5,
                                          .rise_m = -1.5,
                                          .indoors = true,
                                          .matters_m2 = .004};
    record->air_count = AIRS;
    for (int i = 0; i < AIRS; i++) {
        name_uuid(&record->air[i].uuid, seed, 14, i);
        record->air[i].temperature_c = 19.5 + i;
        record->air[i].pressure_hpa = 1003.25;
        record->air[i].humidity_percent = 55;
        record->air[i].wind_m_per_s = i == 0 ? (double)NAN : .75;
        record->air[i].at_min = i == 0 ? 845 : (double)NAN;
        record->air[i].after_run = 3 * i;
    }
    record->run_count = RUNS;
    for (int i = 0; i < RUNS; i++) {
        struct run_record *run = &record->run[i];
        name_uuid(&run->uuid, seed, 15, i);
        run->number = i + 1;
        run->setup = i % SETUPS;
        snprintf(run->file, sizeof run->file, "run \"%d\".csv", i);
        snprintf(run->file_sum, sizeof run->file_sum, "%016x", 77U + (unsigned)i);
        snprintf(run->laps, sizeof run->laps, i == 1 ? "2..5" : "");
        run->at_min = i == 2 ? (double)NAN : 850 + i;
        run->speed_from = (enum ride_source)(i % 3);
        run->power_w = 241.25 + i;
        run->heart_per_min = i == 0 ? (double)NAN : 151;
        run->effort = i == 0 ? 6 : (double)NAN;
        run->rejected = i == 2;
        run->steps = i == 1;
        snprintf(run->reject_reason, sizeof run->reject_reason, i == 2 ? "rain; it's wet" : "");
    }
    record->leg_count = LEGS;
    for (int i = 0; i < LEGS; i++) {
        struct leg_record *leg = &record->leg[i];
        name_uuid(&leg->uuid, seed, 16, i);
        leg->run = i / 2;
        leg->number = 1 + i % 2;
        leg->back = i % 2 == 1;
        leg->pair = i / 2;
        leg->sums = (struct drag_leg){1000.5 + i, 92.25, 21500.5, 10.875, 118.5, 10.75, 11.0, .25};
        leg->left_out = i == 3;
        snprintf(leg->reason, sizeof leg->reason, i == 3 ? "a car \"passed\"" : "");
        leg->piece_m = i == 0 ? 0.0 : 25.0;
        leg->piece_count = i;
        for (int p = 0; p < i; p++) {
            leg->piece[p] = (struct leg_piece){560.5 + p, 10.5 + i, 10.625};
        }
    }
}

struct session_record *full_session(unsigned seed)
{
    struct session_record *record = malloc(sizeof *record);
    if (record == NULL) {
        abort();
    }
    session_record_clear(record);
    name_uuid(&record->uuid, seed, 0, 0);
    record->started_ms = INT64_C(1768068000123) + (int64_t)seed * 86400000;
    record->seed = UINT64_C(0xfedcba9876543210) + seed;
    snprintf(record->version, sizeof record->version, "0.1.0");
    record->ended = true;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        record->settings.matters_mm[c] = 10.0 - c / 8.0;
        /* member by member: tests compare what is stored byte by byte, also between them */
        struct learnt_repeatability *learnt = &record->settings.learnt[c];
        learnt->rider_sd_mm = 3.5 + c;
        learnt->rider_df = 4.25 + c;
        learnt->rider_sessions = 11 + c;
        learnt->store_sd_mm = 23.5 + c;
        learnt->store_df = 34.25 + c;
        learnt->store_sessions = 41 + c;
    }
    record->settings.baseline_setup = 3;
    record->settings.chosen_setup = 2;
    snprintf(record->settings.found_by, sizeof record->settings.found_by,
             "chin a hand above pad %u, \"zip\" on the chest", seed);
    record->settings.learnt_from = LEARNT_FROM_RIDER;
    record->settings.trunk_slope_deg = 18.25;
    record->limits.most[BIKE_SPACERS] = 25.5;
    record->limits.least[BIKE_STEM_ANGLE] = -17;
    record->limits.most[BIKE_STEM_ANGLE] = 10;
    record->limits.most[BIKE_LIMIT_COLUMN] = 85;
    record->torques.nm[BOLT_STEM_CLAMP] = 5.5;
    record->torques.nm[BOLT_PADS] = 4;
    fill_placings(record, seed);
    fill_bikes(record, seed);
    fill_captures(record, seed);
    fill_holds(record, seed);
    fill_runs(record, seed);
    return record;
}

void full_session_command(int ordinal, struct command_record *command)
{
    memset(command, 0, sizeof *command);
    command->ordinal = ordinal;
    command->after_sample = ordinal * 7;
    snprintf(command->text, sizeof command->text, "note \"command %d\"", ordinal);
}

void full_session_effects(const struct session_record *record, int commands, effect_sink *sink,
                          void *context)
{
    struct effect *effect = calloc(1, sizeof *effect);
    if (effect == NULL) {
        abort();
    }
    effect->kind = EFFECT_SESSION;
    session_record_header(record, &effect->record.session);
    sink(context, effect);
    effect->kind = EFFECT_BIKE; /* the bike before its rider: both orders come */
    effect->record.bike = record->bike;
    sink(context, effect);
    effect->kind = EFFECT_RIDER;
    effect->record.rider = record->rider;
    sink(context, effect);
#define GIVE(upper, lower)                                                                         \
    for (int i = 0; i < record->lower##_count; i++) {                                              \
        effect->kind = EFFECT_##upper;                                                             \
        effect->index = i;                                                                         \
        effect->record.lower = record->lower[i];                                                   \
        sink(context, effect);                                                                     \
    }
    GIVE(PLACING, placing)
    GIVE(SETUP, setup)
    GIVE(BUILD, build)
    GIVE(TIE_READING, tie_reading)
    GIVE(CAPTURE, capture)
    GIVE(TARGET, target)
    GIVE(BAND, band)
    GIVE(HOLD, hold)
    GIVE(MARK, mark)
    GIVE(RATING, rating)
    GIVE(NOTE, note)
    GIVE(CHECK, check)
    GIVE(CUE_SOUND, cue_sound)
    GIVE(AIR, air)
    GIVE(RUN, run)
    GIVE(LEG, leg)
#undef GIVE
    effect->kind = EFFECT_COMMAND;
    for (int i = 1; i <= commands; i++) {
        effect->index = i - 1;
        full_session_command(i, &effect->record.command);
        sink(context, effect);
    }
    free(effect);
}

void full_session_sample(int64_t number, int channels, double rate_hz, struct sample *sample)
{
    memset(sample, 0, sizeof *sample);
    sample->number = number;
    sample->time_us = (int64_t)llround((double)(number - 1) / rate_hz * 1e6);
    sample->delay_us = number == 1 ? 0 : (number * 37) % 9000 - 1500;
    if (number % 211 == 0) {
        sample->lost_before = (uint32_t)(number % 5);
    }
    sample->link_gap_before = number % 997 == 0;
    for (int c = 0; c < channels; c++) {
        sample->range_tenth_mm[c] = (int32_t)(3000 + c * 700 + (number * 17) % 400);
        if ((number + c) % 53 == 0) {
            sample->quality[c] = (uint8_t)(((number + c) / 53) % 5);
            if (sample->quality[c] == READING_MISSING) {
                sample->range_tenth_mm[c] = 0;
            }
        }
    }
}
