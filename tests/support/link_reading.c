/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/link_reading.h"

#include "base/clock.h"
#include "support/program.h"

#include <check.h>
#include <stdio.h>

struct link *open_link(const struct link_kind *kind, const char *target, const char *parameters)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct link *link = kind->open(target, parameters, &problem);
    ck_assert_msg(link != NULL, "%s", problem.sentence);
    return link;
}

struct chunk read_chunk(struct link *link, int timeout_ms)
{
    struct chunk chunk = {.length = 0};
    struct problem problem = {PROBLEM_NONE, ""};
    chunk.result = link_read(link, chunk.bytes, sizeof chunk.bytes - 1, &chunk.length, timeout_ms,
                             &chunk.arrival_us, &problem);
    chunk.bytes[chunk.length] = '\0';
    return chunk;
}

int64_t time_until(struct link *link, enum link_result wanted)
{
    int64_t start_us = clock_monotonic_us();
    while (clock_monotonic_us() - start_us < 3000000) {
        if (read_chunk(link, 100).result == wanted) {
            return clock_monotonic_us() - start_us;
        }
    }
    ck_abort_msg("the link never said %d", (int)wanted);
}

static char folder[256];

void folder_make(void)
{
    snprintf(folder, sizeof folder, "%s", program_folder());
}

void folder_remove(void)
{
    program_folder_remove(folder);
}

const char *folder_path(const char *name)
{
    static char path[512];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    return path;
}

const char *file_with(const char *name, const char *text)
{
    program_write_file(folder, name, text);
    return folder_path(name);
}
