/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What is written of weeks of practice: files of each kind, a ride by quarters and by the minute, a
 * week; and plans and calls that are refused. */
#include "progress_fixture.h"
#include "support/csv_reader.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

START_TEST(files_of_each_kind)
{
    static const struct {
        const char *name, *begins;
    } files[] = {{"p.pdf", "%PDF"},
                 {"p.html", "<!DOCTYPE html>"},
                 {"p.svg", "<?xml"},
                 {"p.json", "{"},
                 {"p.csv", "session,started,hold,phase"}};
    folder = program_folder();
    day("2026-01-09T18:00:00Z", practice, 0);
    for (size_t i = 0; i < sizeof files / sizeof files[0]; i++) {
        size_t length = 0;
        struct program_result result = ASK("progress", "R-07", files[i].name, "--health");
        ck_assert_msg(result.status == 0, "%s: %s", files[i].name, result.errors);
        program_free(&result);
        char *text = program_read_file(folder, files[i].name, &length);
        ck_assert_msg(strncmp(text, files[i].begins, strlen(files[i].begins)) == 0, "%s",
                      files[i].name);
        if (strcmp(files[i].name, "p.csv") == 0) {
            struct csv_file csv;
            ck_assert_msg(csv_read(text, length, &csv), "%s", csv.error);
            ck_assert_uint_eq(csv.rows, 3); /* two channels */
            ck_assert_str_eq(csv_under(&csv, 1, "neck"), "2");
            ck_assert_str_eq(csv_under(&csv, 2, "channel"), "chest");
            ck_assert_str_eq(csv_under(&csv, 2, "cues_per_min"), "0.00");
            csv_free(&csv);
        }
        free(text);
    }
}
END_TEST

static void same_number(const struct json_value *of, const char *path, const struct json_value *as,
                        const char *there)
{
    double expected = json_number_at(as, there), found = json_number_at(of, path);
    ck_assert_msg(found == expected, "%s is %.17g, not %.17g", path, found, expected);
}

/* Whoever reads the session alone has the ride by quarters as the rider's weeks have it. */
START_TEST(a_session_tells_its_ride_by_quarters)
{
    folder = program_folder();
    day("2026-01-09T18:00:00Z", "hold 30s piece told=seen settle=2s\nride 6min settle=2s", 0);
    struct program_result result = ASK("show", "last", "--json");
    struct json_value *session = program_json(&result, 0), *weeks = told();
    program_free(&result);
    const struct json_value *piece = json_at(session, "holds/0/ride");
    ck_assert(piece != NULL && piece->kind == JSON_NULL);
    const struct json_value *ride = json_at(session, "holds/1/ride");
    ck_assert(ride != NULL);
    ck_assert_uint_eq(json_at(ride, "channels")->count, 2);
    ck_assert_str_eq(json_text_at(ride, "channels/1/channel"), "chest");
    ck_assert_double_gt(json_number_at(ride, "channels/0/quarters/3/in_band_share"), 0.5);
    ck_assert_double_eq_tol(json_number_at(ride, "channels/0/quarters/3/seen_s"), 120, 20);
    for (int i = 0; i < 2 * 4; i++) {
        char path[64], there[80];
        snprintf(path, sizeof path, "channels/%d/quarters/%d/offset_mm", i / 4, i % 4);
        snprintf(there, sizeof there, "rides/0/%s", path);
        same_number(ride, path, weeks, there);
    }
    same_number(ride, "posture_share", weeks, "rides/0/posture_share");
    same_number(ride, "channels/0/kept_s", weeks, "rides/0/channels/0/kept_s");
    json_free(session);
    json_free(weeks);
    struct program_result text = ASK("show", "last");
    const char *rides = strstr(text.output, "Long rides\n----------\n");
    ck_assert(rides != NULL);
    ck_assert_msg(strstr(rides, "\n- hold 2: 6 min, ") != NULL, "%.300s", rides);
    ck_assert(strstr(text.output, "1st quarter") != NULL);
    ck_assert(strstr(rides, "- hold 1: ") == NULL);
    program_free(&text);
}
END_TEST

/* 6 minutes: six rows and four quarters a channel. */
START_TEST(a_ride_by_the_minute)
{
    size_t length = 0;
    struct csv_file csv;
    folder = program_folder();
    day("2026-01-09T18:00:00Z", "ride 6min settle=2s", 0);
    struct program_result result = ASK("export", "R-07", "r-minutes.csv");
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    char *text = program_read_file(folder, "r-minutes.csv", &length);
    ck_assert_msg(csv_read(text, length, &csv), "%s", csv.error);
    ck_assert_uint_eq(csv.rows, 1 + 2 * (6 + 4));
    ck_assert_str_eq(csv_under(&csv, 1, "channel"), "head");
    ck_assert_str_eq(csv_under(&csv, 1, "to_s"), "60.0");
    ck_assert_str_eq(csv_under(&csv, 7, "part"), "quarter");
    ck_assert_double_eq_tol(strtod(csv_under(&csv, 7, "mean_mm"), NULL), 884, 12);
    ck_assert_str_eq(csv_under(&csv, 3, "up_s"), "0.0");
    ck_assert_str_eq(csv_under(&csv, 3, "power_w"), ""); /* no sensor of it */
    csv_free(&csv);
    free(text);
    day_with("2026-01-10T18:00:00Z", POWERED "200", PLATE, "ride 6min settle=2s");
    result = ASK("export", "2", "p-minutes.csv");
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    text = program_read_file(folder, "p-minutes.csv", &length);
    ck_assert_msg(csv_read(text, length, &csv), "%s", csv.error);
    ck_assert_uint_eq(csv.rows, 1 + 2 * (6 + 4));
    for (size_t r = 1; r <= 10; r++) { /* minutes, then quarters */
        ck_assert_double_eq_tol(strtod(csv_under(&csv, r, "power_w"), NULL), 200, 3);
    }
    ck_assert_str_eq(csv_under(&csv, 1, "heart_per_min"), "");
    csv_free(&csv);
    free(text);
}
END_TEST

/* A week for the coach: what was ridden in it, beside what all of it shows. */
START_TEST(a_week_alone)
{
    four_weeks();
    struct program_result result = ASK("progress", "R-07", "--json", "--since", "2026-01-19");
    struct json_value *json = program_json(&result, 0);
    ck_assert_str_eq(json_text_at(json, "channels/0/practice/verdict"), "better");
    ck_assert(strstr(json_text_at(json, "tests/0/started"), "2026-01-19") != NULL);
    ck_assert_ptr_null(json_at(json, "tests/3"));
    ck_assert_ptr_null(json_at(json, "sessions/3"));
    ck_assert_ptr_nonnull(json_at(json, "sessions/2"));
    json_free(json);
    program_free(&result);
    result = ASK("progress", "R-07", "--since", "January");
    ck_assert_int_eq(result.status, 2);
    program_free(&result);
}
END_TEST

/* What is no word of a plan is refused with its line, before a screen opens. */
START_TEST(a_plan_that_is_none_is_refused)
{
    static const struct {
        const char *plan, *says;
    } plans[] = {
        {"target head=884\n\n# so far\nexport all.pdf\n", "plan.txt:4: 'export' is no word"},
        {"practice row=2 held=no\n", "plan.txt:1: a plan says row, length, pieces and power"},
        {"practice everything\n", "not 'everything'"},
        {"band head=+10/-10\n", "a band is about a target"},
        {"target head=884\ntarget head=885\n", "plan.txt:2: this was said before"},
        {"note \"open\n", "plan.txt:1: "},
    };
    folder = program_folder();
    day("2026-01-09T18:00:00Z", test_alone, 0);
    for (size_t i = 0; i < sizeof plans / sizeof plans[0]; i++) {
        program_write_file(folder, "plan.txt", plans[i].plan);
        struct program_result result = ASK("practice", "R-07", "--plan", "plan.txt");
        ck_assert_int_ne(result.status, 0);
        ck_assert_msg(strstr(result.errors, plans[i].says) != NULL, "%s", result.errors);
        program_free(&result);
    }
    /* a folder is no empty plan, and what has no end is none */
    static const char *const others[][2] = {{".", ".: Is a directory"},
                                            {"/dev/zero", "/dev/zero:1: this is no plan"}};
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        struct program_result result = ASK("practice", "R-07", "--plan", others[i][0]);
        ck_assert_int_ne(result.status, 0);
        ck_assert_msg(strstr(result.errors, others[i][1]) != NULL, "%s", result.errors);
        program_free(&result);
    }
}
END_TEST

START_TEST(wrong_use_is_told)
{
    folder = program_folder();
    day("2026-01-09T18:00:00Z", test_alone, 0);
    struct program_result result = ASK("progress", "R-99");
    ck_assert_int_ne(result.status, 0);
    program_free(&result);
    result = ASK("progress", "R-07", "p.doc");
    ck_assert_int_eq(result.status, 2);
    ck_assert(strstr(result.errors, ".pdf") != NULL);
    program_free(&result);
    result = ASK("progress", "R-07", "--json", "--csv");
    ck_assert_int_eq(result.status, 2);
    program_free(&result);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("progress files");
    TCase *tests = tcase_create("progress files");
    suite_add_tcase(suite, tests);
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, files_of_each_kind);
    tcase_add_test(tests, a_session_tells_its_ride_by_quarters);
    tcase_add_test(tests, a_ride_by_the_minute);
    tcase_add_test(tests, a_week_alone);
    tcase_add_test(tests, a_plan_that_is_none_is_refused);
    tcase_add_test(tests, wrong_use_is_told);
    return test_main(suite);
}
