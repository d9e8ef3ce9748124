/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Soak: a cable that is pulled and put back again and again, at any byte of a line. */

#include "base/clock.h"
#include "rig/link.h"
#include "rig/reader.h"
#include "support/cable.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define LINES_A_PLUG 12

struct heard {
    int64_t count;
    int64_t last_number, last_line;
    int64_t lost, gaps;
    int64_t wrong; /* out of order, twice, or with a range that is not that line's */
};

/* Line n's head range tells n, so that a sample can be known again. */
static int range_tenth_mm(int64_t line)
{
    return 1000 + (int)(line % 30000);
}

static void on_sample(void *context, const struct sample *sample)
{
    struct heard *heard = context;
    heard->count++;
    heard->wrong += sample->number != heard->last_number + 1;
    heard->last_number = sample->number;
    heard->last_line += 1 + (int64_t)sample->lost_before;
    heard->wrong += sample->range_tenth_mm[0] != range_tenth_mm(heard->last_line);
    heard->lost += sample->lost_before;
    heard->gaps += sample->link_gap_before;
}

static size_t print_line(char *line, size_t size, int64_t number)
{
    char body[80];
    unsigned sum = 0;
    int range = range_tenth_mm(number);
    snprintf(body, sizeof body, "%lld,%lld,%d.%d,", (long long)number,
             1000000 + (long long)number * 1000, range / 10, range % 10);
    for (const char *at = body; *at != '\0'; at++) {
        sum ^= (unsigned char)*at;
    }
    return (size_t)snprintf(line, size, "$%s*%02X\n", body, sum);
}

/* Reads until so many samples have been heard. */
static bool hear(struct reader *reader, struct heard *heard, int64_t wanted)
{
    int64_t until_us = clock_monotonic_us() + 3000000;
    while (heard->count < wanted && clock_monotonic_us() < until_us) {
        reader_step(reader, 50, on_sample, heard, NULL);
    }
    return heard->count == wanted;
}

static bool wait_for(struct reader *reader, struct heard *heard, enum link_result wanted)
{
    int64_t until_us = clock_monotonic_us() + 1000000; /* a second, as promised */
    while (clock_monotonic_us() < until_us) {
        if (reader_step(reader, 50, on_sample, heard, NULL) == wanted) {
            return true;
        }
    }
    return false;
}

START_TEST(no_sample_twice_over_many_pulls)
{
    const char *asked = getenv("HOLDLINE_PULLS");
    int pulls = asked != NULL ? atoi(asked) : 200;
    char folder[] = "/tmp/holdline-pulls-XXXXXX";
    char name[64];
    char line[128];
    struct cable cable;
    struct problem problem = {PROBLEM_NONE, ""};
    struct heard heard = {.count = 0};
    if (!cable_plug(&cable)) {
        return;
    }
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(name, sizeof name, "%s/rig", folder);
    ck_assert(cable_link(&cable, name));
    const struct decoder_options options = {.dialect = "bench"};
    struct link *link = link_kind_tty.open(name, "", &problem);
    ck_assert_msg(link != NULL, "%s", problem.sentence);
    struct reader *reader = reader_create(link, &options, 1, &problem);
    ck_assert_msg(reader != NULL, "%s", problem.sentence);
    const char *heading = "# holdline-rig 1 id=pulled rate=1000 unit=mm channels=head,chest\n";
    int before = descriptors_open();
    int64_t number = 0;
    int64_t sent = 0; /* whole lines that must arrive */
    for (int pull = 0; pull < pulls; pull++) {
        if (pull % 7 == 0) {
            ck_assert(cable_write(&cable, heading, strlen(heading)));
        }
        for (int i = 0; i < LINES_A_PLUG; i++) {
            size_t length = print_line(line, sizeof line, ++number);
            ck_assert(cable_write(&cable, line, length));
            sent++;
        }
        /* The last line is cut, each time at another byte; its end comes by the next cable. */
        size_t length = print_line(line, sizeof line, ++number);
        size_t cut = (size_t)pull % length;
        ck_assert(cable_write(&cable, line, cut));
        sent += cut == 0; /* a whole line of the next cable's */
        int64_t here = sent - (cut == 0);
        ck_assert_msg(hear(reader, &heard, here), "pull %d: %lld of %lld samples", pull,
                      (long long)heard.count, (long long)here);
        cable_pull(&cable);
        ck_assert_msg(wait_for(reader, &heard, LINK_DOWN), "pull %d was not noticed", pull);
        number += pull % 5; /* the rig goes on while nobody hears it */
        ck_assert(cable_plug(&cable));
        ck_assert(cable_link(&cable, name));
        ck_assert_msg(wait_for(reader, &heard, LINK_UP), "pull %d was not taken up again", pull);
        ck_assert(cable_write(&cable, line + cut, length - cut));
        ck_assert_int_eq(descriptors_open(), before);
    }
    for (int i = 0; i < 3; i++) {
        ck_assert(cable_write(&cable, line, print_line(line, sizeof line, ++number)));
    }
    ck_assert(hear(reader, &heard, sent + 3));
    ck_assert_int_eq(heard.wrong, 0);
    ck_assert_int_eq(heard.gaps, pulls);
    /* All that was not heard is counted as lost, no more and no less. */
    ck_assert_int_eq(heard.lost, number - heard.count);
    ck_assert_uint_eq(reader_counts(reader)->lost, (uint64_t)heard.lost);
    ck_assert_uint_eq(reader_health(reader)->times_down, (uint64_t)pulls);
    reader_destroy(reader);
    cable_pull(&cable);
    unlink(name);
    rmdir(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("pulls");
    TCase *tests = tcase_create("pulls");
    tcase_set_timeout(tests, 600);
    tcase_add_test(tests, no_sample_twice_over_many_pulls);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
