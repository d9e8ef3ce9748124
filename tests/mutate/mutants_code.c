/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "mutate/mutants.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

/* Each once more the other way round where that is a mutant, too. */
static const struct change {
    const char *from, *to;
} changes[] = {
    {"<", "<="},  {"<=", "<"}, {">", ">="}, {">=", ">"},  {"==", "!="}, {"!=", "=="}, {"&&", "||"},
    {"||", "&&"}, {"+", "-"},  {"-", "+"},  {"+=", "-="}, {"-=", "+="}, {"*", "/"},   {"/", "*"},
};

/* An operator between two operands has white space on both sides: clang-format sees to that. */
static bool between(const struct scan *scan, size_t index)
{
    const struct token *token = &scan->token[index];
    return isspace((unsigned char)scan->text[token->start - 1]) &&
           isspace((unsigned char)scan->text[token->end]);
}

static bool is_sign(const struct scan *scan, size_t index)
{
    const struct token *token = &scan->token[index];
    return token_is(scan, index, "-") && !isspace((unsigned char)scan->text[token->end]);
}

/* Which of its kind it is in its line, from 1. */
static int number_in_line(const struct scan *scan, size_t index, const char *words, bool sign)
{
    int number = 1;
    for (size_t i = index; i-- > 0 && scan->token[i].line == scan->token[index].line;) {
        number += token_is(scan, i, words) && is_sign(scan, i) == sign;
    }
    return number;
}

static bool add(struct mutants *mutants, const char *file, const struct scan *scan, size_t index,
                const char *from, const char *to)
{
    const struct token *token = &scan->token[index];
    struct mutant mutant = {.kind = MUTANT_SAMPLE, .line = token->line};
    bool sign = is_sign(scan, index);
    int number = number_in_line(scan, index, from, sign);
    snprintf(mutant.file, sizeof mutant.file, "%s", file);
    mutant.start = token->start;
    mutant.end = token->end;
    int used = sign ? snprintf(mutant.what, sizeof mutant.what, "sign dropped")
                    : snprintf(mutant.what, sizeof mutant.what, "%s to %s", from, to);
    if (number > 1) {
        snprintf(mutant.what + used, sizeof mutant.what - (size_t)used, ", the %d. of the line",
                 number);
    }
    return mutants_add(mutants, scan, &mutant, 0, sign ? "" : to);
}

bool mutants_of_code(struct mutants *mutants, const char *file, const struct scan *scan)
{
    for (size_t i = 1; i < scan->count; i++) {
        const struct token *token = &scan->token[i];
        if (token->kind != TOKEN_SIGN || !token->in_function) {
            continue;
        }
        for (size_t c = 0; c < sizeof changes / sizeof changes[0]; c++) {
            if (token_is(scan, i, changes[c].from) && (between(scan, i) || is_sign(scan, i)) &&
                !add(mutants, file, scan, i, changes[c].from, changes[c].to)) {
                return false;
            }
        }
    }
    return true;
}
