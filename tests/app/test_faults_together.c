/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/cable.h"
#include "support/fault_sequence.h"
#include "support/program.h"
#include "support/sanitized.h"
#include "support/test_main.h"
#include "support/test_seed.h"

#include <stdio.h>

/* A sample of 'make fault-together': live sessions in which clock, disk, memory, link and terminal
 * fail together. */

#define SEQUENCES 16

START_TEST(whatever_fails_together_what_was_promised_is_there)
{
#ifdef SANITIZED
    printf("skipped: the sanitizers have their own memory, of which no call fails\n");
#else
    struct cable cable;
    struct fault_sequence_counts counts;
    char sessions[4096];
    snprintf(sessions, sizeof sessions, "%s", source_path("sessions"));
    if (!cable_plug(&cable)) { /* told */
        return;
    }
    cable_pull(&cable);
    const struct fault_sequences_wanted wanted = {.program = program_path(),
                                                  .shim = BUILD_DIR "/preload/faults.so",
                                                  .sessions = sessions,
                                                  .seed = test_seed(1),
                                                  .count = SEQUENCES,
                                                  .jobs = 8};
    bool held = fault_sequences_run(&wanted, &counts);
    fault_sequences_print(&counts);
    ck_assert_msg(held, "see above");
    ck_assert_int_gt(counts.failed_disk + counts.failed_memory, 0); /* the faults came */
    ck_assert_int_gt(counts.commands, 0);
    ck_assert_int_gt(counts.lines, 100 * SEQUENCES);
#endif
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("faults together");
    TCase *tests = tcase_create("faults together");
    tcase_set_timeout(tests, 240);
    tcase_add_test(tests, whatever_fails_together_what_was_promised_is_there);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
