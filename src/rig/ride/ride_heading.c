/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "ride_heading.h"

#include "base/text.h"

#include <string.h>

#define CELL_SIZE 128

/* Columns by name. A longer name stands before one that it begins with. */
static const struct {
    const char *name;
    enum ride_channel channel;
} names[] = {
    {"time", RIDE_TIME},
    {"power", RIDE_POWER},
    {"speed", RIDE_SPEED},
    {"distance", RIDE_DISTANCE},
    {"lap", RIDE_LAP},
    {"latitude", RIDE_LATITUDE},
    {"lat", RIDE_LATITUDE},
    {"longitude", RIDE_LONGITUDE},
    {"lon", RIDE_LONGITUDE},
    {"altitude", RIDE_ALTITUDE},
    {"wind", RIDE_WIND},
    {"airtemperature", RIDE_AIR_TEMPERATURE},
    {"temperature", RIDE_AIR_TEMPERATURE},
    {"pressure", RIDE_PRESSURE},
    {"humidity", RIDE_HUMIDITY},
    {"cadence", RIDE_CADENCE},
    {"heartrate", RIDE_HEART},
    {"heart", RIDE_HEART},
};

/* Units of each, the first also where none is said. */
static const struct {
    enum ride_channel channel;
    const char *unit;
    double factor;
} units[] = {
    {RIDE_TIME, "s", 1.0},
    {RIDE_TIME, "sec", 1.0},
    {RIDE_TIME, "seconds", 1.0},
    {RIDE_TIME, "iso8601", 1.0},
    {RIDE_TIME, "utc", 1.0},
    {RIDE_POWER, "w", 1.0},
    {RIDE_POWER, "watt", 1.0},
    {RIDE_POWER, "watts", 1.0},
    {RIDE_SPEED, "m/s", 1.0},
    {RIDE_SPEED, "ms", 1.0},
    {RIDE_SPEED, "km/h", 1.0 / 3.6},
    {RIDE_SPEED, "kmh", 1.0 / 3.6},
    {RIDE_SPEED, "mph", 0.44704},
    {RIDE_DISTANCE, "m", 1.0},
    {RIDE_DISTANCE, "km", 1000.0},
    {RIDE_LAP, "", 1.0},
    {RIDE_LATITUDE, "deg", 1.0},
    {RIDE_LATITUDE, "degrees", 1.0},
    {RIDE_LONGITUDE, "deg", 1.0},
    {RIDE_LONGITUDE, "degrees", 1.0},
    {RIDE_ALTITUDE, "m", 1.0},
    {RIDE_WIND, "m/s", 1.0},
    {RIDE_WIND, "ms", 1.0},
    {RIDE_WIND, "km/h", 1.0 / 3.6},
    {RIDE_WIND, "kmh", 1.0 / 3.6},
    {RIDE_WIND, "mph", 0.44704},
    {RIDE_AIR_TEMPERATURE, "c", 1.0},
    {RIDE_AIR_TEMPERATURE, "degc", 1.0},
    {RIDE_AIR_TEMPERATURE, "celsius", 1.0},
    {RIDE_PRESSURE, "pa", 1.0},
    {RIDE_PRESSURE, "hpa", 100.0},
    {RIDE_PRESSURE, "mbar", 100.0},
    {RIDE_HUMIDITY, "%", 1.0},
    {RIDE_HUMIDITY, "percent", 1.0},
    {RIDE_CADENCE, "1/min", 1.0},
    {RIDE_CADENCE, "/min", 1.0},
    {RIDE_CADENCE, "rpm", 1.0},
    {RIDE_HEART, "1/min", 1.0},
    {RIDE_HEART, "/min", 1.0},
    {RIDE_HEART, "bpm", 1.0},
};
#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

bool ride_cell_next(struct span *rest, char delimiter, char *scratch, size_t size,
                    struct span *cell)
{
    if (rest->text == NULL) {
        return false;
    }
    const char *at = rest->text;
    const char *end = rest->text + rest->length;
    while (at < end && *at == ' ') {
        at++;
    }
    if (at < end && *at == '"') { /* RFC 4180, 2.5 to 2.7 */
        size_t used = 0;
        for (at++; at < end && !(*at == '"' && (at + 1 == end || at[1] != '"')); at++) {
            at += *at == '"' ? 1 : 0;
            if (used < size) {
                scratch[used++] = *at;
            }
        }
        *cell = span_between(scratch, scratch + used);
        const char *next = memchr(at, delimiter, (size_t)(end - at));
        *rest = next != NULL ? span_between(next + 1, end) : (struct span){NULL, 0};
        return true;
    }
    const char *next = memchr(at, delimiter, (size_t)(end - at));
    *cell = span_trim(span_between(at, next != NULL ? next : end));
    *rest = next != NULL ? span_between(next + 1, end) : (struct span){NULL, 0};
    return true;
}

/* Small letters, figures and what units have; brackets end it. */
static size_t bare(char *text, size_t size, struct span span)
{
    size_t used = 0;
    for (size_t i = 0; i < span.length; i++) {
        char character = span.text[i];
        if (character >= 'A' && character <= 'Z') {
            character = (char)(character - 'A' + 'a');
        }
        bool kept = (character >= 'a' && character <= 'z') ||
                    (character >= '0' && character <= '9') || character == '/' || character == '%';
        if (kept && used + 1 < size) {
            text[used++] = character;
        }
    }
    text[used] = '\0';
    return used;
}

/* The unit's factor; 0: none of this channel's. */
static double factor_of(enum ride_channel channel, const char *unit)
{
    for (size_t i = 0; i < COUNT(units); i++) {
        if (units[i].channel == channel && (unit[0] == '\0' || text_equal(units[i].unit, unit))) {
            return units[i].factor;
        }
    }
    return 0.0;
}

static bool unit_not_known(struct span cell, enum ride_channel channel, struct problem *problem)
{
    char known[160] = "";
    size_t used = 0;
    for (size_t i = 0; i < COUNT(units); i++) {
        if (units[i].channel == channel && units[i].unit[0] != '\0') {
            text_append(known, sizeof known, &used, "%s%s", used > 0 ? ", " : "", units[i].unit);
        }
    }
    return problem_set(problem, "column '%.*s': %s is not read in this unit, but in %s",
                       (int)cell.length, cell.text, ride_channel_kinds[channel].name,
                       known[0] != '\0' ? known : "numbers");
}

/* What a cell of the heading names. False: a unit that its channel has not. */
static bool read_name(struct span cell, struct ride_column *column, struct problem *problem)
{
    char text[CELL_SIZE], unit[CELL_SIZE];
    size_t open = 0;
    while (open < cell.length && cell.text[open] != '(' && cell.text[open] != '[') {
        open++;
    }
    bool in_brackets = open < cell.length;
    bare(text, sizeof text, (struct span){cell.text, open});
    bare(unit, sizeof unit, span_between(cell.text + open, cell.text + cell.length));
    column->channel = -1;
    for (size_t i = 0; i < COUNT(names); i++) {
        if (!text_starts_with(text, names[i].name)) {
            continue;
        }
        const char *behind = text + strlen(names[i].name);
        if (in_brackets && behind[0] != '\0') {
            continue;
        }
        const char *said = in_brackets ? unit : behind;
        double factor = factor_of(names[i].channel, said);
        if (factor == 0.0 && in_brackets) {
            return unit_not_known(cell, names[i].channel, problem);
        }
        if (factor != 0.0) {
            column->channel = (int)names[i].channel;
            column->factor = factor;
            column->unit_is_free = names[i].channel == RIDE_PRESSURE && said[0] == '\0';
            return true;
        }
    }
    return true;
}

/* Columns that have one of our names. */
static int read_columns(struct ride_heading *heading, struct span line, char delimiter,
                        struct problem *problem)
{
    char scratch[CELL_SIZE];
    struct span rest = line;
    struct span cell;
    int ours = 0;
    memset(heading, 0, sizeof *heading);
    heading->delimiter = delimiter;
    heading->comma_too = delimiter != ',';
    while (ride_cell_next(&rest, delimiter, scratch, sizeof scratch, &cell)) {
        if (heading->columns == RIDE_COLUMNS_MAX) {
            problem_set(problem, "more than %d columns: this is no ride", RIDE_COLUMNS_MAX);
            return -1;
        }
        struct ride_column *column = &heading->column[heading->columns++];
        if (!read_name(cell, column, problem)) {
            return -1;
        }
        if (column->channel < 0) {
            continue;
        }
        if (heading->has[column->channel]) {
            problem_set(problem, "two columns are %s: '%s' and '%.*s'; leave the one to be used",
                        ride_channel_kinds[column->channel].name, heading->label[column->channel],
                        (int)cell.length, cell.text);
            return -1;
        }
        heading->has[column->channel] = true;
        char label[CELL_SIZE];
        size_t length = cell.length < sizeof label - 1 ? cell.length : sizeof label - 1;
        memcpy(label, cell.text, length);
        label[length] = '\0';
        text_clean(heading->label[column->channel], sizeof heading->label[0], label);
        ours++;
    }
    return ours;
}

bool ride_heading_read(struct ride_heading *heading, struct span line, struct problem *problem)
{
    static const char delimiters[] = {',', ';', '\t'};
    struct ride_heading tried;
    int best = -1;
    struct problem first = {PROBLEM_NONE, ""};
    for (size_t i = 0; i < sizeof delimiters; i++) {
        struct problem why = {PROBLEM_NONE, ""};
        int ours = read_columns(&tried, line, delimiters[i], &why);
        bool more_cells = ours == best && ours > 0 && tried.columns > heading->columns;
        if (ours > best || more_cells) {
            *heading = tried;
            best = ours;
        }
        if (ours < 0 && first.sentence[0] == '\0') {
            first = why;
        }
    }
    if (first.sentence[0] != '\0' && best < 2) {
        return problem_set(problem, "%s", first.sentence);
    }
    if (best < 1) {
        return problem_set(problem, "no heading: the first line names the columns, such as "
                                    "'time (s),power (W),speed (m/s)'");
    }
    const char *lacks = !heading->has[RIDE_TIME]    ? "time"
                        : !heading->has[RIDE_POWER] ? "power"
                        : !heading->has[RIDE_SPEED] && !heading->has[RIDE_DISTANCE] &&
                                !(heading->has[RIDE_LATITUDE] && heading->has[RIDE_LONGITUDE])
                            ? "speed or distance"
                            : NULL;
    if (lacks != NULL) {
        return problem_set(problem, "no column is called %s: drag can't be worked out without",
                           lacks);
    }
    return true;
}
