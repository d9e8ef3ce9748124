/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A ride of 8 h, 50 samples a second of two sensors, faster than real time on the virtual rig,
 * whose own memory is in the figure: what the live session takes at the most, and how long the
 * ride's end lasts. RIDE_HOURS (8), RIDE_SPEED times as fast as real time (200). */
#include "base/clock.h"
#include "base/text.h"
#include "support/bench.h"
#include "support/program.h"
#include "support/terminal.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define GOAL_RESIDENT_MIB 24.0
#define GOAL_END_S 1.0

static double setting(const char *name, double usual)
{
    double value = usual;
    const char *text = getenv(name);
    return text != NULL && text_to_double(text, &value) && value > 0 ? value : usual;
}

static double resident_mib(int process, const char *which)
{
    char path[64], line[256];
    double kib = NAN;
    snprintf(path, sizeof path, "/proc/%d/status", process);
    FILE *stream = fopen(path, "r");
    while (stream != NULL && fgets(line, sizeof line, stream) != NULL) {
        if (strncmp(line, which, strlen(which)) == 0) {
            kib = strtod(line + strlen(which), NULL);
        }
    }
    if (stream != NULL) {
        fclose(stream);
    }
    return kib / 1024.0;
}

static bool tell(struct bench *bench, struct terminal *terminal, const char *line)
{
    char process[16];
    snprintf(process, sizeof process, "%d", terminal_process(terminal));
    const char *const argv[] = {program_path(), "tell", "--process", process, line, NULL};
    return bench_run(bench, argv, NULL, NULL);
}

static bool begin(struct bench *bench, struct terminal *terminal)
{
    static const char *const lines[] = {
        "rider R-07",
        "bike b stack=545 reach=410 head_angle=73",
        "sensor head carrier=base_bar look=up",
        "sensor chest carrier=base_bar look=up",
        "setup 1 stem_length=100 stem_angle=-6 spacers=20 pad_rise=60",
        "plate 5s height=930",
        "wait 7s",
        "wait",
        "target head=884 chest=771 sure=yes",
        "band head=+12/-15 chest=+10/-12",
        "ride settle=0s"};
    bool done = true;
    for (size_t i = 0; done && i < sizeof lines / sizeof lines[0]; i++) {
        done = tell(bench, terminal, lines[i]);
        terminal_pump(terminal, 0.1);
    }
    return done;
}

static void ride(struct bench *bench, struct terminal *terminal, double hours, double speed)
{
    int process = terminal_process(terminal);
    bench_tell(bench, "resident before it", resident_mib(process, "VmRSS:"), "MiB");
    if (!begin(bench, terminal)) {
        return;
    }
    terminal_pump(terminal, (hours - 0.1) * 3600.0 / speed);
    bench_tell(bench, "resident near its end", resident_mib(process, "VmRSS:"), "MiB");
    int64_t from_us = clock_monotonic_us();
    if (tell(bench, terminal, "stop")) {
        bench_at_most(bench, "its end", (double)(clock_monotonic_us() - from_us) / 1e6, "s",
                      GOAL_END_S);
    }
    bench_at_most(bench, "most resident", resident_mib(process, "VmHWM:"), "MiB",
                  GOAL_RESIDENT_MIB);
}

int main(void)
{
    struct bench bench;
    char rig[120];
    double hours = setting("RIDE_HOURS", 8), speed = setting("RIDE_SPEED", 200);
    const char *const argv[] = {program_path(), "live",    rig,   "--new", "--store",
                                "s.db",         "--tones", "off", NULL};
    const struct terminal_settings settings = {.rows = 24, .columns = 80};
    snprintf(rig, sizeof rig, "virtual:steady?seed=1&rate=50&creep=0&sits_up=3&speed=%g", speed);
    if (bench_begin(&bench, "long_ride") && chdir(bench.folder) == 0) {
        struct terminal *terminal = terminal_start(&settings, argv);
        if (terminal != NULL && terminal_wait_text(terminal, "all stored", 20)) {
            ride(&bench, terminal, hours, speed);
        } else {
            bench_fail(&bench, "the session does not begin");
        }
        terminal_end(terminal);
    }
    return bench_end(&bench);
}
