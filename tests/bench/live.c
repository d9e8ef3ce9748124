/* What the live session costs: the real program in a pseudo-terminal at three sizes, 100 samples a
 * second from the virtual rig (whose own work is in the figures too), everything stored. */
#include "base/clock.h"
#include "support/bench.h"
#include "support/program.h"
#include "support/terminal.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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

static void measure(struct bench *bench, int rows, int columns, double goal_percent)
{
    char store[128], what[64];
    snprintf(store, sizeof store, "%s/%d.db", bench->folder, columns);
    const char *const argv[] = {program_path(), "live", "virtual:steady?rate=100",
                                "--store",      store,  NULL};
    const struct terminal_settings settings = {.rows = rows, .columns = columns};
    int64_t started_us = clock_monotonic_us();
    struct terminal *terminal = terminal_start(&settings, argv);
    if (terminal == NULL) {
        bench_skip(bench, "no pseudo-terminals here (/dev/pts)");
        return;
    }
    bool drawn = terminal_wait_text(terminal, "HOLDLINE", 5.0);
    double first_ms = (double)(clock_monotonic_us() - started_us) / 1000.0;
    if (drawn) {
        terminal_pump(terminal, 3.0); /* the start is not what is measured */
        int process = terminal_process(terminal);
        double before_s = bench_processor_s(process);
        uint64_t bytes = terminal_bytes(terminal);
        terminal_pump(terminal, MEASURED_S);
        double percent = 100.0 * (bench_processor_s(process) - before_s) / MEASURED_S;
        snprintf(what, sizeof what, "processor, %dx%d", columns, rows);
        bench_at_most(bench, what, percent, "% of a core", goal_percent);
        snprintf(what, sizeof what, "first screen, %dx%d", columns, rows);
        bench_at_most(bench, what, first_ms, "ms", GOAL_FIRST_SCREEN_MS);
        snprintf(what, sizeof what, "most resident, %dx%d", columns, rows);
        bench_at_most(bench, what, most_resident_mib(process), "MiB", GOAL_RESIDENT_MIB);
        snprintf(what, sizeof what, "to the terminal, %dx%d", columns, rows);
        bench_tell(bench, what, (double)(terminal_bytes(terminal) - bytes) / MEASURED_S / 1000.0,
                   "kB/s");
    } else {
        bench_fail(bench, "no screen of %dx%d within 5 s", columns, rows);
    }
    terminal_end(terminal);
}

int main(void)
{
    struct bench bench;
    if (bench_begin(&bench, "live")) {
        measure(&bench, 24, 80, 2.0);
        measure(&bench, 40, 120, 2.0);
        measure(&bench, 60, 200, 4.0);
    }
    return bench_end(&bench);
}
