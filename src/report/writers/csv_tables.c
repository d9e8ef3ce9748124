/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV: ratings, readings of plate and tape, and differences, as a session's package has them. */
#include "report/tables.h"

#include "report/digest.h"

#include <math.h>
#include <stdlib.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))
enum part {
    THIS,
    SETUP,
    BUILD,
    CHANNEL,
    TIE,
    ESTIMATE,
    DIFFERENCE,
    TESTED,
    COMPARISON,
    TESTING,
    PARTS
};

/* ---- ratings --------------------------------------------------------------------------------- */

static const struct csv_column rated[] = {
    {"setup", CSV_OF(SETUP, setup_record, number), "", "number of the setup that was rated"},
    {"sample", CSV_OF(THIS, rating_record, sample), "",
     "number of the sample at which it was said"},
};

bool report_ratings_csv(FILE *stream, const struct report_input *input, struct problem *problem)
{
    const struct session_record *record = input->record;
    struct csv_writer csv;
    int items[RATING_ITEMS];
    rating_sort(RATING_ASKED, items);
    csv_begin(&csv, stream);
    csv_headings(&csv, rated, COUNT(rated));
    for (int i = 0; i < RATING_ITEMS; i++) {
        csv_text(&csv, rating_fields[items[i]].column);
    }
    csv_row_end(&csv);
    for (int r = 0; r < record->rating_count; r++) {
        const struct rating_record *rating = &record->rating[r];
        const void *const parts[PARTS] = {[THIS] = rating, [SETUP] = &record->setup[rating->setup]};
        csv_cells(&csv, rated, COUNT(rated), parts);
        for (int i = 0; i < RATING_ITEMS; i++) {
            double value = rating->value[items[i]];
            if (rating_fields[items[i]].kind == RATING_WORD) {
                csv_text(&csv, rating_word(items[i], value));
            } else {
                csv_exact(&csv, value);
            }
        }
        csv_row_end(&csv);
    }
    return !ferror(stream) || problem_set(problem, "the CSV could not be written");
}

void report_ratings_columns(struct csv_writer *csv, const char *file)
{
    int items[RATING_ITEMS];
    rating_sort(RATING_ASKED, items);
    csv_describe(csv, file, rated, COUNT(rated));
    for (int i = 0; i < RATING_ITEMS; i++) {
        const struct rating_field *field = &rating_fields[items[i]];
        csv_describe_one(csv, file, field->column, field->unit, field->words);
    }
}

/* ---- ties ------------------------------------------------------------------------------------ */

struct tied_row {
    const char *kind;
};
static const struct csv_column tied[] = {
    {"setup", CSV_OF(SETUP, setup_record, number), "", "number of the setup it was read on"},
    {"build", CSV_OF(BUILD, build_record, ordinal), "", "and the build"},
    {"channel", CSV_OF(CHANNEL, channel_record, name), "", "the sensor's channel"},
    {"kind", CSV_OF(THIS, tied_row, kind), "",
     "plate: range to a plate at a height that does not change; tape: the sensor's own height"},
    {"value_mm", CSV_EXACT(TIE, tie_reading_record, value_mm), "mm",
     "range to the plate, or the sensor's height over the bottom bracket"},
    {"plate_height_mm", CSV_EXACT(TIE, tie_reading_record, plate_height_mm), "mm",
     "the plate's height over the bottom bracket; empty: not known, the same on all builds"},
    {"sample", CSV_OF(TIE, tie_reading_record, at_sample), "",
     "number of the sample at which it was taken"},
};

bool report_ties_csv(FILE *stream, const struct report_input *input, struct problem *problem)
{
    const struct session_record *record = input->record;
    struct csv_writer csv;
    csv_begin(&csv, stream);
    csv_headings(&csv, tied, COUNT(tied));
    csv_row_end(&csv);
    for (int i = 0; i < record->tie_reading_count; i++) {
        const struct tie_reading_record *reading = &record->tie_reading[i];
        const struct build_record *build = &record->build[reading->build];
        const struct placing_record *placing = digest_placing(input, reading->build);
        const struct tied_row row = {reading->kind == TIE_READING_TAPE ? "tape" : "plate"};
        const void *const parts[PARTS] = {
            [THIS] = &row,
            [SETUP] = &record->setup[build->setup],
            [BUILD] = build,
            [CHANNEL] = placing != NULL ? &placing->channel[reading->channel] : NULL,
            [TIE] = reading,
        };
        csv_cells(&csv, tied, COUNT(tied), parts);
        csv_row_end(&csv);
    }
    return !ferror(stream) || problem_set(problem, "the CSV could not be written");
}

void report_ties_columns(struct csv_writer *csv, const char *file)
{
    csv_describe(csv, file, tied, COUNT(tied));
}

/* ---- differences ----------------------------------------------------------------------------- */

struct differing_row {
    const char *channel, *verdict;
    int baseline_setup;
    double matters_mm;
};
static const struct csv_column differing[] = {
    {"setup", CSV_OF(SETUP, setup_record, number), "", "number of the setup"},
    {"baseline_setup", CSV_OF(THIS, differing_row, baseline_setup), "",
     "number of the setup it is held against"},
    {"channel", CSV_OF(THIS, differing_row, channel), "", "the sensor's channel"},
    {"holds", CSV_OF(ESTIMATE, setup_estimate, holds), "", "free holds that count"},
    {"mean_mm", CSV_EXACT(ESTIMATE, setup_estimate, mean), "mm",
     "mean of its free holds, the trial order taken out where order_mm_per_hold stands"},
    {"difference_mm", CSV_EXACT(DIFFERENCE, setup_difference, difference), "mm",
     "less the baseline's: negative is lower"},
    {"low_mm", CSV_EXACT(TESTED, setup_difference, low), "mm",
     "95 % interval, the lower end; all of a channel hold together"},
    {"high_mm", CSV_EXACT(TESTED, setup_difference, high), "mm", "and the upper end"},
    {"standard_error_mm", CSV_EXACT(TESTED, setup_difference, standard_error), "mm",
     "of the difference"},
    {"tie_error_mm", CSV_EXACT(TESTED, setup_difference, tie_error), "mm", "the ties' part of it"},
    {"repeatability_mm", CSV_EXACT(COMPARISON, comparison, repeatability), "mm",
     "SD between holds of a setup, that the intervals rest on"},
    {"repeatability_here_mm", CSV_EXACT(COMPARISON, comparison, repeatability_here), "mm",
     "of this session's holds alone"},
    {"limit_holds", CSV_EXACT(TESTING, comparison, limit_holds), "",
     "how many standard errors of the holds' part an interval reaches"},
    {"limit_known", CSV_EXACT(TESTING, comparison, limit_known), "", "and of the ties' part"},
    {"own_spread", CSV_OF(ESTIMATE, setup_estimate, own_spread), "",
     "its holds differ more than the others': its interval is from its own spread"},
    {"order_mm_per_hold", CSV_EXACT(TESTING, comparison, order_per_hold), "mm",
     "change with the trial order that was taken out; 0: none was"},
    {"matters_mm", CSV_EXACT(THIS, differing_row, matters_mm), "mm",
     "the smallest difference that matters"},
    {"verdict", CSV_OF(THIS, differing_row, verdict), "", "what the interval says"},
};

static void put_difference(struct csv_writer *csv, const struct report_input *input, int setup,
                           int channel)
{
    const struct session_record *record = input->record;
    const struct comparison *comparison = &input->analysis->free_heights[channel];
    const struct setup_estimate *estimate = analysis_estimate(input->analysis, channel, setup);
    const struct setup_difference *difference =
        analysis_difference(input->analysis, channel, setup);
    bool judged = difference->verdict != VERDICT_NONE;
    const struct differing_row row = {
        input->analysis->channel_name[channel], judged ? say_verdict(difference->verdict) : "",
        record->settings.baseline_setup, record->settings.matters_mm[channel]};
    const void *const parts[PARTS] = {
        [THIS] = &row,
        [SETUP] = &record->setup[setup],
        [ESTIMATE] = estimate->holds > 0 ? estimate : NULL,
        [DIFFERENCE] = say_has_value(difference) ? difference : NULL,
        [TESTED] = judged && difference->has_interval ? difference : NULL,
        [COMPARISON] = comparison->has_repeatability ? comparison : NULL,
        [TESTING] = judged && difference->has_interval ? comparison : NULL,
    };
    csv_cells(csv, differing, COUNT(differing), parts);
    csv_row_end(csv);
}

bool report_differences_csv(FILE *stream, const struct report_input *input, struct problem *problem)
{
    struct csv_writer csv;
    csv_begin(&csv, stream);
    csv_headings(&csv, differing, COUNT(differing));
    csv_row_end(&csv);
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        for (int channel = 0; channel < input->analysis->channel_count; channel++) {
            if (input->analysis->body[channel]) {
                put_difference(&csv, input, setup, channel);
            }
        }
    }
    return !ferror(stream) || problem_set(problem, "the CSV could not be written");
}

void report_differences_columns(struct csv_writer *csv, const char *file)
{
    csv_describe(csv, file, differing, COUNT(differing));
}
