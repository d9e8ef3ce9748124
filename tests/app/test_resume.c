/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A live session that is killed, and gone on with. */

#include "app/session_clock.h"
#include "base/clock.h"
#include "base/uuid.h"
#include "store/store.h"
#include "support/program.h"
#include "support/terminal.h"
#include "support/test_main.h"
#include "support/turned_stream.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define WAIT_S 20.0

static struct terminal *start_live(const char *folder, const char *how)
{
    static char store[512];
    snprintf(store, sizeof store, "%s/s.db", folder);
    const char *const arguments[] = {
        program_path(), "live", "virtual:steady?speed=20&seed=5", "--store", store, how, NULL};
    const struct terminal_settings settings = {.rows = 24, .columns = 80, .keep_bytes = true};
    return terminal_start(&settings, arguments);
}

/* At any time since the start, in one piece. */
static bool was_shown(const struct terminal *terminal, const char *words)
{
    size_t length = 0, wanted = strlen(words);
    const char *bytes = terminal_kept(terminal, &length);
    bool found = false;
    for (size_t at = 0; at + wanted <= length && !found; at++) {
        found = memcmp(bytes + at, words, wanted) == 0;
    }
    return found;
}

/* What the store has of the latest session. */
static void load(const char *folder, struct session_record *record)
{
    char path[512];
    struct problem problem = {0};
    int64_t id = 0;
    snprintf(path, sizeof path, "%s/s.db", folder);
    struct store *store = store_open(path, STORE_READ, &problem);
    ck_assert_msg(store != NULL, "%s", problem.sentence);
    ck_assert_msg(store_find_session(store, "last", &id, &problem), "%s", problem.sentence);
    ck_assert_msg(store_load(store, id, record, &problem), "%s", problem.sentence);
    store_close(store);
}

/* As a session leaves it whose disk was full (app/recorder.h). */
static void save_beside(const char *folder, const struct session_record *record)
{
    char name[600], day[CLOCK_TEXT_SIZE], uuid[UUID_TEXT_SIZE];
    clock_wall_text(day, record->started_ms);
    uuid_text(uuid, &record->uuid);
    snprintf(name, sizeof name, "%s/s.db.unsaved-%.10s.rig", folder, day);
    FILE *file = fopen(name, "w");
    ck_assert_ptr_nonnull(file);
    fprintf(file, "# holdline-rig 1 id=virtual rate=50 unit=mm channels=head,chest\n# session %s\n",
            uuid);
    ck_assert_int_eq(fclose(file), 0);
}

START_TEST(a_killed_session_goes_on_where_it_was)
{
    const char *folder = program_folder();
    struct terminal *terminal = start_live(folder, "--new");
    if (terminal == NULL) {
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    struct session_record *before = malloc(sizeof *before), *after = malloc(sizeof *after);
    ck_assert(before != NULL && after != NULL);
    ck_assert(terminal_wait_text(terminal, "HEAD", WAIT_S));
    terminal_send(terminal, "1R-03\twinter group\r");
    terminal_pump(terminal, 0.3);
    terminal_send(terminal,
                  "f\r"); /* 5 s to settle and 60 s to hold: 3.25 s at 20 times real time */
    terminal_pump(terminal, 4.5);
    terminal_send(terminal, "f\r");
    terminal_pump(terminal, 1.5); /* in the middle of hold 2 */
    ck_assert_int_eq(kill(terminal_process(terminal), SIGKILL), 0);
    int status = 0;
    ck_assert(terminal_wait_end(terminal, &status, WAIT_S));
    terminal_end(terminal);

    load(folder, before);
    ck_assert(!before->ended);
    ck_assert_int_eq(before->hold_count, 2);
    ck_assert_int_eq(before->hold[0].status, HOLD_COMPLETE);
    ck_assert_int_eq(before->hold[1].status, HOLD_RUNNING);
    /* at 20 times real time the 250 ms that may be lost are 5 s of the rig's */
    ck_assert_int_gt(before->last_sample, before->capture[1].first_sample + 10 * 50);

    save_beside(folder, before);
    terminal = start_live(folder, NULL);
    ck_assert_ptr_nonnull(terminal);
    ck_assert(terminal_wait_text(terminal, "Samples of that session are not in it", WAIT_S));
    ck_assert(terminal_wait_text(terminal, "Go on with it where it was?", WAIT_S));
    terminal_end(terminal);

    terminal = start_live(folder, "--resume");
    ck_assert_ptr_nonnull(terminal);
    ck_assert(terminal_wait_text(terminal, "R-03", WAIT_S));
    ck_assert(terminal_wait_text(terminal, "taken up again", WAIT_S));
    ck_assert(was_shown(terminal, "Samples of that session are not in it: 'holdline import "));
    ck_assert(was_shown(terminal, "taking the session up again ..."));
    ck_assert(!was_shown(terminal, "No sensor is heard yet")); /* as of a new session */
    terminal_pump(terminal, 0.3);
    terminal_send(terminal, "f\r");
    terminal_pump(terminal, 4.5);
    terminal_send(terminal, "qy");
    ck_assert(terminal_wait_end(terminal, &status, WAIT_S));
    ck_assert_int_eq(status, 0);
    terminal_end(terminal);

    load(folder, after);
    ck_assert(after->ended);
    ck_assert_int_eq(after->hold_count, 3);
    ck_assert_mem_eq(&after->uuid, &before->uuid, sizeof after->uuid);
    ck_assert_int_eq(after->hold[1].status, HOLD_CUT_SHORT);
    ck_assert_int_eq(after->hold[2].status, HOLD_COMPLETE);
    ck_assert_int_ge(after->capture[1].last_sample, before->last_sample);
    ck_assert_int_gt(after->capture[2].first_sample, after->capture[1].last_sample);

    /* and its replay is the same, whatever happened on the way */
    struct program_result result = program_run(
        folder, NULL, (const char *const[]){"export", "last", "a.json", "--store", "s.db", NULL});
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    result = program_run(
        folder, NULL,
        (const char *const[]){"replay", "last", "--export", "b.json", "--store", "s.db", NULL});
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    char *a = program_read_file(folder, "a.json", NULL),
         *b = program_read_file(folder, "b.json", NULL);
    ck_assert_msg(strcmp(a, b) == 0, "the replay exports something else: see %s", folder);
    free(a);
    free(b);
    free(before);
    free(after);
    program_folder_remove(folder);
}
END_TEST

static void kill_live(struct terminal *terminal)
{
    int status = 0;
    ck_assert_int_eq(kill(terminal_process(terminal), SIGKILL), 0);
    ck_assert(terminal_wait_end(terminal, &status, WAIT_S));
    terminal_end(terminal);
}

/* Gone on with by another rig, or with two cables exchanged in its program: nothing of it is taken
 * for what it is not. */
START_TEST(other_channels_are_no_readings_of_the_session)
{
    static const char *const others[] = {"chest/head", "head/hip", "head/chest/ref"};
    const char *folder = program_folder();
    struct terminal *terminal = start_live(folder, "--new");
    if (terminal == NULL) {
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    struct session_record *before = malloc(sizeof *before), *after = malloc(sizeof *after);
    ck_assert(before != NULL && after != NULL);
    ck_assert(terminal_wait_text(terminal, "HEAD", WAIT_S));
    terminal_pump(terminal, 1.0);
    kill_live(terminal);
    load(folder, before);
    ck_assert_int_gt(before->last_sample, 0);
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        char rig[100], store[512];
        snprintf(rig, sizeof rig, "virtual:steady?speed=20&seed=5&channels=%s", others[i]);
        snprintf(store, sizeof store, "%s/s.db", folder);
        const char *const arguments[] = {program_path(), "live",     rig, "--store",
                                         store,          "--resume", NULL};
        const struct terminal_settings settings = {.rows = 24, .columns = 120};
        terminal = terminal_start(&settings, arguments);
        ck_assert_ptr_nonnull(terminal);
        ck_assert(terminal_wait_text(terminal, "has other channels (", WAIT_S));
        ck_assert(terminal_wait_text(terminal, "NO READING", WAIT_S));
        terminal_pump(terminal, 1.0);
        kill_live(terminal);
        load(folder, after);
        ck_assert_int_eq(after->last_sample, before->last_sample);
    }
    free(before);
    free(after);
    program_folder_remove(folder);
}
END_TEST

/* A board that starts anew with its channels in another order, in mid-session. */
START_TEST(channels_that_change_are_no_readings_of_the_session)
{
    const char *folder = program_folder();
    char rig[512], store[512];
    snprintf(rig, sizeof rig, "file:%s/turned.rig?speed=10", folder);
    snprintf(store, sizeof store, "%s/s.db", folder);
    turned_stream_write(folder, "turned.rig", "chest,head");
    const char *const arguments[] = {program_path(), "live", rig, "--store", store, "--new", NULL};
    const struct terminal_settings settings = {.rows = 24, .columns = 120};
    struct terminal *terminal = terminal_start(&settings, arguments);
    if (terminal == NULL) {
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    struct session_record *record = malloc(sizeof *record);
    ck_assert_ptr_nonnull(record);
    ck_assert(
        terminal_wait_text(terminal, "has other channels (chest, head) from here on", WAIT_S));
    terminal_pump(terminal, 1.0);
    kill_live(terminal);
    load(folder, record);
    ck_assert_int_gt(record->last_sample, 0);
    ck_assert_int_le(record->last_sample, TURNED_AT);
    free(record);
    program_folder_remove(folder);
}
END_TEST

START_TEST(a_closed_terminal_ends_the_hold_and_keeps_the_session)
{
    const char *folder = program_folder();
    struct terminal *terminal = start_live(folder, "--new");
    if (terminal == NULL) {
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    struct session_record *record = malloc(sizeof *record);
    ck_assert_ptr_nonnull(record);
    ck_assert(terminal_wait_text(terminal, "HEAD", WAIT_S));
    terminal_pump(terminal, 0.3);
    terminal_send(terminal, "f\r");
    terminal_pump(terminal, 1.5);
    terminal_hang_up(terminal);
    int status = 0;
    ck_assert(terminal_wait_end(terminal, &status, WAIT_S));
    terminal_end(terminal);
    load(folder, record);
    ck_assert(!record->ended);
    ck_assert_int_eq(record->hold_count, 1);
    ck_assert_int_eq(record->hold[0].status, HOLD_STOPPED);
    ck_assert_int_eq(record->capture[0].last_sample, record->last_sample);
    free(record);
    program_folder_remove(folder);
}
END_TEST

/* Two sessions, of which the first was cut short: what is printed behind the second takes up the
 * second. */
START_TEST(the_command_that_is_printed_takes_up_its_own_session)
{
    const char *folder = program_folder();
    struct terminal *terminal = start_live(folder, "--new");
    char text[4096];
    int status = 0;
    if (terminal == NULL) {
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    ck_assert(terminal_wait_text(terminal, "HEAD", WAIT_S));
    terminal_send(terminal, "1R-03\r");
    ck_assert(terminal_wait_text(terminal, "HOLDLINE  R-03", WAIT_S));
    terminal_pump(terminal, 0.5); /* until it is stored */
    kill_live(terminal);
    terminal = start_live(folder, "--new");
    ck_assert(terminal_wait_text(terminal, "HEAD", WAIT_S));
    terminal_send(terminal, "1R-04\r");
    ck_assert(terminal_wait_text(terminal, "HOLDLINE  R-04", WAIT_S));
    terminal_send(terminal, "qy");
    ck_assert(terminal_wait_end(terminal, &status, WAIT_S));
    terminal_text(terminal, text, sizeof text);
    terminal_end(terminal);
    static const char by[] =
        "Gone on with by: holdline 'virtual:steady?speed=20&seed=5' --resume=2";
    ck_assert_msg(strstr(text, by) != NULL && strstr(text, "--store ") != NULL, "%s", text);
    for (int i = 0; i < 2; i++) { /* named, and not: then it is the one that was cut short */
        terminal = start_live(folder, i == 0 ? "--resume=2" : "--resume");
        ck_assert(
            terminal_wait_text(terminal, i == 0 ? "HOLDLINE  R-04" : "HOLDLINE  R-03", WAIT_S));
        terminal_send(terminal, "qy");
        ck_assert(terminal_wait_end(terminal, &status, WAIT_S));
        terminal_end(terminal);
    }
    program_folder_remove(folder);
}
END_TEST

/* The clock of a computer whose battery is flat says 1970 until it is set. */
START_TEST(a_clock_that_was_set_meanwhile)
{
    const char *folder = program_folder();
    static struct session_record record;
    int status = 0;
    struct terminal *terminal = start_live(folder, "--origin=1970-01-01T00:10:00Z");
    if (terminal == NULL) {
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    ck_assert(terminal_wait_text(terminal, "HEAD", WAIT_S));
    terminal_send(terminal, "1R-03\r");
    ck_assert(terminal_wait_text(terminal, "HOLDLINE  R-03", WAIT_S));
    terminal_pump(terminal, 0.5); /* until it is stored */
    kill_live(terminal);
    load(folder, &record);
    int64_t before_us = record.last_time_us, before = record.last_sample;
    terminal = start_live(folder, "--resume");
    ck_assert(terminal_wait_text(terminal, "set meanwhile. The session", WAIT_S));
    terminal_pump(terminal, 1.0);
    terminal_send(terminal, "qy");
    ck_assert(terminal_wait_end(terminal, &status, WAIT_S));
    terminal_end(terminal);
    load(folder, &record);
    ck_assert_int_gt(record.last_sample, before);
    ck_assert_int_gt(record.last_time_us, before_us);
    ck_assert_int_lt(record.last_time_us, before_us + INT64_C(1200000000)); /* at 20 times */
    program_folder_remove(folder);
}
END_TEST

START_TEST(what_a_session_stood_still)
{
    const int64_t started_ms = INT64_C(1768068000000), minute_us = INT64_C(60000000);
    const struct {
        int64_t after_ms, time_us; /* after the start; where the session is then */
        bool went_on;
    } cases[] = {
        {90000, 90000000, true},                           /* half a minute later */
        {30000, minute_us, true},                          /* set back: it goes on */
        {-CLOCK_DAY_MS, minute_us, true},                  /* likewise */
        {7 * CLOCK_DAY_MS, 7 * CLOCK_DAY_MS * 1000, true}, /* a week at most */
        {7 * CLOCK_DAY_MS + 61000, minute_us, false},
        {20000 * CLOCK_DAY_MS, minute_us, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char why[200] = "";
        int64_t time_us = minute_us;
        bool went_on = session_clock_went_on(started_ms, started_ms + cases[i].after_ms, &time_us,
                                             why, sizeof why);
        ck_assert_int_eq(went_on, cases[i].went_on);
        ck_assert_int_eq(time_us, cases[i].time_us);
        ck_assert_int_eq(why[0] != '\0', !went_on);
    }
}
END_TEST

START_TEST(a_clock_that_is_behind_the_store)
{
    const char *folder = program_folder();
    static struct session_record record;
    const struct uuid none = {{0}};
    char path[600], why[200] = "";
    int status = 0;
    struct terminal *terminal = start_live(folder, "--origin=2096-02-03T04:05:06Z");
    if (terminal == NULL) {
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    for (int i = 0; i < 2; i++) { /* of a later time than now; and one that begins now */
        terminal = i == 0 ? terminal : start_live(folder, "--new");
        ck_assert(terminal_wait_text(terminal, "HEAD", WAIT_S));
        ck_assert(i == 0 || terminal_wait_text(terminal, "session 1 of 2096-02-03", WAIT_S));
        ck_assert_int_eq(was_shown(terminal, "is the clock right?"), i == 1);
        terminal_send(terminal, "1R-03\r");
        ck_assert(terminal_wait_text(terminal, "HOLDLINE  R-03", WAIT_S));
        terminal_send(terminal, "qy");
        ck_assert(terminal_wait_end(terminal, &status, WAIT_S));
        terminal_end(terminal);
    }
    load(folder, &record);
    snprintf(path, sizeof path, "%s/s.db", folder);
    int64_t then_ms = record.started_ms; /* the later one is 'last' */
    ck_assert(session_clock_is_doubtful(path, &none, then_ms - 1, why, sizeof why));
    ck_assert(!session_clock_is_doubtful(path, &none, then_ms, why, sizeof why));
    ck_assert(!session_clock_is_doubtful(path, &record.uuid, then_ms - 1, why, sizeof why));
    /* without a store only what was never set is seen */
    ck_assert(!session_clock_is_doubtful("/nowhere/s.db", &none, then_ms, why, sizeof why));
    const int64_t year_2020_ms = INT64_C(1577836800000); /* no session was held before */
    ck_assert(session_clock_is_doubtful("/nowhere/s.db", &none, year_2020_ms - 1, why, sizeof why));
    ck_assert(!session_clock_is_doubtful("/nowhere/s.db", &none, year_2020_ms, why, sizeof why));
    ck_assert(session_clock_is_doubtful("/nowhere/s.db", &none, CLOCK_DAY_MS, why, sizeof why));
    ck_assert_ptr_nonnull(strstr(why, "the clock says 1970-01-02 00:00: end (q), set it"));
    program_folder_remove(folder);
}
END_TEST

START_TEST(a_demo_tells_of_one_that_was_cut_short)
{
    const char *folder = program_folder();
    char told[600];
    const char *arguments[] = {program_path(), "demo", "--tones", "off",
                               "--out",        folder, NULL,      NULL};
    const struct terminal_settings settings = {.rows = 24, .columns = 200};
    snprintf(told, sizeof told, "session 1 was cut short: 'holdline demo --out %s --resume=1'",
             folder);
    struct terminal *terminal = terminal_start(&settings, arguments);
    if (terminal == NULL) {
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    ck_assert(terminal_wait_text(terminal, "all stored", WAIT_S));
    ck_assert(!terminal_shows(terminal, "was cut short"));
    terminal_pump(terminal, 0.5);
    kill_live(terminal);
    terminal = terminal_start(&settings, arguments);
    ck_assert(terminal_wait_text(terminal, told, WAIT_S));
    kill_live(terminal);
    arguments[6] = "--resume=1";
    terminal = terminal_start(&settings, arguments);
    ck_assert(terminal_wait_text(terminal, "taken up again where it was", WAIT_S));
    ck_assert(!terminal_shows(terminal, "was cut short"));
    kill_live(terminal);
    program_folder_remove(folder);
}
END_TEST

START_TEST(what_can_be_meant_by_resume)
{
    static const struct {
        const char *words[4], *told;
    } calls[] = {
        {{"demo", "--headless", "--resume"}, "say one of them"},
        {{"live", "--new", "--resume"}, "say one of them"},
        {{"live", "--resume="}, "wants a session"},
        {{"live", "--resume", "12"}, "'12' is no rig; --resume=12 goes on with that session"},
    };
    const char *folder = program_folder();
    for (size_t i = 0; i < sizeof calls / sizeof calls[0]; i++) {
        struct program_result result = program_run(folder, NULL, calls[i].words);
        ck_assert_int_eq(result.status, 2);
        ck_assert_msg(strstr(result.errors, calls[i].told) != NULL, "%s", result.errors);
        program_free(&result);
    }
    program_folder_remove(folder);
}
END_TEST

START_TEST(there_must_be_a_session_to_go_on_with)
{
    const char *folder = program_folder();
    struct program_result result = program_run(
        folder, NULL,
        (const char *const[]){"live", "virtual:steady", "--resume", "--store", "s.db", NULL});
    ck_assert_int_eq(result.status, 1);
    ck_assert_msg(strstr(result.errors, "no session to go on with") != NULL, "%s", result.errors);
    program_free(&result);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("sessions cut short");
    TCase *tests = tcase_create("resume");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, a_killed_session_goes_on_where_it_was);
    tcase_add_test(tests, other_channels_are_no_readings_of_the_session);
    tcase_add_test(tests, channels_that_change_are_no_readings_of_the_session);
    tcase_add_test(tests, a_closed_terminal_ends_the_hold_and_keeps_the_session);
    tcase_add_test(tests, the_command_that_is_printed_takes_up_its_own_session);
    tcase_add_test(tests, a_demo_tells_of_one_that_was_cut_short);
    tcase_add_test(tests, a_clock_that_was_set_meanwhile);
    tcase_add_test(tests, what_a_session_stood_still);
    tcase_add_test(tests, a_clock_that_is_behind_the_store);
    tcase_add_test(tests, what_can_be_meant_by_resume);
    tcase_add_test(tests, there_must_be_a_session_to_go_on_with);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
