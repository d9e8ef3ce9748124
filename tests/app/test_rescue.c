/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What is saved of a damaged store, against the export of the store before it was damaged. */
#include "support/hostile_store.h"
#include "support/number_in_store.h"
#include "support/program.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const char *folder;
static char damaged[300], saved[300];
static char *sound_export;

/* Runs a command line of at most six words on a store. */
static struct program_result on(const char *store, const char *a, const char *b, const char *c)
{
    const char *arguments[8] = {a, NULL};
    int count = 1;
    for (int i = 0; i < 2; i++) {
        const char *word = i == 0 ? b : c;
        if (word != NULL) {
            arguments[count++] = word;
        }
    }
    arguments[count++] = "--store";
    arguments[count++] = store;
    arguments[count] = NULL;
    return program_run(folder, "", arguments);
}

static void begin(void)
{
    char command[900];
    folder = program_folder();
    snprintf(damaged, sizeof damaged, "%s/damaged.db", folder);
    snprintf(saved, sizeof saved, "%s/saved.db", folder);
    snprintf(command, sizeof command, "cp -r '%s'/* '%s'", source_path("sessions"), folder);
    ck_assert_int_eq(system(command), 0);
    struct program_result result = on("damaged.db", "run", "spacers-out.session", NULL);
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    result = on("damaged.db", "export", "1", "sound.json");
    ck_assert_int_eq(result.status, 0);
    program_free(&result);
    sound_export = program_read_file(folder, "sound.json", NULL);
}

static void end(void)
{
    free(sound_export);
    program_folder_remove(folder);
}

static struct program_result rescue(void)
{
    return on("damaged.db", "store", "rescue", "saved.db");
}

static void export_is_as_it_was(void)
{
    char export[400];
    snprintf(export, sizeof export, "%s/saved.json", folder);
    unlink(export);
    struct program_result result = on("saved.db", "export", "1", "saved.json");
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    char *text = program_read_file(folder, "saved.json", NULL);
    ck_assert_str_eq(text, sound_export);
    free(text);
}

static void check_says(const char *words)
{
    struct program_result result = on("saved.db", "store", "check", NULL);
    ck_assert_msg(result.status == 0 && strstr(result.output, words) != NULL, "%s", result.output);
    program_free(&result);
}

START_TEST(a_sound_store_is_saved_as_it_is)
{
    struct program_result result = rescue();
    ck_assert_int_eq(result.status, 0);
    ck_assert_str_eq(result.output, "saved.db: 1 whole, 0 worked out again, 0 in part, 0 lost\n");
    ck_assert_str_eq(result.errors, "");
    program_free(&result);
    export_is_as_it_was();
    check_says("1 session worked out again, the same to the last bit");
    result = rescue();
    ck_assert_int_eq(result.status, 1);
    ck_assert_msg(strstr(result.errors, "is there already") != NULL, "%s", result.errors);
    program_free(&result);
}
END_TEST

/* All that the log can give again is as it was before the damage. */
START_TEST(damaged_records_come_back_from_samples_and_log)
{
    static const char *const damage[] = {
        "UPDATE tie_reading SET build = 850",
        "UPDATE hold SET capture = 400 WHERE number = 1",
        "UPDATE channel SET gain = 1e15",
        "UPDATE setup_value SET value = 1e308",
        "DELETE FROM hold WHERE number = 1",
        "UPDATE placing SET rig_id = char(27) || 'c'",
        "UPDATE build SET uuid = 'none' WHERE place = 1",
    };
    char command[900];
    snprintf(command, sizeof command, "cd '%s' && cp damaged.db sound.db", folder);
    ck_assert_int_eq(system(command), 0);
    for (size_t i = 0; i < sizeof damage / sizeof damage[0]; i++) {
        snprintf(command, sizeof command, "cd '%s' && rm -f saved* && cp sound.db damaged.db",
                 folder);
        ck_assert_int_eq(system(command), 0);
        hostile_sql(damaged, damage[i]);
        struct program_result result = rescue();
        ck_assert_msg(result.status == 1 && strstr(result.output, "1 worked out again") != NULL &&
                          strstr(result.errors, "session 1: ") != NULL,
                      "%s: %s%s", damage[i], result.output, result.errors);
        program_free(&result);
        export_is_as_it_was();
        check_says("1 session worked out again, the same to the last bit");
    }
}
END_TEST

START_TEST(a_session_without_some_samples_is_saved_in_part)
{
    int64_t before = number_in_store(damaged, "SELECT count(*) FROM sample");
    hostile_sql(damaged, "DELETE FROM sample WHERE n BETWEEN 100 AND 120");
    struct program_result result = rescue();
    ck_assert_int_eq(result.status, 1);
    ck_assert_msg(strstr(result.output, "1 in part") != NULL, "%s", result.output);
    ck_assert_msg(strstr(result.errors, "samples 100 to 120") != NULL, "%s", result.errors);
    program_free(&result);
    check_says("1 saved in part");
    ck_assert_int_eq(number_in_store(saved, "SELECT count(*) FROM sample"), before);
    ck_assert_int_eq(
        number_in_store(saved, "SELECT count(*) FROM sample WHERE v1 IS NULL AND v2 IS NULL"), 21);
    ck_assert_int_eq(number_in_store(saved, "SELECT count(*) FROM session WHERE version LIKE"
                                            " '%-in-part'"),
                     1);
    ck_assert_int_eq(number_in_store(saved, "SELECT sum(v1) FROM sample WHERE n > 120"),
                     number_in_store(damaged, "SELECT sum(v1) FROM sample WHERE n > 120"));
}
END_TEST

START_TEST(what_another_program_made_is_left_behind)
{
    hostile_sql(damaged, "CREATE TRIGGER spy AFTER INSERT ON note BEGIN SELECT 1; END;"
                         "CREATE VIEW more AS SELECT 1; DROP INDEX session_by_start");
    struct program_result result = rescue();
    ck_assert_msg(result.status == 1 && strstr(result.output, "1 whole") != NULL, "%s%s",
                  result.output, result.errors);
    ck_assert_msg(strstr(result.errors, "trigger 'spy'") != NULL &&
                      strstr(result.errors, "view 'more'") != NULL &&
                      strstr(result.errors, "index 'session_by_start'") != NULL,
                  "%s", result.errors);
    program_free(&result);
    export_is_as_it_was();
    /* an endless view in the place of a table: its rows come from the log */
    unlink(saved);
    hostile_sql(damaged,
                "DROP TABLE mark; CREATE VIEW mark AS WITH RECURSIVE c(n) AS (SELECT 1"
                " UNION ALL SELECT n + 1 FROM c) SELECT n AS session_id, n AS place FROM c");
    result = rescue();
    ck_assert_msg(result.status == 1 && strstr(result.output, "1 worked out again") != NULL, "%s%s",
                  result.output, result.errors);
    program_free(&result);
    export_is_as_it_was();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rescue");
    TCase *tests = tcase_create("rescue");
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, a_sound_store_is_saved_as_it_is);
    tcase_add_test(tests, damaged_records_come_back_from_samples_and_log);
    tcase_add_test(tests, a_session_without_some_samples_is_saved_in_part);
    tcase_add_test(tests, what_another_program_made_is_left_behind);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
