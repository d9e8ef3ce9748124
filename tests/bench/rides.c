/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What reading rides costs: six hours at a sample a second, as a table and as GPX, from a file; and
 * as many samples as are taken at all, all channels, in a process of its own whose memory is seen.
 */
#include "rig/ride_file.h"
#include "support/bench.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#define SIX_HOURS 21600
#define PIECE 65536

static double now_ms(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return 1e3 * (double)now.tv_sec + 1e-6 * (double)now.tv_nsec;
}

static int put_row(char *text, size_t size, bool gpx, long i)
{
    double speed = 10.0 + sin(0.01 * (double)i);
    if (gpx) {
        return snprintf(text, size,
                        "<trkpt lat=\"%.7f\" lon=\"8.1234567\"><ele>120.5</ele>"
                        "<time>2026-03-%02ldT%02ld:%02ld:%02ldZ</time><extensions>"
                        "<power>%ld</power><speed>%.3f</speed><a:all><a:atemp>18</a:atemp>"
                        "<a:hr>140</a:hr><a:cad>90</a:cad></a:all></extensions></trkpt>\n",
                        50.0 + 1e-6 * (double)(i % 10000), 1 + i / 86400 % 28, i / 3600 % 24,
                        i / 60 % 60, i % 60, 200 + i % 50, speed);
    }
    return snprintf(text, size,
                    "%ld,%ld,%.3f,%.2f,%ld,50.1234567,8.1234567,120.5,0.5,18,1013.2,"
                    "55,90,140\n",
                    i, 200 + i % 50, speed, 10.0 * (double)i, i / 25 % 1000);
}

static const char *head_of(bool gpx)
{
    return gpx ? "<gpx version=\"1.1\" xmlns:a=\"b\"><trk><trkseg>\n"
               : "time,power,speed,distance,lap,latitude,longitude,altitude,wind,temperature,"
                 "pressure (hPa),humidity,cadence,heart\n";
}

static double read_ms(struct bench *bench, bool gpx)
{
    char path[128];
    char row[512];
    snprintf(path, sizeof path, "%s/ride", bench->folder);
    FILE *file = fopen(path, "w");
    if (file == NULL) {
        bench_fail(bench, "no file for a ride");
        return (double)NAN;
    }
    fputs(head_of(gpx), file);
    for (long i = 0; i < SIX_HOURS; i++) {
        put_row(row, sizeof row, gpx, i);
        fputs(row, file);
    }
    fputs(gpx ? "</trkseg></trk></gpx>\n" : "", file);
    fclose(file);
    double least = (double)INFINITY;
    for (int run = 0; run < 5; run++) {
        struct problem problem = {PROBLEM_NONE, ""};
        double begun = now_ms();
        struct ride *ride = ride_file_read(path, NULL, NULL, &problem);
        least = fmin(least, now_ms() - begun);
        bool whole = ride != NULL && ride->count == SIX_HOURS;
        ride_free(ride);
        if (!whole) {
            bench_fail(bench, "six hours are not read: %s", problem.sentence);
            return (double)NAN;
        }
    }
    return least;
}

/* As many as are taken, and one more: refused, at the most memory. True: it was. */
static bool read_most(void)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct ride_reader *reader = ride_reader_create(&problem);
    char *bytes = malloc(PIECE);
    if (reader == NULL || bytes == NULL) {
        return false;
    }
    bool going = ride_reader_feed(reader, head_of(false), strlen(head_of(false)), &problem);
    long row = 0;
    while (going && row <= RIDE_SAMPLES_MOST) {
        size_t used = 0;
        while (used + 512 < PIECE && row <= RIDE_SAMPLES_MOST) {
            used += (size_t)put_row(bytes + used, PIECE - used, false, row++);
        }
        going = ride_reader_feed(reader, bytes, used, &problem);
    }
    return !going && row == RIDE_SAMPLES_MOST + 1 && strstr(problem.sentence, "more than") != NULL;
}

static double most_mib(struct bench *bench)
{
    struct rusage used;
    int status = 0;
    fflush(NULL);
    pid_t child = fork();
    if (child == 0) {
        _exit(read_most() ? 0 : 1);
    }
    if (child < 0 || wait4(child, &status, 0, &used) != child || status != 0) {
        bench_fail(bench, "%d samples are not refused at the next", RIDE_SAMPLES_MOST);
        return (double)NAN;
    }
    return (double)used.ru_maxrss / 1024.0;
}

int main(void)
{
    struct bench bench;
    if (!bench_begin(&bench, "rides")) {
        return EXIT_FAILURE;
    }
    bench_at_most(&bench, "six hours of a table", read_ms(&bench, false), "ms", 300.0);
    bench_at_most(&bench, "six hours of GPX", read_ms(&bench, true), "ms", 300.0);
    bench_at_most(&bench, "ten million samples, all channels", most_mib(&bench), "MiB", 1024.0);
    return bench_end(&bench);
}
