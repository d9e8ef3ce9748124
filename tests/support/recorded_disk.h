/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_RECORDED_DISK_H
#define HOLDLINE_TESTS_SUPPORT_RECORDED_DISK_H

#include "base/random.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <sys/types.h>

/* What is done to the files of one folder, noted in its order (by tests/preload/recorded_disk.c,
 * which a test includes), and what a disk may hold after the power was cut at any moment of it:
 * what was synced is there; of what was not, any part, in any order, sectors torn. Each ends the
 * process where memory or the real disk fails. */

/* From here on; what is in the folder already is on the disk. */
void recorded_disk_begin(const char *folder);
void recorded_disk_end(void);
/* The caller's own note: so much is promised from now on. */
void recorded_disk_promise(int64_t value);

/* Notes of the calls. */
void recorded_disk_opened(int descriptor, const char *path, bool made, bool emptied);
void recorded_disk_closed(int descriptor);
void recorded_disk_written(int descriptor, const void *bytes, size_t size, int64_t offset);
void recorded_disk_cut_to(int descriptor, int64_t size);
void recorded_disk_synced(int descriptor);
void recorded_disk_removed(const char *path);

/* How many notes there are, which are syncs, and what was promised before note `at`. */
int recorded_disk_notes(void);
bool recorded_disk_is_sync(int at);
int64_t recorded_disk_promised(int at);

struct power_cut {
    int at;    /* notes before this one were done */
    bool lies; /* the disk says of a sync that it is done, and it is not */
    struct random_source *random;
};

/* Makes the folder what the disk may hold then. */
void recorded_disk_image(const struct power_cut *cut, const char *folder);

#endif
