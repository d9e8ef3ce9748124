/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/demo_day.h"

#include "base/own_file.h"
#include "base/text.h"
#include "base/words.h"
#include "rig/virtual_day.h"

#include <errno.h>
#include <limits.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#define GPX_FROM_RUN 6 /* from 0 on */

static const char beginning[] = "rider R-07 \"winter group, Tuesday\"\n"
                                "setup 1 \"as it came\"\n"
                                "setup 2 \"pads down\" pad_rise=-25\n"
                                "mass 85kg\n"
                                "course out_and_back length=1000m\n";

struct day_script {
    char *text;
    size_t size, used;
};

static void put(struct day_script *script, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
static void put(struct day_script *script, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    text_append_list(script->text, script->size, &script->used, format, arguments);
    va_end(arguments);
}

static bool write_ride(const struct virtual_day *day, int run, const char *path,
                       struct problem *problem)
{
    unlink(path);
    int descriptor = own_file_open(path, 0);
    FILE *stream = descriptor >= 0 ? fdopen(descriptor, "w") : NULL;
    if (stream == NULL) {
        problem_set(problem, "'%s' cannot be written: %s", path, strerror(errno));
        if (descriptor >= 0) {
            close(descriptor);
        }
        return false;
    }
    bool written = run >= GPX_FROM_RUN ? virtual_day_write_gpx(day, run, stream)
                                       : virtual_day_write_table(day, run, stream);
    bool closed = fclose(stream) == 0;
    return (written && closed) || problem_set(problem, "'%s' cannot be written", path);
}

static void put_air(const struct virtual_day *day, bool at_end, struct day_script *script)
{
    struct virtual_air air = virtual_day_air(day, at_end);
    put(script, "air %.1fC %.1fhPa %.0f%% wind=%.1fm/s at=%d:%02d\n", air.temperature_c,
        air.pressure_hpa, air.humidity_percent, air.wind_m_s, air.at_min / 60, air.at_min % 60);
}

static void put_run(const struct virtual_day *day, int run, const char *path,
                    struct day_script *script)
{
    struct virtual_run told;
    char quoted[2 * WORD_SIZE];
    virtual_day_run(day, run, &told);
    words_quote(quoted, sizeof quoted, path);
    put(script, "run setup=%d from=%s at=%d:%02d effort=%.0f", told.setup + 1, quoted,
        told.at_min / 60, told.at_min % 60, told.effort);
    put(script, run == 0 ? " speed=wheel" : "");
    if (run >= GPX_FROM_RUN) {
        struct virtual_place ends[2];
        virtual_day_places(day, ends);
        put(script, " line=%.7f,%.7f,%.0f other_line=%.7f,%.7f,%.0f", ends[0].latitude_deg,
            ends[0].longitude_deg, ends[0].heading_deg, ends[1].latitude_deg, ends[1].longitude_deg,
            ends[1].heading_deg);
    }
    put(script, "\n");
    for (int i = 0; i < told.passers; i++) {
        put(script, "reject run %d.%d \"a car passed\"\n", run + 1, told.passer_leg[i]);
    }
}

bool demo_day(const char *folder, uint64_t seed, char *text, size_t size, struct problem *problem)
{
    struct virtual_day_settings settings;
    struct day_script script = {.text = text, .size = size};
    virtual_day_defaults(&settings, seed);
    struct virtual_day *day = virtual_day_create(&settings);
    if (day == NULL) {
        return problem_set(problem, "no memory for a day of runs");
    }
    put(&script, "session 2026-03-07T08:00:00Z seed=%llu\n%s", (unsigned long long)seed, beginning);
    put_air(day, false, &script);
    bool done = true;
    for (int run = 0; done && run < settings.runs; run++) {
        char path[PATH_MAX];
        int length = snprintf(path, sizeof path, "%s/holdline-demo-run-%d.%s", folder, run + 1,
                              run >= GPX_FROM_RUN ? "gpx" : "csv");
        done = length > 0 && length < (int)sizeof path && length < WORD_SIZE
                   ? write_ride(day, run, path, problem)
                   : problem_set(problem, "the folder's name is too long");
        put_run(day, run, path, &script);
    }
    put_air(day, true, &script);
    put(&script, "note \"invented rider on a modelled road\"\nend\n");
    virtual_day_free(day);
    return done;
}
