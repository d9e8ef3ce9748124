/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What the screens cost: 30 drawings a second of a moving rider for ten seconds at three sizes.
 * Processor time of taking keys and drawing as a share of one core, and bytes a drawing. */
#include "screen/screen.h"
#include "support/bench.h"
#include "support/terminal.h"
#include "support/views.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/mman.h>
#include <time.h>

#define DRAWINGS 300

struct cost {
    double seconds; /* processor time of the drawings */
    bool rider;
};

static double processor_s(void)
{
    struct timespec time;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &time);
    return (double)time.tv_sec + (double)time.tv_nsec * 1e-9;
}

static int draw(void *context)
{
    static struct made_up made;
    struct view *view = &made.view;
    struct cost *cost = context;
    struct problem problem = {.kind = PROBLEM_NONE};
    struct screen *screen = screen_open(&problem);
    if (screen == NULL) {
        printf("%s\n", problem.sentence);
        return 1;
    }
    made_view(&made, cost->rider ? MADE_HOLD_GUIDED : MADE_HOLD_FREE);
    char line[1024];
    screen_draw(screen, view);
    if (cost->rider) { /* the test's key is read when it is there */
        struct timespec moment = {.tv_nsec = 200000000};
        nanosleep(&moment, NULL);
        screen_key(screen, view, line, sizeof line);
        screen_draw(screen, view);
    }
    double sum = 0.0;
    for (int i = 0; i < DRAWINGS; i++) {
        struct timespec moment = {.tv_nsec = 33333333};
        made_view_step(view, 1.0 / 30.0);
        view->elapsed_s = 30.0; /* the hold does not end */
        double before = processor_s();
        screen_key(screen, view, line, sizeof line);
        screen_draw(screen, view);
        sum += processor_s() - before;
        nanosleep(&moment, NULL);
    }
    cost->seconds = sum;
    screen_close(screen);
    return 0;
}

static const struct {
    int rows, columns;
    double goal_percent; /* of one core; of the whole live session, see live.c */
    double goal_bytes;   /* a drawing; 0 = none */
} sizes[] = {{24, 80, 2.0, 400.0}, {40, 120, 2.0, 0.0}, {60, 200, 4.0, 0.0}};

static void measure(struct bench *bench, size_t size, bool rider, struct cost *cost)
{
    struct terminal_settings settings = {.rows = sizes[size].rows, .columns = sizes[size].columns};
    char what[64];
    *cost = (struct cost){.seconds = NAN, .rider = rider};
    struct terminal *terminal = terminal_start_function(&settings, draw, cost);
    if (terminal == NULL) {
        bench_skip(bench, "no pseudo-terminals here (/dev/pts)");
        return;
    }
    if (rider) {
        terminal_send(terminal, "v");
    }
    terminal_pump(terminal, 0.35);
    uint64_t before = terminal_bytes(terminal);
    if (!terminal_wait_end(terminal, NULL, 60.0)) {
        bench_fail(bench, "the screen did not end");
    }
    double bytes = (double)(terminal_bytes(terminal) - before) / DRAWINGS;
    snprintf(what, sizeof what, "%s %dx%d", rider ? "rider" : "fitter", sizes[size].columns,
             sizes[size].rows);
    bench_at_most(bench, what, 100.0 * cost->seconds / (DRAWINGS / 30.0), "% of a core",
                  sizes[size].goal_percent);
    if (sizes[size].goal_bytes > 0.0) {
        bench_at_most(bench, what, bytes, "bytes/drawing", sizes[size].goal_bytes);
    } else {
        bench_tell(bench, what, bytes, "bytes/drawing");
    }
    terminal_end(terminal);
}

int main(void)
{
    struct bench bench;
    struct cost *cost =
        mmap(NULL, sizeof *cost, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    if (cost != MAP_FAILED && bench_begin(&bench, "screen")) {
        for (size_t i = 0; i < 2 * sizeof sizes / sizeof sizes[0]; i++) {
            measure(&bench, i / 2, i % 2 == 1, cost);
        }
    }
    return bench_end(&bench);
}
