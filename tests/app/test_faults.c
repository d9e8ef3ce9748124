/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/fault_machine.h"
#include "support/program.h"
#include "support/sanitized.h"
#include "support/test_main.h"
#include "support/test_seed.h"

#include "base/random.h"

#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* A sample of 'make fault': of each command, for each way to fail, one call at random. What must
 * hold is in tests/support/fault_machine.h. */

#ifndef SANITIZED
static const struct way {
    const char *kind, *as;
} ways[] = {{"disk", "once"},  {"disk", "good"},   {"disk", "full"},
            {"disk", "short"}, {"memory", "once"}, {"memory", "good"}};
#define WAYS ((int)(sizeof ways / sizeof ways[0]))

/* Half of the cases each way: the other half the next. */
static void try_cases(struct fault_machine *machine, int turn, struct random_source *random,
                      long count[FAULT_VERDICTS])
{
    const struct way *way = &ways[turn];
    for (int i = turn % 2; i < fault_case_count; i += 2) {
        const struct fault_case *one = &fault_cases[i];
        if (one->disk_only && strcmp(way->kind, "memory") == 0) {
            continue;
        }
        double calls = (double)fault_machine_calls(machine, one, way->kind);
        const struct fault fault = {way->kind, way->as, 1 + (long)(random_uniform(random) * calls)};
        char why[1500];
        enum fault_verdict verdict = fault_machine_try(machine, one, &fault, why, sizeof why);
        count[verdict]++;
        ck_assert_msg(!fault_is_bad(verdict), "%s: %s", fault_verdict_words[verdict], why);
    }
}

#endif

START_TEST(whatever_call_fails_nothing_is_silently_missing)
{
#ifdef SANITIZED
    printf("skipped: the sanitizers have their own memory, of which no call fails\n");
#else
    long count[FAULT_VERDICTS] = {0};
    struct random_source random;
    char sessions[4096];
    snprintf(sessions, sizeof sessions, "%s", source_path("sessions"));
    struct fault_machine *machine =
        fault_machine_create(program_path(), BUILD_DIR "/preload/faults.so", sessions);
    random_seed(&random, test_seed(14));
    for (int way = 0; way < WAYS; way++) {
        try_cases(machine, way, &random, count);
    }
    fault_machine_destroy(machine);
    ck_assert_int_gt(count[FAULT_TOLD], 30); /* the faults came */
    ck_assert_int_gt(count[FAULT_NO_MATTER], 10);
#endif
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("faults");
    TCase *tests = tcase_create("faults");
    tcase_set_timeout(tests, 240);
    tcase_add_test(tests, whatever_call_fails_nothing_is_silently_missing);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
