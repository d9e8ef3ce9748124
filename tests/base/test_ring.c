/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/ring.h"
#include "support/sanitized.h"
#include "support/test_main.h"

#include <dlfcn.h>
#include <pthread.h>
#include <sched.h>
#include <stdio.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/syscall.h>
#include <unistd.h>

/* As on a machine with larger pages: what is given back begins at one, and ends with one that is
 * given back whole. */
static long larger_page; /* 0: this machine's own */
static size_t given_back;

#ifndef SANITIZED_THREADS
long sysconf(int name)
{
    long (*own)(int);
    *(void **)&own = dlsym(RTLD_NEXT, "sysconf");
    return name == _SC_PAGESIZE && larger_page > 0 ? larger_page : own(name);
}

int madvise(void *address, size_t length, int advice)
{
    size_t page = (size_t)sysconf(_SC_PAGESIZE);
    if ((uintptr_t)address % page != 0) {
        return -1;
    }
    given_back += length;
    return (int)syscall(SYS_madvise, address, (length + page - 1) / page * page, advice);
}
#endif

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

#define PASSED 20000 /* on a loaded machine each SMALL of them wait for a turn */
#define SMALL 64
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
    struct ring *ring = ring_create(SMALL, sizeof(struct pair));
    pthread_t writer;
    ck_assert_int_eq(pthread_create(&writer, NULL, write_all, ring), 0);
    struct pair taken[7];
    uint64_t wrong = 0; /* Check takes some microseconds at every assertion */
    for (uint64_t next = 0; next < PASSED;) {
        size_t count = ring_pop(ring, taken, 7);
        if (count == 0) {
            sched_yield();
        }
        for (size_t i = 0; i < count; i++, next++) {
            wrong += taken[i].number != next || taken[i].its_square != next * next;
        }
        wrong += ring_waiting(ring) > SMALL;
    }
    ck_assert_uint_eq(wrong, 0);
    pthread_join(writer, NULL);
    ck_assert_uint_eq(ring_waiting(ring), 0);
    ring_destroy(ring);
}
END_TEST

#define LARGE 65536
struct wide {
    uint64_t word[10]; /* 80 bytes: lies across pages */
};

static void *write_wide(void *context)
{
    for (uint64_t i = 0; i < 5 * LARGE; i++) {
        struct wide wide = {{i, i + 1, i + 2, i + 3, i + 4, i + 5, i + 6, i + 7, i + 8, i + 9}};
        while (!ring_push(context, &wide)) {
            sched_yield();
        }
    }
    return NULL;
}

/* Pages are given back under the reader's hands: never what the writer has written. */
START_TEST(a_large_ring_loses_nothing)
{
    static const long pages[] = {0, 16384, 65536};
    larger_page = pages[_i];
    struct ring *ring = ring_create(LARGE, sizeof(struct wide));
    pthread_t writer;
    ck_assert_int_eq(pthread_create(&writer, NULL, write_wide, ring), 0);
    static struct wide taken[3000];
    size_t most = 1;
    uint64_t wrong = 0;
    for (uint64_t next = 0; next < 5 * LARGE;) {
        size_t count = ring_pop(ring, taken, most);
        most = most * 7 % 2999 + 1;
        if (count == 0) {
            sched_yield();
        }
        for (size_t i = 0; i < count; i++, next++) {
            for (int w = 0; w < 10; w++) {
                wrong += taken[i].word[w] != next + (uint64_t)w;
            }
        }
    }
    pthread_join(writer, NULL);
    ck_assert_uint_eq(wrong, 0);
#ifndef SANITIZED_THREADS
    ck_assert_uint_gt(given_back, 4 * LARGE * sizeof(struct wide));
#endif
    ring_destroy(ring);
}
END_TEST

START_TEST(a_large_ring_can_be_filled)
{
    struct ring *ring = ring_create(LARGE, sizeof(struct wide));
    struct wide wide = {{0}};
    size_t count = 0;
    for (int round = 0; round < 3; round++) { /* at whichever place of it */
        while (ring_push(ring, &wide)) {
            count++;
        }
        ck_assert_uint_eq(ring_space(ring), 0);
        ck_assert(!ring_push(ring, &wide));
        ck_assert_uint_ge(ring_waiting(ring), LARGE - 17 * 4096 / 80 - 1);
        size_t lacking = 0;
        for (; count > 100; count--) {
            lacking += 1 - ring_pop(ring, &wide, 1);
        }
        ck_assert_uint_eq(lacking, 0);
    }
    ring_destroy(ring);
}
END_TEST

#ifndef SANITIZED
static long resident_pages(void)
{
    long all = 0, resident = 0;
    FILE *stream = fopen("/proc/self/statm", "r");
    ck_assert_ptr_nonnull(stream);
    ck_assert_int_eq(fscanf(stream, "%ld %ld", &all, &resident), 2);
    fclose(stream);
    return resident;
}
#endif

/* 5 MiB pass through it, one at a time. */
/* Elements of a few bytes more than two pages, 256 of them: they do not end with a page, so that
 * none of it is given back, and all of it stays, lap after lap. */
START_TEST(elements_that_fill_no_whole_pages_are_kept)
{
    enum { SIZE = 8207, COUNT = 256 };
    static unsigned char element[SIZE], taken[SIZE];
    struct ring *ring = ring_create(COUNT, SIZE);
    int next_in = 0, wrong = 0;
    ck_assert_ptr_nonnull(ring);
    given_back = 0;
    for (int next_out = 0; next_out < 4 * COUNT; next_out++) {
        memset(element, next_in % 251 + 1, SIZE);
        while (ring_push(ring, element)) {
            memset(element, ++next_in % 251 + 1, SIZE);
        }
        ck_assert_uint_eq(ring_pop(ring, taken, 1), 1);
        memset(element, next_out % 251 + 1, SIZE);
        wrong += memcmp(taken, element, SIZE) != 0;
    }
    ck_assert_int_eq(wrong, 0);
    ck_assert_uint_eq(given_back, 0);
    ring_destroy(ring);
}
END_TEST

START_TEST(what_does_not_wait_takes_no_memory)
{
#ifdef SANITIZED
    printf("skipped: the sanitizers' memory of the memory cannot be told from a ring's\n");
#else
    struct ring *ring = ring_create(LARGE, sizeof(struct wide));
    struct wide wide = {{0}};
    long before = resident_pages();
    size_t passed = 0;
    for (size_t i = 0; i < 3 * LARGE; i++) {
        passed += ring_push(ring, &wide) && ring_pop(ring, &wide, 1) == 1;
    }
    ck_assert_uint_eq(passed, 3 * LARGE);
    ck_assert_int_lt(resident_pages() - before, 128); /* half a MiB */
    ring_destroy(ring);
#endif
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ring");
    TCase *one = tcase_create("ring");
    tcase_set_timeout(one, 60);
    tcase_add_test(one, elements_come_out_in_order_and_a_full_ring_refuses);
    tcase_add_test(one, what_cannot_be_is_refused);
    tcase_add_test(one, elements_that_fill_no_whole_pages_are_kept);
    tcase_add_test(one, two_threads_lose_nothing);
#ifdef SANITIZED_THREADS
    tcase_add_loop_test(one, a_large_ring_loses_nothing, 0, 1); /* this machine's own page */
#else
    tcase_add_loop_test(one, a_large_ring_loses_nothing, 0, 3);
#endif
    tcase_add_test(one, a_large_ring_can_be_filled);
    tcase_add_test(one, what_does_not_wait_takes_no_memory);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
