/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A day of runs: what was recorded, what it comes to, the setups against each other. */
#include "report/digest.h"
#include "report/json_parts.h"
#include "say/drag.h"
#include "say/drag_day.h"

#include <math.h>

static void legs_array(struct json_writer *json, const struct report_input *input, int run)
{
    const struct session_record *record = input->record;
    json_array_member(json, "legs");
    for (int l = 0; l < record->leg_count; l++) {
        const struct drag_leg_result *result = &input->analysis->drag.leg[l];
        struct json_row row = json_row(input, TABLE_LEG, l);
        if (record->leg[l].run != run) {
            continue;
        }
        json_object_begin(json);
        json_columns(json, &row,
                     "uuid number back pair length_m duration_s work_j speed_m_per_s speed_squared "
                     "in_m_per_s out_m_per_s climb_m left_out reason piece_m");
        json_member_number(json, "drag_m2", result->drag_m2);
        json_member_number(json, "wind_m_per_s", result->wind_m_per_s);
        json_member_boolean(json, "gusty", result->gusty);
        json_member_boolean(json, "uneven", result->uneven);
        json_member_if(json, "unexplained_n", result->leaves, result->leaves_n);
        json_member_if(json, "unexplained_at_m", result->leaves,
                       drag_piece_place_m(record, l, result->leaves_piece + 1.0));
        json_member_string(json, "not_used", say_drag_leg_state(result->state));
        json_array_member(json, "pieces");
        for (int p = 0; p < record->leg[l].piece_count; p++) {
            struct json_row piece = row;
            piece.table = TABLE_LEG_PIECE;
            piece.index = p;
            json_object_begin(json);
            json_columns(json, &piece, NULL);
            json_member_number(json, "residual_n",
                               drag_residual_of(record, &input->analysis->drag, l, p));
            json_object_end(json);
        }
        json_array_end(json);
        json_object_end(json);
    }
    json_array_end(json);
}

void json_runs(struct json_writer *json, const struct report_input *input)
{
    const struct session_record *record = input->record;
    json_record_array(json, input, "airs", TABLE_AIR, false);
    json_array_member(json, "runs");
    for (int r = 0; r < record->run_count; r++) {
        const struct drag_run_result *result = &input->analysis->drag.run[r];
        struct json_row row = json_row(input, TABLE_RUN, r);
        json_object_begin(json);
        json_columns(json, &row, NULL);
        json_member_number(json, "density_kg_per_m3", result->density_kg_per_m3);
        json_member_if(json, "drag_m2", result->mean.count > 0, result->mean.drag_m2);
        json_member_if(json, "half_width_m2", result->mean.has_interval,
                       result->mean.half_width_m2);
        json_member_integer(json, "values", result->mean.count);
        json_member_number(json, "speed_m_per_s", result->speed_m_per_s);
        json_member_number(json, "wind_m_per_s", result->wind_m_per_s);
        json_member_boolean(json, "gusty", result->gusty);
        json_member_number(json, "leg_length_m", result->leg_length_m);
        json_member_boolean(json, "other_length", result->other_length);
        json_member_number(json, "residual_sd_n", result->residual_sd_n);
        json_member_string(json, "not_used", say_drag_run_state(result->state));
        legs_array(json, input, r);
        json_object_end(json);
    }
    json_array_end(json);
}

static void setup_object(struct json_writer *json, const struct report_input *input, int s)
{
    const struct drag_analysis *drag = &input->analysis->drag;
    const struct drag_setup_result *setup = &drag->setup[s];
    const struct setup_estimate *estimate = &drag->compare.setup[s];
    const struct setup_difference *d = &drag->compare.difference[s];
    char words[SAY_SIZE];
    json_object_begin(json);
    json_member_integer(json, "setup", input->record->setup[s].number);
    json_member_integer(json, "runs", setup->runs);
    json_member_integer(json, "left_out", setup->left_out);
    json_member_boolean(json, "too_few", setup->few);
    json_member_if(json, "drag_m2", estimate->has_interval, estimate->mean);
    json_member_if(json, "half_width_m2", estimate->has_interval, estimate->half_width);
    json_member_number(json, "level_half_width_m2", setup->level_half_width_m2);
    json_member_number(json, "speed_m_per_s", setup->speed_m_per_s);
    json_member_boolean(json, "unlike_speed", setup->unlike);
    json_member_number(json, "leg_length_m", setup->leg_length_m);
    json_member_boolean(json, "other_wheel", setup->other_wheel);
    json_member_number(json, "power_w", setup->power_w);
    json_member_number(json, "heart_per_min", setup->heart_per_min);
    json_member_number(json, "effort", setup->effort);
    json_member_if(json, "difference_m2", d->has_interval, d->difference);
    json_member_if(json, "low_m2", d->has_interval, d->low);
    json_member_if(json, "high_m2", d->has_interval, d->high);
    json_member_string(json, "verdict", say_verdict(d->verdict));
    json_member_integer(json, "advice_runs", d->advice == ADVICE_MORE_HOLDS ? d->advice_holds : 0);
    say_drag_difference(words, sizeof words, drag, drag->compare.baseline, s);
    json_member_string(json, "words", words);
    json_object_end(json);
}

/* Where rolling resistance is from, and what steps of speed came to. */
static void rolling_object(struct json_writer *json, const struct report_input *input)
{
    static const char *const from[DRAG_ROLLING_STATES] = {"usual", "said", "steps"};
    const struct drag_analysis *drag = &input->analysis->drag;
    const struct drag_rolling *rolling = &drag->rolling;
    const struct rolling_line *line = &rolling->line;
    bool good = rolling->state == DRAG_STEPS_GOOD, some = rolling->run >= 0;
    char words[SAY_SIZE];
    json_object_member(json, "rolling_resistance");
    json_member_string(json, "from", from[rolling->from]);
    json_member_number(json, "coefficient", drag->rider.rolling);
    json_member_number(json, "standard_uncertainty", rolling->u_rolling);
    json_member_integer(json, "steps_run", some ? input->record->run[rolling->run].number : 0);
    json_member_integer(json, "steps", rolling->steps);
    json_member_if(json, "steps_coefficient", good, line->rolling);
    json_member_if(json, "steps_standard_error", good, line->rolling_u);
    json_member_if(json, "steps_drag_m2", good, line->drag_m2);
    json_member_if(json, "steps_drag_standard_error_m2", good, line->drag_u);
    json_member_if(json, "steps_correlation", good, line->correlation);
    say_drag_steps(words, sizeof words, input->record, drag);
    json_member_string(json, "words", words);
    json_object_end(json);
}

void json_drag(struct json_writer *json, const struct report_input *input)
{
    const struct drag_analysis *drag = &input->analysis->drag;
    const struct comparison *compare = &drag->compare;
    bool repeats = compare->has_repeatability;
    if (!json_object_member_if(json, "drag", input->record->run_count > 0)) {
        return;
    }
    struct json_row row = {.record = input->record, .table = TABLE_SESSION};
    struct session_header header;
    session_record_header(input->record, &header);
    row.of = &header;
    json_columns(json, &row, "mass_kg rolling course course_length_m course_indoors course_rise_m");
    rolling_object(json, input);
    json_member_number(json, "matters_m2", drag->matters_m2);
    json_member_integer(json, "baseline_setup", input->record->settings.baseline_setup);
    json_member_string(json, "lacks", say_drag_lack(drag->lack));
    json_member_string(json, "withheld", say_drag_withheld(drag->withheld));
    json_member_if(json, "repeatability_m2", repeats, compare->repeatability);
    json_member_if(json, "repeatability_low_m2", repeats, compare->repeatability_low);
    json_member_if(json, "repeatability_high_m2", repeats, compare->repeatability_high);
    json_member_number(json, "repeatability_df", compare->repeatability_df);
    json_member_if(json, "order_per_run_m2", compare->order_fitted, compare->order_per_hold);
    json_array_member(json, "setups");
    for (int s = 0; s < input->record->setup_count; s++) {
        if (drag->setup[s].runs + drag->setup[s].left_out > 0) {
            setup_object(json, input, s);
        }
    }
    json_array_end(json);
    json_object_end(json);
}
