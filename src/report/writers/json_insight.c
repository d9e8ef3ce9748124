/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON of what follows from the holds beside the comparison. */
#include "report/digest.h"
#include "report/json_parts.h"
#include "report/sections.h"
#include "say/setup.h"

#include <math.h>

/* ---- the trade-off ------------------------------------------------------------------------------
 */

static void setup_number(struct json_writer *json, const struct report_input *input,
                         const char *name, int setup)
{
    json_name(json, name);
    if (setup >= 0) {
        json_integer(json, input->record->setup[setup].number);
    } else {
        json_null(json);
    }
}

static void tradeoff(struct json_writer *json, const struct report_input *input)
{
    static const char *const names[TRADEOFF_CRITERIA] = {
        [TRADEOFF_HEIGHT] = "height_mm",
        [TRADEOFF_SECOND_HEIGHT] = "second_height_mm",
        [TRADEOFF_STEADINESS] = "steadiness_mm",
        [TRADEOFF_CREEP] = "creep_mm_per_min",
        [TRADEOFF_IN_BAND] = "in_band_share",
        [TRADEOFF_DISCOMFORT] = "discomfort",
        [TRADEOFF_EFFORT] = "effort",
    };
    const struct insight *insight = &input->analysis->insight;
    json_array_member(json, "tradeoff");
    for (int s = 0; s < input->record->setup_count; s++) {
        const struct tradeoff_setup *value = &insight->value[s];
        json_object_begin(json);
        setup_number(json, input, "setup", s);
        json_member_boolean(json, "stands", insight->mark[s].stands);
        setup_number(json, input, "beaten_by", insight->mark[s].beaten_by);
        json_member_boolean(json, "sight_failed", value->sight_failed);
        for (int k = 0; k < TRADEOFF_CRITERIA; k++) {
            json_member_if(json, names[k], value->has[k], value->value[k]);
        }
        json_object_end(json);
    }
    json_array_end(json);
}

/* ---- together -----------------------------------------------------------------------------------
 */

void json_ellipse(struct json_writer *json, const char *name, bool there,
                  const struct ellipse *ellipse)
{
    if (!json_object_member_if(json, name, there)) {
        return;
    }
    json_member_integer(json, "readings", (int64_t)ellipse->count);
    json_member_number(json, "x_mm", ellipse->mean_x);
    json_member_number(json, "y_mm", ellipse->mean_y);
    json_member_number(json, "area_mm2", ellipse->area);
    json_member_number(json, "semi_major_mm", ellipse->semi_major);
    json_member_number(json, "semi_minor_mm", ellipse->semi_minor);
    json_member_number(json, "angle_deg", ellipse->angle_deg);
    json_member_number(json, "correlation", ellipse->correlation);
    json_object_end(json);
}

static void channel_member(struct json_writer *json, const struct report_input *input,
                           const char *name, int channel)
{
    json_member_string(json, name, channel >= 0 ? input->analysis->channel_name[channel] : NULL);
}

static void together(struct json_writer *json, const struct report_input *input)
{
    const struct insight *insight = &input->analysis->insight;
    json_object_member(json, "together");
    channel_member(json, input, "x_channel", insight->x_channel);
    channel_member(json, input, "y_channel", insight->y_channel);
    json_array_member(json, "setups");
    for (int s = 0; s < input->record->setup_count; s++) {
        json_object_begin(json);
        setup_number(json, input, "setup", s);
        json_ellipse(json, "ellipse", insight->together[s], &insight->ellipse[s]);
        json_object_end(json);
    }
    json_array_end(json);
    json_object_end(json);
}

/* ---- steps --------------------------------------------------------------------------------------
 */

static void factor(struct json_writer *json, const struct report_input *input,
                   const struct steps *steps, int k)
{
    const struct insight *insight = &input->analysis->insight;
    const struct steps_factor *one = &steps->factor[k];
    bool ok = steps->status == MEASURE_OK, known = ok && one->state == STEPS_KNOWN;
    json_object_begin(json);
    json_member_string(json, "part", bike_fields[insight->factor[k]].key);
    json_member_string(json, "unit", bike_fields[insight->factor[k]].unit);
    json_member_number(json, "tried_low", insight->tried_low[k]);
    json_member_number(json, "tried_high", insight->tried_high[k]);
    json_member_string(json, "state", ok ? steps_state_words(one->state) : NULL);
    json_member_if(json, "mm_per_unit", known, one->per_unit);
    json_member_if(json, "half_width", known, one->half_width);
    json_object_end(json);
}

static void steps_of(struct json_writer *json, const struct report_input *input, int channel)
{
    const struct insight *insight = &input->analysis->insight;
    const struct steps *steps = &insight->steps[channel];
    bool ok = steps->status == MEASURE_OK;
    json_object_begin(json);
    channel_member(json, input, "channel", channel);
    json_member_string(json, "outcome", ok ? "ok" : measure_status_sentence(steps->status));
    json_member_integer(json, "setups", insight->steps_setups[channel]);
    json_member_if(json, "df", ok, steps->df);
    json_member_if(json, "widened", ok, steps->widened);
    json_member_string(json, "change_alone",
                       ok && steps->change_alone >= 0
                           ? bike_fields[insight->factor[steps->change_alone]].key
                           : NULL);
    json_array_member(json, "parts");
    for (int k = 0; k < insight->factor_count; k++) {
        factor(json, input, steps, k);
    }
    json_array_end(json);
    json_object_end(json);
}

static void suggestion(struct json_writer *json, const struct report_input *input)
{
    struct insight_suggestion found;
    char reason[SAY_SIZE];
    int now = section_next_from(input);
    struct bike_limits limits = digest_limits(input);
    insight_suggest(input->record, input->analysis, now, &limits, &found);
    json_object_member(json, "suggestion");
    setup_number(json, input, "from_setup", now);
    json_member_string(json, "purpose", steps_purpose_word(found.purpose));
    say_no_suggestion(reason, sizeof reason, &found);
    json_member_string(json, "reason", reason);
    bool any = found.purpose != STEPS_NOTHING;
    json_member_string(json, "part", any ? bike_fields[found.part].key : NULL);
    json_member_if(json, "from", any, found.from);
    json_member_if(json, "to", any, found.to);
    json_array_member(json, "expected");
    for (int c = 0; any && c < input->analysis->channel_count; c++) {
        const struct steps_forecast *forecast = &found.forecast[c];
        if (!input->analysis->body[c]) {
            continue;
        }
        json_object_begin(json);
        channel_member(json, input, "channel", c);
        json_member_if(json, "height_change_mm", forecast->possible, forecast->height_change_mm);
        json_member_if(json, "half_width_mm", forecast->possible, forecast->half_width_mm);
        json_object_end(json);
    }
    json_array_end(json);
    json_object_end(json);
}

static void steps(struct json_writer *json, const struct report_input *input)
{
    json_object_member(json, "steps");
    json_array_member(json, "channels");
    for (int c = 0; c < input->analysis->channel_count; c++) {
        if (input->analysis->body[c]) {
            steps_of(json, input, c);
        }
    }
    json_array_end(json);
    suggestion(json, input);
    json_object_end(json);
}

void json_insight(struct json_writer *json, const struct report_input *input)
{
    json_object_member(json, "insight");
    tradeoff(json, input);
    together(json, input);
    steps(json, input);
    json_object_end(json);
}
