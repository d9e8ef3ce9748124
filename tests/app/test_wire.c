/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings through a real pseudo-terminal: none lost, all stored, at a rate no fitter needs. */

#include "base/text.h"
#include "store/store.h"
#include "support/cable.h"
#include "support/program.h"
#include "support/test_main.h"

#include <fcntl.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <termios.h>
#include <unistd.h>

#define SAMPLES 60000 /* 60 s at 1000 a second */

static unsigned checksum(const char *text)
{
    unsigned sum = 0;
    while (*text != '\0') {
        sum ^= (unsigned char)*text++;
    }
    return sum;
}

/* The ranges of sample i, in tenths of a millimetre. */
static int head_of(int i)
{
    return 2600 + i % 997;
}
static int chest_of(int i)
{
    return 1600 + i * 3 % 991;
}

static void *play_rig(void *argument)
{
    int master = *(int *)argument;
    char body[128], line[160];
    const char *heading = "# holdline-rig 1 id=bench-w rate=1000 unit=mm channels=head,chest\n";
    bool good = cable_write_all(master, heading, strlen(heading));
    for (int i = 0; good && i < SAMPLES + 1; i++) {
        snprintf(body, sizeof body, "%d,%d,%d.%d,%d.%d", i, i * 1000, head_of(i) / 10,
                 head_of(i) % 10, chest_of(i) / 10, chest_of(i) % 10);
        int length = snprintf(line, sizeof line, "$%s*%02X\n", body, checksum(body));
        good = cable_write_all(master, line, (size_t)length);
    }
    return NULL;
}

START_TEST(a_minute_at_1000_a_second_is_all_stored)
{
    int master = posix_openpt(O_RDWR | O_NOCTTY | O_CLOEXEC);
    struct termios settings;
    char rig[128], path[512];
    pthread_t thread;
    if (master < 0) {
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    ck_assert_int_eq(grantpt(master), 0);
    ck_assert_int_eq(unlockpt(master), 0);
    snprintf(rig, sizeof rig, "tty:%s", ptsname(master));
    int slave = open(ptsname(master), O_RDWR | O_NOCTTY | O_CLOEXEC);
    ck_assert_int_ge(slave,
                     0); /* held open: the line is never hung up before the program is there */
    ck_assert_int_eq(tcgetattr(slave, &settings), 0);
    cfmakeraw(&settings);
    tcsetattr(slave, TCSANOW, &settings);

    const char *folder = program_folder();
    program_write_file(folder, "session.txt",
                       "session 2026-01-10T18:00:00Z seed=1\nwait 59.999s\nend\n");
    ck_assert_int_eq(pthread_create(&thread, NULL, play_rig, &master), 0);
    struct program_result result = program_run(
        folder, NULL, (const char *const[]){"run", "session.txt", rig, "--store", "s.db", NULL});
    ck_assert_msg(result.status == 0, "%s", result.errors);
    ck_assert_msg(strstr(result.errors, "60000 samples, 0 lost, 0 lines rejected") != NULL, "%s",
                  result.errors);
    program_free(&result);
    close(slave);
    pthread_join(thread, NULL);
    close(master);

    struct problem problem = {0};
    const struct sample *samples = NULL;
    size_t count = 0;
    int64_t id = 0;
    snprintf(path, sizeof path, "%s/s.db", folder);
    struct store *store = store_open(path, STORE_READ, &problem);
    ck_assert_msg(store != NULL, "%s", problem.sentence);
    ck_assert_msg(store_find_session(store, "last", &id, &problem), "%s", problem.sentence);
    ck_assert_msg(store_samples(store, id, 1, SAMPLES, &samples, &count, &problem), "%s",
                  problem.sentence);
    ck_assert_uint_eq(count, SAMPLES);
    for (int i = 0; i < SAMPLES; i++) {
        ck_assert_int_eq(samples[i].number, i + 1);
        ck_assert_int_eq(samples[i].time_us, i * 1000);
        ck_assert_int_eq(samples[i].range_tenth_mm[0], head_of(i));
        ck_assert_int_eq(samples[i].range_tenth_mm[1], chest_of(i));
        ck_assert_int_eq(samples[i].quality[0], READING_GOOD);
    }
    store_close(store);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("wire to store");
    TCase *tests = tcase_create("wire");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, a_minute_at_1000_a_second_is_all_stored);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
