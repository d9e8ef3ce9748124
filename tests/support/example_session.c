/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/example_session.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { HEAD, CHEST, EXAMPLE_CHANNELS };
enum { EXAMPLE_SETUPS = 3, EXAMPLE_BUILDS = 4, EXAMPLE_HOLDS = 9 };

static void example_uuid(struct uuid *uuid, int kind, int index)
{
    memset(uuid->bytes, 0, sizeof uuid->bytes);
    uuid->bytes[0] = 0x01;
    uuid->bytes[6] = 0x70;
    uuid->bytes[8] = 0x80;
    uuid->bytes[14] = (uint8_t)kind;
    uuid->bytes[15] = (uint8_t)index;
}

static void text(char *destination, size_t size, const char *source)
{
    snprintf(destination, size, "%s", source);
}

static void example_parts(struct bike_values *bike, double spacers, double pad_rise)
{
    for (int key = 0; key < BIKE_KEYS; key++) {
        bike->value[key] = NAN;
    }
    bike->value[BIKE_STACK] = 540;
    bike->value[BIKE_REACH] = 400;
    bike->value[BIKE_HEAD_ANGLE] = 73;
    bike->value[BIKE_HEADSET_CAP] = 0;
    bike->value[BIKE_STEM_CLAMP_HEIGHT] = 40;
    bike->value[BIKE_STEM_LENGTH] = 100;
    bike->value[BIKE_STEM_ANGLE] = -17;
    bike->value[BIKE_PAD_FORE_AFT] = -20;
    bike->value[BIKE_SPACERS] = spacers;
    bike->value[BIKE_PAD_RISE] = pad_rise;
}

static void example_placing(struct placing_record *placing)
{
    static const char *const names[] = {"head", "chest"}, *const marks[] = {"chin strap",
                                                                            "chest strap"};
    example_uuid(&placing->uuid, 2, 0);
    placing->first_sample = 1;
    text(placing->rig_id, sizeof placing->rig_id, "bench-a");
    placing->announced_rate_hz = 50;
    placing->channel_count = EXAMPLE_CHANNELS;
    for (int channel = 0; channel < EXAMPLE_CHANNELS; channel++) {
        struct channel_record *recorded = &placing->channel[channel];
        text(recorded->name, sizeof recorded->name, names[channel]);
        text(recorded->mark, sizeof recorded->mark, marks[channel]);
        recorded->role = ROLE_BODY;
        recorded->mounted = true;
        recorded->gain = 1;
        recorded->mount.carrier = CARRIER_BASE_BAR;
        recorded->mount.x_mm = channel == HEAD ? 120 : 60;
        recorded->mount.y_mm = 40;
        recorded->mount.direction = 1;
    }
    placing->channel[CHEST].mount.tilt_deg = 8;
}

static void example_setups(struct session_record *record)
{
    static const char *const intents[] = {"as it came", "spacers out, pads down", "long and low"};
    static const double spacers[] = {20, 10, 0}, pad_rise[] = {55, 45, 45};
    record->setup_count = EXAMPLE_SETUPS;
    for (int i = 0; i < EXAMPLE_SETUPS; i++) {
        struct setup_record *setup = &record->setup[i];
        example_uuid(&setup->uuid, 3, i);
        setup->number = i + 1;
        text(setup->intent, sizeof setup->intent, intents[i]);
        example_parts(&setup->bike, spacers[i], pad_rise[i]);
    }
    static const int built[] = {0, 1, 2, 0}, ordinal[] = {1, 1, 1, 2};
    static const int64_t first[] = {1, 20001, 40001, 60001};
    record->build_count = EXAMPLE_BUILDS;
    for (int i = 0; i < EXAMPLE_BUILDS; i++) {
        record->build[i] = (struct build_record){
            .setup = built[i], .placing = 0, .ordinal = ordinal[i], .first_sample = first[i]};
        example_uuid(&record->build[i].uuid, 4, i);
    }
}

static void example_target(struct session_record *record)
{
    struct target_record *target = &record->target[0];
    record->target_count = 1;
    example_uuid(&target->uuid, 6, 0);
    target->capture = 0;
    target->build = 0;
    target->until_mm = 3;
    target->kept = true;
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        target->entered_mm[channel] = target->entered_half_width_mm[channel] = NAN;
    }
    struct band_record *band = &record->band[0];
    record->band_count = 1;
    example_uuid(&band->uuid, 7, 0);
    band->from_sample = 4000;
    for (int channel = 0; channel < EXAMPLE_CHANNELS; channel++) {
        band->limited[channel] = true;
        band->cue[channel] = (struct cue_settings){.band_above_mm = channel == HEAD ? 10 : 8,
                                                   .band_below_mm = channel == HEAD ? 20 : INFINITY,
                                                   .filter_hz = 1,
                                                   .dead_band = 0.2,
                                                   .on_delay_s = channel == HEAD ? 2 : 0.7,
                                                   .off_delay_s = 0.5,
                                                   .no_reading_s = 0.5};
    }
}

/* A minute each at 50 samples/s. */
static void example_holds(struct session_record *record)
{
    static const int build[] = {0, 0, 0, 1, 1, 1, 2, 3, 3};
    static const bool guided[] = {false, false, true, false, false, true, false, false, true};
    static const int64_t first[] = {5001, 9001, 13001, 25001, 29001, 33001, 45001, 65001, 69001};
    record->capture_count = EXAMPLE_HOLDS + 1;
    record->capture[0] =
        (struct capture_record){.kind = CAPTURE_TARGET, .first_sample = 1001, .last_sample = 3150};
    example_uuid(&record->capture[0].uuid, 5, 0);
    record->hold_count = EXAMPLE_HOLDS;
    for (int i = 0; i < EXAMPLE_HOLDS; i++) {
        struct hold_record *hold = &record->hold[i];
        example_uuid(&record->capture[i + 1].uuid, 5, i + 1);
        record->capture[i + 1].kind = CAPTURE_HOLD;
        record->capture[i + 1].first_sample = first[i];
        record->capture[i + 1].last_sample = first[i] + (i == 6 ? 2050 : 3000) - 1;
        example_uuid(&hold->uuid, 8, i);
        hold->number = i + 1;
        hold->capture = i + 1;
        hold->build = build[i];
        hold->guided = guided[i];
        hold->target = 0;
        hold->band = 0;
        hold->planned_s = 60;
        hold->status = i == 6 ? HOLD_STOPPED : HOLD_COMPLETE;
    }
    record->hold[4].rejected = true;
    text(record->hold[4].reject_reason, sizeof record->hold[4].reject_reason,
         "slid back on the saddle");
    record->hold[8].kept_afterwards = true;
    record->mark_count = 2;
    record->mark[0] =
        (struct mark_record){.kind = MARK_DRANK, .hold = 1, .sample = 10000, .cut = true};
    record->mark[1] =
        (struct mark_record){.kind = MARK_LOOKED, .hold = 2, .sample = 14000, .cut = false};
}

static void example_ratings(struct session_record *record)
{
    static const int rated[] = {0, 1, 2, 0};
    record->rating_count = 4;
    for (int i = 0; i < 4; i++) {
        struct rating_record *rating = &record->rating[i];
        rating_clear(rating);
        example_uuid(&rating->uuid, 9, i);
        rating->setup = rated[i];
        rating->sample = 17000 + 20000 * (int64_t)i;
    }
    record->rating[0].value[RATING_EFFORT] = 4;
    record->rating[0].value[RATING_NECK] = 2;
    record->rating[0].value[RATING_SEES_AHEAD] = SEES_YES;
    record->rating[0].value[RATING_COULD_STAY] = 40;
    record->rating[1].value[RATING_EFFORT] = 5;
    record->rating[1].value[RATING_NECK] = 3;
    record->rating[1].value[RATING_HANDS] = 5;
    record->rating[1].value[RATING_SEES_AHEAD] = SEES_STRAINED;
    record->rating[1].value[RATING_NUMB_HANDS] = ANSWER_YES;
    record->rating[1].value[RATING_NUMB_SADDLE] = ANSWER_NO;
    record->rating[1].value[RATING_WOULD_RACE] = ANSWER_YES;
    record->rating[2].value[RATING_SEES_AHEAD] = SEES_NO;
    record->rating[2].value[RATING_NECK] = 0;
    record->rating[3].value[RATING_EFFORT] = 6;
    record->note_count = 1;
    example_uuid(&record->note[0].uuid, 10, 0);
    record->note[0].sample = 17500;
    text(record->note[0].text, sizeof record->note[0].text, "fan moved nearer");
}

struct session_record *example_record(void)
{
    struct session_record *record = calloc(1, sizeof *record);
    bike_limits_clear(&record->limits);
    bike_torques_clear(&record->torques);
    if (record == NULL) {
        abort();
    }
    example_uuid(&record->uuid, 1, 0);
    record->started_ms = 1768068000000; /* 2026-01-10T18:00:00Z */
    record->seed = 18446744073709551615u;
    text(record->version, sizeof record->version, "0.1.0");
    record->ended = true;
    record->last_sample = 80000;
    record->last_time_us = 1599980000;
    record->has_rider = record->has_bike = true;
    text(record->rider.code, sizeof record->rider.code, "R-07");
    text(record->rider.name, sizeof record->rider.name, "winter group");
    text(record->rider.watch_for, sizeof record->rider.watch_for, "left knee");
    text(record->bike.name, sizeof record->bike.name, "training bike");
    example_parts(&record->bike.frame, 20, 55);
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        record->settings.matters_mm[channel] = 10;
    }
    record->settings.baseline_setup = 1;
    record->settings.trunk_slope_deg = NAN;
    record->placing_count = 1;
    example_placing(&record->placing[0]);
    example_setups(record);
    record->tie_reading_count = 1;
    record->tie_reading[0] = (struct tie_reading_record){.kind = TIE_READING_PLATE,
                                                         .build = 1,
                                                         .channel = HEAD,
                                                         .value_mm = 412.5,
                                                         .plate_height_mm = NAN,
                                                         .at_sample = 21000};
    example_target(record);
    example_holds(record);
    example_ratings(record);
    return record;
}

static void example_ties(struct analysis *analysis)
{
    for (int build = 0; build < EXAMPLE_BUILDS; build++) {
        for (int channel = 0; channel < EXAMPLE_CHANNELS; channel++) {
            struct tie *tie = &analysis->tie[build][channel];
            tie->kind = build == 0 ? TIE_FIRST : TIE_COMPUTED;
            tie->ends_apart_mm = NAN;
            tie->absolute = true;
            tie->sensor_height_mm = 618.3;
            tie->has_computed = build > 0;
        }
    }
    struct tie *plate = &analysis->tie[1][HEAD];
    plate->kind = TIE_PLATE;
    plate->shift_mm = -9.2;
    plate->computed_shift_mm = -13.4;
    plate->measured_shift_mm = -9.2;
    plate->has_measured = true;
    plate->sensor_height_mm = 609.1;
    plate->u_common_mm = 1.0;
    plate->u_build_mm = 1.0;
    plate->alarm = true;
    plate->found =
        (struct tie_finding){.kind = TIE_FOUND_OFF_PARTS, .by = TIE_PLATE, .apart_mm = 4.2};
    analysis->tie[1][CHEST].shift_mm = -9.6;
    analysis->tie[1][CHEST].computed_shift_mm = -9.6;
    analysis->tie[1][CHEST].u_build_mm = 0.5;
    analysis->tie[2][HEAD].shift_mm = -19.1;
    analysis->tie[2][HEAD].computed_shift_mm = -19.1;
    analysis->tie[2][HEAD].u_build_mm = 0.5;
    analysis->tie[2][CHEST] =
        (struct tie){.kind = TIE_NONE, .ends_apart_mm = NAN, .found = {.kind = TIE_FOUND_NO_MOUNT}};
}

static struct hold_summary example_summary(double mean, double half_width)
{
    return (struct hold_summary){
        .status = MEASURE_OK,
        .effective_rate_hz = 50,
        .readings = 3000,
        .valid = 3000,
        .valid_share = 1,
        .longest_gap_s = 0.02,
        .kept_s = 60,
        .mean_mm = mean,
        .sd_mm = 4.5,
        .minimum_mm = mean - 14,
        .maximum_mm = mean + 16,
        .quantile_05_mm = mean - 7,
        .quantile_50_mm = mean + 0.1,
        .quantile_95_mm = mean + 7,
        .has_interval = true,
        .mean_half_width_mm = half_width,
        .mean_se_mm = half_width / 2,
        .mean_df = 20,
        .effective_n = 18.5,
        .blocks = 24,
        .block_autocorrelation = 0.2,
        .steadiness_mm = 4,
        .has_target = true,
        .offset_mm = mean - 884,
        .rms_target_mm = 5,
        .has_creep = true,
        .creep_mm_per_min = 0.4,
        .creep_half_width_mm_per_min = 1.5,
        .creep_robust_mm_per_min = 0.3,
    };
}

static void example_results(struct analysis *analysis)
{
    static const double head[] = {883.4, 886.2, 884.4, 871.6, 860.0, 884.1, 881.0, 882.7, 885.0};
    static const double chest[] = {771.2, 770.4, 771.0, 769.3, 760.0, 770.8, 30.0, 771.9, 772.0};
    for (int hold = 0; hold < EXAMPLE_HOLDS; hold++) {
        struct hold_result *result = &analysis->hold[hold];
        bool guided = hold == 2 || hold == 5 || hold == 8;
        result->has[HEAD] = result->has[CHEST] = true;
        result->summary[HEAD] = example_summary(head[hold], 1.2);
        result->summary[CHEST] = example_summary(chest[hold], 0.8);
        result->summary[CHEST].offset_mm = chest[hold] - 771;
        result->duration_s = hold == 6 ? 41 : 60;
        result->start_s = 100 + 80 * hold;
        result->counts = hold != 4 && hold != 8;
        result->health.known = true;
        result->health.rate_hz = 50;
        for (int channel = 0; channel < EXAMPLE_CHANNELS; channel++) {
            result->health.channel[channel].readings = 3000;
            result->health.channel[channel].noise_mm = 1.3;
            result->health.channel[channel].quantum_mm = NAN;
        }
        for (int channel = 0; guided && channel < EXAMPLE_CHANNELS; channel++) {
            struct hold_summary *summary = &result->summary[channel];
            summary->has_band = true;
            summary->in_band_share = hold == 2 ? 0.92 : 0.78;
            summary->excursions_high = hold == 2 ? 1 : 4;
            summary->excursion_total_s = 4.5;
            summary->excursion_longest_s = 3.5;
            summary->excursion_peak_mm = 14.5;
            summary->longest_in_band_s = 31;
            summary->cues_per_min = hold == 2 ? 1 : 4;
        }
    }
    analysis->hold[1].summary[HEAD].cut_marked_s = 4;
    analysis->hold[1].summary[CHEST].cut_marked_s = 4;
    analysis->hold[3].summary[HEAD].valid = 2964;
    analysis->hold[3].summary[HEAD].outliers = 5;
    analysis->hold[3].summary[HEAD].valid_share = 0.986;
    analysis->hold[3].health.channel[HEAD].missing = 30;
    analysis->hold[3].health.channel[HEAD].doubtful = 6;
    analysis->hold[3].lost = 12;
    analysis->hold[6].summary[HEAD].kept_s = 41;
    analysis->hold[6].summary[CHEST].kept_s = 41;
    analysis->hold[6].summary[CHEST].has_interval = false;
    analysis->hold[6].summary[CHEST].valid_share = 0.84;
}

static void example_estimate(struct setup_estimate *estimate, int holds, int builds, double mean,
                             double half_width)
{
    *estimate = (struct setup_estimate){.holds = holds,
                                        .builds = builds,
                                        .has_interval = half_width > 0,
                                        .mean = mean,
                                        .half_width = half_width,
                                        .standard_error = half_width / 3.1824463053, /* t of 3 df */
                                        .df = 3,
                                        .built_once = builds == 1,
                                        .borrowed_repeatability = holds == 1,
                                        .tied = true};
}

static void example_difference(struct setup_difference *difference, enum verdict verdict,
                               double value, double low, double high)
{
    *difference = (struct setup_difference){.verdict = verdict,
                                            .difference = value,
                                            .has_interval = true,
                                            .low = low,
                                            .high = high,
                                            .standard_error = 2.1,
                                            .tie_error = 1.4};
}

static void example_comparison(struct comparison *comparison)
{
    comparison->status = MEASURE_OK;
    comparison->setup_count = EXAMPLE_SETUPS;
    comparison->matters = 10;
    comparison->has_repeatability = true;
    comparison->repeatability = 1.4;
    comparison->repeatability_low = 0.8;
    comparison->repeatability_high = 5.2;
    comparison->repeatability_df = 3;
    comparison->provisional = true;
    comparison->smallest_detectable = 6.3;
    comparison->order_index = 0.05;
}

/* Points on an ellipse about the hold's means. */
static void example_together(struct hold_result *result)
{
    double x[40], y[40];
    for (int i = 0; i < 40; i++) {
        double turn = 2.0 * 3.14159265358979323846 * i / 40.0;
        x[i] = result->summary[CHEST].mean_mm + 4.0 * cos(turn);
        y[i] = result->summary[HEAD].mean_mm + 5.0 * cos(turn - 1.0);
    }
    result->together = ellipse_95(x, y, 40, &result->ellipse) == MEASURE_OK;
}

struct analysis *example_analysis(void)
{
    struct analysis *analysis = calloc(1, sizeof *analysis);
    if (analysis == NULL) {
        abort();
    }
    analysis->channel_count = EXAMPLE_CHANNELS;
    analysis->body[HEAD] = analysis->body[CHEST] = true;
    text(analysis->channel_name[HEAD], CHANNEL_NAME_SIZE, "head");
    text(analysis->channel_name[CHEST], CHANNEL_NAME_SIZE, "chest");
    analysis->target[0][HEAD] = (struct channel_target){
        .has = true, .height_mm = 884, .half_width_mm = 1.8, .steadiness_mm = 3};
    analysis->target[0][CHEST] = (struct channel_target){
        .has = true, .height_mm = 771, .half_width_mm = 1.5, .steadiness_mm = 3};
    example_ties(analysis);
    example_results(analysis);
    for (int channel = 0; channel < EXAMPLE_CHANNELS; channel++) {
        struct comparison *heights = &analysis->free_heights[channel];
        example_comparison(heights);
        example_estimate(&heights->setup[0], 3, 2, channel == HEAD ? 884.1 : 771.2, 2.6);
        example_estimate(&heights->setup[1], 1, 1, channel == HEAD ? 871.6 : 769.3, 4.4);
        struct comparison *share = &analysis->guided_in_band[channel];
        example_comparison(share);
        share->matters = 0.1;
        share->shares = true;
        share->has_repeatability = share->provisional = false;
        example_estimate(&share->setup[0], 1, 1, 0.92, 0);
        example_estimate(&share->setup[1], 1, 1, 0.78, 0);
        analysis->has_guided[channel] = true;
        example_difference(&share->difference[1], VERDICT_CANNOT_TELL, -0.14, NAN, NAN);
        share->difference[1].has_interval = false;
        share->difference[1].advice = ADVICE_MORE_HOLDS;
        share->difference[1].advice_holds = 1;
    }
    struct comparison *head = &analysis->free_heights[HEAD],
                      *chest = &analysis->free_heights[CHEST];
    example_estimate(&head->setup[2], 1, 1, 881.0, 5.1);
    example_difference(&head->difference[1], VERDICT_LOWER, -12.4, -18.3, -6.4);
    example_difference(&head->difference[2], VERDICT_CANNOT_TELL, -3.1, -9.2, 3.0);
    head->difference[2].advice = ADVICE_MORE_HOLDS;
    head->difference[2].advice_holds = 2;
    example_difference(&chest->difference[1], VERDICT_NO_DIFFERENCE, -1.9, -4.4, 0.6);
    chest->setup[2] = (struct setup_estimate){.holds = 1, .builds = 1, .mean = 30.0};
    chest->difference[2] = (struct setup_difference){.verdict = VERDICT_NOT_COMPARABLE,

                                                     .advice = ADVICE_TIE};
    chest->difference[2].reason = REASON_NOT_TIED;
    analysis->free_holds[0] = 3;
    analysis->free_holds[1] = analysis->free_holds[2] = 1;
    analysis->guided_holds[0] = analysis->guided_holds[1] = 1;
    for (int hold = 0; hold < EXAMPLE_HOLDS; hold++) {
        example_together(&analysis->hold[hold]);
    }
    struct session_record *record = example_record();
    insight_make(record, analysis);
    free(record);
    return analysis;
}
