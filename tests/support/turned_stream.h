/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_TURNED_STREAM_H
#define HOLDLINE_TESTS_TURNED_STREAM_H

/* Into a file of the folder: 1,000 bench lines of two sensors at 50 a second, under a heading that
 * calls them head and chest, and behind TURNED_AT lines another with these channels. */
#define TURNED_AT 500
void turned_stream_write(const char *folder, const char *name, const char *later);

#endif
