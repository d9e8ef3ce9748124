/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/drag_record.h"

#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

void drag_settings_clear(struct drag_settings *settings)
{
    *settings = (struct drag_settings){
        .mass_kg = NAN, .rolling = NAN, .course_length_m = NAN, .rise_m = NAN, .matters_m2 = NAN};
}

void air_record_clear(struct air_record *air)
{
    memset(air, 0, sizeof *air);
    air->temperature_c = air->pressure_hpa = air->humidity_percent = NAN;
    air->wind_m_per_s = air->at_min = NAN;
}

void run_record_clear(struct run_record *run)
{
    memset(run, 0, sizeof *run);
    run->setup = -1;
    run->at_min = run->power_w = run->heart_per_min = run->effort = NAN;
}

void leg_record_clear(struct leg_record *leg)
{
    memset(leg, 0, sizeof *leg);
    leg->run = -1;
}

bool run_laps_range(const char *text, int *from, int *to)
{
    int64_t first = 1, last = INT32_MAX;
    char begin[16];
    *from = 0;
    *to = INT32_MAX;
    if (text == NULL || text[0] == '\0') {
        return true;
    }
    const char *dots = strstr(text, "..");
    snprintf(begin, sizeof begin, "%.*s", (int)(dots != NULL ? dots - text : 15), text);
    bool good = text_to_int64(begin, &first) && first >= 0;
    last = first;
    good = good && (dots == NULL || text_to_int64(dots + 2, &last)) && last >= first &&
           last < INT32_MAX;
    *from = (int)first;
    *to = (int)last;
    return good;
}
