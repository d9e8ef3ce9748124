/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* libFuzzer's way in (make fuzz): the target that FUZZ_TARGET names. Half of the changes are of
 * lines: of those in the folders that are named, and of a session's acts. */
#include "session/acts_tried.h"
#include "support/fuzz_doors.h"
#include "support/fuzz_lines.h"

#include "base/text.h"

#include <stdio.h>
#include <stdlib.h>

static const struct fuzz_target *target;

int LLVMFuzzerInitialize(int *argument_count, char ***arguments);
int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);
size_t LLVMFuzzerMutate(uint8_t *bytes, size_t length, size_t most);
size_t LLVMFuzzerCustomMutator(uint8_t *bytes, size_t length, size_t most, unsigned seed);

static void know_acts(void)
{
    for (int i = 0; i < TRIES; i++) {
        for (size_t b = 0; b < sizeof tries[i].before / sizeof tries[i].before[0]; b++) {
            if (tries[i].before[b] != NULL) {
                fuzz_lines_know(tries[i].before[b]);
            }
        }
        fuzz_lines_know(tries[i].line);
    }
    static const char *const more[] = {"undo",      "redo",      "~ 30",      "~ 300",
                                       "~ 1200",    "~ 100 40",  "~ 200 -15", "~ 100 gone",
                                       "~ 100 gap", "~ 100 lost"};
    for (size_t i = 0; i < sizeof more / sizeof more[0]; i++) {
        fuzz_lines_know(more[i]);
    }
}

int LLVMFuzzerInitialize(int *argument_count, char ***arguments)
{
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
    for (int i = 1; i < *argument_count; i++) {
        if ((*arguments)[i][0] != '-') {
            fuzz_lines_know_folder((*arguments)[i]);
        }
    }
    if (text_equal(name, "session")) {
        know_acts();
    }
    return 0;
}

size_t LLVMFuzzerCustomMutator(uint8_t *bytes, size_t length, size_t most, unsigned seed)
{
    return seed % 2 == 0 ? LLVMFuzzerMutate(bytes, length, most)
                         : fuzz_lines_change(bytes, length, most, seed);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    target->run(bytes, length);
    return 0;
}
