/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* How holds repeated in a store's earlier sessions, read for a new one. */
#include "store/store.h"
#include "support/program.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void run(const char *folder, const char *rider, int seed, bool learn)
{
    char script[1024], rig[64];
    snprintf(script, sizeof script,
             "session 2026-01-%02dT18:00:00Z seed=%d\nrider %s\nsetup 1\n%shold 30s free\n"
             "hold 30s free\nhold 30s free\nend\n",
             seed, seed, rider, learn ? "learn\n" : "");
    snprintf(rig, sizeof rig, "virtual:steady?speed=max&seed=%d", seed);
    program_write_file(folder, "script.txt", script);
    struct program_result result = program_run(
        folder, NULL, (const char *const[]){"run", "script.txt", rig, "--store", "s.db", NULL});
    ck_assert_msg(result.status == 0, "exit status %d: %s", result.status, result.errors);
    program_free(&result);
}

static struct learnt_repeatability learnt_of(const char *folder, int64_t id)
{
    char path[400];
    struct problem problem = {0};
    static struct session_record record;
    snprintf(path, sizeof path, "%s/s.db", folder);
    struct store *store = store_open(path, STORE_READ, &problem);
    ck_assert_msg(store != NULL && store_load(store, id, &record, &problem), "%s",
                  problem.sentence);
    store_close(store);
    return record.settings.learnt[0];
}

/* Three holds of one setup: 2 degrees of freedom a session. Two of the rider's: 1/(1/4 + 1.5/9) =
 * 2.4; of the others nothing before ten, then no more than 4. */
START_TEST(the_riders_sessions_and_the_others)
{
    const char *folder = program_folder();
    int seed = 1;
    run(folder, "R-02", seed++, true);
    ck_assert(isnan(learnt_of(folder, 1).rider_df)); /* nothing before */
    run(folder, "R-02", seed++, false);
    run(folder, "R-02", seed++, true);
    struct learnt_repeatability learnt = learnt_of(folder, 3);
    ck_assert_int_eq(learnt.rider_sessions, 2);
    ck_assert_double_eq_tol(learnt.rider_df, 2.4, 1e-3);
    ck_assert(learnt.rider_sd_mm > 0.0 && isnan(learnt.store_df));
    for (int i = 0; i < 6; i++) {
        run(folder, i % 2 ? "R-03" : "R-04", seed++, false);
    }
    run(folder, "R-05", seed++, true); /* nine of others */
    learnt = learnt_of(folder, seed - 1);
    ck_assert(isnan(learnt.store_df) && isnan(learnt.rider_df));
    run(folder, "R-06", seed++, true); /* ten */
    learnt = learnt_of(folder, seed - 1);
    ck_assert_int_eq(learnt.store_sessions, 10);
    ck_assert(learnt.store_df > 0.0 && learnt.store_df <= 4.0 && isnan(learnt.rider_df));
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("learn");
    TCase *tests = tcase_create("learn");
    tcase_set_timeout(tests, 60);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, the_riders_sessions_and_the_others);
    return test_main(suite);
}
