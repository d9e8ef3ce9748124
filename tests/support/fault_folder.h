/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_FAULT_FOLDER_H
#define HOLDLINE_TESTS_SUPPORT_FAULT_FOLDER_H

#include "support/fault_machine.h"

/* The fault machine's folders: 'work', in which the program runs, and what is laid there or
 * compared with it, by name. Each ends the process where the test's own disk or memory fails. */

struct fault_folder {
    char path[64];
    char program[512], shim[512];
};

struct fault_run {
    int status; /* exit status; 128 + number for a signal */
    bool timed_out;
    char *output, *errors;
    long calls;      /* those counted; 0 where the program was ended before it could say */
    char failed[32]; /* the first that failed, or "-" */
};

bool fault_folder_create(struct fault_folder *folder, const char *program, const char *shim);
void fault_folder_remove(const struct fault_folder *folder);
/* In a static buffer. */
const char *fault_folder_path(const struct fault_folder *folder, const char *of, const char *name);

/* A file into 'base': from another folder, or a text. */
void fault_folder_take(const struct fault_folder *folder, const char *from, const char *name);
void fault_folder_write(const struct fault_folder *folder, const char *of, const char *name,
                        const char *text);
/* 'work' becomes as the one named is; the one named becomes as 'work' is. */
void fault_folder_lay(const struct fault_folder *folder, const char *name);
void fault_folder_keep(const struct fault_folder *folder, const char *name);

/* Nothing is in it any more, folders and all. */
void fault_folder_empty(const struct fault_folder *folder, const char *name);

/* The program in 'work'; fault: NULL for none, at 0 to count. Free with fault_run_free. */
struct fault_run fault_folder_run(const struct fault_folder *folder, const char *const *arguments,
                                  const struct fault *fault);
void fault_run_free(struct fault_run *run);

/* What the program says of a session, of all stores in 'work' with all their sessions; to be
 * freed. */
char *fault_folder_session(const struct fault_folder *folder, const char *store, const char *id);
char *fault_folder_stores(const struct fault_folder *folder);

/* A file other than a store that is in one of 'work' and the folder named alone, or not the same in
 * both. */
bool fault_folder_differs(const struct fault_folder *folder, const char *with, char *name,
                          size_t size);
/* A file in 'work' that is neither as before, nor whole as afterwards, nor beside the store. */
bool fault_folder_half(const struct fault_folder *folder, const char *before, const char *after,
                       char *name, size_t size);

#endif
