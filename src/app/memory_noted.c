/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The program's own calls for memory pass here (the linker's --wrap, see the Makefile), so that
 * none that fails can be overlooked. */
#include "base/memory.h"

#include <errno.h>
#include <stddef.h>

/* NOLINTBEGIN(bugprone-reserved-identifier,cert-dcl37-c,cert-dcl51-cpp): the linker's names */
void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *old, size_t size);
char *__real_strdup(const char *text);
char *__real_realpath(const char *path, char *resolved);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *old, size_t size);
char *__wrap_strdup(const char *text);
char *__wrap_realpath(const char *path, char *resolved);

static void *noted(void *given)
{
    if (given == NULL) {
        memory_note_lack();
    }
    return given;
}

void *__wrap_malloc(size_t size)
{
    return noted(__real_malloc(size > 0 ? size : 1));
}

void *__wrap_calloc(size_t count, size_t size)
{
    return noted(__real_calloc(count > 0 ? count : 1, size > 0 ? size : 1));
}

void *__wrap_realloc(void *old, size_t size)
{
    return noted(__real_realloc(old, size > 0 ? size : 1));
}

char *__wrap_strdup(const char *text)
{
    return noted(__real_strdup(text));
}

/* Else a file whose path can't be followed would be taken for one that is not there. */
char *__wrap_realpath(const char *path, char *resolved)
{
    char *real = __real_realpath(path, resolved);
    if (real == NULL && errno == ENOMEM) {
        memory_note_lack();
    }
    return real;
}
/* NOLINTEND(bugprone-reserved-identifier,cert-dcl37-c,cert-dcl51-cpp) */
