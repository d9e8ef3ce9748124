/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The minimal session (target, two setups of two holds, comparison, a PDF, the end) with every key
 * counted: on a bike that is known, and from nothing. And what an appointment leaves: its files by
 * name, itself to be gone on with, the chosen setup for the next time. */
#include "support/program.h"
#include "support/terminal.h"
#include "support/test_main.h"

#include <glob.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define WAIT_S 60.0
#define KEYS_PREFILLED 26
#define KEYS_BARE 70

static const char *folder;
static struct terminal *screen;
static int keys;

static void must_come(const char *words)
{
    if (!terminal_wait_text(screen, words, WAIT_S)) {
        static char shown[65536];
        terminal_text(screen, shown, sizeof shown);
        ck_abort_msg("'%s' did not come:\n%s", words, shown);
    }
}

/* Each character is a key pressed. */
static void press(const char *text)
{
    terminal_send(screen, text);
    keys += (int)strlen(text);
    terminal_wait_quiet(screen, 0.05, 0.3);
}

static bool start(const char *const *argv)
{
    static char runtime[512];
    snprintf(runtime, sizeof runtime, "XDG_RUNTIME_DIR=%s", folder);
    const char *const environment[] = {runtime, NULL};
    const struct terminal_settings settings = {
        .rows = 24, .columns = 80, .environment = environment};
    screen = terminal_start(&settings, argv);
    keys = 0;
    if (screen == NULL) {
        printf("skipped: no pseudo-terminal here\n");
    }
    return screen != NULL;
}

static void hold(int number)
{
    char words[32];
    press(" ");
    snprintf(words, sizeof words, "HOLD %d, free", number);
    must_come(words);
    must_come(number % 2 == 1 ? "free hold 2 of " : "free hold 3 of ");
}

static void leave(void)
{
    int status = -1;
    press("q");
    must_come("End the session and leave?");
    press("y");
    ck_assert(terminal_wait_end(screen, &status, WAIT_S));
    ck_assert_int_eq(status, 0);
}

/* From the door on: all is known that is asked for there. */
static void minimal_session(bool has_band)
{
    must_come("check the sensors");
    press("\t");
    must_come("warm-up");
    press(" ");
    must_come("take the target");
    press(" ");
    must_come("TARGET");
    if (!has_band) {
        must_come("take the band suggested");
        press(" ");
    }
    must_come("free hold 1 of ");
    hold(1);
    hold(2);
    press("\t");
    must_come("rate this setup");
    press("\t");
    must_come("change a part");
    press(" ");
    must_come("NEXT SETUP");
    press("\t10\r");
    must_come("SETUP 2");
    hold(3);
    hold(4);
    press("c");
    must_come("COMPARISON");
    press("9");
    must_come("EXPORT");
    must_come("goes to /");
    press("\r");
    must_come("written: /");
    leave();
}

static void check_stored(const char *store, const char *file)
{
    struct stat status;
    const char *const arguments[] = {"list", "--json", "--store", store, NULL};
    struct program_result result = program_run(folder, NULL, arguments);
    ck_assert_msg(strstr(result.output, "\"setups\": 2") != NULL, "%s", result.output);
    ck_assert_msg(strstr(result.output, "\"holds\": 4") != NULL, "%s", result.output);
    program_free(&result);
    must_come("Written:");
    must_come(file);
    must_come("Gone on with by");
    char pattern[1024];
    glob_t found;
    snprintf(pattern, sizeof pattern, "%s/%s-20*-sheet.pdf", folder, file);
    ck_assert_int_eq(glob(pattern, 0, NULL, &found), 0); /* the day is today's */
    ck_assert_int_eq(stat(found.gl_pathv[0], &status), 0);
    globfree(&found);
    ck_assert_int_gt(status.st_size, 1000);
}

START_TEST(on_a_bike_that_is_known)
{
    folder = program_folder();
    const char *const argv[] = {program_path(), "demo",  "--speed", "20", "--tones",
                                "off",          "--out", folder,    NULL};
    if (!start(argv)) {
        return;
    }
    minimal_session(true);
    printf("%d keys on a bike that is known\n", keys);
    ck_assert_int_le(keys, KEYS_PREFILLED);
    check_stored("holdline-demo.db", "R-07"); /* where --out says */
    terminal_end(screen);
    program_folder_remove(folder);
}
END_TEST

START_TEST(from_nothing)
{
    folder = program_folder();
    ck_assert_int_eq(chdir(folder), 0);
    const char *const argv[] = {program_path(),
                                "virtual:winter?speed=20&seed=7",
                                "--store",
                                "s.db",
                                "--tones",
                                "off",
                                NULL};
    if (!start(argv)) {
        return;
    }
    must_come("who rides?");
    press(" ");
    must_come("WHO RIDES");
    press("1\r");
    must_come("how many minutes");
    press(" ");
    must_come("MINUTES BOOKED");
    press("\r");
    must_come("min left");
    must_come("the bike's measures");
    press(" ");
    must_come("THE BIKE");
    must_come("needed for heights");
    press("\t");
    must_come("top of the head"); /* the measure is shown from where to where */
    press("545\t410\t73\t20\t100\t-6\r");
    must_come("where is each sensor fixed?");
    press(" ");
    must_come("THE SENSORS");
    press("ba\t110\t40\r");
    must_come("642 mm over");
    press("\t-60\t35\r");
    must_come("HEAD");
    minimal_session(false);
    printf("%d keys from nothing\n", keys);
    ck_assert_int_le(keys, KEYS_BARE);
    check_stored("s.db", "1");
    terminal_end(screen);
    /* over: and gone on with all the same */
    const char *const again[] = {program_path(), "virtual:winter?speed=20&seed=7",
                                 "--store",      "s.db",
                                 "--tones",      "off",
                                 "--resume",     NULL};
    ck_assert(start(again));
    must_come("taken up again where it was");
    must_come("free hold 3 of ");
    leave();
    must_come("Session 1 is in");
    terminal_end(screen);
    const char *const arguments[] = {"replay", "1", "--store", "s.db", NULL};
    struct program_result result = program_run(folder, NULL, arguments);
    ck_assert_msg(result.status == 0, "%s%s", result.output, result.errors);
    program_free(&result);
    ck_assert_int_eq(chdir("/"), 0);
    program_folder_remove(folder);
}
END_TEST

static struct program_result script(const char *text)
{
    const char *const arguments[] = {"run", "a.session", "--store", "s.db", NULL};
    program_write_file(folder, "a.session", text);
    return program_run(folder, NULL, arguments);
}

/* Setup 1 was built last, setup 2 is what the rider went home with. */
START_TEST(next_time_begins_with_the_setup_chosen)
{
    folder = program_folder();
    struct program_result result =
        script("session 2026-01-10T18:00:00Z seed=7\nrider R-07\n"
               "bike \"b\" stack=545 reach=410 head_angle=73 stem_length=100 stem_angle=-6 "
               "spacers=20\nsetup 1 \"as it came\"\nsetup 2 \"lower\" spacers=0\nchoose 2\n"
               "setup 1\nend\n");
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    result = script("session 2026-01-11T18:00:00Z seed=8\ncarry last look\n");
    ck_assert_msg(result.status == 0, "%s", result.errors);
    ck_assert_msg(strstr(result.output, "setup 2") != NULL, "%s", result.output);
    program_free(&result);
    result = script("session 2026-01-11T18:00:00Z seed=9\ncarry last on=1 look\n");
    ck_assert_msg(strstr(result.output, "setup 1") != NULL, "%s", result.output);
    program_free(&result);
    program_folder_remove(folder);
}
END_TEST

/* Six in the evening at Greenwich is three in the morning nine hours east. */
START_TEST(dates_are_the_readers_and_data_is_utc)
{
    folder = program_folder();
    ck_assert_int_eq(setenv("TZ", "EAST-9", 1), 0);
    struct program_result result =
        script("session 2026-01-10T18:00:00Z seed=7\nrider R-07\nnote \"here\"\nend\nexport r.txt\n"
               "export r.json\n");
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    result = program_run(folder, NULL, (const char *const[]){"list", "--store", "s.db", NULL});
    ck_assert_msg(strstr(result.output, "2026-01-11 03:00 EAST") != NULL, "%s", result.output);
    program_free(&result);
    size_t length = 0;
    char *text = program_read_file(folder, "r.txt", &length);
    ck_assert_msg(strstr(text, "2026-01-11 03:00 EAST") != NULL, "%s", text);
    free(text);
    text = program_read_file(folder, "r.json", &length);
    ck_assert_ptr_nonnull(strstr(text, "2026-01-10T18:00:00.000Z"));
    free(text);
    static const struct {
        const char *day;
        bool there;
    } days[] = {{"2026-01-11", true}, {"2026-01-12", false}};
    for (int i = 0; i < 2; i++) {
        result = program_run(
            folder, NULL,
            (const char *const[]){"list", "--since", days[i].day, "--store", "s.db", NULL});
        ck_assert_int_eq(strstr(result.output, "R-07") != NULL, days[i].there);
        program_free(&result);
    }
    ck_assert_int_eq(setenv("TZ", "UTC", 1), 0);
    program_folder_remove(folder);
}
END_TEST

/* The last hour of a day of 25, and the first one behind a day of 23. */
START_TEST(days_are_whole_where_summer_time_ends)
{
    static const struct {
        const char *begun, *option, *day;
        bool there;
    } cases[] = {
        {"2026-10-25T22:30:00Z", NULL, "2026-10-25", true},
        {"2026-10-25T22:30:00Z", "--until", "2026-10-25", true},
        {"2026-10-25T22:30:00Z", "--since", "2026-10-26", false},
        {"2026-03-29T22:30:00Z", NULL, "2026-03-29", false},
        {"2026-03-29T22:30:00Z", NULL, "2026-03-30", true},
        {"2026-03-29T22:30:00Z", "--until", "2026-03-29", false},
    };
    ck_assert_int_eq(setenv("TZ", "CET-1CEST,M3.5.0,M10.5.0/3", 1), 0);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const char *const show[] = {"show", cases[i].day, "--store", "s.db", NULL};
        const char *const list[] = {"list", cases[i].option, cases[i].day, "--store", "s.db", NULL};
        char text[200];
        folder = program_folder();
        snprintf(text, sizeof text, "session %s seed=7\nrider R-07\nnote \"here\"\nend\n",
                 cases[i].begun);
        struct program_result result = script(text);
        ck_assert_msg(result.status == 0, "%s", result.errors);
        program_free(&result);
        result = program_run(folder, NULL, cases[i].option != NULL ? list : show);
        ck_assert_msg((strstr(result.output, "R-07") != NULL) == cases[i].there, "%zu: %s", i,
                      result.output);
        program_free(&result);
        program_folder_remove(folder);
    }
    ck_assert_int_eq(setenv("TZ", "UTC", 1), 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("door to door");
    TCase *tests = tcase_create("door");
    tcase_set_timeout(tests, 240);
    tcase_add_test(tests, on_a_bike_that_is_known);
    tcase_add_test(tests, from_nothing);
    tcase_add_test(tests, next_time_begins_with_the_setup_chosen);
    tcase_add_test(tests, dates_are_the_readers_and_data_is_utc);
    tcase_add_test(tests, days_are_whole_where_summer_time_ends);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
