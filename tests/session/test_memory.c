/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Which samples are still there: the last 75 s, and what was pinned, to the sample. */
#include "session/memory.h"
#include "support/test_main.h"

#include <stdlib.h>

#define PERIOD_US 20000
#define IN_A_BLOCK 512 /* of src/session/memory.c: what its borders are tried by */

static struct sample_memory *memory;
static int64_t number;

static void begin(void)
{
    memory = memory_create();
    ck_assert_ptr_nonnull(memory);
    number = 0;
}

static void add(int64_t count)
{
    for (int64_t i = 0; i < count; i++) {
        number++;
        struct sample sample = {.number = number, .time_us = number * PERIOD_US};
        ck_assert(memory_add(memory, &sample));
    }
}

static bool is_there(int64_t first, int64_t last)
{
    const struct sample *samples;
    size_t count;
    bool whole = memory_samples(memory, first, last, &samples, &count);
    if (whole) {
        ck_assert_uint_eq(count, (size_t)(last - first + 1));
        for (size_t i = 0; i < count; i++) {
            ck_assert_int_eq(samples[i].number, first + (int64_t)i);
        }
    }
    return whole;
}

static bool reader_has(int64_t first, int64_t last)
{
    const struct sample *samples;
    size_t count;
    struct memory_reader *reader = memory_reader_create(memory);
    ck_assert_ptr_nonnull(reader);
    bool whole = memory_reader_samples(reader, first, last, &samples, &count);
    memory_reader_destroy(reader);
    return whole;
}

/* Long enough for all that nobody pinned to be gone. */
static void let_it_go(void)
{
    add((int64_t)(SAMPLE_MEMORY_S * 1e6 / PERIOD_US) + 3 * (int64_t)IN_A_BLOCK);
}

START_TEST(the_last_seconds_are_there_and_older_ones_go)
{
    const int64_t kept = (int64_t)(SAMPLE_MEMORY_S * 1e6 / PERIOD_US);
    begin();
    ck_assert(!is_there(1, 1));
    add(3);
    ck_assert(is_there(1, 3) && is_there(2, 2));
    ck_assert(!is_there(0, 3) && !is_there(1, 4) && !is_there(3, 2));
    for (int i = 0; i < 40; i++) {
        add(400);
        int64_t oldest = number - kept > 1 ? number - kept : 1;
        ck_assert_msg(is_there(oldest, number), "at %ld", (long)number);
    }
    ck_assert(!is_there(number - kept - 2 * (int64_t)IN_A_BLOCK, number));
    memory_destroy(memory);
}
END_TEST

/* From the last of a block, to the first of one: all of it, and no more than the blocks it is in.
 */
START_TEST(what_is_pinned_stays_to_the_sample)
{
    static const struct {
        int64_t first, last;
    } cases[] = {{IN_A_BLOCK, IN_A_BLOCK},
                 {IN_A_BLOCK, 2 * IN_A_BLOCK},
                 {IN_A_BLOCK, 2 * IN_A_BLOCK + 1},
                 {IN_A_BLOCK + 1, 3 * IN_A_BLOCK},
                 {1, 1},
                 {700, 701}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        begin();
        add(cases[i].first - 1);
        memory_pin_begin(memory, cases[i].first);
        let_it_go(); /* while it lasts nothing of it goes */
        ck_assert(is_there(cases[i].first, number));
        memory_pin_end(memory, cases[i].last);
        let_it_go();
        ck_assert(is_there(cases[i].first, cases[i].last));
        ck_assert(reader_has(cases[i].first, cases[i].last));
        int64_t block_first = (cases[i].first - 1) / IN_A_BLOCK * IN_A_BLOCK + 1;
        int64_t block_last = ((cases[i].last - 1) / IN_A_BLOCK + 1) * IN_A_BLOCK;
        ck_assert(is_there(block_first, block_last));
        ck_assert(!is_there(block_first - 1, block_first));
        ck_assert(!is_there(block_last, block_last + 1));
        ck_assert(!reader_has(number, number));
        memory_destroy(memory);
    }
}
END_TEST

START_TEST(an_end_without_a_beginning_pins_nothing)
{
    begin();
    add(100);
    memory_pin_begin(memory, 50);
    memory_pin_end(memory, 50);
    add(2 * (int64_t)IN_A_BLOCK);
    memory_pin_end(memory, number);
    let_it_go();
    ck_assert(is_there(50, 50));
    ck_assert(!is_there(IN_A_BLOCK + 1, IN_A_BLOCK + 2));
    memory_destroy(memory);
}
END_TEST

START_TEST(the_first_since_a_time)
{
    begin();
    ck_assert_int_eq(memory_first_since(memory, 0), 0);
    add(2 * IN_A_BLOCK + 10);
    ck_assert_int_eq(memory_first_since(memory, 0), 1);
    for (int64_t n = IN_A_BLOCK - 1; n <= IN_A_BLOCK + 2; n++) {
        ck_assert_int_eq(memory_first_since(memory, n * PERIOD_US), n);
        ck_assert_int_eq(memory_first_since(memory, n * PERIOD_US - 1), n);
        ck_assert_int_eq(memory_first_since(memory, n * PERIOD_US + 1), n + 1);
    }
    ck_assert_int_eq(memory_first_since(memory, number * PERIOD_US), number);
    ck_assert_int_eq(memory_first_since(memory, number * PERIOD_US + 1), 0);
    memory_destroy(memory);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("memory");
    TCase *tests = tcase_create("memory");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, the_last_seconds_are_there_and_older_ones_go);
    tcase_add_test(tests, what_is_pinned_stays_to_the_sample);
    tcase_add_test(tests, an_end_without_a_beginning_pins_nothing);
    tcase_add_test(tests, the_first_since_a_time);
    return test_main(suite);
}
