/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "fixture.h"

#include "store/care.h"

#include <signal.h>
#include <sys/wait.h>

/* Rows, samples and their checksums are read of one moment: nothing is called damaged because it
 * grew meanwhile. */

#define COMMITS 400

static void write_command(struct store *store, int ordinal, int64_t after)
{
    struct effect *effect = calloc(1, sizeof *effect);
    ck_assert_ptr_nonnull(effect);
    effect->kind = EFFECT_COMMAND;
    effect->index = ordinal - 1;
    effect->record.command = (struct command_record){.ordinal = ordinal, .after_sample = after};
    snprintf(effect->record.command.text, COMMAND_TEXT_SIZE, "note \"%d\"", ordinal);
    MUST(store_write_effect(store, effect, &problem));
    free(effect);
}

static void record_on(void)
{
    struct store *store = open_store(STORE_RECORD);
    MUST(store_go_on(store, 1, &problem));
    for (int i = 0; i < COMMITS; i++) {
        MUST(store_begin(store, &problem));
        write_samples(store, 901 + 7 * i, 900 + 7 * (i + 1));
        write_command(store, 4 + i, 900 + 7 * (i + 1));
        MUST(store_commit(store, &problem));
        usleep(1000);
    }
    store_close(store);
}

static void no_damage(void *context, const char *sentence)
{
    (void)context;
    ck_abort_msg("%s", sentence);
}

static bool count_command(void *context, const struct command_record *command,
                          struct problem *unused)
{
    (void)command;
    (void)unused;
    ++*(int *)context;
    return true;
}

START_TEST(what_grows_is_not_damaged)
{
    struct session_record *record = malloc(sizeof *record);
    int status = 0, reads = 0, commands = 0;
    int64_t most = 0;
    make_store(path, 1, 1);
    fflush(NULL);
    pid_t process = fork();
    ck_assert_int_ge(process, 0);
    if (process == 0) {
        record_on();
        _exit(0);
    }
    while (waitpid(process, &status, WNOHANG) == 0) {
        struct store *store = open_store(STORE_READ);
        const struct sample *samples = NULL;
        size_t count = 0;
        store_on_damage(store, no_damage, NULL);
        MUST(store_load(store, 1, record, &problem));
        commands = 0;
        MUST(store_commands(store, 1, count_command, &commands, &problem));
        MUST(store_samples(store, 1, 1, INT64_MAX, &samples, &count, &problem));
        ck_assert_int_ge((int64_t)count, most);
        most = (int64_t)count;
        store_close(store);
        reads++;
    }
    ck_assert_int_eq(status, 0);
    ck_assert_int_ge(reads, 3);
    ck_assert_int_gt(most, 900);
    printf("read %d times, up to %lld samples\n", reads, (long long)most);
    ck_assert_int_eq(number_of("SELECT count(*) FROM sample"), 900 + 7 * COMMITS);
    free(record);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("read while recorded");
    TCase *tests = tcase_create("read while recorded");
    tcase_set_timeout(tests, 120);
    tcase_add_checked_fixture(tests, make_folder, remove_folder);
    tcase_add_test(tests, what_grows_is_not_damaged);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
