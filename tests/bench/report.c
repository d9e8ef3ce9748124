/* What a report costs: the real program from start to exit, a session of twelve holds of 60 s at 50
 * readings a second on three setups, with a target, guided holds and ratings. The least of five. */
#include "base/clock.h"
#include "support/program.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#define RUNS 5
#define GOAL_MS 1000.0

static const char script[] =
    "session 2026-02-11T17:30:00Z seed=11\n"
    "rider R-12 \"winter group\"\n"
    "bike \"club bike\" stack=540 reach=400 head_angle=73 seat_angle=74 headset_cap=10 spacers=20 "
    "stem_length=100 stem_angle=-6 pad_rise=60 pad_fore_aft=-20 saddle_height=745\n"
    "sensor head carrier=base_bar x=110 y=40\n"
    "sensor chest carrier=base_bar x=-60 y=35\n"
    "setup 1 \"as it came\"\nplate 5s\ntarget\nband head=+12/-20 chest=+10/none\n"
    "hold 60s free\nhold 60s free\nhold 60s guided\nrating effort=4 neck=2 sees_ahead=yes\n"
    "setup 2 \"low\" spacers=10 pad_rise=40\nplate 5s\ntarget\n"
    "hold 60s free\nhold 60s free\nhold 60s guided\nrating effort=4 neck=3 sees_ahead=yes\n"
    "setup 3 \"long\" from=1 stem_length=110\nplate 5s\ntarget\n"
    "hold 60s free\nhold 60s free\nhold 60s guided\nrating effort=6 neck=5 sees_ahead=yes\n"
    "setup 1\nplate 5s\nhold 60s free\nhold 60s free\nhold 60s guided\nchoose 2\nend\n";

static bool done(const char *folder, const char *words)
{
    char command[512];
    snprintf(command, sizeof command, "cd %s && '%s' %s --store s.db >/dev/null", folder,
             program_path(), words);
    return system(command) == 0;
}

/* The least of several runs; under 0 when one failed. */
static double least_ms(const char *folder, const char *file)
{
    double least = INFINITY;
    char words[128];
    snprintf(words, sizeof words, "export last %s --replace", file);
    for (int run = 0; run < RUNS; run++) {
        int64_t start_us = clock_monotonic_us();
        if (!done(folder, words)) {
            return -1;
        }
        least = fmin(least, (double)(clock_monotonic_us() - start_us) / 1000.0);
    }
    return least;
}

int main(void)
{
    static const char *const files[] = {"visit.pdf", "visit.html", "visit.json",
                                        "visit-readings.csv"};
    char folder[] = "/tmp/holdline-bench-XXXXXX";
    char path[64], remove_all[128];
    if (mkdtemp(folder) == NULL) {
        perror("report");
        return EXIT_FAILURE;
    }
    snprintf(path, sizeof path, "%s/session.txt", folder);
    FILE *stream = fopen(path, "w");
    bool well = stream != NULL && fputs(script, stream) >= 0 && fclose(stream) == 0 &&
                done(folder, "run session.txt 'virtual:winter?speed=max'");
    for (size_t i = 0; well && i < sizeof files / sizeof files[0]; i++) {
        double took_ms = least_ms(folder, files[i]);
        well = took_ms > 0;
        printf("report %-22s %7.1f %-8s goal %5.0f   ratio %.2f\n", files[i], took_ms, "ms",
               GOAL_MS, took_ms / GOAL_MS);
    }
    snprintf(remove_all, sizeof remove_all, "rm -rf %s", folder);
    return system(remove_all) == 0 && well ? EXIT_SUCCESS : EXIT_FAILURE;
}
