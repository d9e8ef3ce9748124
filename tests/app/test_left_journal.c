/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A program that was killed while it switched the store's journal, and every command behind it. */
#include "support/dying_store.h"
#include "support/full_session.h"
#include "support/program.h"
#include "support/test_main.h"

#include "store/store.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const char *folder;

static void begin(void)
{
    folder = program_folder();
}

static void end(void)
{
    program_folder_remove(folder);
}

static void write_effect(void *context, const struct effect *effect)
{
    if (!store_write_effect(context, effect, NULL)) {
        _exit(98);
    }
}

/* A session more in the store of that name, which lies in the folder. */
static struct store *record_unsealed(unsigned seed)
{
    char path[512];
    struct session_record *record = full_session(seed);
    struct problem problem = {0};
    snprintf(path, sizeof path, "%s/switched.db", folder);
    record->ended = false;
    struct store *store = store_open(path, STORE_RECORD, &problem);
    if (store == NULL || !store_begin(store, NULL)) {
        fprintf(stderr, "%s\n", problem.sentence);
        _exit(98);
    }
    full_session_effects(record, 3, write_effect, store);
    for (int64_t number = 1; number <= 900; number++) {
        struct sample sample;
        full_session_sample(number, 2, 50.0, &sample);
        if (!store_write_samples(store, &sample, 1, NULL)) {
            _exit(98);
        }
    }
    if (!store_commit(store, NULL)) {
        _exit(98);
    }
    free(record);
    return store;
}

static void record_one(void *context)
{
    const unsigned *seed = context;
    store_close(record_unsealed(*seed));
}

static void shell(const char *line)
{
    char command[800];
    snprintf(command, sizeof command, "cd '%s' && %s", folder, line);
    ck_assert_msg(system(command) == 0, "%s", line);
}

/* The file alone, of a store into which a session is recorded; with its log; and when it was
 * sealed. */
START_TEST(a_copy_without_its_log)
{
    static const struct {
        const char *made, *store;
        bool told;
    } cases[] = {{"true", "switched.db", false},
                 {"cp switched.db alone.db", "alone.db", true},
                 {"cp switched.db both.db && cp switched.db-wal both.db-wal", "both.db", false}};
    unsigned seed = 1;
    record_one(&seed);
    struct store *store = record_unsealed(2);
    for (int sealed = 0; sealed < 2; sealed++) {
        for (int i = 0; i < 3 - sealed; i++) {
            shell(cases[i].made);
            struct program_result result = program_run(
                folder, NULL, (const char *const[]){"list", "--store", cases[i].store, NULL});
            bool told = strstr(result.errors, "its log (") != NULL;
            ck_assert_msg(told == (cases[i].told && sealed == 0), "%d, %d: %s", sealed, i,
                          result.errors);
            program_free(&result);
        }
        shell("rm -f alone.db* both.db*");
        if (sealed == 0) {
            store_close(store);
        }
    }
}
END_TEST

/* Each on a copy of what was left: the first that opens it puts it in order. */
static void try_every_command(int at)
{
    static const char *const lines[][8] = {
        {"list"},
        {"show", "1"},
        {"export", "1", "out.json"},
        {"compare", "1"},
        {"replay", "1"},
        {"store", "check", "--quick"},
        {"store", "backup", "copy.db"},
        {"store", "compact"},
        {"store", "merge", "other.db"},
        {"store", "forget", "R-01", "--yes"},
        {"run", "script"},
        {"live", "--resume", "-"},
    };
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        const char *arguments[12] = {NULL};
        size_t count = 0;
        while (lines[i][count] != NULL) {
            arguments[count] = lines[i][count];
            count++;
        }
        arguments[count++] = "--store";
        arguments[count++] = "tried.db";
        shell("rm -f tried.db* out.json copy.db* && for f in switched.db*; do"
              " cp \"$f\" \"tried${f#switched}\"; done");
        struct program_result result = program_run(folder, "", arguments);
        ck_assert_msg(strstr(result.errors, "readonly") == NULL &&
                          strstr(result.errors, "permissions") == NULL &&
                          strstr(result.errors, "damaged") == NULL,
                      "killed at call %d, %s %s: %d %s", at, lines[i][0], lines[i][1],
                      result.status, result.errors);
        bool reads_log = strcmp(lines[i][0], "replay") == 0 || strcmp(lines[i][0], "live") == 0;
        ck_assert_msg(reads_log || result.status == 0, "killed at call %d, %s %s: %d %s%s", at,
                      lines[i][0], lines[i][1], result.status, result.errors, result.output);
        program_free(&result);
    }
}

/* store/test_killed_store opens what is left at every call. */
#define EVERY 4

START_TEST(a_store_left_with_a_journal_is_opened_by_every_command)
{
    unsigned one = 1, two = 2, three = 3;
    char journal[512];
    int tried = 0;
    program_write_file(
        folder, "script",
        "session 2026-01-10T18:00:00Z seed=77\nrider R-77\nsensor head carrier=stand "
        "x=0 y=0\nsetup 1 \"as it came\"\nend\n");
    record_one(&three);
    shell("mv switched.db other.db");
    record_one(&one);
    shell("mv switched.db before.db");
    snprintf(journal, sizeof journal, "%s/switched.db-journal", folder);
    for (int at = EVERY;; at += EVERY) {
        shell("rm -f switched.db* && cp before.db switched.db");
        if (!dying_run(record_one, &two, at, DYING_HALFWAY)) {
            break;
        }
        if (access(journal, F_OK) == 0) {
            try_every_command(at);
            tried++;
        }
    }
    printf("every command on %d stores with a journal\n", tried);
    ck_assert_int_gt(tried, 3);
}
END_TEST

START_TEST(a_running_session_is_not_called_cut_short)
{
    char path[512];
    unsigned one = 1;
    record_one(&one);
    snprintf(path, sizeof path, "%s/switched.db", folder);
    struct store *running = store_open(path, STORE_RECORD, NULL);
    ck_assert_ptr_nonnull(running);
    const char *const arguments[] = {"live", "--resume", "-", "--store", "switched.db", NULL};
    struct program_result result = program_run(folder, "", arguments);
    ck_assert_int_eq(result.status, 1);
    ck_assert_msg(strstr(result.errors, "another session is being recorded there") != NULL &&
                      strstr(result.errors, "cut short") == NULL,
                  "%s", result.errors);
    program_free(&result);
    store_close(running);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("a journal left behind");
    TCase *tests = tcase_create("a journal left behind");
    tcase_set_timeout(tests, 120);
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, a_store_left_with_a_journal_is_opened_by_every_command);
    tcase_add_test(tests, a_copy_without_its_log);
    tcase_add_test(tests, a_running_session_is_not_called_cut_short);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
