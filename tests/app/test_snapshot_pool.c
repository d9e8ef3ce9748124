/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/snapshot_pool.h"
#include "support/test_main.h"

START_TEST(the_last_to_let_go_gives_it_back)
{
    struct snapshot_pool *pool = snapshot_pool_create();
    ck_assert_ptr_nonnull(pool);
    struct snapshot *taken[SNAPSHOTS];
    for (int i = 0; i < SNAPSHOTS; i++) {
        taken[i] = snapshot_pool_take(pool);
        ck_assert_ptr_nonnull(taken[i]);
        for (int j = 0; j < i; j++) {
            ck_assert(taken[i] != taken[j]);
        }
    }
    ck_assert_ptr_null(snapshot_pool_take(pool)); /* nobody waits */
    ck_assert(snapshot_pool_hold(pool, taken[2]) == taken[2]);
    snapshot_pool_release(pool, taken[2]);
    ck_assert_ptr_null(snapshot_pool_take(pool)); /* one still holds it */
    snapshot_pool_release(pool, taken[2]);
    ck_assert(snapshot_pool_take(pool) == taken[2]);
    snapshot_pool_destroy(pool);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("snapshot pool");
    TCase *tests = tcase_create("snapshot pool");
    tcase_add_test(tests, the_last_to_let_go_gives_it_back);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
