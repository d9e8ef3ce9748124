/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/options.h"

#include "base/nearest.h"
#include "base/text.h"

#include <getopt.h>
#include <stdio.h>
#include <string.h>

#define OPTIONS_MAX 48
#define FIRST_VALUE 256 /* getopt's own answers are characters */

static bool is_within(const struct option_row *row, double value)
{
    return value >= row->least && value <= row->most;
}

static bool take_number(const struct option_row *row, char *at, const char *text)
{
    int64_t whole = 0;
    double number = 0.0;
    if (row->kind == OPTION_NUMBER) {
        bool good = text_to_double(text, &number) && is_within(row, number);
        memcpy(at, good ? (const void *)&number : at, sizeof number);
        return good;
    }
    if (!text_to_int64(text, &whole) || !is_within(row, (double)whole)) {
        return false;
    }
    int narrow = (int)whole;
    memcpy(at, row->size == sizeof narrow ? (const void *)&narrow : (const void *)&whole,
           row->size);
    return true;
}

static bool take_typed(const struct option_row *row, char *at, const char *text)
{
    double number = 0.0;
    bool good = typed_text(text, row->typed, &number);
    memcpy(at, good ? (const void *)&number : at, sizeof number);
    return good;
}

/* What a number has to be. */
static void say_limits(char *text, size_t size, const struct option_row *row)
{
    const struct typed_number *typed = &typed_numbers[row->typed];
    if (row->kind == OPTION_TYPED) {
        snprintf(text, size, "%.10g to %.10g%s%s", typed->least, typed->most,
                 typed->unit[0] != '\0' ? " " : "", typed->unit);
    } else {
        snprintf(text, size, "a %snumber from %.10g to %.10g",
                 row->kind == OPTION_WHOLE ? "whole " : "", row->least, row->most);
    }
}

/* An empty one is a shell's variable that was never set: it is not what is taken without the
 * option.
 */
static bool take_text(const struct option_row *row, char *at, const char *text, const char *command,
                      struct problem *problem)
{
    bool copied = row->kind == OPTION_COPY;
    if (text[0] == '\0') {
        return problem_usage(problem, "%s: --%s wants a value, and what is there is empty", command,
                             row->name);
    }
    if (copied && strlen(text) >= row->size) {
        return problem_usage(problem, "%s: what --%s has is too long: %zu bytes at most", command,
                             row->name, row->size - 1);
    }
    if (copied) {
        text_copy(at, row->size, text);
    } else {
        memcpy(at, &text, sizeof text);
    }
    return true;
}

static bool take(const struct option_row *row, void *of, const char *text, const char *command,
                 struct problem *problem)
{
    char *at = (char *)of + row->offset;
    bool yes = row->kind == OPTION_YES, good = true;
    switch (row->kind) {
    case OPTION_YES:
    case OPTION_NO:
        memcpy(at, &yes, sizeof yes);
        return true;
    case OPTION_TEXT:
    case OPTION_COPY:
        return take_text(row, at, text, command, problem);
    case OPTION_WHOLE:
    case OPTION_NUMBER:
        good = take_number(row, at, text);
        break;
    case OPTION_TYPED:
        good = take_typed(row, at, text);
        break;
    case OPTION_OWN:
    case OPTION_OWN_BARE:
    case OPTION_OWN_EITHER:
        good = row->take(of, text, problem);
        break;
    case OPTION_REFUSED:
    case OPTION_REFUSED_BARE:
        return problem_usage(problem, "%s: takes no --%s", command, row->name);
    }
    if (!good && problem->kind == PROBLEM_NONE) {
        char limits[96];
        say_limits(limits, sizeof limits, row);
        problem_usage(problem, "%s: --%s wants %s, not '%s'", command, row->name,
                      row->wants != NULL ? row->wants : limits, text);
    }
    return good;
}

/* The row of an answer of getopt's, and the struct it goes into. */
static const struct option_row *row_of(const struct option_set *sets, int option, void **of)
{
    size_t index = (size_t)(option - FIRST_VALUE);
    for (; index >= sets->count; sets++) {
        index -= sets->count;
    }
    *of = sets->of;
    return &sets->row[index];
}

static bool is_bare(enum option_kind kind)
{
    return kind == OPTION_YES || kind == OPTION_NO || kind == OPTION_OWN_BARE ||
           kind == OPTION_REFUSED_BARE;
}

static int argument_of(enum option_kind kind)
{
    return kind == OPTION_OWN_EITHER ? optional_argument
           : is_bare(kind)           ? no_argument
                                     : required_argument;
}

/* What getopt would say itself, unescaped. argv[optind - 1] is what it looked at last. */
static bool refuse(int answer, char *const *argv, const struct option *known,
                   struct problem *problem)
{
    char asked[64], meant[NEAREST_TEXT_SIZE];
    const char *why = answer == ':'           ? "wants a value"
                      : optopt >= FIRST_VALUE ? "takes no value"
                                              : "is no option here";
    char letter[3] = {'-', (char)optopt, '\0'};
    bool is_letter = answer == '?' && optopt > 0 && optopt < FIRST_VALUE;
    const char *word = is_letter ? letter : argv[optind - 1];
    snprintf(asked, sizeof asked, "%.*s", (int)strcspn(word, "="), word);
    struct nearest nearest = nearest_to(asked + strspn(asked, "-"));
    for (; answer == '?' && optopt < FIRST_VALUE && known->name != NULL; known++) {
        nearest_try(&nearest, known->name);
    }
    if (nearest.word != NULL) {
        return problem_usage(problem, "%s: '%s' %s%s", argv[0], asked, why,
                             nearest_text(&nearest, "--", meant, sizeof meant));
    }
    return problem_usage(problem, "%s: '%s' %s; 'holdline %s --help' says which there are", argv[0],
                         asked, why, argv[0]);
}

bool options_read_in_order(const struct option_set *sets, int argc, char **argv, option_word *word,
                           void *of, struct problem *problem)
{
    struct option long_options[OPTIONS_MAX + 1] = {{NULL, 0, NULL, 0}};
    int count = 0, option = 0;
    bool good = true;
    for (const struct option_set *set = sets; set->row != NULL; set++) {
        for (size_t i = 0; i < set->count && count < OPTIONS_MAX; i++, count++) {
            long_options[count] = (struct option){set->row[i].name, argument_of(set->row[i].kind),
                                                  NULL, FIRST_VALUE + count};
        }
    }
    optind = 1;
    opterr = 0;
    while (good) {
        void *into = NULL;
        option = getopt_long(argc, argv, word != NULL ? "-:" : ":", long_options, NULL);
        if (option == -1) {
            break;
        }
        if (option == 1 && word != NULL) {
            good = word(of, optarg, problem);
        } else if (option < FIRST_VALUE) {
            return refuse(option, argv, long_options, problem);
        } else {
            const struct option_row *row = row_of(sets, option, &into);
            good = into == NULL || take(row, into, optarg, argv[0], problem);
        }
    }
    for (; good && word != NULL && optind < argc; optind++) { /* behind '--' */
        good = word(of, argv[optind], problem);
    }
    return good;
}

bool options_read(const struct option_set *sets, int argc, char **argv, struct problem *problem)
{
    return options_read_in_order(sets, argc, argv, NULL, NULL, problem);
}
