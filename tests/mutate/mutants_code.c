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

static size_t length_of(const struct scan *scan, size_t index)
{
    return scan->token[index].end - scan->token[index].start;
}

static bool same_tokens(const struct scan *scan, size_t one, size_t other, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (one + i >= scan->count || other + i >= scan->count ||
            length_of(scan, one + i) != length_of(scan, other + i) ||
            strncmp(scan->text + scan->token[one + i].start,
                    scan->text + scan->token[other + i].start, length_of(scan, one + i)) != 0) {
            return false;
        }
    }
    return true;
}

static bool is_any(const struct scan *scan, size_t index, const char *const *signs)
{
    for (; index < scan->count && *signs != NULL; signs++) {
        if (token_is(scan, index, *signs)) {
            return true;
        }
    }
    return index >= scan->count;
}

/* 'a < b ? a : b' and its like: the lesser or the greater of two. Where they are equal it is the
 * same, whether that counts as less or not. */
static bool is_lesser_or_greater(const struct scan *scan, size_t sign)
{
    static const char *const compared[] = {"<", "<=", ">", ">=", NULL};
    static const char *const before[] = {"=", "(", ",", ":", "?", "&&", "||", "return", "{", NULL};
    static const char *const behind[] = {";", ",", ")", ":", "}", NULL};
    size_t question = sign + 1;
    if (!is_any(scan, sign, compared)) {
        return false;
    }
    while (question < scan->count && !token_is(scan, question, "?")) {
        if (is_any(scan, question, behind) && !token_is(scan, question, ")")) {
            return false;
        }
        question++;
    }
    size_t second = question - sign - 1; /* tokens of b */
    for (size_t first = 1; first < sign; first++) {
        size_t a = sign - first, b = sign + 1, yes = question + 1;
        bool a_first = same_tokens(scan, a, yes, first) && token_is(scan, yes + first, ":") &&
                       same_tokens(scan, b, yes + first + 1, second);
        bool b_first = same_tokens(scan, b, yes, second) && token_is(scan, yes + second, ":") &&
                       same_tokens(scan, a, yes + second + 1, first);
        if ((a_first || b_first) && is_any(scan, a - 1, before) &&
            is_any(scan, yes + first + 1 + second, behind)) {
            return true;
        }
    }
    return false;
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
                !is_lesser_or_greater(scan, i) &&
                !add(mutants, file, scan, i, changes[c].from, changes[c].to)) {
                return false;
            }
        }
    }
    return true;
}
