/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_RIDE_FILE_H
#define HOLDLINE_RIG_RIDE_FILE_H

#include "base/problem.h"
#include "measure/ride.h"

#include <stddef.h>

/* Rides from files: a table as text (CSV as in RFC 4180, also with ';' or tabs, then with decimal
 * commas as well) or GPX 1.1. What a file needs: a time, power, and speed, distance or places.
 * docs/drag.md lists the columns with their units and the elements that are taken. What is passed
 * over is counted (measure/ride.h); no unit is guessed that a heading contradicts, and what can't
 * be a ride is refused with its line or element and the reason. Nothing is kept of a file that is
 * refused. */

/* Who waits for a large one: asked every 64 kB, with the share read so far. False: it ends. */
struct ride_watch {
    bool (*goes_on)(void *context, double share);
    void *context;
};

/* The file at path, whichever of the two it is; *sum: of its bytes (base/fnv.h), whether two were
 * the same. NULL with a sentence that names it. watch and sum may be NULL. */
struct ride *ride_file_read(const char *path, const struct ride_watch *watch, uint64_t *sum,
                            struct problem *problem);

/* The same from bytes, in pieces as they come. */
struct ride_reader;
struct ride_reader *ride_reader_create(struct problem *problem);
/* False: refused; nothing more is taken then. */
bool ride_reader_feed(struct ride_reader *reader, const char *bytes, size_t length,
                      struct problem *problem);
/* The ride, the caller's; NULL: refused. */
struct ride *ride_reader_finish(struct ride_reader *reader, struct problem *problem);
void ride_reader_free(struct ride_reader *reader);

/* A line, or a piece of XML, is no longer (bytes); elements of XML are no deeper. */
#define RIDE_PIECE_MOST 65536
#define RIDE_DEPTH_MOST 32

#endif
