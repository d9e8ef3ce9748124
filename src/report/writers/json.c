/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The JSON export, and the comparison alone. */
#include "report/digest.h"
#include "report/json_parts.h"

#include <math.h>

static void difference_object(struct json_writer *json, const struct comparison *comparison,
                              int setup)
{
    const struct setup_difference *difference = &comparison->difference[setup];
    bool interval = difference->has_interval;
    char words[2 * SAY_SIZE], advice[SAY_SIZE], reason[SAY_SIZE];
    if (!json_object_member_if(json, "difference", difference->verdict != VERDICT_NONE)) {
        return;
    }
    json_member_if(json, "value", say_has_value(difference), difference->difference);
    json_member_if(json, "low", interval, difference->low);
    json_member_if(json, "high", interval, difference->high);
    json_member_if(json, "standard_error", interval, difference->standard_error);
    json_member_if(json, "tie_error", interval, difference->tie_error);
    json_member_if(json, "weighted", difference->has_second, difference->second_difference);
    json_member_if(json, "weighted_low", difference->has_second, difference->second_low);
    json_member_if(json, "weighted_high", difference->has_second, difference->second_high);
    json_member_string(json, "verdict", say_verdict(difference->verdict));
    say_advice(advice, sizeof advice, difference->advice, difference->advice_holds);
    json_member_string(json, "advice", advice);
    json_member_integer(json, "advice_holds",
                        difference->advice == ADVICE_MORE_HOLDS ? difference->advice_holds : 0);
    say_reason(reason, sizeof reason, difference);
    json_member_string(json, "reason", reason);
    if (comparison->shares) {
        say_share_difference(words, sizeof words, difference);
    } else {
        say_difference(words, sizeof words, difference, SAY_LONG, NULL);
    }
    json_member_string(json, "words", words);
    json_object_end(json);
}

static void setup_object(struct json_writer *json, const struct comparison *comparison, int setup,
                         int number)
{
    const struct setup_estimate *estimate = &comparison->setup[setup];
    bool any = estimate->holds > 0;
    json_object_begin(json);
    json_member_integer(json, "setup", number);
    json_member_integer(json, "holds", estimate->holds);
    json_member_integer(json, "builds", estimate->builds);
    json_member_boolean(json, "tied", estimate->tied);
    json_member_boolean(json, "built_once", estimate->built_once);
    json_member_boolean(json, "borrowed_repeatability", estimate->borrowed_repeatability);
    json_member_boolean(json, "assumed_repeatability", estimate->assumed);
    json_member_boolean(json, "own_spread", estimate->own_spread);
    json_member_if(json, "spread", any && isfinite(estimate->spread), estimate->spread);
    json_member_if(json, "mean", any, estimate->mean);
    json_member_if(json, "half_width", any && estimate->has_interval, estimate->half_width);
    difference_object(json, comparison, setup);
    json_object_end(json);
}

void json_compared(struct json_writer *json, const char *channel,
                   const struct comparison *comparison, const int *numbers, int setup_count)
{
    bool repeats = comparison->has_repeatability;
    bool ok = comparison->status == MEASURE_OK;
    json_object_begin(json);
    json_member_string(json, "channel", channel);
    json_member_string(json, "outcome", ok ? "ok" : measure_status_sentence(comparison->status));
    json_member_number(json, "matters", comparison->matters);
    json_member_if(json, "repeatability", repeats, comparison->repeatability);
    json_member_if(json, "repeatability_low", repeats, comparison->repeatability_low);
    json_member_if(json, "repeatability_high", repeats, comparison->repeatability_high);
    json_member_number(json, "repeatability_df", comparison->repeatability_df);
    bool learnt = repeats && comparison->repeatability_learnt_df > 0;
    json_member_if(json, "repeatability_here", repeats, comparison->repeatability_here);
    json_member_if(json, "repeatability_here_df", repeats, comparison->repeatability_here_df);
    json_member_if(json, "repeatability_learnt", learnt, comparison->repeatability_learnt);
    json_member_if(json, "repeatability_learnt_df", learnt, comparison->repeatability_learnt_df);
    json_member_boolean(json, "provisional", comparison->provisional);
    json_member_if(json, "smallest_detectable", repeats, comparison->smallest_detectable);
    bool compared = comparison->compared > 0;
    json_member_integer(json, "compared", comparison->compared);
    json_member_if(json, "limit_holds", compared, comparison->limit_holds);
    json_member_if(json, "limit_known", compared, comparison->limit_known);
    json_member_if(json, "order_per_hold", comparison->order_fitted, comparison->order_per_hold);
    json_member_if(json, "order_half_width", comparison->order_fitted,
                   comparison->order_half_width);
    json_member_if(json, "order_index", ok, comparison->order_index);
    json_member_if(json, "shortest_hold_s", comparison->shortest_s > 0, comparison->shortest_s);
    json_member_if(json, "longest_hold_s", comparison->longest_s > 0, comparison->longest_s);
    json_array_member(json, "setups");
    for (int setup = 0; setup < setup_count; setup++) {
        setup_object(json, comparison, setup, numbers[setup]);
    }
    json_array_end(json);
    json_object_end(json);
}

static void comparison_object(struct json_writer *json, const struct report_input *input,
                              int channel, const struct comparison *comparison)
{
    int numbers[SETUPS_MAX];
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        numbers[setup] = input->record->setup[setup].number;
    }
    json_compared(json, input->analysis->channel_name[channel], comparison, numbers,
                  input->record->setup_count);
}

void json_comparison(struct json_writer *json, const struct report_input *input)
{
    const struct analysis *analysis = input->analysis;
    json_object_member(json, "comparison");
    json_member_integer(json, "baseline_setup", input->record->settings.baseline_setup);
    json_array_member(json, "free_heights");
    for (int channel = 0; channel < analysis->channel_count; channel++) {
        if (analysis->body[channel]) {
            comparison_object(json, input, channel, &analysis->free_heights[channel]);
        }
    }
    json_array_end(json);
    json_array_member(json, "guided_in_band");
    for (int channel = 0; channel < analysis->channel_count; channel++) {
        if (analysis->body[channel] && analysis->has_guided[channel]) {
            comparison_object(json, input, channel, &analysis->guided_in_band[channel]);
        }
    }
    json_array_end(json);
    json_object_end(json);
}

static void command_log(struct json_writer *json, const struct report_input *input)
{
    json_array_member(json, "commands");
    for (size_t i = 0; i < input->command_count; i++) {
        json_object_begin(json);
        json_member_integer(json, "ordinal", input->commands[i].ordinal);
        json_member_integer(json, "after_sample", input->commands[i].after_sample);
        json_member_string(json, "text", input->commands[i].text);
        json_object_end(json);
    }
    json_array_end(json);
}

static bool finish(struct json_writer *json, FILE *stream, struct problem *problem)
{
    json_object_end(json);
    return !ferror(stream) || problem_set(problem, "the JSON could not be written");
}

bool report_json(FILE *stream, const struct report_input *input, struct problem *problem)
{
    struct json_writer json;
    json_document_begin(&json, stream, true, "holdline-session", 1);
    json_session(&json, input);
    json_placings(&json, input);
    json_setups(&json, input);
    json_builds(&json, input);
    json_record_array(&json, input, "tie_readings", TABLE_TIE_READING, false);
    json_record_array(&json, input, "captures", TABLE_CAPTURE, true);
    json_targets(&json, input);
    json_bands(&json, input);
    json_holds(&json, input);
    json_record_array(&json, input, "marks", TABLE_MARK, false);
    json_record_array(&json, input, "cue_sounds", TABLE_CUE_SOUND, false);
    json_ratings(&json, input);
    json_record_array(&json, input, "notes", TABLE_NOTE, false);
    json_checks(&json, input);
    json_runs(&json, input);
    json_comparison(&json, input);
    json_drag(&json, input);
    json_insight(&json, input);
    command_log(&json, input);
    return finish(&json, stream, problem);
}

bool report_drag_json(FILE *stream, const struct report_input *input, struct problem *problem)
{
    struct json_writer json;
    json_document_begin(&json, stream, true, "holdline-day-of-runs", 1);
    json_runs(&json, input);
    json_drag(&json, input);
    return finish(&json, stream, problem);
}

bool report_compare_json(FILE *stream, const struct report_input *input, struct problem *problem)
{
    struct json_writer json;
    json_document_begin(&json, stream, true, "holdline-comparison", 1);
    json_session(&json, input);
    json_setups(&json, input);
    json_comparison(&json, input);
    json_drag(&json, input);
    json_insight(&json, input);
    return finish(&json, stream, problem);
}
