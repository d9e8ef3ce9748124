/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/copy_used.h"
#include "record/record.h"

void session_record_copy(struct session_record *to, const struct session_record *from)
{
#define USED(member) USED_ARRAY(struct session_record, member, from->member##_count)
    const struct used_array arrays[] = {USED(placing), USED(setup),  USED(build), USED(tie_reading),
                                        USED(capture), USED(target), USED(band),  USED(hold),
                                        USED(mark),    USED(rating), USED(note),  USED(check),
                                        USED(air),     USED(run),    USED(leg)};
    copy_used(to, from, sizeof *to, arrays, (int)(sizeof arrays / sizeof arrays[0]));
}
