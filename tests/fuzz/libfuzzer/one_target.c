/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* libFuzzer's way in (make fuzz): the target that FUZZ_TARGET names. */
#include "support/fuzz_doors.h"

#include <stdio.h>
#include <stdlib.h>

static const struct fuzz_target *target;

int LLVMFuzzerInitialize(int *argument_count, char ***arguments);
int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

int LLVMFuzzerInitialize(int *argument_count, char ***arguments)
{
    (void)argument_count;
    (void)arguments;
    const char *name = getenv("FUZZ_TARGET");
    name = name == NULL ? "" : name;
    target = fuzz_target_find(name);
    target = target != NULL ? target : fuzz_door_find(name);
    if (target == NULL) {
        fprintf(stderr, "FUZZ_TARGET must be one of:");
        for (size_t i = 0; i < fuzz_target_count; i++) {
            fprintf(stderr, " %s", fuzz_targets[i].name);
        }
        for (size_t i = 0; i < fuzz_door_count; i++) {
            fprintf(stderr, " %s", fuzz_doors[i].name);
        }
        fprintf(stderr, "\n");
        exit(EXIT_FAILURE);
    }
    return 0;
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    target->run(bytes, length);
    return 0;
}
