#include "fixture.h"

#include "base/text.h"
#include "store/care.h"

#include <math.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>

/* What was told, one sentence a line. */
static char told[8192];

static void hear(void *context, const char *sentence)
{
    size_t length = strlen(told);
    (void)context;
    snprintf(told + length, sizeof told - length, "%s\n", sentence);
}

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

/* Ends it while the third of three is taken. */
static bool until_the_third(void *context, double share)
{
    double *done = context;
    *done = isfinite(share) ? share : *done;
    return isfinite(share) || *done < 0.6;
}

static int64_t check_store(void)
{
    struct store *store = open_store(STORE_READ);
    int64_t count = -1;
    told[0] = '\0';
    MUST(store_check(store, hear, NULL, NULL, &count, &problem));
    store_close(store);
    return count;
}

START_TEST(a_sound_store_is_found_sound)
{
    make_store(path, 1, 3);
    /* the invented captures are as good as real ones but for the holds that 'run' in an ended
     * session */
    run_sql("UPDATE hold SET status = 'cut short' WHERE status = 'running'");
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
    run_sql("UPDATE hold SET status = 'cut short' WHERE status = 'running'");
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

/* A flipped byte in an index or a table is found, or does no harm; nothing crashes. */
START_TEST(flipped_bits_are_found)
{
    make_store(path, 1, 2);
    struct stat file;
    ck_assert_int_eq(stat(path, &file), 0);
    int found = 0, refused = 0, tries = 0;
    for (long at = 100; at < file.st_size; at += 1237, tries++) {
        FILE *stream = fopen(path, "r+b");
        fseek(stream, at, SEEK_SET);
        int byte = fgetc(stream);
        fseek(stream, at, SEEK_SET);
        fputc(byte ^ 0x55, stream);
        fclose(stream);
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
        stream = fopen(path, "r+b");
        fseek(stream, at, SEEK_SET);
        fputc(byte, stream);
        fclose(stream);
    }
    ck_assert_int_gt(tries, 100);
    ck_assert_int_gt(found + refused, tries / 10);
    check_store(); /* and as it was, it opens again */
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

/* More samples than SQLite writes between two looks at the watch. */
static void make_long_store(const char *file)
{
    make_store(file, 1, 2);
    struct store *store = open_at(file, STORE_RECORD);
    struct session_record *record = full_session(3);
    write_session(store, record);
    MUST(store_begin(store, &problem));
    write_samples(store, 901, 60000);
    MUST(store_commit(store, &problem));
    store_close(store);
    free(record);
}

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
    run_sql("UPDATE hold SET status = 'cut short' WHERE status = 'running'");
    int64_t count = check_store();
    ck_assert_msg(count == 0, "%s", told);
}
END_TEST

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
    run_sql("UPDATE hold SET status = 'cut short' WHERE status = 'running'");
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
    run_sql("UPDATE hold SET status = 'cut short' WHERE status = 'running'");
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
    tcase_add_test(tests, a_sound_store_is_found_sound);
    tcase_add_test(tests, what_is_wrong_is_told);
    tcase_add_test(tests, sessions_that_share_samples_are_told);
    tcase_add_test(tests, flipped_bits_are_found);
    tcase_add_test(tests, truncated_stores_are_told);
    tcase_add_test(tests, work_can_be_stopped);
    tcase_add_test(tests, a_file_that_is_written_anew_can_be_left_as_it_was);
    tcase_add_test(tests, taking_sessions_in_can_be_stopped);
    tcase_add_test(tests, a_backup_is_made_while_a_session_runs);
    tcase_add_test(tests, differences_between_sessions_are_told);
    tcase_add_test(tests, two_stores_become_one);
    tcase_add_test(tests, a_rider_on_two_laptops_is_one);
    tcase_add_test(tests, conflicts_are_told_and_nothing_is_written_over);
    tcase_add_test(tests, a_forgotten_rider_is_not_to_be_found);
    tcase_add_test(tests, forgetting_waits_for_readers_and_knows_its_riders);
    suite_add_tcase(suite, tests);
    return suite;
}

int main(void)
{
    return test_main(care_suite());
}
