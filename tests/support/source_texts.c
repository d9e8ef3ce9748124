/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/source_texts.h"

#include "base/text.h"
#include "support/test_main.h"

#include <ctype.h>
#include <dirent.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct reader {
    const char *at;
    int line;
};

static const struct {
    const char *name;
    bool two; /* literals */
} macros[] = {{"T_", false}, {"N_", false}, {"C_", true}, {"CN_", true}, {"P_", true}};

static void step(struct reader *reader)
{
    reader->line += *reader->at == '\n';
    reader->at++;
}

/* White space and comments. */
static void skip_gap(struct reader *reader)
{
    for (;;) {
        if (isspace((unsigned char)*reader->at)) {
            step(reader);
        } else if (strncmp(reader->at, "/*", 2) == 0) {
            while (*reader->at != '\0' && strncmp(reader->at, "*/", 2) != 0) {
                step(reader);
            }
            reader->at += *reader->at != '\0' ? 2 : 0;
        } else {
            return;
        }
    }
}

static void put_utf8(char *text, size_t size, size_t *used, unsigned long code)
{
    if (code < 0x80) {
        text_append(text, size, used, "%c", (int)code);
    } else if (code < 0x800) {
        text_append(text, size, used, "%c%c", (int)(0xC0 | code >> 6), (int)(0x80 | (code & 63)));
    } else {
        text_append(text, size, used, "%c%c%c", (int)(0xE0 | code >> 12),
                    (int)(0x80 | (code >> 6 & 63)), (int)(0x80 | (code & 63)));
    }
}

static void take_escape(struct reader *reader, char *text, size_t size, size_t *used)
{
    char digits[8] = "";
    step(reader);
    char kind = *reader->at;
    if (kind == 'u') {
        memcpy(digits, reader->at + 1, 4);
        put_utf8(text, size, used, strtoul(digits, NULL, 16));
        reader->at += 5;
    } else if (kind == 'x') {
        memcpy(digits, reader->at + 1, 2);
        text_append(text, size, used, "%c", (int)strtoul(digits, NULL, 16));
        reader->at += 3;
    } else {
        const char *found = strchr("n\nt\tr\r", kind);
        text_append(text, size, used, "%c", found != NULL && kind != '0' ? found[1] : kind);
        step(reader);
    }
}

/* Literals that stand one behind the other. False: there is none here. */
static bool take_literal(struct reader *reader, char *text, size_t size)
{
    size_t used = 0;
    text[0] = '\0';
    skip_gap(reader);
    if (*reader->at != '"') {
        return false;
    }
    while (*reader->at == '"') {
        step(reader);
        while (*reader->at != '"' && *reader->at != '\0') {
            if (*reader->at == '\\') {
                take_escape(reader, text, size, &used);
            } else {
                text_append(text, size, &used, "%c", *reader->at);
                step(reader);
            }
        }
        step(reader);
        skip_gap(reader);
    }
    return true;
}

static void take_macro(struct reader *reader, const char *name, bool two, source_text_seen *seen,
                       void *context, struct source_text *text)
{
    text->macro = name;
    text->context[0] = text->many[0] = '\0';
    if (!take_literal(reader, text->text, sizeof text->text)) {
        return;
    }
    if (two) {
        char second[sizeof text->text];
        skip_gap(reader);
        ck_assert_int_eq(*reader->at, ',');
        step(reader);
        if (!take_literal(reader, second, sizeof second)) {
            return; /* a row of a table: its words stand there */
        }
        if (name[0] == 'P') {
            text_copy(text->many, sizeof text->many, second);
        } else {
            text_copy(text->context, sizeof text->context, text->text);
            text_copy(text->text, sizeof text->text, second);
        }
    }
    seen(context, text);
}

/* A word; where it is one of the macros, what stands in it. */
static void take_word(struct reader *reader, source_text_seen *seen, void *context,
                      struct source_text *text)
{
    const char *begin = reader->at;
    while (isalnum((unsigned char)*reader->at) || *reader->at == '_') {
        reader->at++;
    }
    size_t length = (size_t)(reader->at - begin);
    for (size_t i = 0; i < sizeof macros / sizeof macros[0]; i++) {
        if (strlen(macros[i].name) == length && strncmp(macros[i].name, begin, length) == 0 &&
            *reader->at == '(') {
            text->line = reader->line;
            step(reader);
            take_macro(reader, macros[i].name, macros[i].two, seen, context, text);
            return;
        }
    }
}

static char *read_whole(const char *path)
{
    FILE *stream = fopen(path, "rb");
    ck_assert_msg(stream != NULL, "%s can't be read", path);
    char *text = NULL;
    size_t size = 0;
    ck_assert_int_gt((int)getdelim(&text, &size, '\0', stream), 0);
    ck_assert_int_eq(fclose(stream), 0);
    return text;
}

void source_texts_of(const char *file, source_text_seen *seen, void *context)
{
    char *whole = read_whole(source_path(file));
    struct reader reader = {whole, 1};
    struct source_text text = {.file = file};
    for (;;) {
        skip_gap(&reader);
        if (*reader.at == '\0') {
            break;
        }
        if (strncmp(reader.at, "#include", 8) == 0 || strncmp(reader.at, "#define", 7) == 0) {
            reader.at += strcspn(reader.at, "\n");
        } else if (*reader.at == '\'') {
            reader.at += reader.at[1] == '\\' ? 2 : 1;
            reader.at += strcspn(reader.at + 1, "'") + 2;
        } else if (*reader.at == '"') {
            text.macro = "";
            text.line = reader.line;
            take_literal(&reader, text.text, sizeof text.text);
            seen(context, &text);
        } else if (isalnum((unsigned char)*reader.at) || *reader.at == '_') {
            take_word(&reader, seen, context, &text);
        } else {
            step(&reader);
        }
    }
    free(whole);
}

void source_texts_in(const char *folder, source_text_seen *seen, void *context)
{
    DIR *open = opendir(source_path(folder));
    ck_assert_msg(open != NULL, "%s can't be read", folder);
    for (struct dirent *entry; (entry = readdir(open)) != NULL;) {
        char path[512];
        const char *dot = strrchr(entry->d_name, '.');
        if (entry->d_name[0] == '.') {
            continue;
        }
        snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        if (dot == NULL) {
            source_texts_in(path, seen, context);
        } else if (text_equal(dot, ".c") || text_equal(dot, ".h")) {
            source_texts_of(path, seen, context);
        }
    }
    closedir(open);
}
