/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV: a row for each body channel and part: how far the height followed the part, and the next
 * step that is suggested. */
#include "base/clock.h"
#include "report/csv.h"
#include "report/digest.h"
#include "report/sections.h"

#include <math.h>

static const char *const headings[] = {
    "session",
    "started",
    "rider_code",
    "baseline_setup",
    "channel",
    "outcome",
    "setups",
    "df",
    "widened",
    "part",
    "unit",
    "tried_low",
    "tried_high",
    "state",
    "mm_per_unit",
    "half_width",
    "suggested",
    "suggested_from_setup",
    "suggested_from",
    "suggested_to",
    "expected_change_mm",
    "expected_half_width_mm",
};

static void session_cells(struct csv_writer *csv, const struct session_record *record)
{
    char session[UUID_TEXT_SIZE], started[CLOCK_TEXT_SIZE];
    uuid_text(session, &record->uuid);
    clock_wall_text(started, record->started_ms);
    csv_text(csv, session);
    csv_text(csv, started);
    csv_text(csv, record->has_rider ? record->rider.code : "");
    csv_integer(csv, record->settings.baseline_setup);
}

static void factor_cells(struct csv_writer *csv, const struct insight *insight, int channel,
                         int factor)
{
    const struct steps *steps = &insight->steps[channel];
    const struct steps_factor *one = &steps->factor[factor];
    bool ok = steps->status == MEASURE_OK, known = ok && one->state == STEPS_KNOWN;
    csv_text(csv, ok ? "ok" : measure_status_sentence(steps->status));
    csv_integer(csv, insight->steps_setups[channel]);
    csv_number(csv, ok ? steps->df : (double)NAN, 0);
    csv_number(csv, ok ? steps->widened : (double)NAN, 3);
    csv_text(csv, bike_fields[insight->factor[factor]].key);
    csv_text(csv, bike_fields[insight->factor[factor]].unit);
    csv_exact(csv, insight->tried_low[factor]);
    csv_exact(csv, insight->tried_high[factor]);
    csv_text(csv, ok ? steps_state_words(one->state) : "");
    csv_number(csv, known ? one->per_unit : (double)NAN, 4);
    csv_number(csv, known ? one->half_width : (double)NAN, 4);
}

/* Empty but for the part that is suggested. */
static void suggestion_cells(struct csv_writer *csv, const struct report_input *input, int from,
                             const struct insight_suggestion *found, int channel, int factor)
{
    const struct steps_forecast *forecast = &found->forecast[channel];
    bool this_one =
        found->purpose != STEPS_NOTHING && found->part == input->analysis->insight.factor[factor];
    if (!this_one) {
        for (int i = 0; i < 6; i++) {
            csv_empty(csv);
        }
        return;
    }
    csv_text(csv, steps_purpose_word(found->purpose));
    csv_integer(csv, input->record->setup[from].number);
    csv_exact(csv, found->from);
    csv_exact(csv, found->to);
    csv_number(csv, forecast->possible ? forecast->height_change_mm : (double)NAN, 2);
    csv_number(csv, forecast->possible ? forecast->half_width_mm : (double)NAN, 2);
}

bool report_steps_csv(FILE *stream, const struct report_input *input, struct problem *problem)
{
    const struct insight *insight = &input->analysis->insight;
    struct insight_suggestion found;
    struct csv_writer csv;
    struct bike_limits limits = digest_limits(input);
    int from = section_next_from(input);
    insight_suggest(input->record, input->analysis, from, &limits, &found);
    csv_begin(&csv, stream);
    csv_headings(&csv, headings, sizeof headings / sizeof headings[0]);
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        for (int k = 0; input->analysis->body[channel] && k < insight->factor_count; k++) {
            session_cells(&csv, input->record);
            csv_text(&csv, input->analysis->channel_name[channel]);
            factor_cells(&csv, insight, channel, k);
            suggestion_cells(&csv, input, from, &found, channel, k);
            csv_row_end(&csv);
        }
    }
    return !ferror(stream) || problem_set(problem, "the CSV could not be written");
}
