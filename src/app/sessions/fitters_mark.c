/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/fitters_mark.h"

#include "base/language.h"
#include "base/text.h"

#include <errno.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MOST_BYTES 262144
#define WIDTH 320 /* of its place; what is narrower stands at the right of it */
#define HEIGHT 48

/* RFC 4648, section 4. */
static void write_base64(FILE *stream, const unsigned char *bytes, size_t count)
{
    static const char digits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    for (size_t i = 0; i < count; i += 3) {
        size_t left = count - i;
        uint32_t group = (uint32_t)bytes[i] << 16 | (left > 1 ? (uint32_t)bytes[i + 1] << 8 : 0) |
                         (left > 2 ? (uint32_t)bytes[i + 2] : 0);
        fputc(digits[group >> 18], stream);
        fputc(digits[group >> 12 & 63], stream);
        fputc(left > 1 ? digits[group >> 6 & 63] : '=', stream);
        fputc(left > 2 ? digits[group & 63] : '=', stream);
    }
}

static const char *type_of(const unsigned char *bytes, size_t count)
{
    static const unsigned char png[] = {0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'};
    if (count > sizeof png && memcmp(bytes, png, sizeof png) == 0) {
        return "image/png";
    }
    for (size_t i = 0; i + 4 < count && i < 4096; i++) {
        if (memcmp(bytes + i, "<svg", 4) == 0) {
            return "image/svg+xml";
        }
    }
    return NULL;
}

static char *wrap(const char *type, const unsigned char *bytes, size_t count)
{
    char *svg = NULL;
    size_t size = 0;
    FILE *stream = open_memstream(&svg, &size);
    if (stream == NULL) {
        return NULL;
    }
    fprintf(stream,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%d\" height=\"%d\" viewBox=\"0 0 %d "
            "%d\" role=\"img\"><title>%s</title><image width=\"%d\" height=\"%d\" "
            "preserveAspectRatio=\"xMaxYMid meet\" href=\"data:%s;base64,",
            WIDTH, HEIGHT, WIDTH, HEIGHT, T_("the fitter's mark"), WIDTH, HEIGHT, type);
    write_base64(stream, bytes, count);
    fputs("\"/></svg>\n", stream);
    if (fclose(stream) != 0) {
        free(svg);
        return NULL;
    }
    return svg;
}

bool fitters_mark_read(char **svg, struct problem *problem)
{
    const char *path = getenv("HOLDLINE_MARK");
    *svg = NULL;
    if (path == NULL || path[0] == '\0') {
        return true;
    }
    FILE *file = fopen(path, "rbe");
    if (file == NULL) {
        return problem_set(problem, "the fitter's mark (HOLDLINE_MARK): %s can't be read: %s", path,
                           strerror(errno));
    }
    unsigned char *bytes = malloc(MOST_BYTES + 1);
    size_t count = bytes != NULL ? fread(bytes, 1, MOST_BYTES + 1, file) : 0;
    bool read = !ferror(file);
    fclose(file);
    const char *type = count > 0 && count <= MOST_BYTES ? type_of(bytes, count) : NULL;
    if (bytes != NULL && (!read || type == NULL)) {
        problem_set(problem,
                    "the fitter's mark (HOLDLINE_MARK): %s is no PNG or SVG of %d kB at most", path,
                    MOST_BYTES / 1024);
    } else if (bytes == NULL || (*svg = wrap(type, bytes, count)) == NULL) {
        problem_set(problem, "no memory for the fitter's mark");
    }
    free(bytes);
    return *svg != NULL;
}
