/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/turned_stream.h"

#include "base/text.h"
#include "support/program.h"

#include <stdio.h>

void turned_stream_write(const char *folder, const char *name, const char *later)
{
    char stream[60000], line[100];
    size_t used = 0;
    for (int i = 0; i < 2 * TURNED_AT; i++) {
        if (i % TURNED_AT == 0) {
            text_append(stream, sizeof stream, &used, "# holdline-rig 1 id=b rate=50 channels=%s\n",
                        i == 0 ? "head,chest" : later);
        }
        snprintf(line, sizeof line, "%d,%d,%d.0,%d.0", i, 20000 * i, 400 + i % 3, 300 + i % 3);
        unsigned sum = 0;
        for (const char *at = line; *at != '\0'; at++) {
            sum ^= (unsigned char)*at;
        }
        text_append(stream, sizeof stream, &used, "$%s*%02X\n", line, sum);
    }
    program_write_file(folder, name, stream);
}
