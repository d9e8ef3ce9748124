/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* SIGTERM, SIGHUP and SIGINT end what runs within two seconds, whatever the terminal does: stopped
 * by Ctrl-S, read by nobody, gone. What was recorded is whole. */
#include "support/number_in_store.h"
#include "support/program.h"
#include "support/terminal.h"
#include "support/test_main.h"

#include "base/clock.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define WAIT_S 30.0
#define ENDS_WITHIN_MS 2000
#define WORDS 8

enum terminal_state { USUAL, STOPPED, UNREAD, GONE, STATES };
static const char *const state_words[STATES] = {"usual", "stopped", "read by nobody", "gone"};

/* What runs, and the word on its screen that says it does. */
static const struct {
    const char *words[WORDS];
    const char *shows;
    int signal_number;
    bool records, watches;
} scenes[] = {
    {{"live", "virtual:steady?seed=1", "--new"}, "HEAD", SIGTERM, true, false},
    {{"live", "virtual:steady?seed=2", "--new"}, "HEAD", SIGHUP, true, false},
    {{"live", "virtual:steady?seed=3", "--new"}, "HEAD", SIGINT, true, false},
    {{"run", "long.txt", "virtual:steady?seed=4"}, "running the script", SIGTERM, true, false},
    {{"run", "long.txt", "virtual:steady?seed=5"}, "running the script", SIGINT, true, false},
    {{"listen", "virtual:steady?seed=6"}, ".", SIGTERM, false, false},
    {{"listen", "virtual:steady?seed=7", "--json"}, "{", SIGINT, false, false},
    {{"check", "virtual:steady?seed=8", "still", "60s"}, "1 of", SIGTERM, false, false},
    {{"watch"}, "████", SIGHUP, false, true},
    {{"watch", "--line"}, "live head", SIGINT, false, true},
    {{"watch", "--json"}, "{", SIGTERM, false, true},
};
#define WATCHER 8 /* the one with a screen */
#define SCENES (int)(sizeof scenes / sizeof scenes[0])

struct played {
    struct terminal *terminal;
    char store[300], runtime[340];
    int64_t killed_us, took_ms, stored;
    int status;
    bool ended;
};

static const char *folder;

static struct terminal *start(struct played *played, int scene)
{
    const char *arguments[WORDS + 4] = {program_path()};
    const char *const environment[] = {played->runtime, NULL};
    const struct terminal_settings settings = {
        .rows = 24, .columns = 80, .environment = environment};
    int count = 0;
    for (; scenes[scene].words[count] != NULL; count++) {
        arguments[count + 1] = scenes[scene].words[count];
    }
    if (scenes[scene].records) {
        arguments[++count] = "--store";
        arguments[++count] = played->store;
    }
    return terminal_start(&settings, arguments);
}

static void pump(struct played *all, double seconds)
{
    int64_t until_us = clock_monotonic_us() + (int64_t)(seconds * 1e6);
    while (clock_monotonic_us() < until_us) {
        for (int i = 0; i < SCENES; i++) {
            terminal_take(all[i].terminal, 0.001);
        }
    }
}

/* Each has a folder for watchers of its own; watchers share one with a session that goes on. */
static struct terminal *begin(struct played *all)
{
    program_write_file(folder, "long.txt",
                       "session 2026-01-10T18:00:00Z seed=7\nrider R-01\nsensor head carrier=stand "
                       "x=0 y=0\nsetup 1 \"as it came\"\nhold 600s free settle=0s\nend\n");
    ck_assert_int_eq(chdir(folder), 0);
    for (int i = 0; i <= SCENES; i++) {
        char path[330];
        snprintf(path, sizeof path, "%s/own-%d", folder, i);
        ck_assert_int_eq(mkdir(path, 0700), 0);
    }
    struct played watched = {.store = ""};
    snprintf(watched.store, sizeof watched.store, "%s/watched.db", folder);
    snprintf(watched.runtime, sizeof watched.runtime, "XDG_RUNTIME_DIR=%s/own-%d", folder, SCENES);
    struct terminal *session = start(&watched, 0);
    if (session == NULL) {
        return NULL;
    }
    ck_assert(terminal_wait_text(session, "HEAD", WAIT_S));
    for (int i = 0; i < SCENES; i++) {
        all[i] = (struct played){.status = -1};
        snprintf(all[i].store, sizeof all[i].store, "%s/store-%d.db", folder, i);
        snprintf(all[i].runtime, sizeof all[i].runtime, "XDG_RUNTIME_DIR=%s/own-%d", folder,
                 scenes[i].watches ? SCENES : i);
        all[i].terminal = start(&all[i], i);
        ck_assert_ptr_nonnull(all[i].terminal);
    }
    for (int i = 0; i < SCENES; i++) {
        bool shown = false;
        for (int n = 0; n < 600 && !shown; n++) {
            shown = terminal_wait_text(all[i].terminal, scenes[i].shows, 0.02);
            terminal_take(session, 0.001);
        }
        ck_assert_msg(shown, "%s %s does not show '%s'", scenes[i].words[0], scenes[i].words[1],
                      scenes[i].shows);
    }
    return session;
}

/* The terminal's state, and time for what is written there to fill it. */
static void change(struct played *all, enum terminal_state state)
{
    for (int i = 0; i < SCENES; i++) {
        if (state == STOPPED) {
            terminal_send(all[i].terminal, "\023");
        } else if (state == UNREAD) {
            terminal_stop_reading(all[i].terminal, true);
        }
    }
    for (int n = 0; n < 40; n++) {
        for (int i = 0; i < SCENES && state == UNREAD; i++) {
            if (strcmp(scenes[i].words[0], "live") == 0 ||
                (scenes[i].watches && scenes[i].words[1] == NULL)) {
                terminal_send(all[i].terminal, "\014"); /* all of the screen anew */
            }
        }
        pump(all, 0.05);
    }
}

/* Gives by how much the test itself was kept waiting, ms. */
static int64_t end_all(struct played *all, enum terminal_state state)
{
    int64_t late_ms = 0, before_us = clock_monotonic_us();
    int left = SCENES;
    for (int i = 0; i < SCENES; i++) {
        if (state == GONE) {
            terminal_hang_up(all[i].terminal); /* the session leader gets its SIGHUP */
        }
        all[i].killed_us = clock_monotonic_us();
        kill(terminal_process(all[i].terminal), scenes[i].signal_number);
    }
    while (left > 0 &&
           clock_monotonic_us() - before_us < (int64_t)(WAIT_S * terminal_patience() * 1e6)) {
        int64_t round_us = clock_monotonic_us();
        for (int i = 0; i < SCENES; i++) {
            if (!all[i].ended && terminal_wait_end(all[i].terminal, &all[i].status, 0.0)) {
                all[i].ended = true;
                all[i].took_ms = (clock_monotonic_us() - all[i].killed_us) / 1000;
                left--;
            }
        }
        usleep(5000);
        int64_t took_ms = (clock_monotonic_us() - round_us) / 1000;
        late_ms = took_ms > late_ms ? took_ms : late_ms;
    }
    return late_ms;
}

START_TEST(a_signal_ends_it)
{
    enum terminal_state state = (enum terminal_state)_i;
    static struct played all[SCENES];
    int64_t longest_ms = 0;
    folder = program_folder();
    struct terminal *session = begin(all);
    if (session == NULL) {
        printf("skipped: no pseudo-terminal here\n");
        program_folder_remove(folder);
        return;
    }
    change(all, state);
    int64_t late_ms = end_all(all, state);
    for (int i = 0; i < SCENES; i++) {
        ck_assert_msg(all[i].ended && (double)all[i].took_ms <=
                                          ENDS_WITHIN_MS * terminal_patience() + (double)late_ms,
                      "%s %s, terminal %s: %s after %lld ms (the test was %lld ms late)",
                      scenes[i].words[0], scenes[i].words[1] != NULL ? scenes[i].words[1] : "",
                      state_words[state], all[i].ended ? "ended" : "goes on",
                      (long long)all[i].took_ms, (long long)late_ms);
        longest_ms = all[i].took_ms > longest_ms ? all[i].took_ms : longest_ms;
        terminal_end(all[i].terminal);
        if (scenes[i].records) {
            const char *const check[] = {"store", "check", "--store", all[i].store, NULL};
            char log[340];
            struct program_result result = program_run(folder, "", check);
            ck_assert_msg(result.status == 0 && strstr(result.output, "sound") != NULL,
                          "%s, terminal %s: %s%s", scenes[i].words[0], state_words[state],
                          result.output, result.errors);
            program_free(&result);
            /* closed, not left: the log is in the file */
            snprintf(log, sizeof log, "%s-wal", all[i].store);
            ck_assert_msg(access(log, F_OK) != 0, "%s is left", log);
            ck_assert_int_gt(number_in_store(all[i].store, "SELECT count(*) FROM sample"), 20);
        }
    }
    printf("terminal %s: all ended within %lld ms\n", state_words[state], (long long)longest_ms);
    terminal_end(session);
    program_folder_remove(folder);
}
END_TEST

/* Started by what has SIGHUP passed over (nohup), a session and a watcher end as soon as their
 * terminal is gone: nobody sees them, no key reaches them. */
START_TEST(without_a_terminal_nothing_waits_for_keys)
{
    struct played both[2] = {{.status = -1}, {.status = -1}};
    static const int scene_of[2] = {0, WATCHER};
    folder = program_folder();
    ck_assert(signal(SIGHUP, SIG_IGN) != SIG_ERR);
    for (int i = 0; i < 2; i++) {
        snprintf(both[i].store, sizeof both[i].store, "%s/s.db", folder);
        snprintf(both[i].runtime, sizeof both[i].runtime, "XDG_RUNTIME_DIR=%s", folder);
        both[i].terminal = start(&both[i], scene_of[i]);
        if (both[i].terminal == NULL) {
            printf("skipped: no pseudo-terminal here\n");
            program_folder_remove(folder);
            return;
        }
        ck_assert(terminal_wait_text(both[i].terminal, scenes[scene_of[i]].shows, WAIT_S));
    }
    for (int i = 1; i >= 0; i--) {
        terminal_hang_up(both[i].terminal);
        ck_assert_msg(terminal_wait_end(both[i].terminal, &both[i].status, WAIT_S),
                      "%s goes on without a terminal", scenes[scene_of[i]].words[0]);
        ck_assert_int_eq(both[i].status, 0);
        terminal_end(both[i].terminal);
    }
    ck_assert_int_gt(number_in_store(both[0].store, "SELECT count(*) FROM sample"), 0);
    program_folder_remove(folder);
}
END_TEST

/* After Ctrl-S the terminal is left as it was: in lines, with echo, and it goes on. */
START_TEST(a_stopped_terminal_is_left_in_order)
{
    struct played played = {.status = -1};
    folder = program_folder();
    snprintf(played.store, sizeof played.store, "%s/s.db", folder);
    snprintf(played.runtime, sizeof played.runtime, "XDG_RUNTIME_DIR=%s", folder);
    played.terminal = start(&played, 0);
    if (played.terminal == NULL) {
        printf("skipped: no pseudo-terminal here\n");
        program_folder_remove(folder);
        return;
    }
    ck_assert(terminal_wait_text(played.terminal, "HEAD", WAIT_S));
    terminal_send(played.terminal, "\023");
    terminal_pump(played.terminal, 1.0);
    kill(terminal_process(played.terminal), SIGTERM);
    ck_assert(terminal_wait_end(played.terminal, &played.status, WAIT_S));
    ck_assert_int_eq(played.status, 0);
    ck_assert(!terminal_alternate(played.terminal)); /* what leaves the screen came through */
    ck_assert(terminal_shows(played.terminal, "holdline show 1"));
    terminal_end(played.terminal);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ends");
    TCase *tests = tcase_create("ends");
    tcase_set_timeout(tests, 180);
    tcase_add_loop_test(tests, a_signal_ends_it, 0, STATES);
    tcase_add_test(tests, without_a_terminal_nothing_waits_for_keys);
    tcase_add_test(tests, a_stopped_terminal_is_left_in_order);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
