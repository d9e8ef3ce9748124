/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "mutate/equivalents.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum field { FILE_FIELD, TEXT_FIELD, CHANGE_FIELD, REASON_FIELD, FIELDS };
static const char *const heads[FIELDS] = {"file: ", "text: ", "change: ", "reason: "};

static bool add(struct equivalents *equivalents, int line)
{
    struct equivalent *more =
        realloc(equivalents->all, (equivalents->count + 1) * sizeof *equivalents->all);
    if (more == NULL) {
        return false;
    }
    equivalents->all = more;
    more[equivalents->count++] = (struct equivalent){.line = line};
    return true;
}

/* One line; *next is the field that it must be, FIELDS where a reason may go on or an entry end. */
static bool take_line(struct equivalents *equivalents, const char *line, int number, int *next)
{
    if (line[0] == '#' || (*next == FIELDS && line[0] != '\0')) {
        return true;
    }
    if (line[0] == '\0') {
        bool between = *next == FIELDS || *next == FILE_FIELD;
        *next = FILE_FIELD;
        return between;
    }
    size_t head = strlen(heads[*next]);
    if (strncmp(line, heads[*next], head) != 0 || line[head] == '\0' ||
        (*next == FILE_FIELD && !add(equivalents, number))) {
        return false;
    }
    struct equivalent *entry = &equivalents->all[equivalents->count - 1];
    if (*next == FILE_FIELD) {
        snprintf(entry->file, sizeof entry->file, "%s", line + head);
    } else if (*next == TEXT_FIELD) {
        snprintf(entry->text, sizeof entry->text, "%s", line + head);
    } else if (*next == CHANGE_FIELD) {
        snprintf(entry->what, sizeof entry->what, "%s", line + head);
    }
    ++*next;
    return true;
}

bool equivalents_read(struct equivalents *equivalents, const char *path, int *wrong_line)
{
    int next = FILE_FIELD, number = 0;
    *equivalents = (struct equivalents){.count = 0};
    char *text = file_read(path);
    for (char *line = text, *end; line != NULL; line = end) {
        end = strchr(line, '\n');
        if (end != NULL) {
            *end++ = '\0';
        }
        if (!take_line(equivalents, line, ++number, &next)) {
            *wrong_line = number;
            free(text);
            return false;
        }
    }
    free(text);
    *wrong_line = number;
    return next == FILE_FIELD || next == FIELDS;
}

void equivalents_free(struct equivalents *equivalents)
{
    free(equivalents->all);
    *equivalents = (struct equivalents){.count = 0};
}

bool equivalents_has(struct equivalents *equivalents, const struct mutant *mutant)
{
    bool has = false;
    char every[sizeof mutant->table + 16];
    snprintf(every, sizeof every, "every row of %s", mutant->table);
    for (size_t i = 0; i < equivalents->count; i++) {
        struct equivalent *entry = &equivalents->all[i];
        if (strcmp(entry->file, mutant->file) == 0 && strcmp(entry->what, mutant->what) == 0 &&
            (strcmp(entry->text, mutant->text) == 0 ||
             (mutant->kind == MUTANT_TABLE && strcmp(entry->text, every) == 0))) {
            entry->used = has = true;
        }
    }
    return has;
}
