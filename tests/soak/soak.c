/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* make soak: a live session for hours in a terminal, the rig's lines through a pseudo-terminal,
 * each sample stored; holds, pages of the screen and sizes of the terminal change all the time.
 * What the program has of memory, descriptors and threads must stay, but for the samples of the
 * holds, which are kept for what is worked out of them; and the store grow by the samples alone.
 *
 * SOAK_HOURS of the session (24), SOAK_SPEED times as fast as real time (100). */
#include "base/text.h"
#include "rig/sample.h"
#include "support/bench.h"
#include "support/number_in_store.h"
#include "support/program.h"
#include "support/terminal.h"

#include <dirent.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#define ROWS 12             /* of the table */
#define SETTLED 3           /* rows after which nothing may grow any more */
#define MEMORY_MORE_MB 3.0  /* than at the settled row, and the samples of the holds since */
#define HOLD_EVERY_H 0.5    /* of the session's time */
#define LOG_MOST_MB 16.0    /* of the store's log */
#define BYTES_A_SAMPLE 38.0 /* docs/performance.md */
#define RATE_HZ 50.0

struct state {
    double memory_mb, processor_s, store_mb, log_mb;
    double held_mb; /* samples of all holds */
    int descriptors, threads;
};

struct soak {
    struct bench bench;
    struct terminal *terminal;
    char store[200];
    double hours, speed;
};

static double setting(const char *name, double usual)
{
    double value = usual;
    const char *text = getenv(name);
    return text != NULL && text_to_double(text, &value) && value > 0 ? value : usual;
}

static int entries(const char *path)
{
    DIR *listing = opendir(path);
    int count = -2; /* '.' and '..' */
    while (listing != NULL && readdir(listing) != NULL) {
        count++;
    }
    if (listing != NULL) {
        closedir(listing);
    }
    return count;
}

static double size_mb(const char *path)
{
    struct stat status;
    return stat(path, &status) == 0 ? (double)status.st_size / 1e6 : 0.0;
}

/* Memory of its own, without what of files is mapped. */
static double memory_mb(int process)
{
    char path[64], line[256];
    double kb = NAN;
    snprintf(path, sizeof path, "/proc/%d/status", process);
    FILE *file = fopen(path, "r");
    while (file != NULL && fgets(line, sizeof line, file) != NULL) {
        if (strncmp(line, "RssAnon:", 8) == 0) {
            kb = strtod(line + 8, NULL);
        }
    }
    if (file != NULL) {
        fclose(file);
    }
    return kb / 1024.0;
}

static void look(const struct soak *soak, struct state *state)
{
    char path[256];
    int process = terminal_process(soak->terminal);
    state->memory_mb = memory_mb(process);
    state->processor_s = bench_processor_s(process);
    snprintf(path, sizeof path, "/proc/%d/fd", process);
    state->descriptors = entries(path);
    snprintf(path, sizeof path, "/proc/%d/task", process);
    state->threads = entries(path);
    state->store_mb = size_mb(soak->store);
    state->held_mb = (double)number_in_store(
                         soak->store, "SELECT sum(last_sample - first_sample + 1) FROM capture") *
                     (double)sizeof(struct sample) / 1048576.0;
    snprintf(path, sizeof path, "%s-wal", soak->store);
    state->log_mb = size_mb(path);
}

static void tell_row(double hour, const struct state *state)
{
    printf("soak  %5.1f h %8.1f MB %8.1f MB %6d %8d %9.1f MB %7.1f MB %8.0f s\n", hour,
           state->memory_mb, state->held_mb, state->descriptors, state->threads, state->store_mb,
           state->log_mb, state->processor_s);
    fflush(stdout);
}

static bool begin(struct soak *soak)
{
    char rig[100];
    const struct terminal_settings settings = {.rows = 24, .columns = 80};
    snprintf(soak->store, sizeof soak->store, "%s/soak.db", soak->bench.folder);
    snprintf(rig, sizeof rig, "virtual:winter?seed=1&speed=%g", soak->speed);
    const char *const arguments[] = {program_path(), "live",    rig,   "--new", "--store",
                                     soak->store,    "--tones", "off", NULL};
    soak->terminal = terminal_start(&settings, arguments);
    if (soak->terminal == NULL || !terminal_wait_text(soak->terminal, "all stored", 20)) {
        return bench_fail(&soak->bench, "the session does not begin");
    }
    terminal_send(soak->terminal, "n");
    terminal_pump(soak->terminal, 1);
    terminal_send(soak->terminal, "\r");
    return terminal_wait_text(soak->terminal, "as it came", 20) ||
           bench_fail(&soak->bench, "the setup is not taken");
}

/* What a fitter does from time to time. */
static void touch(const struct soak *soak, int turn)
{
    static const char *const keys[] = {"f\r", "c", "\033", "i", "\033", "?", "\033", "j", "\033"};
    static const int sizes[][2] = {{24, 80}, {40, 120}, {24, 80}, {12, 40}};
    terminal_send(soak->terminal, keys[turn % 9]);
    terminal_resize(soak->terminal, sizes[turn % 4][0], sizes[turn % 4][1]);
}

/* To the next row of the table. */
static void go_on(const struct soak *soak, int *turn)
{
    double row_s = soak->hours * 3600.0 / ROWS / soak->speed;
    double turn_s = HOLD_EVERY_H * 3600.0 / 9.0 / soak->speed;
    for (double at_s = 0; at_s < row_s; at_s += turn_s) {
        touch(soak, (*turn)++);
        terminal_pump(soak->terminal, turn_s < row_s - at_s ? turn_s : row_s - at_s);
    }
}

static void judge(struct soak *soak, const struct state *settled, const struct state *last)
{
    double samples = soak->hours * 3600.0 * RATE_HZ;
    bench_at_most(
        &soak->bench, "memory more than after a quarter, holds apart",
        fmax(last->memory_mb - settled->memory_mb - (last->held_mb - settled->held_mb), 0.01), "MB",
        MEMORY_MORE_MB);
    bench_at_most(&soak->bench, "descriptors more",
                  fmax(last->descriptors - settled->descriptors, 0.01), "", 0.5);
    bench_at_most(&soak->bench, "threads more", fmax(last->threads - settled->threads, 0.01), "",
                  0.5);
    if (last->held_mb <= 0) {
        bench_fail(&soak->bench, "no hold was ridden");
    }
    bench_at_most(&soak->bench, "the store's log", fmax(last->log_mb, 0.01), "MB", LOG_MOST_MB);
    bench_at_most(&soak->bench, "the store, a sample", last->store_mb * 1e6 / samples, "B",
                  BYTES_A_SAMPLE);
}

static void end(struct soak *soak)
{
    int status = -1;
    const char *const check[] = {program_path(), "store",     "check", "--quick",
                                 "--store",      soak->store, NULL};
    terminal_send(soak->terminal, "\033");
    terminal_pump(soak->terminal, 1);
    terminal_resize(soak->terminal, 24, 80);
    terminal_send(soak->terminal, "q");
    terminal_wait_text(soak->terminal, "y: end", 20);
    terminal_send(soak->terminal, "y");
    if (!terminal_wait_end(soak->terminal, &status, 60) || status != 0) {
        bench_fail(&soak->bench, "the session does not end by its key (status %d)", status);
    }
    if (bench_run(&soak->bench, check, NULL, NULL)) {
        double stored = (double)number_in_store(soak->store, "SELECT count(*) FROM sample");
        double lost =
            (double)number_in_store(soak->store, "SELECT max(n) - min(n) + 1 FROM sample") - stored;
        bench_tell(&soak->bench, "samples stored", stored, "");
        bench_at_most(&soak->bench, "numbered and not stored", fmax(lost, 0.01), "", 0.5);
    }
}

int main(void)
{
    static struct soak soak;
    struct state state, settled = {0};
    int turn = 0;
    soak.hours = setting("SOAK_HOURS", 24);
    soak.speed = setting("SOAK_SPEED", 100);
    if (!bench_begin(&soak.bench, "soak")) {
        return EXIT_FAILURE;
    }
    if (begin(&soak)) {
        printf("soak  %g h, %g times as fast\n"
               "soak   session      memory    of holds  files  threads         store         log  "
               "processor\n",
               soak.hours, soak.speed);
        for (int row = 0; row < ROWS; row++) {
            go_on(&soak, &turn);
            look(&soak, &state);
            tell_row(soak.hours * (row + 1) / ROWS, &state);
            settled = row + 1 == SETTLED ? state : settled;
        }
        judge(&soak, &settled, &state);
        end(&soak);
    }
    terminal_end(soak.terminal);
    return bench_end(&soak.bench);
}
