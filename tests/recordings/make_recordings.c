/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Makes the recorded streams of sessions/ anew: tests/recordings/make_recordings FOLDER. They are
 * the virtual rig's, with the oddities of real sensors put on by hand; sessions/README.md says what
 * is in which. What is odd is at fixed places, so that the tests know what must be found. */

#include "rig/virtual_rig.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct reading {
    double range_mm[CHANNELS_MAX]; /* NAN = none */
};

static FILE *create(const char *folder, const char *name)
{
    char path[4096];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "wb");
    if (file == NULL) {
        perror(path);
        exit(EXIT_FAILURE);
    }
    return file;
}

static struct virtual_rig *start(const char *name, const char *parameters)
{
    struct virtual_rig_settings settings;
    struct problem problem = {PROBLEM_NONE, ""};
    struct virtual_rig *rig = NULL;
    if (!virtual_rig_settings_read(name, parameters, &settings, &problem) ||
        (rig = virtual_rig_create(&settings)) == NULL) {
        fprintf(stderr, "%s\n", problem.sentence);
        exit(EXIT_FAILURE);
    }
    return rig;
}

static void tell(struct virtual_rig *rig, const char *line)
{
    struct problem problem = {PROBLEM_NONE, ""};
    if (!virtual_rig_tell(rig, line, &problem)) {
        fprintf(stderr, "%s: %s\n", line, problem.sentence);
        exit(EXIT_FAILURE);
    }
}

/* Bench lines as the rig prints them. */
static void write_lines(FILE *file, struct virtual_rig *rig, int samples)
{
    char bytes[VIRTUAL_RIG_BYTES] = "";
    int64_t time_us;
    for (int i = 0; i < samples; i++) {
        fwrite(bytes, 1, virtual_rig_next(rig, bytes, sizeof bytes, &time_us), file);
    }
}

/* The next sample's ranges, for streams that are written in another way. */
static struct reading next_reading(struct virtual_rig *rig, int channels)
{
    char bytes[VIRTUAL_RIG_BYTES + 1];
    int64_t time_us;
    struct reading reading = {{0}};
    size_t length = virtual_rig_next(rig, bytes, VIRTUAL_RIG_BYTES, &time_us);
    bytes[length] = '\0';
    char *at = strchr(bytes, '$');
    for (int field = 0; field < 2 && at != NULL; field++) {
        at = strchr(at + 1, ',');
    }
    for (int i = 0; i < channels; i++) {
        char *end = at;
        reading.range_mm[i] = at == NULL ? NAN : strtod(at + 1, &end);
        if (at != NULL && end == at + 1) {
            reading.range_mm[i] = NAN;
        }
        at = at == NULL ? NULL : strchr(at + 1, ',');
    }
    return reading;
}

static void put_bench(FILE *file, unsigned long sequence, unsigned long time_us,
                      const struct reading *reading, unsigned spoil, const char *line_end)
{
    char body[128];
    int length = snprintf(body, sizeof body, "%lu,%lu", sequence, time_us);
    for (int i = 0; i < 2; i++) {
        length += isnan(reading->range_mm[i])
                      ? snprintf(body + length, sizeof body - (size_t)length, ",")
                      : snprintf(body + length, sizeof body - (size_t)length, ",%.1f",
                                 reading->range_mm[i]);
    }
    unsigned sum = spoil;
    for (int i = 0; i < length; i++) {
        sum ^= (unsigned char)body[i];
    }
    fprintf(file, "$%s*%02X%s", body, sum & 255, line_end);
}

/* A bad wire: the places are in sessions/README.md. */
static void make_rough_wire(const char *folder)
{
    FILE *file = create(folder, "rough-wire.rig");
    struct virtual_rig *rig = start("steady", "seed=3&missing=0&doubtful=0");
    const uint64_t wrap = UINT64_C(0x100000000);
    const char *heading = "# holdline-rig 1 id=rough-wire rate=50 unit=mm channels=head,chest\n";
    fputs(",241.0,140.0*51\n", file); /* the port was opened in the middle of a line */
    fputs(heading, file);
    for (unsigned long i = 0; i < 1000; i++) {
        struct reading reading = next_reading(rig, 2);
        bool restarted = i >= 700;
        unsigned long sequence = restarted ? i - 699 : i + 65000;
        unsigned long time_us =
            restarted ? (i - 700) * 20000 + 1500000
                      : (unsigned long)((wrap - 6000000 + (uint64_t)i * 20000) % wrap);
        const char *line_end = i % 3 == 0 ? "\r\n" : "\n";
        if (i == 100) {
            fputs("\x1b[2J\x1b]0;not a title\a\xff\xfe garbage\n", file);
        }
        if (i == 150) {
            fputc('$', file);
            for (int x = 0; x < 2000; x++) {
                fputc('9', file);
            }
            fputc('\n', file);
        }
        if (i == 200 || i == 700) {
            fputs(heading, file);
        }
        if (i == 250) {
            fwrite("\0\0\0\n", 1, 4, file);
        }
        if (i == 333) { /* half a line, then the next one begins */
            fprintf(file, "$%lu,%lu,2", sequence, time_us);
            continue;
        }
        if (i >= 400 && i < 405) {
            continue; /* lost on the way */
        }
        put_bench(file, sequence, time_us, &reading, i % 100 == 50 ? 1 : 0, line_end);
        if (i == 450 + 10) { /* comes twice */
            put_bench(file, sequence, time_us, &reading, 0, line_end);
        }
    }
    virtual_rig_destroy(rig);
    fclose(file);
}

/* One number a line below a heading whose rate is not the true one. */
static void make_one_number(const char *folder)
{
    FILE *file = create(folder, "still-one-number.csv");
    struct virtual_rig *rig = start("steady", "seed=4&rate=55.6&plate=720&missing=0&doubtful=0&"
                                              "channels=head");
    fputs("Rate,50\nLength,30\nrange\n", file);
    for (int i = 0; i < 1668; i++) { /* 30 s */
        fprintf(file, "%.1f\n", next_reading(rig, 1).range_mm[0]);
    }
    virtual_rig_destroy(rig);
    fclose(file);
}

/* A raw log of a board: first line cut, old lines, a jump in time, lines lost in bursts, covered
 * windows. */
static void make_raw_log(const char *folder)
{
    FILE *file = create(folder, "raw-log-8ch.csv");
    struct virtual_rig *rig = start("steady", "seed=5&rate=15&channels=8&missing=0&doubtful=0");
    long ms = 9000;
    fputs("241,139,305,1\n", file);
    for (int i = 0; i < 400; i++) {
        struct reading reading = next_reading(rig, 8);
        if (i == 3) {
            ms += 310000; /* the first three were left over from before */
        }
        ms += 67;
        if (i > 20 && i % 32 >= 22 && i % 2 == 1) {
            continue; /* five lines lost, every other one, in 32 */
        }
        fprintf(file, "%ld,bench-b", ms);
        for (int c = 0; c < 8; c++) {
            /* The window of the last two is covered: short ranges that look like readings. */
            double range_mm = c >= 6 ? fmod(reading.range_mm[c] * 7, 30) : reading.range_mm[c];
            fprintf(file, ",%.0f", fmax(range_mm, 0));
        }
        fprintf(file, ",%d\n", i < 200 ? 1 : 2);
    }
    virtual_rig_destroy(rig);
    fclose(file);
}

/* Centimetres with wall-clock stamps and a strength; codes, gaps, a range that froze. */
static void make_codes(const char *folder)
{
    FILE *file = create(folder, "far-with-codes.csv");
    struct virtual_rig *rig = start("restless", "seed=6&rate=33&missing=0&doubtful=0");
    fputs("time,distance [cm],strength,temperature\n", file);
    double frozen_cm = 0;
    for (int i = 0; i < 990; i++) {
        struct reading reading = next_reading(rig, 2);
        double seconds = i / 33.0 + (i >= 500 ? 4.2 : 0) + (i % 40 == 7 ? 0.004 : 0);
        double cm = rint(reading.range_mm[0] / 10);
        int strength = 90 + (i * 7) % 23;
        if (i == 600) {
            frozen_cm = cm;
        }
        if (i >= 600 && i < 800) {
            cm = frozen_cm; /* held, while the strength goes on */
        }
        if (i == 120 || i == 121) {
            cm = 65534;
            strength = 65535;
        } else if (i % 100 == 30) {
            cm = 0;
        } else if (i % 100 == 60) {
            cm = 2000;
        }
        fprintf(file, "2026-01-10T18:%02d:%09.6f+00:00,%.0f,%d,2360\n", (int)(seconds / 60),
                fmod(seconds, 60), cm, strength);
    }
    virtual_rig_destroy(rig);
    fclose(file);
}

/* Metres below a heading line, a label as the last column, 5.000 where nothing came back. */
static void make_no_echo(const char *folder)
{
    FILE *file = create(folder, "no-echo-metres.csv");
    struct virtual_rig *rig =
        start("winter", "seed=7&rate=9&channels=6&missing=0.12&doubtful=0&outliers=0.02");
    fputs("S1,S2,S3,S4,S5,S6,PHASE\n", file);
    for (int i = 0; i < 540; i++) {
        struct reading reading = next_reading(rig, 6);
        for (int c = 0; c < 6; c++) {
            fprintf(file, "%.3f,", isnan(reading.range_mm[c]) ? 5 : reading.range_mm[c] / 1000);
        }
        fputs(i < 270 ? "Riding-In\n" : "Holding\n", file);
    }
    virtual_rig_destroy(rig);
    fclose(file);
}

/* Text around the numbers, as boards print for people. */
static void make_console(const char *folder)
{
    FILE *file = create(folder, "console-text.txt");
    struct virtual_rig *rig = start("winter", "seed=8&rate=20&missing=0&doubtful=0");
    fputs("range board, two sensors\r\nstarting ... ok\r\n", file);
    for (int i = 0; i < 300; i++) {
        struct reading reading = next_reading(rig, 2);
        fprintf(file, "head: %.0f mm  chest: %.0f mm\r\n", reading.range_mm[0],
                reading.range_mm[1]);
    }
    virtual_rig_destroy(rig);
    fclose(file);
}

#define BIKE "bike stack=545 reach=410 head_angle=73 stem_length=100 stem_angle=-6 pad_rise=60 "

/* Two setups of one rider for sessions/spacers-out.txt: 20 mm of spacers come out, half of it is
 * followed. */
static void make_session(const char *folder)
{
    static const char *const holds[2][2] = {{"setup-1-a.rig", "setup-1-b.rig"},
                                            {"setup-2-a.rig", "setup-2-b.rig"}};
    static const char *const plates[2] = {"setup-1-plate.rig", "setup-2-plate.rig"};
    struct virtual_rig *rig = start("steady", "seed=9&rate=25&follow=0.5");
    for (int setup = 0; setup < 2; setup++) {
        tell(rig, setup == 0 ? BIKE "spacers=20" : BIKE "spacers=0");
        tell(rig, "build");
        tell(rig, "plate 930");
        FILE *file = create(folder, plates[setup]);
        write_lines(file, rig, 25 * 8);
        fclose(file);
        tell(rig, "plate off");
        for (int hold = 0; hold < 2; hold++) {
            tell(rig, "sit free");
            file = create(folder, holds[setup][hold]);
            write_lines(file, rig, 25 * 45);
            fclose(file);
        }
    }
    virtual_rig_destroy(rig);
}

static void make_plain_bench(const char *folder, const char *name, const char *rider,
                             const char *parameters, int samples)
{
    FILE *file = create(folder, name);
    struct virtual_rig *rig = start(rider, parameters);
    write_lines(file, rig, samples);
    virtual_rig_destroy(rig);
    fclose(file);
}

int main(int argc, char **argv)
{
    if (argc != 2) {
        fputs("usage: make_recordings FOLDER\n", stderr);
        return 2;
    }
    make_plain_bench(argv[1], "steady.rig", "steady", "seed=1", 1000);
    make_plain_bench(argv[1], "wrong-rate.rig", "winter",
                     "seed=2&rate=55.6&announce=50&lost=0&missing=0.02&doubtful=0.01", 1000);
    make_rough_wire(argv[1]);
    make_one_number(argv[1]);
    make_raw_log(argv[1]);
    make_codes(argv[1]);
    make_no_echo(argv[1]);
    make_console(argv[1]);
    make_session(argv[1]);
    return EXIT_SUCCESS;
}
