/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV: a row for each setup and body channel: mean, difference, verdict, what stands beside it. */
#include "base/clock.h"
#include "report/csv.h"
#include "report/digest.h"
#include "report/sheet.h"

#include <math.h>

static const char *const headings[] = {
    "session",
    "started",
    "rider_code",
    "setup",
    "setup_uuid",
    "intent",
    "changes_from_first",
    "bar_clamp_x_mm",
    "bar_clamp_y_mm",
    "pad_x_mm",
    "pad_y_mm",
    "extension_tip_x_mm",
    "extension_tip_y_mm",
    "channel",
    "baseline_setup",
    "matters_mm",
    "free_holds",
    "builds",
    "tied",
    "built_once",
    "borrowed_repeatability",
    "mean_mm",
    "mean_half_width_mm",
    "difference_mm",
    "difference_low_mm",
    "difference_high_mm",
    "difference_low_90_mm",
    "difference_high_90_mm",
    "difference_se_mm",
    "tie_error_mm",
    "df",
    "p",
    "p_holm",
    "weighted_difference_mm",
    "weighted_low_mm",
    "weighted_high_mm",
    "verdict",
    "advice",
    "words",
    "repeatability_mm",
    "repeatability_low_mm",
    "repeatability_high_mm",
    "repeatability_df",
    "smallest_detectable_mm",
    "provisional",
    "steadiness_free_mm",
    "creep_free_mm_per_min",
    "guided_holds",
    "steadiness_guided_mm",
    "creep_guided_mm_per_min",
    "in_band_share",
    "in_band_difference",
    "in_band_verdict",
    "came_up_a_hold",
    "went_low_a_hold",
    "sees_ahead",
    "failed",
    "chosen",
    "limits_passed",
    "stands",
    "beaten_by",
};
static const char *const last_headings[] = {"numb_hands", "numb_saddle", "could_stay_min",
                                            "would_race"};
#define CHANGES_SIZE 2048 /* every measure of a bike changed */
#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static void write_headings(struct csv_writer *csv)
{
    for (size_t i = 0; i < COUNT(headings); i++) {
        csv_text(csv, headings[i]);
    }
    for (int item = 0; item < RATING_ITEMS; item++) {
        csv_text(csv, rating_fields[item].key);
    }
    csv_headings(csv, last_headings, COUNT(last_headings));
}

static void setup_cells(struct csv_writer *csv, const struct session_record *record, int index)
{
    const struct setup_record *setup = &record->setup[index];
    char session[UUID_TEXT_SIZE], uuid[UUID_TEXT_SIZE], started[CLOCK_TEXT_SIZE];
    char changes[CHANGES_SIZE];
    struct bike_points points;
    struct problem missing = {PROBLEM_NONE, ""};
    bool known = bike_forward(&setup->bike, &points, &missing);

    uuid_text(session, &record->uuid);
    uuid_text(uuid, &setup->uuid);
    clock_wall_text(started, record->started_ms);
    bike_changes_text(changes, sizeof changes, &record->setup[0].bike, &setup->bike);
    csv_text(csv, session);
    csv_text(csv, started);
    csv_text(csv, record->has_rider ? record->rider.code : "");
    csv_integer(csv, setup->number);
    csv_text(csv, uuid);
    csv_text(csv, setup->intent);
    csv_text(csv, index == 0 ? "" : changes);
    csv_number(csv, known ? points.clamp.x_mm : (double)NAN, 1);
    csv_number(csv, known ? points.clamp.y_mm : (double)NAN, 1);
    csv_number(csv, known && points.has_pad ? points.pad.x_mm : (double)NAN, 1);
    csv_number(csv, known && points.has_pad ? points.pad.y_mm : (double)NAN, 1);
    csv_number(csv, known && points.has_extension ? points.extension_tip.x_mm : (double)NAN, 1);
    csv_number(csv, known && points.has_extension ? points.extension_tip.y_mm : (double)NAN, 1);
}

static void difference_cells(struct csv_writer *csv, const struct setup_difference *difference)
{
    bool verdict = difference->verdict != VERDICT_NONE;
    bool interval = verdict && difference->has_interval;
    char advice[SAY_SIZE], words[2 * SAY_SIZE];
    csv_number(csv, say_has_value(difference) ? difference->difference : (double)NAN, 2);
    csv_number(csv, interval ? difference->low : (double)NAN, 2);
    csv_number(csv, interval ? difference->high : (double)NAN, 2);
    csv_number(csv, interval ? difference->low_90 : (double)NAN, 2);
    csv_number(csv, interval ? difference->high_90 : (double)NAN, 2);
    csv_number(csv, interval ? difference->standard_error : (double)NAN, 3);
    csv_number(csv, interval ? difference->tie_error : (double)NAN, 3);
    csv_number(csv, interval ? difference->df : (double)NAN, 2);
    csv_number(csv, interval ? difference->p : (double)NAN, 6);
    csv_number(csv, interval ? difference->p_holm : (double)NAN, 6);
    csv_number(csv, difference->has_second ? difference->second_difference : (double)NAN, 2);
    csv_number(csv, difference->has_second ? difference->second_low : (double)NAN, 2);
    csv_number(csv, difference->has_second ? difference->second_high : (double)NAN, 2);
    csv_text(csv, verdict ? verdict_words(difference->verdict) : "");
    say_advice(advice, sizeof advice, difference->advice, difference->advice_holds);
    csv_text(csv, verdict ? advice : "");
    say_difference(words, sizeof words, difference, NULL);
    csv_text(csv, words);
}

static void height_cells(struct csv_writer *csv, const struct report_input *input, int setup,
                         int channel)
{
    const struct comparison *comparison = &input->analysis->free_heights[channel];
    const struct setup_estimate *estimate = &comparison->setup[setup];
    bool any = estimate->holds > 0;
    bool repeats = comparison->has_repeatability;
    csv_text(csv, input->analysis->channel_name[channel]);
    csv_integer(csv, input->record->settings.baseline_setup);
    csv_exact(csv, input->record->settings.matters_mm[channel]);
    csv_integer(csv, estimate->holds);
    csv_integer(csv, estimate->builds);
    csv_yes(csv, estimate->tied);
    csv_yes(csv, estimate->built_once);
    csv_yes(csv, estimate->borrowed_repeatability);
    csv_number(csv, any ? estimate->mean : (double)NAN, 2);
    csv_number(csv, any && estimate->has_interval ? estimate->half_width : (double)NAN, 2);
    difference_cells(csv, &comparison->difference[setup]);
    csv_number(csv, repeats ? comparison->repeatability : (double)NAN, 2);
    csv_number(csv, repeats ? comparison->repeatability_low : (double)NAN, 2);
    csv_number(csv, repeats ? comparison->repeatability_high : (double)NAN, 2);
    csv_integer(csv, comparison->repeatability_df);
    csv_number(csv, repeats ? comparison->smallest_detectable : (double)NAN, 2);
    csv_yes(csv, comparison->provisional);
}

static void beside_cells(struct csv_writer *csv, const struct report_input *input, int setup,
                         int channel, const struct setup_digest *digest)
{
    const struct channel_digest *one = &digest->channel[channel];
    const struct setup_difference *share =
        &input->analysis->guided_in_band[channel].difference[setup];
    bool guided = input->analysis->has_guided[channel] && share->verdict != VERDICT_NONE;
    csv_number(csv, one->steadiness_free_mm, 2);
    csv_number(csv, one->creep_free, 2);
    csv_integer(csv, one->guided_holds);
    csv_number(csv, one->steadiness_guided_mm, 2);
    csv_number(csv, one->creep_guided, 2);
    csv_number(csv, one->in_band_share, 4);
    csv_number(csv, guided ? share->difference : (double)NAN, 4);
    csv_text(csv, guided ? verdict_words(share->verdict) : "");
    csv_number(csv, one->came_up, 2);
    csv_number(csv, one->went_low, 2);
}

/* Does no other setup beat it, and which one does? Empty where there is nothing to hold against. */
static void tradeoff_cells(struct csv_writer *csv, const struct report_input *input, int setup)
{
    const struct insight *insight = &input->analysis->insight;
    const struct tradeoff_mark *mark = &insight->mark[setup];
    if (insight->tradeoff_setups < 2) {
        csv_empty(csv);
        csv_empty(csv);
        return;
    }
    csv_yes(csv, mark->stands);
    if (mark->beaten_by >= 0) {
        csv_integer(csv, input->record->setup[mark->beaten_by].number);
    } else {
        csv_empty(csv);
    }
}

static void rating_cells(struct csv_writer *csv, const struct report_input *input, int setup,
                         const struct setup_digest *digest)
{
    char passed[CHANGES_SIZE];
    csv_text(csv, word_of(&sees_ahead_words, digest->sees_ahead));
    csv_yes(csv, digest->sees_ahead == SEES_NO);
    csv_yes(csv, setup == sheet_chosen(input));
    digest_limits_passed(input, setup, passed, sizeof passed);
    csv_text(csv, passed);
    tradeoff_cells(csv, input, setup);
    for (int item = 0; item < RATING_ITEMS; item++) {
        csv_exact(csv, digest_item(input, digest, item));
    }
    csv_text(csv, word_of(&answer_words, digest->numb_hands));
    csv_text(csv, word_of(&answer_words, digest->numb_saddle));
    csv_exact(csv, digest_could_stay(input, digest));
    csv_text(csv, word_of(&answer_words, digest->would_race));
}

bool report_setups_csv(FILE *stream, const struct report_input *input, struct problem *problem)
{
    struct csv_writer csv;
    csv_begin(&csv, stream);
    write_headings(&csv);
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        struct setup_digest digest;
        digest_setup(input, setup, &digest);
        for (int channel = 0; channel < input->analysis->channel_count; channel++) {
            if (!input->analysis->body[channel]) {
                continue;
            }
            setup_cells(&csv, input->record, setup);
            height_cells(&csv, input, setup, channel);
            beside_cells(&csv, input, setup, channel, &digest);
            rating_cells(&csv, input, setup, &digest);
            csv_row_end(&csv);
        }
    }
    return !ferror(stream) || problem_set(problem, "the CSV could not be written");
}
