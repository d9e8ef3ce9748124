/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_IMPORT_LOOK_H
#define HOLDLINE_APP_IMPORT_LOOK_H

#include "base/problem.h"
#include "rig/decoder.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

/* A file is looked at before anything of it is taken: what it was recognised as is told, column by
 * column, and what is not certain is asked where there is somebody to ask, else refused with the
 * option that settles it. */
struct import_look {
    FILE *answers;    /* where a person types; NULL: nobody does */
    FILE *told;       /* where it is told */
    bool has_start;   /* the file's own times are dates: */
    int64_t start_us; /* its first one, Unix us */
    char shown[2048]; /* what was told last: the same is not told again */
};

/* options: what is said of all files; what is answered is said in it from then on. A file of
 * another dialect than plain numbers passes. False with a sentence. */
bool import_look(struct import_look *look, const char *file, struct decoder_options *options,
                 struct problem *problem);

#endif
