/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "mutate/scan.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

struct place {
    const char *text;
    size_t at, end;
    int line;
    bool line_begins; /* nothing but white space so far */
};

static void step(struct place *place)
{
    if (place->text[place->at] == '\n') {
        place->line++;
        place->line_begins = true;
    }
    place->at++;
}

static bool ahead(const struct place *place, const char *words)
{
    size_t length = strlen(words);
    return place->at + length <= place->end && memcmp(place->text + place->at, words, length) == 0;
}

/* White space and comments. */
static void skip_blank(struct place *place)
{
    while (place->at < place->end) {
        if (ahead(place, "/*")) {
            while (place->at < place->end && !ahead(place, "*/")) {
                step(place);
            }
            place->at = place->at + 2 < place->end ? place->at + 2 : place->end;
        } else if (ahead(place, "//")) {
            while (place->at < place->end && place->text[place->at] != '\n') {
                step(place);
            }
        } else if (isspace((unsigned char)place->text[place->at]) || ahead(place, "\\\n")) {
            step(place);
        } else {
            return;
        }
    }
}

/* To the end of the last continued line; a comment in it may go on over lines. */
static void skip_directive(struct place *place)
{
    while (place->at < place->end && place->text[place->at] != '\n') {
        if (ahead(place, "\\\n")) {
            place->at++;
            step(place);
        } else if (ahead(place, "/*")) {
            while (place->at < place->end && !ahead(place, "*/")) {
                step(place);
            }
        } else {
            step(place);
        }
    }
}

static void skip_quoted(struct place *place)
{
    char quote = place->text[place->at];
    place->at++;
    while (place->at < place->end && place->text[place->at] != quote) {
        if (place->text[place->at] == '\\' && place->at + 1 < place->end) {
            step(place);
        }
        step(place);
    }
    if (place->at < place->end) {
        place->at++;
    }
}

static void skip_number(struct place *place)
{
    const char *text = place->text;
    bool hexadecimal = ahead(place, "0x") || ahead(place, "0X");
    while (place->at < place->end) {
        char c = text[place->at];
        char before = place->at > 0 ? text[place->at - 1] : ' ';
        bool exponent = !hexadecimal && (before == 'e' || before == 'E');
        if (!isalnum((unsigned char)c) && c != '.' && !((c == '+' || c == '-') && exponent)) {
            return;
        }
        place->at++;
    }
}

static void skip_sign(struct place *place)
{
    static const char *const longer[] = {"<<=", ">>=", "...", "<=", ">=", "==", "!=", "&&",
                                         "||",  "+=",  "-=",  "*=", "/=", "%=", "&=", "|=",
                                         "^=",  "<<",  ">>",  "++", "--", "->", "##"};
    for (size_t i = 0; i < sizeof longer / sizeof longer[0]; i++) {
        if (ahead(place, longer[i])) {
            place->at += strlen(longer[i]);
            return;
        }
    }
    place->at++;
}

static enum token_kind skip_token(struct place *place)
{
    unsigned char c = (unsigned char)place->text[place->at];
    unsigned char next =
        place->at + 1 < place->end ? (unsigned char)place->text[place->at + 1] : ' ';
    if (c == '#' && place->line_begins) {
        skip_directive(place);
        return TOKEN_DIRECTIVE;
    }
    if (c == '"' || c == '\'') {
        skip_quoted(place);
        return TOKEN_TEXT;
    }
    if (isdigit(c) || (c == '.' && isdigit(next))) {
        skip_number(place);
        return TOKEN_NUMBER;
    }
    if (isalpha(c) || c == '_') {
        while (place->at < place->end &&
               (isalnum((unsigned char)place->text[place->at]) || place->text[place->at] == '_')) {
            place->at++;
        }
        return TOKEN_NAME;
    }
    skip_sign(place);
    return TOKEN_SIGN;
}

bool token_is(const struct scan *scan, size_t index, const char *words)
{
    if (index >= scan->count) {
        return false;
    }
    const struct token *token = &scan->token[index];
    return token->end - token->start == strlen(words) &&
           memcmp(scan->text + token->start, words, token->end - token->start) == 0;
}

/* A body's brace follows the list of arguments; everything up to its partner is in a function. */
static void mark_depths(struct scan *scan)
{
    int depth = 0, function = -1;
    size_t before = scan->count;
    for (size_t i = 0; i < scan->count; i++) {
        struct token *token = &scan->token[i];
        if (token->kind == TOKEN_DIRECTIVE) {
            token->depth = depth;
            continue;
        }
        if (token_is(scan, i, "}")) {
            depth--;
        }
        token->depth = depth;
        token->in_function = function >= 0;
        if (token_is(scan, i, "{")) {
            if (function < 0 && depth == 0 && before < scan->count && token_is(scan, before, ")")) {
                function = depth;
            }
            depth++;
        } else if (token_is(scan, i, "}") && depth == function) {
            function = -1;
        }
        before = i;
    }
}

bool scan_text(struct scan *scan, const char *text, size_t start, size_t end, int first_line)
{
    struct place place = {text, start, end, first_line, true};
    size_t room = 0;
    *scan = (struct scan){.text = text};
    for (skip_blank(&place); place.at < place.end; skip_blank(&place)) {
        if (scan->count == room) {
            room = room > 0 ? 2 * room : 1024;
            struct token *more = realloc(scan->token, room * sizeof *more);
            if (more == NULL) {
                scan_free(scan);
                return false;
            }
            scan->token = more;
        }
        struct token *token = &scan->token[scan->count++];
        *token = (struct token){.start = place.at, .line = place.line};
        token->kind = skip_token(&place);
        token->end = place.at;
        place.line_begins = false;
    }
    mark_depths(scan);
    return true;
}

void scan_free(struct scan *scan)
{
    free(scan->token);
    *scan = (struct scan){.text = NULL};
}

static int bracket(const struct scan *scan, size_t index)
{
    const struct token *token = &scan->token[index];
    char c = scan->text[token->start];
    if (token->kind != TOKEN_SIGN || token->end - token->start != 1) {
        return 0;
    }
    return strchr("({[", c) != NULL ? 1 : strchr(")}]", c) != NULL ? -1 : 0;
}

size_t scan_closing(const struct scan *scan, size_t index)
{
    int open = 0;
    for (size_t i = index; i < scan->count; i++) {
        open += bracket(scan, i);
        if (open == 0) {
            return i;
        }
    }
    return scan->count;
}

size_t scan_opening(const struct scan *scan, size_t index)
{
    int open = 0;
    for (size_t i = index + 1; i-- > 0;) {
        open += bracket(scan, i);
        if (open == 0) {
            return i;
        }
    }
    return scan->count;
}

char *file_read(const char *path)
{
    FILE *file = fopen(path, "rb");
    char *text = NULL;
    if (file == NULL) {
        return NULL;
    }
    long size = fseek(file, 0, SEEK_END) == 0 ? ftell(file) : -1;
    if (size >= 0 && fseek(file, 0, SEEK_SET) == 0) {
        text = malloc((size_t)size + 1);
    }
    if (text != NULL) {
        text[fread(text, 1, (size_t)size, file)] = '\0';
    }
    fclose(file);
    return text;
}

bool file_write(const char *path, const char *text, size_t length)
{
    char folder[4096];
    snprintf(folder, sizeof folder, "%s", path);
    for (char *slash = strchr(folder + 1, '/'); slash != NULL; slash = strchr(slash + 1, '/')) {
        *slash = '\0';
        mkdir(folder, 0777);
        *slash = '/';
    }
    FILE *file = fopen(path, "wb");
    if (file == NULL) {
        return false;
    }
    bool good = fwrite(text, 1, length, file) == length;
    return fclose(file) == 0 && good;
}
