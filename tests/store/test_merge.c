/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "fixture.h"
#include "told.h"

#include "base/text.h"
#include "store/care.h"

#include <math.h>
#include <string.h>

/* One store taken into another. */

/* Ends it while the third of three is taken. */
static bool until_the_third(void *context, double share)
{
    double *done = context;
    *done = isfinite(share) ? share : *done;
    return isfinite(share) || *done < 0.6;
}

/* In the midst of the third session: the two before it are there, of it nothing. */
START_TEST(taking_sessions_in_can_be_stopped)
{
    char there[300];
    double done = 0.0;
    struct store_merged merged;
    const struct store_watch watch = {until_the_third, &done};
    snprintf(there, sizeof there, "%s/there.db", folder);
    make_long_store(there);
    make_store(path, 11, 11);
    struct store *store = open_store(STORE_WRITE), *other = open_at(there, STORE_READ);
    ck_assert(!store_merge(store, other, hear, NULL, &watch, &merged, &problem));
    ck_assert_str_eq(problem.sentence, "stopped: 2 sessions were taken in whole, no other");
    ck_assert_int_eq(number_of("SELECT count(*) FROM session"), 3);
    ck_assert_int_eq(number_of("SELECT count(*) FROM sample"), 3 * 900);
    MUST(store_merge(store, other, hear, NULL, NULL, &merged, &problem));
    ck_assert(merged.taken == 1 && merged.already_there == 2 && merged.left_out == 0);
    store_close(other);
    store_close(store);
}
END_TEST

static void merge(const char *other, struct store_merged *merged)
{
    struct store *store = open_store(STORE_WRITE), *there = open_at(other, STORE_READ);
    told[0] = '\0';
    MUST(store_merge(store, there, hear, NULL, NULL, merged, &problem));
    store_close(there);
    store_close(store);
}

START_TEST(two_stores_become_one)
{
    char other[300];
    struct store_merged merged = {0};
    snprintf(other, sizeof other, "%s/other.db", folder);
    make_store(path, 1, 2);
    make_store(other, 2, 4);
    merge(other, &merged);
    ck_assert_msg(merged.taken == 2 && merged.already_there == 1 && merged.left_out == 0, "%s",
                  told);
    ck_assert_str_eq(told, "");
    ck_assert_int_eq(number_of("SELECT count(*) FROM session"), 4);
    ck_assert_int_eq(number_of("SELECT count(*) FROM sample"), 4 * 900);
    struct store *store = open_store(STORE_READ), *there = open_at(other, STORE_READ);
    for (int64_t id = 1; id <= 3; id++) {
        int64_t differences = -1;
        MUST(store_compare_session(store, id + 1, there, id, hear, NULL, &differences, &problem));
        ck_assert_msg(differences == 0, "%s", told);
    }
    store_close(store);
    store_close(there);
    ck_assert_int_eq(number_of("SELECT count(*) FROM session s JOIN rider r ON r.id = s.rider_id"
                               " JOIN bike b ON b.id = s.bike_id AND b.rider_id = r.id"),
                     4);
    end_running_holds();
    int64_t count = check_store();
    ck_assert_msg(count == 0, "%s", told);
    run_sql("UPDATE hold SET status = 'running' WHERE number = 4");
    merge(other, &merged); /* once more changes nothing */
    ck_assert_int_eq(merged.taken, 0);
    ck_assert_int_eq(merged.already_there, 3);
}
END_TEST

START_TEST(a_rider_on_two_laptops_is_one)
{
    char other[300];
    struct store_merged merged = {0};
    snprintf(other, sizeof other, "%s/other.db", folder);
    make_store(path, 1, 1);
    struct session_record *record = full_session(2), *first = full_session(1);
    record->rider = first->rider; /* the same rider, an identifier of that laptop's own */
    record->rider.uuid.bytes[15] = 0xaa;
    text_copy(record->rider.watch_for, sizeof record->rider.watch_for, "left knee");
    struct store *there = open_at(other, STORE_RECORD);
    write_session(there, record);
    store_close(there);
    merge(other, &merged);
    ck_assert_int_eq(merged.taken, 1);
    ck_assert_int_eq(number_of("SELECT count(*) FROM rider"), 1);
    ck_assert_int_eq(number_of("SELECT count(*) FROM bike"), 1);
    /* nothing that is here is written over */
    ck_assert_int_eq(number_of("SELECT count(*) FROM rider WHERE watch_for = 'left knee'"), 0);
    ck_assert_int_eq(number_of("SELECT value FROM bike_value WHERE key = 'stack'"), 546);
    free(record);
    free(first);
}
END_TEST

START_TEST(conflicts_are_told_and_nothing_is_written_over)
{
    char other[300];
    struct store_merged merged = {0};
    snprintf(other, sizeof other, "%s/other.db", folder);
    make_store(path, 1, 2);
    make_store(other, 2, 2);
    /* the same session, changed there; and another person under a code that is taken here */
    struct store *there = open_at(other, STORE_RECORD);
    struct session_record *record = full_session(5);
    text_copy(record->rider.code, sizeof record->rider.code, "R-01");
    text_copy(record->rider.name, sizeof record->rider.name, "somebody else");
    write_session(there, record);
    store_close(there);
    sqlite3 *db = NULL;
    ck_assert_int_eq(sqlite3_open(other, &db), SQLITE_OK);
    sqlite3_exec(db, "UPDATE note SET text = 'changed' WHERE session_id = 1 AND place = 1", NULL,
                 NULL, NULL);
    sqlite3_close(db);
    char command[600];
    snprintf(command, sizeof command, "cp '%s' '%s/before.db'", path, folder);
    ck_assert_int_eq(system(command), 0);
    merge(other, &merged);
    ck_assert_int_eq(merged.taken, 0);
    ck_assert_int_eq(merged.left_out, 2);
    ck_assert_msg(strstr(told, "session 1 there is session 2 here, and they differ") != NULL, "%s",
                  told);
    ck_assert_msg(strstr(told,
                         "session 2 there is of rider R-01 'somebody else', and R-01 is 'winter "
                         "rider 1") != NULL,
                  "%s", told);
    ck_assert_int_eq(number_of("SELECT count(*) FROM session"), 2);
    ck_assert_int_eq(number_of("SELECT count(*) FROM note WHERE text = 'changed'"), 0);
    free(record);
}
END_TEST

static Suite *care_suite(void)
{
    Suite *suite = suite_create("store merge");
    TCase *tests = tcase_create("store merge");
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, make_folder, remove_folder);
    tcase_add_test(tests, taking_sessions_in_can_be_stopped);
    tcase_add_test(tests, two_stores_become_one);
    tcase_add_test(tests, a_rider_on_two_laptops_is_one);
    tcase_add_test(tests, conflicts_are_told_and_nothing_is_written_over);
    suite_add_tcase(suite, tests);
    return suite;
}

int main(void)
{
    return test_main(care_suite());
}
