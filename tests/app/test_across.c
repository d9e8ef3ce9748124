/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Choosing sessions by rider, bike and day; one rider's setups over the months. */

#include "base/json_read.h"
#include "support/english_words.h"
#include "support/program.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define BIKE "stack=545 reach=410 head_angle=73 stem_length=100 stem_angle=-6 spacers="

static void ride_asked(const char *folder, const char *day, const char *rider, const char *bike,
                       const char *spacers, const char *asked, int seed)
{
    char script[1024], rig[64];
    snprintf(script, sizeof script,
             "session %sT23:30:00Z seed=%d\nrider %s \"winter group\"\nbike \"%s\" " BIKE
             "%s\nsensor head carrier=base_bar x=110 y=40\nsensor chest carrier=base_bar x=-60\n"
             "matters head=3 chest=3\nhold 30s free\nhold 30s free\n%send\n",
             day, seed, rider, bike, spacers, asked);
    snprintf(rig, sizeof rig, "virtual:steady?speed=max&seed=%d", seed);
    program_write_file(folder, "script.txt", script);
    struct program_result result = program_run(
        folder, NULL, (const char *const[]){"run", "script.txt", rig, "--store", "s.db", NULL});
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
}

static void ride(const char *folder, const char *day, const char *rider, const char *bike,
                 const char *spacers, int seed)
{
    ride_asked(folder, day, rider, bike, spacers, "", seed);
}

/* Four sessions: 1 and 2 of R-01, 3 of R-02, 4 of R-01 on another bike. */
static const char *four_sessions(void)
{
    const char *folder = program_folder();
    ride(folder, "2026-01-10", "R-01", "training bike", "30", 1);
    ride(folder, "2026-02-10", "R-01", "Training Bike", "30", 2);
    ride(folder, "2026-02-11", "R-02", "training bike", "0", 3);
    ride(folder, "2026-03-10", "R-01", "road bike", "0", 4);
    return folder;
}

static struct program_result ask(const char *folder, const char *const *words)
{
    const char *arguments[16] = {NULL};
    int count = 0;
    while (words[count] != NULL) {
        arguments[count] = words[count];
        count++;
    }
    arguments[count++] = "--store";
    arguments[count] = "s.db";
    return program_run(folder, NULL, arguments);
}

#define ASK(...) ask(folder, (const char *const[]){__VA_ARGS__, NULL})

static void lists(const char *folder, const char *const *words, const char *expected)
{
    struct program_result result = ask(folder, words);
    char found[64] = "";
    size_t used = 0;
    for (const char *at = result.output; (at = strstr(at, "\"session\": ")) != NULL; at++) {
        used += (size_t)snprintf(found + used, sizeof found - used, "%c", at[11]);
    }
    ck_assert_str_eq(found, expected);
    program_free(&result);
}

START_TEST(sessions_are_chosen_by_rider_bike_and_day)
{
    const char *folder = four_sessions();
    static const struct {
        const char *words[8], *expected;
    } cases[] = {
        {{"list", "--json"}, "4321"},
        {{"list", "--json", "--rider", "R-01"}, "421"},
        {{"list", "--json", "--bike", "train"}, "321"},
        {{"list", "--json", "--rider", "R-01", "--bike", "TRAINING"}, "21"},
        {{"list", "--json", "--since", "2026-02-11"}, "43"},
        {{"list", "--json", "--until", "2026-02-10"}, "21"},
        {{"list", "--json", "--since", "2026-02-10", "--until", "2026-02-10"}, "2"},
        {{"list", "--json", "--rider", "R-03"}, ""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        lists(folder, cases[i].words, cases[i].expected);
    }
    struct program_result shown = ASK("show", "--rider", "R-01", "--until", "2026-02-28");
    ck_assert_msg(shown.status == 0 && strstr(shown.output, "2026-02-10") != NULL, "%s",
                  shown.output);
    program_free(&shown);
    static const struct {
        const char *words[6], *part;
        int status;
    } refused[] = {
        {{"show", "--rider", "R-09"}, "no session", 1},
        {{"show", "last", "--rider", "R-01"}, "not both", 2},
        {{"list", "--since", "yesterday"}, "wants a day such as 2026-01-10, not 'yesterday'", 2},
        {{"list", "--until", "2026-02-30"}, "not '2026-02-30'", 2},
        {{"show"}, "say one session", 2},
    };
    for (size_t i = 0; i < sizeof refused / sizeof refused[0]; i++) {
        struct program_result result = ask(folder, refused[i].words);
        ck_assert_msg(result.status == refused[i].status &&
                          strstr(result.errors, refused[i].part) != NULL,
                      "'%s': %d: %s", refused[i].part, result.status, result.errors);
        program_free(&result);
    }
    program_folder_remove(folder);
}
END_TEST

/* 30 mm of spacers less: the bars are 28.7 mm lower, and the virtual rider's head follows. */
START_TEST(months_are_compared_in_true_heights)
{
    const char *folder = four_sessions();
    struct program_result text = ASK("compare", "--rider", "R-01");
    ck_assert_msg(text.status == 0, "%s", text.errors);
    ck_assert_msg(strstr(text.output, "2026-01-10, setup 1 (2 holds)") != NULL, "%s", text.output);
    ck_assert_msg(strstr(text.output, "head: lower by") != NULL, "%s", text.output);
    ck_assert_msg(strstr(text.output, "'tape chest=...'") != NULL, "%s", text.output);
    program_free(&text);
    struct program_result json = ASK("compare", "2", "1", "4", "1", "--json");
    ck_assert_msg(json.status == 0, "%s", json.errors);
    struct json_document *document = json_document_read(json.output, strlen(json.output), NULL);
    ck_assert_ptr_nonnull(document);
    json_document_free(document);
    /* oldest first, whatever the order they are named in */
    const char *first = strstr(json.output, "2026-01-10"),
               *then = strstr(json.output, "2026-02-10");
    ck_assert(first != NULL && then != NULL && first < then);
    program_free(&json);
    struct program_result two = ASK("compare", "2", "3");
    ck_assert_msg(two.status == 1 && strstr(two.errors, "not of one rider") != NULL, "%s",
                  two.errors);
    program_free(&two);
    program_folder_remove(folder);
}
END_TEST

/* R-01 twice on one bike with the same parts, then on another bike. */
START_TEST(a_record_goes_over_the_visits)
{
    const char *folder = four_sessions();
    static const char *const kinds[] = {"r.pdf", "r.html", "r.csv", "r.json"};
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        struct program_result made = ASK("export", "--rider", "R-01", kinds[i]);
        ck_assert_msg(made.status == 0, "%s: %s", kinds[i], made.errors);
        program_free(&made);
    }
    char *text = program_read_file(folder, "r.html", NULL);
    static const char *const parts[] = {
        "R-01, 3 visits, 10 January 2026 to 10 March 2026",
        "training bike",
        "road bike",
        "10 January 2026: no setup was chosen.",
        "nothing says how high its sensor was over the bottom bracket",
        "spacers 30 mm",
        "A\u00A0(1)", /* the letter, with the number on that visit's sheet */
        "In brackets: its number on that visit&#39;s sheet.",
    };
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        ck_assert_msg(strstr(text, parts[i]) != NULL, "'%s' is not in the record", parts[i]);
    }
    ck_assert_ptr_null(strstr(text, "R-02"));
    free(text);
    /* a row for each visit, setup and channel: three visits of one setup, two channels */
    text = program_read_file(folder, "r.csv", NULL);
    int lines = 0;
    for (const char *at = text; (at = strchr(at, '\n')) != NULL; at++) {
        lines++;
    }
    ck_assert_int_eq(lines, 1 + 3 * 2);
    free(text);
    static const struct {
        const char *words[6], *part;
    } refused[] = {
        {{"export", "--rider", "R-01", "r.txt"}, "ends in .pdf, .html, .csv or .json"},
        {{"export", "--rider", "R-01"}, "say one file"},
        {{"export", "--rider", "R-01", "1", "r.pdf"}, "say one file"},
        {{"export", "--rider", "R-09", "x.pdf"}, "no session"},
        {{"export", "--rider", "R-01", "r.pdf"}, "is there already"},
        {{"export", "--since", "2026-02-01", "x.pdf"}, "not of one rider"},
    };
    for (size_t i = 0; i < sizeof refused / sizeof refused[0]; i++) {
        struct program_result result = ask(folder, refused[i].words);
        ck_assert_msg(result.status != 0 && strstr(result.errors, refused[i].part) != NULL,
                      "'%s': %d: %s", refused[i].part, result.status, result.errors);
        program_free(&result);
    }
    program_folder_remove(folder);
}
END_TEST

/* A region that nobody asked about may hurt: 'none' is said of all eight only. */
START_TEST(discomfort_is_none_only_of_what_was_asked)
{
    static const struct {
        const char *rating;
        bool of_those;
    } visits[] = {{"rating neck=0\nchoose 1\n", true},
                  {"rating neck=0 shoulder_blades=0 lower_back=0 forearms=0 hands=0 "
                   "saddle_front=0 hips=0 breathing=0\nchoose 1\n",
                   false}};
    for (size_t i = 0; i < sizeof visits / sizeof visits[0]; i++) {
        const char *folder = program_folder();
        ride_asked(folder, "2026-01-10", "R-01", "training bike", "30", visits[i].rating, 1);
        struct program_result made = ASK("export", "--rider", "R-01", "r.html");
        ck_assert_msg(made.status == 0, "%s", made.errors);
        program_free(&made);
        char *text = program_read_file(folder, "r.html", NULL);
        ck_assert_ptr_nonnull(strstr(text, ">none"));
        ck_assert_int_eq(strstr(text, ">none of those asked") != NULL, visits[i].of_those);
        free(text);
        program_folder_remove(folder);
    }
}
END_TEST

/* Between 96 and 640, where visits stand; nothing is dotted between visits. */
START_TEST(one_visit_stands_in_the_middle_of_its_picture)
{
    const char *folder = program_folder();
    ride_asked(folder, "2026-01-10", "R-01", "training bike", "30",
               "setup 2 \"low\" spacers=10\nhold 30s free\nhold 30s free\nrating neck=3 hands=2\n"
               "choose 2\n",
               1);
    struct program_result made = ASK("export", "--rider", "R-01", "r.html");
    ck_assert_msg(made.status == 0, "%s", made.errors);
    program_free(&made);
    char *text = program_read_file(folder, "r.html", NULL);
    const char *day = strstr(text, ">10 Jan</text>");
    ck_assert_ptr_nonnull(day);
    while (strncmp(day, "<text", 5) != 0) {
        day--;
    }
    ck_assert_double_eq_tol(strtod(day + strlen("<text x=\""), NULL), 368, 0.06);
    ck_assert_ptr_nonnull(strstr(text, "95 times in 100. Blue: as chosen.</text>"));
    ck_assert_ptr_null(strstr(text, "Dotted"));
    ck_assert_ptr_nonnull(strstr(text, "A\u00A0(1), B\u00A0(2)"));     /* whole, wherever a */
    ck_assert_ptr_nonnull(strstr(text, "neck\u00A03, hands\u00A02<")); /* line ends */
    free(text);
    program_folder_remove(folder);
}
END_TEST

/* What was typed is no English of the program's: from its letter so many on it is blotted out. */
static void blot(char *text, const char *typed, size_t from)
{
    for (char *at; (at = strstr(text, typed)) != NULL;) {
        memset(at + from, 'R', strlen(typed) - from);
    }
}

/* What the fitter typed stands as it was typed: the bikes' names. */
START_TEST(a_record_in_german)
{
    const char *folder = four_sessions();
    struct program_result made = ASK("export", "--rider", "R-01", "r.html", "--language", "de");
    ck_assert_msg(made.status == 0, "%s", made.errors);
    program_free(&made);
    char *text = program_read_file(folder, "r.html", NULL), where[512];
    static const char *const parts[] = {
        "<html lang=\"de\">",
        "R-01, 3 Termine, 10. Januar 2026 bis 10. März 2026",
        "10. Januar 2026: Keine Einstellung wurde gewählt.",
        "Nichts sagt, wie hoch der Sensor über dem Tretlager war",
        "Spacer 30 mm",
        "Brust am 10. Februar 2026: ohne Bezug",
    };
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        ck_assert_msg(strstr(text, parts[i]) != NULL, "'%s' is not in: %s", parts[i], text);
    }
    blot(text, " bike", 1);
    blot(text, " Bike", 1);
    blot(text, "tape chest", strlen("tape "));
    ck_assert_msg(!english_words_find(text, where, sizeof where), "%s", where);
    free(text);
    made = ASK("export", "--rider", "R-01", "r.pdf", "--language", "de");
    ck_assert_msg(made.status == 0, "%s", made.errors);
    program_free(&made);
    made = ASK("export", "--rider", "R-01", "r.csv", "--language", "de");
    ck_assert_msg(made.status == 2 && strstr(made.errors, "a .csv has none") != NULL, "%s",
                  made.errors);
    program_free(&made);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("across sessions");
    TCase *tests = tcase_create("across");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, sessions_are_chosen_by_rider_bike_and_day);
    tcase_add_test(tests, months_are_compared_in_true_heights);
    tcase_add_test(tests, a_record_goes_over_the_visits);
    tcase_add_test(tests, discomfort_is_none_only_of_what_was_asked);
    tcase_add_test(tests, one_visit_stands_in_the_middle_of_its_picture);
    tcase_add_test(tests, a_record_in_german);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
