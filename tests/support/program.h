/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_PROGRAM_H
#define HOLDLINE_TESTS_SUPPORT_PROGRAM_H

#include "support/json_reader.h"

#include <stddef.h>

/* The real program, run as a user would without a terminal. */
struct program_result {
    int status;   /* exit status; 128 + number for a signal */
    char *output; /* standard output, ended by NUL */
    char *errors; /* standard error, ended by NUL */
};

/* Path of the program under test: HOLDLINE from the environment, else the build's. */
const char *program_path(void);

/* Runs it with these arguments (without the program's own name, ended by NULL) in folder (NULL =
 * here); input, if any, goes to its standard input. The caller frees the result with program_free.
 * Aborts the test where no process can be made. */
struct program_result program_run(const char *folder, const char *input,
                                  const char *const *arguments);
void program_free(struct program_result *result);
/* The JSON it printed; fails the test where it ended with another status or printed none. The
 * caller frees it with json_free. */
struct json_value *program_json(const struct program_result *result, int status);

/* A folder of the test's own, removed with everything in it by program_folder_remove. Static
 * buffer. */
const char *program_folder(void);
void program_folder_remove(const char *folder);

/* The whole of a file, ended by NUL; aborts the test when it is not there. The caller frees it. */
char *program_read_file(const char *folder, const char *name, size_t *length);
void program_write_file(const char *folder, const char *name, const char *text);

#endif
