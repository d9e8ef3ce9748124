/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What the live session costs: the real program in a pseudo-terminal, 100 samples a second, all
 * stored, 30 drawings a second of a rider who moves in a free hold. The rig is another process at a
 * pseudo-terminal, as a real one is outside the program; in the last rows it is the virtual rig,
 * whose own work is in the figure, which has no goal. */
#include "base/clock.h"
#include "support/bench.h"
#include "support/cable.h"
#include "support/program.h"
#include "support/rig_player.h"
#include "support/terminal.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define RATE_HZ 100
#define MEASURED_S 20.0
#define GOAL_FIRST_SCREEN_MS 25.0
#define GOAL_RESIDENT_MIB 24.0

static double most_resident_mib(int process)
{
    char path[64], line[256];
    snprintf(path, sizeof path, "/proc/%d/status", process);
    FILE *stream = fopen(path, "r");
    double kib = NAN;
    while (stream != NULL && fgets(line, sizeof line, stream) != NULL) {
        if (strncmp(line, "VmHWM:", 6) == 0) {
            kib = strtod(line + 6, NULL);
        }
    }
    if (stream != NULL) {
        fclose(stream);
    }
    return kib / 1024.0;
}

/* The program has drawn its first screen; what it costs from here on. A goal of 0: told only. */
static void measure_running(struct bench *bench, struct terminal *terminal, const char *size,
                            double goal_percent)
{
    char what[64];
    int process = terminal_process(terminal);
    double before_s = bench_processor_s(process);
    uint64_t bytes = terminal_bytes(terminal);
    terminal_pump(terminal, MEASURED_S);
    double percent = 100.0 * (bench_processor_s(process) - before_s) / MEASURED_S;
    bytes = terminal_bytes(terminal) - bytes;
    snprintf(what, sizeof what, "processor, %s", size);
    if (goal_percent > 0.0) {
        bench_at_most(bench, what, percent, "% of a core", goal_percent);
    } else {
        bench_tell(bench, what, percent, "% of a core");
    }
    snprintf(what, sizeof what, "most resident, %s", size);
    bench_at_most(bench, what, most_resident_mib(process), "MiB", GOAL_RESIDENT_MIB);
    snprintf(what, sizeof what, "to the terminal, %s", size);
    bench_tell(bench, what, (double)bytes / MEASURED_S / 1000.0, "kB/s");
}

static void measure(struct bench *bench, const char *rig, int rows, int columns,
                    double goal_percent)
{
    char size[32], what[64];
    const char *const argv[] = {program_path(), "live",    rig, "--store",
                                "s.db",         "--carry", "1", NULL};
    const struct terminal_settings settings = {.rows = rows, .columns = columns};
    bool is_virtual = strncmp(rig, "virtual:", 8) == 0;
    snprintf(size, sizeof size, "%dx%d%s", columns, rows, is_virtual ? ", virtual" : "");
    int64_t started_us = clock_monotonic_us();
    struct terminal *terminal = terminal_start(&settings, argv);
    bool drawn = terminal != NULL && terminal_wait_text(terminal, "HOLDLINE", 5.0);
    double first_ms = (double)(clock_monotonic_us() - started_us) / 1000.0;
    if (drawn) {
        snprintf(what, sizeof what, "first screen, %s", size);
        bench_at_most(bench, what, first_ms, "ms", GOAL_FIRST_SCREEN_MS);
        terminal_pump(terminal, 1.0);
        terminal_send(terminal, "f\r");
    }
    if (drawn && terminal_wait_text(terminal, "HOLD", 5.0)) {
        terminal_pump(terminal, 6.0); /* the countdown */
        measure_running(bench, terminal, size, goal_percent);
    } else {
        bench_fail(bench, "no hold on a screen of %s", size);
    }
    if (getenv("HOLDLINE_BENCH_SCREENS") != NULL) {
        static char text[65536];
        terminal_text(terminal, text, sizeof text);
        printf("%s", text);
    }
    terminal_end(terminal);
}

static void measure_wire(struct bench *bench, int rows, int columns, double goal_percent)
{
    struct cable cable;
    char rig[80];
    if (cable_plug(&cable)) { /* else told */
        pid_t player = rig_player_start(&cable, 2, RATE_HZ);
        snprintf(rig, sizeof rig, "tty:%s", cable.path);
        measure(bench, rig, rows, columns, goal_percent);
        rig_player_stop(player);
        cable_pull(&cable);
    }
}

int main(void)
{
    struct bench bench;
    if (bench_begin(&bench, "live") && chdir(bench.folder) == 0 &&
        bench_store_visit(&bench, "s.db")) {
        measure_wire(&bench, 24, 80, 2.0);
        measure_wire(&bench, 40, 120, 2.0);
        measure_wire(&bench, 60, 200, 4.0);
        measure(&bench, "virtual:winter?rate=100", 24, 80, 0.0);
    }
    return bench_end(&bench);
}
