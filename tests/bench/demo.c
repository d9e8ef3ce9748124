/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The scripted session of `holdline demo --headless`, everything stored in a file, against real
 * time. */
#include "app/demo.h"
#include "app/script_runner.h"
#include "support/bench.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

#define GOAL_TIMES 500.0

int main(void)
{
    struct bench bench;
    char store[128], script[DEMO_SCRIPT_SIZE];
    if (!bench_begin(&bench, "demo")) {
        return bench_end(&bench);
    }
    FILE *output = fopen("/dev/null", "w");
    snprintf(store, sizeof store, "%s/store.db", bench.folder);
    demo_script(script, sizeof script, 7);
    const struct script_runner_options options = {.script_name = "demo",
                                                  .rig = DEMO_RIG "?speed=max&seed=7",
                                                  .store_path = store,
                                                  .output = output};
    struct script_runner_result result = {0};
    struct problem problem = {0};
    if (output == NULL) {
        bench_fail(&bench, "/dev/null: %s", strerror(errno));
    } else if (!script_run(script, &options, &result, &problem)) {
        bench_fail(&bench, "%s", problem.sentence);
    } else {
        bench_at_least(&bench, "whole session, stored", result.stream_s / result.elapsed_s,
                       "x real time", GOAL_TIMES);
        bench_tell(&bench, "its samples", (double)result.samples, "samples");
    }
    if (output != NULL) {
        fclose(output);
    }
    return bench_end(&bench);
}
