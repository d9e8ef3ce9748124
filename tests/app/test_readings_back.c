/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of readings: written, taken back, and written the same again. */

#include "support/program.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* A table made here: heights by the formula of docs/heights.md, level + range x cos(tilt), rounded
 * to 0.01 mm. The chest's beam is tilted and the head's looks down; a setup is met twice. */
#define HEADING                                                                                    \
    "sample,seconds,capture,kind,hold,setup,build,channel,range_mm,quality,height_mm,"             \
    "other_value\r\n"
#define RATE_HZ 50
#define PI 3.14159265358979323846

struct stretch {
    const char *kind;
    int hold, setup, build;
    double seconds, head_mm, chest_mm; /* how long, and the sensors' heights */
    int gap;                           /* samples before it of which nothing is known */
};
static const struct stretch stretches[] = {
    {"plate", 0, 1, 1, 3.0, 1251.37, 640.2, 0},  {"target", 0, 1, 1, 31.0, 1251.37, 640.2, 400},
    {"hold", 1, 1, 1, 6.0, 1251.37, 640.2, 77},  {"hold", 2, 1, 1, 3.1, 1251.37, 640.2, 60},
    {"hold", 3, 2, 1, 5.0, 1238.02, 621.91, 90}, {"hold", 4, 1, 2, 7.0, 1250.96, 640.64, 33},
    {"target", 0, 1, 2, 2.0, 1250.96, 640.64, 9}};

struct table {
    char *text;
    size_t used, size;
    unsigned random;
};

static double noise(struct table *table)
{
    table->random = table->random * 1103515245u + 12345u;
    return (double)(table->random >> 16 & 0x7fff) / 32768.0;
}

static void row(struct table *table, int sample, int capture, const struct stretch *stretch,
                const char *channel, double range_mm, double height_mm)
{
    char hold[16] = "", range[32] = "", height[32] = "";
    double luck = noise(table);
    const char *quality = luck < 0.02   ? "missing"
                          : luck < 0.03 ? "weak"
                          : luck < 0.04 ? "saturated"
                                        : "good";
    if (stretch->hold > 0) {
        snprintf(hold, sizeof hold, "%d", stretch->hold);
    }
    if (strcmp(quality, "missing") != 0) {
        snprintf(range, sizeof range, "%.1f", range_mm);
    }
    if (strcmp(quality, "missing") != 0 && !isnan(height_mm)) {
        snprintf(height, sizeof height, "%.2f", height_mm);
    }
    int64_t time_us = (int64_t)(sample - 1) * (1000000 / RATE_HZ) + (sample * 37 % 11);
    time_us -= sample == 1 ? time_us : 0;
    bool other = isnan(height_mm);
    table->used += (size_t)snprintf(
        table->text + table->used, table->size - table->used,
        "%d,%lld.%06lld,%d,%s,%s,%d,%d,%s,%s,%s,%s,%s\r\n", sample, (long long)(time_us / 1000000),
        (long long)(time_us % 1000000), capture, stretch->kind, hold, stretch->setup,
        stretch->build, channel, other ? "" : range, quality, height, other ? range : "");
}

static char *make_table(void)
{
    struct table table = {.size = 4 << 20, .random = 7};
    int sample = 1;
    table.text = malloc(table.size);
    ck_assert_ptr_nonnull(table.text);
    table.used = (size_t)sprintf(table.text, HEADING);
    for (size_t s = 0; s < sizeof stretches / sizeof stretches[0]; s++) {
        const struct stretch *stretch = &stretches[s];
        sample += stretch->gap;
        /* the last one has come when the length is over: one more than rate x length */
        int count = (int)lround(stretch->seconds * RATE_HZ) + 1;
        for (int i = 0; i < count; i++, sample++) {
            double head = 300.0 + round(noise(&table) * 400.0) / 10.0;
            double chest = 210.0 + round(noise(&table) * 300.0) / 10.0;
            double watts = 200.0 + round(noise(&table) * 100.0) / 10.0;
            row(&table, sample, (int)s + 1, stretch, "head", head, stretch->head_mm - head);
            row(&table, sample, (int)s + 1, stretch, "chest", chest,
                stretch->chest_mm + chest * cos(8.0 * PI / 180.0));
            row(&table, sample, (int)s + 1, stretch, "meter", watts, (double)NAN);
        }
    }
    return table.text;
}

#define RUN(folder, ...) program_run(folder, NULL, (const char *const[]){__VA_ARGS__, NULL})

static void must(struct program_result result)
{
    ck_assert_msg(result.status == 0, "exit status %d: %s", result.status, result.errors);
    program_free(&result);
}

static void same(const char *folder, const char *name, const char *wanted)
{
    size_t length = 0;
    char *text = program_read_file(folder, name, &length);
    size_t at = 0;
    while (at < length && text[at] == wanted[at]) {
        at++;
    }
    ck_assert_msg(length == strlen(wanted) && at == length,
                  "%s differs at byte %zu:\n%.200s\n%.200s", name, at,
                  text + (at > 60 ? at - 60 : 0), wanted + (at > 60 ? at - 60 : 0));
    free(text);
}

START_TEST(readings_come_back_byte_for_byte)
{
    const char *folder = program_folder();
    char *table = make_table();
    program_write_file(folder, "a-readings.csv", table);
    must(RUN(folder, "import", "--store", "s.db", "--started", "2026-01-10T18:00:00Z", "--rider",
             "R-07", "a-readings.csv"));
    must(RUN(folder, "export", "1", "b-readings.csv", "--store", "s.db"));
    same(folder, "b-readings.csv", table);
    must(RUN(folder, "replay", "1", "--export", "c-readings.csv", "--store", "s.db"));
    same(folder, "c-readings.csv", table);
    /* The script that it is gives the same. */
    struct program_result script =
        RUN(folder, "import", "--script", "--started", "2026-01-10T18:00:00Z", "a-readings.csv");
    ck_assert_int_eq(script.status, 0);
    program_write_file(folder, "script.txt", script.output);
    program_free(&script);
    must(RUN(folder, "run", "script.txt", "file:a-readings.csv?speed=max", "--store", "t.db"));
    must(RUN(folder, "export", "1", "d-readings.csv", "--store", "t.db"));
    same(folder, "d-readings.csv", table);
    free(table);
    program_folder_remove(folder);
}
END_TEST

static void replace(char *text, const char *from, const char *to)
{
    char *at = strstr(text, from);
    ck_assert_ptr_nonnull(at);
    ck_assert_uint_eq(strlen(from), strlen(to));
    for (size_t i = 0; to[i] != '\0'; i++) {
        at[i] = to[i];
    }
}

static const char *in(const char *folder, const char *name)
{
    static char path[512];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    return path;
}

/* A sentence with file, line and word, the exit status, and no store. */
START_TEST(what_is_wrong_is_named_and_nothing_is_written)
{
    static const struct {
        const char *from, *to, *said;
    } wrong[] = {
        {",hold,1,1,1,", ",hxld,1,1,1,", "'hxld'"},
        {",hold,1,1,1,", ",check,,1,1,", "'check'"},
        {",3,hold,1,1,1,", ",5,hold,1,1,1,", "capture 5 stands where 3 should"},
        {"2,0.020008,1,plate,,1,1,meter", "2,0.020008,1,plate,,1,1,nerve", "'nerve'"},
        {",good,", ",fine,", "line "},
    };
    const char *folder = program_folder();
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        char *table = make_table();
        replace(table, wrong[i].from, wrong[i].to);
        program_write_file(folder, "w-readings.csv", table);
        free(table);
        struct program_result result = RUN(folder, "import", "--store", "w.db", "w-readings.csv");
        ck_assert_msg(result.status == 1, "%s: %s", wrong[i].to, result.errors);
        ck_assert_msg(strstr(result.errors, wrong[i].said) != NULL &&
                          strstr(result.errors, "w-readings.csv: line ") != NULL,
                      "%s: %s", wrong[i].to, result.errors);
        program_free(&result);
        ck_assert_int_ne(access(in(folder, "w.db"), F_OK), 0);
    }
    /* What the file has itself can't be said beside it: wrong use. */
    char *table = make_table();
    program_write_file(folder, "w-readings.csv", table);
    free(table);
    struct program_result result =
        RUN(folder, "import", "--store", "w.db", "--setup", "1 \"mine\"", "w-readings.csv");
    ck_assert_int_eq(result.status, 2);
    ck_assert_ptr_nonnull(strstr(result.errors, "--setup"));
    program_free(&result);
    program_folder_remove(folder);
}
END_TEST

/* Written, taken back and written again: what is in a.db, and the demo's. */
static void comes_back(const char *folder, const char *name, const char *store)
{
    char path[512];
    struct program_result result =
        RUN(folder, "export", "last", "a-readings.csv", "--store", store, "--replace");
    ck_assert_msg(result.status == 0, "%s: %s", name, result.errors);
    program_free(&result);
    result = RUN(folder, "import", "a-readings.csv", "--store", "b.db");
    ck_assert_msg(result.status == 0, "%s is not taken back: %s", name, result.errors);
    program_free(&result);
    must(RUN(folder, "export", "last", "b-readings.csv", "--store", "b.db", "--replace"));
    char *written = program_read_file(folder, "a-readings.csv", NULL);
    ck_assert_msg(strlen(written) > 1000, "%s: %s", name, written);
    same(folder, "b-readings.csv", written);
    free(written);
    snprintf(path, sizeof path, "%s/b.db", folder);
    ck_assert_int_eq(unlink(path), 0);
}

/* Recorded streams and scripted sessions that the project has. */
START_TEST(all_recordings_come_back_byte_for_byte)
{
    static const char *const recordings[] = {
        "rough-wire.rig", "setup-1-a.rig",      "setup-1-b.rig",       "setup-1-plate.rig",
        "setup-2-a.rig",  "setup-2-b.rig",      "setup-2-plate.rig",   "steady.rig",
        "wrong-rate.rig", "far-with-codes.csv", "still-one-number.csv"};
    static const char *const scripts[] = {"spacers-out.session", "three-equal.session",
                                          "names-only.session"};
    const char *folder = program_folder();
    char path[1024], store[512];
    for (size_t i = 0; i < sizeof recordings / sizeof recordings[0]; i++) {
        snprintf(path, sizeof path, "%s/sessions/%s", SOURCE_DIR, recordings[i]);
        bool timed = strstr(recordings[i], ".rig") != NULL;
        const char *const option = timed ? "--rider=R-07" : "--rate=20";
        struct program_result result = RUN(folder, "import", option, path, "--store", "a.db");
        ck_assert_msg(result.status == 0, "%s: %s", recordings[i], result.errors);
        program_free(&result);
        comes_back(folder, recordings[i], "a.db");
        snprintf(store, sizeof store, "%s/a.db", folder);
        ck_assert_int_eq(unlink(store), 0);
    }
    for (size_t i = 0; i < sizeof scripts / sizeof scripts[0]; i++) {
        must(RUN(SOURCE_DIR "/sessions", "run", scripts[i], "virtual:winter?speed=max", "--store",
                 store));
        comes_back(folder, scripts[i], "a.db");
        ck_assert_int_eq(unlink(store), 0);
    }
    must(RUN(folder, "demo", "--headless"));
    comes_back(folder, "the demo", "holdline-demo-scripted.db");
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("readings_back");
    TCase *tests = tcase_create("readings_back");
    tcase_set_timeout(tests, 180);
    tcase_add_test(tests, readings_come_back_byte_for_byte);
    tcase_add_test(tests, all_recordings_come_back_byte_for_byte);
    tcase_add_test(tests, what_is_wrong_is_named_and_nothing_is_written);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
