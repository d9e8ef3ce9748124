/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "fixture.h"

#include "support/dead_files.h"

/* The room's own header: whose pages are counted. */
#include "../../src/store/database.h"

/* When a file is given up that can't be written, and how much of it is kept in memory. */

static bool write_next(struct store *store, int64_t *number)
{
    struct sample sample;
    full_session_sample(*number + 1, 2, 50.0, &sample);
    bool done = store_begin(store, &problem) && store_write_samples(store, &sample, 1, &problem) &&
                store_commit(store, &problem);
    if (!done) {
        store_rollback(store);
    }
    *number += done ? 1 : 0;
    return done;
}

/* Once may have been anything. */
START_TEST(a_file_that_failed_twice_in_a_row_is_lost)
{
    struct session_record *record = full_session(1);
    struct store *store = open_store(STORE_RECORD);
    int64_t number = 900;
    write_session(store, record);
    for (int times = 0; times < 3; times++) { /* what goes well between begins the count anew */
        dead_files_begin(path);
        ck_assert(!write_next(store, &number));
        ck_assert_msg(!store_lost_its_file(store), "after one failure");
        dead_files_end();
        MUST(write_next(store, &number));
    }
    dead_files_begin(path);
    ck_assert(!write_next(store, &number));
    ck_assert(!store_lost_its_file(store));
    ck_assert(!write_next(store, &number));
    ck_assert(store_lost_its_file(store));
    dead_files_end();
    store_close(store);
    ck_assert_int_eq(number_of("SELECT last_n FROM session"), 903);
    free(record);
}
END_TEST

/* It is another program's lock, and waited for. */
START_TEST(a_file_that_is_locked_is_not_lost)
{
    struct session_record *record = full_session(1);
    struct store *store = open_store(STORE_RECORD);
    sqlite3 *other = NULL;
    int64_t number = 900;
    write_session(store, record);
    ck_assert_int_eq(sqlite3_open(path, &other), SQLITE_OK);
    ck_assert_int_eq(sqlite3_exec(other, "BEGIN IMMEDIATE", NULL, NULL, NULL), SQLITE_OK);
    for (int times = 0; times < 3; times++) {
        ck_assert(!write_next(store, &number));
        ck_assert(!store_lost_its_file(store));
    }
    sqlite3_close(other);
    MUST(write_next(store, &number));
    store_close(store);
    free(record);
}
END_TEST

static int kib_in_memory(struct store *store)
{
    int used = 0, most = 0;
    ck_assert_int_eq(sqlite3_db_status(store->db, SQLITE_DBSTATUS_CACHE_USED, &used, &most, 0),
                     SQLITE_OK);
    return used / 1024;
}

static int kib_after_much(struct store *store, int64_t *last)
{
    MUST(store_begin(store, &problem));
    write_samples(store, *last + 1, *last + 80000);
    MUST(store_commit(store, &problem));
    *last += 80000;
    return kib_in_memory(store);
}

/* Beside a live session little memory goes to pages that were written and are not read again. */
START_TEST(a_recorder_keeps_few_pages)
{
    struct session_record *record = full_session(1);
    struct store *store = open_store(STORE_RECORD);
    int64_t last = 900;
    write_session(store, record);
    ck_assert_int_ge(kib_after_much(store, &last), 1900);
    store_keep_few_pages(store);
    int kept = kib_after_much(store, &last);
    ck_assert_msg(kept >= 740 && kept <= 800, "%d KiB", kept);
    store_close(store);
    free(record);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("store_trouble");
    TCase *tests = tcase_create("store_trouble");
    suite_add_tcase(suite, tests);
    tcase_add_checked_fixture(tests, make_folder, remove_folder);
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, a_file_that_failed_twice_in_a_row_is_lost);
    tcase_add_test(tests, a_file_that_is_locked_is_not_lost);
    tcase_add_test(tests, a_recorder_keeps_few_pages);
    return test_main(suite);
}
