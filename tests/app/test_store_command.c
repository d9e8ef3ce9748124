/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* holdline store ... through the real program, on sessions that it recorded itself. */
#include "support/json_reader.h"
#include "support/program.h"
#include "support/test_main.h"

#include "app/recheck.h"
#include "store/store.h"

#include <signal.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

static const char script[] = "session 2026-01-10T18:00:00Z seed=%d\n"
                             "rider R-%02d \"rider %d\"\n"
                             "bike \"training bike\" stack=545 reach=410 head_angle=73 spacers=20 "
                             "stem_length=100 stem_angle=-6 pad_rise=60\n"
                             "sensor head carrier=base_bar x=110 y=40 mark=\"chin strap\"\n"
                             "sensor chest carrier=base_bar x=-60 y=35 mark=\"chest strap\"\n"
                             "setup 1 \"as it came\"\n"
                             "target until=8mm\n"
                             "band head=+12/-20 chest=+10/none\n"
                             "hold 20s free\nmark slid\nhold 20s guided\n"
                             "rating effort=4 neck=2 sees_ahead=yes could_stay=30\n"
                             "setup 2 \"spacers out\" spacers=0\n"
                             "plate head=412.5\n"
                             "hold 20s free\nkeep 10s\nreject 3 \"a bus\"\n"
                             "setup 1\nhold 20s free\nnote \"fan moved\"\nend\n";

static const char *folder;

static struct program_result run(const char *const *arguments)
{
    return program_run(folder, NULL, arguments);
}
#define RUN(...) run((const char *const[]){__VA_ARGS__, NULL})

static void check_result(struct program_result result, int status, const char *output,
                         const char *errors, int line)
{
    ck_assert_msg(result.status == status && strstr(result.output, output) != NULL &&
                      strstr(result.errors, errors) != NULL,
                  "line %d: status %d, output '%s', errors '%s'", line, result.status,
                  result.output, result.errors);
    program_free(&result);
}
#define CHECK(result, status, output, errors) check_result(result, status, output, errors, __LINE__)

static void record(int seed, const char *store)
{
    char text[2048];
    snprintf(text, sizeof text, script, seed, seed, seed);
    program_write_file(folder, "script", text);
    CHECK(RUN("run", "script", "virtual:winter?speed=max", "--store", store), 0, "", "");
}

static void path_of(const char *name, char *path, size_t size)
{
    snprintf(path, size, "%s/%s", folder, name);
}

static void change(const char *store, const char *sql)
{
    char path[512];
    sqlite3 *db = NULL;
    char *message = NULL;
    path_of(store, path, sizeof path);
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    ck_assert_msg(sqlite3_exec(db, sql, NULL, NULL, &message) == SQLITE_OK, "%s", message);
    sqlite3_close(db);
}

#define NO_SUMS "DELETE FROM record_sum; DELETE FROM sample_sum"

static void begin(void)
{
    folder = program_folder();
    record(1, "s.db");
}

static void end(void)
{
    program_folder_remove(folder);
}

START_TEST(a_recorded_session_is_sound_to_the_last_bit)
{
    record(2, "s.db");
    CHECK(RUN("store", "check", "--store", "s.db"), 0,
          "s.db is sound; 2 sessions worked out again, the same to the last bit\n", "");
    CHECK(RUN("store", "check", "--quick", "--store", "s.db"), 0, "s.db is sound\n", "");
}
END_TEST

START_TEST(a_changed_record_is_found_by_working_it_out_again)
{
    change("s.db", "UPDATE setup_value SET value = 21 WHERE setup = 1 AND key = 'spacers'");
    CHECK(RUN("store", "check", "--quick", "--store", "s.db"), 1,
          "setup of place 1 is left out: it is not what was written", "");
    /* as in a session that came from a store without checksums */
    change("s.db", NO_SUMS);
    CHECK(RUN("store", "check", "--quick", "--store", "s.db"), 0, "is sound", "");
    CHECK(RUN("store", "check", "--store", "s.db"), 1,
          "session 1 worked out again: setup_value 1: value is 21.0 here and 20.0 there\n", "");
    struct program_result result = RUN("store", "check", "--json", "--store", "s.db");
    struct json_value *value = program_json(&result, 1);
    ck_assert_int_eq((int)json_number_at(value, "sessions_worked_out_again"), 1);
    ck_assert_int_eq((int)json_at(value, "sound")->kind, JSON_FALSE);
    ck_assert_uint_eq(json_at(value, "findings")->count, 1);
    json_free(value);
    program_free(&result);
}
END_TEST

START_TEST(a_changed_reading_and_a_changed_log_are_found)
{
    change("s.db", "UPDATE sample SET v1 = v1 + 1 WHERE n = (SELECT last_n - 100 FROM session)");
    CHECK(RUN("store", "check", "--quick", "--store", "s.db"), 1, "or are not what was written",
          "");
    /* without checksums a reading is the truth, unless the log doesn't fit it: a target that takes
     * longer */
    change("s.db", NO_SUMS);
    CHECK(RUN("store", "check", "--store", "s.db"), 0, "sound", "");
    change("s.db", "UPDATE sample SET v1 = v1 + 400 WHERE n BETWEEN 700 AND 1000");
    CHECK(RUN("store", "check", "--store", "s.db"), 1, "session 1 worked out again: ", "");
    change("s.db", "UPDATE command SET text = 'no such command' WHERE ordinal = 5");
    CHECK(RUN("store", "check", "--store", "s.db"), 1, "logged command 5 ('no such command')", "");
    change("s.db", "DELETE FROM command WHERE ordinal = 7");
    CHECK(RUN("store", "check", "--quick", "--store", "s.db"), 1, "the log has", "");
}
END_TEST

START_TEST(a_cut_short_session_is_no_fault)
{
    change("s.db", NO_SUMS "; UPDATE session SET ended = 0;"
                           "DELETE FROM command WHERE text = 'end'");
    CHECK(RUN("store", "check", "--store", "s.db"), 0, "sound", "");
}
END_TEST

/* Of a session that has ended and still stands on its screen the samples go on, also while it is
 * looked over. */
struct going_on {
    struct store *recorder;
    struct sample last;
    int commits;
};

static bool write_on(void *context, double share)
{
    struct going_on *on = context;
    struct problem problem = {0};
    (void)share;
    on->last.number++;
    on->last.time_us += 20000;
    on->commits++;
    ck_assert_msg(store_begin(on->recorder, &problem) &&
                      store_write_samples(on->recorder, &on->last, 1, &problem) &&
                      store_commit(on->recorder, &problem),
                  "%s", problem.sentence);
    return true;
}

static void must_not_be_found(void *context, const char *sentence)
{
    (void)context;
    ck_abort_msg("%s", sentence);
}

START_TEST(samples_that_go_on_meanwhile_are_no_fault)
{
    char path[512];
    struct problem problem = {0};
    struct session_record *record = malloc(sizeof *record);
    struct going_on on = {.commits = 0};
    const struct store_watch watch = {write_on, &on};
    int sessions = 0, in_part = 0;
    int64_t count = 0;
    path_of("s.db", path, sizeof path);
    on.recorder = store_open(path, STORE_RECORD, &problem);
    struct store *reader = store_open(path, STORE_READ, &problem);
    ck_assert_msg(record != NULL && on.recorder != NULL && reader != NULL, "%s", problem.sentence);
    ck_assert_msg(store_go_on(on.recorder, 1, &problem) && store_load(reader, 1, record, &problem),
                  "%s", problem.sentence);
    ck_assert(record->ended);
    on.last = (struct sample){.number = record->last_sample, .time_us = record->last_time_us};
    ck_assert_msg(recheck_sessions(reader, must_not_be_found, NULL, &watch, &sessions, &in_part,
                                   &count, &problem),
                  "%s", problem.sentence);
    ck_assert_int_ge(on.commits, 1);
    ck_assert_int_eq(count, 0);
    ck_assert_msg(store_load(reader, 1, record, &problem), "%s", problem.sentence);
    ck_assert_int_eq(record->last_sample, on.last.number); /* the next moment has them */
    store_close(reader);
    store_close(on.recorder);
    free(record);
    CHECK(RUN("store", "check", "--store", "s.db"), 0, "the same to the last bit", "");
}
END_TEST

START_TEST(a_damaged_file_is_told)
{
    char path[512];
    path_of("s.db", path, sizeof path);
    FILE *file = fopen(path, "r+b");
    for (long page = 3; page < 40; page++) {
        fseek(file, page * 4096 + 1, SEEK_SET);
        fputs("rubbish", file);
    }
    fclose(file);
    struct program_result result = RUN("store", "check", "--store", "s.db");
    ck_assert_int_eq(result.status, 1);
    ck_assert_uint_gt(strlen(result.output) + strlen(result.errors), 20);
    program_free(&result);
    path_of("s.db", path, sizeof path);
    ck_assert_int_eq(truncate(path, 5000), 0);
    result = RUN("store", "check", "--store", "s.db");
    ck_assert_int_eq(result.status, 1);
    program_free(&result);
}
END_TEST

START_TEST(a_backup_is_a_store)
{
    CHECK(RUN("store", "backup", "copy.db", "--store", "s.db"), 0, "copy.db\n", "");
    CHECK(RUN("store", "check", "--store", "copy.db"), 0, "sound; 1 session worked", "");
    CHECK(RUN("store", "backup", "copy.db", "--store", "s.db"), 1, "", "copy.db is there already");
    CHECK(RUN("store", "backup", "--store", "s.db"), 0, "s.db.backup-20", "");
    CHECK(RUN("store", "backup", "--store", "s.db"), 0, "-2\n", "");
    CHECK(RUN("store", "backup", "no/such/folder.db", "--store", "s.db"), 1, "", "can't be made");
}
END_TEST

START_TEST(a_live_session_lets_a_backup_be_made_and_nothing_else)
{
    char path[512];
    struct problem problem;
    path_of("s.db", path, sizeof path);
    record(2, "other.db");
    struct store *live = store_open(path, STORE_RECORD, &problem);
    ck_assert_msg(live != NULL, "%s", problem.sentence);
    CHECK(RUN("store", "backup", "copy.db", "--store", "s.db"), 0, "copy.db", "");
    CHECK(RUN("store", "check", "--store", "s.db"), 0, "sound", "");
    CHECK(RUN("store", "forget", "R-01", "--yes", "--store", "s.db"), 1, "", "is being recorded");
    CHECK(RUN("store", "merge", "other.db", "--store", "s.db"), 1, "", "is being recorded");
    CHECK(RUN("store", "compact", "--store", "s.db"), 1, "", "is being recorded");
    CHECK(RUN("run", "script", "virtual:winter?speed=max", "--store", "s.db"), 1, "",
          "another session is being recorded there");
    store_close(live);
    CHECK(RUN("store", "compact", "--store", "s.db"), 0, "", "");
    CHECK(RUN("list", "--store", "s.db"), 0, "R-01", "");
}
END_TEST

START_TEST(stores_are_merged)
{
    record(2, "other.db");
    record(1, "other.db");
    CHECK(RUN("store", "merge", "other.db", "--store", "s.db"), 0,
          "1 taken, 1 there already, 0 left out\n", "");
    CHECK(RUN("store", "check", "--store", "s.db"), 0, "2 sessions worked out again, the same", "");
    change("other.db", "UPDATE note SET text = 'another'");
    CHECK(RUN("store", "merge", "other.db", "--store", "s.db"), 1,
          "0 taken, 0 there already, 2 left", "they differ: the one here was left as it is");
    CHECK(RUN("store", "merge", "--json", "other.db", "--store", "s.db"), 1, "\"taken\": 0", "");
    CHECK(RUN("store", "merge", "nowhere.db", "--store", "s.db"), 1, "", "there is no store at");
    CHECK(RUN("store", "merge", "script", "--store", "s.db"), 1, "", "not a Holdline store");
}
END_TEST

START_TEST(a_rider_is_forgotten)
{
    record(2, "s.db");
    CHECK(RUN("store", "backup", "copy.db", "--store", "s.db"), 0, "", "");
    CHECK(RUN("store", "forget", "R-02", "--store", "s.db"), 2, "", "--yes");
    CHECK(RUN("list", "--store", "s.db"), 0, "R-02", "");
    CHECK(RUN("store", "forget", "R-02", "--yes", "--store", "s.db"), 0, "1 session and ",
          "copy.db still holds rider R-02");
    struct program_result result = RUN("list", "--store", "s.db");
    ck_assert_ptr_null(strstr(result.output, "R-02"));
    ck_assert_ptr_nonnull(strstr(result.output, "R-01"));
    program_free(&result);
    CHECK(RUN("store", "check", "--store", "s.db"), 0, "sound; 1 session worked", "");
    CHECK(RUN("store", "forget", "R-02", "--yes", "--store", "s.db"), 1, "", "no rider 'R-02'");
    size_t length = 0;
    char *bytes = program_read_file(folder, "s.db", &length);
    for (size_t i = 0; i + 7 < length; i++) {
        ck_assert_msg(memcmp(bytes + i, "rider 2", 7) != 0, "the name is still at byte %zu", i);
    }
    free(bytes);
}
END_TEST

/* One in which nobody was named: it has no code to be asked by. */
START_TEST(a_session_is_forgotten)
{
    program_write_file(
        folder, "nobody",
        "session 2026-01-14T18:00:00Z seed=505\nbike \"borrowed one\" stack=545 reach=410 "
        "head_angle=73\nsetup 1 \"as it came\"\nnote \"told in confidence\"\n"
        "hold 5s free settle=0s\nend\n");
    CHECK(RUN("run", "nobody", "virtual:steady?speed=max&seed=1", "--store", "s.db"), 0, "", "");
    CHECK(RUN("store", "backup", "copy.db", "--store", "s.db"), 0, "", "");
    CHECK(RUN("store", "forget", "--session", "last", "--store", "s.db"), 2, "", "--yes");
    CHECK(RUN("store", "forget", "R-01", "--session", "2", "--yes", "--store", "s.db"), 2, "",
          "not both");
    CHECK(RUN("store", "check", "--session", "2", "--store", "s.db"), 2, "",
          "doesn't take --session");
    CHECK(RUN("store", "forget", "--session", "9", "--yes", "--store", "s.db"), 1, "", "9");
    CHECK(RUN("store", "forget", "--session", "2", "--yes", "--store", "s.db"), 0,
          "session 2 and its ", "copy.db still holds session 2");
    struct program_result result = RUN("list", "--store", "s.db");
    ck_assert_ptr_nonnull(strstr(result.output, "R-01"));
    ck_assert_ptr_null(strstr(result.output, "borrowed"));
    program_free(&result);
    CHECK(RUN("store", "check", "--store", "s.db"), 0, "sound; 1 session worked", "");
    size_t length = 0;
    char *bytes = program_read_file(folder, "s.db", &length);
    for (size_t i = 0; i + 13 < length; i++) {
        ck_assert_msg(memcmp(bytes + i, "in confidence", 13) != 0 &&
                          memcmp(bytes + i, "borrowed one", 12) != 0,
                      "it is still at byte %zu", i);
    }
    free(bytes);
    /* the rider goes with the last session */
    CHECK(RUN("store", "forget", "--session", "1", "--yes", "--store", "s.db"), 0, "session 1", "");
    CHECK(RUN("store", "forget", "R-01", "--yes", "--store", "s.db"), 1, "", "no rider 'R-01'");
}
END_TEST

/* A signal that came before the first step: the work ends cleanly, and the program dies of it. */
START_TEST(an_interrupted_backup_leaves_no_file)
{
    sigset_t set;
    fflush(NULL);
    pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        sigemptyset(&set);
        sigaddset(&set, SIGINT);
        sigprocmask(SIG_BLOCK, &set, NULL);
        raise(SIGINT); /* stays pending through exec */
        if (chdir(folder) == 0) {
            execl(program_path(), "holdline", "store", "backup", "copy.db", "--store", "s.db",
                  (char *)NULL);
        }
        _exit(99);
    }
    int status = 0;
    char path[512];
    waitpid(child, &status, 0);
    ck_assert(WIFSIGNALED(status) && WTERMSIG(status) == SIGINT);
    path_of("copy.db", path, sizeof path);
    ck_assert_int_ne(access(path, F_OK), 0);
    path_of("copy.db.part", path, sizeof path);
    ck_assert_int_ne(access(path, F_OK), 0);
    CHECK(RUN("store", "check", "--store", "s.db"), 0, "sound", "");
}
END_TEST

START_TEST(wrong_use_is_told)
{
    CHECK(RUN("store"), 2, "", "say check, backup, merge, rescue, forget, compact or results");
    CHECK(RUN("store", "chekc"), 2, "", "did you mean 'check'?");
    CHECK(RUN("store", "check", "more"), 2, "", "takes no word, a store is named by --store");
    CHECK(RUN("store", "merge"), 2, "", "say the other store's file");
    CHECK(RUN("store", "forget"), 2, "", "say the rider's code");
    CHECK(RUN("store", "backup", "--quick"), 2, "", "doesn't take --quick");
    CHECK(RUN("store", "check", "--yes"), 2, "", "doesn't take --yes");
    CHECK(RUN("store", "forget", "R-01", "--json"), 2, "", "doesn't take --json");
    CHECK(RUN("store", "check", "--bogus"), 2, "", "--bogus");
    CHECK(RUN("store", "check", "--store", "nowhere.db"), 1, "", "there is no store at");
    CHECK(RUN("store", "--help"), 0, "holdline store check", "");
}
END_TEST

static Suite *store_command_suite(void)
{
    Suite *suite = suite_create("store command");
    TCase *tests = tcase_create("store command");
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, a_recorded_session_is_sound_to_the_last_bit);
    tcase_add_test(tests, a_changed_record_is_found_by_working_it_out_again);
    tcase_add_test(tests, a_changed_reading_and_a_changed_log_are_found);
    tcase_add_test(tests, a_cut_short_session_is_no_fault);
    tcase_add_test(tests, samples_that_go_on_meanwhile_are_no_fault);
    tcase_add_test(tests, a_damaged_file_is_told);
    tcase_add_test(tests, a_backup_is_a_store);
    tcase_add_test(tests, a_live_session_lets_a_backup_be_made_and_nothing_else);
    tcase_add_test(tests, stores_are_merged);
    tcase_add_test(tests, a_rider_is_forgotten);
    tcase_add_test(tests, a_session_is_forgotten);
    tcase_add_test(tests, an_interrupted_backup_leaves_no_file);
    tcase_add_test(tests, wrong_use_is_told);
    suite_add_tcase(suite, tests);
    return suite;
}

int main(void)
{
    return test_main(store_command_suite());
}
