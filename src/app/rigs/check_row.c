/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check_row.h"

#include "base/text.h"

#include <stdio.h>

bool check_row_wanted(const struct words *words)
{
    return words->count > 0 && words->word[0].key == NULL &&
           text_equal(words->word[0].value, "all");
}

static bool add(struct check_row *row, const char *line, struct problem *problem)
{
    return words_split(line, &row->check[row->count++], problem);
}

/* ' pause=8s' where it was said. */
static void also(char *line, size_t size, size_t *used, const struct words *words, const char *key)
{
    const char *value = words_value(words, key);
    if (value != NULL) {
        text_append(line, size, used, " %s=%s", key, value);
    }
}

static bool add_each(struct check_row *row, const char *kind, const struct words *words,
                     const struct placing_record *placing, struct problem *problem)
{
    bool is_step = text_equal(kind, "step");
    for (int c = 0; c < placing->channel_count; c++) {
        char line[400] = "";
        size_t used = 0;
        if (placing->channel[c].role == ROLE_AUXILIARY) {
            continue;
        }
        text_append(line, sizeof line, &used, "%s %s", kind, placing->channel[c].name);
        if (is_step) {
            also(line, sizeof line, &used, words, "block");
            also(line, sizeof line, &used, words, "block_u");
        }
        also(line, sizeof line, &used, words, "pause");
        if (!add(row, line, problem)) {
            return false;
        }
    }
    return true;
}

bool check_row_make(const struct words *words, const struct placing_record *placing,
                    struct check_row *row, struct problem *problem)
{
    bool rider = false;
    char line[400] = "";
    size_t used = 0;
    for (int i = 1; i < words->count; i++) {
        const struct word *word = &words->word[i];
        bool known = word->key == NULL
                         ? text_equal(word->value, "rider")
                         : text_equal(word->key, "block") || text_equal(word->key, "block_u") ||
                               text_equal(word->key, "pause");
        if (!known) {
            return problem_usage(problem, "all: '%s' is none of block=, block_u=, pause=, rider",
                                 word->key != NULL ? word->key : word->value);
        }
        rider = rider || word->key == NULL;
    }
    if (words_value(words, "block") == NULL) {
        return problem_usage(problem, "all: say how thick the block is, as block=25");
    }
    row->count = 0;
    text_append(line, sizeof line, &used, "still");
    also(line, sizeof line, &used, words, "pause");
    if (!add(row, line, problem) || !add_each(row, "step", words, placing, problem) ||
        !add_each(row, "beam", words, placing, problem)) {
        return false;
    }
    used = 0;
    text_append(line, sizeof line, &used, "rider");
    also(line, sizeof line, &used, words, "pause");
    return !rider || add(row, line, problem);
}
