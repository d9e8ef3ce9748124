/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_SECTIONS_CHANNEL_ITEMS_H
#define HOLDLINE_REPORT_SECTIONS_CHANNEL_ITEMS_H

#include "base/numbers.h"
#include "record/record.h"
#include "report/paper.h"

/* What is said of each channel: of all of which it is the same, once. */
#define CHANNEL_ITEM_SIZE (5 * SAY_SIZE)

struct channel_items {
    int count;
    const char *name[CHANNELS_MAX];
    char text[CHANNELS_MAX][CHANNEL_ITEM_SIZE]; /* "": nothing of this one */
};

/* 'head, chest' + between + text, an item each, in the order in which the first of them stands. */
void channel_items_write(struct paper *paper, const struct channel_items *items,
                         const char *between);

#endif
