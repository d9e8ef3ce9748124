/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/words.h"

#include "base/text.h"

#include <string.h>

static bool is_blank(char character)
{
    return character == ' ' || character == '\t' || character == '\r' || character == '\n';
}

static bool is_key_character(char character, bool first)
{
    bool letter = (character >= 'a' && character <= 'z') ||
                  (character >= 'A' && character <= 'Z') || character == '_';
    bool other = (character >= '0' && character <= '9') || character == '-' || character == '.';
    return letter || (other && !first);
}

/* Length of the key when text begins with key=, else 0. */
static size_t key_length(const char *text)
{
    size_t length = 0;
    while (is_key_character(text[length], length == 0)) {
        length++;
    }
    return text[length] == '=' ? length : 0;
}

struct storage {
    char *next;
    char *end;
};

static bool put(struct storage *storage, char character)
{
    if (storage->next >= storage->end) {
        return false;
    }
    *storage->next++ = character;
    return true;
}

/* The value at *at, in quotes or not, into storage. */
static bool read_value(const char **at, const char *line, struct storage *storage,
                       struct word *word, struct problem *problem)
{
    const char *start = *at;
    size_t length = 0;
    word->value = storage->next;
    word->quoted = *start == '"';
    const char *from = start + (word->quoted ? 1 : 0);
    for (;; from++, length++) {
        if (word->quoted ? *from == '"' : *from == '\0' || is_blank(*from)) {
            break;
        }
        if (*from == '\0') {
            return problem_usage(problem, "the quote opened at column %d is not closed",
                                 (int)(start - line) + 1);
        }
        if (*from == '"') {
            return problem_usage(
                problem, "a quote inside a word at column %d: put the whole of it in quotes",
                (int)(from - line) + 1);
        }
        if (word->quoted && *from == '\\' && (from[1] == '"' || from[1] == '\\')) {
            from++;
        }
        if (length + 1 >= WORD_SIZE) {
            return problem_usage(problem, "the word at column %d is longer than %d bytes",
                                 (int)(start - line) + 1, WORD_SIZE - 1);
        }
        if (!put(storage, *from)) {
            return problem_usage(problem, "the line is longer than %d bytes",
                                 (int)sizeof((struct words *)0)->storage);
        }
    }
    if (word->quoted) {
        from++;
        if (*from != '\0' && !is_blank(*from)) {
            return problem_usage(problem, "a blank is missing after the quote at column %d",
                                 (int)(from - line));
        }
    }
    if (!put(storage, '\0')) {
        return problem_usage(problem, "the line is longer than %d bytes",
                             (int)sizeof((struct words *)0)->storage);
    }
    *at = from;
    return true;
}

bool words_split(const char *line, struct words *words, struct problem *problem)
{
    struct storage storage = {words->storage, words->storage + sizeof words->storage};
    words->count = 0;
    const char *at = line;
    for (;;) {
        while (is_blank(*at)) {
            at++;
        }
        if (*at == '\0' || *at == '#') {
            return true;
        }
        if (words->count == WORDS_MAX) {
            return problem_usage(problem, "more than %d words in the line", WORDS_MAX);
        }
        struct word *word = &words->word[words->count];
        word->key = NULL;
        size_t key = key_length(at);
        if (key > 0) {
            word->key = storage.next;
            for (size_t i = 0; i < key; i++) {
                if (!put(&storage, at[i])) {
                    break;
                }
            }
            if (key >= WORD_SIZE || !put(&storage, '\0')) {
                return problem_usage(problem, "the word at column %d is too long",
                                     (int)(at - line) + 1);
            }
            at += key + 1;
        }
        if (!read_value(&at, line, &storage, word, problem)) {
            return false;
        }
        words->count++;
    }
}

const char *words_value(const struct words *words, const char *key)
{
    for (int i = 0; i < words->count; i++) {
        if (words->word[i].key != NULL && text_equal(words->word[i].key, key)) {
            return words->word[i].value;
        }
    }
    return NULL;
}

bool words_number(const char *text, const char *unit, double *value, struct problem *problem)
{
    char number[64];
    size_t length = strspn(text, "+-.0123456789");
    /* An exponent belongs to the number only when digits follow. */
    if (length > 0 && (text[length] == 'e' || text[length] == 'E')) {
        size_t sign = text[length + 1] == '+' || text[length + 1] == '-' ? 1 : 0;
        size_t exponent = strspn(text + length + 1 + sign, "0123456789");
        length += exponent > 0 ? 1 + sign + exponent : 0;
    }
    const char *behind = text + length;
    bool unit_is_right = *behind == '\0' || text_equal(behind, unit);
    bool is_number = length > 0 && length < sizeof number;
    if (is_number) {
        memcpy(number, text, length);
        number[length] = '\0';
        is_number = text_to_double(number, value);
    }
    if (is_number && unit_is_right) {
        return true;
    }
    if (!is_number) {
        return problem_usage(problem, "'%s' is not a number%s%s", text,
                             unit[0] != '\0' ? " in " : "", unit);
    }
    if (unit[0] == '\0') {
        return problem_usage(problem, "'%s': a number without a unit is wanted here", text);
    }
    return problem_usage(problem, "'%s': a number in %s is wanted here", text, unit);
}

void words_quote(char *destination, size_t size, const char *text)
{
    bool plain = text[0] != '\0' && text[0] != '#' && key_length(text) == 0 &&
                 strpbrk(text, " \t\r\n\"\\") == NULL;
    if (plain) {
        text_copy(destination, size, text);
        return;
    }
    if (size < 3) {
        text_copy(destination, size, "");
        return;
    }
    size_t used = 0;
    size_t length = strlen(text);
    destination[used++] = '"';
    for (size_t at = 0; at < length;) {
        uint32_t character;
        size_t count = text_decode(text + at, length - at, &character);
        bool escaped = character == '"' || character == '\\';
        if (used + count + (escaped ? 1 : 0) + 2 > size) {
            break;
        }
        if (escaped) {
            destination[used++] = '\\';
        }
        memcpy(destination + used, text + at, count);
        used += count;
        at += count;
    }
    destination[used++] = '"';
    destination[used] = '\0';
}

void words_quote_for_shell(char *destination, size_t size, const char *text)
{
    size_t used = 0;
    bool plain = text[0] != '\0' && strspn(text, "abcdefghijklmnopqrstuvwxyz"
                                                 "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789"
                                                 "=,.:/_+@%-") == strlen(text);
    destination[0] = '\0';
    text_append(destination, size, &used, "%s", plain ? text : "'");
    for (; !plain && *text != '\0'; text++) {
        text_append(destination, size, &used, *text == '\'' ? "'\\''" : "%c", *text);
    }
    text_append(destination, size, &used, plain ? "" : "'");
}
