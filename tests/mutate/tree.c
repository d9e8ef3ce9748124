/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "mutate/tree.h"

#include <ctype.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* From the lowest: a layer, and where what it does is tested. Numbers above session are those of
 * layout. */
static const struct {
    const char *layer, *tested_in[6];
    bool only_tables;
} layers[] = {
    {"base", {"base"}, false},
    {"measure", {"measure"}, false},
    {"bike", {"bike"}, false},
    {"rig", {"rig"}, false},
    {"record", {"record", "analysis", "say", "session", "store"}, false},
    {"analysis", {"analysis", "say", "session"}, false},
    {"say", {"say", "session"}, false},
    {"session", {"session"}, false},
    {"store", {"store"}, true},
    {"screen", {"screen"}, true},
    {"report", {"report"}, true},
};
enum { LAYERS = sizeof layers / sizeof layers[0] };

static int by_name(const void *a, const void *b)
{
    return strcmp(a, b);
}

bool names_add(struct names *names, const char *name)
{
    char(*more)[256] = realloc(names->all, (names->count + 1) * sizeof *more);
    if (more == NULL) {
        return false;
    }
    names->all = more;
    snprintf(more[names->count++], sizeof *more, "%s", name);
    return true;
}

bool names_have(const struct names *names, const char *name)
{
    for (size_t i = 0; i < names->count; i++) {
        if (strcmp(names->all[i], name) == 0) {
            return true;
        }
    }
    return false;
}

void names_free(struct names *names)
{
    free(names->all);
    *names = (struct names){.count = 0};
}

bool names_of_folder(struct names *names, const char *folder, const char *start, const char *end)
{
    DIR *listed = opendir(folder);
    size_t first = names->count;
    bool good = true;
    if (listed == NULL) {
        return true;
    }
    for (const struct dirent *entry; good && (entry = readdir(listed)) != NULL;) {
        const char *name = entry->d_name;
        size_t length = strlen(name);
        char path[256];
        if (snprintf(path, sizeof path, "%s/%s", folder, name) >= (int)sizeof path) {
            continue;
        }
        if (strncmp(name, start, strlen(start)) == 0 && length > strlen(end) &&
            strcmp(name + length - strlen(end), end) == 0) {
            good = names_add(names, path);
        }
    }
    closedir(listed);
    if (names->count > first) {
        qsort(names->all + first, names->count - first, sizeof *names->all, by_name);
    }
    return good;
}

void layer_of(char layer[32], const char *path)
{
    const char *slash = strchr(path, '/');
    const char *from = slash != NULL ? slash + 1 : path;
    snprintf(layer, 32, "%.*s", (int)strcspn(from, "/"), from);
}

/* Index of a layer; LAYERS where it has no row. */
static size_t place_of(const char *layer)
{
    size_t i = 0;
    while (i < LAYERS && strcmp(layers[i].layer, layer) != 0) {
        i++;
    }
    return i;
}

const char *const *layers_that_test(const char *layer)
{
    static const char *const none[] = {NULL};
    size_t place = place_of(layer);
    return place < LAYERS ? layers[place].tested_in : none;
}

bool layer_is_linked(const char *program, const char *other)
{
    size_t own = place_of(program), place = place_of(other);
    return place < LAYERS && (place == own || (place < own && !layers[place].only_tables));
}

bool only_tables(const char *layer)
{
    size_t place = place_of(layer);
    return place < LAYERS && layers[place].only_tables;
}

bool sources_of(struct names *names, const char *layer)
{
    char folder[64];
    snprintf(folder, sizeof folder, "include/%s", layer);
    bool good = names_of_folder(names, folder, "", ".h");
    snprintf(folder, sizeof folder, "src/%s", layer);
    good = good && names_of_folder(names, folder, "", ".h") &&
           names_of_folder(names, folder, "", ".c");
    struct names rooms = {.count = 0};
    good = good && names_of_folder(&rooms, folder, "", "");
    for (size_t i = 0; good && i < rooms.count; i++) {
        if (strchr(rooms.all[i], '.') == NULL) { /* a folder */
            good = names_of_folder(names, rooms.all[i], "", ".h") &&
                   names_of_folder(names, rooms.all[i], "", ".c");
        }
    }
    names_free(&rooms);
    return good;
}

bool has_word(const char *text, const char *word)
{
    size_t length = strlen(word);
    for (const char *at = strstr(text, word); at != NULL; at = strstr(at + 1, word)) {
        bool begins = at == text || !(isalnum((unsigned char)at[-1]) || at[-1] == '_');
        if (begins && !(isalnum((unsigned char)at[length]) || at[length] == '_')) {
            return true;
        }
    }
    return false;
}

/* '#include "..."' of one of these headers, as the file's folder sees them. */
static bool includes_one(const char *path, const char *text, const struct names *headers)
{
    static const char include[] = "#include \"";
    size_t folder = strrchr(path, '/') != NULL ? (size_t)(strrchr(path, '/') - path) + 1 : 0;
    for (const char *at = text; (at = strstr(at, include)) != NULL;) {
        at += sizeof include - 1;
        size_t length = strcspn(at, "\"\n");
        char shared[300], beside[300];
        snprintf(shared, sizeof shared, "include/%.*s", (int)length, at);
        snprintf(beside, sizeof beside, "%.*s%.*s", (int)folder, path, (int)length, at);
        if (names_have(headers, shared) || names_have(headers, beside)) {
            return true;
        }
    }
    return false;
}

static bool is_header(const char *path)
{
    return path[strlen(path) - 1] == 'h';
}

/* Every file that sees the header, itself first. */
static bool includers_of(struct names *seen, const struct names *tree, char *const *texts,
                         const char *header)
{
    bool more = names_add(seen, header);
    while (more) {
        more = false;
        for (size_t i = 0; i < tree->count; i++) {
            if (texts[i] != NULL && !names_have(seen, tree->all[i]) &&
                includes_one(tree->all[i], texts[i], seen)) {
                more = more || is_header(tree->all[i]);
                if (!names_add(seen, tree->all[i])) {
                    return false;
                }
            }
        }
    }
    return true;
}

/* Of a rule: the sources that name it or include its own file (a list of all), or all that see it
 * where another header does. */
static bool keep_users(struct names *users, const struct names *seen, const struct names *tree,
                       char *const *texts, const struct mutant *mutant)
{
    struct names naming = {.count = 0};
    struct names own = {.count = 0};
    bool by_header = mutant->name[0] == '\0', good = names_add(&own, mutant->file);
    for (size_t i = 0; good && i < tree->count; i++) {
        const char *path = tree->all[i];
        if (!names_have(seen, path) || strcmp(path, mutant->file) == 0) {
            continue;
        }
        bool names = mutant->name[0] != '\0' && has_word(texts[i], mutant->name);
        by_header = by_header || (names && is_header(path));
        if (!is_header(path) && (names || includes_one(path, texts[i], &own))) {
            good = names_add(&naming, path);
        }
    }
    for (size_t i = 0; good && i < seen->count; i++) {
        const char *path = seen->all[i];
        if (!is_header(path) && (by_header || names_have(&naming, path))) {
            good = names_add(users, path);
        }
    }
    names_free(&naming);
    names_free(&own);
    return good;
}

/* A rule that layers below the screens use is to be seen by their tests: the long ones above are
 * left alone. */
static void keep_lower(struct names *users)
{
    size_t kept = 0, lower = 0;
    char layer[32];
    for (size_t i = 0; i < users->count; i++) {
        layer_of(layer, users->all[i]);
        lower += !only_tables(layer);
    }
    for (size_t i = 0; lower > 0 && i < users->count; i++) {
        layer_of(layer, users->all[i]);
        if (!only_tables(layer)) {
            memmove(users->all[kept++], users->all[i], sizeof *users->all);
        }
    }
    users->count = lower > 0 ? kept : users->count;
}

bool users_of(struct names *users, const struct mutant *mutant)
{
    struct names tree = {.count = 0}, seen = {.count = 0};
    *users = (struct names){.count = 0};
    if (!is_header(mutant->file)) {
        return names_add(users, mutant->file);
    }
    bool good = true;
    for (size_t i = 0; i < LAYERS; i++) {
        good = good && sources_of(&tree, layers[i].layer);
    }
    char **texts = calloc(tree.count + 1, sizeof *texts);
    for (size_t i = 0; texts != NULL && i < tree.count; i++) {
        texts[i] = file_read(tree.all[i]);
    }
    good = good && texts != NULL && includers_of(&seen, &tree, texts, mutant->file) &&
           keep_users(users, &seen, &tree, texts, mutant);
    if (mutant->kind == MUTANT_RULE) {
        keep_lower(users);
    }
    for (size_t i = 0; texts != NULL && i < tree.count; i++) {
        free(texts[i]);
    }
    free(texts);
    names_free(&tree);
    names_free(&seen);
    return good;
}
