/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "pages_library.h"

#include <dlfcn.h>
#include <stdlib.h>
#include <string.h>

/* Each brings what it stands on: cairo, GLib. */
static const char *const files[] = {"libpangocairo-1.0.so.0", "librsvg-2.so.2"};
#define FILES (sizeof files / sizeof files[0])

static bool find(void *const handles[FILES], const char *name, void *function, size_t size)
{
    void *found = NULL;
    for (size_t i = 0; i < FILES && found == NULL; i++) {
        found = dlsym(handles[i], name);
    }
    if (found == NULL || size != sizeof found) {
        return false;
    }
    memcpy(function, &found, size); /* ISO C has no cast from one to the other */
    return true;
}

bool pages_library_load(struct pages_library *library, struct problem *problem)
{
    void *handles[FILES];
    const char *missing = NULL;
    for (size_t i = 0; i < FILES; i++) {
        /* GLib cannot be taken out again */
        handles[i] = dlopen(files[i], RTLD_LAZY | RTLD_LOCAL | RTLD_NODELETE);
        if (handles[i] == NULL) {
            return problem_set(problem, "a PDF takes %s, which is not there: %s", files[i],
                               dlerror());
        }
    }
#define X(name)                                                                                    \
    if (!find(handles, #name, &library->name, sizeof library->name)) {                             \
        missing = #name;                                                                           \
    }
    PAGES_FUNCTIONS(X)
#undef X
    return missing == NULL ||
           problem_set(problem, "a PDF takes a newer Pango, cairo or librsvg: there is no %s",
                       missing);
}

#define MEMORY_LEAST ((size_t)64 << 20) /* what making one takes, several times */

/* The libraries of pages end the program where they find no memory. */
bool pages_have_memory(struct problem *problem)
{
    void *room = malloc(MEMORY_LEAST);
    bool there = room != NULL;
    free(room);
    return there ||
           problem_set(problem, "there is not enough memory for a PDF: close other programs, or "
                                "take HTML");
}
