/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A live session that hears no sensor says why on its gauge page, anew as that changes; what no
 * waiting mends ends it with a sentence; and where nothing was recorded, nothing is stored. */
#include "support/cable.h"
#include "support/program.h"
#include "support/rig_player.h"
#include "support/terminal.h"
#include "support/test_main.h"

#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <unistd.h>

#define WAIT_S 20.0

static const char *folder;

static struct terminal *start_how(const char *rig, const char *how, int rows, int columns)
{
    static char store[512], runtime[512], beside[512];
    snprintf(beside, sizeof beside, "HOLDLINE_STORE=%s/s.db", folder); /* what is kept of boards */
    snprintf(store, sizeof store, "%s/s.db", folder);
    snprintf(runtime, sizeof runtime, "XDG_RUNTIME_DIR=%s", folder);
    const char *const argv[] = {program_path(), "live", rig, "--store", store,
                                "--tones",      "off",  how, NULL};
    const char *const environment[] = {runtime, beside, NULL};
    const struct terminal_settings settings = {
        .rows = rows, .columns = columns, .environment = environment};
    return terminal_start(&settings, argv);
}

static struct terminal *start(const char *rig, int rows, int columns)
{
    return start_how(rig, "--new", rows, columns);
}

static void must_come(struct terminal *terminal, const char *words)
{
    if (!terminal_wait_text(terminal, words, WAIT_S)) {
        static char shown[65536];
        terminal_text(terminal, shown, sizeof shown);
        ck_abort_msg("'%s' did not come:\n%s", words, shown);
    }
}

static void leave(struct terminal *terminal)
{
    int status = -1;
    terminal_send(terminal, "qy");
    ck_assert(terminal_wait_end(terminal, &status, WAIT_S));
    ck_assert_int_eq(status, 0);
    terminal_end(terminal);
}

static int sessions_stored(void)
{
    char store[512];
    int sessions = 0;
    snprintf(store, sizeof store, "%s/s.db", folder);
    struct program_result result =
        program_run(folder, NULL, (const char *const[]){"list", "--json", "--store", store, NULL});
    for (const char *at = result.output; (at = strstr(at, "\"uuid\"")) != NULL; at++) {
        sessions++;
    }
    program_free(&result);
    return sessions;
}

START_TEST(a_port_that_is_not_there_is_told_and_waited_for)
{
    char path[512];
    struct cable cable;
    folder = program_folder();
    if (!cable_plug(&cable)) {
        return;
    }
    /* as under /dev: it may be plugged in */
    snprintf(path, sizeof path, "tty:%s/dev/rig", folder);
    struct terminal *terminal = start(path, 24, 80);
    ck_assert_ptr_nonnull(terminal);
    must_come(terminal, "is not there: plug the rig");
    leave(terminal);
    ck_assert_int_eq(sessions_stored(), 0);
    cable_pull(&cable);
    program_folder_remove(folder);
}
END_TEST

/* Lines from the first one on. */
static void play(struct terminal *terminal, struct cable *cable, uint64_t first, int lines)
{
    char line[RIG_PLAYER_LINE];
    for (int i = 0; i < lines; i++) {
        size_t length = rig_player_line(line, 2, 50, first + (uint64_t)i);
        ck_assert(cable_write(cable, line, length));
        terminal_pump(terminal, 0.02);
    }
}

/* Another program has it; then it is free, and says nothing; then words; then a rig, which falls
 * silent and comes back; then the cable is out. */
START_TEST(what_is_heard_is_told_as_it_changes)
{
    struct cable cable;
    char line[RIG_PLAYER_LINE];
    folder = program_folder();
    if (!cable_plug(&cable)) {
        return;
    }
    int other = open(cable.path, O_RDWR | O_NOCTTY);
    ck_assert_int_ge(other, 0);
    ck_assert_int_eq(flock(other, LOCK_EX | LOCK_NB), 0);
    struct terminal *terminal = start(cable.path, 24, 80);
    ck_assert_ptr_nonnull(terminal);
    must_come(terminal, "is busy: another program has it open");
    flock(other, LOCK_UN);
    close(other);
    must_come(terminal, "is open and silent");
    for (int i = 0; i < 20; i++) {
        ck_assert(cable_write(&cable, "good morning\r\n", 14));
    }
    must_come(terminal, "words come, and no numbers in regular lines");
    must_come(terminal, "280 bytes");
    size_t length = rig_player_heading(line, 2, 50);
    ck_assert(cable_write(&cable, line, length));
    play(terminal, &cable, 0, 60);
    must_come(terminal, "HEAD");
    ck_assert(!terminal_shows(terminal, "words come"));
    ck_assert(!terminal_shows(terminal, "NO READING"));
    must_come(terminal, "NOTHING HEARD: is the board running?");
    must_come(terminal, "NO READING"); /* what was heard last is not what is */
    play(terminal, &cable, 60, 60);
    must_come(terminal, "head ok");
    ck_assert(!terminal_shows(terminal, "NO READING"));
    cable_pull(&cable);
    must_come(terminal, "LINK DOWN: is the cable in?");
    must_come(terminal, "NO READING");
    leave(terminal);
    ck_assert_int_eq(sessions_stored(), 1);
    program_folder_remove(folder);
}
END_TEST

/* A session is taken up again, and its port says nothing yet: what was heard before is not what is,
 * until the first line comes. */
START_TEST(a_port_that_is_silent_since_a_session_was_taken_up_again_is_told)
{
    struct cable cable;
    char line[RIG_PLAYER_LINE];
    folder = program_folder();
    if (!cable_plug(&cable)) {
        return;
    }
    struct terminal *terminal = start(cable.path, 24, 80);
    ck_assert_ptr_nonnull(terminal);
    must_come(terminal, "is open and silent");
    size_t length = rig_player_heading(line, 2, 50);
    ck_assert(cable_write(&cable, line, length));
    play(terminal, &cable, 0, 100);
    must_come(terminal, "HEAD");
    ck_assert(!terminal_shows(terminal, "NO READING"));
    int status = 0;
    ck_assert_int_eq(kill(terminal_process(terminal), SIGKILL), 0);
    ck_assert(terminal_wait_end(terminal, &status, WAIT_S));
    terminal_end(terminal);
    terminal = start_how(cable.path, "--resume", 24, 80);
    ck_assert_ptr_nonnull(terminal);
    must_come(terminal, "NOTHING HEARD: is the board running?");
    must_come(terminal, "NO READING");
    ck_assert(!terminal_shows(terminal, "lost 0.0/s"));
    ck_assert(cable_write(&cable, line, length));
    play(terminal, &cable, 0, 100);
    must_come(terminal, "head ok");
    ck_assert(!terminal_shows(terminal, "NO READING"));
    leave(terminal);
    cable_pull(&cable);
    program_folder_remove(folder);
}
END_TEST

/* Centimetres, 25 lines a second, for so many seconds. */
static void play_in_cm(struct terminal *terminal, struct cable *cable, int lines)
{
    for (int i = 0; i < lines; i++) {
        char line[32];
        int length = snprintf(line, sizeof line, "41.%d\r\n", (i * 7) % 10);
        ck_assert(cable_write(cable, line, (size_t)length));
        terminal_pump(terminal, 0.04);
    }
}

/* A board in centimetres that say nothing: one key takes what is proposed, and then it is known. */
START_TEST(one_key_reads_a_board_as_proposed_and_next_time_it_is_known)
{
    struct cable cable;
    folder = program_folder();
    if (!cable_plug(&cable)) {
        return;
    }
    struct terminal *terminal = start(cable.path, 24, 80);
    ck_assert_ptr_nonnull(terminal);
    play_in_cm(terminal, &cable, 90);
    must_come(terminal, "With --unit cm: ch1");
    must_come(terminal, "y reads it so, now and next time.");
    must_come(terminal, "y read it so"); /* among the keys */
    terminal_send(terminal, "y");
    play_in_cm(terminal, &cable, 50);
    must_come(terminal, "CH1");
    must_come(terminal, "read with --unit cm, now and next time");
    ck_assert(!terminal_shows(terminal, "y read it so"));
    leave(terminal);
    terminal = start(cable.path, 24, 80);
    ck_assert_ptr_nonnull(terminal);
    play_in_cm(terminal, &cable, 50);
    must_come(terminal, "CH1");
    ck_assert(!terminal_shows(terminal, "With --unit cm"));
    terminal_send(terminal, "y");
    must_come(terminal, "y: no target is being taken");
    leave(terminal);
    cable_pull(&cable);
    program_folder_remove(folder);
}
END_TEST

START_TEST(a_small_screen_says_it_too)
{
    folder = program_folder();
    struct terminal *terminal = start("/dev/hl-none", 12, 40);
    if (terminal == NULL) {
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    must_come(terminal, "is not there");
    leave(terminal);
    program_folder_remove(folder);
}
END_TEST

START_TEST(a_misspelt_rig_or_option_ends_with_a_sentence)
{
    static const struct {
        const char *rig, *sentence;
        int status;
    } cases[] = {
        {"virtual:wintr", "there is no virtual rig 'wintr'", 2},
        {"virtual:winter?sped=2", "sped", 2},
        {"vitual:winter", "there is no file or device 'vitual:winter'", 1},
        {"./recording-of-nobody.rig", "there is no file or device", 1},
        {"file:recording-of-nobody.rig", "cannot be opened", 1},
    };
    folder = program_folder();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        int status = -1;
        struct terminal *terminal = start(cases[i].rig, 24, 100);
        if (terminal == NULL) {
            printf("skipped: no pseudo-terminal here\n");
            return;
        }
        ck_assert_msg(terminal_wait_end(terminal, &status, WAIT_S), "%s waits", cases[i].rig);
        ck_assert_int_eq(status, cases[i].status);
        ck_assert_msg(terminal_shows(terminal, cases[i].sentence), "%s", cases[i].rig);
        ck_assert(!terminal_alternate(terminal));
        terminal_end(terminal);
    }
    ck_assert_int_eq(sessions_stored(), 0);
    program_folder_remove(folder);
}
END_TEST

/* Who rides was told, so somebody may look for it. */
START_TEST(what_was_told_is_kept_without_readings)
{
    folder = program_folder();
    struct terminal *terminal = start("/dev/hl-none", 24, 80);
    if (terminal == NULL) {
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    must_come(terminal, "is not there");
    terminal_send(terminal, "1");
    must_come(terminal, "WHO RIDES");
    terminal_send(terminal, "R-07\r");
    must_come(terminal, "R-07");
    terminal_wait_gone(terminal, "WHO RIDES", WAIT_S);
    leave(terminal);
    ck_assert_int_eq(sessions_stored(), 1);
    program_folder_remove(folder);
}
END_TEST

static void tell(const char *what, const char *words)
{
    setenv("XDG_RUNTIME_DIR", folder, 1); /* each test is a process of its own */
    struct program_result result =
        program_run(folder, NULL, (const char *const[]){"tell", what, words, NULL});
    ck_assert_msg(result.status == 0, "%s %s: %s", what, words, result.errors);
    program_free(&result);
}

/* A plate was typed of a sensor before the rig was heard, and the rig has no such sensor: what it
 * sends is not taken for that one's readings. */
START_TEST(a_rig_without_a_sensor_that_was_read_is_not_taken)
{
    struct cable cable;
    char line[RIG_PLAYER_LINE];
    folder = program_folder();
    if (!cable_plug(&cable)) {
        return;
    }
    struct terminal *terminal = start(cable.path, 24, 80);
    ck_assert_ptr_nonnull(terminal);
    must_come(terminal, "no rider entered yet");
    tell("sensor", "pads");
    tell("plate", "pads=300");
    size_t length = rig_player_heading(line, 2, 50);
    ck_assert(cable_write(&cable, line, length));
    play(terminal, &cable, 1, 100);
    must_come(terminal, "'pads', of which a plate or tape was read");
    play(terminal, &cable, 101, 50);
    ck_assert(terminal_shows(terminal, "NO READING"));
    ck_assert(terminal_shows(terminal, "waiting for readings"));
    tell("undo", NULL); /* as it was asked for */
    play(terminal, &cable, 151, 100);
    must_come(terminal, "live: everything is recorded");
    ck_assert(terminal_shows(terminal, "HEAD"));
    ck_assert(!terminal_shows(terminal, "of which a plate or tape was read"));
    leave(terminal);
    cable_pull(&cable);
    program_folder_remove(folder);
}
END_TEST

/* What 'listen' says of a stream's lines, the fitter of a live session sees too. */
START_TEST(what_a_stream_does_not_say_is_seen_live)
{
    folder = program_folder();
    char path[512], *text = malloc(3000 * 40);
    size_t used = (size_t)sprintf(text, "ms,head,chest,temp\n");
    for (int i = 0; i < 3000; i++) {
        used += (size_t)sprintf(text + used, "%d,%d.5,%d.5,21.5\n", 20 * i, 400 + i * 7 % 5,
                                300 + i * 3 % 7);
    }
    program_write_file(folder, "table.csv", text);
    free(text);
    snprintf(path, sizeof path, "%s/table.csv", folder);
    struct terminal *terminal = start(path, 30, 100);
    if (terminal == NULL) {
        return;
    }
    must_come(terminal, "unit not said (i)");
    terminal_send(terminal, "i");
    must_come(terminal, "lines  nothing says the unit: taken as mm (--unit)");
    must_come(terminal, "lines  'temp' is ");
    terminal_send(terminal, "v"); /* the rider's: nothing of it */
    ck_assert(terminal_wait_gone(terminal, "nothing says the unit", WAIT_S));
    ck_assert(!terminal_shows(terminal, "unit not said"));
    leave(terminal);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("no sensor heard");
    TCase *tests = tcase_create("unheard");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, a_port_that_is_not_there_is_told_and_waited_for);
    tcase_add_test(tests, what_is_heard_is_told_as_it_changes);
    tcase_add_test(tests, a_port_that_is_silent_since_a_session_was_taken_up_again_is_told);
    tcase_add_test(tests, one_key_reads_a_board_as_proposed_and_next_time_it_is_known);
    tcase_add_test(tests, a_small_screen_says_it_too);
    tcase_add_test(tests, a_misspelt_rig_or_option_ends_with_a_sentence);
    tcase_add_test(tests, what_was_told_is_kept_without_readings);
    tcase_add_test(tests, a_rig_without_a_sensor_that_was_read_is_not_taken);
    tcase_add_test(tests, what_a_stream_does_not_say_is_seen_live);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
