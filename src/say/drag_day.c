/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/drag_day.h"

#include "base/numbers.h"
#include "base/text.h"
#include "measure/distribution.h"
#include "measure/rules.h"

#include <math.h>
#include <stdio.h>

/* '0.0043 (0.0037 to 0.0049)' of a coefficient of rolling resistance. */
static void append_measured(char *text, size_t size, size_t *used, double value, double u)
{
    double half = normal_quantile(INTERVAL_HIGH) * u;
    char middle[24], low[24], high[24];
    say_number(middle, sizeof middle, value, 4);
    say_number(low, sizeof low, value - half, 4);
    say_number(high, sizeof high, value + half, 4);
    text_append(text, size, used, "%s (%s to %s)", middle, low, high);
}

void say_drag_day(char *text, size_t size, const struct session_record *record,
                  const struct drag_analysis *drag)
{
    const struct drag_settings *day = &record->drag;
    bool laps = day->course == COURSE_LAPS;
    char mass[40], length[40], rise[40], rolling[40];
    size_t used = 0;
    text_from_double_shortest(mass, sizeof mass, day->mass_kg);
    text_append(text, size, &used, "Rider and bike %s kg; %s", mass,
                laps ? "laps" : "out and back");
    if (day->course_length_m > 0.0) {
        text_from_double_shortest(length, sizeof length, day->course_length_m);
        text_append(text, size, &used, laps ? " of %s m" : " over %s m", length);
    }
    if (isfinite(day->rise_m) && !laps) {
        text_from_double_shortest(rise, sizeof rise, day->rise_m);
        text_append(text, size, &used, " rising by %s m", rise);
    }
    text_append(text, size, &used, "%s; rolling resistance ", day->indoors ? ", indoors" : "");
    if (drag->rolling.from == DRAG_ROLLING_STEPS) {
        append_measured(text, size, &used, drag->rider.rolling, drag->rolling.u_rolling);
        text_append(text, size, &used, ", by the steps of run %d",
                    record->run[drag->rolling.run].number);
    } else {
        text_from_double_shortest(rolling, sizeof rolling, drag->rider.rolling);
        text_append(text, size, &used, "%s%s", rolling,
                    drag->rolling.from == DRAG_ROLLING_SAID ? "" : " (usual)");
    }
}

void say_drag_steps(char *text, size_t size, const struct session_record *record,
                    const struct drag_analysis *drag)
{
    const struct drag_rolling *rolling = &drag->rolling;
    bool laps = record->drag.course == COURSE_LAPS;
    char slow[24], fast[24], value[24];
    size_t used = 0;
    text[0] = '\0';
    if (rolling->state == DRAG_STEPS_NONE) {
        return;
    }
    say_number(slow, sizeof slow, 3.6 * rolling->slowest_m_per_s, 1);
    say_number(fast, sizeof fast, 3.6 * rolling->fastest_m_per_s, 1);
    text_append(text, size, &used, "Steps of run %d: ", record->run[rolling->run].number);
    switch (rolling->state) {
    case DRAG_STEPS_FEW:
        text_append(text, size, &used, "%d %s can be used, %d are needed for rolling resistance",
                    rolling->steps, laps ? "laps" : "pairs of ways", DRAG_STEPS_MIN);
        break;
    case DRAG_STEPS_NARROW:
        text_append(text, size, &used,
                    "from %s to %s km/h are too much alike for rolling resistance: ride from 22 to "
                    "43 km/h, the fastest at least %g times as fast as the slowest",
                    slow, fast, DRAG_STEPS_SPAN);
        break;
    case DRAG_STEPS_WIND:
        text_append(text, size, &used,
                    "no rolling resistance from laps in an unknown wind, or in "
                    "too much");
        break;
    case DRAG_STEPS_NO_TYRE:
        say_number(value, sizeof value, rolling->line.rolling, 4);
        text_append(text, size, &used,
                    "they come to %s, which is no tyre's rolling resistance: are speed, power, "
                    "mass and air right?",
                    value);
        break;
    default:
        text_append(text, size, &used, "%d %s, %s to %s km/h: by themselves ", rolling->steps,
                    laps ? "laps" : "pairs of ways", slow, fast);
        append_measured(text, size, &used, rolling->line.rolling, rolling_line_u(&rolling->line));
        text_append(text, size, &used, ", with what tyres usually have ");
        append_measured(text, size, &used, rolling->line.together, rolling->line.together_u);
        text_append(text, size, &used, "%s",
                    rolling->from == DRAG_ROLLING_SAID ? "; what was said is reckoned with" : "");
        break;
    }
}

void say_drag_air(char *text, size_t size, const struct air_record *air)
{
    char temperature[40], pressure[40], humidity[40], wind[40];
    size_t used = 0;
    text_from_double_shortest(temperature, sizeof temperature, air->temperature_c);
    text_from_double_shortest(pressure, sizeof pressure, air->pressure_hpa);
    text_from_double_shortest(humidity, sizeof humidity, air->humidity_percent);
    text_append(text, size, &used, "%s \u00b0C, %s hPa, %s %%", temperature, pressure, humidity);
    if (isfinite(air->wind_m_per_s)) {
        text_from_double_shortest(wind, sizeof wind, air->wind_m_per_s);
        text_append(text, size, &used, ", wind %s m/s", wind);
    }
    if (isfinite(air->at_min)) {
        int minutes = (int)lround(air->at_min);
        text_append(text, size, &used, " at %02d:%02d", minutes / 60, minutes % 60);
    } else if (air->after_run > 0) {
        text_append(text, size, &used, " after run %d", air->after_run);
    } else {
        text_append(text, size, &used, " before the first run");
    }
}
