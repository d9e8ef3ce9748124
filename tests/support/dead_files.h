/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_DEAD_FILES_H
#define HOLDLINE_TESTS_SUPPORT_DEAD_FILES_H

/* This process's descriptors of a store and its log are a folder's from now on: nothing can be read
 * or written by them, as of a disk that was pulled out and put back. Locks are the kernel's, and
 * stay. store: its path. */
void dead_files_begin(const char *store);
/* They are what they were. */
void dead_files_end(void);

#endif
