/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Ctrl-S in the fitter's terminal while a hold runs: only the drawing waits. The rig is the test,
 * so that it is known what was sent. */
#include "base/clock.h"
#include "support/cable.h"
#include "support/number_in_store.h"
#include "support/program.h"
#include "support/rig_player.h"
#include "support/terminal.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define CHANNELS 2
#define RATE_HZ 50
#define WAIT_S 30.0
#define CTRL_S "\023"
#define CTRL_Q "\021"

/* How long it is stopped; HOLDLINE_STOPPED_S sets it where somebody wants to see a long stop. */
#define STOPPED_S 3.0

struct scene {
    struct cable cable;
    struct terminal *session, *watcher, *line;
    uint64_t sent;
    int64_t start_us;
};

/* The lines that are due, and what the terminals get meanwhile. */
static void play(struct scene *scene)
{
    struct terminal *const terminals[] = {scene->session, scene->watcher, scene->line};
    char line[RIG_PLAYER_LINE];
    while ((int64_t)scene->sent * 1000000 / RATE_HZ <= clock_monotonic_us() - scene->start_us) {
        size_t length = rig_player_line(line, CHANNELS, RATE_HZ, scene->sent++);
        ck_assert(cable_write(&scene->cable, line, length));
    }
    for (size_t i = 0; i < sizeof terminals / sizeof terminals[0]; i++) {
        if (terminals[i] != NULL) {
            terminal_take(terminals[i], 0.002);
        }
    }
}

static void play_for(struct scene *scene, double seconds)
{
    int64_t end_us = clock_monotonic_us() + (int64_t)(seconds * 1e6);
    while (clock_monotonic_us() < end_us) {
        play(scene);
    }
}

/* Until a terminal shows one or the other; how long it took, in seconds. */
static double play_until(struct scene *scene, const struct terminal *terminal, const char *text,
                         const char *other)
{
    int64_t begun_us = clock_monotonic_us();
    while (!terminal_shows(terminal, text) && !terminal_shows(terminal, other)) {
        double waited_s = (double)(clock_monotonic_us() - begun_us) / 1e6;
        if (waited_s > WAIT_S) {
            static char shown[65536];
            terminal_text(terminal, shown, sizeof shown);
            ck_abort_msg("'%s' is not shown:\n%s", text, shown);
        }
        play(scene);
    }
    return (double)(clock_monotonic_us() - begun_us) / 1e6;
}

static struct terminal *start(const char *const *arguments, const char *runtime)
{
    const char *const environment[] = {runtime, NULL};
    const struct terminal_settings settings = {
        .rows = 24, .columns = 80, .environment = environment};
    return terminal_start(&settings, arguments);
}

/* Seconds of the hold, as the latest line of 'watch --line' says them; -1: none there. */
static int watched_s(const struct scene *scene)
{
    static char text[65536];
    int seconds = -1;
    terminal_text(scene->line, text, sizeof text);
    for (const char *at = text; (at = strstr(at, "hold ")) != NULL; at++) {
        int found = atoi(at + strlen("hold "));
        seconds = found > seconds ? found : seconds;
    }
    return seconds;
}

static void begin(struct scene *scene, const char *folder, const char *store)
{
    char rig[80], runtime[512], line[RIG_PLAYER_LINE];
    snprintf(rig, sizeof rig, "tty:%s", scene->cable.path);
    snprintf(runtime, sizeof runtime, "XDG_RUNTIME_DIR=%s", folder);
    const char *const live[] = {program_path(), "live", rig, "--store", store, "--new", NULL};
    const char *const watch[] = {program_path(), "watch", NULL};
    const char *const watch_line[] = {program_path(), "watch", "--line", NULL};
    scene->session = start(live, runtime);
    ck_assert_ptr_nonnull(scene->session);
    ck_assert(terminal_wait_text(scene->session, "HOLDLINE", WAIT_S));
    ck_assert(cable_write(&scene->cable, line, rig_player_heading(line, CHANNELS, RATE_HZ)));
    scene->start_us = clock_monotonic_us();
    play_until(scene, scene->session, "HEAD", "HEAD");
    scene->watcher = start(watch, runtime);
    scene->line = start(watch_line, runtime);
    ck_assert(scene->watcher != NULL && scene->line != NULL);
    terminal_send(scene->session, "f\r");
    play_until(scene, scene->session, "0:01 of 1:00", "0:02 of 1:00");
}

START_TEST(only_the_drawing_waits)
{
    const char *folder = program_folder(), *long_s = getenv("HOLDLINE_STOPPED_S");
    struct scene scene = {.session = NULL};
    char store[512], shown[64], next[64];
    snprintf(store, sizeof store, "%s/s.db", folder);
    if (!cable_plug(&scene.cable)) { /* told */
        program_folder_remove(folder);
        return;
    }
    begin(&scene, folder, store);

    terminal_send(scene.session, CTRL_S);
    play_for(&scene, 0.3); /* what was on its way arrives */
    uint64_t drawn = terminal_bytes(scene.session), watched = terminal_bytes(scene.watcher);
    uint64_t sent_before = scene.sent;
    int before_s = watched_s(&scene);
    ck_assert_int_ge(before_s, 0);
    play_for(&scene, long_s != NULL ? atof(long_s) : STOPPED_S);
    while (watched_s(&scene) < before_s + 2) { /* the watchers go on */
        ck_assert_int_lt((int)((scene.sent - sent_before) / RATE_HZ), (int)WAIT_S);
        play(&scene);
    }
    ck_assert_uint_eq(terminal_bytes(scene.session), drawn);
    ck_assert_uint_gt(terminal_bytes(scene.watcher), watched + 100);

    /* Right again: not what had been drawn before, but what is now. */
    int now_s = watched_s(&scene);
    uint64_t sent_stopped = scene.sent - sent_before;
    terminal_send(scene.session, CTRL_Q);
    snprintf(shown, sizeof shown, "0:%02d of 1:00", now_s);
    snprintf(next, sizeof next, "0:%02d of 1:00", now_s + 1);
    double until_s = play_until(&scene, scene.session, shown, next);
    printf("stopped for %llu samples; now is shown %.0f ms after Ctrl-Q\n",
           (unsigned long long)sent_stopped, 1000.0 * until_s);

    /* Every part of the screen is: drawing all of it anew changes nothing. The rig is silent. */
    static char as_it_is[65536], anew[65536];
    ck_assert(terminal_wait_quiet(scene.session, 0.3, WAIT_S));
    terminal_text(scene.session, as_it_is, sizeof as_it_is);
    drawn = terminal_bytes(scene.session);
    terminal_send(scene.session, "\014");
    while (terminal_bytes(scene.session) < drawn + 1000) {
        terminal_take(scene.session, 0.1);
    }
    ck_assert(terminal_wait_quiet(scene.session, 0.3, WAIT_S));
    terminal_text(scene.session, anew, sizeof anew);
    char *row = as_it_is, *row_anew = anew;
    for (int i = 0; i < 18; i++) { /* to the table: below, the silence of the rig is told */
        char *end = strchr(row, '\n'), *end_anew = strchr(row_anew, '\n');
        *end = *end_anew = '\0';
        ck_assert_str_eq(row, row_anew);
        row = end + 1;
        row_anew = end_anew + 1;
    }

    int status = -1;
    terminal_send(scene.session, "qy");
    ck_assert(terminal_wait_end(scene.session, &status, WAIT_S));
    ck_assert_int_eq(status, 0);
    terminal_end(scene.session);
    terminal_end(scene.watcher);
    terminal_end(scene.line);
    cable_pull(&scene.cable);
    int64_t stored = number_in_store(store, "SELECT count(*) FROM sample");
    printf("sent %llu, stored %lld\n", (unsigned long long)scene.sent, (long long)stored);
    ck_assert_int_eq(stored, (int64_t)scene.sent);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("stopped terminal");
    TCase *tests = tcase_create("stopped");
    tcase_set_timeout(tests, 180);
    tcase_add_test(tests, only_the_drawing_waits);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
