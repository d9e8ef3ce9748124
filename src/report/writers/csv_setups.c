/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV: a row for each setup and body channel: mean, difference, verdict, what stands beside it. */
#include "base/clock.h"
#include "report/csv.h"
#include "report/digest.h"

#define CHANGES_SIZE 2048 /* every measure of a bike changed */

/* What a row is put together from; NULL where there is none. */
enum part {
    THIS, /* struct setups_row */
    SETUP,
    CLAMP,
    PAD,
    TIP,
    ESTIMATE,
    MEAN,     /* the estimate, where there are holds */
    INTERVAL, /* the estimate, where it has one */
    VALUE,    /* the difference, where it has one */
    TESTED,   /* the difference, where it has an interval and a verdict */
    WEIGHTED, /* the difference, where it was taken the other way too */
    COMPARISON,
    TESTING, /* the comparison, where the difference has an interval */
    REPEATS, /* the comparison, where it knows how well a setup repeats */
    BESIDE,  /* the channel's */
    SHARE,   /* the difference of the guided holds' share, where it has a verdict */
    TRADEOFF,
    BEATEN_BY, /* the setup */
    PARTS,
};

/* What stands in no record as it is told. */
struct setups_row {
    char session[UUID_TEXT_SIZE], started[CLOCK_TEXT_SIZE], uuid[UUID_TEXT_SIZE];
    char changes[CHANGES_SIZE], limits_passed[CHANGES_SIZE];
    char advice[SAY_SIZE], words[2 * SAY_SIZE];
    const char *rider_code, *channel, *verdict, *share_verdict;
    int baseline_setup;
    double matters_mm;
    bool failed, chosen;
};

static const struct csv_column before_sight[] = {
    {"session", CSV_OF(THIS, setups_row, session)},
    {"started", CSV_OF(THIS, setups_row, started)},
    {"rider_code", CSV_OF(THIS, setups_row, rider_code)},
    {"setup", CSV_OF(SETUP, setup_record, number)},
    {"setup_uuid", CSV_OF(THIS, setups_row, uuid)},
    {"intent", CSV_OF(SETUP, setup_record, intent)},
    {"changes_from_first", CSV_OF(THIS, setups_row, changes)},
    {"bar_clamp_x_mm", CSV_ROUNDED(CLAMP, point, x_mm, 1)},
    {"bar_clamp_y_mm", CSV_ROUNDED(CLAMP, point, y_mm, 1)},
    {"pad_x_mm", CSV_ROUNDED(PAD, point, x_mm, 1)},
    {"pad_y_mm", CSV_ROUNDED(PAD, point, y_mm, 1)},
    {"extension_tip_x_mm", CSV_ROUNDED(TIP, point, x_mm, 1)},
    {"extension_tip_y_mm", CSV_ROUNDED(TIP, point, y_mm, 1)},
    {"channel", CSV_OF(THIS, setups_row, channel)},
    {"baseline_setup", CSV_OF(THIS, setups_row, baseline_setup)},
    {"matters_mm", CSV_EXACT(THIS, setups_row, matters_mm)},
    {"free_holds", CSV_OF(ESTIMATE, setup_estimate, holds)},
    {"builds", CSV_OF(ESTIMATE, setup_estimate, builds)},
    {"tied", CSV_OF(ESTIMATE, setup_estimate, tied)},
    {"built_once", CSV_OF(ESTIMATE, setup_estimate, built_once)},
    {"borrowed_repeatability", CSV_OF(ESTIMATE, setup_estimate, borrowed_repeatability)},
    {"assumed_repeatability", CSV_OF(ESTIMATE, setup_estimate, assumed)},
    {"own_spread", CSV_OF(ESTIMATE, setup_estimate, own_spread)},
    {"spread_mm", CSV_ROUNDED(MEAN, setup_estimate, spread, 2)},
    {"mean_mm", CSV_ROUNDED(MEAN, setup_estimate, mean, 2)},
    {"mean_half_width_mm", CSV_ROUNDED(INTERVAL, setup_estimate, half_width, 2)},
    {"difference_mm", CSV_ROUNDED(VALUE, setup_difference, difference, 2)},
    {"difference_low_mm", CSV_ROUNDED(TESTED, setup_difference, low, 2)},
    {"difference_high_mm", CSV_ROUNDED(TESTED, setup_difference, high, 2)},
    {"difference_se_mm", CSV_ROUNDED(TESTED, setup_difference, standard_error, 3)},
    {"limit_holds", CSV_ROUNDED(TESTING, comparison, limit_holds, 4)},
    {"limit_known", CSV_ROUNDED(TESTING, comparison, limit_known, 4)},
    {"tie_error_mm", CSV_ROUNDED(TESTED, setup_difference, tie_error, 3)},
    {"weighted_difference_mm", CSV_ROUNDED(WEIGHTED, setup_difference, second_difference, 2)},
    {"weighted_low_mm", CSV_ROUNDED(WEIGHTED, setup_difference, second_low, 2)},
    {"weighted_high_mm", CSV_ROUNDED(WEIGHTED, setup_difference, second_high, 2)},
    {"verdict", CSV_OF(THIS, setups_row, verdict)},
    {"advice", CSV_OF(THIS, setups_row, advice)},
    {"words", CSV_OF(THIS, setups_row, words)},
    {"repeatability_mm", CSV_ROUNDED(REPEATS, comparison, repeatability, 2)},
    {"repeatability_low_mm", CSV_ROUNDED(REPEATS, comparison, repeatability_low, 2)},
    {"repeatability_high_mm", CSV_ROUNDED(REPEATS, comparison, repeatability_high, 2)},
    {"repeatability_df", CSV_ROUNDED(COMPARISON, comparison, repeatability_df, 2)},
    {"repeatability_here_mm", CSV_ROUNDED(REPEATS, comparison, repeatability_here, 2)},
    {"repeatability_here_df", CSV_ROUNDED(REPEATS, comparison, repeatability_here_df, 2)},
    {"repeatability_learnt_mm", CSV_ROUNDED(REPEATS, comparison, repeatability_learnt, 2)},
    {"repeatability_learnt_df", CSV_ROUNDED(REPEATS, comparison, repeatability_learnt_df, 2)},
    {"smallest_detectable_mm", CSV_ROUNDED(REPEATS, comparison, smallest_detectable, 2)},
    {"provisional", CSV_OF(COMPARISON, comparison, provisional)},
    {"steadiness_free_mm", CSV_ROUNDED(BESIDE, channel_digest, steadiness_free_mm, 2)},
    {"creep_free_mm_per_min", CSV_ROUNDED(BESIDE, channel_digest, creep_free, 2)},
    {"guided_holds", CSV_OF(BESIDE, channel_digest, guided_holds)},
    {"steadiness_guided_mm", CSV_ROUNDED(BESIDE, channel_digest, steadiness_guided_mm, 2)},
    {"creep_guided_mm_per_min", CSV_ROUNDED(BESIDE, channel_digest, creep_guided, 2)},
    {"in_band_share", CSV_ROUNDED(BESIDE, channel_digest, in_band_share, 4)},
    {"in_band_difference", CSV_ROUNDED(SHARE, setup_difference, difference, 4)},
    {"in_band_verdict", CSV_OF(THIS, setups_row, share_verdict)},
    {"came_up_a_hold", CSV_ROUNDED(BESIDE, channel_digest, came_up, 2)},
    {"went_low_a_hold", CSV_ROUNDED(BESIDE, channel_digest, went_low, 2)},
};
static const struct csv_column before_ratings[] = {
    {"failed", CSV_OF(THIS, setups_row, failed)},
    {"chosen", CSV_OF(THIS, setups_row, chosen)},
    {"limits_passed", CSV_OF(THIS, setups_row, limits_passed)},
    {"stands", CSV_OF(TRADEOFF, tradeoff_mark, stands)},
    {"beaten_by", CSV_OF(BEATEN_BY, setup_record, number)},
};
#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* A column of each rating: what it comes to over the setup's (digest NULL: the headings). Whether
 * the rider sees ahead stands before the others, with what follows from it. */
static void ratings(struct csv_writer *csv, const struct setup_digest *digest, bool sight)
{
    int items[RATING_ITEMS];
    rating_sort(RATING_ASKED, items);
    for (int i = 0; i < RATING_ITEMS; i++) {
        const struct rating_field *field = &rating_fields[items[i]];
        if ((field->blocks == BLOCKS_SIGHT) != sight) {
            continue;
        }
        if (digest == NULL) {
            csv_text(csv, field->column);
        } else if (field->kind == RATING_WORD) {
            csv_text(csv, rating_word(items[i], digest->value[items[i]]));
        } else {
            csv_exact(csv, digest->value[items[i]]);
        }
    }
}

static void headings(struct csv_writer *csv)
{
    csv_headings(csv, before_sight, COUNT(before_sight));
    ratings(csv, NULL, true);
    csv_headings(csv, before_ratings, COUNT(before_ratings));
    ratings(csv, NULL, false);
    csv_row_end(csv);
}

static void row_of_setup(struct setups_row *row, const struct report_input *input, int index)
{
    const struct session_record *record = input->record;
    const struct setup_record *setup = &record->setup[index];
    uuid_text(row->session, &record->uuid);
    uuid_text(row->uuid, &setup->uuid);
    clock_wall_text(row->started, record->started_ms);
    bike_changes_text(row->changes, sizeof row->changes, &record->setup[0].bike, &setup->bike);
    if (index == 0) {
        row->changes[0] = '\0';
    }
    digest_limits_passed(input, index, row->limits_passed, sizeof row->limits_passed);
    row->rider_code = record->has_rider ? record->rider.code : "";
    row->baseline_setup = record->settings.baseline_setup;
    row->failed = setup_sight_failed(record, index);
    row->chosen = index == digest_chosen(input);
}

static void row_of_channel(struct setups_row *row, const struct report_input *input, int channel,
                           const struct setup_difference *difference,
                           const struct setup_difference *share)
{
    bool verdict = difference->verdict != VERDICT_NONE;
    row->channel = input->analysis->channel_name[channel];
    row->matters_mm = input->record->settings.matters_mm[channel];
    row->verdict = verdict ? say_verdict(difference->verdict) : "";
    say_advice(row->advice, sizeof row->advice, difference->advice, difference->advice_holds);
    if (!verdict) {
        row->advice[0] = '\0';
    }
    say_difference(row->words, sizeof row->words, difference, SAY_LONG, NULL);
    row->share_verdict = share != NULL ? say_verdict(share->verdict) : "";
}

static void points_of(const struct setup_record *setup, struct bike_points *points,
                      const void *parts[PARTS])
{
    struct problem missing = {PROBLEM_NONE, ""};
    bool known = bike_forward(&setup->bike, points, &missing);
    parts[CLAMP] = known ? &points->clamp : NULL;
    parts[PAD] = known && points->has_pad ? &points->pad : NULL;
    parts[TIP] = known && points->has_extension ? &points->extension_tip : NULL;
}

/* Does no other setup beat it, and which one does? NULL where there is nothing to hold against. */
static void tradeoff_of(const struct report_input *input, int setup, const void *parts[PARTS])
{
    const struct insight *insight = &input->analysis->insight;
    const struct tradeoff_mark *mark = &insight->mark[setup];
    bool any = insight->tradeoff_setups >= 2;
    parts[TRADEOFF] = any ? mark : NULL;
    parts[BEATEN_BY] = any && mark->beaten_by >= 0 ? &input->record->setup[mark->beaten_by] : NULL;
}

static void put_channel(struct csv_writer *csv, const struct report_input *input, int setup,
                        int channel, const struct setup_digest *digest, struct setups_row *row)
{
    const struct comparison *comparison = &input->analysis->free_heights[channel];
    const struct setup_estimate *estimate = &comparison->setup[setup];
    const struct setup_difference *difference = &comparison->difference[setup];
    const struct setup_difference *share =
        &input->analysis->guided_in_band[channel].difference[setup];
    bool guided = input->analysis->has_guided[channel] && share->verdict != VERDICT_NONE;
    bool any = estimate->holds > 0;
    bool tested = difference->verdict != VERDICT_NONE && difference->has_interval;
    struct bike_points points;
    const void *parts[PARTS] = {
        [THIS] = row,
        [SETUP] = &input->record->setup[setup],
        [ESTIMATE] = estimate,
        [MEAN] = any ? estimate : NULL,
        [INTERVAL] = any && estimate->has_interval ? estimate : NULL,
        [VALUE] = say_has_value(difference) ? difference : NULL,
        [TESTED] = tested ? difference : NULL,
        [WEIGHTED] = difference->has_second ? difference : NULL,
        [COMPARISON] = comparison,
        [TESTING] = tested ? comparison : NULL,
        [REPEATS] = comparison->has_repeatability ? comparison : NULL,
        [BESIDE] = &digest->channel[channel],
        [SHARE] = guided ? share : NULL,
    };
    points_of(&input->record->setup[setup], &points, parts);
    tradeoff_of(input, setup, parts);
    row_of_channel(row, input, channel, difference, parts[SHARE]);
    csv_cells(csv, before_sight, COUNT(before_sight), parts);
    ratings(csv, digest, true);
    csv_cells(csv, before_ratings, COUNT(before_ratings), parts);
    ratings(csv, digest, false);
    csv_row_end(csv);
}

bool report_setups_csv(FILE *stream, const struct report_input *input, struct problem *problem)
{
    struct csv_writer csv;
    csv_begin(&csv, stream);
    headings(&csv);
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        struct setup_digest digest;
        struct setups_row row;
        digest_setup(input, setup, &digest);
        row_of_setup(&row, input, setup);
        for (int channel = 0; channel < input->analysis->channel_count; channel++) {
            if (input->analysis->body[channel]) {
                put_channel(&csv, input, setup, channel, &digest, &row);
            }
        }
    }
    return !ferror(stream) || problem_set(problem, "the CSV could not be written");
}
