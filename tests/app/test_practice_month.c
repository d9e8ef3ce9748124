/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A month of practice of a rider who learns, with the days on which it goes wrong: a sensor is
 * bumped, propped up, the rider sits up, comes back the same evening, tires on a long ride. */
#include "support/json_reader.h"
#include "support/program.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *folder;

static struct program_result ask(const char *const *words)
{
    return program_run(folder, NULL, words);
}
#define ASK(...) ask((const char *const[]){__VA_ARGS__, "--store", "s.db", NULL})

#define PIECES                                                                                     \
    "hold 60s piece told=seen settle=5s\nhold 60s piece told=after settle=5s\nguess 8\n"           \
    "hold 60s piece told=heard settle=5s\nhold 60s piece told=after settle=5s\nguess 8\n"          \
    "rating effort=4 neck=2\n"

/* One day of the month, at six in the evening where no hour is said. */
static const struct {
    const char *at, *lines, *rig;
    const char *left_out; /* NULL: it counts */
} days[] = {
    {"01-05T18", "", "", NULL},
    {"01-06T18", "", "", NULL},
    {"01-07T18", "", "", NULL},
    {"01-08T18", PIECES, "", NULL}, /* the fourth of the base: before the first practice */
    {"01-10T18", PIECES, "practised=1", NULL},
    {"01-12T18", PIECES, "practised=2&bump=10&bump_at=1.9", "stepped"},
    {"01-14T18", PIECES, "practised=3", NULL},
    {"01-16T18", PIECES, "practised=4&props=15&props_at=1.9&props_for=600", "stepped"},
    {"01-18T18", PIECES, "practised=5", NULL},
    {"01-20T18", PIECES, "practised=6&sits_up=60", "sat up"},
    {"01-20T21", "", "practised=7", "too soon"},
    {"01-22T18", PIECES, "practised=7", NULL},
    {"01-24T18", PIECES, "practised=8", NULL},
    {"01-26T18", PIECES, "practised=9", NULL},
    {"01-28T18", PIECES, "practised=10", NULL},
    {"01-30T18", "ride 40min settle=5s\n", "practised=11&tires=30&tires_at=20", NULL},
    {"02-14T18", "", "practised=11", NULL},
};
enum { DAYS = sizeof days / sizeof days[0] };

static void ride_day(int d)
{
    char script[2048], rig[160];
    snprintf(script, sizeof script,
             "session 2026-%s:00:00Z seed=%d\nrider R-07 \"winter group\" health=yes\n"
             "bike \"training bike\" stack=545 reach=410 head_angle=73\n"
             "sensor head carrier=base_bar look=up\nsensor chest carrier=base_bar look=up\n"
             "setup 1 \"as chosen\" stem_length=100 stem_angle=-6 spacers=20 pad_rise=60\n"
             "plate 5s height=930 rest=pads\n"
             "target head=884 chest=771 known_to=4mm sure=yes\nband head=+12/-12 chest=+12/-12\n"
             "hold test settle=5s\nguess 6\n%send\n",
             days[d].at, d + 1, days[d].lines);
    snprintf(rig, sizeof rig, "virtual:learner?speed=max&rate=25&seed=%d&%s", d + 1, days[d].rig);
    program_write_file(folder, "day.txt", script);
    struct program_result result = ASK("run", "day.txt", rig);
    ck_assert_msg(result.status == 0, "%s: %s", days[d].at, result.errors);
    program_free(&result);
}

static void ride_month(void)
{
    folder = program_folder();
    for (int d = 0; d < DAYS; d++) {
        ride_day(d);
    }
}

static struct json_value *told(void)
{
    struct program_result result = ASK("progress", "R-07", "--json");
    struct json_value *value = program_json(&result, 0);
    program_free(&result);
    return value;
}

START_TEST(what_must_be_said_is_said)
{
    char path[64];
    ride_month();
    struct json_value *json = told();
    for (int d = 0; d < DAYS; d++) {
        snprintf(path, sizeof path, "tests/%d/why_not", d);
        const char *why = json_text_at(json, path);
        ck_assert_msg((why == NULL) == (days[d].left_out == NULL) &&
                          (why == NULL || strstr(why, days[d].left_out) != NULL),
                      "%s: %s", days[d].at, why);
        snprintf(path, sizeof path, "tests/%d/phase", d);
        ck_assert_str_eq(json_text_at(json, path), d < 4           ? "base"
                                                   : d == DAYS - 1 ? "keep"
                                                                   : "practice");
    }
    for (int c = 0; c < 2; c++) { /* 25 mm off before, gone by e in four sessions; the band is 12 */
        snprintf(path, sizeof path, "channels/%d/practice/verdict", c);
        ck_assert_str_eq(json_text_at(json, path), "better");
        snprintf(path, sizeof path, "channels/%d/practice/change", c);
        ck_assert_double_gt(json_number_at(json, path), 0.5);
    }
    snprintf(path, sizeof path, "tests/%d/channels/0/offset_mm", 0);
    ck_assert_double_eq_tol(json_number_at(json, path), 25, 10); /* SD 3 from hold to hold */
    snprintf(path, sizeof path, "tests/%d/channels/0/offset_mm", DAYS - 1);
    ck_assert_double_eq_tol(json_number_at(json, path), 25 * exp(-11 / 4.0), 10);
    snprintf(path, sizeof path, "sessions/%d/ride_s", DAYS - 2);
    ck_assert_double_eq_tol(json_number_at(json, path), 2400, 2);
    /* up by 30 mm from minute 20 to 25, and out of a band of 12 */
    ck_assert_double_gt(json_number_at(json, "rides/0/channels/0/quarters/0/in_band_share"), 0.9);
    ck_assert_double_lt(json_number_at(json, "rides/0/channels/0/quarters/3/in_band_share"), 0.1);
    ck_assert_double_eq_tol(json_number_at(json, "rides/0/channels/0/quarters/3/offset_mm") -
                                json_number_at(json, "rides/0/channels/0/quarters/0/offset_mm"),
                            30, 4);
    ck_assert_double_eq_tol(json_number_at(json, "rides/0/channels/0/kept_s"), 1300, 120);
    ck_assert_double_eq_tol(json_number_at(json, "rides/0/channels/0/then_mm"), 30, 6);
    ck_assert_double_gt(json_number_at(json, "rides/0/channels/0/trend/low"), 0);
    json_free(json);
    struct program_result text = ASK("progress", "R-07");
    ck_assert(strstr(text.output, "head: better: ") != NULL);
    ck_assert(strstr(text.output, "weeks after the last practice") != NULL);
    ck_assert(strstr(text.output, "Long rides") != NULL);
    struct program_result page = ASK("progress", "R-07", "--rider");
    ck_assert(strstr(page.output, "Your next session") != NULL);
    ck_assert(strstr(page.output, "the test of 3 min") != NULL);
    ck_assert(strstr(page.output, "somebody within call") != NULL);
    ck_assert(strstr(page.output, "better") == NULL && strstr(page.output, "Long") == NULL);
    program_free(&page);
    ck_assert(strstr(text.output, "30 January 2026: 40 min, ") != NULL);
    ck_assert(strstr(text.output, "Read") != NULL && strstr(text.output, "the board") != NULL);
    program_free(&text);
}
END_TEST

/* The session as it was, and as it is worked out again from samples and log. */
START_TEST(replayed_to_the_same_bytes)
{
    static const int tried[] = {3, 5, 9, DAYS - 2};
    ride_month();
    for (size_t t = 0; t < sizeof tried / sizeof tried[0]; t++) {
        char id[16];
        size_t length[2] = {0, 0};
        snprintf(id, sizeof id, "%d", tried[t] + 1);
        struct program_result own = ASK("export", id, "own.json", "--replace");
        struct program_result again = ASK("replay", id, "--export", "again.json", "--replace");
        ck_assert_msg(own.status == 0 && again.status == 0, "%s%s", own.errors, again.errors);
        program_free(&own);
        program_free(&again);
        char *first = program_read_file(folder, "own.json", &length[0]);
        char *second = program_read_file(folder, "again.json", &length[1]);
        ck_assert_uint_gt(length[0], 1000);
        ck_assert_uint_eq(length[0], length[1]);
        ck_assert_mem_eq(first, second, length[0]);
        free(first);
        free(second);
    }
}
END_TEST

/* Forgotten, nothing of it is left: neither tests nor how it felt. */
START_TEST(forgotten_it_is_gone)
{
    folder = program_folder();
    ride_day(0);
    ride_day(3);
    struct program_result result = ASK("store", "forget", "R-07", "--yes");
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    result = ASK("progress", "R-07");
    ck_assert_int_ne(result.status, 0);
    program_free(&result);
    size_t length = 0;
    char *bytes = program_read_file(folder, "s.db", &length);
    for (size_t i = 0; i + 4 < length; i++) {
        ck_assert_msg(memcmp(bytes + i, "R-07", 4) != 0, "the code at %zu", i);
    }
    free(bytes);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("practice_month");
    TCase *tests = tcase_create("practice_month");
    suite_add_tcase(suite, tests);
    tcase_set_timeout(tests, 180);
    tcase_add_test(tests, what_must_be_said_is_said);
    tcase_add_test(tests, replayed_to_the_same_bytes);
    tcase_add_test(tests, forgotten_it_is_gone);
    return test_main(suite);
}
