/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_OUTCOMES_MADE_RECORDS_H
#define HOLDLINE_TESTS_OUTCOMES_MADE_RECORDS_H

#include "analysis/analysis.h"
#include "base/random.h"
#include "support/bikes.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* Sessions made up by chance: two sensors, some setups on some builds, plates read or not, holds
 * of all kinds with summaries on a grid. No samples: what follows is made of the summaries. */
struct made_records {
    struct session_record record;
    struct analysis *analysis;
    struct random_source source;
};

static inline int made_any(struct made_records *made, int count)
{
    return (int)(random_uniform(&made->source) * count);
}

static inline void made_placings(struct made_records *made, int number)
{
    struct session_record *record = &made->record;
    record->placing_count = number % 5 == 4 ? 2 : 1;
    for (int p = 0; p < record->placing_count; p++) {
        struct placing_record *placing = &record->placing[p];
        *placing = (struct placing_record){.channel_count = 2, .announced_rate_hz = 50};
        for (int c = 0; c < 2; c++) {
            struct channel_record *channel = &placing->channel[c];
            channel->role = number % 7 == 6 && c == 1 ? ROLE_REFERENCE : ROLE_BODY;
            channel->gain = 1.0;
            channel->mounted = number % 6 != 5;
            channel->mount = (struct sensor_mount){
                number % 4 == 3 ? CARRIER_STAND : CARRIER_BASE_BAR, 100.0 - 40.0 * c, 40.0, 0.0,
                c == 1 && channel->role == ROLE_REFERENCE ? -1 : 1};
            snprintf(channel->name, sizeof channel->name, "%s", c == 0 ? "head" : "chest");
            snprintf(channel->mark, sizeof channel->mark, "strap %d", number % 9 == 8 ? c + 1 : c);
        }
    }
}

static inline void made_setups(struct made_records *made, int number)
{
    struct session_record *record = &made->record;
    record->setup_count = 1 + number % 4;
    for (int s = 0; s < record->setup_count; s++) {
        struct setup_record *setup = &record->setup[s];
        *setup = (struct setup_record){.number = s + 1, .bike = usual_bike()};
        setup->bike.value[BIKE_SPACERS] -= 10.0 * (s % 3);
        setup->bike.value[BIKE_PAD_RISE] -= s == 2 ? 10.0 : 0.0;
        if (number % 8 == 7 && s == 1) {
            setup->bike.value[BIKE_STEM_LENGTH] = NAN;
        }
    }
    record->build_count = record->setup_count + 1 + made_any(made, 3);
    for (int b = 0; b < record->build_count; b++) {
        struct build_record *build = &record->build[b];
        *build = (struct build_record){.setup = b % record->setup_count,
                                       .placing = record->placing_count == 2 && b > 2,
                                       .ordinal = 1 + b / record->setup_count,
                                       .first_sample = 1 + 10000 * (int64_t)b};
        build->moved = b > 0 && made_any(made, 6) == 0 ? ANSWER_NO : (enum answer)0;
        build->moved = b > 0 && made_any(made, 9) == 0 ? ANSWER_YES : build->moved;
        build->slipped = b > 0 && made_any(made, 9) == 0 ? ANSWER_NO : (enum answer)0;
        for (int c = 0; number % 3 == 0 && c < 2; c++) {
            if (made_any(made, 3) > 0) {
                record->tie_reading[record->tie_reading_count++] = (struct tie_reading_record){
                    .kind = made_any(made, 6) == 0 ? TIE_READING_TAPE : TIE_READING_PLATE,
                    .build = b,
                    .channel = c,
                    .value_mm = 300.0 + 10.0 * (b % record->setup_count) + made_any(made, 4),
                    .plate_height_mm = number % 2 ? 930.0 : NAN,
                    .at_sample = build->first_sample + made_any(made, 2) * 9000};
            }
        }
    }
}

static inline void made_hold(struct made_records *made, int number, int build, int h)
{
    struct session_record *record = &made->record;
    struct hold_result *result = &made->analysis->hold[h];
    int setup = record->build[build].setup;
    int64_t first = record->build[build].first_sample + 1000 + 1750 * (int64_t)(h % 4);
    record->capture[h] = (struct capture_record){
        .kind = CAPTURE_HOLD, .first_sample = first, .last_sample = first + 1500};
    record->hold[h] = (struct hold_record){
        .number = h + 1,
        .capture = h,
        .build = build,
        .target = -1,
        .band = -1,
        .guided = made_any(made, 5) == 0,
        .kept_afterwards = made_any(made, 14) == 0,
        .planned_s = 30.0,
        .status = HOLD_COMPLETE,
        .rejected = made_any(made, 14) == 0,
        .guessed_share = NAN,
        .resit = (enum resit)(made_any(made, 6) == 0 ? RESIT_NOT_SEEN : RESIT_SEEN)};
    record->hold[h].status = made_any(made, 12) == 0 ? HOLD_STOPPED : HOLD_COMPLETE;
    result->counts = !record->hold[h].rejected && !record->hold[h].kept_afterwards;
    result->duration_s = 30.0;
    result->start_s = (double)first / 50.0;
    result->posture_share = NAN;
    result->not_settled = made_any(made, 12) == 0;
    for (int kind = 0; kind < AUXILIARIES; kind++) {
        result->auxiliary_mean[kind] = number % 2 ? 200.0 + 10.0 * made_any(made, 3) : NAN;
    }
    for (int c = 0; c < 2; c++) {
        struct hold_summary *summary = &result->summary[c];
        double slipped = number % 5 == 2 && c == 0 && build > record->setup_count ? 15.0 : 0.0;
        result->has[c] = made_any(made, 20) != 0;
        *summary = (struct hold_summary){.status = MEASURE_OK,
                                         .readings = 1500,
                                         .valid = 1490,
                                         .valid_share = 0.99,
                                         .kept_s = made_any(made, 10) == 0 ? 15.0 : 28.0,
                                         .mean_mm = 900.0 - 100.0 * c - 8.0 * setup + slipped +
                                                    made_any(made, 5) - 2,
                                         .mean_se_mm = 0.5 + 0.25 * made_any(made, 3),
                                         .has_interval = made_any(made, 16) != 0,
                                         .mean_half_width_mm = 1.5,
                                         .steadiness_mm = 2.0 + 0.5 * made_any(made, 4),
                                         .has_creep = true,
                                         .creep_mm_per_min = (double)(made_any(made, 7) - 3),
                                         .has_band = record->hold[h].guided,
                                         .in_band_share = 0.1 * made_any(made, 11),
                                         .sustain_reached = made_any(made, 3) == 0,
                                         .sustain_s = 20.0 * (1 + made_any(made, 20)),
                                         .not_settled = result->not_settled,
                                         .stepped = made_any(made, 25) == 0,
                                         .step_mm = 12.0};
        result->stepped = result->stepped || summary->stepped;
        result->step_alone[c] = summary->stepped && c == 0;
    }
    result->ellipse = (struct ellipse){.count = 1500,
                                       .mean_x = 800.0,
                                       .mean_y = 900.0,
                                       .var_x = 4.0 + made_any(made, 3),
                                       .var_y = 3.0,
                                       .cov_xy = 1.0};
    result->together = made_any(made, 4) != 0;
}

static inline void made_ratings(struct made_records *made)
{
    struct session_record *record = &made->record;
    for (int b = 0; b < record->build_count; b++) {
        if (made_any(made, 3) == 0) {
            continue;
        }
        struct rating_record *rating = &record->rating[record->rating_count++];
        *rating = (struct rating_record){.setup = record->build[b].setup,
                                         .sample = record->build[b].first_sample};
        for (int i = 0; i < RATING_ITEMS; i++) {
            rating->value[i] = made_any(made, 3) == 0 ? NAN : (double)made_any(made, 2);
        }
    }
}

/* The number-th: the same each time. What follows from it is worked out. */
static inline void made_records(struct made_records *made, int number)
{
    struct session_record *record = &made->record;
    struct problem problem = {.sentence = ""};
    random_seed(&made->source, 700 + (uint64_t)number);
    session_record_clear(record);
    made->analysis = analysis_create();
    ck_assert_ptr_nonnull(made->analysis);
    record->has_bike = true;
    record->bike.frame = usual_bike();
    snprintf(record->bike.name, sizeof record->bike.name, "training bike");
    snprintf(record->rider.code, sizeof record->rider.code, "R-01");
    record->has_rider = true;
    made_placings(made, number);
    made_setups(made, number);
    for (int b = 0; b < record->build_count; b++) {
        int holds = number % 11 == 10 ? 1 : 1 + made_any(made, 4);
        for (int h = 0; h < holds; h++) {
            made_hold(made, number, b, record->hold_count);
            record->hold_count++;
        }
    }
    record->capture_count = record->hold_count;
    record->last_sample = 10000 * (int64_t)record->build_count;
    made_ratings(made);
    if (number % 7 != 6) { /* with a second sensor that looks at a plate samples are wanted */
        ck_assert(analysis_add_hold(record, -1, NULL, NULL, made->analysis, &problem));
    }
}

static inline void made_records_end(struct made_records *made)
{
    analysis_destroy(made->analysis);
}

#endif
