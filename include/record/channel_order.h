/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RECORD_CHANNEL_ORDER_H
#define HOLDLINE_RECORD_CHANNEL_ORDER_H

#include "record/stored.h"

/* Channels are numbers everywhere but in a placing's names: where the channels come in another
 * order than was thought when a record was made, what it says of a channel goes with it. */
struct channel_order {
    int place[CHANNELS_MAX]; /* where each channel goes; each place once */
};

/* Each stays where it is. */
bool channel_order_is_same(const struct channel_order *order);
/* Whether anything changed. Of a record of the table (TABLE_SESSION: of a struct session_header),
 * all that it says of channels, by the tables of what is stored. Not of a placing, whose channels
 * are known by name. */
bool channel_order_apply(const struct channel_order *order, enum stored_table_id table,
                         void *record);

#endif
