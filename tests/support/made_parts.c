/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/made_parts.h"

#include "base/text.h"
#include "measure/rules.h"
#include "record/stored.h"
#include "screen/keys.h"
#include "support/key_script.h"
#include "support/made_schema.h"
#include "support/test_main.h"

#include <stdlib.h>
#include <string.h>

#define LINE_SIZE 4096

const char *const made_documents[] = {"README.md",
                                      "docs/screens.md",
                                      "docs/measures.md",
                                      "docs/schema.md",
                                      "docs/holdline.1",
                                      "docs/scripts.md",
                                      "docs/export.schema.json",
                                      "docs/check.schema.json",
                                      "docs/listen.schema.json",
                                      "docs/measure.schema.json",
                                      "docs/place.schema.json",
                                      "docs/progress.schema.json",
                                      "docs/rigs.schema.json",
                                      NULL};

/* ---- keys ---- */

static void markdown_keys(FILE *out)
{
    fputs("| key | what it does |\n| --- | --- |\n", out);
    for (int i = 0; i < key_count; i++) {
        if (key_table[i].words != NULL) {
            fprintf(out, "| `%s` | %s |\n", key_table[i].name, key_table[i].words);
        }
    }
}

static void manual_keys(FILE *out)
{
    fputs(".Bl -tag -width Ctrl-L -compact\n", out);
    for (int i = 0; i < key_count; i++) {
        if (key_table[i].words != NULL) {
            /* \\& keeps a '?' from being taken for the end of a sentence */
            fprintf(out, ".It Ic \\&%s\n%s\n", key_table[i].name, key_table[i].words);
        }
    }
    fputs(".El\n", out);
}

/* ---- rules ---- */

static void markdown_rules(FILE *out)
{
    for (int i = 0; i < rule_count; i++) {
        const struct rule *rule = &rules[i];
        char value[64];
        if (rule->name == NULL) {
            fprintf(out, "%s**%s**\n\n| rule | value | what it is for | source |\n",
                    i > 0 ? "\n" : "", rule->group);
            fputs("| --- | --- | --- | --- |\n", out);
            continue;
        }
        text_from_double_shortest(value, sizeof value, rule->value);
        fprintf(out, "| `%s` | %s%s%s | %s | %s |\n", rule->name, value,
                rule->unit[0] != '\0' ? " " : "", rule->unit, rule->purpose, rule->source);
    }
}

/* ---- ratings ---- */

static void markdown_ratings(FILE *out)
{
    int items[RATING_ITEMS];
    rating_sort(RATING_ASKED, items);
    for (int i = 0; i < RATING_ITEMS; i++) {
        const struct rating_field *field = &rating_fields[items[i]];
        char words[128], unit[16];
        if (field->kind == RATING_WORD) {
            word_list_text(words, sizeof words, field->list);
        } else {
            snprintf(unit, sizeof unit, "%s%s", field->unit[0] != '\0' ? " " : "", field->unit);
            snprintf(words, sizeof words, "%g to %g%s", field->least, field->most, unit);
        }
        fprintf(out, "- `%s=`, %s: %s\n", field->key, words,
                field->question != NULL ? field->question : field->words);
    }
}

/* ---- columns ---- */

static void markdown_column(const struct stored_field *field, FILE *out)
{
    fprintf(out, "| `%s` | %s | %s", field->key, stored_type_word(field), field->words);
    const char *between = ": ";
    for (int i = 0; field->list != NULL && i < field->list->count; i++) {
        const char *word = word_of(field->list, field->list->first + i);
        if (word != NULL) {
            fprintf(out, "%s`%s`", between, word);
            between = ", ";
        }
    }
    fputs(" |\n", out);
}

static bool markdown_columns(const char *name, FILE *out)
{
    int id = 0;
    while (id < STORED_TABLES && !text_equal(stored_tables[id]->name, name)) {
        id++;
    }
    if (id == STORED_TABLES) {
        return false;
    }
    const struct stored_field *field;
    fputs("| column | type | what |\n| --- | --- | --- |\n", out);
    fputs(id == TABLE_SESSION
              ? "| `id` | INTEGER | row id: the number that commands take; never used again |\n"
              : "| `session_id` | INTEGER | the session |\n",
          out);
    for (int i = 0; (field = stored_column(stored_tables[id], i)) != NULL; i++) {
        markdown_column(field, out);
    }
    return true;
}

/* ---- screens ---- */

/* 'comparison', or 'fitter large': a picture of that script of keys. */
static bool put_screen(const char *words, FILE *out, char *problem, size_t size)
{
    char screen[LINE_SIZE];
    text_copy(screen, sizeof screen, words);
    char *picture = screen + strcspn(screen, " ");
    if (*picture != '\0') {
        *picture++ = '\0';
    }
    fputs("```text\n", out);
    bool done = key_script_play(screen, picture, out, problem, size);
    fputs("```\n", out);
    return done;
}

/* ---- documents ---- */

/* What the line says is to be made, without the marks around it; NULL: it says nothing. */
static const char *asked(char *line, bool *manual)
{
    static const char markdown_begin[] = "<!-- made: ", markdown_end[] = " -->\n";
    static const char manual_begin[] = ".\\\" made: ";
    *manual = text_starts_with(line, manual_begin);
    if (*manual) {
        line[strcspn(line, "\n")] = '\0';
        return line + sizeof manual_begin - 1;
    }
    char *end = strstr(line, markdown_end);
    if (end == NULL || !text_starts_with(line, markdown_begin)) {
        return NULL;
    }
    *end = '\0';
    return line + sizeof markdown_begin - 1;
}

static bool is_end(const char *line)
{
    return text_starts_with(line, "<!-- end -->") || text_starts_with(line, ".\\\" end");
}

static bool make_part(const char *what, bool manual, FILE *out, char *problem, size_t size)
{
    if (text_equal(what, "keys")) {
        if (manual) {
            manual_keys(out);
        } else {
            markdown_keys(out);
        }
        return true;
    }
    if (text_equal(what, "rules") && !manual) {
        markdown_rules(out);
        return true;
    }
    if (text_equal(what, "ratings") && !manual) {
        markdown_ratings(out);
        return true;
    }
    if (text_starts_with(what, "screen ")) {
        return put_screen(what + strlen("screen "), out, problem, size);
    }
    if (text_starts_with(what, "columns ") && markdown_columns(what + strlen("columns "), out)) {
        return true;
    }
    text_copy(problem, size, what);
    return false;
}

/* A definition of the schema, whose end is its own line too. */
static void remake_definition(char *line, FILE *file, FILE *out)
{
    schema_put(line, out);
    while (fgets(line, LINE_SIZE, file) != NULL && !text_equal(line, "    },\n")) {
    }
}

bool made_document(const char *path, FILE *out, char *problem, size_t size)
{
    char line[LINE_SIZE];
    bool inside = false, done = true, manual;
    FILE *file = fopen(source_path(path), "r");
    if (file == NULL) {
        text_copy(problem, size, path);
        return false;
    }
    while (done && fgets(line, sizeof line, file) != NULL) {
        inside = inside && !is_end(line);
        if (inside) {
            continue;
        }
        if (schema_made(line)) {
            remake_definition(line, file, out);
            continue;
        }
        if (schema_words(line, out)) {
            continue;
        }
        fputs(line, out);
        const char *what = asked(line, &manual);
        if (what != NULL) {
            inside = true;
            done = make_part(what, manual, out, problem, size);
        }
    }
    fclose(file);
    return done;
}
