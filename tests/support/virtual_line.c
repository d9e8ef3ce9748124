/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/virtual_line.h"

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct virtual_rig *rig_of(const char *name, const char *parameters)
{
    struct virtual_rig_settings settings;
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert_msg(virtual_rig_settings_read(name, parameters, &settings, &problem), "%s",
                  problem.sentence);
    struct virtual_rig *rig = virtual_rig_create(&settings);
    ck_assert_ptr_nonnull(rig);
    return rig;
}

void tell(struct virtual_rig *rig, const char *line)
{
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert_msg(virtual_rig_tell(rig, line, &problem), "%s: %s", line, problem.sentence);
}

struct line next_line(struct virtual_rig *rig, int channels)
{
    char bytes[VIRTUAL_RIG_BYTES + 1];
    struct line line = {.lost = true};
    size_t length = virtual_rig_next(rig, bytes, VIRTUAL_RIG_BYTES, &line.time_us);
    bytes[length] = '\0';
    char *from = bytes;
    if (*from == '#') {
        line.heading = true;
        from = strchr(from, '\n') + 1;
    }
    if (*from == '\0') {
        return line;
    }
    line.lost = false;
    ck_assert_int_eq(*from, '$');
    char *star = strchr(from, '*');
    ck_assert_ptr_nonnull(star);
    unsigned sum = 0;
    for (char *at = from + 1; at < star; at++) {
        sum ^= (unsigned char)*at;
    }
    char hexadecimal[4];
    snprintf(hexadecimal, sizeof hexadecimal, "%02X", sum & 255);
    ck_assert_int_eq(strncmp(star + 1, hexadecimal, 2), 0);
    ck_assert_str_eq(star + 3, "\n");
    line.sequence = strtoul(from + 1, &from, 10);
    ck_assert_int_eq(*from, ',');
    ck_assert_int_eq(strtoll(from + 1, &from, 10), line.time_us);
    for (int i = 0; i < channels; i++) {
        ck_assert_int_eq(*from, ',');
        char *end;
        line.range_mm[i] = strtod(from + 1, &end);
        if (end == from + 1) {
            line.range_mm[i] = NAN;
        } else if (*end != ',' && *end != '*') {
            line.mark[i] = *end++;
        }
        from = end;
    }
    ck_assert_ptr_eq(from, star);
    return line;
}

struct virtual_truth truth_of(struct virtual_rig *rig)
{
    struct virtual_truth truth;
    virtual_rig_truth(rig, &truth);
    return truth;
}
