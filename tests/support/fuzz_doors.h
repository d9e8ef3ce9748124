/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_FUZZ_DOORS_H
#define HOLDLINE_TESTS_SUPPORT_FUZZ_DOORS_H

#include "support/fuzz_targets.h"

/* The doors above the wire, as support/fuzz_targets.h has those of the wire:
 *
 *   session  lines of a script for the session; '~ 300' lets 300 samples pass, '~ 300 40' with the
 *            rider 40 mm up, '~ 300 gone' with nobody in view, '~ 300 gap' after two seconds in
 *            which the link was down, '~ 300 lost' in which the rig's samples were lost. What comes
 * of it must be the same stored and read again, replayed from its log, and worked out anew typed
 * the first character says which number ('A' the first), behind it what is typed json     one JSON
 * text, looked through view     a line that a watcher reads from the socket parts    a list of
 * parts at hand import   lines 'word what', an empty line, a recorded stream store    a sound store
 * in which rows are changed, one a line: 'table row column value', all but the value as numbers
 * that are counted round; 'x' before a value that is bytes in hexadecimal, 'n' null, '"' a text,
 * else a number; 'byte place value' changes the file. What a rescue and a merge make of it must be
 * sound
 */
extern const struct fuzz_target fuzz_doors[];
extern const size_t fuzz_door_count;

/* NULL when none is called so. */
const struct fuzz_target *fuzz_door_find(const char *name);

/* In files of their own. */
void fuzz_session(const uint8_t *bytes, size_t length);
void fuzz_store(const uint8_t *bytes, size_t length);

#endif
