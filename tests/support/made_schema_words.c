/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/made_schema.h"

#include "bike/carrier.h"
#include "record/enum_words.h"
#include "record/record.h"
#include "rig/sample.h"
#include "say/wire.h"

#include <string.h>

/* Lists of words and keys in the schemas, each from the program's own. */

static const struct {
    const char *name;
    const struct word_list *list;
} word_lists[] = {
    {"channel roles", &channel_role_words},
    {"carriers", &carrier_keys},
    {"looks", &look_words},
    {"hold status", &hold_status_words},
    {"check kinds", &check_kind_words},
    {"check verdicts", &check_verdict_words},
    {"qualities", &quality_words},
    {"wire causes", &wire_cause_words},
};

static const char enum_begin[] = ", \"enum\": [";

/* The keys of the numbers that checks come to. */
static bool put_check_quantities(const char *line, FILE *out)
{
    const char *list = strstr(line, enum_begin), *between = "";
    const char *end = list != NULL ? strchr(list, ']') : NULL;
    if (strstr(line, "\"$comment\": \"keys: check quantities\"") == NULL || end == NULL) {
        return false;
    }
    fprintf(out, "%.*s%s", (int)(list - line), line, enum_begin);
    for (int i = 0; i < CHECK_QUANTITIES; i++) {
        fprintf(out, "%s\"%s\"", between, check_quantities[i].key);
        between = ", ";
    }
    fputs(end, out);
    return true;
}

bool schema_words(const char *line, FILE *out)
{
    static const char mark[] = "\"$comment\": \"words: ";
    const char *name = strstr(line, mark), *list = strstr(line, enum_begin);
    const char *end = list != NULL ? strchr(list, ']') : NULL;
    if (name == NULL || end == NULL) {
        return put_check_quantities(line, out);
    }
    name += sizeof mark - 1;
    for (size_t i = 0; i < sizeof word_lists / sizeof word_lists[0]; i++) {
        const struct word_list *words = word_lists[i].list;
        size_t length = strlen(word_lists[i].name);
        if (strncmp(name, word_lists[i].name, length) != 0 || name[length] != '"') {
            continue;
        }
        fprintf(out, "%.*s%s", (int)(list - line), line, enum_begin);
        const char *between = "";
        for (int word = 0; word < words->count; word++) {
            if (words->word[word] != NULL) {
                fprintf(out, "%s\"%s\"", between, words->word[word]);
                between = ", ";
            }
        }
        fputs(end, out);
        return true;
    }
    return false;
}
