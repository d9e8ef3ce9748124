/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/fields.h"
#include "support/json_reader.h"
#include "support/program.h"
#include "support/terminal.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* holdline place, run as a user runs it. */

static const char bike[] =
    "session 2026-01-10T18:00:00Z seed=7\n"
    "bike \"training bike\" stack=540 reach=400 head_angle=73 seat_angle=74\n"
    "sensor head carrier=base_bar x=120 y=40\n"
    "sensor chest carrier=stand x=500 y=300\n"
    "setup 1 \"as it came\" stem_length=100 stem_angle=-17 spacers=20 pad_rise=55 pad_fore_aft=-20 "
    "saddle_height=760\n"
    "hold 60s free\n"
    "setup 2 \"spacers out, pads down\" spacers=10 pad_rise=35\n"
    "setup 3 \"other stem\" from=1 stem_angle=-6 stem_length=90\n"
    "compare\n";
static const char parts[] = "stem length=70..120/10 angle=-17,-10,-6,6\n"
                            "spacers 0..30/5\npad_rise 15..65/10\npad_fore_aft -40,-20,0\n";
static const char other_bike[] = "bike \"racing bike\" stack=510 reach=420 head_angle=72 "
                                 "seat_angle=78 spacers=15 stem_length=90 "
                                 "stem_angle=-6 pad_rise=45 pad_fore_aft=-10\n";

static const char *folder;

static void begin(void)
{
    folder = program_folder();
    program_write_file(folder, "bike.script", bike);
    program_write_file(folder, "parts.txt", parts);
    program_write_file(folder, "racing.script", other_bike);
}

static void end(void)
{
    program_folder_remove(folder);
}

#define RUN(...) program_run(folder, NULL, (const char *const[]){"place", __VA_ARGS__, NULL})

START_TEST(parts_to_coordinates)
{
    struct program_result result = RUN("bike.script", "--setup", "1", "--json");
    struct json_value *json = program_json(&result, 0);
    ck_assert_str_eq(json_text_at(json, "name"), "training bike, setup 1: as it came");
    ck_assert_double_eq_tol(json_number_at(json, "points/bar_clamp/x_mm"), 488.305, 0.0051);
    ck_assert_double_eq_tol(json_number_at(json, "points/bar_clamp/y_mm"), 578.252, 0.0051);
    ck_assert_double_eq_tol(json_number_at(json, "points/pads/y_mm"), 633.252, 0.0051);
    ck_assert_double_eq_tol(json_number_at(json, "points/saddle/x_mm"), -209.484, 0.0051);
    ck_assert(isnan(json_number_at(json, "points/extension_tip/x_mm")));
    ck_assert_double_gt(json_number_at(json, "points/pads/u_y_mm"), 1.0);
    json_free(json);
    program_free(&result);
    result = RUN("bike.script", "--setup", "1", "--no-drawing");
    ck_assert_int_eq(result.status, 0);
    ck_assert_ptr_nonnull(strstr(result.output, "488"));
    ck_assert_ptr_nonnull(strstr(result.output, "633"));
    ck_assert_ptr_nonnull(strstr(result.output, "Drop from the saddle's top to the pads: 97 mm"));
    ck_assert_ptr_nonnull(strstr(result.output, "stem clamp height 40 mm"));
    ck_assert_ptr_null(strstr(result.output, "bottom bracket   s"));
    ck_assert_str_eq(result.errors, "");
    program_free(&result);
    result = RUN("stack=540", "reach=400", "head_angle=73", "spacers=20", "stem_length=100",
                 "stem_angle=-6", "--json");
    json = program_json(&result, 0);
    ck_assert_double_eq_tol(json_number_at(json, "points/bar_clamp/y_mm"), 597.333, 0.0051);
    json_free(json);
    program_free(&result);
}
END_TEST

START_TEST(coordinates_to_parts)
{
    struct program_result result = RUN("bike.script", "--setup", "1", "--at", "470,610", "--parts",
                                       "parts.txt", "--change-cost", "0", "--json");
    struct json_value *json = program_json(&result, 0);
    /* Own computation, all combinations tried: best 80/-6/10/25/0 at (469.76, 608.95), 1.07 off;
     * then 100/-10/15/25/-20. */
    ck_assert_double_eq(json_number_at(json, "search/proposals/0/bike/stem_length"), 80);
    ck_assert_double_eq(json_number_at(json, "search/proposals/0/bike/stem_angle"), -6);
    ck_assert_double_eq(json_number_at(json, "search/proposals/0/bike/spacers"), 10);
    ck_assert_double_eq(json_number_at(json, "search/proposals/0/bike/pad_rise"), 25);
    ck_assert_double_eq(json_number_at(json, "search/proposals/0/error_mm"), 1.07);
    ck_assert_double_eq(json_number_at(json, "search/proposals/0/points/pads/y_mm"), 608.95);
    ck_assert_double_eq(json_number_at(json, "search/proposals/1/bike/stem_angle"), -10);
    ck_assert_uint_eq(json_at(json, "search/proposals")->count, 5);
    ck_assert_uint_eq(json_at(json, "search/proposals/0/what_to_turn/steps")->count, 4);
    json_free(json);
    program_free(&result);
    /* Where each exchanged part counts as much as 30 mm, everything stays as it is. */
    result = RUN("bike.script", "--setup", "1", "--at", "470,610", "--parts", "parts.txt",
                 "--change-cost", "30", "--json");
    json = program_json(&result, 0);
    ck_assert_double_eq(json_number_at(json, "search/proposals/0/bike/stem_length"), 100);
    ck_assert_double_eq(json_number_at(json, "search/proposals/0/bike/pad_rise"), 55);
    json_free(json);
    program_free(&result);
    result = RUN("bike.script", "--setup", "1", "--at", "470,610", "--parts", "parts.txt",
                 "--limit", "spacers=5", "--limit", "stem_length=100..", "--best", "20", "--json");
    json = program_json(&result, 0);
    for (int i = 0; i < 20; i++) {
        char path[64];
        snprintf(path, sizeof path, "search/proposals/%d/bike/spacers", i);
        ck_assert_double_le(json_number_at(json, path), 5);
        snprintf(path, sizeof path, "search/proposals/%d/bike/stem_length", i);
        ck_assert_double_ge(json_number_at(json, path), 100);
    }
    ck_assert_double_gt(json_number_at(json, "search/left_out_by_limits"), 0);
    json_free(json);
    program_free(&result);
    /* The script's own limits and those of the list: the tighter counts; what is typed takes their
     * place. */
    char text[2048];
    snprintf(text, sizeof text, "%slimits spacers=15 pad_rise=45\n", bike);
    program_write_file(folder, "limited.script", text);
    snprintf(text, sizeof text, "%slimit spacers=20 pad_rise=35\n", parts);
    program_write_file(folder, "limited.txt", text);
    static const struct {
        const char *typed;
        double spacers, pad_rise;
    } most[] = {{"--ascii", 15, 35}, {"--limit=spacers=5", 5, 35}, {"--limit=spacers=30", 30, 35}};
    for (size_t k = 0; k < sizeof most / sizeof most[0]; k++) {
        double highest = 0.0;
        result = RUN("limited.script", "--setup", "1", "--at", "440,640", "--parts", "limited.txt",
                     "--best", "20", "--json", most[k].typed);
        json = program_json(&result, 0);
        for (int i = 0; i < 20; i++) {
            snprintf(text, sizeof text, "search/proposals/%d/bike/spacers", i);
            highest = fmax(highest, json_number_at(json, text));
            snprintf(text, sizeof text, "search/proposals/%d/bike/pad_rise", i);
            ck_assert_double_le(json_number_at(json, text), most[k].pad_rise);
        }
        ck_assert_double_eq(highest, most[k].spacers); /* high pads want spacers */
        json_free(json);
        program_free(&result);
    }
    result =
        RUN("bike.script", "--setup", "1", "--at", "470,610", "--parts", "parts.txt", "--ascii");
    ck_assert_int_eq(result.status, 0);
    ck_assert_ptr_nonnull(strstr(result.output, "Nearest of 3024 combinations"));
    ck_assert_ptr_nonnull(strstr(result.output, "No limit was entered"));
    ck_assert_ptr_nonnull(strstr(result.output, "stem: change 100 mm, -17 deg for 80 mm, -6 deg"));
    ck_assert_ptr_nonnull(strstr(result.output, "Never loosen a bolt under a leaning rider"));
    ck_assert_ptr_nonnull(strstr(result.output, "head (base bar): "));
    program_free(&result);
}
END_TEST

START_TEST(a_position_on_another_bike)
{
    struct program_result result = RUN("bike.script", "--setup", "1", "--to", "racing.script",
                                       "--parts", "parts.txt", "--json");
    struct json_value *json = program_json(&result, 0);
    ck_assert_str_eq(json_text_at(json, "name"), "racing bike, setup 1: as it came");
    ck_assert_str_eq(json_text_at(json, "search/target_of"), "training bike, setup 1: as it came");
    ck_assert_double_eq_tol(json_number_at(json, "search/target/x_mm"), 468.305, 0.0051);
    ck_assert_double_eq_tol(json_number_at(json, "search/target/y_mm"), 633.252, 0.0051);
    ck_assert_double_eq_tol(json_number_at(json, "bike/saddle_height"), 746.9, 0.051);
    double x = json_number_at(json, "search/proposals/0/points/pads/x_mm") - 468.305;
    double y = json_number_at(json, "search/proposals/0/points/pads/y_mm") - 633.252;
    ck_assert_double_eq_tol(hypot(x, y), json_number_at(json, "search/proposals/0/error_mm"), 0.02);
    ck_assert_double_lt(hypot(x, y), 5.0);
    json_free(json);
    program_free(&result);
}
END_TEST

START_TEST(what_to_turn_between_two_setups)
{
    struct program_result result =
        RUN("bike.script", "--from", "1", "--setup", "2", "--no-drawing");
    ck_assert_int_eq(result.status, 0);
    ck_assert_ptr_nonnull(
        strstr(result.output, "1 spacers: move 10 mm from under the stem to above it (20 to 10)"));
    ck_assert_ptr_nonnull(strstr(result.output, "2 pad rise: lower by 20 mm (55 to 35)"));
    ck_assert_ptr_nonnull(strstr(result.output, "That moves the bars: down 10, forward 3."));
    ck_assert_ptr_nonnull(strstr(result.output, "And the pads: down 30, forward 3."));
    ck_assert_ptr_nonnull(strstr(result.output, "head (base bar): down 10, forward 3"));
    ck_assert_ptr_nonnull(strstr(result.output, "chest (floor stand): does not move"));
    program_free(&result);
    /* The last setup came from setup 1, whatever stood between. */
    result = RUN("bike.script", "--from", "1", "--json");
    struct json_value *json = program_json(&result, 0);
    ck_assert_str_eq(json_text_at(json, "what_to_turn/steps/0/text"),
                     "stem: change 100 mm, -17 deg for 90 mm, -6 deg");
    ck_assert_uint_eq(json_at(json, "what_to_turn/steps")->count, 1);
    ck_assert_double_eq_tol(json_number_at(json, "sensors/0/shift_mm"), 17.173, 0.001);
    ck_assert_double_eq_tol(json_number_at(json, "sensors/0/shift_u_mm"), 2.348, 0.001);
    json_free(json);
    program_free(&result);
    result =
        RUN("bike.script", "--setup", "2", "spacers=0", "--no-drawing", "--limit", "spacers=5..");
    ck_assert_int_eq(result.status, 0);
    ck_assert_ptr_nonnull(strstr(result.output, "spacers out, pads down with changes"));
    ck_assert_ptr_nonnull(
        strstr(result.output, "A limit is passed: spacers 0 mm: under the limit"));
    program_free(&result);
}
END_TEST

START_TEST(the_drawing_as_a_file)
{
    struct program_result result =
        RUN("bike.script", "--from", "1", "--setup", "2", "--svg", "side.svg", "--no-drawing");
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    size_t length = 0;
    char *svg = program_read_file(folder, "side.svg", &length);
    double x, y;
    const char *now = strstr(svg, "id=\"now-bar_clamp\""),
               *before = strstr(svg, "id=\"before-bar_clamp\"");
    ck_assert(now && before);
    ck_assert_int_eq(sscanf(before, "id=\"before-bar_clamp\" cx=\"%lf\" cy=\"%lf\"", &x, &y), 2);
    ck_assert_double_eq_tol(y, -578.252, 0.0051);
    ck_assert_int_eq(sscanf(now, "id=\"now-bar_clamp\" cx=\"%lf\" cy=\"%lf\"", &x, &y), 2);
    ck_assert_double_eq_tol(y, -568.689, 0.0051);
    ck_assert_double_eq_tol(x, 491.229, 0.0051);
    free(svg);
    result = RUN("bike.script", "--svg", "side.svg", "--no-drawing");
    ck_assert_int_eq(result.status, 1);
    ck_assert_ptr_nonnull(strstr(result.errors, "side.svg"));
    program_free(&result);
    result = RUN("bike.script", "--svg", "side.svg", "--no-drawing", "--replace");
    ck_assert_int_eq(result.status, 0);
    program_free(&result);
}
END_TEST

/* The drawing and its legend stand on the terminal at once, whatever its size. */
START_TEST(the_drawing_fits_the_terminal)
{
    static const struct {
        int rows, columns;
    } sizes[] = {{24, 80}, {40, 120}};
    char path[512];
    snprintf(path, sizeof path, "%s/bike.script", folder);
    for (size_t i = 0; i < 2; i++) {
        const char *const arguments[] = {program_path(), "place", path, NULL};
        const struct terminal_settings settings = {.rows = sizes[i].rows,
                                                   .columns = sizes[i].columns};
        struct terminal *terminal = terminal_start(&settings, arguments);
        if (terminal == NULL) {
            printf("skipped: no pseudo-terminal here\n");
            return;
        }
        int status = 0;
        ck_assert(terminal_wait_end(terminal, &status, 20.0) && status == 0);
        ck_assert(terminal_shows(terminal, "Measure them.")); /* the line above it */
        ck_assert(terminal_shows(terminal, "b bottom bracket"));
        ck_assert(terminal_shows(terminal, "a letter is"));
        terminal_end(terminal);
    }
}
END_TEST

START_TEST(bad_input_is_told)
{
    static const struct {
        const char *arguments[8];
        int status;
        const char *sentence;
    } rows[] = {
        {{"stack=540", "reach=400"},
         1,
         "head angle, spacers, stem length and stem angle: not given"},
        {{"bike.script", "stem_length=900"}, 2, "stem_length=900 is outside 20 to 200 mm"},
        {{"bike.script", "stem_length=4"}, 2, "in mm, not inches?"},
        {{"bike.script", "stem_angle=95"}, 2, "stem_angle=95 is outside"},
        {{"bike.script", "spacers=-5"}, 2, "can't be negative"},
        {{"bike.script", "stem_lenght=90"}, 2, "a bike has no measure 'stem_lenght'"},
        {{"bike.script", "spacers=ten"}, 2, "'ten' is not a number"},
        {{"bike.script", "--setup", "7"}, 1, "training bike has no setup 7"},
        {{"bike.script", "--setup", "x"},
         2,
         "--setup wants a whole number from 1 to 1000000, not 'x'"},
        {{"bike.script", "--at", "470"}, 2, "say forward,up in mm"},
        {{"bike.script", "--at", "470,61000"}, 2, "within 2000 mm"},
        {{"bike.script", "--parts", "parts.txt"}, 2, "--at or --to"},
        {{"bike.script", "--at", "470,610", "--parts", "nowhere.txt"}, 1, "nowhere.txt: "},
        {{"bike.script", "--at", "470,610", "--limit", "spacers"}, 2, "say KEY=VALUE"},
        {{"bike.script", "--at", "470,610", "--limit", "spacers=5"}, 1, "passes a limit"},
        {{"bike.script", "--at", "470,610", "--limit", "stem_length=4"}, 2, "not inches?"},
        {{"bike.script", "spacers=1in"}, 2, "spacers: '1in': a number in mm is wanted here"},
        {{"bike.script", "stem_length=95deg"}, 2, "'95deg': a number in mm is wanted here"},
        {{"bike.script", "--from", "1", "--at", "470,610"}, 2, "--from goes with neither"},
        {{"bike.script", "parts.txt"}, 2, "one bike at a time"},
        {{"parts.txt"}, 2, "parts.txt, line 1: 'stem' is no line of a script"},
        {{"--from", "1", "stack=540"}, 2, "need a file or a session"},
        {{"nowhere.script"}, 1, "nowhere.script: "},
        {{"--no-drawing"}, 2, "say a bike"},
        {{"--colour"}, 2, ""},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const char *arguments[10] = {"place"};
        memcpy(arguments + 1, rows[i].arguments, sizeof rows[i].arguments);
        struct program_result result = program_run(folder, NULL, arguments);
        ck_assert_msg(result.status == rows[i].status, "row %zu: status %d: %s", i, result.status,
                      result.errors);
        ck_assert_msg(strstr(result.errors, rows[i].sentence) != NULL, "row %zu: %s", i,
                      result.errors);
        ck_assert_str_eq(result.output, "");
        program_free(&result);
    }
    program_write_file(folder, "bad.script", "bike \"b\" stack=540\nsetup 1 spacers=-4\n");
    struct program_result result = RUN("bad.script");
    ck_assert_int_ne(result.status, 0);
    ck_assert_ptr_nonnull(strstr(result.errors, "bad.script, line 2: "));
    program_free(&result);
    result = program_run(folder, bike, (const char *const[]){"place", "-", "--no-drawing", NULL});
    ck_assert_int_eq(result.status, 0);
    ck_assert_ptr_nonnull(strstr(result.output, "setup 3: other stem"));
    program_free(&result);
}
END_TEST

START_TEST(a_stored_session)
{
    static const char script[] =
        "session 2026-01-10T18:00:00Z seed=7\n"
        "rider R-07 \"winter group\"\n"
        "bike \"training bike\" stack=540 reach=400 head_angle=73\n"
        "sensor head carrier=base_bar x=120 y=40\n"
        "setup 1 \"as it came\" stem_length=100 stem_angle=-17 spacers=20\n"
        "setup 2 \"spacers out\" spacers=10\n"
        "limits spacers=5 column=85\n"
        "end\n";
    program_write_file(folder, "stored.script", script);
    struct program_result result = program_run(
        folder, NULL,
        (const char *const[]){"run", "stored.script", "virtual:steady", "--store", "s.db", NULL});
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    result = RUN("--session", "last", "--store", "s.db", "--from", "1", "--json");
    struct json_value *json = program_json(&result, 0);
    ck_assert_str_eq(json_text_at(json, "name"), "training bike, setup 2: spacers out");
    ck_assert_double_eq_tol(json_number_at(json, "points/bar_clamp/y_mm"), 568.689, 0.0051);
    ck_assert_double_eq_tol(json_number_at(json, "sensors/0/shift_mm"), -9.563, 0.001);
    ck_assert_double_eq(json_number_at(json, "limits_entered"), 2); /* the session's own */
    ck_assert_ptr_nonnull(strstr(json_text_at(json, "limits_passed"), "spacers 10 mm: over"));
    json_free(json);
    program_free(&result);
    result = RUN("--session", "99", "--store", "s.db");
    ck_assert_int_eq(result.status, 1);
    ck_assert_ptr_nonnull(strstr(result.errors, "no session '99'"));
    program_free(&result);
}
END_TEST

/* The page's table against the program's. */
START_TEST(the_page_has_every_measure_and_its_range)
{
    size_t length = 0;
    char *page = program_read_file(source_path("docs"), "place.md", &length);
    for (int i = 0; i < BIKE_KEYS; i++) {
        char key[64], range[64];
        snprintf(key, sizeof key, "`%s`", bike_fields[i].key);
        snprintf(range, sizeof range, "%.0f to %.0f", bike_fields[i].minimum,
                 bike_fields[i].maximum);
        const char *row = strstr(page, key);
        ck_assert_msg(row != NULL, "docs/place.md has no %s", key);
        const char *end = strchr(row, '\n'), *found = strstr(row, range);
        ck_assert_msg(found != NULL && found < end, "docs/place.md: %s is %s", key, range);
    }
    free(page);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("place");
    TCase *tests = tcase_create("place");
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, parts_to_coordinates);
    tcase_add_test(tests, coordinates_to_parts);
    tcase_add_test(tests, a_position_on_another_bike);
    tcase_add_test(tests, what_to_turn_between_two_setups);
    tcase_add_test(tests, the_drawing_as_a_file);
    tcase_add_test(tests, the_drawing_fits_the_terminal);
    tcase_add_test(tests, bad_input_is_told);
    tcase_add_test(tests, a_stored_session);
    tcase_add_test(tests, the_page_has_every_measure_and_its_range);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
