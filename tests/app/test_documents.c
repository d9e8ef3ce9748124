/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The documents against the program: commands and options in the man page and the completions,
 * paths named in the texts, the script language's table. */
#include "app/commands.h"
#include "base/word_list.h"
#include "say/next.h"
#include "session/session.h"
#include "support/program.h"
#include "support/test_main.h"

#include <ctype.h>
#include <dirent.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define MANPAGE "docs/holdline.1"
static const char *const completions[] = {"docs/completions/holdline.bash",
                                          "docs/completions/_holdline",
                                          "docs/completions/holdline.fish"};
#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static char *read_document(const char *relative)
{
    FILE *stream = fopen(source_path(relative), "rb");
    ck_assert_msg(stream != NULL, "%s is not there", relative);
    ck_assert_int_eq(fseek(stream, 0, SEEK_END), 0);
    long size = ftell(stream);
    ck_assert_int_gt(size, 0);
    rewind(stream);
    char *text = calloc(1, (size_t)size + 1);
    ck_assert_ptr_nonnull(text);
    ck_assert_uint_eq(fread(text, 1, (size_t)size, stream), (size_t)size);
    fclose(stream);
    return text;
}

static bool part_of_word(char character)
{
    return isalnum((unsigned char)character) || character == '-' || character == '_';
}

/* word stands in text, whole. */
static bool names_word(const char *text, const char *word)
{
    size_t length = strlen(word);
    for (const char *at = text; (at = strstr(at, word)) != NULL; at += length) {
        if ((at == text || !part_of_word(at[-1])) && !part_of_word(at[length])) {
            return true;
        }
    }
    return false;
}

/* The next word behind mark ('--' in a usage, 'Fl -' in the man page) into word; false at the end.
 */
static bool next_option(const char **at, const char *mark, char *word, size_t size)
{
    while ((*at = strstr(*at, mark)) != NULL) {
        const char *begin = *at + strlen(mark);
        size_t length = 0;
        while (part_of_word(begin[length])) {
            length++;
        }
        *at = begin + length;
        if (length > 0 && length < size && begin[0] != '-') {
            memcpy(word, begin, length);
            word[length] = '\0';
            return true;
        }
    }
    return false;
}

START_TEST(every_command_is_documented)
{
    const struct command *command = commands[_i];
    char *page = read_document(MANPAGE);
    char heading[64], word[64], option[80];
    snprintf(heading, sizeof heading, "\n.Ss %s", command->name);
    ck_assert_msg(strstr(page, heading) != NULL, "%s has no section on %s", MANPAGE, command->name);
    for (const char *at = command->usage; next_option(&at, "--", word, sizeof word);) {
        snprintf(option, sizeof option, "Fl -%s", word);
        ck_assert_msg(names_word(page, option), "%s does not know --%s of %s", MANPAGE, word,
                      command->name);
    }
    free(page);
}
END_TEST

START_TEST(completions_know_every_command_and_option)
{
    const struct command *command = commands[_i];
    for (size_t i = 0; i < COUNT(completions); i++) {
        char *text = read_document(completions[i]);
        char word[64];
        ck_assert_msg(names_word(text, command->name), "%s does not know %s", completions[i],
                      command->name);
        for (const char *at = command->usage; next_option(&at, "--", word, sizeof word);) {
            char option[80];
            snprintf(option, sizeof option, "--%s", word);
            ck_assert_msg(names_word(text, option) || names_word(text, word),
                          "%s does not know --%s of %s", completions[i], word, command->name);
        }
        free(text);
    }
}
END_TEST

START_TEST(the_man_page_promises_no_option_that_is_not_there)
{
    char *page = read_document(MANPAGE);
    char word[64], option[80];
    for (const char *at = page; next_option(&at, "Fl -", word, sizeof word);) {
        bool known = strcmp(word, "help") == 0 || strcmp(word, "version") == 0;
        snprintf(option, sizeof option, "--%s", word);
        for (int i = 0; i < command_count && !known; i++) {
            known = names_word(commands[i]->usage, option);
        }
        ck_assert_msg(known, "%s has --%s, which no command takes", MANPAGE, word);
    }
    free(page);
}
END_TEST

/* `docs/schema.md` and the like, in backquotes. Patterns with <, * or $ in them are no paths. */
static void paths_are_there(const char *document)
{
    static const char *const folders[] = {"docs/",  "src/",      "include/",
                                          "tests/", "sessions/", ".ci/"};
    char *text = read_document(document);
    for (char *at = text; (at = strchr(at, '`')) != NULL;) {
        char *path = at + 1;
        char *end = strchr(path, '`');
        if (end == NULL) {
            break;
        }
        at = end + 1;
        bool ours = false;
        for (size_t i = 0; i < COUNT(folders); i++) {
            ours = ours || strncmp(path, folders[i], strlen(folders[i])) == 0;
        }
        size_t length = strcspn(path, "` ");
        if (!ours || strcspn(path, "<*$") < length) {
            continue;
        }
        path[length] = '\0';
        ck_assert_msg(access(source_path(path), F_OK) == 0, "%s names %s, which is not there",
                      document, path);
    }
    free(text);
}

START_TEST(paths_in_the_texts_are_there)
{
    DIR *folder = opendir(source_path("docs"));
    ck_assert_ptr_nonnull(folder);
    for (struct dirent *entry; (entry = readdir(folder)) != NULL;) {
        const char *ending = strrchr(entry->d_name, '.');
        if (ending != NULL && strcmp(ending, ".md") == 0) {
            char document[512];
            snprintf(document, sizeof document, "docs/%s", entry->d_name);
            paths_are_there(document);
        }
    }
    closedir(folder);
    paths_are_there("README.md");
    paths_are_there("DEVELOPERS.md");
    paths_are_there("sessions/README.md");
}
END_TEST

/* Every document that the program's own words name: all of docs/ is installed (Makefile). */
START_TEST(the_program_names_documents_that_are_there)
{
    FILE *stream = fopen(program_path(), "rb");
    ck_assert_ptr_nonnull(stream);
    char path[128];
    int named = 0;
    for (size_t known = 0; !feof(stream);) {
        static const char start[] = "docs/";
        int byte = getc(stream);
        if (known < strlen(start)) {
            known = byte == start[known] ? known + 1 : byte == start[0] ? 1 : 0;
            continue;
        }
        size_t length = strlen(start);
        memcpy(path, start, length);
        for (; byte != EOF && length + 1 < sizeof path && (isalnum(byte) || strchr("-_.", byte));
             byte = getc(stream)) {
            path[length++] = (char)byte;
        }
        while (path[length - 1] == '.') {
            length--; /* the sentence's end */
        }
        path[length] = '\0';
        ck_assert_msg(access(source_path(path), F_OK) == 0, "the program names %s", path);
        named++;
        known = 0;
    }
    fclose(stream);
    ck_assert_int_gt(named, 5);
}
END_TEST

/* Rows of the script language's tables: | `word ...` | what it does | */
START_TEST(script_commands_are_known)
{
    static const char *const of_the_runner[] = {"session", "wait",    "carry",
                                                "learn",   "compare", "export"};
    char *text = read_document("docs/scripts.md");
    int rows = 0;
    for (const char *at = text; (at = strstr(at, "\n| `")) != NULL;) {
        char word[32];
        at += strlen("\n| `");
        size_t length = strspn(at, "abcdefghijklmnopqrstuvwxyz");
        ck_assert_uint_gt(length, 0);
        ck_assert_uint_lt(length, sizeof word);
        memcpy(word, at, length);
        word[length] = '\0';
        bool known = session_knows_command(word);
        for (size_t i = 0; i < COUNT(of_the_runner); i++) {
            known = known || strcmp(word, of_the_runner[i]) == 0;
        }
        ck_assert_msg(known, "docs/scripts.md has '%s', which nothing knows", word);
        rows++;
    }
    ck_assert_int_gt(rows, 20);
    free(text);
}
END_TEST

/* Every step that 'pass' takes stands in its row. */
START_TEST(steps_that_can_be_passed_are_documented)
{
    char *text = read_document("docs/scripts.md");
    char *row = strstr(text, "\n| `pass STEP` |");
    ck_assert_ptr_nonnull(row);
    row[1 + strcspn(row + 1, "\n")] = '\0';
    for (int i = 0; i < next_step_words.count; i++) {
        char word[64];
        if (next_step_words.word[i] != NULL) {
            snprintf(word, sizeof word, "`%s`", next_step_words.word[i]);
            ck_assert_msg(strstr(row, word) != NULL, "docs/scripts.md: 'pass' takes %s", word);
        }
    }
    free(text);
}
END_TEST

/* What the tutorial shows of the demo's comparison is what the demo says. */
START_TEST(the_tutorial_shows_what_the_demo_says)
{
    char *tutorial = read_document("docs/first-session.md");
    const char *folder = program_folder();
    struct program_result result =
        program_run(folder, NULL, (const char *const[]){"demo", "--headless", NULL});
    ck_assert_int_eq(result.status, 0);
    char *table = strstr(result.output, "\nsetup ");
    ck_assert_ptr_nonnull(table);
    char *end = strstr(table, "\n\n");
    ck_assert_ptr_nonnull(end);
    *end = '\0';
    int rows = 0;
    char *rest = table;
    for (char *row; (row = strtok_r(rest, "\n", &rest)) != NULL; rows++) {
        ck_assert_msg(strstr(tutorial, row) != NULL, "docs/first-session.md lacks: %s", row);
    }
    ck_assert_int_gt(rows, 5);
    program_free(&result);
    program_folder_remove(folder);
    free(tutorial);
}
END_TEST

/* The README's script does what is said of it. */
START_TEST(the_readmes_script_runs)
{
    char *text = read_document("README.md");
    char *script = strstr(text, "    session 2026");
    ck_assert_ptr_nonnull(script);
    char *end = strstr(script, "\n\n");
    ck_assert_ptr_nonnull(end);
    end[1] = '\0';
    const char *folder = program_folder();
    program_write_file(folder, "first.session", script);
    struct program_result result =
        program_run(folder, NULL,
                    (const char *const[]){"run", "first.session", "virtual:winter?speed=max",
                                          "--no-store", NULL});
    ck_assert_msg(result.status == 0, "%s", result.errors);
    ck_assert_msg(strstr(result.output, "pads down") != NULL, "%s", result.output);
    program_free(&result);
    program_folder_remove(folder);
    free(text);
}
END_TEST

/* The looks themselves find what is missing. */
START_TEST(a_missing_word_is_found)
{
    char word[64];
    const char *at = "  --store FILE and --no-echo VALUE -- 3";
    ck_assert(next_option(&at, "--", word, sizeof word));
    ck_assert_str_eq(word, "store");
    ck_assert(next_option(&at, "--", word, sizeof word));
    ck_assert_str_eq(word, "no-echo");
    ck_assert(!next_option(&at, "--", word, sizeof word));
    ck_assert(names_word("a --store b", "--store"));
    ck_assert(!names_word("a --stores b", "--store"));
    ck_assert(!names_word("a --no-store b", "store"));
    ck_assert(!session_knows_command("fly"));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("documents");
    TCase *agree = tcase_create("agree");
    tcase_add_loop_test(agree, every_command_is_documented, 0, command_count);
    tcase_add_loop_test(agree, completions_know_every_command_and_option, 0, command_count);
    tcase_add_test(agree, the_man_page_promises_no_option_that_is_not_there);
    tcase_add_test(agree, paths_in_the_texts_are_there);
    tcase_add_test(agree, the_program_names_documents_that_are_there);
    tcase_add_test(agree, script_commands_are_known);
    tcase_add_test(agree, steps_that_can_be_passed_are_documented);
    tcase_add_test(agree, the_tutorial_shows_what_the_demo_says);
    tcase_add_test(agree, the_readmes_script_runs);
    tcase_add_test(agree, a_missing_word_is_found);
    suite_add_tcase(suite, agree);
    return test_main(suite);
}
