/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/limits.h"

#include "base/language.h"
#include "base/nearest.h"
#include "base/numbers.h"
#include "base/text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void bike_limits_clear(struct bike_limits *limits)
{
    for (int i = 0; i < BIKE_LIMITS; i++) {
        limits->least[i] = limits->most[i] = NAN;
    }
}

int bike_limits_entered(const struct bike_limits *limits)
{
    int count = 0;
    for (int i = 0; i < BIKE_LIMITS; i++) {
        count += !isnan(limits->least[i]) + !isnan(limits->most[i]);
    }
    return count;
}

void bike_limits_add(struct bike_limits *limits, const struct bike_limits *more)
{
    for (int i = 0; i < BIKE_LIMITS; i++) {
        if (!isnan(more->least[i]) || !isnan(more->most[i])) {
            limits->least[i] = more->least[i];
            limits->most[i] = more->most[i];
        }
    }
}

void bike_limits_tighten(struct bike_limits *limits, const struct bike_limits *more)
{
    for (int i = 0; i < BIKE_LIMITS; i++) {
        limits->least[i] = fmax(limits->least[i], more->least[i]); /* NAN gives way */
        limits->most[i] = fmin(limits->most[i], more->most[i]);
    }
}

const char *bike_limit_key(int limit)
{
    return limit == BIKE_LIMIT_COLUMN ? "column" : bike_fields[limit].key;
}

const char *bike_limit_words(int limit)
{
    return limit == BIKE_LIMIT_COLUMN ? N_("cap, spacers and stem clamp together")
                                      : bike_fields[limit].words;
}

const char *bike_limit_unit(int limit)
{
    return limit == BIKE_LIMIT_COLUMN ? "mm" : bike_fields[limit].unit;
}

int bike_limit_find(const char *key)
{
    return text_equal(key, bike_limit_key(BIKE_LIMIT_COLUMN)) ? (int)BIKE_LIMIT_COLUMN
                                                              : bike_key_find(key);
}

/* '30', '5..30', '5..', 'none': a bound that is not there stays NAN. */
static bool read_bounds(const char *text, double *least, double *most)
{
    char low[32];
    const char *dots = strstr(text, "..");
    *least = *most = NAN;
    if (text_equal(text, "none")) {
        return true;
    }
    if (!dots) {
        return text_to_double(text, most);
    }
    size_t length = (size_t)(dots - text);
    if (length >= sizeof low) {
        return false;
    }
    memcpy(low, text, length);
    low[length] = '\0';
    return text_to_double(low, least) && (dots[2] == '\0' || text_to_double(dots + 2, most)) &&
           !(*least > *most);
}

void bike_limit_range(int limit, double *minimum, double *maximum)
{
    static const enum bike_key column[] = {BIKE_HEADSET_CAP, BIKE_SPACERS, BIKE_STEM_CLAMP_HEIGHT};
    bool is_column = limit == BIKE_LIMIT_COLUMN;
    *minimum = is_column ? 0.0 : bike_fields[limit].minimum;
    *maximum = is_column ? 0.0 : bike_fields[limit].maximum;
    for (size_t i = 0; is_column && i < sizeof column / sizeof column[0]; i++) {
        *minimum += bike_fields[column[i]].minimum;
        *maximum += bike_fields[column[i]].maximum;
    }
}

/* A bound outside what can be typed as a value is a slip as well: inches, say. */
static bool check_bound(int limit, double bound, struct problem *problem)
{
    double minimum, maximum;
    char low[32], high[32], given[32];
    if (isnan(bound) || limit != BIKE_LIMIT_COLUMN) {
        return isnan(bound) || bike_value_check(limit, bound, problem);
    }
    bike_limit_range(limit, &minimum, &maximum);
    if (bound >= minimum && bound <= maximum) {
        return true;
    }
    text_from_double_shortest(low, sizeof low, minimum);
    text_from_double_shortest(high, sizeof high, maximum);
    text_from_double_shortest(given, sizeof given, bound);
    return problem_usage(problem, "column=%s is outside %s to %s mm", given, low, high);
}

bool bike_limits_read(struct bike_limits *limits, const char *key, const char *text,
                      struct problem *problem)
{
    double least, most;
    int limit = bike_limit_find(key);
    if (limit < 0) {
        char meant[NEAREST_TEXT_SIZE];
        bike_key_meant(key, meant, sizeof meant);
        return problem_usage(problem, "limit %s: there is no such measure%s", key,
                             meant[0] != '\0' ? meant : " (a bike's, or 'column')");
    }
    if (!read_bounds(text, &least, &most)) {
        return problem_usage(problem,
                             "limit %s=%s: say '30' (at most), '5..30', '5..' (at least) or 'none'",
                             key, text);
    }
    if (!check_bound(limit, least, problem) || !check_bound(limit, most, problem)) {
        return problem_prefix(problem, "limit");
    }
    limits->least[limit] = least;
    limits->most[limit] = most;
    return true;
}

bool bike_limits_read_word(struct bike_limits *limits, const char *word, struct problem *problem)
{
    char key[32];
    const char *equals = strchr(word, '=');
    if (!equals || equals == word || (size_t)(equals - word) >= sizeof key) {
        return problem_usage(problem, "--limit=%s: say KEY=VALUE, as spacers=30", word);
    }
    memcpy(key, word, (size_t)(equals - word));
    key[equals - word] = '\0';
    return bike_limits_read(limits, key, equals + 1, problem);
}

bool bike_limits_read_line(struct bike_limits *limits, const struct words *line,
                           struct problem *problem)
{
    struct bike_limits read = *limits;
    for (int i = 1; i < line->count; i++) {
        const struct word *word = &line->word[i];
        if (word->key == NULL) {
            return problem_set(problem, "limits: '%s' is no measure=limit", word->value);
        }
        if (!bike_limits_read(&read, word->key, word->value, problem)) {
            return problem_prefix(problem, "limits");
        }
    }
    *limits = read;
    return true;
}

void bike_limit_typed(const struct bike_limits *limits, int limit, char *text, size_t size)
{
    char least[32] = "", most[32] = "";
    bool has_least = !isnan(limits->least[limit]), has_most = !isnan(limits->most[limit]);
    size_t used = 0;
    if (has_least) {
        text_from_double_shortest(least, sizeof least, limits->least[limit]);
    }
    if (has_most) {
        text_from_double_shortest(most, sizeof most, limits->most[limit]);
    }
    text_copy(text, size, "");
    text_append(text, size, &used, "%s%s%s", least, has_least ? ".." : "", most);
}

/* Rounding of typed decimals is no passing. */
#define SLACK 1e-9

static double value_of(const struct bike_values *bike, int limit)
{
    return limit == BIKE_LIMIT_COLUMN
               ? bike_value(bike, BIKE_HEADSET_CAP) + bike_value(bike, BIKE_SPACERS) +
                     bike_value(bike, BIKE_STEM_CLAMP_HEIGHT)
               : bike_value(bike, (enum bike_key)limit);
}

/* Over or under it, and the bound in numbers. */
static bool is_passed(const struct bike_limits *limits, int limit, double value, bool *over,
                      char bound[32])
{
    bool under = value < limits->least[limit] - SLACK;
    *over = value > limits->most[limit] + SLACK;
    say_exact(bound, 32, *over ? limits->most[limit] : limits->least[limit]);
    return *over || under;
}

bool bike_limit_passed(const struct bike_limits *limits, int limit, double value, char *text,
                       size_t size)
{
    bool over;
    char bound[32];
    size_t used = 0;
    bool passed = is_passed(limits, limit, value, &over, bound);
    text_copy(text, size, "");
    if (passed) {
        text_append(text, size, &used, "%s %s", over ? "max" : "min", bound);
    }
    return passed;
}

int bike_limits_passed(const struct bike_limits *limits, const struct bike_values *bike, char *text,
                       size_t size)
{
    int passed = 0;
    size_t used = 0;
    if (text != NULL) {
        text_copy(text, size, "");
    }
    for (int i = 0; i < BIKE_LIMITS; i++) {
        const char *unit = bike_limit_unit(i);
        bool over;
        char given[32], bound[32];
        double value = value_of(bike, i);
        if (!is_passed(limits, i, value, &over, bound)) {
            continue;
        }
        if (text != NULL) {
            say_exact(given, sizeof given, value);
            text_append(text, size, &used, "%s", passed > 0 ? "; " : "");
            text_append(text, size, &used,
                        over ? T_("%s %s %s: over the limit entered, %s %s")
                             : T_("%s %s %s: under the limit entered, %s %s"),
                        T_(bike_limit_words(i)), given, unit, bound, unit);
        }
        passed++;
    }
    return passed;
}
