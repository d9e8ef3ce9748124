/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* libFuzzer's way in (make fuzz): the target that FUZZ_TARGET names. */
#include "support/fuzz_targets.h"

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
    target = fuzz_target_find(name == NULL ? "" : name);
    if (target == NULL) {
        fprintf(stderr, "FUZZ_TARGET must be one of:");
        for (size_t i = 0; i < fuzz_target_count; i++) {
            fprintf(stderr, " %s", fuzz_targets[i].name);
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
