/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "fixture.h"
#include "told.h"

#include "store/care.h"

#include <string.h>
#include <sys/stat.h>

/* What is wrong with a store is found and told. */

START_TEST(a_sound_store_is_found_sound)
{
    make_store(path, 1, 3);
    /* the invented captures are as good as real ones but for the holds that 'run' in an ended
     * session */
    end_running_holds();
    int64_t count = check_store();
    ck_assert_msg(count == 0, "%s", told);
}
END_TEST

START_TEST(what_is_wrong_is_told)
{
    static const struct {
        const char *damage, *words;
    } cases[] = {
        {"UPDATE session SET sample_count = 899", "it says 899 samples, 900 are there"},
        {"DELETE FROM sample WHERE n = 17", "it says 900 samples, 899 are there"},
        {"INSERT INTO sample (n, rig_us, delay_us, quality) VALUES (5000, 0, 0, 0)",
         "1 samples belong to no session"},
        {"UPDATE sample SET rig_us = 5 WHERE n = 40", "the time of sample 40 is before"},
        {"UPDATE capture SET last_sample = 901 WHERE place = 2", "capture 2 lies outside"},
        {"UPDATE hold SET status = 'running' WHERE number = 2", "hold 2 is still running"},
        {"UPDATE hold SET number = 1 WHERE number = 2", "several holds of number 1"},
        {"UPDATE setup SET number = 1 WHERE number = 2", "several setups of number 1"},
        {"DELETE FROM command WHERE ordinal = 2",
         "the log has 2 commands, and its last is number 3"},
        {"PRAGMA foreign_keys = OFF; DELETE FROM setup WHERE number = 2",
         "a row of build points at a row of setup"},
        {"UPDATE session SET rider_id = NULL", "rider R-01 has no session"},
    };
    make_store(path, 1, 1);
    end_running_holds();
    char command[600];
    snprintf(command, sizeof command, "cp '%s' '%s.sound'", path, path);
    ck_assert_int_eq(system(command), 0);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        snprintf(command, sizeof command, "cp '%s.sound' '%s'", path, path);
        ck_assert_int_eq(system(command), 0);
        run_sql(cases[i].damage);
        int64_t count = check_store();
        ck_assert_msg(count > 0 && strstr(told, cases[i].words) != NULL, "%s: %s", cases[i].damage,
                      told);
    }
}
END_TEST

START_TEST(sessions_that_share_samples_are_told)
{
    make_store(path, 1, 2);
    run_sql("UPDATE session SET first_n = 900 WHERE id = 2");
    ck_assert_int_gt(check_store(), 0);
    ck_assert_ptr_nonnull(strstr(told, "session 1: its samples are also those of session 2"));
}
END_TEST

static int change_byte(int64_t at, int change)
{
    FILE *stream = fopen(path, "r+b");
    ck_assert_ptr_nonnull(stream);
    fseek(stream, (long)at, SEEK_SET);
    int byte = fgetc(stream);
    fseek(stream, (long)at, SEEK_SET);
    fputc(byte ^ change, stream);
    fclose(stream);
    return byte;
}

/* A flipped byte in an index or a table is found, or does no harm; nothing crashes. */
START_TEST(flipped_bits_are_found)
{
    make_store(path, 1, 2);
    struct stat file;
    ck_assert_int_eq(stat(path, &file), 0);
    int found = 0, refused = 0, tries = 0;
    for (long at = 100; at < file.st_size; at += 1237, tries++) {
        change_byte(at, 0x55);
        struct store *store = store_open(path, STORE_READ, &problem);
        int64_t count = 0;
        if (store == NULL || !store_check(store, hear, NULL, NULL, &count, &problem)) {
            refused++;
        } else {
            found += count > 0;
        }
        struct session_record *record = malloc(sizeof *record);
        const struct sample *samples;
        size_t got;
        if (store != NULL && store_load(store, 1, record, &problem)) {
            store_samples(store, 1, 1, 900, &samples, &got, &problem);
        }
        free(record);
        store_close(store);
        told[0] = '\0';
        change_byte(at, 0x55);
    }
    ck_assert_int_gt(tries, 100);
    ck_assert_int_gt(found + refused, tries / 10);
    check_store(); /* and as it was, it opens again */
}
END_TEST

/* A session must not be told 'all stored' by a store that may not give it back. */
START_TEST(a_damaged_store_is_not_written_into)
{
    static const enum store_mode modes[] = {STORE_RECORD, STORE_WRITE};
    make_store(path, 1, 2);
    const int64_t page = number_of("PRAGMA page_size");
    const int64_t tables = number_of("SELECT count(*) FROM sqlite_schema WHERE type = 'table'");
    ck_assert_int_gt(tables, 20);
    for (int64_t table = 0; table < tables; table++) {
        char sql[160];
        snprintf(sql, sizeof sql,
                 "SELECT rootpage FROM sqlite_schema WHERE type = 'table' ORDER BY rootpage"
                 " LIMIT 1 OFFSET %lld",
                 (long long)table);
        int64_t at = (number_of(sql) - 1) * page;
        int sound = change_byte(at, 0x55);
        for (size_t m = 0; m < sizeof modes / sizeof modes[0]; m++) {
            struct store *store = store_open(path, modes[m], &problem);
            ck_assert_msg(store == NULL, "table %lld is damaged, the store opens",
                          (long long)table);
            ck_assert_msg(strstr(problem.sentence, "is damaged") != NULL, "%s", problem.sentence);
        }
        ck_assert_int_eq(change_byte(at, 0x55), sound ^ 0x55); /* as it was left */
    }
    store_close(open_store(STORE_RECORD));
}
END_TEST

/* Of a large one the samples are not looked over at opening, the rest is. */
START_TEST(samples_of_a_large_store_are_not_waited_for)
{
    make_store(path, 1, 1);
    ck_assert_int_eq(truncate(path, 40000000),
                     0); /* SQLite leaves alone what is behind its pages */
    const int64_t page = number_of("PRAGMA page_size");
    const int64_t samples = number_of("SELECT rootpage FROM sqlite_schema WHERE name = 'sample'");
    const int64_t holds = number_of("SELECT rootpage FROM sqlite_schema WHERE name = 'hold'");
    change_byte((samples - 1) * page, 0x55);
    store_close(open_store(STORE_RECORD));
    ck_assert_int_eq(truncate(path, 40000000), 0);
    change_byte((holds - 1) * page, 0x55);
    ck_assert_ptr_null(store_open(path, STORE_RECORD, &problem));
    ck_assert_msg(strstr(problem.sentence, "is damaged") != NULL, "%s", problem.sentence);
}
END_TEST

START_TEST(truncated_stores_are_told)
{
    make_store(path, 1, 2);
    struct stat file;
    ck_assert_int_eq(stat(path, &file), 0);
    for (int eighth = 7; eighth >= 0; eighth--) {
        ck_assert_int_eq(truncate(path, file.st_size * eighth / 8), 0);
        struct store *store = store_open(path, STORE_READ, &problem);
        int64_t count = 0;
        told[0] = '\0';
        bool sound =
            store != NULL && store_check(store, hear, NULL, NULL, &count, &problem) && count == 0;
        ck_assert_msg(!sound, "%d eighths of the file pass as sound", eighth);
        store_close(store);
    }
}
END_TEST

START_TEST(differences_between_sessions_are_told)
{
    char other[300];
    snprintf(other, sizeof other, "%s/other.db", folder);
    make_store(path, 1, 2);
    make_store(other, 2, 2);
    struct store *store = open_store(STORE_READ), *there = open_at(other, STORE_READ);
    int64_t differences = -1;
    MUST(store_compare_session(store, 2, there, 1, hear, NULL, &differences, &problem));
    ck_assert_msg(differences == 0, "%s", told);
    MUST(store_compare_session(store, 1, there, 1, hear, NULL, &differences, &problem));
    ck_assert_int_gt(differences, 10);
    store_close(store);
    store_close(there);
    run_sql("UPDATE hold SET planned_s = 61 WHERE session_id = 2 AND number = 2;"
            "UPDATE sample SET v1 = v1 + 1 WHERE n = 907");
    told[0] = '\0';
    store = open_store(STORE_READ);
    there = open_at(other, STORE_READ);
    MUST(store_compare_session(store, 2, there, 1, hear, NULL, &differences, &problem));
    ck_assert_int_eq(differences, 2);
    ck_assert_msg(strstr(told, "hold 2: planned_s is 61.0 here and 60.5 there") != NULL, "%s",
                  told);
    ck_assert_msg(strstr(told, "sample 7: v1 is") != NULL, "%s", told);
    store_close(store);
    store_close(there);
}
END_TEST

static Suite *look_over_suite(void)
{
    Suite *suite = suite_create("look over");
    TCase *tests = tcase_create("look over");
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, make_folder, remove_folder);
    tcase_add_test(tests, a_sound_store_is_found_sound);
    tcase_add_test(tests, what_is_wrong_is_told);
    tcase_add_test(tests, sessions_that_share_samples_are_told);
    tcase_add_test(tests, flipped_bits_are_found);
    tcase_add_test(tests, a_damaged_store_is_not_written_into);
    tcase_add_test(tests, samples_of_a_large_store_are_not_waited_for);
    tcase_add_test(tests, truncated_stores_are_told);
    tcase_add_test(tests, differences_between_sessions_are_told);
    suite_add_tcase(suite, tests);
    return suite;
}

int main(void)
{
    return test_main(look_over_suite());
}
