/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/made_parts.h"

#include "base/text.h"
#include "measure/rules.h"
#include "screen/keys.h"
#include "support/stage.h"
#include "support/test_main.h"

#include <stdlib.h>
#include <string.h>

#define LINE_SIZE 4096

const char *const made_documents[] = {"docs/screens.md", "docs/measures.md", "docs/holdline.1",
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

/* ---- screens ---- */

static void press(struct stage *stage, const char *word)
{
    static const struct {
        const char *name, *keys;
    } named[] = {
        {"Tab", "\t"}, {"Enter", "\r"}, {"Esc", "\033"}, {"Up", "\033OA"}, {"Down", "\033OB"}};
    char typed[256];
    for (size_t i = 0; i < sizeof named / sizeof named[0]; i++) {
        if (text_equal(word, named[i].name)) {
            stage_keys(stage, named[i].keys);
            return;
        }
    }
    text_copy(typed, sizeof typed, word);
    for (char *next = typed; *next != '\0'; next++) {
        *next = *next == '_' ? ' ' : *next;
    }
    stage_keys(stage, typed);
}

/* Rows to the last one that has anything in it. */
static void put_rows(const struct stage *stage, int rows, FILE *out)
{
    char row[LINE_SIZE];
    const struct terminal *terminal = stage_terminal((struct stage *)stage);
    do {
        rows--;
        terminal_row(terminal, rows, row, sizeof row);
    } while (rows > 0 && row[0] == '\0');
    for (int r = 0; r <= rows; r++) {
        terminal_row(terminal, r, row, sizeof row);
        fprintf(out, "%s\n", row);
    }
}

static int view_named(const char *name)
{
    for (int i = 0; i < MADE_VIEWS; i++) {
        if (text_equal(made_view_names[i], name)) {
            return i;
        }
    }
    return -1;
}

static bool put_screen(const char *words, FILE *out, char *problem, size_t size)
{
    char line[LINE_SIZE], *rest = NULL;
    text_copy(line, sizeof line, words);
    const char *name = strtok_r(line, " ", &rest), *rows = strtok_r(NULL, " ", &rest),
               *columns = strtok_r(NULL, " ", &rest);
    int kind = name != NULL ? view_named(name) : -1;
    int64_t height = 0, width = 0;
    if (kind < 0 || rows == NULL || columns == NULL || !text_to_int64(rows, &height) ||
        !text_to_int64(columns, &width)) {
        text_copy(problem, size, words);
        return false;
    }
    struct terminal_settings settings = {.rows = (int)height, .columns = (int)width};
    struct stage *stage = stage_open(&settings, (enum made_view)kind);
    if (stage == NULL) {
        problem[0] = '\0';
        return false;
    }
    stage_drawn(stage);
    for (const char *key; (key = strtok_r(NULL, " ", &rest)) != NULL;) {
        press(stage, key);
    }
    terminal_wait_quiet(stage_terminal(stage), 0.05, 2.0);
    fputs("```text\n", out);
    put_rows(stage, (int)height, out);
    fputs("```\n", out);
    stage_close(stage);
    return true;
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
    if (text_starts_with(what, "screen ")) {
        return put_screen(what + strlen("screen "), out, problem, size);
    }
    text_copy(problem, size, what);
    return false;
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
