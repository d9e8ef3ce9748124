/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "fixture.h"

#include "store/care.h"

#include <string.h>

/* A store whose schema is not the program's own is refused by what is foreign in it, and stays as
 * it is. */

static void opens(bool expected, const char *words, const char *why)
{
    static const enum store_mode modes[] = {STORE_READ, STORE_WRITE, STORE_RECORD};
    for (size_t i = 0; i < sizeof modes / sizeof modes[0]; i++) {
        struct store *store = store_open(path, modes[i], &problem);
        ck_assert_msg((store != NULL) == expected, "%s, mode %zu: %s", why, i, problem.sentence);
        ck_assert_msg(expected || strstr(problem.sentence, words) != NULL, "%s: %s", why,
                      problem.sentence);
        store_close(store);
    }
}

static void keep_sound(void)
{
    char command[900];
    make_store(path, 1, 1);
    snprintf(command, sizeof command, "cp '%s' '%s.sound'", path, path);
    ck_assert_int_eq(system(command), 0);
}

static void back_to_sound(void)
{
    char command[900];
    snprintf(command, sizeof command, "rm -f '%s-'*; cp '%s.sound' '%s'", path, path, path);
    ck_assert_int_eq(system(command), 0);
}

/* As a file's bytes could have been set: by text, past what SQL allows. */
#define REWRITE(sets, wanted)                                                                      \
    "PRAGMA writable_schema = ON; UPDATE sqlite_schema SET " sets " WHERE " wanted

START_TEST(what_is_foreign_is_named)
{
    static const struct {
        const char *change, *words;
    } cases[] = {
        {"CREATE TRIGGER spy AFTER INSERT ON sample BEGIN DELETE FROM note; END", "trigger 'spy'"},
        {"CREATE TRIGGER spy AFTER INSERT ON session BEGIN SELECT 1; END", "trigger 'spy'"},
        {"CREATE VIEW endless AS WITH RECURSIVE c(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM c)"
         " SELECT n FROM c",
         "view 'endless'"},
        {"CREATE TABLE more (a)", "table 'more'"},
        {"CREATE INDEX more ON note (length(text))", "index 'more'"},
        {"CREATE INDEX more ON session (version)", "index 'more'"},
        {"CREATE VIRTUAL TABLE found USING fts5(text)", "'found"},
        {"ANALYZE", "table 'sqlite_stat1'"},
        {"DROP VIEW session_sheet; CREATE VIEW session_sheet AS SELECT 1 AS session",
         "view 'session_sheet' in it is not as Holdline makes it"},
        {"ALTER TABLE mark ADD COLUMN more TEXT", "table 'mark' in it is not as Holdline makes it"},
        {"ALTER TABLE mark RENAME TO mark_before; CREATE VIEW mark AS SELECT * FROM mark_before",
         "is not Holdline's"},
        {"DROP TABLE mark; CREATE VIEW mark AS WITH RECURSIVE c(n) AS (SELECT 1 UNION ALL"
         " SELECT n + 1 FROM c) SELECT n AS session_id, n AS place FROM c",
         "view 'mark' in it is not Holdline's"},
        {"DROP INDEX session_by_start", "index 'session_by_start' in it is missing"},
        {"DROP VIEW placing_span", "view 'placing_span' in it is missing"},
        {"DROP TABLE note", "table 'note' in it is missing"},
        {REWRITE("sql = replace(sql, 'text TEXT NOT NULL', 'text TEXT')", "name = 'note'"),
         "table 'note' in it is not as Holdline makes it"},
        {REWRITE("sql = replace(sql, 'STRICT', '')", "name = 'sample'"),
         "table 'sample' in it is not as Holdline makes it"},
        {REWRITE("sql = replace(sql, 'text TEXT NOT NULL', 'text TEXT AS (printf(1)) NOT NULL')",
                 "name = 'note'"),
         "table 'note' in it is not as Holdline makes it"},
        {REWRITE("sql = 'CREATE TABLE sqlite_sequence(name,seq,more)'", "name = 'sqlite_sequence'"),
         "'sqlite_sequence'"},
    };
    keep_sound();
    opens(true, "", "as it was made");
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        back_to_sound();
        run_sql(cases[i].change);
        opens(false, cases[i].words, cases[i].change);
    }
}
END_TEST

/* White space and the order of words that a column may hold are no difference. */
START_TEST(the_same_in_other_words_is_the_same)
{
    keep_sound();
    run_sql(
        REWRITE("sql = replace(sql, '''down'', ''up''', '''up'',  ''down''')", "name = 'channel'"));
    ck_assert_int_eq(number_of("SELECT count(*) FROM sqlite_schema WHERE sql LIKE '%(''up'',%'"),
                     1);
    opens(true, "", "words in another order");
    back_to_sound();
    run_sql(
        REWRITE("sql = replace(sql, '''down'', ''up''', '''up'', ''up''')", "name = 'channel'"));
    opens(false, "'channel'", "another list of words");
}
END_TEST

START_TEST(an_earlier_store_is_looked_at_before_it_is_brought_up)
{
    for (int version = 1; version <= 6; version++) {
        char command[700], from[500];
        snprintf(from, sizeof from, "tests/store/data/version-%d.db", version);
        snprintf(command, sizeof command, "cp '%s' '%s'", source_path(from), path);
        ck_assert_int_eq(system(command), 0);
        run_sql("CREATE TRIGGER spy AFTER UPDATE ON hold BEGIN SELECT 1; END");
        ck_assert_ptr_null(store_open(path, STORE_RECORD, &problem));
        ck_assert_msg(strstr(problem.sentence, "trigger 'spy'") != NULL, "%s", problem.sentence);
        ck_assert_int_eq(number_of("SELECT user_version FROM pragma_user_version"), version);
        run_sql("DROP TRIGGER spy; DROP TABLE mark");
        ck_assert_ptr_null(store_open(path, STORE_RECORD, &problem));
        ck_assert_ptr_nonnull(strstr(problem.sentence, "table 'mark' in it is missing"));
    }
}
END_TEST

/* What one version had and the next has not yet. */
START_TEST(a_version_has_its_own_tables_and_no_later_ones)
{
    char command[700];
    snprintf(command, sizeof command, "cp '%s' '%s'", source_path("tests/store/data/version-2.db"),
             path);
    ck_assert_int_eq(system(command), 0);
    run_sql("CREATE TABLE sensor_check (a)");
    ck_assert_ptr_null(store_open(path, STORE_RECORD, &problem));
    ck_assert_msg(strstr(problem.sentence, "table 'sensor_check' in it is not Holdline's") != NULL,
                  "%s", problem.sentence);
}
END_TEST

static bool stop(void *context, double share)
{
    (void)share;
    ++*(int *)context;
    return false;
}

#define MANY "300000"
#define ADD_MANY(table, columns, values)                                                           \
    "WITH RECURSIVE c(n) AS (SELECT 1000 UNION ALL SELECT n + 1 FROM c WHERE n < 1000 + " MANY     \
    ") INSERT INTO " table " (session_id, place, uuid, " columns                                   \
    ") SELECT 1, n, printf('00000000-0000-4000-8000-%012d', n), " values " FROM c"

START_TEST(a_long_statement_ends_when_it_is_told_to)
{
    int asked = 0;
    const struct store_watch watch = {stop, &asked};
    make_store(path, 1, 1);
    run_sql(ADD_MANY("setup", "number, intent", "n, ''"));
    struct store *store = store_open_watched(path, STORE_READ, &watch, &problem);
    ck_assert_msg(store != NULL, "%s", problem.sentence);
    int64_t wrong = 0;
    ck_assert(!store_check(store, NULL, NULL, NULL, &wrong, &problem));
    ck_assert_msg(strstr(problem.sentence, "stopped") != NULL, "%s", problem.sentence);
    ck_assert_int_ge(asked, 1);
    store_close(store);
}
END_TEST

static char told[2000];

static void hear(void *context, const char *sentence)
{
    (void)context;
    snprintf(told, sizeof told, "%s", sentence);
}

/* A session that could not be opened afterwards is not taken in. */
START_TEST(absurd_amounts_are_left_out_of_a_merge)
{
    static const struct {
        const char *add, *words;
    } cases[] = {
        {ADD_MANY("note", "sample, text", "1, 'x'"), "this program holds 200"},
        {"WITH RECURSIVE c(n) AS (SELECT 100 UNION ALL SELECT n + 1 FROM c WHERE n < " MANY
         ") INSERT INTO command (session_id, ordinal, after_sample, text) SELECT 1, n, 1, 'x'"
         " FROM c",
         "from there on it is left out"},
    };
    char here_path[400];
    snprintf(here_path, sizeof here_path, "%s/here.db", folder);
    make_store(here_path, 7, 7);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct store_merged merged;
        unlink(path);
        make_store(path, 1, 2);
        run_sql(cases[i].add);
        struct store *here = open_at(here_path, STORE_WRITE);
        struct store *there = open_store(STORE_READ);
        MUST(store_merge(here, there, hear, NULL, NULL, &merged, &problem));
        ck_assert_int_eq(merged.taken, i == 0 ? 1 : 0);
        ck_assert_int_eq(merged.left_out, 1);
        ck_assert_msg(strstr(told, cases[i].words) != NULL, "%s", told);
        store_close(there);
        store_close(here);
    }
    ck_assert_int_eq(number_at(here_path, "SELECT count(*) FROM session"), 2);
    unlink(path);
    make_store(path, 1, 1);
    run_sql("WITH RECURSIVE c(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM c WHERE n < " MANY
            ") INSERT INTO bike_measure SELECT 'more' || n, '', '', 'part' FROM c");
    struct store *here = open_at(here_path, STORE_WRITE), *there = open_store(STORE_READ);
    struct store_merged merged;
    ck_assert(!store_merge(here, there, hear, NULL, NULL, &merged, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "measures of a bike"));
    store_close(there);
    store_close(here);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("foreign schema");
    TCase *tests = tcase_create("foreign schema");
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, make_folder, remove_folder);
    tcase_add_test(tests, what_is_foreign_is_named);
    tcase_add_test(tests, the_same_in_other_words_is_the_same);
    tcase_add_test(tests, an_earlier_store_is_looked_at_before_it_is_brought_up);
    tcase_add_test(tests, a_version_has_its_own_tables_and_no_later_ones);
    tcase_add_test(tests, a_long_statement_ends_when_it_is_told_to);
    tcase_add_test(tests, absurd_amounts_are_left_out_of_a_merge);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
