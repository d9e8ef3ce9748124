/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "plain_mould.h"

#include <string.h>

static bool is_digit(char character)
{
    return character >= '0' && character <= '9';
}

void plain_mould_begin(struct plain_mould *mould)
{
    mould->numbers = 0;
    mould->is_broken = false;
}

void plain_mould_add(struct plain_mould *mould, struct span line, const struct token *token)
{
    if (token->kind != TOKEN_NUMBER_IN) {
        mould->is_broken = true;
        return;
    }
    const char *end = line.text + line.length;
    const char *behind = token->figures.text + token->figures.length;
    /* What follows must not turn other figures into a date, a time, a version or an exponent, and a
     * sign is looked at with the text before it. */
    bool fits = mould->numbers < PLAIN_COLUMNS_MAX && is_digit(token->figures.text[0]) &&
                (behind == end || strchr(":.-eE", *behind) == NULL);
    if (!fits) {
        mould->is_broken = true;
        return;
    }
    mould->number[mould->numbers].start = (uint16_t)(token->figures.text - line.text);
    mould->number[mould->numbers].end = (uint16_t)(behind - line.text);
    mould->number[mould->numbers].has_text_around =
        token->before.length > 0 || token->after.length > 0;
    mould->numbers++;
}

void plain_mould_end(struct plain_mould *mould, struct span line)
{
    if (mould->is_broken || mould->numbers == 0) {
        mould->numbers = 0;
        return;
    }
    memcpy(mould->line, line.text, line.length);
    mould->length = line.length;
}

/* Whether text goes on from *at as the mould does between two of its places. */
static inline bool goes_on(const struct plain_mould *mould, struct span line, size_t at,
                           size_t from, size_t to)
{
    size_t length = to - from;
    return line.length - at >= length && memcmp(line.text + at, mould->line + from, length) == 0;
}

bool plain_mould_next(const struct plain_mould *mould, struct span line, int number, size_t *at,
                      struct decimal *decimal)
{
    if (number >= mould->numbers) {
        return false;
    }
    size_t from = number > 0 ? mould->number[number - 1].end : 0;
    size_t to = mould->number[number].start;
    if (!goes_on(mould, line, *at, from, to)) {
        return false;
    }
    const char *figures = line.text + *at + (to - from);
    const char *end = line.text + line.length;
    if (figures == end || !is_digit(*figures)) {
        return false;
    }
    *at = (size_t)(decimal_read(figures, end, false, decimal) - line.text);
    return true;
}

bool plain_mould_ends(const struct plain_mould *mould, struct span line, size_t at)
{
    size_t from = mould->number[mould->numbers - 1].end;
    return line.length - at == mould->length - from &&
           goes_on(mould, line, at, from, mould->length);
}
