/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV: a row for each setup and body channel: mean, difference, verdict, what stands beside it. */
#include "base/clock.h"
#include "report/csv.h"
#include "report/digest.h"
#include "report/tables.h"

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
    {"session", CSV_OF(THIS, setups_row, session), "",
     "the session: its identifier, the same in every copy"},
    {"started", CSV_OF(THIS, setups_row, started), "", "when it began, UTC (ISO 8601)"},
    {"rider_code", CSV_OF(THIS, setups_row, rider_code), "", "what the fitter calls the rider"},
    {"setup", CSV_OF(SETUP, setup_record, number), "", "number of the setup, as the fitter counts"},
    {"setup_uuid", CSV_OF(THIS, setups_row, uuid), "",
     "the setup: its identifier, the same in every copy"},
    {"intent", CSV_OF(SETUP, setup_record, intent), "",
     "what the setup was made for, in the fitter's words"},
    {"changes_from_first", CSV_OF(THIS, setups_row, changes), "",
     "parts that differ from the first setup"},
    {"bar_clamp_x_mm", CSV_ROUNDED(CLAMP, point, x_mm, 1), "mm",
     "middle of the bar clamp, forward of the bottom bracket; from the parts"},
    {"bar_clamp_y_mm", CSV_ROUNDED(CLAMP, point, y_mm, 1), "mm", "and over it"},
    {"pad_x_mm", CSV_ROUNDED(PAD, point, x_mm, 1), "mm",
     "reference point of the pads, forward of the bottom bracket; from the parts"},
    {"pad_y_mm", CSV_ROUNDED(PAD, point, y_mm, 1), "mm", "and over it"},
    {"extension_tip_x_mm", CSV_ROUNDED(TIP, point, x_mm, 1), "mm",
     "tip of the extensions, forward of the bottom bracket; from the parts"},
    {"extension_tip_y_mm", CSV_ROUNDED(TIP, point, y_mm, 1), "mm", "and over it"},
    {"channel", CSV_OF(THIS, setups_row, channel), "", "the sensor's channel"},
    {"baseline_setup", CSV_OF(THIS, setups_row, baseline_setup), "",
     "number of the setup that the others are held against"},
    {"matters_mm", CSV_EXACT(THIS, setups_row, matters_mm), "mm",
     "the smallest difference in height that matters, as entered"},
    {"free_holds", CSV_OF(ESTIMATE, setup_estimate, holds), "", "free holds that count"},
    {"builds", CSV_OF(ESTIMATE, setup_estimate, builds), "", "times the setup was put together"},
    {"tied", CSV_OF(ESTIMATE, setup_estimate, tied), "",
     "its sensors' heights are tied to the other setups'"},
    {"built_once", CSV_OF(ESTIMATE, setup_estimate, built_once), "",
     "put together once: how well it can be built again is not in its interval"},
    {"borrowed_repeatability", CSV_OF(ESTIMATE, setup_estimate, borrowed_repeatability), "",
     "of one hold: its interval is from the other setups'"},
    {"assumed_repeatability", CSV_OF(ESTIMATE, setup_estimate, assumed), "",
     "a usual repeatability has a say: too little is known yet"},
    {"own_spread", CSV_OF(ESTIMATE, setup_estimate, own_spread), "",
     "its holds differ more than the others': its interval is from its own spread"},
    {"spread_mm", CSV_ROUNDED(MEAN, setup_estimate, spread, 2), "mm",
     "standard deviation of its holds' means; from enough holds on"},
    {"mean_mm", CSV_ROUNDED(MEAN, setup_estimate, mean, 2), "mm",
     "mean height of its free holds, the trial order taken out where the holds allow it"},
    {"mean_half_width_mm", CSV_ROUNDED(INTERVAL, setup_estimate, half_width, 2), "mm",
     "95 % interval of the mean, to each side"},
    {"difference_mm", CSV_ROUNDED(VALUE, setup_difference, difference, 2), "mm",
     "its mean less the first setup's: negative is lower; the trial order taken out where the "
     "holds allow it"},
    {"difference_low_mm", CSV_ROUNDED(TESTED, setup_difference, low, 2), "mm",
     "95 % interval of the difference, its lower end; all differences hold together"},
    {"difference_high_mm", CSV_ROUNDED(TESTED, setup_difference, high, 2), "mm",
     "and its upper end"},
    {"difference_se_mm", CSV_ROUNDED(TESTED, setup_difference, standard_error, 3), "mm",
     "standard error of the difference: holds and ties"},
    {"limit_holds", CSV_ROUNDED(TESTING, comparison, limit_holds, 4), "",
     "how many standard errors of the holds' part the intervals reach"},
    {"limit_known", CSV_ROUNDED(TESTING, comparison, limit_known, 4), "", "and of the ties' part"},
    {"tie_error_mm", CSV_ROUNDED(TESTED, setup_difference, tie_error, 3), "mm",
     "the ties' part of the standard error"},
    {"weighted_difference_mm", CSV_ROUNDED(WEIGHTED, setup_difference, second_difference, 2), "mm",
     "the difference with each hold weighted by how well its mean is known; where holds differ "
     "much in length"},
    {"weighted_low_mm", CSV_ROUNDED(WEIGHTED, setup_difference, second_low, 2), "mm",
     "its 95 % interval, the lower end"},
    {"weighted_high_mm", CSV_ROUNDED(WEIGHTED, setup_difference, second_high, 2), "mm",
     "and the upper end"},
    {"verdict", CSV_OF(THIS, setups_row, verdict), "", "what the interval says"},
    {"advice", CSV_OF(THIS, setups_row, advice), "", "what would settle it"},
    {"words", CSV_OF(THIS, setups_row, words), "", "difference and interval in words"},
    {"repeatability_mm", CSV_ROUNDED(REPEATS, comparison, repeatability, 2), "mm",
     "SD between holds of a setup, that the intervals rest on"},
    {"repeatability_low_mm", CSV_ROUNDED(REPEATS, comparison, repeatability_low, 2), "mm",
     "its 95 % interval, the lower end"},
    {"repeatability_high_mm", CSV_ROUNDED(REPEATS, comparison, repeatability_high, 2), "mm",
     "and the upper end"},
    {"repeatability_df", CSV_ROUNDED(COMPARISON, comparison, repeatability_df, 2), "",
     "degrees of freedom it is worth"},
    {"repeatability_here_mm", CSV_ROUNDED(REPEATS, comparison, repeatability_here, 2), "mm",
     "SD of this session's holds within setups alone"},
    {"repeatability_here_df", CSV_ROUNDED(REPEATS, comparison, repeatability_here_df, 2), "",
     "its degrees of freedom"},
    {"repeatability_learnt_mm", CSV_ROUNDED(REPEATS, comparison, repeatability_learnt, 2), "mm",
     "SD learnt from earlier sessions"},
    {"repeatability_learnt_df", CSV_ROUNDED(REPEATS, comparison, repeatability_learnt_df, 2), "",
     "degrees of freedom it is worth"},
    {"smallest_detectable_mm", CSV_ROUNDED(REPEATS, comparison, smallest_detectable, 2), "mm",
     "95 %: what one hold must differ from another by to be told"},
    {"provisional", CSV_OF(COMPARISON, comparison, provisional), "",
     "too few holds for the repeatability to be trusted"},
    {"steadiness_free_mm", CSV_ROUNDED(BESIDE, channel_digest, steadiness_free_mm, 2), "mm",
     "RMS about the mean under 5 Hz, mean of its free holds"},
    {"creep_free_mm_per_min", CSV_ROUNDED(BESIDE, channel_digest, creep_free, 2), "mm/min",
     "slope over a hold, mean of its free holds"},
    {"guided_holds", CSV_OF(BESIDE, channel_digest, guided_holds), "", "guided holds that count"},
    {"steadiness_guided_mm", CSV_ROUNDED(BESIDE, channel_digest, steadiness_guided_mm, 2), "mm",
     "RMS about the mean under 5 Hz, mean of its guided holds"},
    {"creep_guided_mm_per_min", CSV_ROUNDED(BESIDE, channel_digest, creep_guided, 2), "mm/min",
     "slope over a hold, mean of its guided holds"},
    {"in_band_share", CSV_ROUNDED(BESIDE, channel_digest, in_band_share, 4), "share",
     "of the time in the band, mean of its guided holds"},
    {"in_band_difference", CSV_ROUNDED(SHARE, setup_difference, difference, 4), "share",
     "less the first setup's"},
    {"in_band_verdict", CSV_OF(THIS, setups_row, share_verdict), "", "what its interval says"},
    {"came_up_a_hold", CSV_ROUNDED(BESIDE, channel_digest, came_up, 2), "",
     "excursions over the band in a guided hold"},
    {"went_low_a_hold", CSV_ROUNDED(BESIDE, channel_digest, went_low, 2), "",
     "excursions under it"},
};
static const struct csv_column before_ratings[] = {
    {"failed", CSV_OF(THIS, setups_row, failed), "", "the rider could not see ahead"},
    {"chosen", CSV_OF(THIS, setups_row, chosen), "", "the setup that the session came to"},
    {"limits_passed", CSV_OF(THIS, setups_row, limits_passed), "",
     "limits from the makers' papers that it passes"},
    {"stands", CSV_OF(TRADEOFF, tradeoff_mark, stands), "",
     "no other setup is better in one thing and worse in none"},
    {"beaten_by", CSV_OF(BEATEN_BY, setup_record, number), "", "number of a setup that is"},
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

static void rating_columns(struct csv_writer *csv, const char *file, bool sight)
{
    int items[RATING_ITEMS];
    rating_sort(RATING_ASKED, items);
    for (int i = 0; i < RATING_ITEMS; i++) {
        const struct rating_field *field = &rating_fields[items[i]];
        if ((field->blocks == BLOCKS_SIGHT) == sight) {
            csv_describe_one(csv, file, field->column, field->unit, field->words);
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

void report_setups_columns(struct csv_writer *csv, const char *file)
{
    csv_describe(csv, file, before_sight, COUNT(before_sight));
    rating_columns(csv, file, true);
    csv_describe(csv, file, before_ratings, COUNT(before_ratings));
    rating_columns(csv, file, false);
}
