/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/clock.h"
#include "base/text.h"
#include "rig/virtual_day.h"

#include <math.h>

/* The runs of a virtual day as files. */

static void put_number(FILE *stream, double value, int decimals)
{
    char text[64];
    text_from_double(text, sizeof text, value, decimals);
    fputs(text, stream);
}

static void put_cell(FILE *stream, double value, int decimals)
{
    fputc(',', stream);
    if (!isnan(value)) {
        put_number(stream, value, decimals);
    }
}

bool virtual_day_write_table(const struct virtual_day *day, int run, FILE *stream)
{
    struct ride *ride = virtual_day_ride(day, run);
    if (ride == NULL) {
        return false;
    }
    fputs("time (s),power (W),speed (m/s),distance (m),lap,altitude (m),cadence (1/min),"
          "heart (1/min)\n",
          stream);
    for (size_t i = 0; i < ride->count; i++) {
        put_number(stream, ride->time_s[i], 0);
        put_cell(stream, ride->power_w[i], 0);
        put_cell(stream, ride->speed_m_s[i], 2);
        put_cell(stream, ride->distance_m[i], 1);
        put_cell(stream, ride->lap[i], 0);
        put_cell(stream, ride->altitude_m[i], 1);
        put_cell(stream, (double)ride->cadence_per_min[i], 0);
        put_cell(stream, (double)ride->heart_per_min[i], 0);
        fputc('\n', stream);
    }
    ride_free(ride);
    return ferror(stream) == 0;
}

static void put_element(FILE *stream, const char *name, double value, int decimals)
{
    fprintf(stream, "<%s>", name);
    put_number(stream, value, decimals);
    fprintf(stream, "</%s>", name);
}

bool virtual_day_write_gpx(const struct virtual_day *day, int run, FILE *stream)
{
    struct ride *ride = virtual_day_ride(day, run);
    bool has_places = ride != NULL && ride->latitude_deg != NULL;
    if (!has_places) {
        ride_free(ride);
        return false;
    }
    fputs("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
          "<gpx version=\"1.1\" creator=\"holdline\" "
          "xmlns=\"http://www.topografix.com/GPX/1/1\">\n<trk><trkseg>\n",
          stream);
    for (size_t i = 0; i < ride->count; i++) {
        char when[CLOCK_TEXT_SIZE];
        clock_wall_text(when, (ride->start_unix_us + llround(ride->time_s[i] * 1e6)) / 1000);
        fputs("<trkpt lat=\"", stream);
        put_number(stream, ride->latitude_deg[i], 7);
        fputs("\" lon=\"", stream);
        put_number(stream, ride->longitude_deg[i], 7);
        fputs("\">", stream);
        put_element(stream, "ele", ride->altitude_m[i], 1);
        fprintf(stream, "<time>%s</time><extensions>", when);
        put_element(stream, "power", ride->power_w[i], 0);
        put_element(stream, "speed", ride->speed_m_s[i], 2);
        put_element(stream, "hr", (double)ride->heart_per_min[i], 0);
        put_element(stream, "cad", (double)ride->cadence_per_min[i], 0);
        fputs("</extensions></trkpt>\n", stream);
    }
    fputs("</trkseg></trk>\n</gpx>\n", stream);
    ride_free(ride);
    return ferror(stream) == 0;
}
