/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A file is looked at before it is taken: told column by column, asked about, refused. */

#include "app/import_look.h"
#include "support/program.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct looked {
    bool done;
    struct problem problem;
    struct decoder_options options;
    struct import_look look;
    char *told;
};

/* said: on the command line. answers: what a person types; NULL: nobody is there. */
static struct looked look_with(const char *folder, const char *name, const char *text,
                               const struct decoder_options *said, const char *answers)
{
    struct looked looked = {.done = false, .options = *said};
    char path[512];
    size_t size = 0;
    program_write_file(folder, name, text);
    snprintf(path, sizeof path, "%s/%s", folder, name);
    looked.look.told = open_memstream(&looked.told, &size);
    looked.look.answers =
        answers != NULL ? fmemopen((void *)(size_t)answers, strlen(answers), "r") : NULL;
    looked.done = import_look(&looked.look, path, &looked.options, &looked.problem);
    fclose(looked.look.told);
    if (looked.look.answers != NULL) {
        fclose(looked.look.answers);
    }
    return looked;
}

static struct looked look(const char *folder, const char *name, const char *text,
                          const char *answers)
{
    static const struct decoder_options nothing_said;
    return look_with(folder, name, text, &nothing_said, answers);
}

/* 20 lines of numbers under a heading ("" none); a step of the time, and a range that moves. */
static const char *lines(const char *heading, long step, const char *behind)
{
    static char text[4096];
    size_t used = (size_t)snprintf(text, sizeof text, "%s", heading);
    for (int i = 0; i < 20; i++) {
        used += (size_t)snprintf(text + used, sizeof text - used, "%ld,%d.%d,%d.%d%s\n", i * step,
                                 400 + i * 7 % 11, i % 10, 300 + i * 5 % 13, i % 10, behind);
    }
    return text;
}

START_TEST(each_column_is_told_with_what_it_is_taken_for)
{
    const char *folder = program_folder();
    char text[4096];
    size_t used = (size_t)sprintf(text, "time;head [cm];\"temp; board\";power\n");
    for (int i = 0; i < 20; i++) {
        used += (size_t)sprintf(text + used, "2026-01-10T18:00:%02d.%02d;\"41,%d\";22,%d;20%d\n",
                                i / 50, i * 2, 10 + i * 7 % 11, i % 3, i % 7);
    }
    struct looked looked = look(folder, "a.csv", text, NULL);
    ck_assert_msg(looked.done, "%s", looked.problem.sentence);
    static const char *const said[] = {
        "divided by ';'", "column 1 'time': time, dates and times, from 2026-01-10T18:00:00.000Z",
        "column 2 'head [cm]': range 'head', in cm",
        "column 3 'temp board': not used: it is called something else than a range",
        "column 4 'power': power, in W"};
    for (size_t i = 0; i < sizeof said / sizeof said[0]; i++) {
        ck_assert_msg(strstr(looked.told, said[i]) != NULL, "%s: %s", said[i], looked.told);
    }
    ck_assert(looked.look.has_start);
    ck_assert_int_eq(looked.look.start_us, INT64_C(1768068000000000)); /* 2026-01-10T18:00:00Z */
    free(looked.told);
    program_folder_remove(folder);
}
END_TEST

START_TEST(what_is_not_certain_is_refused_with_the_option_that_settles_it)
{
    static const struct {
        const char *heading;
        long step;
        const char *behind, *said;
    } files[] = {
        {"", 20, "", "--columns ch1=2,ch2=3"},
        {"t,head_mm,chest_mm\n", 1000, "", "--time-unit ms"}, /* one a second, or a thousand */
        {"t,head_mm,chest_mm\n", 20, "", NULL},               /* 50 kHz can't be */
        {"time_us,head_mm,chest_mm\n", 1000, "", NULL},
    };
    const char *folder = program_folder();
    for (size_t i = 0; i < sizeof files / sizeof files[0]; i++) {
        struct looked looked =
            look(folder, "a.csv", lines(files[i].heading, files[i].step, files[i].behind), NULL);
        ck_assert_msg(looked.done == (files[i].said == NULL), "file %zu: %s", i,
                      looked.problem.sentence);
        ck_assert_msg(files[i].said == NULL ||
                          (strstr(looked.problem.sentence, files[i].said) != NULL &&
                           strstr(looked.problem.sentence, "a.csv") != NULL),
                      "file %zu: %s", i, looked.problem.sentence);
        free(looked.told);
    }
    program_folder_remove(folder);
}
END_TEST

/* Named columns of which nothing says the unit, where no rider is in mm: asked, as proposed where
 * all are so, and not where another one says that they are mm. */
START_TEST(ranges_that_no_rider_has_in_mm_are_asked_about)
{
    static const struct {
        const char *columns, *unit, *answers, *proposed, *taken;
    } cases[] = {
        {"head=2,chest=3", "", NULL, "('--columns head=2,chest=3 --unit cm' reads it)", NULL},
        {"head=2,chest=3", "", "\n", "Enter: --columns head=2,chest=3 --unit cm;", "cm"},
        {"head=2,chest=3", "", "mm\n", "Enter: ", "mm"},
        {"head=2,chest=3", "mm", NULL, NULL, "mm"},
        {"head=2,pads=4", "", NULL, "in mm no rider is there (--unit)", NULL},
    };
    const char *folder = program_folder();
    char text[4096];
    size_t used = (size_t)sprintf(text, "time_ms,head,chest,pads\n");
    for (int i = 0; i < 20; i++) {
        used += (size_t)sprintf(text + used, "%d,41.%d,24.%d,31%d\n", i * 20, i * 7 % 10,
                                i * 3 % 10, i * 7 % 10);
    }
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct decoder_options said = {.columns = ""};
        snprintf(said.columns, sizeof said.columns, "%s", cases[i].columns);
        snprintf(said.unit, sizeof said.unit, "%s", cases[i].unit);
        struct looked looked = look_with(folder, "a.csv", text, &said, cases[i].answers);
        const char *seen = looked.done ? looked.told : looked.problem.sentence;
        ck_assert_msg(looked.done == (cases[i].taken != NULL), "case %zu: %s", i, seen);
        ck_assert_msg(cases[i].proposed == NULL || strstr(seen, cases[i].proposed) != NULL,
                      "case %zu: %s", i, seen);
        ck_assert_str_eq(looked.options.unit, cases[i].taken != NULL ? cases[i].taken : "");
        free(looked.told);
    }
    program_folder_remove(folder);
}
END_TEST

START_TEST(answers_are_taken_and_taken_back)
{
    static const struct {
        const char *answers;
        bool done;
        const char *columns, *time_unit;
    } typed[] = {
        {"\n\n", true, "ch1=2,ch2=3", "ms"},
        {"\nus\n", true, "ch1=2,ch2=3", "us"},
        {"head=3\n--time-unit us\n", true, "head=3", "us"},
        {"head=3\nu\nchest=2\nus\n", true, "chest=2", "us"},   /* back, and another */
        {"u\nhead=9\n--unit yd\n\nms\n", false, "head=9", ""}, /* a column that is not there */
        {"\nq\n", false, "ch1=2,ch2=3", ""},
        {"\n", false, "ch1=2,ch2=3", ""}, /* the terminal went away */
    };
    const char *folder = program_folder();
    for (size_t i = 0; i < sizeof typed / sizeof typed[0]; i++) {
        struct looked looked = look(folder, "a.csv", lines("", 1000, ""), typed[i].answers);
        ck_assert_msg(looked.done == typed[i].done, "answers %zu: %s\n%s", i,
                      looked.problem.sentence, looked.told);
        ck_assert_msg(strcmp(looked.options.columns, typed[i].columns) == 0, "answers %zu: %s", i,
                      looked.options.columns);
        ck_assert_str_eq(looked.options.time_unit, typed[i].time_unit);
        free(looked.told);
    }
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("import_look");
    TCase *tests = tcase_create("import_look");
    tcase_add_test(tests, each_column_is_told_with_what_it_is_taken_for);
    tcase_add_test(tests, what_is_not_certain_is_refused_with_the_option_that_settles_it);
    tcase_add_test(tests, ranges_that_no_rider_has_in_mm_are_asked_about);
    tcase_add_test(tests, answers_are_taken_and_taken_back);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
