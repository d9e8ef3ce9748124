/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/decoder_options.h"

#include "base/text.h"

#include <stddef.h>
#include <string.h>

#define TEXT_OF(member)                                                                            \
    offsetof(struct decoder_options, member), sizeof((struct decoder_options *)0)->member
#define IS_NUMBER 0
#define IS_YES 1

const struct decoder_option decoder_option_rows[DECODER_OPTIONS] = {
    {"dialect", TEXT_OF(dialect)},
    {"columns", TEXT_OF(columns)},
    {"unit", TEXT_OF(unit)},
    {"time-column", TEXT_OF(time_column)},
    {"time-unit", TEXT_OF(time_unit)},
    {"no-echo", offsetof(struct decoder_options, no_echo), IS_NUMBER},
    {"status", TEXT_OF(status)},
    {"hexadecimal", offsetof(struct decoder_options, hexadecimal), IS_YES},
    {"line-end", TEXT_OF(line_end)},
    {"layout", TEXT_OF(layout)},
};

static bool is_said(const struct decoder_options *options, const struct decoder_option *row)
{
    const char *at = (const char *)options + row->offset;
    if (row->size > IS_YES) {
        return at[0] != '\0';
    }
    double number = 0;
    bool yes = false;
    if (row->size == IS_YES) {
        memcpy(&yes, at, sizeof yes);
    } else {
        memcpy(&number, at, sizeof number);
    }
    return yes || number != 0;
}

bool decoder_option_set(struct decoder_options *options, const char *key, const char *value,
                        struct problem *problem)
{
    for (int i = 0; i < DECODER_OPTIONS; i++) {
        const struct decoder_option *row = &decoder_option_rows[i];
        char *at = (char *)options + row->offset;
        if (!text_equal(key, row->key)) {
            continue;
        }
        if (row->size == IS_YES) {
            const bool yes = true;
            memcpy(at, &yes, sizeof yes);
            return true;
        }
        if (row->size == IS_NUMBER) {
            double number = 0;
            bool is_number = text_to_double(value, &number);
            memcpy(at, &number, sizeof number);
            if (!is_number) {
                return problem_usage(problem, "--%s wants a number, not '%s'", key, value);
            }
            return true;
        }
        if (strlen(value) >= row->size) {
            return problem_usage(problem, "--%s: '%.40s...' is too long", key, value);
        }
        text_copy(at, row->size, value);
        return true;
    }
    return problem_usage(problem, "nothing is called '--%s' of a stream", key);
}

static void append_value(char *text, size_t size, size_t *used, const char *value)
{
    bool plain = strspn(value, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTU"
                               "VWXYZ0123456789=,.:/_+-") == strlen(value);
    const char *quote = plain ? "" : strchr(value, '\'') != NULL ? "\"" : "'";
    text_append(text, size, used, " %s%s%s", quote, value, quote);
}

bool decoder_options_words(const struct decoder_options *options, char *text, size_t size)
{
    size_t used = 0;
    bool fits = true;
    text[0] = '\0';
    for (int i = 0; i < DECODER_OPTIONS; i++) {
        const struct decoder_option *row = &decoder_option_rows[i];
        const char *at = (const char *)options + row->offset;
        if (!is_said(options, row)) {
            continue;
        }
        text_append(text, size, &used, "%s--%s", used > 0 ? " " : "", row->key);
        if (row->size > IS_YES) {
            append_value(text, size, &used, at);
        } else if (row->size == IS_NUMBER) {
            char number[40];
            double value;
            memcpy(&value, at, sizeof value);
            text_from_double_shortest(number, sizeof number, value);
            append_value(text, size, &used, number);
        }
        fits = used + 1 < size;
    }
    return fits;
}

/* The next word as a shell divides them; false at the end. */
static bool next_word(const char **at, char *word, size_t size)
{
    const char *from = *at;
    size_t used = 0;
    char quote = '\0';
    while (*from == ' ') {
        from++;
    }
    if (*from == '\0') {
        return false;
    }
    for (; *from != '\0' && (quote != '\0' || *from != ' '); from++) {
        if (quote == '\0' && (*from == '\'' || *from == '"')) {
            quote = *from;
        } else if (quote != '\0' && *from == quote) {
            quote = '\0';
        } else if (used + 1 < size) {
            word[used++] = *from;
        }
    }
    word[used] = '\0';
    *at = from;
    return true;
}

bool decoder_options_read(struct decoder_options *options, const char *text,
                          struct problem *problem)
{
    char key[300];
    char value[300];
    while (next_word(&text, key, sizeof key)) {
        bool takes_value = !text_equal(key, "--hexadecimal");
        if (!text_starts_with(key, "--") ||
            (takes_value && !next_word(&text, value, sizeof value))) {
            return problem_usage(problem, "'%.60s' is no option of a stream", key);
        }
        if (!decoder_option_set(options, key + 2, value, problem)) {
            return false;
        }
    }
    return true;
}

bool decoder_options_said(const struct decoder_options *options)
{
    bool said = false;
    for (int i = 0; i < DECODER_OPTIONS; i++) {
        said = said || is_said(options, &decoder_option_rows[i]);
    }
    return said;
}

void decoder_options_merge(struct decoder_options *options, const struct decoder_options *more)
{
    for (int i = 0; i < DECODER_OPTIONS; i++) {
        const struct decoder_option *row = &decoder_option_rows[i];
        size_t size = row->size > IS_YES    ? row->size
                      : row->size == IS_YES ? sizeof(bool)
                                            : sizeof(double);
        if (is_said(more, row)) {
            memcpy((char *)options + row->offset, (const char *)more + row->offset, size);
        }
    }
}
