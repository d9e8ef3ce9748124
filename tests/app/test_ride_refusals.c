/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What a day of runs does with files that are no rides, and with rides that tell nothing: each is
 * named with its place and reason, and nothing of it is stored. The rides are the virtual day's. */
#include "rig/virtual_day.h"
#include "store/store.h"
#include "support/program.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#define ROAD                                                                                       \
    "session 2026-03-07T08:00:00Z seed=3\nrider R-07\nsetup 1 \"as it came\"\n"                    \
    "setup 2 \"pads down\" pad_rise=-25\nmass 85kg\ncourse out_and_back length=1000m\n"            \
    "air 11C 1008hPa 68%\n"

static void write_day(const char *folder, const struct virtual_day_settings *settings)
{
    struct virtual_day *day = virtual_day_create(settings);
    ck_assert_ptr_nonnull(day);
    for (int run = 0; run < settings->runs; run++) {
        char path[400];
        snprintf(path, sizeof path, "%s/r%d.csv", folder, run + 1);
        FILE *stream = fopen(path, "w");
        ck_assert_ptr_nonnull(stream);
        ck_assert(virtual_day_write_table(day, run, stream));
        fclose(stream);
    }
    virtual_day_free(day);
}

static struct virtual_day_settings calm(int runs)
{
    struct virtual_day_settings settings;
    virtual_day_defaults(&settings, 3);
    settings.runs = runs;
    settings.wind_sd_m_s = settings.gust_sd_m_s = settings.passer_share = 0.0;
    return settings;
}

static struct program_result run_script(const char *folder, const char *script)
{
    program_write_file(folder, "day.txt", script);
    return program_run(folder, NULL,
                       (const char *const[]){"run", "day.txt", "--store", "s.db", NULL});
}

#define GPX_HEAD "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\"><trk><trkseg>\n"
#define GPX_POINT(second, inside)                                                                  \
    "<trkpt lat=\"50\" lon=\"8\"><time>2026-03-07T09:00:" second "Z</time><extensions>" inside     \
    "</extensions></trkpt>\n"

/* One of each kind; tests/rig/test_ride_csv.c and test_ride_gpx.c have the rest. */
static const struct {
    const char *name, *text, *where, *why;
} refused[] = {
    {"a.csv", "time,speed\n0,10\n1,10\n", "line 1", "no column is called power"},
    {"a.csv", "time,power,speed (kn)\n0,200,20\n", "line 1", "not read in this unit"},
    {"a.csv", "time,power,speed\n0,200,10\n1,200,10\n2,200,10\n-9,200,10\n", "line 5",
     "the time goes back by 11 s"},
    {"a.csv", "time,power,speed\n0,200,10\n1,200,10\n2,200,10\n", "lap", "nothing says where"},
    {"a.gpx", GPX_HEAD GPX_POINT("00", "<power>200</power>") "<trkpt lat=\"50\" lon", "line 4",
     "the file ends within"},
    {"a.gpx", "<!DOCTYPE gpx [<!ENTITY a \"aa\"><!ENTITY b \"&a;&a;\">]>\n<gpx>&b;</gpx>\n",
     "line 1, <!DOCTYPE>", "entities are not read"},
};
#define REFUSED ((int)(sizeof refused / sizeof refused[0]))

START_TEST(a_file_that_is_no_ride_leaves_nothing_behind)
{
    const char *folder = program_folder();
    struct virtual_day_settings settings = calm(1);
    char script[1024], path[400];
    struct problem problem = {0};
    write_day(folder, &settings);
    program_write_file(folder, refused[_i].name, refused[_i].text);
    snprintf(script, sizeof script,
             "%srun setup=1 from=r1.csv speed=wheel\nrun setup=2 from=%s\nend\n", ROAD,
             refused[_i].name);
    struct program_result result = run_script(folder, script);
    ck_assert_int_eq(result.status, 1);
    ck_assert_msg(strstr(result.errors, refused[_i].name) != NULL ||
                      strstr(result.errors, "day.txt:9") != NULL,
                  "%s", result.errors);
    ck_assert_msg(strstr(result.errors, refused[_i].where) != NULL, "%s", result.errors);
    ck_assert_msg(strstr(result.errors, refused[_i].why) != NULL, "%s", result.errors);
    struct session_record *record = malloc(sizeof *record);
    ck_assert_ptr_nonnull(record);
    snprintf(path, sizeof path, "%s/s.db", folder);
    struct store *store = store_open(path, STORE_READ, &problem);
    ck_assert_msg(store != NULL, "%s", problem.sentence);
    ck_assert(!store_load(store, 1, record, &problem)); /* the good run before it neither */
    store_close(store);
    free(record);
    program_free(&result);
    program_folder_remove(folder);
}
END_TEST

/* Laps of 120 m, 12 s each, one more than a session holds; and a pipe, which would give nothing for
 * ever. */
START_TEST(too_many_laps_and_pipes_are_refused)
{
    const char *folder = program_folder();
    char path[400];
    snprintf(path, sizeof path, "%s/laps.csv", folder);
    FILE *file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    fputs("time,power,speed,lap\n", file);
    for (int second = 0; second <= 12 * (LEGS_MAX + 1); second++) {
        fprintf(file, "%d,200,10,%d\n", second, second / 12);
    }
    fclose(file);
    static const char *const day = "setup 1\nmass 85kg\ncourse laps\nair 11C 1008hPa 68%%\n"
                                   "run setup=1 from=%s speed=wheel%s\nend\n";
    static const struct {
        const char *file, *laps, *why;
    } runs[] = {
        {"laps.csv", "", "'laps.csv': more than 800 laps or ways: say which, such as laps=2..7"},
        {"laps.csv", " laps=0..799", NULL},
        {"pipe", "", "is no file"}};
    snprintf(path, sizeof path, "%s/pipe", folder);
    ck_assert_int_eq(mkfifo(path, 0600), 0);
    for (size_t i = 0; i < sizeof runs / sizeof runs[0]; i++) {
        char script[400];
        snprintf(script, sizeof script, day, runs[i].file, runs[i].laps);
        struct program_result result = run_script(folder, script);
        ck_assert_int_eq(result.status, runs[i].why != NULL);
        ck_assert_msg(runs[i].why == NULL || strstr(result.errors, runs[i].why) != NULL, "%s",
                      result.errors);
        program_free(&result);
    }
    program_folder_remove(folder);
}
END_TEST

/* Runs r1 to r8 of setups 1 2 2 1 1 2 2 1, then what is said; in show's text with its ends of lines
 * as blanks. */
static char *shown_day(const char *folder, const char *beginning, const char *speed)
{
    static const int setups[] = {1, 2, 2, 1, 1, 2, 2, 1};
    char script[2048];
    size_t used = (size_t)snprintf(script, sizeof script, "%s", beginning);
    for (int i = 0; i < 8; i++) {
        used += (size_t)snprintf(script + used, sizeof script - used,
                                 "run setup=%d from=r%d.csv speed=%s\n", setups[i], i + 1, speed);
    }
    snprintf(script + used, sizeof script - used, "end\n");
    struct program_result result = run_script(folder, script);
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    result = program_run(folder, NULL, (const char *const[]){"show", "1", "--store", "s.db", NULL});
    ck_assert_msg(result.status == 0, "%s", result.errors);
    char *text = strdup(result.output);
    ck_assert_ptr_nonnull(text);
    program_free(&result);
    char *to = text;
    for (const char *from = text; *from != '\0'; from++) {
        char character = *from == '\n' ? ' ' : *from;
        if (character != ' ' || to == text || to[-1] != ' ') {
            *to++ = character;
        }
    }
    *to = '\0';
    return text;
}

START_TEST(satellites_give_no_verdict)
{
    const char *folder = program_folder();
    struct virtual_day_settings settings = calm(8);
    write_day(folder, &settings);
    char *text = shown_day(folder, ROAD, "satellites");
    ck_assert_msg(strstr(text, "speed from satellites") != NULL, "%s", text);
    ck_assert_ptr_null(strstr(text, "lower by"));
    free(text);
    program_folder_remove(folder);
}
END_TEST

START_TEST(wind_and_gusts_are_told)
{
    for (int gusty = 0; gusty < 2; gusty++) {
        const char *folder = program_folder();
        struct virtual_day_settings settings = calm(8);
        struct virtual_day_truth truth;
        settings.wind_sd_m_s = gusty ? 0.0 : 4.0;
        settings.gust_sd_m_s = gusty ? 1.5 : 0.0;
        for (settings.seed = 1;; settings.seed++) { /* a day with over 2.5 m/s */
            struct virtual_day *day = virtual_day_create(&settings);
            ck_assert_ptr_nonnull(day);
            virtual_day_truth(day, &truth);
            virtual_day_free(day);
            if (gusty || (truth.wind_m_s > 2.5 && truth.wind_m_s < 4.0)) {
                break;
            }
        }
        write_day(folder, &settings);
        char *text = shown_day(folder, ROAD, "wheel");
        ck_assert_msg(strstr(text, gusty ? "gusty" : "too windy") != NULL, "%s", text);
        ck_assert_ptr_null(strstr(text, "lower by"));
        free(text);
        program_folder_remove(folder);
    }
}
END_TEST

/* Laps in the open: 1.5 m/s can't be solved for. */
START_TEST(wind_on_laps_is_not_comparable)
{
    const char *folder = program_folder();
    struct virtual_day_settings settings = calm(8);
    settings.laps = true;
    settings.course_m = 250.0;
    settings.legs_a_run = 8;
    write_day(folder, &settings);
    char *text = shown_day(folder,
                           "session 2026-03-07T08:00:00Z seed=3\nsetup 1\nsetup 2\nmass 85kg\n"
                           "course laps length=250m\nair 11C 1008hPa 68% wind=1.5m/s\n",
                           "wheel");
    ck_assert_msg(strstr(text, "too much wind for laps") != NULL, "%s", text);
    ck_assert_ptr_null(strstr(text, "lower by"));
    free(text);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ride refusals");
    TCase *tests = tcase_create("ride refusals");
    tcase_set_timeout(tests, 60);
    tcase_add_loop_test(tests, a_file_that_is_no_ride_leaves_nothing_behind, 0, REFUSED);
    tcase_add_test(tests, too_many_laps_and_pipes_are_refused);
    tcase_add_test(tests, satellites_give_no_verdict);
    tcase_add_test(tests, wind_and_gusts_are_told);
    tcase_add_test(tests, wind_on_laps_is_not_comparable);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
