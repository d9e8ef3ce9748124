/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_MUTATE_SCAN_H
#define HOLDLINE_TESTS_MUTATE_SCAN_H

#include <stdbool.h>
#include <stddef.h>

/* A C source as tokens with their places in the text. Comments are none; a directive with all its
 * continued lines is one. No macro is expanded and no grammar known beyond brackets. */
enum token_kind { TOKEN_NAME, TOKEN_NUMBER, TOKEN_TEXT, TOKEN_SIGN, TOKEN_DIRECTIVE };
struct token {
    enum token_kind kind;
    size_t start, end; /* bytes of the text */
    int line;          /* the first is 1 */
    int depth;         /* braces that are open around it; a brace counts as outside of itself */
    bool in_function;
};
struct scan {
    const char *text; /* the caller's, as long as the scan is used */
    struct token *token;
    size_t count;
};

/* The bytes from start to end; lines are counted from first_line. False without memory. */
bool scan_text(struct scan *scan, const char *text, size_t start, size_t end, int first_line);
void scan_free(struct scan *scan);

bool token_is(const struct scan *scan, size_t index, const char *words);
/* Index of the bracket that closes or opens the one at index; count where there is none. */
size_t scan_closing(const struct scan *scan, size_t index);
size_t scan_opening(const struct scan *scan, size_t index);

/* A whole file, ended with a zero byte; NULL where it can't be read. The caller frees it. */
char *file_read(const char *path);
/* Its folders are made. */
bool file_write(const char *path, const char *text, size_t length);

#endif
