#include "bike/limits.h"

#include "base/text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void bike_limits_clear(struct bike_limits *limits)
{
    for (int i = 0; i < BIKE_KEYS; i++) {
        limits->least[i] = limits->most[i] = NAN;
    }
    limits->column_least_mm = limits->column_most_mm = NAN;
}

int bike_limits_entered(const struct bike_limits *limits)
{
    int count = !isnan(limits->column_least_mm) + !isnan(limits->column_most_mm);
    for (int i = 0; i < BIKE_KEYS; i++) {
        count += !isnan(limits->least[i]) + !isnan(limits->most[i]);
    }
    return count;
}

/* '30', '5..30', '5..': a bound that is not there stays NAN. */
static bool read_bounds(const char *text, double *least, double *most)
{
    char low[32];
    const char *dots = strstr(text, "..");
    *least = *most = NAN;
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

bool bike_limits_read(struct bike_limits *limits, const char *key, const char *text,
                      struct problem *problem)
{
    double least, most;
    int index = bike_key_find(key);
    bool column = text_equal(key, "column");
    if (index < 0 && !column) {
        return problem_usage(problem, "limit %s: there is no such measure (a bike's, or 'column')",
                             key);
    }
    if (!read_bounds(text, &least, &most)) {
        return problem_usage(
            problem, "limit %s=%s: say '30' (at most), '5..30' or '5..' (at least)", key, text);
    }
    *(column ? &limits->column_least_mm : &limits->least[index]) = least;
    *(column ? &limits->column_most_mm : &limits->most[index]) = most;
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

/* Rounding of typed decimals is no passing. */
#define SLACK 1e-9

static int check(const char *words, const char *unit, double value, double least, double most,
                 char *text, size_t size, size_t *used)
{
    bool over = value > most + SLACK, under = value < least - SLACK;
    if (!over && !under) {
        return 0;
    }
    if (text) {
        char given[32], limit[32];
        text_from_double_shortest(given, sizeof given, value);
        text_from_double_shortest(limit, sizeof limit, over ? most : least);
        text_append(text, size, used, "%s%s %s %s: %s the limit entered, %s %s",
                    *used > 0 ? "; " : "", words, given, unit, over ? "over" : "under", limit,
                    unit);
    }
    return 1;
}

int bike_limits_passed(const struct bike_limits *limits, const struct bike_values *bike, char *text,
                       size_t size)
{
    int passed = 0;
    size_t used = 0;
    if (text && size > 0) {
        text[0] = '\0';
    }
    for (int i = 0; i < BIKE_KEYS; i++) {
        passed +=
            check(bike_fields[i].words, bike_fields[i].unit, bike_value(bike, (enum bike_key)i),
                  limits->least[i], limits->most[i], text, size, &used);
    }
    double column = bike_value(bike, BIKE_HEADSET_CAP) + bike_value(bike, BIKE_SPACERS) +
                    bike_value(bike, BIKE_STEM_CLAMP_HEIGHT);
    passed += check("cap, spacers and stem clamp together", "mm", column, limits->column_least_mm,
                    limits->column_most_mm, text, size, &used);
    return passed;
}
