/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Scripts through the real program: the whole way from a stream to a comparison. */

#include "base/clock.h"
#include "support/program.h"
#include "support/test_main.h"
#include "support/turned_stream.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* Spacers 20 mm out under a rider whose head follows by half of what the pads fall (19.1 mm): 9.6
 * lower. */
static const char spacers_script[] =
    "session 2026-01-10T18:00:00Z seed=7\n"
    "rider R-02 \"winter group\"\n"
    "bike \"training bike\" stack=545 reach=410 head_angle=73 spacers=20 "
    "stem_length=100 stem_angle=-6 pad_rise=60 pad_fore_aft=-20\n"
    "sensor head carrier=base_bar x=110 y=40 mark=\"chin strap\"\n"
    "sensor chest carrier=base_bar x=-60 y=35 mark=\"chest strap\"\n"
    "matters head=3 chest=3\n"
    "setup 1 \"as it came\"\n"
    "target\n"
    "band head=+12/-20 chest=+10/none\n"
    "hold 60s free\nhold 60s free\nhold 60s free\nhold 60s guided\n"
    "rating effort=4 neck=2 sees_ahead=yes\n"
    "setup 2 \"spacers out\" spacers=0\n"
    "hold 60s free\nhold 60s free\nhold 60s free\n"
    "rating effort=5 neck=3 sees_ahead=no\n"
    "setup 1\n"
    "hold 60s free\nhold 60s free\n"
    "reject 2 \"slid on the saddle\"\n"
    "note \"a note, with \\\"quotes\\\"\"\n"
    "compare\n"
    "end\n";
#define STEADY_RIG "virtual:steady?speed=max&seed=11"

static struct program_result run_script(const char *folder, const char *script, const char *rig,
                                        const char *store)
{
    program_write_file(folder, "session.txt", script);
    const char *const arguments[] = {"run", "session.txt", rig, "--store", store, NULL};
    const char *const without_rig[] = {"run", "session.txt", "--store", store, NULL};
    return program_run(folder, NULL, rig != NULL ? arguments : without_rig);
}

static void must(struct program_result result)
{
    ck_assert_msg(result.status == 0, "exit status %d: %s", result.status, result.errors);
    program_free(&result);
}

START_TEST(a_lower_bar_is_called_lower)
{
    const char *folder = program_folder();
    struct program_result result = run_script(folder, spacers_script, STEADY_RIG, "s.db");
    ck_assert_msg(result.status == 0, "%s", result.errors);
    ck_assert_msg(strstr(result.output, "lower by") != NULL, "%s", result.output);
    ck_assert_msg(strstr(result.output, "higher") == NULL, "%s", result.output);
    program_free(&result);
    program_folder_remove(folder);
}
END_TEST

START_TEST(a_replay_exports_the_same_bytes)
{
    static const char *const kinds[] = {"json", "csv", "txt"};
    const char *folder = program_folder();
    must(run_script(folder, spacers_script, STEADY_RIG, "s.db"));
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        char first[32], second[32];
        size_t first_length = 0, second_length = 0;
        snprintf(first, sizeof first, "a.%s", kinds[i]);
        snprintf(second, sizeof second, "b.%s", kinds[i]);
        must(program_run(folder, NULL,
                         (const char *const[]){"export", "last", first, "--store", "s.db", NULL}));
        must(program_run(
            folder, NULL,
            (const char *const[]){"replay", "last", "--export", second, "--store", "s.db", NULL}));
        char *a = program_read_file(folder, first, &first_length);
        char *b = program_read_file(folder, second, &second_length);
        ck_assert_uint_gt(first_length, 500);
        ck_assert_uint_eq(first_length, second_length);
        ck_assert_mem_eq(a, b, first_length);
        free(a);
        free(b);
    }
    program_folder_remove(folder);
}
END_TEST

START_TEST(the_same_script_gives_the_same_export)
{
    const char *folder = program_folder();
    size_t first_length = 0, second_length = 0;
    must(run_script(folder, spacers_script, STEADY_RIG, "one.db"));
    must(run_script(folder, spacers_script, STEADY_RIG, "two.db"));
    must(program_run(folder, NULL,
                     (const char *const[]){"export", "last", "1.json", "--store", "one.db", NULL}));
    must(program_run(folder, NULL,
                     (const char *const[]){"export", "last", "2.json", "--store", "two.db", NULL}));
    char *a = program_read_file(folder, "1.json", &first_length);
    char *b = program_read_file(folder, "2.json", &second_length);
    ck_assert_uint_eq(first_length, second_length);
    ck_assert_mem_eq(a, b, first_length);
    free(a);
    free(b);
    program_folder_remove(folder);
}
END_TEST

/* At its own pace the script takes minutes: the store's word comes with the first sample. */
START_TEST(a_session_that_is_stored_already_is_told_at_once)
{
    static const char script[] = "session 2026-01-10T18:00:00Z seed=7\nhold 60s free\n";
    const char *folder = program_folder();
    must(run_script(folder, script, STEADY_RIG, "s.db"));
    int64_t begun_us = clock_monotonic_us();
    struct program_result result = run_script(folder, script, "virtual:steady?seed=11", "s.db");
    ck_assert_int_eq(result.status, 1);
    ck_assert_msg(strstr(result.errors, "session.txt:2") != NULL &&
                      strstr(result.errors, "in s.db already") != NULL,
                  "%s", result.errors);
    ck_assert_int_lt(clock_monotonic_us() - begun_us, 10000000);
    program_free(&result);
    program_folder_remove(folder);
}
END_TEST

START_TEST(an_error_names_the_line_and_the_word)
{
    static const struct {
        const char *script, *part;
    } cases[] = {
        {"session 2026-01-10T18:00:00Z seed=7\nfly 60s\n",
         "session.txt:2: there is no command 'fly'"},
        {"setup 1 \"a\"\nhodl 60s\n", "session.txt:2: there is no command 'hodl'"},
        {"setup 1 \"a\"\nsession 2026-01-10T18:00:00Z\n", "session.txt:2: session: it stands in"},
        {"session yesterday\n", "session.txt:1"},
        {"session 2026-01-10T18:00:00Z seed=x\n", "'x'"},
        {"setup 1 \"a\"\nsetup 2 \"b\" spacers=-3\n", "session.txt:2: "},
        {"setup 1 \"a\nhold 60s\n", "session.txt:1: "},
        {"hold 60s free\n", "needs readings"},
        {"hold 60s free from=missing.rig\n", "missing.rig"},
        {"export sheet.xyz\n", "sheet.xyz"},
        {"", "empty script"},
    };
    const char *folder = program_folder();
    char store[600];
    snprintf(store, sizeof store, "%s/s.db", folder);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct program_result result = run_script(folder, cases[i].script, NULL, "s.db");
        /* a word that nothing knows is found before anything is recorded */
        ck_assert_msg(i > 2 || access(store, F_OK) != 0, "'%s' is stored", cases[i].script);
        ck_assert_msg(result.status == 1, "'%s': exit status %d", cases[i].script, result.status);
        ck_assert_msg(strstr(result.errors, cases[i].part) != NULL, "'%s': %s", cases[i].script,
                      result.errors);
        program_free(&result);
    }
    struct program_result usage = program_run(folder, NULL, (const char *const[]){"run", NULL});
    ck_assert_int_eq(usage.status, 2);
    program_free(&usage);
    program_folder_remove(folder);
}
END_TEST

/* A rig goes at its own pace unless it is told otherwise, as the help has it. */
START_TEST(a_rig_goes_at_its_own_pace)
{
    const char *folder = program_folder();
    int64_t before_us = clock_monotonic_us();
    must(run_script(folder, "setup 1 \"a\"\nwait 2s\nend\n", "virtual:steady?seed=2", "s.db"));
    ck_assert_int_gt(clock_monotonic_us() - before_us, 1800000);
    must(run_script(folder, "setup 1 \"a\"\nwait 1000s\nend\n", /* longer than tests may take */
                    "virtual:steady?seed=2&speed=max", "s.db"));
    struct program_result help =
        program_run(folder, NULL, (const char *const[]){"run", "--help", NULL});
    ck_assert_ptr_nonnull(strstr(help.output, "on a rig at its own pace"));
    ck_assert_ptr_nonnull(strstr(help.output, "?speed=max"));
    program_free(&help);
    program_folder_remove(folder);
}
END_TEST

/* The steps of a check with pause=key begin where the script says so; one that never does is told.
 */
START_TEST(a_check_waits_for_the_scripts_next_lines)
{
    static const char waiting[] = "sensor head carrier=base_bar x=110 y=40\n"
                                  "setup 1 \"a\"\n"
                                  "check step head block=25 5s pause=key\n"
                                  "wait 3s\ncheck go\nwait 1s\n";
    char whole[512];
    snprintf(whole, sizeof whole, "%scheck go\nend\n", waiting);
    const char *folder = program_folder();
    struct program_result result = run_script(folder, waiting, STEADY_RIG, "s.db");
    ck_assert_int_eq(result.status, 1);
    ck_assert_msg(strstr(result.errors, "ends while a check waits for 'check go'") != NULL, "%s",
                  result.errors);
    program_free(&result);
    result = run_script(folder, whole, STEADY_RIG, "t.db");
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    const char *const show[] = {"show", "last", "--store", "t.db", NULL};
    result = program_run(folder, NULL, show);
    ck_assert_msg(strstr(result.output, "passed") != NULL, "%s", result.output);
    program_free(&result);
    program_folder_remove(folder);
}
END_TEST

START_TEST(an_export_never_overwrites_unless_told)
{
    const char *folder = program_folder();
    must(run_script(folder, spacers_script, STEADY_RIG, "s.db"));
    program_write_file(folder, "mine.csv", "precious");
    struct program_result result = program_run(
        folder, NULL, (const char *const[]){"export", "last", "mine.csv", "--store", "s.db", NULL});
    ck_assert_int_eq(result.status, 1);
    ck_assert_msg(strstr(result.errors, "mine.csv") != NULL, "%s", result.errors);
    program_free(&result);
    char *text = program_read_file(folder, "mine.csv", NULL);
    ck_assert_str_eq(text, "precious");
    free(text);
    program_folder_remove(folder);
}
END_TEST

/* Takes the log, and when each plate reading was entered, out of an export. */
static void strip_log(char *json)
{
    char *log = strstr(json, "\"commands\":");
    ck_assert_ptr_nonnull(log);
    *log = '\0';
    for (char *at = json; (at = strstr(at, "\"at_sample\":")) != NULL;) {
        char *end = strchr(at, '\n');
        memmove(at, end, strlen(end) + 1);
    }
}

START_TEST(late_plate_readings_end_the_same)
{
    static const char head[] =
        "session 2026-01-10T18:00:00Z seed=7\n"
        "bike \"b\" stack=545 reach=410 head_angle=73 spacers=20 stem_length=100 "
        "stem_angle=-6 pad_rise=60\n"
        "sensor head carrier=base_bar x=110 y=40\n"
        "sensor chest carrier=base_bar x=-60 y=35\n"
        "wait 1s\n";
    static const char plate_1[] = "plate head=290 chest=296 setup=1 build=1\n";
    static const char plate_2[] = "plate head=306.5 chest=312.5 setup=2 build=1\n";
    static const char first[] = "hold 60s free\nhold 60s free\nsetup 2 \"spacers out\" spacers=0\n";
    static const char second[] = "hold 60s free\nhold 60s free\n";
    const char *folder = program_folder();
    for (int late = 0; late < 2; late++) {
        char script[4096];
        snprintf(script, sizeof script, "%s%s%s%s%s%s%send\n", head, late ? "" : plate_1, first,
                 late ? "" : plate_2, second, late ? plate_1 : "", late ? plate_2 : "");
        must(run_script(folder, script, STEADY_RIG, late ? "late.db" : "early.db"));
        must(program_run(folder, NULL,
                         (const char *const[]){"export", "last", late ? "late.json" : "early.json",
                                               "--store", late ? "late.db" : "early.db", NULL}));
    }
    char *early = program_read_file(folder, "early.json", NULL);
    char *late = program_read_file(folder, "late.json", NULL);
    ck_assert_ptr_nonnull(strstr(early, "306.5"));
    strip_log(early);
    strip_log(late);
    ck_assert_msg(strcmp(early, late) == 0, "the exports differ: see %s", folder);
    free(early);
    free(late);
    program_folder_remove(folder);
}
END_TEST

START_TEST(what_is_changed_after_holds_is_pointed_out)
{
    const char *folder = program_folder();
    struct program_result result = run_script(
        folder,
        "session 2026-01-10T18:00:00Z seed=7\nbike \"b\" stack=545 reach=410 head_angle=73 "
        "spacers=20\n"
        "matters head=8\nhold 30s free\nmatters head=5\ncorrect 1 spacers=15\ncompare\nend\n",
        STEADY_RIG, "s.db");
    ck_assert_int_eq(result.status, 1); /* there is no channel yet at the first 'matters' */
    program_free(&result);
    result = run_script(
        folder,
        "session 2026-01-10T18:00:00Z seed=8\nbike \"b\" stack=545 reach=410 head_angle=73 "
        "spacers=20\n"
        "sensor head carrier=base_bar x=110 y=40\nsensor chest carrier=base_bar x=-60 y=35\n"
        "matters head=8\nhold 30s free\nmatters head=5\ncorrect 1 spacers=15\n"
        "known 2 \"lower\" spacers=0\nbelongs 2\ncompare\nend\n",
        STEADY_RIG, "s.db");
    ck_assert_msg(result.status == 0, "%s", result.errors);
    ck_assert_msg(strstr(result.output, "What matters was changed after hold 1") != NULL, "%s",
                  result.output);
    ck_assert_msg(strstr(result.output, "corrected after hold 1") != NULL, "%s", result.output);
    ck_assert_msg(strstr(result.output, "given to another setup after hold 1") != NULL, "%s",
                  result.output);
    ck_assert_msg(strstr(result.output, "head=8") == NULL, "%s", result.output);
    program_free(&result);
    program_folder_remove(folder);
}
END_TEST

START_TEST(holds_may_come_from_recorded_streams)
{
    const char *folder = program_folder();
    /* 30 s at 50 samples/s of plain numbers, one a line: 400 and 390 mm with a small wave */
    for (int file = 0; file < 2; file++) {
        static char text[1500 * 16];
        size_t used = 0;
        for (int i = 0; i < 1500; i++) {
            used += (size_t)snprintf(text + used, sizeof text - used, "%d\n",
                                     (file == 0 ? 400 : 390) + (i * 7 % 5) - 2);
        }
        program_write_file(folder, file == 0 ? "a.txt" : "b.txt", text);
    }
    struct program_result result = run_script(folder,
                                              "session 2026-01-10T18:00:00Z seed=1\n"
                                              "sensor head carrier=stand x=0 y=500\n"
                                              "setup 1 \"as it came\"\n"
                                              "hold 25s free settle=0s from=a.txt rate=50\n"
                                              "hold 25s free settle=0s from=a.txt rate=50\n"
                                              "setup 2 \"pads down\" pad_rise=40\n"
                                              "hold 25s free settle=0s from=b.txt rate=50\n"
                                              "hold 25s free settle=0s from=b.txt rate=50\n"
                                              "compare\n",
                                              NULL, "s.db");
    ck_assert_msg(result.status == 0, "%s", result.errors);
    ck_assert_msg(strstr(result.errors, " 4 holds") != NULL, "%s", result.errors);
    ck_assert_msg(strstr(result.output, "10") != NULL, "%s", result.output);
    program_free(&result);
    program_folder_remove(folder);
}
END_TEST

/* 12 s of two columns at 50 a second, about a_mm and b_mm, under a heading where there is one. */
static void write_table(const char *folder, const char *name, const char *heading, double a_mm,
                        double b_mm)
{
    static char text[600 * 40];
    size_t used = (size_t)snprintf(text, sizeof text, "%s", heading);
    for (int i = 0; i < 600; i++) {
        used += (size_t)snprintf(text + used, sizeof text - used, "%.2f,%.1f,%.1f\n", 0.02 * i,
                                 a_mm + i % 3, b_mm + i % 2);
    }
    program_write_file(folder, name, text);
}

static void write_pieces(const char *folder)
{
    write_table(folder, "named.csv", "time_s,head_mm,chest_mm\n", 400.0, 300.0);
    write_table(folder, "turned.csv", "time_s,chest_mm,head_mm\n", 300.0, 400.0);
    write_table(folder, "bare.csv", "", 400.0, 300.0);
    write_table(folder, "bare-turned.csv", "", 300.0, 400.0);
    write_table(folder, "others.csv", "time_s,head_mm,hip_mm\n", 400.0, 300.0);
}

#define HOLD_OF(file) "hold 10s free settle=0s from=" file "\n"

/* Columns are the session's sensors by their names, in whatever order they stand; a piece without a
 * heading goes on as the one before it. */
START_TEST(columns_are_sensors_by_their_names)
{
    static const char *const scripts[] = {
        HOLD_OF("named.csv") HOLD_OF("turned.csv") HOLD_OF("bare-turned.csv") HOLD_OF("named.csv")
            HOLD_OF("bare.csv"),
        HOLD_OF("turned.csv") HOLD_OF("bare-turned.csv") HOLD_OF("named.csv") HOLD_OF("bare.csv"),
        "rig bench-a rate=50 channels=chest,head\n" HOLD_OF("named.csv") HOLD_OF("turned.csv"),
        "sensor head carrier=stand x=0 y=500\nsensor chest carrier=stand x=-90 y=500\n" HOLD_OF(
            "turned.csv") HOLD_OF("named.csv"),
    };
    const char *folder = program_folder();
    write_pieces(folder);
    for (size_t i = 0; i < sizeof scripts / sizeof scripts[0]; i++) {
        char script[1000];
        snprintf(script, sizeof script, "setup 1 \"a\"\n%sexport r%zu-readings.csv\nend\n",
                 scripts[i], i);
        struct program_result result = run_script(folder, script, NULL, "s.db");
        ck_assert_msg(result.status == 0, "%zu: %s", i, result.errors);
        program_free(&result);
        char name[40];
        snprintf(name, sizeof name, "r%zu-readings.csv", i);
        char *readings = program_read_file(folder, name, NULL);
        int rows = 0;
        for (const char *at = readings; (at = strstr(at, ",head,4")) != NULL; at++) {
            rows++;
        }
        ck_assert_msg(rows >= 500 && strstr(readings, ",head,3") == NULL &&
                          strstr(readings, ",chest,4") == NULL,
                      "%zu: %d rows", i, rows);
        free(readings);
    }
    program_folder_remove(folder);
}
END_TEST

/* A board that starts anew with its channels in another order says so in its heading. */
START_TEST(a_stream_that_names_other_channels_on_its_way)
{
    static const char *const later[] = {"chest,head", "head,hip", "head,chest"};
    const char *folder = program_folder();
    for (size_t i = 0; i < sizeof later / sizeof later[0]; i++) {
        turned_stream_write(folder, "turned.rig", later[i]);
        struct program_result result = run_script(
            folder, "setup 1 \"a\"\nhold 18s free settle=0s from=turned.rig\nend\n", NULL, "s.db");
        ck_assert_msg((result.status == 0) == (i == 2), "%s: %s", later[i], result.errors);
        ck_assert_msg(i == 2 || strstr(result.errors, "from here on than it had before (head, "
                                                      "chest)") != NULL,
                      "%s", result.errors);
        program_free(&result);
    }
    program_folder_remove(folder);
}
END_TEST

START_TEST(columns_that_are_not_the_sensors_are_refused)
{
    static const struct {
        const char *script, *said;
    } rows[] = {
        {"rig bench-a rate=50 channels=head,chest\n" HOLD_OF("bare.csv"),
         "bare.csv?speed=max' comes without its heading: nothing says which of its channels (ch1, "
         "ch2) are this session's sensors (head, chest). Put the heading's line back"},
        {HOLD_OF("named.csv") HOLD_OF("others.csv"),
         "others.csv?speed=max' has other channels (head, hip) than this session's sensors (head, "
         "chest). Say which of its columns they are: columns="},
        {HOLD_OF("named.csv") HOLD_OF("bare.csv columns=head=2"), "has other channels (head) than"},
    };
    const char *folder = program_folder();
    write_pieces(folder);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char script[1000];
        snprintf(script, sizeof script, "setup 1 \"a\"\n%send\n", rows[i].script);
        struct program_result result = run_script(folder, script, NULL, "s.db");
        ck_assert_msg(result.status == 1 && strstr(result.errors, rows[i].said) != NULL, "%zu: %s",
                      i, result.errors);
        program_free(&result);
    }
    must(run_script(folder,
                    "setup 1 \"a\"\n" HOLD_OF("named.csv")
                        HOLD_OF("others.csv columns=head=2,chest=3") "end\n",
                    NULL, "s.db"));
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("scripts");
    TCase *tests = tcase_create("run");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, a_lower_bar_is_called_lower);
    tcase_add_test(tests, a_replay_exports_the_same_bytes);
    tcase_add_test(tests, the_same_script_gives_the_same_export);
    tcase_add_test(tests, an_error_names_the_line_and_the_word);
    tcase_add_test(tests, a_rig_goes_at_its_own_pace);
    tcase_add_test(tests, a_check_waits_for_the_scripts_next_lines);
    tcase_add_test(tests, a_session_that_is_stored_already_is_told_at_once);
    tcase_add_test(tests, an_export_never_overwrites_unless_told);
    tcase_add_test(tests, late_plate_readings_end_the_same);
    tcase_add_test(tests, what_is_changed_after_holds_is_pointed_out);
    tcase_add_test(tests, holds_may_come_from_recorded_streams);
    tcase_add_test(tests, columns_are_sensors_by_their_names);
    tcase_add_test(tests, columns_that_are_not_the_sensors_are_refused);
    tcase_add_test(tests, a_stream_that_names_other_channels_on_its_way);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
