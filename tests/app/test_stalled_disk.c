/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A disk that does not answer, while a live session runs on the virtual rig: what is written or
 * read there waits, the gauge and the record don't. */
#include "preload/stalled_disk.c" /* first: it says how the C library's headers are to be read */

#include "app/commands.h"
#include "base/clock.h"
#include "support/number_in_store.h"
#include "support/program.h"
#include "support/terminal.h"
#include "support/test_main.h"

#include <dirent.h>
#include <locale.h>
#include <sys/stat.h>

#define WAIT_S 30.0
#define TRIES 10
#define LOOK_S 3.0
#define STALL_S 3.0 /* HOLDLINE_STALL_S sets it where somebody wants to see a long one */
#define STANDS_MOST_S                                                                              \
    1.0 /* between two pictures: a thirtieth, on a machine that does more than this */

static char folder[400], store[500], flag[500];
static struct terminal *session;

static void set_stalled(bool stalled)
{
    if (stalled) {
        program_write_file(folder, "stalled", "");
    } else {
        ck_assert_int_eq(unlink(flag), 0);
    }
}

/* As the program's main does it. */
static int run_live(void *context)
{
    static char *arguments[] = {
        "live", "virtual:steady?seed=7", "--new", "--tones", "off", "--store", store, NULL};
    (void)context;
    memcpy(stalled_disk_flag, flag, sizeof flag); /* for this process alone */
    setlocale(LC_ALL, "");
    exit(command_live.run(7, arguments)); /* and what exit does at last, with a job that hangs */
}

static void must_show(const char *words)
{
    if (!terminal_wait_text(session, words, WAIT_S)) {
        static char shown[65536];
        terminal_text(session, shown, sizeof shown);
        ck_abort_msg("'%s' did not come:\n%s", words, shown);
    }
}

static bool begin(bool stalled)
{
    const struct terminal_settings settings = {.rows = 24, .columns = 80};
    char slow[500];
    snprintf(folder, sizeof folder, "%s", program_folder());
    snprintf(store, sizeof store, "%s/s.db", folder);
    snprintf(slow, sizeof slow, "%s/slow", folder);
    snprintf(flag, sizeof flag, "%s/stalled", folder);
    ck_assert_int_eq(mkdir(slow, 0700), 0);
    ck_assert_int_eq(chdir(folder), 0);
    if (stalled) {
        set_stalled(true);
    }
    session = terminal_start_function(&settings, run_live, NULL);
    if (session == NULL) {
        printf("skipped: no pseudo-terminal here\n");
        return false;
    }
    must_show("HEAD");
    return true;
}

static void end(void)
{
    terminal_end(session);
    ck_assert_int_eq(chdir("/"), 0);
    program_folder_remove(folder);
}

static void leave(void)
{
    int status = -1;
    terminal_send(session, "q");
    must_show("y: end");
    terminal_send(session, "y");
    ck_assert(terminal_wait_end(session, &status, WAIT_S));
    static char shown[65536];
    terminal_text(session, shown, sizeof shown);
    ck_assert_msg(status == 0, "it ended with %d:\n%s", status, shown);
}

static void export_to(const char *name)
{
    terminal_send(session, "9");
    must_show("EXPORT");
    terminal_send(session, "\025");
    terminal_send(session, name);
    must_show(name);
    terminal_send(session, "\r");
    ck_assert(terminal_wait_gone(session, "EXPORT", WAIT_S));
}

/* The longest time between two pictures, while it is looked on so long. */
static double longest_pause_s(double seconds)
{
    int64_t begun_us = clock_monotonic_us(), last_us = begun_us, longest_us = 0, now_us = begun_us;
    while (now_us < begun_us + (int64_t)(seconds * 1e6)) {
        bool came = terminal_take(session, 0.01);
        now_us = clock_monotonic_us();
        longest_us = now_us - last_us > longest_us ? now_us - last_us : longest_us;
        last_us = came ? now_us : last_us;
    }
    return (double)longest_us / 1e6;
}

static double stall_s(void)
{
    const char *wanted = getenv("HOLDLINE_STALL_S");
    return wanted != NULL ? atof(wanted) : STALL_S;
}

static int files_in_slow(void)
{
    char slow[500];
    int count = 0;
    snprintf(slow, sizeof slow, "%s/slow", folder);
    DIR *directory = opendir(slow);
    ck_assert_ptr_nonnull(directory);
    for (struct dirent *entry = readdir(directory); entry != NULL; entry = readdir(directory)) {
        count += entry->d_name[0] != '.' ? 1 : 0;
    }
    closedir(directory);
    return count;
}

START_TEST(an_export_waits_alone)
{
    if (!begin(false)) {
        return;
    }
    must_show("all stored");
    set_stalled(true);
    export_to("slow/a.txt");
    must_show("writing a.txt ... ");
    must_show("Esc stops it");
    int64_t stored = number_in_store(store, "SELECT count(*) FROM sample");
    double pause_s = longest_pause_s(stall_s());
    printf("the gauge stood still for %.2f s at most while a disk did not answer for %.1f s\n",
           pause_s, stall_s());
    ck_assert_double_lt(pause_s, STANDS_MOST_S);
    int64_t stored_then = number_in_store(store, "SELECT count(*) FROM sample");
    ck_assert_int_gt(stored_then, stored + (int64_t)(stall_s() * 10.0)); /* of 50 a second */
    terminal_send(session, "f\r");                                       /* a hold can be begun */
    must_show("HOLD 1, free");
    must_show("writing a.txt ... ");
    set_stalled(false);
    must_show("written: /");
    ck_assert(terminal_wait_gone(session, "writing a.txt", WAIT_S));
    ck_assert_int_eq(files_in_slow(), 1);
    size_t length = 0;
    free(program_read_file(folder, "slow/a.txt", &length));
    ck_assert_uint_gt(length, 500);
    leave();
    end();
}
END_TEST

START_TEST(escape_leaves_no_half_file_and_the_next_one_is_written)
{
    if (!begin(false)) {
        return;
    }
    set_stalled(true);
    export_to("slow/a.html");
    must_show("writing a.html ... ");
    export_to("slow/b.csv");
    must_show(", 1 more to do");
    ck_assert_int_eq(files_in_slow(), 1); /* a.html.part0 */
    terminal_send(session, "\033");
    must_show("stopping: writing a.html");
    set_stalled(false);
    must_show("written: /");
    ck_assert_int_eq(files_in_slow(), 1);
    leave();
    end();
}
END_TEST

START_TEST(the_end_waits_until_it_is_let_go_of)
{
    int status = -1;
    if (!begin(false)) {
        return;
    }
    set_stalled(true);
    export_to("slow/a.txt");
    must_show("writing a.txt ... ");
    terminal_send(session, "q");
    must_show("y: end");
    terminal_send(session, "y");
    must_show("the session has ended; writing a.txt ... ");
    ck_assert(!terminal_wait_end(session, &status, 1.0));
    terminal_send(session, "\033");
    must_show("Esc leaves without it");
    terminal_send(session, "\033");
    ck_assert(terminal_wait_end(session, &status, WAIT_S));
    ck_assert_int_eq(status, 0);
    must_show("was let go of");
    ck_assert_int_gt(number_in_store(store, "SELECT count(*) FROM sample"), 10);
    end();
}
END_TEST

START_TEST(a_look_at_earlier_sessions_waits_alone)
{
    /* a look that comes while the store is only being made finds it locked, and waits for nothing:
     * then once more */
    bool waits = false;
    for (int i = 0; i < TRIES && !waits; i++) {
        if (!begin(true)) {
            return;
        }
        waits = terminal_wait_text(session, "looking for earlier sessions ... ", LOOK_S);
        if (!waits) {
            set_stalled(false);
            leave();
            end();
        }
    }
    ck_assert_msg(waits, "no look at earlier sessions waited in %d starts", TRIES);
    ck_assert_double_lt(longest_pause_s(stall_s()), STANDS_MOST_S);
    set_stalled(false);
    ck_assert(terminal_wait_gone(session, "looking for earlier sessions", WAIT_S));
    leave();
    end();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("a stalled disk");
    TCase *tests = tcase_create("live session");
    tcase_set_timeout(tests, 300);
    tcase_add_test(tests, an_export_waits_alone);
    tcase_add_test(tests, escape_leaves_no_half_file_and_the_next_one_is_written);
    tcase_add_test(tests, the_end_waits_until_it_is_let_go_of);
    tcase_add_test(tests, a_look_at_earlier_sessions_waits_alone);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
