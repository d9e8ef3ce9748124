/* The scripted session of `holdline demo --headless`, everything stored in a file, against real
 * time. */
#include "app/demo.h"
#include "app/runner.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define GOAL 500.0

int main(void)
{
    char folder[] = "/tmp/holdline-bench-XXXXXX";
    char store[64], script[DEMO_SCRIPT_SIZE], remove_all[128];
    FILE *output = fopen("/dev/null", "w");
    if (output == NULL || mkdtemp(folder) == NULL) {
        perror("demo");
        return EXIT_FAILURE;
    }
    snprintf(store, sizeof store, "%s/store.db", folder);
    demo_script(script, sizeof script, 7);
    const struct runner_options options = {.script_name = "demo",
                                           .rig = DEMO_RIG "?speed=max&seed=7",
                                           .store_path = store,
                                           .output = output};
    struct runner_result result = {0};
    struct problem problem = {0};
    bool done = runner_run(script, &options, &result, &problem);
    if (done) {
        double times = result.stream_s / result.elapsed_s;
        printf(
            "demo   %-22s %7.0f times real time, goal %.0f   ratio %.2f (%lld samples, %d holds)\n",
            "whole session, stored", times, GOAL, times / GOAL, (long long)result.samples,
            result.holds);
    } else {
        fprintf(stderr, "demo: %s\n", problem.sentence);
    }
    fclose(output);
    snprintf(remove_all, sizeof remove_all, "rm -rf %s", folder);
    return system(remove_all) == 0 && done ? EXIT_SUCCESS : EXIT_FAILURE;
}
