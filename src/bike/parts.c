/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/parts.h"

#include "base/text.h"
#include "base/words.h"

#include <math.h>
#include <string.h>

void parts_clear(struct parts_at_hand *parts)
{
    memset(parts, 0, sizeof *parts);
    bike_limits_clear(&parts->limits);
}

static bool add_number(double value, double *values, int most, int *count)
{
    if (*count >= most) {
        return false;
    }
    values[(*count)++] = value;
    return true;
}

/* 'A', or 'A..B/STEP'. 0: no number; -1: too many. */
static int read_item(char *item, double *values, int most, int *count)
{
    char *dots = strstr(item, "..");
    double from, to, step;
    if (!dots) {
        return !text_to_double(item, &from) ? 0 : add_number(from, values, most, count) ? 1 : -1;
    }
    *dots = '\0';
    char *slash = strchr(dots + 2, '/');
    if (!slash) {
        return 0;
    }
    *slash = '\0';
    if (!text_to_double(item, &from) || !text_to_double(dots + 2, &to) ||
        !text_to_double(slash + 1, &step) || !(step > 0.0) || to < from) {
        return 0;
    }
    double steps = floor((to - from) / step + 1e-9);
    if (steps >= most) {
        return -1;
    }
    for (int i = 0; i <= (int)steps; i++) {
        if (!add_number(from + i * step, values, most, count)) {
            return -1;
        }
    }
    return 1;
}

bool number_list_read(const char *text, double *values, int most, int *count,
                      struct problem *problem)
{
    char copy[WORD_SIZE];
    text_copy(copy, sizeof copy, text);
    *count = 0;
    for (char *item = copy, *next; item; item = next) {
        next = strchr(item, ',');
        if (next) {
            *next++ = '\0';
        }
        int done = read_item(item, values, most, count);
        if (done == 0) {
            return problem_usage(
                problem, "'%s' is no list of numbers: say '0,5,10' or '0..30/5' (steps of 5)",
                text);
        }
        if (done < 0) {
            return problem_usage(problem, "'%s' has more than %d numbers", text, most);
        }
    }
    return true;
}

static bool check_all(int key, const double *values, int count, struct problem *problem)
{
    for (int i = 0; i < count; i++) {
        if (!bike_value_check(key, values[i], problem)) {
            return false;
        }
    }
    return true;
}

/* stem length=70..120/10 angle=-17,-6 clamp_height=40 */
static bool read_stem(struct parts_at_hand *parts, const struct words *words,
                      struct problem *problem)
{
    static const char *const keys[] = {"length", "angle", "clamp_height"};
    double lengths[PARTS_VALUES_MAX], angles[PARTS_VALUES_MAX], heights[PARTS_VALUES_MAX];
    int length_count = 0, angle_count = 0, height_count = 0;
    for (int i = 1; i < words->count; i++) {
        bool known = false;
        for (int k = 0; k < 3; k++) {
            known = known || (words->word[i].key && text_equal(words->word[i].key, keys[k]));
        }
        if (!known) {
            return problem_usage(problem,
                                 "stem: '%s' is not known here (length=, angle=, clamp_height=)",
                                 words->word[i].key ? words->word[i].key : words->word[i].value);
        }
    }
    const char *length = words_value(words, "length"), *angle = words_value(words, "angle");
    const char *height = words_value(words, "clamp_height");
    if (!length || !angle) {
        return problem_usage(problem, "stem: say its %s", length ? "angle=" : "length=");
    }
    if (!number_list_read(length, lengths, PARTS_VALUES_MAX, &length_count, problem) ||
        !number_list_read(angle, angles, PARTS_VALUES_MAX, &angle_count, problem) ||
        (height && !number_list_read(height, heights, PARTS_VALUES_MAX, &height_count, problem)) ||
        !check_all(BIKE_STEM_LENGTH, lengths, length_count, problem) ||
        !check_all(BIKE_STEM_ANGLE, angles, angle_count, problem) ||
        !check_all(BIKE_STEM_CLAMP_HEIGHT, heights, height_count, problem)) {
        return problem_prefix(problem, "stem");
    }
    if (height_count > 1) {
        return problem_usage(problem, "stem: one clamp_height a line");
    }
    if (parts->stem_count + length_count * angle_count > PARTS_STEMS_MAX) {
        return problem_usage(problem, "stem: more than %d stems", PARTS_STEMS_MAX);
    }
    for (int i = 0; i < length_count; i++) {
        for (int j = 0; j < angle_count; j++) {
            parts->stem[parts->stem_count++] =
                (struct stem_at_hand){lengths[i], angles[j], height_count > 0 ? heights[0] : NAN};
        }
    }
    return true;
}

static bool read_limits(struct parts_at_hand *parts, const struct words *words,
                        struct problem *problem)
{
    if (words->count < 2) {
        return problem_usage(problem, "limit: say 'limit spacers=30 pad_rise=65'");
    }
    for (int i = 1; i < words->count; i++) {
        if (!words->word[i].key) {
            return problem_usage(problem, "limit: '%s' is not key=value", words->word[i].value);
        }
        if (!bike_limits_read(&parts->limits, words->word[i].key, words->word[i].value, problem)) {
            return false;
        }
    }
    return true;
}

static bool read_values(struct part_values *values, int key, const struct words *words,
                        struct problem *problem)
{
    if (words->count < 2) {
        return problem_usage(problem, "%s: no numbers", words->word[0].value);
    }
    for (int i = 1; i < words->count; i++) {
        double more[PARTS_VALUES_MAX];
        int count = 0;
        if (words->word[i].key) {
            return problem_usage(problem, "%s: '%s=' is not a number", words->word[0].value,
                                 words->word[i].key);
        }
        if (!number_list_read(words->word[i].value, more, PARTS_VALUES_MAX, &count, problem) ||
            !check_all(key, more, count, problem)) {
            return problem_prefix(problem, "%s", words->word[0].value);
        }
        for (int k = 0; k < count; k++) {
            if (!add_number(more[k], values->value, PARTS_VALUES_MAX, &values->count)) {
                return problem_usage(problem, "%s: more than %d numbers", words->word[0].value,
                                     PARTS_VALUES_MAX);
            }
        }
    }
    return true;
}

bool parts_read_line(struct parts_at_hand *parts, const char *line, struct problem *problem)
{
    struct words words;
    if (!words_split(line, &words, problem)) {
        return false;
    }
    if (words.count == 0) {
        return true;
    }
    const char *name = words.word[0].value;
    if (words.word[0].key) {
        return problem_usage(problem,
                             "'%s=' begins no line: say 'stem', 'spacers', 'pad_rise', "
                             "'pad_fore_aft', 'bar_roll' or 'limit' first",
                             words.word[0].key);
    }
    if (text_equal(name, "stem")) {
        return read_stem(parts, &words, problem);
    }
    if (text_equal(name, "limit")) {
        return read_limits(parts, &words, problem);
    }
    int key = bike_key_find(name);
    struct part_values *values = key == BIKE_SPACERS        ? &parts->spacers
                                 : key == BIKE_PAD_RISE     ? &parts->pad_rise
                                 : key == BIKE_PAD_FORE_AFT ? &parts->pad_fore_aft
                                 : key == BIKE_BAR_ROLL     ? &parts->bar_roll
                                                            : NULL;
    if (!values) {
        return problem_usage(problem,
                             "'%s' is not known here: say 'stem', 'spacers', 'pad_rise', "
                             "'pad_fore_aft', 'bar_roll' or 'limit'",
                             name);
    }
    return read_values(values, key, &words, problem);
}

bool parts_read(struct parts_at_hand *parts, const char *name, const char *text,
                struct problem *problem)
{
    int number = 0;
    while (*text) {
        char line[4096];
        size_t length = strcspn(text, "\n");
        number++;
        if (length >= sizeof line) {
            return problem_usage(problem, "%s, line %d: longer than %d letters", name, number,
                                 (int)sizeof line - 1);
        }
        memcpy(line, text, length);
        line[length] = '\0';
        if (!parts_read_line(parts, line, problem)) {
            return problem_prefix(problem, "%s, line %d", name, number);
        }
        text += length + (text[length] == '\n');
    }
    return true;
}
