/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "fixture.h"

/* The room's own header: steps of migration are given here, while the store's own list is short. */
#include "../../src/store/database.h"

#include <dirent.h>
#include <string.h>
#include <sys/stat.h>

static const char *const step_2[] = {"ALTER TABLE rider ADD COLUMN club TEXT",
                                     "CREATE TABLE club (name TEXT NOT NULL) STRICT", NULL};
static const char *const step_3[] = {"UPDATE rider SET club = 'winter group ' || code", NULL};
static const char *const bad_step[] = {"DELETE FROM setup",
                                       "UPDATE rider SET club = no_such_column", NULL};
static const char *const dangling_step[] = {"DELETE FROM setup", NULL};

/* Where the one backup is. */
static void find_backup(char *found, size_t size)
{
    DIR *listing = opendir(folder);
    found[0] = '\0';
    for (struct dirent *entry = readdir(listing); entry != NULL; entry = readdir(listing)) {
        if (strncmp(entry->d_name, "test.db.version-", 16) == 0) {
            snprintf(found, size, "%s/%s", folder, entry->d_name);
        }
    }
    closedir(listing);
}

START_TEST(steps_are_taken_in_order_after_a_copy)
{
    static const struct store_migration steps[] = {{.from = STORE_VERSION, .sql = step_2},
                                                   {.from = STORE_VERSION + 1, .sql = step_3}};
    char backup[400];
    make_store(path, 1, 2);
    struct store *store = open_store(STORE_RECORD);
    MUST(store_migrate(store, steps, 2, STORE_VERSION, &problem));
    store_close(store);
    ck_assert_int_eq(number_of("SELECT user_version FROM pragma_user_version"), STORE_VERSION + 2);
    ck_assert_int_eq(number_of("SELECT count(*) FROM rider WHERE club = 'winter group R-01'"), 1);
    ck_assert_int_eq(number_of("SELECT count(*) FROM reading WHERE session = 1"), 2200);
    find_backup(backup, sizeof backup);
    ck_assert_str_ne(backup, "");
    ck_assert_int_eq(number_at(backup, "SELECT user_version FROM pragma_user_version"),
                     STORE_VERSION);
    ck_assert_int_eq(number_at(backup, "SELECT count(*) FROM sample"), 1800);
    struct store *old = open_at(backup, STORE_READ);
    struct session_record *record = malloc(sizeof *record);
    MUST(store_load(old, 1, record, &problem));
    free(record);
    store_close(old);
    /* and this program, which is older than that store, leaves it alone */
    ck_assert_ptr_null(store_open(path, STORE_RECORD, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "newer Holdline"));
}
END_TEST

START_TEST(a_step_that_fails_leaves_the_store_as_it_was)
{
    static const struct store_migration steps[] = {{.from = STORE_VERSION, .sql = step_2},
                                                   {.from = STORE_VERSION + 1, .sql = bad_step}};
    make_store(path, 1, 2);
    struct store *store = open_store(STORE_RECORD);
    ck_assert(!store_migrate(store, steps, 2, STORE_VERSION, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "no_such_column"));
    store_close(store);
    ck_assert_int_eq(number_of("SELECT user_version FROM pragma_user_version"), STORE_VERSION);
    ck_assert_int_eq(number_of("SELECT count(*) FROM setup"), 6);
    ck_assert_int_eq(number_of("SELECT count(*) FROM sqlite_master WHERE name = 'club'"), 0);
    ck_assert_int_eq(number_of("SELECT count(*) FROM reading WHERE session = 1"), 2200);
    store_close(open_store(STORE_RECORD)); /* as good as before */
}
END_TEST

START_TEST(a_step_that_leaves_rows_pointing_nowhere_is_undone)
{
    static const struct store_migration steps[] = {{.from = STORE_VERSION, .sql = dangling_step}};
    make_store(path, 1, 1);
    struct store *store = open_store(STORE_RECORD);
    ck_assert(!store_migrate(store, steps, 1, STORE_VERSION, &problem));
    ck_assert_msg(strstr(problem.sentence, "point nowhere") != NULL, "%s", problem.sentence);
    /* foreign keys are watched again */
    ck_assert(!store_execute(store, "UPDATE build SET setup = 99", "trying", &problem));
    store_close(store);
    ck_assert_int_eq(number_of("SELECT count(*) FROM setup"), 3);
}
END_TEST

/* Holds and ratings of practice came with version 9. */
static void without_practice(struct session_record *record, int version)
{
    for (int i = 0; version < 9 && i < record->hold_count; i++) {
        record->hold[i].purpose = PURPOSE_NONE;
        record->hold[i].told = TOLD_UNSAID;
        record->hold[i].guessed_share = NAN;
        record->hold[i].resit = RESIT_UNKNOWN;
    }
    for (int i = 0; version < 9 && i < record->rating_count; i++) {
        record->rating[i].morning = record->rating[i].sign = false;
    }
}

/* tests/store/data/version-N.db: a store of every version there was, as its own program wrote it.
 * Each opens, is brought up, and has what it had. */
START_TEST(stores_of_every_version_are_read)
{
    for (int version = 1; version <= STORE_VERSION; version++) {
        char command[700], from[500];
        snprintf(from, sizeof from, "tests/store/data/version-%d.db", version);
        snprintf(command, sizeof command, "cp '%s' '%s'", source_path(from), path);
        ck_assert_msg(system(command) == 0, "there is no %s", from);
        store_close(open_store(STORE_RECORD));
        ck_assert_int_eq(number_of("SELECT user_version FROM pragma_user_version"), STORE_VERSION);
        struct store *store = open_store(STORE_READ);
        struct session_record *loaded = malloc(sizeof *loaded), *record = full_session(1);
        const struct sample *samples;
        size_t count;
        MUST(store_load(store, 1, loaded, &problem));
        without_practice(record, version);
        ck_assert_mem_eq(loaded->hold, record->hold, sizeof record->hold);
        ck_assert_int_eq(loaded->setup_count, 3);
        /* full_session gave this measure 60 when version 1 was written */
        ck_assert(loaded->setup[0].bike.value[BIKE_STEM_LENGTH] == 60.0);
        ck_assert_mem_eq(loaded->placing, record->placing, sizeof record->placing);
        ck_assert_mem_eq(loaded->rating, record->rating, sizeof record->rating);
        ck_assert(loaded->target[2].entered_mm[1] == 771.25);
        /* version 1 did not say how well an entered target is known */
        ck_assert(version == 1 ? isnan(loaded->target[2].entered_half_width_mm[1])
                               : loaded->target[2].entered_half_width_mm[1] == 6.5);
        ck_assert_int_eq(loaded->check_count, version < 3 ? 0 : 3);
        ck_assert_int_eq(loaded->settings.chosen_setup, version < 4 ? 0 : 2);
        ck_assert(version < 7 ? !(learnt_spread(&loaded->settings, 0).df > 0.0)
                              : learnt_spread(&loaded->settings, 0).df == 4.25);
        ck_assert_int_eq(bike_limits_entered(&loaded->limits), version < 5 ? 0 : 4);
        ck_assert(version < 5 || loaded->limits.most[BIKE_LIMIT_COLUMN] == 85.0);
        ck_assert_int_eq(bike_torques_entered(&loaded->torques), version < 9 ? 0 : 2);
        ck_assert(version < 9 || loaded->torques.nm[BOLT_STEM_CLAMP] == 5.5);
        ck_assert(version < 3 || loaded->check[1].asked_mm[0] == 25.0);
        MUST(store_samples(store, 1, 1, 900, &samples, &count, &problem));
        ck_assert_uint_eq(count, 100);
        struct sample sample;
        full_session_sample(77, 2, 50.0, &sample);
        ck_assert_mem_eq(samples[76].range_tenth_mm, sample.range_tenth_mm,
                         sizeof sample.range_tenth_mm);
        store_close(store);
        free(loaded);
        free(record);
    }
}
END_TEST

/* Version 4 kept the limits in the log only: those of each line that the session took, the later
 * in the place of the earlier. */
START_TEST(limits_are_found_in_an_earlier_log)
{
    char command[700];
    snprintf(command, sizeof command, "cp '%s' '%s'", source_path("tests/store/data/version-4.db"),
             path);
    ck_assert_int_eq(system(command), 0);
    run_sql("INSERT INTO command (session_id, ordinal, after_sample, text) VALUES"
            " (1, 901, 0, 'limits spacers=30 pad_rise=5..65'), (1, 902, 0, 'note \"limits x\"'),"
            " (1, 903, 0, 'limits column=20.. spacers=25')");
    store_close(open_store(STORE_RECORD));
    struct store *store = open_store(STORE_READ);
    struct session_record *loaded = malloc(sizeof *loaded);
    MUST(store_load(store, 1, loaded, &problem));
    ck_assert_int_eq(bike_limits_entered(&loaded->limits), 4);
    ck_assert(loaded->limits.most[BIKE_SPACERS] == 25.0);
    ck_assert(isnan(loaded->limits.least[BIKE_SPACERS]));
    ck_assert(loaded->limits.least[BIKE_PAD_RISE] == 5.0);
    ck_assert(loaded->limits.most[BIKE_PAD_RISE] == 65.0);
    ck_assert(loaded->limits.least[BIKE_LIMIT_COLUMN] == 20.0);
    store_close(store);
    free(loaded);
    ck_assert_int_eq(number_of("SELECT count(*) FROM part_limit WHERE unit = 'mm'"), 3);
}
END_TEST

static bool never(void *context, double share)
{
    (void)share;
    ++*(int *)context;
    return false;
}

static bool always(void *context, double share)
{
    (void)share;
    ++*(int *)context;
    return true;
}

START_TEST(bringing_up_is_told_and_can_be_stopped)
{
    char command[700], backup[400];
    int calls = 0;
    struct store_watch watch = {never, &calls};
    snprintf(command, sizeof command, "cp '%s' '%s'", source_path("tests/store/data/version-1.db"),
             path);
    ck_assert_int_eq(system(command), 0);
    ck_assert_ptr_null(store_open_watched(path, STORE_RECORD, &watch, &problem));
    ck_assert_msg(strstr(problem.sentence, "stopped") != NULL, "%s", problem.sentence);
    ck_assert_int_eq(calls, 1);
    find_backup(backup, sizeof backup); /* not the half of a copy either */
    ck_assert_str_eq(backup, "");
    ck_assert_int_eq(number_of("SELECT user_version FROM pragma_user_version"), 1);
    watch.progress = always;
    struct store *store = store_open_watched(path, STORE_RECORD, &watch, &problem);
    ck_assert_msg(store != NULL && calls > 1, "%s", problem.sentence);
    store_close(store);
    ck_assert_int_eq(number_of("SELECT user_version FROM pragma_user_version"), STORE_VERSION);
}
END_TEST

static Suite *migration_suite(void)
{
    Suite *suite = suite_create("migration");
    TCase *tests = tcase_create("migration");
    tcase_add_checked_fixture(tests, make_folder, remove_folder);
    tcase_add_test(tests, steps_are_taken_in_order_after_a_copy);
    tcase_add_test(tests, a_step_that_fails_leaves_the_store_as_it_was);
    tcase_add_test(tests, a_step_that_leaves_rows_pointing_nowhere_is_undone);
    tcase_add_test(tests, stores_of_every_version_are_read);
    tcase_add_test(tests, limits_are_found_in_an_earlier_log);
    tcase_add_test(tests, bringing_up_is_told_and_can_be_stopped);
    suite_add_tcase(suite, tests);
    return suite;
}

int main(void)
{
    /* HOLDLINE_MAKE_STORE=FILE: writes the store that belongs into tests/store/data when a version
     * is new */
    const char *make = getenv("HOLDLINE_MAKE_STORE");
    if (make != NULL) {
        struct session_record *record = full_session(1);
        struct store *store = store_open(make, STORE_RECORD, &problem);
        if (store == NULL || !store_begin(store, &problem)) {
            return EXIT_FAILURE;
        }
        full_session_effects(record, 3, write_effect, store);
        write_samples(store, 1, 100);
        bool done = store_commit(store, &problem);
        store_close(store);
        free(record);
        return done ? EXIT_SUCCESS : EXIT_FAILURE;
    }
    return test_main(migration_suite());
}
