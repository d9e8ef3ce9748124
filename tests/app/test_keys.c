/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A whole session by keys, in lock step with the readings, against the same session by a script:
 * the exports must be the same, byte for byte. */

#include "base/text.h"
#include "rig/virtual_rig.h"
#include "support/cable.h"
#include "support/program.h"
#include "support/terminal.h"
#include "support/test_main.h"

#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <termios.h>
#include <time.h>
#include <unistd.h>

#define RATE_HZ 50
#define WAIT_S 20.0
#define RIGHT "\033OC" /* as in keypad mode */
#define LEFT "\033OD"
#define BACK_TAB "\033[Z"

/* What the keys below make, as a script. */
static const char script[] =
    "session 2026-01-10T18:00:00Z seed=7\n"
    "rider R-02 \"winter group\"\n"
    "bike \"training bike\" stack=545 reach=410 head_angle=73 spacers=20 "
    "stem_length=100 stem_angle=-6\n"
    "wait 10s\n"
    "sensor head carrier=base_bar x=110 y=40 role=body\n"
    "sensor chest carrier=base_bar x=-60 y=35 role=body\n"
    "check rider 20s\n"
    "check step head block=25 10s\n"
    "pass minutes\n"
    "pass warm_up\n"
    "target\n"
    "wait 45s\n" /* it is known after 45 s; by keys the rider rides on for the other 45 */
    "band head=+12/-20 chest=+10/none\n"
    "hold 30s free\n"
    "hold 30s free\n"
    "hold 30s free\n"
    "rating effort=4 neck=2\n"
    "setup 2 \"spacers out\" spacers=0\n"
    "hold 60s free\n"
    "hold 60s guided\n"
    "rating same\n"
    "setup 1\n"
    "hold 60s free\n"
    "note fine\n"
    "reject 2 slid\n"
    "end\n";

struct player {
    struct virtual_rig *rig;
    struct terminal *terminal;
    int master;
    FILE *recording;
    char trace[512];
    long long samples;
};

static bool trace_has(const struct player *player, const char *wanted)
{
    char line[2048];
    size_t length = strlen(wanted);
    bool found = false;
    FILE *file = fopen(player->trace, "r");
    while (!found && file != NULL && fgets(line, sizeof line, file) != NULL) {
        found = strncmp(line, wanted, length) == 0;
    }
    if (file != NULL) {
        fclose(file);
    }
    return found;
}

static void must_see(struct player *player, const char *wanted)
{
    for (double waited_s = 0.0; waited_s < WAIT_S; waited_s += 0.02) {
        if (trace_has(player, wanted)) {
            return;
        }
        terminal_pump(player->terminal, 0.02);
    }
    char screen[8192];
    terminal_text(player->terminal, screen, sizeof screen);
    ck_abort_msg("the trace has no '%s'; the screen:\n%s", wanted, screen);
}

/* Readings, and the session has seen them. */
static void feed(struct player *player, int count)
{
    char bytes[VIRTUAL_RIG_BYTES], wanted[64];
    for (int i = 0; i < count; i++) {
        int64_t time_us = 0;
        size_t length = virtual_rig_next(player->rig, bytes, sizeof bytes, &time_us);
        ck_assert(cable_write_all(player->master, bytes, length));
        ck_assert_uint_eq(fwrite(bytes, 1, length, player->recording), length);
        if (i % 200 == 0) {
            terminal_pump(player->terminal, 0.001);
        }
    }
    player->samples += count;
    snprintf(wanted, sizeof wanted, "seen %lld ", player->samples);
    must_see(player, wanted);
}

/* Keys, and the command that they make is done. */
static void press(struct player *player, const char *keys, const char *command)
{
    char wanted[1200];
    terminal_pump(player->terminal, 0.1); /* the screen shows what the keys mean */
    terminal_send(player->terminal, keys);
    snprintf(wanted, sizeof wanted, "done %lld %s", player->samples, command);
    must_see(player, wanted);
    ck_assert(
        virtual_rig_tell(player->rig, strncmp(command, "hold", 4) == 0 ? "sit free" : "", NULL));
    terminal_pump(player->terminal, 0.1);
}

static void hold(struct player *player, const char *keys, int seconds, const char *kind)
{
    char command[32];
    snprintf(command, sizeof command, "hold %ds %s", seconds, kind);
    press(player, keys, command);
    feed(player, (5 + seconds) * RATE_HZ);
}

static void open_rig(struct player *player, char *path, size_t size)
{
    struct virtual_rig_settings settings;
    virtual_rig_defaults(&settings, 21);
    settings.lost_share = 0.0;
    settings.rate_hz = RATE_HZ;
    player->rig = virtual_rig_create(&settings);
    ck_assert_ptr_nonnull(player->rig);
    player->master = posix_openpt(O_RDWR | O_NOCTTY | O_CLOEXEC);
    ck_assert_int_ge(player->master, 0);
    ck_assert_int_eq(grantpt(player->master), 0);
    ck_assert_int_eq(unlockpt(player->master), 0);
    snprintf(path, size, "tty:%s", ptsname(player->master));
}

static void play_session(struct player *player)
{
    ck_assert(terminal_wait_text(player->terminal, "HOLDLINE", WAIT_S));
    press(player, "1R-02\twinter group\r", "rider R-02 \"winter group\"");
    press(player, "2training bike\t545\t410\t73\t20\t100\t-6\r",
          "bike \"training bike\" stack=545");
    feed(player, 10 * RATE_HZ + 1);
    press(player, "3" RIGHT RIGHT RIGHT "\t110\t40\r",
          "sensor head carrier=base_bar x=110 y=40 role=body");
    press(player, "\t-60\t35\r", "sensor chest carrier=base_bar x=-60 y=35 role=body");
    /* on the page of the sensors: the check that is due, then one of one's own */
    press(player, "i ", "check rider 20s");
    feed(player, 4 * (2 + 5) * RATE_HZ);
    press(player, "7step\t\t25\t\t10\t" LEFT "\r", "check step head block=25 10s");
    feed(player, (2 + 10 + 8 + 10) * RATE_HZ);
    ck_assert(terminal_wait_text(player->terminal, "step of head", WAIT_S));
    terminal_send(player->terminal, "\033");
    ck_assert(terminal_wait_text(player->terminal, "HOLDLINE", WAIT_S));
    press(player, "\t", "pass minutes");
    press(player, " ", "pass warm_up");
    press(player, " ", "target");
    feed(player, (5 + 90) * RATE_HZ);
    press(player, "w12\t20\t10\tnone\r", "band head=+12/-20 chest=+10/none");
    for (int i = 0; i < 3; i++) {
        hold(player, " ", 30, "free");
    }
    press(player, "r4\t2\r", "rating effort=4 neck=2");
    press(player, "nspacers out\t0\r", "setup 2 \"spacers out\" spacers=0");
    hold(player, "f60\r", 60, "free");
    hold(player, "g1:00\r", 60, "guided");
    press(player, "e", "rating same");
    press(player, "n" BACK_TAB BACK_TAB "1\r", "setup 1");
    hold(player, "f\r", 60, "free");
    press(player, "ofine\r", "note fine");
    press(player, "u2\tslid\r", "reject 2 slid");
    int status = -1;
    terminal_send(player->terminal, "qy");
    ck_assert(terminal_wait_end(player->terminal, &status, WAIT_S));
    ck_assert_int_eq(status, 0);
}

static void must_run(const char *folder, const char *const *arguments)
{
    struct program_result result = program_run(folder, NULL, arguments);
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
}

static void exports_must_agree(const char *folder)
{
    static const char *const endings[] = {"json", "csv", "txt"};
    program_write_file(folder, "session.txt", script);
    must_run(folder, (const char *const[]){"run", "session.txt", "file:rig.txt?speed=max",
                                           "--store", "script.db", NULL});
    for (size_t i = 0; i < sizeof endings / sizeof endings[0]; i++) {
        char keys[32], scripted[32];
        size_t keys_length = 0, scripted_length = 0;
        snprintf(keys, sizeof keys, "keys.%s", endings[i]);
        snprintf(scripted, sizeof scripted, "script.%s", endings[i]);
        must_run(folder, (const char *const[]){"export", "last", keys, "--store", "keys.db", NULL});
        must_run(folder,
                 (const char *const[]){"export", "last", scripted, "--store", "script.db", NULL});
        char *a = program_read_file(folder, keys, &keys_length);
        char *b = program_read_file(folder, scripted, &scripted_length);
        ck_assert_uint_gt(keys_length, 1000);
        ck_assert_msg(keys_length == scripted_length && memcmp(a, b, keys_length) == 0,
                      "the exports differ (%s): see %s", endings[i], folder);
        free(a);
        free(b);
    }
}

START_TEST(keys_and_script_give_the_same_export)
{
    struct player player;
    char rig[128], store[512], trace[512];
    memset(&player, 0, sizeof player);
    const char *folder = program_folder();
    snprintf(store, sizeof store, "%s/keys.db", folder);
    snprintf(trace, sizeof trace, "%s/trace.txt", folder);
    snprintf(player.trace, sizeof player.trace, "%s", trace);
    char recording[512];
    snprintf(recording, sizeof recording, "%s/rig.txt", folder);
    player.recording = fopen(recording, "w");
    ck_assert_ptr_nonnull(player.recording);
    open_rig(&player, rig, sizeof rig);
    const char *const arguments[] = {
        program_path(),         "live",   rig, "--store", store, "--new", "--origin",
        "2026-01-10T18:00:00Z", "--seed", "7", "--trace", trace, NULL};
    const struct terminal_settings settings = {.rows = 40, .columns = 120};
    player.terminal = terminal_start(&settings, arguments);
    if (player.terminal == NULL) {
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    play_session(&player);
    terminal_end(player.terminal);
    fclose(player.recording);
    virtual_rig_destroy(player.rig);
    close(player.master);
    exports_must_agree(folder);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("session by keys");
    TCase *tests = tcase_create("keys");
    tcase_set_timeout(tests, 240);
    tcase_add_test(tests, keys_and_script_give_the_same_export);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
