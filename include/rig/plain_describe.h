/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_PLAIN_DESCRIBE_H
#define HOLDLINE_RIG_PLAIN_DESCRIBE_H

#include "rig/plain_columns.h"
#include "rig/plain_layout.h"

/* What a file of plain numbers was recognised as by its first lines, before anything of it is
 * taken. */
struct plain_description {
    struct plain_layout layout;
    struct plain_columns columns; /* what stands in them; of lines told apart by a key: of all */
    struct rig_info info;         /* channels, and why columns were left out (its notes) */
    char unit_said[8];            /* of all ranges; "" = what the columns say */
    bool columns_said;            /* which are ranges was said */
    bool has_start;               /* the time column has dates: */
    int64_t start_us;             /* its first one, Unix us */
    bool time_is_doubtful;        /* its numbers may be ms as well as us, and nothing says which */
};

/* bytes: the beginning of a file of plain numbers. False with a sentence where its columns can't be
 * told. */
bool plain_describe(const char *bytes, size_t length, const struct decoder_options *options,
                    struct plain_description *description, struct problem *problem);

#endif
