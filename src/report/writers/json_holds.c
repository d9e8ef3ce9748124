/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON of targets, bands, holds and ratings. */
#include "report/digest.h"
#include "report/json_parts.h"
#include "say/holds.h"

#include <math.h>

void json_targets(struct json_writer *json, const struct report_input *input)
{
    json_array_member(json, "targets");
    for (int i = 0; i < input->record->target_count; i++) {
        const struct target_record *target = &input->record->target[i];
        struct json_row row = json_row(input, TABLE_TARGET, i);
        json_object_begin(json);
        json_member_place(json, "number", i);
        json_columns(json, &row, NULL);
        json_array_member(json, "channels");
        for (int channel = 0; channel < input->analysis->channel_count; channel++) {
            const struct channel_target *result = &input->analysis->target[i][channel];
            if (!result->has) {
                continue;
            }
            json_object_begin(json);
            json_member_string(json, "channel", input->analysis->channel_name[channel]);
            json_member_boolean(json, "entered", isfinite(target->entered_mm[channel]));
            json_member_number(json, "height_mm", result->height_mm);
            json_member_number(json, "half_width_mm", result->half_width_mm);
            json_member_number(json, "steadiness_mm", result->steadiness_mm);
            json_object_end(json);
        }
        json_array_end(json);
        json_object_end(json);
    }
    json_array_end(json);
}

void json_bands(struct json_writer *json, const struct report_input *input)
{
    json_array_member(json, "bands");
    for (int i = 0; i < input->record->band_count; i++) {
        const struct band_record *band = &input->record->band[i];
        struct json_row row = json_row(input, TABLE_BAND, i);
        json_object_begin(json);
        json_member_place(json, "number", i);
        json_columns(json, &row, NULL);
        row.table = TABLE_BAND_CHANNEL;
        json_array_member(json, "channels");
        for (int channel = 0; channel < input->analysis->channel_count; channel++) {
            if (!band->limited[channel]) {
                continue;
            }
            json_object_begin(json);
            json_member_string(json, "channel", input->analysis->channel_name[channel]);
            row.index = channel;
            json_columns(
                json, &row,
                "above_mm below_mm filter_hz dead_band on_delay_s off_delay_s no_reading_s");
            json_object_end(json);
        }
        json_array_end(json);
        json_object_end(json);
    }
    json_array_end(json);
}

/* Not there: a number is null, a yes is false, a count is a count. */
static void json_measure(struct json_writer *json, const struct hold_measure *measure,
                         const void *of, bool there)
{
    if (measure->member.kind == MEMBER_NUMBER) {
        json_member_if(json, measure->key, there, member_number(measure->member, of));
    } else if (measure->member.kind == MEMBER_YES) {
        json_member_boolean(json, measure->key, there && member_yes(measure->member, of));
    } else {
        json_member_integer(json, measure->key, member_integer(measure->member, of));
    }
}

void json_hold_measures(struct json_writer *json, const struct hold_summary *summary, bool of_band)
{
    for (int i = 0; i < hold_measure_count; i++) {
        const struct hold_measure *measure = &hold_measures[i];
        if ((measure->group == HOLD_BAND) == of_band) {
            json_measure(json, measure, summary, hold_measure_there(measure, summary));
        }
    }
}

static void band_of(struct json_writer *json, const struct hold_summary *summary)
{
    bool there = summary->status == MEASURE_OK && summary->has_band;
    if (json_object_member_if(json, "band", there)) {
        json_hold_measures(json, summary, true);
        json_object_end(json);
    }
}

static void sensor_of(struct json_writer *json, const struct hold_health *health, int channel)
{
    if (!json_object_member_if(json, "sensor", health->known)) {
        return;
    }
    for (int i = 0; i < sensor_measure_count; i++) {
        json_measure(json, &sensor_measures[i], &health->channel[channel], true);
    }
    json_object_end(json);
}

static void summaries(struct json_writer *json, const struct report_input *input, int hold)
{
    const struct hold_result *result = &input->analysis->hold[hold];
    const struct placing_record *placing = digest_placing(input, input->record->hold[hold].build);
    json_array_member(json, "channels");
    for (int channel = 0; placing != NULL && channel < placing->channel_count; channel++) {
        const struct hold_summary *summary = &result->summary[channel];
        bool ok = summary->status == MEASURE_OK;
        if (!result->has[channel]) {
            continue;
        }
        json_object_begin(json);
        json_member_string(json, "channel", placing->channel[channel].name);
        json_member_string(json, "outcome", ok ? "ok" : measure_status_sentence(summary->status));
        enum hold_use use = hold_use_of(input->record, input->analysis, hold, channel);
        json_member_boolean(json, "used", use == HOLD_USED);
        json_member_string(json, "why_not", use == HOLD_USED ? NULL : say_hold_use(use));
        json_hold_measures(json, summary, false);
        band_of(json, summary);
        sensor_of(json, &result->health, channel);
        json_object_end(json);
    }
    json_array_end(json);
}

void json_holds(struct json_writer *json, const struct report_input *input)
{
    const struct session_record *record = input->record;
    json_array_member(json, "holds");
    for (int i = 0; i < record->hold_count; i++) {
        const struct hold_record *hold = &record->hold[i];
        const struct hold_result *result = &input->analysis->hold[i];
        struct json_row row = json_row(input, TABLE_HOLD, i);
        json_object_begin(json);
        json_columns(json, &row, "number uuid");
        json_member_integer(json, "setup", digest_setup_of_hold(input, i)->number);
        json_columns(json, &row, "build capture target band");
        json_member_string(json, "kind", hold->guided ? "guided" : "free");
        json_columns(json, &row, "purpose told guessed_share resit status");
        json_member_boolean(json, "counts", result->counts);
        json_columns(json, &row, "rejected reject_reason kept_afterwards planned_s");
        json_member_number(json, "start_s", result->start_s);
        json_member_number(json, "duration_s", result->duration_s);
        json_member_boolean(json, "link_gap", result->link_gap);
        json_member_integer(json, "lost_samples", (int64_t)result->lost);
        json_object_member(json, "ridden_at");
        json_member_number(json, "power_w", result->auxiliary_mean[AUXILIARY_POWER]);
        json_member_number(json, "cadence_per_min", result->auxiliary_mean[AUXILIARY_CADENCE]);
        json_member_number(json, "heart_per_min", result->auxiliary_mean[AUXILIARY_HEART]);
        json_member_boolean(json, "apart",
                            result->auxiliary_apart[AUXILIARY_POWER] ||
                                result->auxiliary_apart[AUXILIARY_CADENCE]);
        json_object_end(json);
        json_ellipse(json, "together", result->together, &result->ellipse);
        struct ride_summary ride;
        if (json_object_member_if(json, "ride",
                                  ride_summary_of(record, input->analysis, i, &ride))) {
            json_ride(json, &ride);
            json_object_end(json);
        }
        summaries(json, input, i);
        json_object_end(json);
    }
    json_array_end(json);
}

static void member_rating(struct json_writer *json, int item, double value)
{
    const struct rating_field *field = &rating_fields[item];
    if (field->kind != RATING_WORD) {
        json_member_number(json, field->column, value);
    } else if (field->list == &answer_words && !isnan(value)) {
        json_member_boolean(json, field->column, (int)value == ANSWER_YES);
    } else {
        json_member_string(json, field->column, rating_word(item, value));
    }
}

void json_ratings(struct json_writer *json, const struct report_input *input)
{
    const struct session_record *record = input->record;
    int items[RATING_ITEMS];
    rating_sort(RATING_TOLD, items);
    json_array_member(json, "ratings");
    for (int i = 0; i < record->rating_count; i++) {
        const struct rating_record *rating = &record->rating[i];
        struct json_row row = json_row(input, TABLE_RATING, i);
        json_object_begin(json);
        json_columns(json, &row, "uuid setup sample morning sign");
        json_object_member(json, "scores");
        for (int item = 0; item < RATING_ITEMS; item++) {
            if (rating_fields[item].kind == RATING_SCORE) {
                member_rating(json, item, rating->value[item]);
            }
        }
        json_object_end(json);
        for (int told = 0; told < RATING_ITEMS; told++) {
            if (rating_fields[items[told]].kind != RATING_SCORE) {
                member_rating(json, items[told], rating->value[items[told]]);
            }
        }
        json_object_end(json);
    }
    json_array_end(json);
}
