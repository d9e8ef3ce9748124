/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "remembered.h"

#include <string.h>

bool remembered_find(const struct remembered *remembered, const double *asked, size_t count,
                     double *answer)
{
    for (size_t i = 0; i < REMEMBERED; i++) {
        if (remembered->last[i].count == count &&
            memcmp(remembered->last[i].asked, asked, count * sizeof *asked) == 0) {
            *answer = remembered->last[i].answer;
            return true;
        }
    }
    return false;
}

void remembered_keep(struct remembered *remembered, const double *asked, size_t count,
                     double answer)
{
    size_t at = remembered->next;
    memcpy(remembered->last[at].asked, asked, count * sizeof *asked);
    remembered->last[at].count = count;
    remembered->last[at].answer = answer;
    remembered->next = (at + 1) % REMEMBERED;
}
