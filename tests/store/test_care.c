/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "fixture.h"
#include "told.h"

#include "base/text.h"
#include "store/care.h"

#include <math.h>
#include <pthread.h>
#include <string.h>

/* Looking after a store: work that is stopped, copies, forgetting a rider. */

static bool never(void *context, double share)
{
    ++*(int *)context;
    ck_assert(isnan(share) || (share >= 0 && share <= 1));
    return false;
}

static bool always(void *context, double share)
{
    ck_assert(isnan(share) || (share >= 0 && share <= 1));
    ++*(int *)context;
    return true;
}

START_TEST(work_can_be_stopped)
{
    make_store(path, 1, 3);
    int calls = 0;
    struct store_watch watch = {never, &calls};
    struct store *store = open_store(STORE_READ);
    int64_t count;
    char copy[300];
    ck_assert(!store_check(store, hear, NULL, &watch, &count, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "stopped"));
    ck_assert_int_eq(calls, 1);
    calls = 0;
    watch.progress = always;
    MUST(store_check(store, hear, NULL, &watch, &count, &problem));
    ck_assert_int_gt(calls, 0);
    store_close(store);
    /* a copy that is stopped leaves nothing; it must be long enough for two steps */
    store = open_store(STORE_RECORD);
    struct session_record *record = full_session(9);
    write_session(store, record);
    MUST(store_begin(store, &problem));
    write_samples(store, 901, 150000);
    MUST(store_commit(store, &problem));
    snprintf(copy, sizeof copy, "%s/copy.db", folder);
    watch.progress = never;
    ck_assert(!store_backup(store, copy, &watch, &problem));
    ck_assert_int_ne(access(copy, F_OK), 0);
    snprintf(copy, sizeof copy, "%s/copy.db.part", folder);
    ck_assert_int_ne(access(copy, F_OK), 0);
    store_close(store);
    free(record);
}
END_TEST

struct elsewhere {
    pthread_t here;
    int calls;
};

static bool stop_from_elsewhere(void *context, double share)
{
    struct elsewhere *elsewhere = context;
    (void)share;
    elsewhere->calls += pthread_equal(pthread_self(), elsewhere->here) ? 0 : 1;
    return elsewhere->calls == 0;
}

/* SQLite looks over the pages of a table in one step, of many seconds in a large file: somebody
 * must be asked meanwhile, and nothing may be told of what was not looked at to the end. */
START_TEST(the_look_at_pages_can_be_stopped)
{
    struct elsewhere elsewhere = {pthread_self(), 0};
    struct store_watch watch = {stop_from_elsewhere, &elsewhere};
    int64_t count = -1;
    make_long_store(path);
    struct store *store = open_store(STORE_READ);
    for (int i = 0; i < 20; i++) {
        elsewhere.calls = 0;
        told[0] = '\0';
        ck_assert(!store_check(store, hear, NULL, &watch, &count, &problem));
        ck_assert_int_eq(elsewhere.calls, 1);
        ck_assert_ptr_nonnull(strstr(problem.sentence, "stopped before all was looked over"));
        ck_assert_str_eq(told, "");
        ck_assert_int_eq(count, 0);
    }
    store_close(store);
}
END_TEST

START_TEST(a_file_that_is_written_anew_can_be_left_as_it_was)
{
    int calls = 0;
    const struct store_watch watch = {never, &calls};
    struct store_forgotten forgotten;
    make_long_store(path);
    struct store *store = open_store(STORE_WRITE);
    ck_assert(!store_compact(store, &watch, &problem));
    ck_assert_msg(strstr(problem.sentence, "stopped") != NULL, "%s", problem.sentence);
    ck_assert(!store_forget(store, "R-03", hear, NULL, &watch, &forgotten, &problem));
    ck_assert_msg(strstr(problem.sentence, "stopped") != NULL, "%s", problem.sentence);
    ck_assert_int_eq(number_of("SELECT count(*) FROM rider WHERE code = 'R-03'"), 1);
    ck_assert_int_eq(number_of("SELECT count(*) FROM sample"), 61800);
    /* and is not stopped for good */
    MUST(store_compact(store, NULL, &problem));
    MUST(store_forget(store, "R-03", hear, NULL, NULL, &forgotten, &problem));
    ck_assert_int_eq(forgotten.samples, 60000);
    store_close(store);
    end_running_holds();
    int64_t count = check_store();
    ck_assert_msg(count == 0, "%s", told);
}
END_TEST

START_TEST(a_backup_is_made_while_a_session_runs)
{
    char copy[300];
    struct session_record *record = full_session(1);
    snprintf(copy, sizeof copy, "%s/copy.db", folder);
    struct store *recording = open_store(STORE_RECORD);
    write_session(recording, record);
    struct store *reader = open_store(STORE_READ);
    MUST(store_begin(recording, &problem));
    write_samples(recording, 901, 950); /* not committed: not in the copy */
    MUST(store_backup(reader, copy, NULL, &problem));
    MUST(store_commit(recording, &problem));
    ck_assert_int_eq(number_at(copy, "SELECT count(*) FROM sample"), 900);
    ck_assert_int_eq(number_of("SELECT count(*) FROM sample"), 950);
    /* never over a file */
    ck_assert(!store_backup(reader, copy, NULL, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "is there already"));
    store_close(reader);
    store_close(recording);
    /* the copy is a store of its own, in one file */
    struct store *copied = open_at(copy, STORE_READ);
    int64_t differences = -1;
    struct store *store = open_store(STORE_READ);
    MUST(store_compare_session(copied, 1, store, 1, hear, NULL, &differences, &problem));
    ck_assert_int_gt(differences, 0); /* the 50 samples */
    store_close(copied);
    store_close(store);
    char command[800];
    snprintf(command, sizeof command, "test \"$(ls '%s' | grep -c copy)\" = 1", folder);
    ck_assert_int_eq(system(command), 0);
    snprintf(command, sizeof command, "grep -qx '%s' '%s.backups'", copy, path);
    ck_assert_int_eq(system(command), 0);
    free(record);
}
END_TEST

/* Does the file hold these bytes anywhere? */
static bool file_holds(const char *file, const char *words)
{
    FILE *stream = fopen(file, "rb");
    bool found = false;
    size_t length = strlen(words), matched = 0;
    ck_assert_ptr_nonnull(stream);
    static char bytes[64 << 20];
    size_t size = fread(bytes, 1, sizeof bytes, stream);
    fclose(stream);
    ck_assert_uint_lt(size, sizeof bytes);
    for (size_t i = 0; i + length <= size && !found; i++) {
        for (matched = 0; matched < length && bytes[i + matched] == words[matched]; matched++) {
        }
        found = matched == length;
    }
    return found;
}

START_TEST(a_forgotten_rider_is_not_to_be_found)
{
    char copy[300], other_copy[300], command[400];
    struct store_forgotten forgotten;
    snprintf(copy, sizeof copy, "%s/copy.db", folder);
    snprintf(other_copy, sizeof other_copy, "%s/other-copy.db", folder);
    make_store(path, 1, 2);
    struct store *store = open_store(STORE_READ);
    MUST(store_backup(store, other_copy, NULL, &problem)); /* before rider 3 came */
    store_close(store);
    /* many words that are only this rider's, written over again and again so that pages split and
     * shrink */
    for (unsigned seed = 3; seed <= 30; seed += 3) {
        struct session_record *record = full_session(seed);
        text_copy(record->rider.code, sizeof record->rider.code, "SECRETCODE");
        store = open_store(STORE_RECORD);
        for (int round = 0; round < 4; round++) {
            snprintf(record->rider.name, sizeof record->rider.name, "SECRETNAME%0*d",
                     10 + 17 * round, round);
            snprintf(record->bike.name, sizeof record->bike.name, "SECRETBIKE%0*d", 60 - 13 * round,
                     round);
            for (int i = 0; i < record->note_count; i++) {
                snprintf(record->note[i].text, sizeof record->note[i].text, "SECRETNOTE%0*d",
                         1 + 50 * round, i);
            }
            for (int i = 0; i < record->setup_count; i++) {
                snprintf(record->setup[i].intent, sizeof record->setup[i].intent,
                         "SECRETINTENT%0*d", 200 - 50 * round, i);
            }
            write_session(store, record);
        }
        store_close(store);
        make_store(path, 100 + seed, 101 + seed); /* others in between */
        free(record);
    }
    store = open_store(STORE_READ);
    MUST(store_backup(store, copy, NULL, &problem));
    store_close(store);
    snprintf(command, sizeof command, "touch '%s.unsaved-2026-01-10.rig'", path);
    ck_assert_int_eq(system(command), 0);
    ck_assert(file_holds(path, "SECRETNAME") && file_holds(path, "SECRETINTENT"));
    int64_t others = number_of("SELECT count(*) FROM session") - 10;

    told[0] = '\0';
    store = open_store(STORE_WRITE);
    MUST(store_forget(store, "SECRETCODE", hear, NULL, NULL, &forgotten, &problem));
    store_close(store);
    ck_assert_int_eq(forgotten.sessions, 10);
    ck_assert_int_eq(forgotten.samples, 9000);
    ck_assert_int_ge(forgotten.bikes, 1);
    ck_assert(!file_holds(path, "SECRET"));
    snprintf(command, sizeof command, "ls '%s' | grep -qE -e '-(wal|shm|journal)$'", folder);
    ck_assert_int_ne(system(command), 0);
    /* neither the identifiers of the sessions */
    char uuid[UUID_TEXT_SIZE];
    struct session_record *record = full_session(3);
    uuid_text(uuid, &record->uuid);
    ck_assert(file_holds(copy, uuid) && !file_holds(path, uuid));
    uuid_text(uuid, &record->hold[1].uuid);
    ck_assert(file_holds(copy, uuid) && !file_holds(path, uuid));
    free(record);
    ck_assert_msg(strstr(told, "copy.db still holds rider SECRETCODE") != NULL, "%s", told);
    ck_assert_msg(strstr(told, "other-copy.db") == NULL, "%s", told);
    ck_assert_msg(strstr(told, ".unsaved-2026-01-10.rig holds readings") != NULL, "%s", told);
    /* all others are whole */
    ck_assert_int_eq(number_of("SELECT count(*) FROM session"), others);
    ck_assert_int_eq(number_of("SELECT count(*) FROM sample"), others * 900);
    end_running_holds();
    int64_t count = check_store();
    ck_assert_msg(count == 0, "%s", told);
    /* a number is not given again */
    make_store(path, 200, 200);
    ck_assert_int_eq(number_of("SELECT max(id) FROM session"), others + 11);
}
END_TEST

START_TEST(forgetting_waits_for_readers_and_knows_its_riders)
{
    struct store_forgotten forgotten;
    make_store(path, 1, 2);
    struct store *store = open_store(STORE_WRITE);
    ck_assert(!store_forget(store, "R-99", hear, NULL, NULL, &forgotten, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "no rider 'R-99'"));
    /* one that is in the midst of reading an earlier state */
    sqlite3 *reader = NULL;
    ck_assert_int_eq(sqlite3_open_v2(path, &reader, SQLITE_OPEN_READONLY, NULL), SQLITE_OK);
    ck_assert_int_eq(sqlite3_exec(reader, "BEGIN; SELECT count(*) FROM rider", NULL, NULL, NULL),
                     SQLITE_OK);
    struct session_record *record = full_session(3);
    write_session(store, record);
    ck_assert(!store_forget(store, "R-01", hear, NULL, NULL, &forgotten, &problem));
    ck_assert_msg(strstr(problem.sentence, "another program is reading") != NULL, "%s",
                  problem.sentence);
    sqlite3_exec(reader, "COMMIT", NULL, NULL, NULL);
    sqlite3_close(reader);
    ck_assert_int_eq(number_of("SELECT count(*) FROM rider WHERE code = 'R-01'"), 1);
    MUST(store_forget(store, "R-01", hear, NULL, NULL, &forgotten, &problem));
    store_close(store);
    ck_assert_int_eq(number_of("SELECT count(*) FROM rider"), 2);
    free(record);
}
END_TEST

static Suite *care_suite(void)
{
    Suite *suite = suite_create("store care");
    TCase *tests = tcase_create("store care");
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, make_folder, remove_folder);
    tcase_add_test(tests, work_can_be_stopped);
    tcase_add_test(tests, the_look_at_pages_can_be_stopped);
    tcase_add_test(tests, a_file_that_is_written_anew_can_be_left_as_it_was);
    tcase_add_test(tests, a_backup_is_made_while_a_session_runs);
    tcase_add_test(tests, a_forgotten_rider_is_not_to_be_found);
    tcase_add_test(tests, forgetting_waits_for_readers_and_knows_its_riders);
    suite_add_tcase(suite, tests);
    return suite;
}

int main(void)
{
    return test_main(care_suite());
}
