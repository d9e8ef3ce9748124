/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "example_report.h"

#include "report/csv.h"
#include "support/csv_reader.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef bool csv_report(FILE *stream, const struct report_input *input, struct problem *problem);

static struct csv_file read_back(csv_report *report)
{
    struct caught caught;
    struct csv_file file;
    ck_assert(report(catch_begin(&caught), &input, NULL));
    catch_end(&caught);
    ck_assert_msg(csv_read(caught.text, caught.length, &file), "%s", file.error);
    free(caught.text);
    return file;
}

static void check_cell(const struct csv_file *file, size_t row, const char *heading,
                       const char *expected)
{
    const char *cell = csv_under(file, row, heading);
    ck_assert_msg(cell != NULL, "no column '%s'", heading);
    ck_assert_msg(strcmp(cell, expected) == 0, "%s of row %zu is '%s', not '%s'", heading, row,
                  cell, expected);
}

static void check_number(const struct csv_file *file, size_t row, const char *heading,
                         double expected)
{
    const char *cell = csv_under(file, row, heading);
    char *rest = NULL;
    ck_assert_msg(cell != NULL && cell[0] != '\0', "no '%s' in row %zu", heading, row);
    double value = strtod(cell, &rest);
    ck_assert_msg(*rest == '\0', "%s of row %zu is no number: '%s'", heading, row, cell);
    ck_assert_double_eq_tol(value, expected, 1e-9);
}

START_TEST(cells_are_quoted_where_they_must_be)
{
    struct caught caught;
    struct csv_writer csv;
    csv_begin(&csv, catch_begin(&caught));
    csv_text(&csv, "plain");
    csv_text(&csv, "a,b");
    csv_text(&csv, "say \"low\"");
    csv_text(&csv, "a;b");
    csv_text(&csv, "");
    csv_row_end(&csv);
    csv_number(&csv, -3.14159, 2);
    csv_number(&csv, NAN, 2);
    csv_exact(&csv, 0.1);
    csv_yes(&csv, true);
    csv_integer(&csv, -7);
    csv_row_end(&csv);
    ck_assert_str_eq(catch_end(&caught), "plain,\"a,b\",\"say \"\"low\"\"\",\"a;b\",\r\n"
                                         "-3.14,,0.1,yes,-7\r\n");
    free(caught.text);
}
END_TEST

static const struct {
    const char *text, *cell;
} formulas[] = {
    {"=1+1", "'=1+1"},
    {"+31 6", "'+31 6"},
    {"-3", "'-3"},
    {"@sum", "'@sum"},
    {"\tx", "\"'\\x09x\""},
    {"\rx", "\"'\\x0Dx\""},
    {"\nx", "\"'\nx\""},
    {"\xEF\xBC\x9D"
     "1",
     "'\xEF\xBC\x9D"
     "1"}, /* full-width equals sign */
    {"=HYPERLINK(\"http://x\",\"y\")", "\"'=HYPERLINK(\"\"http://x\"\",\"\"y\"\")\""},
    {"R-07", "R-07"},
    {"a=b", "a=b"},
    {" =1", "\" =1\""},
};

START_TEST(cells_that_start_a_formula_are_made_harmless)
{
    struct caught caught;
    struct csv_writer csv;
    csv_begin(&csv, catch_begin(&caught));
    csv_text(&csv, formulas[_i].text);
    ck_assert_str_eq(catch_end(&caught), formulas[_i].cell);
    free(caught.text);
}
END_TEST

START_TEST(the_reader_refuses_what_is_no_csv)
{
    static const char *const wrong[] = {"a,b\n",        "a\"b\r\n", "\"a\r\n",
                                        "a,b\r\nc\r\n", "a,b",      "\"a\"b\r\n"};
    struct csv_file file;
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        ck_assert_msg(!csv_read(wrong[i], strlen(wrong[i]), &file), "taken: '%s'", wrong[i]);
        csv_free(&file);
    }
}
END_TEST

START_TEST(holds_have_a_row_for_each_channel)
{
    struct csv_file file = read_back(report_holds_csv);
    ck_assert_uint_eq(file.rows, 1 + 9 * 2);
    check_cell(&file, 1, "session", "01000000-0000-7000-8000-000000000100");
    check_cell(&file, 1, "started", "2026-01-10T18:00:00.000Z");
    check_cell(&file, 1, "rider_code", "R-07");
    check_cell(&file, 1, "hold", "1");
    check_cell(&file, 1, "channel", "head");
    check_cell(&file, 2, "channel", "chest");
    check_cell(&file, 1, "kind", "free");
    check_number(&file, 1, "mean_mm", 883.4);
    check_number(&file, 1, "spacers_mm", 20);
    check_number(&file, 1, "stem_angle_deg", -17);
    check_number(&file, 1, "target_mm", 884);
    check_number(&file, 1, "offset_mm", -0.6);
    check_number(&file, 1, "band_above_mm", 10);
    check_number(&file, 1, "band_below_mm", 20);
    check_cell(&file, 2, "band_below_mm", "");
    check_cell(&file, 1, "in_band_share", "");
    check_cell(&file, 3, "marks", "drank");
    check_number(&file, 3, "cut_marked_s", 4);
    csv_free(&file);
}
END_TEST

START_TEST(holds_say_what_was_done_with_them)
{
    struct csv_file file = read_back(report_holds_csv);
    check_cell(&file, 5, "kind", "guided");
    check_number(&file, 5, "in_band_share", 0.92);
    check_number(&file, 5, "came_up", 1);
    /* hold 4, on setup 2: its plate reading */
    check_cell(&file, 7, "tie_alarm", "yes");
    check_number(&file, 7, "sensor_shift_mm", -9.2);
    check_number(&file, 7, "sensor_height_mm", 609.1);
    check_number(&file, 7, "tie_u_mm", 1.41); /* 1 and 1 in quadrature */
    check_number(&file, 7, "valid", 2964);
    check_number(&file, 7, "outliers", 5);
    check_number(&file, 7, "missing", 30);
    check_number(&file, 7, "doubtful", 6);
    check_number(&file, 7, "noise_mm", 1.3);
    check_cell(&file, 7, "quantum_mm", "");
    check_cell(&file, 7, "stuck", "no");
    check_cell(&file, 7, "two_levels", "no");
    check_number(&file, 7, "lost_samples", 12);
    check_cell(&file, 9, "rejected", "yes");
    check_cell(&file, 9, "counts", "no");
    check_cell(&file, 9, "reject_reason", "slid back on the saddle");
    check_cell(&file, 13, "status", "stopped");
    check_cell(&file, 14, "tie_absolute", "");
    check_cell(&file, 14, "sensor_height_mm", "");
    check_cell(&file, 14, "mean_half_width_mm", "");
    check_cell(&file, 17, "kept_afterwards", "yes");
    csv_free(&file);
}
END_TEST

START_TEST(setups_have_a_row_for_each_channel)
{
    struct csv_file file = read_back(report_setups_csv);
    ck_assert_uint_eq(file.rows, 1 + 3 * 2);
    check_number(&file, 1, "mean_mm", 884.1);
    check_cell(&file, 1, "verdict", "");
    check_cell(&file, 1, "difference_mm", "");
    check_number(&file, 1, "effort", 5); /* median of 4 and 6 */
    check_number(&file, 1, "could_stay_min", 40);
    check_number(&file, 3, "difference_mm", -12.4);
    check_number(&file, 3, "difference_low_mm", -18.3);
    check_number(&file, 3, "difference_high_mm", -6.4);
    check_cell(&file, 3, "verdict", "lower");
    check_cell(&file, 3, "words", "lower by 12 (6 to 18)");
    check_cell(&file, 3, "numb_hands", "yes");
    check_cell(&file, 3, "would_race", "yes");
    check_cell(&file, 3, "hips", "");
    check_number(&file, 3, "in_band_share", 0.78);
    check_number(&file, 3, "in_band_difference", -0.14);
    check_cell(&file, 5, "advice", "2 more holds");
    check_cell(&file, 5, "sees_ahead", "no");
    check_cell(&file, 5, "failed", "yes");
    check_cell(&file, 6, "verdict", "not comparable");
    check_cell(&file, 1, "chosen", "no");
    check_cell(&file, 3, "limits_passed", "");
    check_cell(&file, 6, "difference_mm", "");
    check_cell(&file, 6, "tied", "no");
    csv_free(&file);
}
END_TEST

START_TEST(setups_say_whether_another_beats_them)
{
    struct setup_difference *difference = &analysis->free_heights[0].difference[1];
    difference->has_second = true;
    difference->second_difference = -11.2;
    difference->second_low = -19.4;
    difference->second_high = -3;
    struct csv_file file = read_back(report_setups_csv);
    check_cell(&file, 1, "stands", "yes");
    check_cell(&file, 3, "stands", "yes");
    check_cell(&file, 3, "beaten_by", "");
    check_cell(&file, 5, "stands", "no"); /* the rider can't see ahead */
    check_cell(&file, 1, "weighted_difference_mm", "");
    check_number(&file, 3, "weighted_difference_mm", -11.2);
    check_number(&file, 3, "weighted_low_mm", -19.4);
    check_number(&file, 3, "weighted_high_mm", -3);
    check_cell(&file, 4, "weighted_low_mm", "");
    csv_free(&file);
    analysis->insight.mark[1] = (struct tradeoff_mark){.stands = false, .beaten_by = 0};
    file = read_back(report_setups_csv);
    check_cell(&file, 3, "stands", "no");
    check_cell(&file, 3, "beaten_by", "1");
    csv_free(&file);
    analysis->insight.tradeoff_setups = 1; /* nothing to hold against */
    file = read_back(report_setups_csv);
    check_cell(&file, 1, "stands", "");
    csv_free(&file);
}
END_TEST

/* The numbers of tests/report/test_json.c, 'what follows'. */
START_TEST(steps_have_a_row_for_each_part_and_channel)
{
    at_ease();
    struct csv_file file = read_back(report_steps_csv);
    size_t parts = (size_t)analysis->insight.factor_count;
    ck_assert_uint_eq(file.rows, 1 + parts * 2);
    check_cell(&file, 1, "rider_code", "R-07");
    check_cell(&file, 1, "channel", "head");
    check_cell(&file, 1 + parts, "channel", "chest");
    check_cell(&file, 1, "part", "spacers");
    check_cell(&file, 1, "unit", "mm");
    check_cell(&file, 1, "state", "known");
    check_number(&file, 1, "mm_per_unit", (881.0 - 871.6) / -10);
    check_cell(&file, 2 + parts, "state", "not told apart");
    check_cell(&file, 2 + parts, "mm_per_unit", "");
    /* nothing is known to lower inside the limits: nothing is suggested */
    for (size_t row = 1; row <= parts; row++) {
        ck_assert_str_eq(csv_under(&file, row, "suggested"), "");
    }
    csv_free(&file);
    analysis->insight.factor_count = 0; /* no part was changed: the headings alone */
    file = read_back(report_steps_csv);
    ck_assert_uint_eq(file.rows, 1);
    csv_free(&file);
}
END_TEST

START_TEST(the_chosen_setup_and_limits_passed_are_told)
{
    record->settings.chosen_setup = 2;
    record->limits.most[BIKE_SPACERS] = 15; /* 20 on setup 1, 10 and 0 on the others */
    struct csv_file file = read_back(report_setups_csv);
    static const char *const chosen[] = {"no", "yes", "no"};
    for (size_t row = 1; row < file.rows; row++) {
        check_cell(&file, row, "chosen", chosen[(row - 1) / 2]);
        check_cell(&file, row, "limits_passed",
                   row < 3 ? "spacers 20 mm: over the limit entered, 15 mm" : "");
    }
    csv_free(&file);
    /* with another one asked for, and a limit given beside the session's own */
    struct bike_limits given;
    bike_limits_clear(&given);
    given.most[BIKE_SPACERS] = 5;
    input.limits = &given;
    input.chosen_setup = 3;
    file = read_back(report_setups_csv);
    check_cell(&file, 3, "chosen", "no");
    check_cell(&file, 3, "limits_passed", "spacers 10 mm: over the limit entered, 5 mm");
    check_cell(&file, 5, "chosen", "yes");
    check_cell(&file, 5, "limits_passed", "");
    csv_free(&file);
}
END_TEST

START_TEST(hostile_names_stay_in_their_cells)
{
    struct csv_file file;
    snprintf(record->rider.name, sizeof record->rider.name, "=cmd|' /C calc'!A0,\"x\"");
    snprintf(record->setup[1].intent, sizeof record->setup[1].intent, "pads, \"down\"; 20");
    file = read_back(report_holds_csv);
    check_cell(&file, 1, "rider", "'=cmd|' /C calc'!A0,\"x\"");
    check_cell(&file, 7, "intent", "pads, \"down\"; 20");
    csv_free(&file);
}
END_TEST

/* ---- readings ------------------------------------------------------------------------------- */

static struct sample made[3000];

/* Ranges that can be recomputed from the sample's number alone. */
static bool made_samples(void *context, int64_t first, int64_t last, const struct sample **samples,
                         size_t *count)
{
    (void)context;
    *count = (size_t)(last - first + 1);
    ck_assert_uint_le(*count, sizeof made / sizeof made[0]);
    for (size_t i = 0; i < *count; i++) {
        int64_t number = first + (int64_t)i;
        memset(&made[i], 0, sizeof made[i]);
        made[i].number = number;
        made[i].time_us = (number - 1) * 20000;
        made[i].range_tenth_mm[0] = (int32_t)(2000 + number % 100);
        made[i].range_tenth_mm[1] = (int32_t)(1500 - number % 7);
        made[i].quality[1] = number % 50 == 0   ? READING_MISSING
                             : number % 51 == 0 ? READING_WEAK
                                                : 0;
    }
    *samples = made;
    return true;
}

START_TEST(readings_come_back_one_by_one)
{
    struct caught caught;
    struct csv_file file;
    ck_assert(report_readings_csv(catch_begin(&caught), &input, made_samples, NULL, NULL));
    catch_end(&caught);
    ck_assert_msg(csv_read(caught.text, caught.length, &file), "%s", file.error);
    /* the target's 2150 samples, eight holds of 3000 and one of 2050, two channels each */
    ck_assert_uint_eq(file.rows, 1 + 2 * (2150 + 8 * 3000 + 2050));
    check_cell(&file, 1, "sample", "1001");
    check_cell(&file, 1, "seconds", "20.000000");
    check_cell(&file, 1, "capture", "1");
    check_cell(&file, 1, "kind", "target");
    check_cell(&file, 1, "hold", "");
    check_cell(&file, 1, "setup", "1");
    check_cell(&file, 1, "channel", "head");
    check_cell(&file, 1, "range_mm", "200.1");
    /* looks up from 618.3 along a vertical beam */
    check_cell(&file, 1, "height_mm", "818.40");
    size_t row = 1 + 2 * 2150; /* first reading of hold 1: sample 5001 */
    check_cell(&file, row, "sample", "5001");
    check_cell(&file, row, "hold", "1");
    check_cell(&file, row, "quality", "good");
    check_cell(&file, row + 1, "channel", "chest");
    check_cell(&file, row + 2 * 49 + 1, "quality", "missing"); /* sample 5050 */
    check_cell(&file, row + 2 * 49 + 1, "range_mm", "");
    check_cell(&file, row + 2 * 49 + 1, "height_mm", "");
    check_cell(&file, row + 2 * 48 + 1, "quality", "weak"); /* sample 5049 = 51 x 99 */
    check_cell(&file, row + 1, "other_value", "");
    csv_free(&file);
    free(caught.text);
    /* a range is no height where nobody said where the sensor is, where the build is not tied, nor
     * is that to a part of the bike */
    static const struct {
        bool mounted, tied;
        enum channel_role role;
    } no_height[] = {
        {false, true, ROLE_BODY}, {true, false, ROLE_BODY}, {true, true, ROLE_REFERENCE}};
    const enum tie_kind kind = analysis->tie[0][0].kind;
    for (size_t i = 0; i < sizeof no_height / sizeof no_height[0]; i++) {
        record->placing[0].channel[0].mounted = no_height[i].mounted;
        analysis->tie[0][0].kind = no_height[i].tied ? kind : TIE_NONE;
        record->placing[0].channel[0].role = no_height[i].role;
        ck_assert(report_readings_csv(catch_begin(&caught), &input, made_samples, NULL, NULL));
        catch_end(&caught);
        ck_assert_msg(csv_read(caught.text, caught.length, &file), "%s", file.error);
        check_cell(&file, 1, "range_mm", "200.1");
        check_cell(&file, 1, "height_mm", "");
        csv_free(&file);
        free(caught.text);
    }
    /* watts are no range, and no height */
    record->placing[0].channel[0].role = ROLE_AUXILIARY;
    ck_assert(report_readings_csv(catch_begin(&caught), &input, made_samples, NULL, NULL));
    catch_end(&caught);
    ck_assert_msg(csv_read(caught.text, caught.length, &file), "%s", file.error);
    check_cell(&file, 1, "other_value", "200.1");
    check_cell(&file, 1, "range_mm", "");
    check_cell(&file, 1, "height_mm", "");
    check_cell(&file, 2, "other_value", "");
    csv_free(&file);
    free(caught.text);
}
END_TEST

START_TEST(a_capture_that_still_goes_on_is_left_out)
{
    struct caught caught;
    struct csv_file file;
    record->capture[3].last_sample = 0;
    ck_assert(report_readings_csv(catch_begin(&caught), &input, made_samples, NULL, NULL));
    catch_end(&caught);
    ck_assert(csv_read(caught.text, caught.length, &file));
    ck_assert_uint_eq(file.rows, 1 + 2 * (2150 + 7 * 3000 + 2050));
    csv_free(&file);
    free(caught.text);
}
END_TEST

static bool no_samples(void *context, int64_t first, int64_t last, const struct sample **samples,
                       size_t *count)
{
    (void)context;
    (void)first;
    (void)last;
    (void)samples;
    (void)count;
    return false;
}

START_TEST(missing_samples_are_a_problem)
{
    struct caught caught;
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert(!report_readings_csv(catch_begin(&caught), &input, no_samples, NULL, &problem));
    free(catch_end(&caught));
    ck_assert_str_eq(problem.sentence, "the samples of capture 1 are not there");
}
END_TEST

START_TEST(pythons_csv_reads_the_same)
{
    if (system("python3 -c 'import csv' >/dev/null 2>&1") != 0) {
        printf("skipped: python3 is not here to read the CSV a second time\n");
        return;
    }
    char command[512];
    const char *path = BUILD_DIR "/tests/report/holds.csv";
    FILE *stream = fopen(path, "w");
    ck_assert(stream != NULL && report_holds_csv(stream, &input, NULL));
    fclose(stream);
    snprintf(command, sizeof command,
             "python3 -c \"import csv; r=list(csv.DictReader(open('%s',newline=''),strict=True)); "
             "assert len(r)==18; assert r[6]['mean_mm']=='871.60' and r[8]['reject_reason']=="
             "'slid back on the saddle'; assert all(None not in x and None not in x.values() for x "
             "in r)\"",
             path);
    ck_assert_int_eq(system(command), 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("csv");
    TCase *tests = tcase_create("csv");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, cells_are_quoted_where_they_must_be);
    tcase_add_loop_test(tests, cells_that_start_a_formula_are_made_harmless, 0,
                        (int)(sizeof formulas / sizeof formulas[0]));
    tcase_add_test(tests, the_reader_refuses_what_is_no_csv);
    tcase_add_test(tests, holds_have_a_row_for_each_channel);
    tcase_add_test(tests, holds_say_what_was_done_with_them);
    tcase_add_test(tests, setups_have_a_row_for_each_channel);
    tcase_add_test(tests, setups_say_whether_another_beats_them);
    tcase_add_test(tests, steps_have_a_row_for_each_part_and_channel);
    tcase_add_test(tests, the_chosen_setup_and_limits_passed_are_told);
    tcase_add_test(tests, hostile_names_stay_in_their_cells);
    tcase_add_test(tests, readings_come_back_one_by_one);
    tcase_add_test(tests, a_capture_that_still_goes_on_is_left_out);
    tcase_add_test(tests, missing_samples_are_a_problem);
    tcase_add_test(tests, pythons_csv_reads_the_same);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
