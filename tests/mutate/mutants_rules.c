/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "mutate/mutants.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A number of the scan as it is written, its suffix apart. */
struct literal {
    char words[64];
    const char *suffix;
    bool whole;
    double value;
};

static bool read_literal(const struct scan *scan, size_t index, struct literal *literal)
{
    const struct token *token = &scan->token[index];
    size_t length = token->end - token->start;
    char *rest;
    if (token->kind != TOKEN_NUMBER || length >= sizeof literal->words) {
        return false;
    }
    memcpy(literal->words, scan->text + token->start, length);
    literal->words[length] = '\0';
    literal->whole = strpbrk(literal->words, ".eExX") == NULL;
    literal->value = strtod(literal->words, &rest);
    literal->suffix = rest;
    return strpbrk(literal->words, "xX") == NULL && literal->value < 1e15;
}

static void changed_words(char words[80], const struct literal *literal, int direction)
{
    if (literal->whole) {
        snprintf(words, 80, "%.0f%s", literal->value + direction, literal->suffix);
        return;
    }
    snprintf(words, 80, "%.10g", literal->value * (1.0 + 0.1 * direction));
    if (strpbrk(words, ".e") == NULL) {
        strcat(words, ".0");
    }
    strncat(words, literal->suffix, 8);
}

/* Both changes of the number at index. A whole number may stand for a fraction (RULE(X, 5, ...)):
 * as_fraction then gives 10 % of it. */
static bool add_number(struct mutants *mutants, const char *file, const struct scan *scan,
                       size_t index, size_t name, bool as_fraction)
{
    struct literal literal;
    struct mutant mutant = {.kind = MUTANT_RULE, .line = scan->token[index].line};
    if (!read_literal(scan, index, &literal) || (!literal.whole && literal.value == 0.0)) {
        return true;
    }
    literal.whole = literal.whole && (!as_fraction || literal.value == 0.0);
    mutant.start = scan->token[index].start;
    mutant.end = scan->token[index].end;
    snprintf(mutant.file, sizeof mutant.file, "%s", file);
    snprintf(mutant.name, sizeof mutant.name, "%.*s",
             (int)(scan->token[name].end - scan->token[name].start),
             scan->text + scan->token[name].start);
    for (int direction = -1; direction <= 1; direction += 2) {
        char words[80];
        if (literal.whole && literal.value + direction < 0.0) {
            continue;
        }
        changed_words(words, &literal, direction);
        snprintf(mutant.what, sizeof mutant.what, "%.60s to %.30s", literal.words, words);
        if (!mutants_add(mutants, scan, &mutant, 0, words)) {
            return false;
        }
    }
    return true;
}

/* Index of the first number where the tokens up to stop are numbers, signs and brackets; else
 * stop. */
static size_t only_numbers(const struct scan *scan, size_t from, size_t stop)
{
    size_t number = stop;
    for (size_t i = from; i < stop; i++) {
        if (scan->token[i].kind == TOKEN_NUMBER) {
            number = number == stop ? i : number;
        } else if (scan->token[i].kind != TOKEN_SIGN ||
                   strchr("()+-*/", scan->text[scan->token[i].start]) == NULL) {
            return stop;
        }
    }
    return number;
}

/* '[NAME' or 'NAME]': how many an array has. */
static bool is_size(const struct scan *scan, const char *name)
{
    size_t length = strlen(name);
    for (const char *at = strstr(scan->text, name); at != NULL; at = strstr(at + 1, name)) {
        if ((at > scan->text && at[-1] == '[') || at[length] == ']') {
            return true;
        }
    }
    return false;
}

static bool size_named(const struct scan *scan, const struct scan *inner, size_t index)
{
    char name[64];
    snprintf(name, sizeof name, "%.*s", (int)(inner->token[index].end - inner->token[index].start),
             inner->text + inner->token[index].start);
    return is_size(scan, name);
}

/* '#define NAME number', the number as it may be written. What a header counts so is a size: rules
 * that are counts have a row. */
static bool of_define(struct mutants *mutants, const char *file, const struct scan *scan,
                      const struct token *directive)
{
    struct scan inner;
    bool good = true;
    size_t after_hash = directive->start + 1;
    if (!scan_text(&inner, scan->text, after_hash, directive->end, directive->line)) {
        return false;
    }
    bool plain = inner.count > 2 && token_is(&inner, 0, "define") &&
                 inner.token[1].end != inner.token[2].start;
    size_t number = plain ? only_numbers(&inner, 2, inner.count) : inner.count;
    struct literal literal;
    bool header = file[strlen(file) - 1] == 'h';
    if (number < inner.count && !size_named(scan, &inner, 1) &&
        read_literal(&inner, number, &literal) && !(header && literal.whole)) {
        good = add_number(mutants, file, &inner, number, 1, false);
    }
    scan_free(&inner);
    return good;
}

/* 'const double NAME = number;' and its like. */
static bool of_constant(struct mutants *mutants, const char *file, const struct scan *scan,
                        size_t index)
{
    if (!token_is(scan, index, "const") || index + 4 >= scan->count ||
        scan->token[index + 1].kind != TOKEN_NAME || scan->token[index + 2].kind != TOKEN_NAME ||
        !token_is(scan, index + 3, "=")) {
        return true;
    }
    size_t stop = index + 4;
    while (stop < scan->count && !token_is(scan, stop, ";") && !token_is(scan, stop, ",")) {
        stop++;
    }
    size_t number = only_numbers(scan, index + 4, stop);
    return number == stop || size_named(scan, scan, index + 2) ||
           add_number(mutants, file, scan, number, index + 2, false);
}

/* 'RULE(NAME, number, ...)': a fraction; 'RULE_COUNT(NAME, number, ...)': a whole number. */
static bool of_row(struct mutants *mutants, const char *file, const struct scan *scan, size_t index)
{
    const struct token *token = &scan->token[index];
    if (token->kind != TOKEN_NAME || strncmp(scan->text + token->start, "RULE", 4) != 0 ||
        !token_is(scan, index + 1, "(") || index + 4 >= scan->count ||
        scan->token[index + 2].kind != TOKEN_NAME || !token_is(scan, index + 3, ",")) {
        return true;
    }
    size_t stop = index + 4;
    while (stop < scan->count && !token_is(scan, stop, ",") && !token_is(scan, stop, ")")) {
        stop = token_is(scan, stop, "(") ? scan_closing(scan, stop) + 1 : stop + 1;
    }
    size_t number = stop <= scan->count ? only_numbers(scan, index + 4, stop) : stop;
    return number >= stop ||
           add_number(mutants, file, scan, number, index + 2, token_is(scan, index, "RULE"));
}

bool mutants_of_rules(struct mutants *mutants, const char *file, const struct scan *scan)
{
    for (size_t i = 0; i < scan->count; i++) {
        const struct token *token = &scan->token[i];
        bool good = token->kind == TOKEN_DIRECTIVE
                        ? of_define(mutants, file, scan, token)
                        : of_constant(mutants, file, scan, i) && of_row(mutants, file, scan, i);
        if (!good) {
            return false;
        }
    }
    return true;
}
