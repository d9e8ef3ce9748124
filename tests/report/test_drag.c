/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What reports, pictures and tables say of a day of runs. Values are the design's eight runs, B-A
 * -.0055 (-.00782 to -.00318), made from the model with drag areas that are known. */
#include "pictures.h"

#include "base/numbers.h"
#include "measure/air.h"
#include "measure/rules.h"
#include "report/languages.h"
#include "report/plots.h"
#include "say/drag.h"
#include "say/drag_day.h"
#include "support/csv_reader.h"
#include "support/drag_day.h"
#include "support/english_words.h"
#include "support/test_main.h"

#include <stdlib.h>

static void begin_day(void)
{
    begin();
    drag_day_begin(record);
    drag_day_eight(record);
    for (int r = 0; r < record->run_count; r++) { /* names that markup and tables must escape */
        snprintf(record->run[r].file, sizeof record->run[r].file, "%s",
                 r == 0 ? "<a> & \"b\".csv" : "=b.csv");
    }
    record->settings.baseline_setup = 1;
    drag_make(record, &analysis->drag);
}

static char *drag_text(void)
{
    struct caught caught;
    ck_assert(report_session_text(catch_begin(&caught), &input, 100, NULL));
    return catch_end(&caught);
}

START_TEST(words_of_a_day)
{
    char words[SAY_SIZE];
    begin_day();
    const struct drag_analysis *drag = &analysis->drag;
    say_drag_difference(words, sizeof words, drag, 0, 1);
    ck_assert_str_eq(words, "lower by 0.0055 (0.0032 to 0.0078) m\u00B2");
    say_drag_difference(words, sizeof words, drag, 0, 0);
    ck_assert_str_eq(words, "");
    say_drag_level(words, sizeof words, drag, 0); /* 2.5 % and the runs' own, in quadrature */
    ck_assert_str_eq(words, "about 0.251 (0.239 to 0.263) m\u00B2");
    say_drag_repeats(words, sizeof words, drag);
    ck_assert_str_eq(words, "SD 0.0013 (0.0008 to 0.0031) m\u00B2, 0.5 %, from run to run");
    /* 1/2 rho d V^3 / eta with V 11 m/s, 1.1993 kg/m3, .976: 817.9 W a m2 */
    say_drag_worth(words, sizeof words, record, drag, 1);
    ck_assert_str_eq(words, "4.5 W (2.6 to 6.4) less for the air at 40 km/h");
    say_drag_line(words, sizeof words, record, drag, 1);
    ck_assert_str_eq(words,
                     "Drag on the course: setup 2 is lower by 0.0055 (0.0032 to 0.0078) m\u00B2 "
                     "than setup 1: 4.5 W (2.6 to 6.4) less for the air at 40 km/h.");
    say_drag_day(words, sizeof words, record, drag);
    ck_assert_str_eq(words,
                     "Rider and bike 85 kg; laps, indoors; rolling resistance 0.004 (usual)");
    record->air[0].at_min = 590;
    say_drag_air(words, sizeof words, &record->air[0]);
    ck_assert_str_eq(words, "20 \u00b0C, 1013.25 hPa, 50 % at 09:50");
    char *text = drag_text();
    check_has(text, "Drag on the course\n");
    check_has(text, say_drag_cautions[1]);
    check_has(text, "The runs\n");
    check_has(text, "Rider and bike 85 kg");
    check_has(text, "Martin et al. 1998");
    free(text);
    /* The same difference with no verdict: no watts of it. */
    analysis->drag.compare.difference[1].verdict = VERDICT_CANNOT_TELL;
    say_drag_worth(words, sizeof words, record, drag, 1);
    ck_assert_str_eq(words, "");
    end();
}
END_TEST

/* The rider's sheet of it in German, whatever was found. */
static void check_german(const char *there)
{
    char where[512];
    char *text = page();
    ck_assert_msg(!english_words_find(text, where, sizeof where), "%s", where);
    ck_assert_msg(strstr(text, there) != NULL, "'%s' is not in: %.4000s", there,
                  strstr(text, "Auf der Strecke"));
    free(text);
}

START_TEST(a_day_in_german)
{
    begin_day();
    struct setup_difference *difference = &analysis->drag.compare.difference[1];
    input.language = languages_find("de");
    input.sheet_only = true;
    for (int i = 0; i < record->setup_count; i++) {
        snprintf(record->setup[i].intent, sizeof record->setup[i].intent, "Auflagen %d", i);
    }
    snprintf(record->bike.name, sizeof record->bike.name, "Trainingsrad");
    snprintf(record->rider.name, sizeof record->rider.name, "Wintergruppe");
    check_german(
        "Luftwiderstand auf der Strecke: Einstellung 2 liegt um 0,0055 (0,0032 bis 0,0078) "
        "m\u00B2 niedriger als Einstellung 1: 4,5 W (2,6 bis 6,4) weniger gegen die Luft "
        "bei 40 km/h.");
    for (int verdict = VERDICT_LESS_THAN_MATTERS; verdict <= (int)VERDICT_CANNOT_TELL; verdict++) {
        for (int advice = ADVICE_NONE; advice <= (int)ADVICE_RETURN_TO_FIRST; advice++) {
            difference->verdict = (enum verdict)verdict;
            difference->advice = (enum compare_advice)advice;
            difference->advice_holds = 1 + advice;
            check_german("Luftwiderstand auf der Strecke");
        }
    }
    difference->verdict = VERDICT_NOT_COMPARABLE;
    for (int withheld = DRAG_WITHHELD_NOT; withheld <= (int)DRAG_WITHHELD_WIND; withheld++) {
        analysis->drag.withheld = (enum drag_withheld)withheld;
        check_german("nicht vergleichbar: ");
    }
    analysis->drag.setup[1].few = true;
    analysis->drag.setup[1].runs = 1;
    check_german("zu wenige, um etwas zu sagen: 1 Messfahrt, 4 sind nötig");
    analysis->drag.setup[1].runs = 0;
    check_german("Es gibt nur Messfahrten mit einer Einstellung: nichts zu vergleichen.");
    analysis->drag.lack = DRAG_LACKS_MASS;
    check_german("noch keine Zahlen");
    end();
}
END_TEST

START_TEST(too_few_instead_of_a_number)
{
    char words[SAY_SIZE];
    begin_day();
    record->run[1].rejected = true;
    drag_make(record, &analysis->drag);
    say_drag_difference(words, sizeof words, &analysis->drag, 0, 1);
    ck_assert_str_eq(words, "too few to tell anything: 3 runs, 4 are needed");
    say_drag_level(words, sizeof words, &analysis->drag, 1);
    ck_assert_str_eq(words, "too few to tell anything: 3 runs, 4 are needed");
    say_drag_worth(words, sizeof words, record, &analysis->drag, 1);
    ck_assert_str_eq(words, "");
    say_drag_line(words, sizeof words, record, &analysis->drag, 1);
    check_has(words, "too few to tell anything");
    record->drag.indoors = false;
    record->run[1].rejected = false;
    drag_make(record, &analysis->drag);
    say_drag_difference(words, sizeof words, &analysis->drag, 0, 1);
    check_has(words, "not comparable: laps in the open");
    end();
    begin_day();
    for (int r = 0; r < record->run_count; r++) {
        record->run[r].speed_from = RIDE_SOURCE_SATELLITES;
    }
    drag_make(record, &analysis->drag);
    check_has(say_drag_why_none(record, &analysis->drag), "from satellites");
    record->hold_count = 0; /* a day without holds: the road's cautions, no beams */
    input.sheet_only = true;
    char *sheet = page();
    check_has(sheet, say_drag_cautions[2]);
    ck_assert_ptr_null(strstr(sheet, "eye-safe"));
    check_has(sheet, "from satellites, which is not good enough");
    ck_assert_ptr_null(strstr(sheet, "one setup only"));
    free(sheet);
    input.sheet_only = false;
    end();
}
END_TEST

START_TEST(pictures_of_a_day)
{
    struct caught caught;
    begin();
    ck_assert(!plot_drag(catch_begin(&caught), &input, false)); /* no runs, no picture */
    free(catch_end(&caught));
    ck_assert_int_eq(plot_residuals(catch_begin(&caught), &input, 0, false), 0);
    free(catch_end(&caught));
    end();
    begin_day();
    ck_assert(plot_drag(catch_begin(&caught), &input, false));
    char *svg = checked(catch_end(&caught));
    int rings = 0;
    for (const char *at = svg; (at = strstr(at, "fill=\"#ffffff\" stroke=")) != NULL; at++) {
        rings++;
    }
    ck_assert_int_eq(rings, 8);
    check_has(svg, "lower by 0.0055 (0.0032 to 0.0078) m\u00B2");
    free(svg);
    ck_assert_int_eq(plot_residuals(catch_begin(&caught), &input, 0, false), 6); /* six at a time */
    svg = checked(catch_end(&caught));
    check_has(svg, "run 6, setup 2");
    ck_assert_ptr_null(strstr(svg, "run 7"));
    free(svg);
    ck_assert_int_eq(plot_residuals(catch_begin(&caught), &input, 6, false), 8);
    svg = checked(catch_end(&caught));
    check_has(svg, "run 8, setup 1");
    free(svg);
    /* 4.2 N more over 25 m than is explained: between two ticks, and still not 0 alone */
    record->leg[0].piece[3].work_j += 4.2 * 25.0 / DRAG_EFFICIENCY;
    plot_residuals(catch_begin(&caught), &input, 0, false);
    svg = checked(catch_end(&caught));
    check_has(svg, ">5</text>");
    check_has(svg, ">\u22125</text>");
    free(svg);
    free(page());
    end();
}
END_TEST

START_TEST(crosses_where_both_are_known)
{
    struct caught caught;
    struct drag_height height;
    begin_day();
    int channel = -1;
    for (int c = 0; c < analysis->channel_count && channel < 0; c++) {
        channel =
            analysis->body[c] && analysis->free_heights[c].difference[1].has_interval ? c : -1;
    }
    ck_assert_int_ge(channel, 0);
    drag_height_make(record, analysis, channel, &height);
    ck_assert_int_eq(height.count, 1);
    ck_assert_double_eq_tol(height.point[0].drag_m2, -.0055, 1e-7);
    ck_assert(!height.has_slope);
    ck_assert(plot_drag_heights(catch_begin(&caught), &input, channel, false));
    char *svg = checked(catch_end(&caught));
    check_has(svg, "setup 2");
    free(svg);
    end();
}
END_TEST

/* York's line over the design's five setups (4-measures 6.7), computed apart: .00264 per 10 mm, SE
 * .000571; t .975 with 3 degrees of freedom is 3.182. */
START_TEST(a_slope_in_words)
{
    char words[SAY_SIZE];
    struct drag_height height = {.has_slope = true, .slope_setups = 5};
    height.line.slope = .000264021598;
    height.line.slope_half_width = 3.182446 * .0000571173;
    say_drag_slope(words, sizeof words, &height, "head");
    ck_assert_str_eq(words,
                     "For this rider, on these 5 setups, 10 mm of head went with 0.0026 m\u00B2 "
                     "of drag (0.0008 to 0.0045): association only.");
}
END_TEST

START_TEST(a_row_a_leg)
{
    struct caught caught;
    struct csv_file file;
    begin_day();
    record->leg[2].left_out = true;
    snprintf(record->leg[2].reason, sizeof record->leg[2].reason, "a car passed");
    drag_make(record, &analysis->drag);
    ck_assert(report_runs_csv(catch_begin(&caught), &input, NULL));
    catch_end(&caught);
    ck_assert_msg(csv_read(caught.text, caught.length, &file), "%s", file.error);
    ck_assert_uint_eq(file.rows, 9);
    ck_assert_str_eq(csv_under(&file, 1, "file"), "<a> & \"b\".csv");
    ck_assert_str_eq(csv_under(&file, 2, "file"), "'=b.csv"); /* no formula */
    ck_assert_str_eq(csv_under(&file, 1, "drag_m2"), "0.25210");
    ck_assert_str_eq(csv_under(&file, 3, "leg_reason"), "a car passed");
    ck_assert_str_eq(csv_under(&file, 3, "leg_not_used"), "left out");
    csv_free(&file);
    free(caught.text);
    end();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("drag in reports");
    TCase *tests = tcase_create("drag in reports");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, words_of_a_day);
    tcase_add_test(tests, a_day_in_german);
    tcase_add_test(tests, too_few_instead_of_a_number);
    tcase_add_test(tests, pictures_of_a_day);
    tcase_add_test(tests, crosses_where_both_are_known);
    tcase_add_test(tests, a_slope_in_words);
    tcase_add_test(tests, a_row_a_leg);
    return test_main(suite);
}
