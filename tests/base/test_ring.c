/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/ring.h"
#include "support/test_main.h"

#include <pthread.h>
#include <sched.h>

START_TEST(elements_come_out_in_order_and_a_full_ring_refuses)
{
    struct ring *ring = ring_create(5, sizeof(int)); /* rounded up to 8 */
    ck_assert_ptr_nonnull(ring);
    ck_assert_uint_eq(ring_space(ring), 8);
    int next_in = 0;
    int next_out = 0;
    for (int round = 0; round < 100; round++) {
        while (ring_push(ring, &next_in)) {
            next_in++;
        }
        ck_assert_uint_eq(ring_waiting(ring), 8);
        ck_assert_uint_eq(ring_space(ring), 0);
        ck_assert_uint_eq(ring_refused(ring), (uint64_t)round + 1);
        int taken[5];
        size_t most = (size_t)(round % 5) + 1;
        size_t count = ring_pop(ring, taken, most);
        ck_assert_uint_eq(count, most);
        for (size_t i = 0; i < count; i++) {
            ck_assert_int_eq(taken[i], next_out++);
        }
    }
    int rest[20];
    ck_assert_uint_eq(ring_pop(ring, rest, 20), (size_t)(next_in - next_out));
    ck_assert_uint_eq(ring_pop(ring, rest, 20), 0);
    ring_destroy(ring);
}
END_TEST

START_TEST(what_cannot_be_is_refused)
{
    ck_assert_ptr_null(ring_create(SIZE_MAX, 8));
    ck_assert_ptr_null(ring_create(SIZE_MAX / 8, 1024));
    ck_assert_ptr_null(ring_create(8, 0));
    ring_destroy(NULL);
}
END_TEST

#define PASSED 200000
struct pair {
    uint64_t number, its_square;
};

static void *write_all(void *context)
{
    struct ring *ring = context;
    for (uint64_t i = 0; i < PASSED; i++) {
        struct pair pair = {i, i * i};
        while (!ring_push(ring, &pair)) {
            sched_yield();
        }
    }
    return NULL;
}

START_TEST(two_threads_lose_nothing)
{
    struct ring *ring = ring_create(64, sizeof(struct pair));
    pthread_t writer;
    ck_assert_int_eq(pthread_create(&writer, NULL, write_all, ring), 0);
    struct pair taken[7];
    for (uint64_t next = 0; next < PASSED;) {
        size_t count = ring_pop(ring, taken, 7);
        if (count == 0) {
            sched_yield();
        }
        for (size_t i = 0; i < count; i++, next++) {
            ck_assert_uint_eq(taken[i].number, next);
            ck_assert_uint_eq(taken[i].its_square, next * next);
        }
        ck_assert_uint_le(ring_waiting(ring), 64);
    }
    pthread_join(writer, NULL);
    ck_assert_uint_eq(ring_waiting(ring), 0);
    ring_destroy(ring);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ring");
    TCase *one = tcase_create("ring");
    tcase_set_timeout(one, 60);
    tcase_add_test(one, elements_come_out_in_order_and_a_full_ring_refuses);
    tcase_add_test(one, what_cannot_be_is_refused);
    tcase_add_test(one, two_threads_lose_nothing);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
