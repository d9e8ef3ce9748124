/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "fixture.h"

#include "support/dying_store.h"

#include "store/care.h"

#include <errno.h>
#include <sys/wait.h>

/* A store whose program is killed at every call of opening, recording and closing, in which the
 * journal is switched twice. Whatever is left opens, to read and to write. */

static struct session_record *record;

/* The full session has a hold that is still running. */
static struct session_record *sound_session(unsigned seed)
{
    struct session_record *made = full_session(seed);
    made->ended = false;
    return made;
}

static void record_another(void *context)
{
    const char *file = context;
    struct store *store = open_at(file, STORE_RECORD);
    write_session(store, record);
    store_close(store);
}

/* What may lie beside a store, the store itself first. */
static const char *const parts[] = {"", "-journal", "-wal", "-shm"};
enum { PARTS = sizeof parts / sizeof parts[0], FILE_LENGTH = 300 };

static void part_of(char file[FILE_LENGTH], const char *name, int part)
{
    snprintf(file, FILE_LENGTH, "%s/%s%s", folder, name, parts[part]);
}

static void copy_file(const char *from, const char *to)
{
    FILE *read = fopen(from, "rb");
    if (read == NULL) {
        ck_assert_int_eq(errno, ENOENT);
        return;
    }
    FILE *written = fopen(to, "wb");
    ck_assert_ptr_nonnull(written);
    char bytes[65536];
    for (size_t length; (length = fread(bytes, 1, sizeof bytes, read)) > 0;) {
        ck_assert_uint_eq(fwrite(bytes, 1, length, written), length);
    }
    ck_assert(!ferror(read));
    fclose(read);
    ck_assert_int_eq(fclose(written), 0);
}

/* All that lies there under one name, and nothing else, under another one: what opens a store
 * puts it in order. */
static void copy_store(const char *name, const char *other)
{
    for (int part = 0; part < PARTS; part++) {
        char from[FILE_LENGTH], to[FILE_LENGTH];
        part_of(from, name, part);
        part_of(to, other, part);
        unlink(to);
        copy_file(from, to);
    }
}

/* The store as it is before: none, or one with a session. */
static void lay_out(bool there)
{
    copy_store(there ? "before" : "none", "test.db");
}

static bool count_session(void *context, const struct store_session *session)
{
    int *count = context;
    ck_assert_int_ge(session->samples, 0);
    ++*count;
    return true;
}

static void no_finding(void *context, const char *sentence)
{
    ck_abort_msg("killed at call %d: %s", *(int *)context, sentence);
}

/* All in it is whole, and no session is lost or half there. */
static void look_over(const char *name, enum store_mode mode, int before, int at)
{
    char file[300];
    int sessions = 0;
    int64_t wrong = 0;
    snprintf(file, sizeof file, "%s/%s.db", folder, name);
    struct store *store = store_open(file, mode, &problem);
    if (store == NULL) {
        /* nothing but an empty file was made, and readers say so */
        ck_assert_msg(before == 0 && mode != STORE_RECORD, "killed at call %d: %s", at,
                      problem.sentence);
        ck_assert_msg(strstr(problem.sentence, "a session makes it") != NULL, "call %d: %s", at,
                      problem.sentence);
        return;
    }
    MUST(store_list(store, count_session, &sessions, &problem));
    ck_assert_msg(sessions == before || sessions == before + 1, "call %d: %d sessions", at,
                  sessions);
    MUST(store_check(store, no_finding, &at, NULL, &wrong, &problem));
    store_close(store);
}

/* Opening and closing, where the journal is switched, call by call; recording between them one call
 * in ten. HOLDLINE_EVERY_CALL=1 for all, by hand. */
#define AT_ENDS 70
static bool is_tried(int at, int calls)
{
    return at <= AT_ENDS || at > calls - AT_ENDS || at % 10 == 0 ||
           getenv("HOLDLINE_EVERY_CALL") != NULL;
}

static bool has_journal(void)
{
    char journal[300];
    snprintf(journal, sizeof journal, "%s-journal", path);
    return access(journal, F_OK) == 0;
}

/* A journal that is no longer or not yet in force is passed over by readers. */
static bool problem_of_reading(void)
{
    sqlite3 *db = NULL;
    bool failed =
        sqlite3_open_v2(path, &db, SQLITE_OPEN_READONLY, NULL) != SQLITE_OK ||
        sqlite3_exec(db, "SELECT count(*) FROM sqlite_schema", NULL, NULL, NULL) != SQLITE_OK;
    sqlite3_close(db);
    return failed;
}

static int kill_at_every_call(bool there, enum dying_moment moment)
{
    int killed = 0, journals = 0;
    lay_out(there);
    int calls = dying_calls(record_another, path);
    for (int at = 1; at <= calls; at++) {
        if (!is_tried(at, calls)) {
            continue;
        }
        lay_out(there);
        ck_assert(dying_run(record_another, path, at, moment));
        killed++;
        bool journal = has_journal();
        journals += journal ? 1 : 0;
        if (access(path, F_OK) != 0) {
            continue;
        }
        copy_store("test.db", "reading.db");
        look_over("reading", STORE_READ, there ? 1 : 0, at);
        if (journal || at % 4 == 0 || getenv("HOLDLINE_EVERY_CALL") != NULL) {
            copy_store("test.db", "recording.db");
            look_over("recording", STORE_RECORD, there ? 1 : 0, at);
        }
    }
    printf("killed at %d of %d calls, a journal was left at %d\n", killed, calls, journals);
    ck_assert_int_gt(journals, 10);
    return calls;
}

START_TEST(killed_at_any_call_a_store_opens)
{
    char command[600];
    record = sound_session(1);
    record_another(path);
    free(record);
    snprintf(command, sizeof command, "mv '%s' '%s/before'", path, folder);
    ck_assert_int_eq(system(command), 0);
    record = sound_session(2);
    ck_assert_int_gt(kill_at_every_call(_i == 1, DYING_HALFWAY), 200);
    free(record);
}
END_TEST

/* Whoever may read a store and its folder, but not write there, is told what to copy where. */
static void read_as_guest(const char *beside)
{
    char command[600];
    snprintf(command, sizeof command, "chmod 755 '%s' && chmod 644 '%s'*", folder, path);
    ck_assert_int_eq(system(command), 0);
    fflush(NULL);
    pid_t process = fork();
    ck_assert_int_ge(process, 0);
    if (process == 0) {
        bool guest = setgid(65534) == 0 && setuid(65534) == 0;
        struct store *store = store_open(path, STORE_READ, &problem);
        bool told = strstr(problem.sentence, "into a folder of your own") != NULL &&
                    strstr(problem.sentence, beside) != NULL;
        fprintf(stderr, "%s\n", told ? "" : problem.sentence);
        _exit(!guest ? 2 : store == NULL && told ? 0 : 1);
    }
    int status = 0;
    ck_assert_int_eq(waitpid(process, &status, 0), process);
    ck_assert_int_eq(status, 0);
}

START_TEST(a_reader_who_may_not_write_is_told_what_to_copy)
{
    if (geteuid() != 0) {
        printf("skipped: only root can become somebody who may not write here\n");
        return;
    }
    record = sound_session(1);
    int calls = dying_calls(record_another, path);
    bool journal = false, log = false;
    for (int at = calls; at > 1 && !(journal && log); at--) {
        lay_out(false);
        ck_assert(dying_run(record_another, path, at, DYING_BEFORE));
        char file[300];
        snprintf(file, sizeof file, "%s-wal", path);
        if (!log && !has_journal() && access(file, F_OK) == 0) {
            snprintf(file, sizeof file, "%s-shm", path);
            unlink(file);
            read_as_guest("test.db-wal");
            log = true;
        } else if (!journal && has_journal() && problem_of_reading()) {
            read_as_guest("test.db-journal");
            journal = true;
        }
    }
    ck_assert(journal && log);
    free(record);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("a killed store");
    TCase *tests = tcase_create("a killed store");
    tcase_set_timeout(tests, 120);
    tcase_add_checked_fixture(tests, make_folder, remove_folder);
    tcase_add_loop_test(tests, killed_at_any_call_a_store_opens, 0, 2);
    tcase_add_test(tests, a_reader_who_may_not_write_is_told_what_to_copy);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
