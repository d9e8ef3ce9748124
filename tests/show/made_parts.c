/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/made_parts.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Writes the parts of the documents that are made (support/made_parts.h) anew. */

static bool renew(const char *path)
{
    char problem[256] = "", *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    bool done = out != NULL && made_document(path, out, problem, sizeof problem);
    done = out != NULL && fclose(out) == 0 && done;
    FILE *file = done ? fopen(source_path(path), "w") : NULL;
    done = file != NULL && fwrite(text, 1, size, file) == size;
    done = file != NULL && fclose(file) == 0 && done;
    if (!done) {
        fprintf(stderr, "%s could not be made anew: %s\n", path, problem);
    }
    free(text);
    return done;
}

int main(void)
{
    int status = EXIT_SUCCESS;
    for (int i = 0; made_documents[i] != NULL; i++) {
        status = renew(made_documents[i]) ? status : EXIT_FAILURE;
    }
    return status;
}
