/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What a fast rig costs without a screen: 8 channels, 1000 samples a second through a
 * pseudo-terminal at their own pace, heard by 'holdline listen' and by a script that stores them.
 * Processor time of the program alone (the rig is another process), against the goal; fails when a
 * sample is lost. */
#include "support/bench.h"
#include "support/cable.h"
#include "support/program.h"
#include "support/rig_player.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define RATE_HZ 1000
#define MEASURED_S 10
#define GOAL_PERCENT 5.0
#define TEXT_MOST 65536

static bool read_text(const struct bench *bench, const char *name, char *text, size_t size)
{
    char path[128];
    snprintf(path, sizeof path, "%s/%s", bench->folder, name);
    FILE *file = fopen(path, "rb");
    size_t length = file != NULL ? fread(text, 1, size - 1, file) : 0;
    text[length] = '\0';
    if (file != NULL) {
        fclose(file);
    }
    return length > 0;
}

/* One program at one cable, with the rig on its other side. */
static bool measure(struct bench *bench, const char *what, const char *const *argv,
                    const struct cable *cable, const char *output)
{
    struct bench_cost cost;
    pid_t rig = rig_player_start(cable, 8, RATE_HZ);
    bool done = bench_run(bench, argv, output, &cost);
    rig_player_stop(rig);
    if (done) {
        bench_at_most(bench, what, 100 * cost.processor_s / cost.elapsed_s, "% of a core",
                      GOAL_PERCENT);
    }
    return done;
}

/* What follows a name in a text, as a number; -1 where it is not there. */
static long number_behind(const char *text, const char *name)
{
    const char *found = strstr(text, name);
    return found != NULL ? strtol(found + strlen(name), NULL, 10) : -1;
}

static void tell_samples(struct bench *bench, const char *what, const char *file,
                         const char *samples_name, const char *lost_name, long least)
{
    static char text[TEXT_MOST];
    if (!read_text(bench, file, text, sizeof text)) {
        bench_fail(bench, "%s: nothing in %s", what, file);
        return;
    }
    long samples = number_behind(text, samples_name);
    long lost = number_behind(text, lost_name);
    bench_tell(bench, what, (double)samples, "samples");
    if (lost != 0 || samples < least) {
        bench_fail(bench, "%s: %ld samples, %ld lost", what, samples, lost);
    }
}

static void listen_to(struct bench *bench)
{
    struct cable cable;
    char rig[80], seconds[16];
    if (!cable_plug(&cable)) {
        bench_skip(bench, "no pseudo-terminals here (/dev/pts)");
        return;
    }
    snprintf(rig, sizeof rig, "tty:%s", cable.path);
    snprintf(seconds, sizeof seconds, "%d", MEASURED_S);
    const char *const argv[] = {program_path(), "listen",    rig,     "--health",
                                "--json",       "--seconds", seconds, NULL};
    if (measure(bench, "listen, 8 x 1000/s", argv, &cable, "listened")) {
        tell_samples(bench, "heard", "listened",
                     "\"samples\":", "\"lost\":", (MEASURED_S - 1) * RATE_HZ);
    }
    cable_pull(&cable);
}

static void store_all(struct bench *bench)
{
    struct cable cable;
    char rig[80], script[128];
    if (!cable_plug(&cable)) {
        bench_skip(bench, "no pseudo-terminals here (/dev/pts)");
        return;
    }
    snprintf(rig, sizeof rig, "tty:%s", cable.path);
    snprintf(script, sizeof script, "%s/fast.session", bench->folder);
    FILE *file = fopen(script, "w");
    if (file == NULL) {
        bench_fail(bench, "%s: %s", script, strerror(errno));
        return;
    }
    fprintf(file,
            "session 2026-01-10T18:00:00Z seed=9\nrider R-09 \"winter group\"\n"
            "setup 1 \"as it came\"\nhold %ds free settle=0s\nexport fast.json\nend\n",
            MEASURED_S);
    fclose(file);
    const char *const argv[] = {program_path(), "run", "fast.session", rig, "--store",
                                "fast.db",      NULL};
    if (measure(bench, "run, all stored", argv, &cable, "ran")) {
        tell_samples(bench, "in the hold", "fast.json",
                     "\"readings\":", "\"lost_samples\":", (long)MEASURED_S * RATE_HZ);
    }
    cable_pull(&cable);
}

int main(void)
{
    struct bench bench;
    if (bench_begin(&bench, "fast")) {
        listen_to(&bench);
        store_all(&bench);
    }
    return bench_end(&bench);
}
