/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "mutate/mutants.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *const mutant_kinds[MUTANT_KINDS] = {"rules", "tables", "sample"};

uint64_t hash_text(uint64_t hash, const char *text)
{
    for (; *text != '\0'; text++) { /* FNV-1a: its offset is in the first one's hash */
        hash = (hash ^ (unsigned char)*text) * 0x100000001b3u;
    }
    return hash;
}

static uint64_t mix(uint64_t x)
{
    x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9u; /* the finaliser of splitmix64 */
    x = (x ^ (x >> 27)) * 0x94d049bb133111ebu;
    return x ^ (x >> 31);
}

static void copy_text(char *to, size_t size, const char *from, const char *end)
{
    size_t used = 0;
    while (from < end && isspace((unsigned char)*from)) {
        from++;
    }
    for (; from < end && used + 1 < size; from++) {
        bool blank = isspace((unsigned char)*from) || (*from == '\\' && from[1] == '\n');
        if (!blank) {
            to[used++] = *from;
        } else if (used > 0 && to[used - 1] != ' ') {
            to[used++] = ' ';
        }
    }
    while (used > 0 && to[used - 1] == ' ') {
        used--;
    }
    to[used] = '\0';
}

bool mutants_add(struct mutants *mutants, const struct scan *scan, const struct mutant *mutant,
                 size_t text_end, const char *replacement)
{
    if (mutants->count == mutants->room) {
        size_t room = mutants->room > 0 ? 2 * mutants->room : 256;
        struct mutant *more = realloc(mutants->all, room * sizeof *more);
        if (more == NULL) {
            return false;
        }
        mutants->all = more;
        mutants->room = room;
    }
    struct mutant *added = &mutants->all[mutants->count];
    *added = *mutant;
    added->replacement = malloc(strlen(replacement) + 1);
    if (added->replacement == NULL) {
        return false;
    }
    memcpy(added->replacement, replacement, strlen(replacement) + 1);
    const char *from = scan->text + mutant->start, *end = scan->text + text_end;
    if (text_end == 0) {
        for (end = from; *end != '\0' && *end != '\n'; end++) {
        }
        while (from > scan->text && from[-1] != '\n') {
            from--;
        }
    }
    copy_text(added->text, sizeof added->text, from, end);
    mutants->count++;
    return true;
}

static void number_alike(struct mutants *mutants, size_t first, uint64_t seed)
{
    for (size_t i = first; i < mutants->count; i++) {
        struct mutant *mutant = &mutants->all[i];
        mutant->occurrence = 1;
        for (size_t j = first; j < i; j++) {
            const struct mutant *other = &mutants->all[j];
            mutant->occurrence +=
                strcmp(other->what, mutant->what) == 0 && strcmp(other->text, mutant->text) == 0;
        }
        uint64_t hash = hash_text(0xcbf29ce484222325u, mutant->file);
        hash = hash_text(hash_text(hash, mutant->what), mutant->text);
        mutant->rank = mix(hash ^ mix(seed * 0x9e3779b97f4a7c15u + (uint64_t)mutant->occurrence));
    }
}

bool mutants_of(struct mutants *mutants, const char *file, const char *text, uint64_t seed)
{
    struct scan scan;
    size_t first = mutants->count;
    if (!scan_text(&scan, text, 0, strlen(text), 1)) {
        return false;
    }
    bool good = mutants_of_rules(mutants, file, &scan) && mutants_of_tables(mutants, file, &scan) &&
                mutants_of_code(mutants, file, &scan);
    scan_free(&scan);
    number_alike(mutants, first, seed);
    return good;
}

static int by_rank(const void *a, const void *b)
{
    uint64_t one = ((const struct mutant *)a)->rank, other = ((const struct mutant *)b)->rank;
    return one < other ? -1 : one > other;
}

static int by_place(const void *a, const void *b)
{
    const struct mutant *one = a, *other = b;
    int files = strcmp(one->file, other->file);
    if (files != 0) {
        return files;
    }
    if (one->start != other->start) {
        return one->start < other->start ? -1 : 1;
    }
    return strcmp(one->what, other->what);
}

void mutants_sample(struct mutants *mutants, size_t count)
{
    size_t kept = 0, taken = 0;
    if (mutants->count == 0) {
        return;
    }
    qsort(mutants->all, mutants->count, sizeof *mutants->all, by_rank);
    for (size_t i = 0; i < mutants->count; i++) {
        struct mutant *mutant = &mutants->all[i];
        if (mutant->kind == MUTANT_SAMPLE && taken++ >= count) {
            free(mutant->replacement);
        } else {
            mutants->all[kept++] = *mutant;
        }
    }
    mutants->count = kept;
    qsort(mutants->all, mutants->count, sizeof *mutants->all, by_place);
}

void mutants_free(struct mutants *mutants)
{
    for (size_t i = 0; i < mutants->count; i++) {
        free(mutants->all[i].replacement);
    }
    free(mutants->all);
    *mutants = (struct mutants){.count = 0};
}

char *mutant_apply(const struct mutant *mutant, const char *text)
{
    size_t length = strlen(text) - (mutant->end - mutant->start) + strlen(mutant->replacement);
    char *changed = malloc(length + 1);
    if (changed != NULL) {
        snprintf(changed, length + 1, "%.*s%s%s", (int)mutant->start, text, mutant->replacement,
                 text + mutant->end);
    }
    return changed;
}
