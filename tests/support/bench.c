/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/bench.h"

#include "base/clock.h"
#include "support/program.h"

#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

bool bench_begin(struct bench *bench, const char *name)
{
    *bench = (struct bench){.name = name, .folder = "/tmp/holdline-bench-XXXXXX"};
    setvbuf(stdout, NULL, _IOLBF, 0);
    if (mkdtemp(bench->folder) == NULL) {
        bench->folder[0] = '\0';
        return bench_fail(bench, "no folder in /tmp: %s", strerror(errno));
    }
    return true;
}

int bench_end(struct bench *bench)
{
    if (bench->folder[0] != '\0') {
        const char *const argv[] = {"rm", "-rf", bench->folder, NULL};
        bench_run(bench, argv, NULL, NULL);
    }
    return bench->failed + bench->missed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

static void tell(struct bench *bench, const char *what, double value, const char *unit, double goal,
                 double ratio)
{
    if (!isfinite(ratio) || value <= 0) {
        bench_fail(bench, "%s: not measured", what);
        return;
    }
    bool kept = ratio >= 1;
    bench->missed += !kept;
    printf("%-7s %-32s %10.2f %-13s goal %8.2f  ratio %6.2f%s\n", bench->name, what, value, unit,
           goal, ratio, kept ? "" : "  MISSED");
}

void bench_at_most(struct bench *bench, const char *what, double value, const char *unit,
                   double goal)
{
    tell(bench, what, value, unit, goal, goal / value);
}

void bench_at_least(struct bench *bench, const char *what, double value, const char *unit,
                    double goal)
{
    tell(bench, what, value, unit, goal, value / goal);
}

void bench_tell(const struct bench *bench, const char *what, double value, const char *unit)
{
    printf("%-7s %-32s %10.2f %s\n", bench->name, what, value, unit);
}

void bench_skip(const struct bench *bench, const char *what)
{
    printf("skipped: %s: %s\n", bench->name, what);
}

bool bench_fail(struct bench *bench, const char *format, ...)
{
    va_list arguments;
    bench->failed++;
    printf("%-7s FAILED: ", bench->name);
    va_start(arguments, format);
    vprintf(format, arguments);
    va_end(arguments);
    printf("\n");
    return false;
}

static void run_child(const char *folder, const char *const argv[], const char *output)
{
    int descriptor = -1;
    if (chdir(folder) == 0) {
        descriptor =
            open(output != NULL ? output : "/dev/null", O_WRONLY | O_CREAT | O_TRUNC, 0600);
    }
    if (descriptor >= 0 && dup2(descriptor, STDOUT_FILENO) >= 0 &&
        dup2(descriptor, STDERR_FILENO) >= 0 && argv[0] != NULL) {
        execvp(argv[0], (char *const *)(size_t)argv);
    }
    _exit(127);
}

static void print_file(const char *folder, const char *name)
{
    char path[256], line[512];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "r");
    while (file != NULL && fgets(line, sizeof line, file) != NULL) {
        fputs(line, stdout);
    }
    if (file != NULL) {
        fclose(file);
    }
}

bool bench_run(struct bench *bench, const char *const argv[], const char *output,
               struct bench_cost *cost)
{
    struct rusage used;
    int status = 0;
    int64_t started_us = clock_monotonic_us();
    pid_t child = fork();
    if (child == 0) {
        run_child(bench->folder, argv, output);
    }
    if (child < 0 || wait4(child, &status, 0, &used) != child) {
        return bench_fail(bench, "%s: %s", argv[0], strerror(errno));
    }
    if (cost != NULL) {
        cost->elapsed_s = (double)(clock_monotonic_us() - started_us) / 1e6;
        cost->processor_s = (double)(used.ru_utime.tv_sec + used.ru_stime.tv_sec) +
                            (double)(used.ru_utime.tv_usec + used.ru_stime.tv_usec) / 1e6;
    }
    if (WIFEXITED(status) && WEXITSTATUS(status) == EXIT_SUCCESS) {
        return true;
    }
    bench_fail(bench, "%s %s ended with %s %d", argv[0], argv[1] != NULL ? argv[1] : "",
               WIFEXITED(status) ? "status" : "signal",
               WIFEXITED(status) ? WEXITSTATUS(status) : WTERMSIG(status));
    if (output != NULL) {
        print_file(bench->folder, output);
    }
    return false;
}

double bench_least_ms(struct bench *bench, const char *const argv[], const char *output, int runs)
{
    struct bench_cost cost = {0, 0};
    double least_s = INFINITY;
    for (int run = 0; run < runs; run++) {
        if (!bench_run(bench, argv, output, &cost)) {
            return NAN;
        }
        least_s = fmin(least_s, cost.elapsed_s);
    }
    return least_s * 1000;
}

double bench_processor_s(int process)
{
    clockid_t clock;
    struct timespec time;
    if (clock_getcpuclockid(process, &clock) != 0 || clock_gettime(clock, &time) != 0) {
        return NAN;
    }
    return (double)time.tv_sec + (double)time.tv_nsec / 1e9;
}

static const char visit[] =
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

bool bench_store_visit(struct bench *bench, const char *store)
{
    const char *const argv[] = {
        program_path(), "run", "visit.session", "virtual:winter?speed=max", "--store", store, NULL};
    char path[128];
    snprintf(path, sizeof path, "%s/visit.session", bench->folder);
    FILE *script = fopen(path, "w");
    bool written = script != NULL && fputs(visit, script) >= 0;
    if (script != NULL) {
        written = fclose(script) == 0 && written;
    }
    return written ? bench_run(bench, argv, "said", NULL)
                   : bench_fail(bench, "%s: %s", path, strerror(errno));
}
