/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/member.h"

#include <string.h>

static const char *place(struct member member, const void *of)
{
    return (const char *)of + member.offset;
}

double member_number(struct member member, const void *of)
{
    double value = 0;
    memcpy(&value, place(member, of), sizeof value);
    return value;
}

int64_t member_integer(struct member member, const void *of)
{
    if (member.size == sizeof(int64_t)) {
        int64_t value = 0;
        memcpy(&value, place(member, of), sizeof value);
        return value;
    }
    int value = 0;
    memcpy(&value, place(member, of), sizeof value);
    return member.kind == MEMBER_UNSIGNED ? (int64_t)(unsigned)value : value;
}

bool member_yes(struct member member, const void *of)
{
    bool value = false;
    memcpy(&value, place(member, of), sizeof value);
    return value;
}

const char *member_text(struct member member, const void *of)
{
    const char *text = place(member, of);
    if (member.kind == MEMBER_TEXT) {
        memcpy(&text, place(member, of), sizeof text);
    }
    return text != NULL ? text : "";
}
