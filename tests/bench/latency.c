/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* From a byte's arrival to the drawn gauge: the real program in a pseudo-terminal, and this program
 * at both ends of it. It writes the rig's lines into the cable and reads the screen. At moments
 * that have nothing to do with the drawings the head's range jumps from where it stood still; the
 * time from before that line is written until the quick needle has been drawn elsewhere is one
 * latency. */
#include "base/clock.h"
#include "base/random.h"
#include "support/bench.h"
#include "support/cable.h"
#include "support/program.h"
#include "support/rig_player.h"
#include "support/terminal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define CHANNELS 2
#define RATE_HZ 50
#define JUMPS 200
/* The quick needle is a low-pass of 3 Hz. At 50 Hz its first value after a jump has 2.8 % of it
 * (measure/filter.h), 3.9 mm here: three eighths of a row and more, so that the
 * filter's own delay is not in the figure. 150 mm would be no body. */
#define JUMP_MM 140.0
#define FROM_MM (-15.0) /* against the target: where the needle stands still */
#define STILL_US 120000 /* unchanged for so long: it stands still */
#define RANDOM_US 66000
#define GIVE_UP_US 1000000
#define GAUGE_MORE 17       /* seconds beyond three until the gauge must be drawn */
#define GOAL_MEDIAN_MS 33.0 /* one interval of the drawings */
#define GOAL_P99_MS 66.0

struct needle { /* the quick needle as it is drawn, a cell for each row of the screen */
    char text[64][8];
    bool reverse[64];
};

struct player {
    struct cable cable;
    struct terminal *terminal;
    int rows, columns;
    double head_mm; /* against the target */
    uint64_t number;
    int64_t start_us, next_us;
    int needle_column, first_row, end_row;
    struct needle needle;
    int64_t changed_us; /* when the needle was seen to be drawn elsewhere */
};

static bool write_line(struct player *player, int64_t now_us)
{
    char line[RIG_PLAYER_LINE];
    double range_mm[CHANNELS];
    for (int c = 0; c < CHANNELS; c++) {
        range_mm[c] = rig_player_seat_mm(c) + (c == 0 ? player->head_mm : 0.0);
    }
    size_t length = rig_player_readings(line, player->number++,
                                        (uint64_t)(now_us - player->start_us), range_mm, CHANNELS);
    player->next_us = now_us + 1000000 / RATE_HZ;
    return cable_write(&player->cable, line, length);
}

/* Lower and upper parts of a row, U+2581 to U+2588; braille and letters are none. */
static bool is_block(const char *text)
{
    return memcmp(text, "\u2581", 2) == 0 && (unsigned char)text[2] >= 0x81 &&
           (unsigned char)text[2] <= 0x88;
}

/* The gauge of the first channel is three columns of posture, then one that is the quick needle. */
static bool find_needle(struct player *player)
{
    struct terminal_cell cell;
    if (!terminal_find(player->terminal, "HEAD", &player->first_row, NULL) ||
        !terminal_find(player->terminal, "CHEST", &player->end_row, NULL)) {
        return false;
    }
    for (int column = 0; column < player->columns; column++) {
        for (int row = player->first_row + 1; row < player->end_row; row++) {
            terminal_cell(player->terminal, row, column, &cell);
            if (is_block(cell.text)) {
                player->needle_column = column + 3;
                return true;
            }
        }
    }
    return false;
}

static void look(struct player *player, int64_t now_us)
{
    struct needle needle = {0};
    struct terminal_cell cell;
    for (int row = player->first_row + 1; row < player->end_row; row++) {
        terminal_cell(player->terminal, row, player->needle_column, &cell);
        snprintf(needle.text[row], sizeof needle.text[row], "%.7s", cell.text);
        needle.reverse[row] = cell.reverse;
    }
    if (memcmp(&needle, &player->needle, sizeof needle) != 0) {
        player->needle = needle;
        player->changed_us = now_us;
    }
}

/* The rig's next line when it is due, and the screen's bytes until then. */
static bool go_on(struct player *player, int64_t until_us)
{
    int64_t due_us = player->next_us < until_us ? player->next_us : until_us;
    int64_t now_us = clock_monotonic_us();
    if (now_us < due_us) {
        if (terminal_take(player->terminal, (double)(due_us - now_us - 1000) / 1e6)) {
            now_us = clock_monotonic_us();
            look(player, now_us);
        }
        return true;
    }
    return now_us < player->next_us || write_line(player, now_us);
}

static bool play_for(struct player *player, int64_t us)
{
    int64_t end_us = clock_monotonic_us() + us;
    bool well = true;
    while (well && clock_monotonic_us() < end_us) {
        well = go_on(player, end_us);
    }
    return well;
}

/* One jump and back; the latency in ms, negative when it could not be taken. */
static double jump(struct player *player, struct random_source *random)
{
    int64_t began_us = clock_monotonic_us();
    while (clock_monotonic_us() - player->changed_us < STILL_US) {
        if (!go_on(player, began_us + 2 * GIVE_UP_US) ||
            clock_monotonic_us() - began_us > 2 * GIVE_UP_US) {
            return -1.0;
        }
    }
    int64_t at_us = clock_monotonic_us() + (int64_t)(random_uniform(random) * RANDOM_US);
    if (!play_for(player, at_us - clock_monotonic_us())) {
        return -1.0;
    }
    int64_t written_us = clock_monotonic_us();
    player->head_mm = FROM_MM + JUMP_MM;
    bool well = write_line(player, written_us);
    while (well && player->changed_us < written_us &&
           clock_monotonic_us() - written_us < GIVE_UP_US) {
        well = go_on(player, written_us + GIVE_UP_US);
    }
    player->head_mm = FROM_MM;
    return player->changed_us >= written_us ? (double)(player->changed_us - written_us) / 1000.0
                                            : -1.0;
}

static int by_value(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void measure_jumps(struct bench *bench, struct player *player)
{
    static double latency_ms[JUMPS];
    struct random_source random;
    char what[64];
    random_seed(&random, 1);
    for (int i = 0; i < JUMPS; i++) {
        latency_ms[i] = jump(player, &random);
        if (latency_ms[i] < 0.0) {
            bench_fail(bench, "jump %d was not drawn at %dx%d", i + 1, player->columns,
                       player->rows);
            return;
        }
    }
    qsort(latency_ms, JUMPS, sizeof latency_ms[0], by_value);
    snprintf(what, sizeof what, "byte to gauge, median, %dx%d", player->columns, player->rows);
    bench_at_most(bench, what, (latency_ms[JUMPS / 2 - 1] + latency_ms[JUMPS / 2]) / 2.0, "ms",
                  GOAL_MEDIAN_MS);
    snprintf(what, sizeof what, "byte to gauge, p99, %dx%d", player->columns, player->rows);
    bench_at_most(bench, what, latency_ms[(JUMPS * 99 + 99) / 100 - 1], "ms", GOAL_P99_MS);
    snprintf(what, sizeof what, "byte to gauge, most, %dx%d", player->columns, player->rows);
    bench_tell(bench, what, latency_ms[JUMPS - 1], "ms");
}

static void measure(struct bench *bench, int rows, int columns)
{
    struct player player = {.rows = rows, .columns = columns, .head_mm = FROM_MM};
    char rig[80], line[RIG_PLAYER_LINE];
    if (!cable_plug(&player.cable)) { /* told */
        return;
    }
    snprintf(rig, sizeof rig, "tty:%s", player.cable.path);
    const char *const argv[] = {program_path(), "live",    rig, "--store",
                                "s.db",         "--carry", "1", NULL};
    const struct terminal_settings settings = {.rows = rows, .columns = columns};
    player.terminal = terminal_start(&settings, argv);
    if (player.terminal == NULL || !terminal_wait_text(player.terminal, "HOLDLINE", 5.0) ||
        !cable_write(&player.cable, line, rig_player_heading(line, CHANNELS, RATE_HZ))) {
        bench_fail(bench, "no screen of %dx%d", columns, rows);
    } else {
        player.start_us = player.next_us = clock_monotonic_us();
        bool plays = play_for(&player, 3 * GIVE_UP_US), found = find_needle(&player);
        for (int more = 0; plays && !found && more < GAUGE_MORE; more++) { /* a busy machine */
            plays = play_for(&player, GIVE_UP_US);
            found = find_needle(&player);
        }
        if (found) {
            measure_jumps(bench, &player);
        } else if (!plays) {
            bench_fail(bench, "the cable of a screen of %dx%d takes no more", columns, rows);
        } else {
            bench_fail(bench, "no gauge on a screen of %dx%d", columns, rows);
        }
    }
    if (getenv("HOLDLINE_BENCH_SCREENS") != NULL && player.terminal != NULL) {
        static char text[65536];
        terminal_text(player.terminal, text, sizeof text);
        printf("%s", text);
    }
    terminal_end(player.terminal);
    cable_pull(&player.cable);
}

int main(void)
{
    struct bench bench;
    if (bench_begin(&bench, "latency") && chdir(bench.folder) == 0 &&
        bench_store_visit(&bench, "s.db")) {
        measure(&bench, 24, 80);
        measure(&bench, 40, 120);
    }
    return bench_end(&bench);
}
