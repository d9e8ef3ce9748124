/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The same of setups, of the steps between them, and of readings (test_hold_columns: of holds). */
#include "columns.h"

/* ---- setups: the second, whose row is the third ---------------------------------------------- */

static void distinct_setup(void)
{
    struct comparison *heights = &analysis->free_heights[0];
    struct hold_summary *free_one = &analysis->hold[3].summary[0];
    struct hold_summary *guided_one = &analysis->hold[5].summary[0];
    memset(record->setup[1].uuid.bytes, 0x22, sizeof record->setup[1].uuid.bytes);
    record->setup[1].number = 301;
    record->settings.baseline_setup = 302;
    record->settings.matters_mm[0] = 303.25;
    record->settings.chosen_setup = 301;
    record->limits.most[BIKE_SPACERS] = 5;
    heights->setup[1] = (struct setup_estimate){.holds = 304,
                                                .builds = 305,
                                                .has_interval = true,
                                                .mean = 306.25,
                                                .half_width = 307.25,
                                                .spread = 337.25};
    heights->difference[1] = (struct setup_difference){.verdict = VERDICT_LOWER,
                                                       .difference = -308.25,
                                                       .has_interval = true,
                                                       .low = -309.25,
                                                       .high = -310.25,
                                                       .standard_error = 313.125,
                                                       .tie_error = 314.125,
                                                       .has_second = true,
                                                       .second_difference = -318.25,
                                                       .second_low = -319.25,
                                                       .second_high = -320.25,
                                                       .advice = ADVICE_MORE_HOLDS,
                                                       .advice_holds = 7};
    heights->repeatability = 322.25;
    heights->repeatability_low = 323.25;
    heights->repeatability_high = 324.25;
    heights->repeatability_df = 325.5;
    heights->repeatability_here = 338.25;
    heights->repeatability_here_df = 339.5;
    heights->repeatability_learnt = 340.25;
    heights->repeatability_learnt_df = 341.5;
    heights->smallest_detectable = 326.25;
    heights->limit_holds = 311.25;
    heights->limit_known = 312.25;
    analysis->guided_in_band[0].difference[1].difference = -0.3275;
    free_one->steadiness_mm = 328.25;
    free_one->creep_mm_per_min = 329.25;
    guided_one->steadiness_mm = 330.25;
    guided_one->creep_mm_per_min = 331.25;
    free_one->has_creep = guided_one->has_creep = guided_one->has_band = true;
    guided_one->in_band_share = 0.3325;
    guided_one->excursions_high = 333;
    guided_one->excursions_low = 334;
    analysis->insight.mark[1] = (struct tradeoff_mark){.stands = false, .beaten_by = 2};
    record->setup[2].number = 335;
    record->rating[1].value[RATING_COULD_STAY] = 336;
    for (int item = RATING_EFFORT; item <= RATING_BREATHING; item++) {
        record->rating[1].value[item] = item + 1;
    }
}

static const struct pin setup_pins[] = {
    {"session", "01000000-0000-7000-8000-000000000100"},
    {"started", "2026-01-10T18:00:00.000Z"},
    {"rider_code", "R-07"},
    {"setup", "301"},
    {"setup_uuid", "22222222-2222-2222-2222-222222222222"},
    {"intent", "spacers out, pads down"},
    {"changes_from_first", "spacers 20 to 10, pad rise 55 to 45"},
};
static const struct pin setup_pins_on[] = {
    {"channel", "head"},
    {"baseline_setup", "302"},
    {"matters_mm", "303.25"},
    {"free_holds", "304"},
    {"builds", "305"},
    {"tied", "no"},
    {"built_once", "no"},
    {"borrowed_repeatability", "no"},
    {"assumed_repeatability", "no"},
    {"own_spread", "no"},
    {"spread_mm", "337.25"},
    {"mean_mm", "306.25"},
    {"mean_half_width_mm", "307.25"},
    {"difference_mm", "-308.25"},
    {"difference_low_mm", "-309.25"},
    {"difference_high_mm", "-310.25"},
    {"difference_se_mm", "313.125"},
    {"limit_holds", "311.2500"},
    {"limit_known", "312.2500"},
    {"tie_error_mm", "314.125"},
    {"weighted_difference_mm", "-318.25"},
    {"weighted_low_mm", "-319.25"},
    {"weighted_high_mm", "-320.25"},
    {"verdict", "lower"},
    {"advice", "7 more holds"},
    {"words", "lower by 308 (310 to 309)"},
    {"repeatability_mm", "322.25"},
    {"repeatability_low_mm", "323.25"},
    {"repeatability_high_mm", "324.25"},
    {"repeatability_df", "325.50"},
    {"repeatability_here_mm", "338.25"},
    {"repeatability_here_df", "339.50"},
    {"repeatability_learnt_mm", "340.25"},
    {"repeatability_learnt_df", "341.50"},
    {"smallest_detectable_mm", "326.25"},
    {"provisional", "yes"},
    {"steadiness_free_mm", "328.25"},
    {"creep_free_mm_per_min", "329.25"},
    {"guided_holds", "1"},
    {"steadiness_guided_mm", "330.25"},
    {"creep_guided_mm_per_min", "331.25"},
    {"in_band_share", "0.3325"},
    {"in_band_difference", "-0.3275"},
    {"in_band_verdict", "cannot tell yet"},
    {"came_up_a_hold", "333.00"},
    {"went_low_a_hold", "334.00"},
    {"sees_ahead", "strained"},
    {"failed", "no"},
    {"chosen", "yes"},
    {"limits_passed", "spacers 10 mm: over the limit entered, 5 mm"},
    {"stands", "no"},
    {"beaten_by", "335"},
};
static const struct pin setup_pins_last[] = {
    {"numb_hands", "yes"},
    {"numb_saddle", "no"},
    {"could_stay_min", "336"},
    {"would_race", "yes"},
};

static void check_place(const struct csv_file *file, const char *part, struct point point)
{
    char heading[64];
    snprintf(heading, sizeof heading, "%s_x_mm", part);
    ck_assert_double_eq_tol(strtod(csv_under(file, 3, heading), NULL), point.x_mm, 0.0501);
    snprintf(heading, sizeof heading, "%s_y_mm", part);
    ck_assert_double_eq_tol(strtod(csv_under(file, 3, heading), NULL), point.y_mm, 0.0501);
}

START_TEST(a_setups_columns_have_their_own_values)
{
    struct bike_points points;
    struct problem problem;
    distinct_setup();
    for (int setup = 0; setup < 2; setup++) {
        record->setup[setup].bike.value[BIKE_EXTENSION_LENGTH] = 300;
        record->setup[setup].bike.value[BIKE_EXTENSION_ANGLE] = 10;
        record->setup[setup].bike.value[BIKE_EXTENSION_RISE] = -30;
    }
    ck_assert(bike_forward(&record->setup[1].bike, &points, &problem));
    ck_assert(points.has_pad && points.has_extension);
    struct csv_file file = read_back(report_setups_csv);
    size_t column = check_pins(&file, 3, 0, setup_pins, COUNT(setup_pins));
    ck_assert_str_eq(csv_cell(&file, 0, column), "bar_clamp_x_mm");
    check_place(&file, "bar_clamp", points.clamp);
    check_place(&file, "pad", points.pad);
    check_place(&file, "extension_tip", points.extension_tip);
    column = check_pins(&file, 3, column + 6, setup_pins_on, COUNT(setup_pins_on));
    for (int item = RATING_EFFORT; item <= RATING_BREATHING; item++) {
        ck_assert_str_eq(csv_cell(&file, 0, column), rating_fields[item].key);
        ck_assert_double_eq(strtod(csv_cell(&file, 3, column), NULL), item + 1);
        column++;
    }
    ck_assert_uint_eq(check_pins(&file, 3, column, setup_pins_last, COUNT(setup_pins_last)),
                      file.columns);
    csv_free(&file);
}
END_TEST

START_TEST(a_setup_says_yes_under_the_right_heading)
{
    distinct_setup();
    struct setup_estimate *estimate = &analysis->free_heights[0].setup[1];
    const struct yes yes[] = {
        {"tied", &estimate->tied},
        {"built_once", &estimate->built_once},
        {"borrowed_repeatability", &estimate->borrowed_repeatability},
        {"assumed_repeatability", &estimate->assumed},
        {"own_spread", &estimate->own_spread},
        {"provisional", &analysis->free_heights[0].provisional},
        {"stands", &analysis->insight.mark[1].stands},
    };
    check_yes(report_setups_csv, 3, yes, COUNT(yes));
}
END_TEST

/* ---- steps ----------------------------------------------------------------------------------- */

static const struct pin step_pins[] = {
    {"session", "01000000-0000-7000-8000-000000000100"},
    {"started", "2026-01-10T18:00:00.000Z"},
    {"rider_code", "R-07"},
    {"baseline_setup", "401"},
    {"channel", "head"},
    {"outcome", "ok"},
    {"setups", "402"},
    {"df", "403"},
    {"widened", "404.125"},
    {"part", "spacers"},
    {"unit", "mm"},
    {"tried_low", "405.25"},
    {"tried_high", "406.25"},
    {"state", "known"},
    {"mm_per_unit", "407.0625"},
    {"half_width", "408.0625"},
    {"suggested", ""},
    {"suggested_from_setup", ""},
    {"suggested_from", ""},
    {"suggested_to", ""},
    {"expected_change_mm", ""},
    {"expected_half_width_mm", ""},
};

START_TEST(a_steps_columns_have_their_own_values)
{
    struct insight *insight = &analysis->insight;
    at_ease();
    record->settings.baseline_setup = 401;
    insight->steps_setups[0] = 402;
    insight->steps[0].df = 403;
    insight->steps[0].widened = 404.125;
    insight->tried_low[0] = 405.25;
    insight->tried_high[0] = 406.25;
    insight->steps[0].factor[0].per_unit = 407.0625;
    insight->steps[0].factor[0].half_width = 408.0625;
    struct csv_file file = read_back(report_steps_csv);
    ck_assert_uint_eq(check_pins(&file, 1, 0, step_pins, COUNT(step_pins)), file.columns);
    csv_free(&file);
}
END_TEST

/* Only one part, whose effect is known: it is tried further, and what comes of it is forecast. */
START_TEST(a_suggestions_columns_have_their_own_values)
{
    struct insight_suggestion found;
    at_ease();
    analysis->insight.factor_count = 1;
    analysis->insight.steps[0].factor_count = analysis->insight.steps[1].factor_count = 1;
    record->limits.least[BIKE_SPACERS] = 0;
    record->limits.most[BIKE_SPACERS] = 60;
    insight_suggest(record, analysis, 1, &record->limits, &found);
    const struct steps_forecast *forecast = &found.forecast[0];
    ck_assert(forecast->possible && forecast->height_change_mm != forecast->half_width_mm);
    struct csv_file file = read_back(report_steps_csv);
    ck_assert_str_eq(csv_under(&file, 1, "suggested"), "lower");
    ck_assert_str_eq(csv_under(&file, 1, "suggested_from_setup"), "2");
    ck_assert_double_eq(strtod(csv_under(&file, 1, "suggested_from"), NULL), found.from);
    ck_assert_double_eq(strtod(csv_under(&file, 1, "suggested_to"), NULL), found.to);
    ck_assert_double_eq_tol(strtod(csv_under(&file, 1, "expected_change_mm"), NULL),
                            forecast->height_change_mm, 0.00501);
    ck_assert_double_eq_tol(strtod(csv_under(&file, 1, "expected_half_width_mm"), NULL),
                            forecast->half_width_mm, 0.00501);
    csv_free(&file);
}
END_TEST

/* ---- readings -------------------------------------------------------------------------------- */

static bool one_sample(void *context, int64_t first, int64_t last, const struct sample **samples,
                       size_t *count)
{
    static struct sample made;
    (void)context;
    (void)last;
    made = (struct sample){.number = first, .time_us = 501250000};
    made.range_tenth_mm[0] = 5025;
    made.quality[0] = READING_WEAK;
    *samples = &made;
    *count = 1;
    return true;
}

static const struct pin reading_pins[] = {
    {"sample", "25001"},   {"seconds", "501.250000"}, {"capture", "5"},         {"kind", "hold"},
    {"hold", "503"},       {"setup", "504"},          {"build", "505"},         {"channel", "head"},
    {"range_mm", "502.5"}, {"quality", "weak"},       {"height_mm", "1111.60"}, {"other_value", ""},
};

START_TEST(a_readings_columns_have_their_own_values)
{
    struct caught caught;
    struct csv_file file;
    record->hold[3].number = 503;
    record->setup[1].number = 504;
    record->build[1].ordinal = 505;
    ck_assert(report_readings_csv(catch_begin(&caught), &input, one_sample, NULL, NULL));
    catch_end(&caught);
    ck_assert(csv_read(caught.text, caught.length, &file));
    /* two rows a capture; the fifth capture is hold 4, on setup 2, whose sensor is at 609.1 */
    ck_assert_uint_eq(check_pins(&file, 9, 0, reading_pins, COUNT(reading_pins)), file.columns);
    csv_free(&file);
    free(caught.text);
}
END_TEST
int main(void)
{
    Suite *suite = suite_create("columns");
    TCase *tests = tcase_create("columns");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, a_setups_columns_have_their_own_values);
    tcase_add_test(tests, a_setup_says_yes_under_the_right_heading);
    tcase_add_test(tests, a_steps_columns_have_their_own_values);
    tcase_add_test(tests, a_suggestions_columns_have_their_own_values);
    tcase_add_test(tests, a_readings_columns_have_their_own_values);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
