/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_HOSTILE_STORE_H
#define HOLDLINE_TESTS_SUPPORT_HOSTILE_STORE_H

/* Stores that were damaged, or made to do harm, from a sound one: by what a store is made of (a
 * value of a row, a row, a sample, an object of the schema), past what SQLite would allow, or by
 * the bytes of the file. The same seed makes the same store. */

enum hostile_kind {
    HOSTILE_VALUE,  /* of one column of one row: out of range, of another type, a text too long */
    HOSTILE_ROW,    /* gone, at another place, or there twice */
    HOSTILE_SAMPLE, /* a value of a sample, some samples gone, the stretch of a session */
    HOSTILE_SCHEMA, /* an object more, fewer, or another */
    HOSTILE_BYTES,  /* bits and bytes of the file; its end cut off */
    HOSTILE_KINDS,
};

struct hostile {
    enum hostile_kind kind;
    char what[512]; /* the statement, or what was done */
};

/* Copies the store at `from` to `to` and does one thing of that kind to it. Fails the test where it
 * can't be made. */
void hostile_store_make(const char *from, const char *to, enum hostile_kind kind, unsigned seed,
                        struct hostile *made);
/* Runs SQL in a store without any of its checks: types, CHECKs, foreign keys, the schema itself. */
void hostile_sql(const char *path, const char *sql);

#endif
