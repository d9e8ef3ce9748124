/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A scripted session on sensors whose cable goes and comes: it waits, says so, and goes on; the gap
 * is in the record. */
#include "support/cable.h"
#include "support/number_in_store.h"
#include "support/program.h"
#include "support/rig_player.h"
#include "support/test_main.h"

#include "base/clock.h"

#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#define CHANNELS 2
#define RATE_HZ 50
#define OUT_S 2.5 /* two and a half times what it once gave up after */
#define WAIT_S 60.0

#define BEGINS                                                                                     \
    "session 2026-01-10T18:00:00Z seed=7\nrider R-01\n"                                            \
    "sensor head carrier=stand x=0 y=0\nsetup 1 \"as it came\"\n"

/* A hold, and a ride: for both a cable that comes out is a gap and no end. */
static const struct {
    const char *script;
} held[] = {
    {BEGINS "hold 6s free settle=0s\nend\n"},
    {BEGINS "target head=900 sure=yes\nband head=+20/-20\nride 6s settle=0s\nend\n"},
};

struct rig {
    struct cable cable;
    int64_t start_us;
    uint64_t number; /* lines so far, also of those that nobody heard */
    uint64_t sent;
};

static void play_for(struct rig *rig, double seconds, bool plugged)
{
    int64_t until_us = clock_monotonic_us() + (int64_t)(seconds * 1e6);
    char line[RIG_PLAYER_LINE];
    while (clock_monotonic_us() < until_us) {
        while ((int64_t)rig->number * 1000000 / RATE_HZ <= clock_monotonic_us() - rig->start_us) {
            size_t length = rig_player_line(line, CHANNELS, RATE_HZ, rig->number++);
            if (plugged) {
                ck_assert(cable_write(&rig->cable, line, length));
                rig->sent++;
            }
        }
        usleep(5000);
    }
}

static pid_t start(const char *folder, const char *name)
{
    char spec[600];
    snprintf(spec, sizeof spec, "tty:%s", name);
    pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        int errors = -1;
        if (chdir(folder) == 0) {
            errors = open("errors", O_WRONLY | O_CREAT | O_TRUNC, 0600);
        }
        if (errors >= 0 && dup2(errors, 2) == 2 && dup2(errors, 1) == 1) {
            execl(program_path(), "holdline", "run", "script", spec, "--store", "s.db",
                  (char *)NULL);
        }
        _exit(99);
    }
    return child;
}

START_TEST(a_cable_may_go_and_come)
{
    const char *folder = program_folder();
    struct rig rig = {.number = 0};
    char name[400], store[400], line[RIG_PLAYER_LINE];
    int status = -1;
    snprintf(name, sizeof name, "%s/rig", folder);
    snprintf(store, sizeof store, "%s/s.db", folder);
    if (!cable_plug(&rig.cable)) { /* told */
        program_folder_remove(folder);
        return;
    }
    ck_assert(cable_link(&rig.cable, name));
    program_write_file(folder, "script", held[_i].script);
    pid_t child = start(folder, name);
    rig.start_us = clock_monotonic_us();
    ck_assert(cable_write(&rig.cable, line, rig_player_heading(line, CHANNELS, RATE_HZ)));
    play_for(&rig, 2.5, true);
    cable_pull(&rig.cable);
    play_for(&rig, OUT_S, false);
    ck_assert_int_eq(waitpid(child, &status, WNOHANG), 0); /* it waits */
    ck_assert(cable_plug(&rig.cable) && cable_link(&rig.cable, name));
    int64_t begun_us = clock_monotonic_us();
    while (waitpid(child, &status, WNOHANG) == 0) {
        ck_assert(clock_monotonic_us() - begun_us < (int64_t)(WAIT_S * 1e6));
        play_for(&rig, 0.05, true);
    }
    char *errors = program_read_file(folder, "errors", NULL);
    ck_assert_msg(WIFEXITED(status) && WEXITSTATUS(status) == 0, "%s", errors);
    ck_assert_msg(strstr(errors, "the link is down") != NULL &&
                      strstr(errors, "the link is up again") != NULL,
                  "%s", errors);
    free(errors);
    /* one gap, and no time is lost in it */
    ck_assert_int_eq(
        number_in_store(store, "SELECT count(*) FROM sample WHERE (quality >> 24) & 1"), 1);
    int64_t gap_ms = number_in_store(
        store,
        "SELECT max(b.rig_us - a.rig_us) / 1000 FROM sample a JOIN sample b ON b.n = a.n + 1");
    ck_assert_int_ge(gap_ms, (int64_t)(1000 * OUT_S) - 100);
    ck_assert_int_eq(number_in_store(store, "SELECT count(*) FROM hold WHERE status = 'complete'"),
                     1);
    cable_pull(&rig.cable);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("unplugged run");
    TCase *tests = tcase_create("unplugged");
    tcase_set_timeout(tests, 120);
    tcase_add_loop_test(tests, a_cable_may_go_and_come, 0, (int)(sizeof held / sizeof held[0]));
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
