/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/circles.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void code_keep(char *text)
{
    char *at = text;
    while (*at != '\0') {
        if (at[0] == '/' && at[1] == '*') {
            char *end = strstr(at + 2, "*/");
            char *stop = end == NULL ? at + strlen(at) : end + 2;
            memset(at, ' ', (size_t)(stop - at));
            at = stop;
        } else if (at[0] == '/' && at[1] == '/') {
            size_t length = strcspn(at, "\n");
            memset(at, ' ', length);
            at += length;
        } else if (*at == '"' || *at == '\'') {
            char quote = *at;
            *at++ = ' ';
            while (*at != '\0' && *at != quote && *at != '\n') {
                if (*at == '\\' && at[1] != '\0') {
                    *at++ = ' ';
                }
                *at++ = ' ';
            }
            if (*at == quote) {
                *at++ = ' ';
            }
        } else {
            at++;
        }
    }
}

#define NAME_SIZE 64
struct name {
    char text[NAME_SIZE];
    size_t module;
    bool own; /* static: nobody else's */
};
struct names {
    struct name *all;
    size_t count, room;
};

static bool part_of_name(char character)
{
    return isalnum((unsigned char)character) || character == '_';
}

static void add(struct names *names, const char *text, size_t length, size_t module, bool own)
{
    if (names->count == names->room) {
        names->room = names->room == 0 ? 256 : 2 * names->room;
        names->all = realloc(names->all, names->room * sizeof *names->all);
        if (names->all == NULL) {
            abort();
        }
    }
    struct name *name = &names->all[names->count++];
    snprintf(name->text, sizeof name->text, "%.*s", (int)length, text);
    name->module = module;
    name->own = own;
}

static bool starts_with(const char *text, const char *start)
{
    return strncmp(text, start, strlen(start)) == 0;
}

/* What begins a line: a function's or a variable's name stands before the first of '(', '[', '='.
 */
static void add_defined(struct names *names, const struct module *module, size_t index)
{
    for (const char *line = module->code; line != NULL && *line != '\0';) {
        size_t stop = strcspn(line, "([=;{\n");
        const char *end = line + stop;
        while (end > line && isspace((unsigned char)end[-1])) {
            end--;
        }
        const char *begin = end;
        while (begin > line && part_of_name(begin[-1])) {
            begin--;
        }
        bool defines = isalpha((unsigned char)*line) && strchr("([=", line[stop]) != NULL &&
                       begin > line && begin < end;
        if (defines && !starts_with(line, "typedef") && !starts_with(line, "extern")) {
            add(names, begin, (size_t)(end - begin), index, starts_with(line, "static"));
        }
        line = strchr(line, '\n');
        line = line == NULL ? NULL : line + 1;
    }
}

static int by_text(const void *left, const void *right)
{
    return strcmp(((const struct name *)left)->text, ((const struct name *)right)->text);
}

/* The module whose name it is to others; count where it is nobody's, or the file has its own. */
static size_t owner(const struct names *names, const char *text, size_t from, size_t count)
{
    struct name wanted = {.module = from};
    snprintf(wanted.text, sizeof wanted.text, "%s", text);
    const struct name *found =
        names->count == 0 ? NULL
                          : bsearch(&wanted, names->all, names->count, sizeof *names->all, by_text);
    size_t owner = count;
    if (found == NULL) {
        return count;
    }
    while (found > names->all && by_text(found - 1, &wanted) == 0) {
        found--;
    }
    for (; found < names->all + names->count && by_text(found, &wanted) == 0; found++) {
        if (found->module == from) {
            return count;
        }
        owner = found->own ? owner : found->module;
    }
    return owner;
}

/* A member or a variable of its own: behind '.' or '->', or behind a type's name. */
static bool is_another(const char *code, const char *at)
{
    if (at > code && (at[-1] == '.' || (at > code + 1 && at[-1] == '>' && at[-2] == '-'))) {
        return true;
    }
    const char *end = at;
    while (end > code && (isspace((unsigned char)end[-1]) || end[-1] == '*')) {
        end--;
    }
    const char *begin = end;
    while (begin > code && part_of_name(begin[-1])) {
        begin--;
    }
    static const char *const before_values[] = {"return", "else", "case", "do"};
    for (size_t i = 0; i < sizeof before_values / sizeof before_values[0]; i++) {
        if ((size_t)(end - begin) == strlen(before_values[i]) &&
            starts_with(begin, before_values[i])) {
            return false;
        }
    }
    return begin < end;
}

/* used[from * count + to] is where in from's code it uses to; NULL where it does not. */
static void find_uses(const struct module *modules, size_t count, const struct names *names,
                      const char **used)
{
    for (size_t from = 0; from < count; from++) {
        const char *code = modules[from].code;
        for (const char *at = code; *at != '\0';) {
            size_t length = 0;
            while (part_of_name(at[length])) {
                length++;
            }
            if (length > 0 && length < NAME_SIZE && !is_another(code, at)) {
                char text[NAME_SIZE];
                snprintf(text, sizeof text, "%.*s", (int)length, at);
                size_t to = owner(names, text, from, count);
                if (to < count && used[from * count + to] == NULL) {
                    used[from * count + to] = at;
                }
            }
            at += length > 0 ? length : 1;
        }
    }
}

bool circle_find(const struct module *modules, size_t count, char *why, size_t size)
{
    struct names names = {NULL, 0, 0};
    const char **used = calloc(count * count + 1, sizeof *used);
    bool *reaches = calloc(count * count + 1, sizeof *reaches), found = false;
    if (used == NULL || reaches == NULL) {
        abort();
    }
    for (size_t i = 0; i < count; i++) {
        add_defined(&names, &modules[i], i);
    }
    if (names.count > 0) {
        qsort(names.all, names.count, sizeof *names.all, by_text);
    }
    find_uses(modules, count, &names, used);
    for (size_t i = 0; i < count * count; i++) {
        reaches[i] = used[i] != NULL;
    }
    for (size_t by = 0; by < count; by++) {
        for (size_t from = 0; from < count; from++) {
            for (size_t to = 0; to < count && reaches[from * count + by]; to++) {
                reaches[from * count + to] |= reaches[by * count + to];
            }
        }
    }
    for (size_t i = 0; i < count * count && !found; i++) {
        size_t from = i / count, to = i % count;
        found = used[i] != NULL && reaches[to * count + from];
        if (found) {
            size_t length = 0;
            while (part_of_name(used[i][length])) {
                length++;
            }
            snprintf(why, size, "%s uses %.*s of %s, which uses %s in turn", modules[from].path,
                     (int)length, used[i], modules[to].path, modules[from].path);
        }
    }
    free(names.all);
    free(used);
    free(reaches);
    return found;
}
