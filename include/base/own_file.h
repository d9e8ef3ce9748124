/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BASE_OWN_FILE_H
#define HOLDLINE_BASE_OWN_FILE_H

#include <stdbool.h>

/* Files that the program makes are their owner's alone, whatever the umask, and never another file
 * that somebody has put in their place: no symbolic link is followed, and nothing but a plain file
 * of one name is written. */

/* Opens the file at path to write, making it where it is not there; flags: O_EXCL, O_APPEND,
 * O_RDWR, as of open(2). -1 with errno: ELOOP for a link, EPERM for what is no plain file of this
 * user's own. */
int own_file_open(const char *path, int flags);
/* Takes from everybody but its owner all rights on a file that is there. False with errno where it
 * can't be: somebody else's, or no plain file. */
bool own_file_close_to_others(const char *path);

#endif
