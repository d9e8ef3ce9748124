/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV: a row for each body channel and part: how far the height followed the part, and the next
 * step that is suggested. */
#include "base/clock.h"
#include "report/csv.h"
#include "report/digest.h"
#include "report/sections.h"

/* What a row is put together from; NULL where there is none. */
enum part {
    THIS,      /* struct steps_row */
    FITTED,    /* the steps, where there are numbers */
    KNOWN,     /* the part's factor, where it is known */
    SUGGESTED, /* on the row of the part that is suggested */
    FORECAST,
    FROM, /* the setup */
    PARTS,
};

/* What stands in no record as it is told. */
struct steps_row {
    char session[UUID_TEXT_SIZE], started[CLOCK_TEXT_SIZE];
    const char *rider_code, *channel, *outcome, *part, *unit, *state, *suggested;
    int baseline_setup, setups;
    double tried_low, tried_high;
};

static const struct csv_column columns[] = {
    {"session", CSV_OF(THIS, steps_row, session)},
    {"started", CSV_OF(THIS, steps_row, started)},
    {"rider_code", CSV_OF(THIS, steps_row, rider_code)},
    {"baseline_setup", CSV_OF(THIS, steps_row, baseline_setup)},
    {"channel", CSV_OF(THIS, steps_row, channel)},
    {"outcome", CSV_OF(THIS, steps_row, outcome)},
    {"setups", CSV_OF(THIS, steps_row, setups)},
    {"df", CSV_OF(FITTED, steps, df)},
    {"widened", CSV_ROUNDED(FITTED, steps, widened, 3)},
    {"part", CSV_OF(THIS, steps_row, part)},
    {"unit", CSV_OF(THIS, steps_row, unit)},
    {"tried_low", CSV_EXACT(THIS, steps_row, tried_low)},
    {"tried_high", CSV_EXACT(THIS, steps_row, tried_high)},
    {"state", CSV_OF(THIS, steps_row, state)},
    {"mm_per_unit", CSV_ROUNDED(KNOWN, steps_factor, per_unit, 4)},
    {"half_width", CSV_ROUNDED(KNOWN, steps_factor, half_width, 4)},
    {"suggested", CSV_OF(THIS, steps_row, suggested)},
    {"suggested_from_setup", CSV_OF(FROM, setup_record, number)},
    {"suggested_from", CSV_EXACT(SUGGESTED, insight_suggestion, from)},
    {"suggested_to", CSV_EXACT(SUGGESTED, insight_suggestion, to)},
    {"expected_change_mm", CSV_ROUNDED(FORECAST, steps_forecast, height_change_mm, 2)},
    {"expected_half_width_mm", CSV_ROUNDED(FORECAST, steps_forecast, half_width_mm, 2)},
};
#define COLUMNS (sizeof columns / sizeof columns[0])

static void row_of_session(struct steps_row *row, const struct session_record *record)
{
    uuid_text(row->session, &record->uuid);
    clock_wall_text(row->started, record->started_ms);
    row->rider_code = record->has_rider ? record->rider.code : "";
    row->baseline_setup = record->settings.baseline_setup;
}

/* Channel and the insight's k-th part. */
static void put_row(struct csv_writer *csv, const struct report_input *input, int from,
                    const struct insight_suggestion *found, int channel, int k,
                    struct steps_row *row)
{
    const struct insight *insight = &input->analysis->insight;
    const struct steps *steps = &insight->steps[channel];
    const struct steps_factor *factor = &steps->factor[k];
    const struct bike_field *part = &bike_fields[insight->factor[k]];
    const struct steps_forecast *forecast = &found->forecast[channel];
    bool ok = steps->status == MEASURE_OK;
    bool this_one = found->purpose != STEPS_NOTHING && found->part == insight->factor[k];
    const void *const parts[PARTS] = {
        [THIS] = row,
        [FITTED] = ok ? steps : NULL,
        [KNOWN] = ok && factor->state == STEPS_KNOWN ? factor : NULL,
        [SUGGESTED] = this_one ? found : NULL,
        [FORECAST] = this_one && forecast->possible ? forecast : NULL,
        [FROM] = this_one ? &input->record->setup[from] : NULL,
    };
    row->channel = input->analysis->channel_name[channel];
    row->outcome = ok ? "ok" : measure_status_sentence(steps->status);
    row->setups = insight->steps_setups[channel];
    row->part = part->key;
    row->unit = part->unit;
    row->tried_low = insight->tried_low[k];
    row->tried_high = insight->tried_high[k];
    row->state = ok ? steps_state_words(factor->state) : "";
    row->suggested = this_one ? steps_purpose_word(found->purpose) : "";
    csv_cells(csv, columns, COLUMNS, parts);
    csv_row_end(csv);
}

bool report_steps_csv(FILE *stream, const struct report_input *input, struct problem *problem)
{
    const struct analysis *analysis = input->analysis;
    struct insight_suggestion found;
    struct steps_row row;
    struct csv_writer csv;
    struct bike_limits limits = digest_limits(input);
    int from = section_next_from(input);
    insight_suggest(input->record, analysis, from, &limits, &found);
    row_of_session(&row, input->record);
    csv_begin(&csv, stream);
    csv_headings(&csv, columns, COLUMNS);
    csv_row_end(&csv);
    for (int channel = 0; channel < analysis->channel_count; channel++) {
        for (int k = 0; analysis->body[channel] && k < analysis->insight.factor_count; k++) {
            put_row(&csv, input, from, &found, channel, k, &row);
        }
    }
    return !ferror(stream) || problem_set(problem, "the CSV could not be written");
}
