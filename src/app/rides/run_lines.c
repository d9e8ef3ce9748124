/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/run_lines.h"

#include "run_legs.h"

#include "base/clock.h"
#include "base/numbers.h"
#include "base/text.h"
#include "bike/fields.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LINES_MOST (4 * LEGS_MAX)

struct run_lines {
    int count;
    char *line[LINES_MOST];
    char passed_over[SAY_SIZE];
    char from[WORD_SIZE]; /* the ride's file */
};

bool run_lines_wanted(const struct words *words)
{
    return words->count > 0 && words->word[0].key == NULL &&
           text_equal(words->word[0].value, "run") && words_value(words, "from") != NULL;
}

void run_lines_close(struct run_lines *lines)
{
    for (int i = 0; lines != NULL && i < lines->count; i++) {
        free(lines->line[i]);
    }
    free(lines);
}

static bool add_line(struct run_lines *lines, const char *text, struct problem *problem)
{
    if (lines->count == LINES_MOST) {
        return problem_set(problem, "more laps than a session holds");
    }
    lines->line[lines->count] = strdup(text);
    return lines->line[lines->count++] != NULL ||
           (lines->count-- > 0 && problem_set(problem, "no memory for a run"));
}

/* ---- texts of lines --------------------------------------------------------------------------
 */

struct line {
    char text[COMMAND_TEXT_SIZE];
    size_t used;
};

static void put(struct line *line, const char *format, ...) __attribute__((format(printf, 2, 3)));
static void put(struct line *line, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    text_append_list(line->text, sizeof line->text, &line->used, format, arguments);
    va_end(arguments);
}

static void put_number(struct line *line, const char *key, double value, const char *unit)
{
    char number[40];
    text_from_double_shortest(number, sizeof number, value);
    put(line, " %s=%s%s", key, number, unit);
}

static void put_text(struct line *line, const char *key, const char *text)
{
    char quoted[2 * WORD_SIZE];
    words_quote(quoted, sizeof quoted, text);
    put(line, " %s=%s", key, quoted);
}

static const char *name_alone(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash != NULL ? slash + 1 : path;
}

/* The file's own word, where it has one, must not be contradicted. */
static bool speed_words(const struct ride *ride, const struct words *words, const char **speed,
                        struct problem *problem)
{
    const char *said = words_value(words, "speed");
    const char *known = word_of(&ride_source_words, ride->speed_from);
    *speed = known != NULL ? known : said;
    return said == NULL || known == NULL || text_equal(said, known) ||
           problem_set(problem, "%s: its speed comes from %s, not from %s",
                       name_alone(words_value(words, "from")), known, said);
}

/* ---- lines -----------------------------------------------------------------------------------
 */

/* When the file says that it began, as a time of day here: that of the air as well. */
static void put_start(struct line *line, const struct ride *ride)
{
    int64_t unix_ms = ride->start_unix_us / 1000;
    int64_t ahead_ms = ride->zone_assumed ? 0 : clock_local_ahead_ms(unix_ms);
    int64_t of_day_min = (unix_ms + ahead_ms) % CLOCK_DAY_MS / 60000;
    put(line, " at=%d:%02d", (int)(of_day_min / 60), (int)(of_day_min % 60));
}

static bool add_run(struct run_lines *lines, const struct words *words, const struct ride *ride,
                    const struct run_legs *legs, uint64_t sum, struct problem *problem)
{
    static const char *const handed[] = {"setup", "laps", "at", "effort", "rested", "steps"};
    struct line line = {"run", 3};
    const char *speed = NULL;
    if (!speed_words(ride, words, &speed, problem)) {
        return false;
    }
    for (size_t i = 0; i < sizeof handed / sizeof handed[0]; i++) {
        if (words_value(words, handed[i]) != NULL) {
            put_text(&line, handed[i], words_value(words, handed[i]));
        }
    }
    for (int k = 0; k < BIKE_KEYS; k++) { /* the parts by which its setup is found */
        if (words_value(words, bike_fields[k].key) != NULL) {
            put_text(&line, bike_fields[k].key, words_value(words, bike_fields[k].key));
        }
    }
    if (words_value(words, "at") == NULL && ride->has_start) {
        put_start(&line, ride);
    }
    put_text(&line, "file", name_alone(words_value(words, "from")));
    put(&line, " sum=%016" PRIx64, sum);
    if (speed != NULL) {
        put_text(&line, "speed", speed);
    }
    if (isfinite(legs->power_w)) {
        put(&line, " power=%.1fW", legs->power_w);
    }
    if (isfinite(legs->heart_per_min)) {
        put(&line, " heart=%.1f", legs->heart_per_min);
    }
    if (lines->passed_over[0] != '\0') {
        put_text(&line, "passed", lines->passed_over);
    }
    return add_line(lines, line.text, problem);
}

static bool add_pieces(struct run_lines *lines, const struct run_leg *leg, struct problem *problem)
{
    static const int each = 12; /* in one line */
    for (int from = 0; from < leg->piece_count; from += each) {
        struct line line = {"and pieces", 10};
        for (int p = from; p < leg->piece_count && p < from + each; p++) {
            char work[32], mean[32], end[32];
            text_from_double(work, sizeof work, leg->piece[p].work_j, 2);
            text_from_double(mean, sizeof mean, leg->piece[p].speed_m_per_s, 4);
            text_from_double(end, sizeof end, leg->piece[p].out_m_per_s, 4);
            put(&line, " %s/%s/%s", work, mean, end);
        }
        if (!add_line(lines, line.text, problem)) {
            return false;
        }
    }
    return true;
}

static bool add_leg(struct run_lines *lines, const struct run_leg *leg, struct problem *problem)
{
    struct line line = {"and leg", 7};
    put_text(&line, "way", leg->way);
    if (leg->pair > 0) {
        put(&line, " pair=%d", leg->pair);
    }
    if (leg->sums.length_m > 0.0) {
        put_number(&line, "length", leg->sums.length_m, "m");
        put_number(&line, "time", leg->sums.duration_s, "s");
        put_number(&line, "work", leg->sums.work_j, "J");
        put_number(&line, "mean", leg->sums.speed_m_per_s, "m/s");
        put_number(&line, "squared", leg->sums.speed_squared, "");
        put_number(&line, "in", leg->sums.in_m_per_s, "m/s");
        put_number(&line, "out", leg->sums.out_m_per_s, "m/s");
    }
    if (leg->left_out[0] != '\0') {
        put_text(&line, "left_out", leg->left_out);
    }
    if (leg->piece_count > 0) {
        put_number(&line, "pieces", leg->piece_m, "m");
    }
    return add_line(lines, line.text, problem) && add_pieces(lines, leg, problem);
}

static void put_passed_over(struct run_lines *lines, size_t *used, const char *what, uint64_t count)
{
    if (count > 0) {
        text_append(lines->passed_over, sizeof lines->passed_over, used, "%s%s (%" PRIu64 ")",
                    *used > 0 ? ", " : "", what, count);
    }
}

/* What of the file is in no lap or way, by reason. */
static void count_passed_over(struct run_lines *lines, const struct ride *ride,
                              const struct run_legs *legs)
{
    size_t used = 0;
    for (int i = 0; i < RIDE_PASSED_REASONS; i++) {
        put_passed_over(lines, &used, ride_passed_text((enum ride_passed)i), ride->passed[i]);
    }
    put_passed_over(lines, &used, "stretches that are no lap or way", legs->beside);
}

const char *run_lines_passed_over(const struct run_lines *lines)
{
    return lines->passed_over;
}

static bool only_known_keys(const struct words *words, struct problem *problem)
{
    static const char *const keys[] = {"setup", "from", "laps",       "at",     "effort", "speed",
                                       "times", "line", "other_line", "rested", "steps"};
    for (int i = 1; i < words->count; i++) {
        bool known = words->word[i].key != NULL && bike_key_find(words->word[i].key) >= 0;
        for (size_t k = 0; words->word[i].key != NULL && k < sizeof keys / sizeof keys[0]; k++) {
            known = known || text_equal(words->word[i].key, keys[k]);
        }
        if (!known) {
            return problem_set(problem, "run: there is no '%s' here",
                               words->word[i].key != NULL ? words->word[i].key
                                                          : words->word[i].value);
        }
    }
    return true;
}

struct run_lines *run_lines_read(const struct words *words, const struct drag_settings *course,
                                 const struct ride_watch *watch, struct problem *problem)
{
    uint64_t sum = 0;
    struct run_lines *lines = NULL;
    struct run_legs *legs = NULL;
    if (!only_known_keys(words, problem)) {
        return NULL;
    }
    struct ride *ride = ride_file_read(words_value(words, "from"), watch, &sum, problem);
    if (ride != NULL) {
        legs = run_legs_cut(ride, words, course, problem);
        lines = legs != NULL ? calloc(1, sizeof *lines) : NULL;
    }
    if (lines != NULL) {
        count_passed_over(lines, ride, legs);
        text_copy(lines->from, sizeof lines->from, words_value(words, "from"));
    }
    bool done = lines != NULL && add_run(lines, words, ride, legs, sum, problem);
    for (int i = 0; done && i < legs->count; i++) {
        done = add_leg(lines, &legs->leg[i], problem);
    }
    run_legs_free(legs);
    ride_free(ride);
    if (!done) {
        run_lines_close(lines);
        return NULL;
    }
    return lines;
}

bool run_lines_follow(const struct run_lines *lines, run_line_sink *sink, void *context,
                      struct problem *problem)
{
    for (int i = 0; i < lines->count; i++) {
        if (!sink(context, lines->line[i], problem)) {
            problem_prefix(problem, "'%s'", lines->from);
            if (i > 0) { /* nothing half done */
                sink(context, "undo", NULL);
            }
            return false;
        }
    }
    return true;
}
