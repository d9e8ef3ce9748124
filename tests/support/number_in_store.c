/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/number_in_store.h"

#include <sqlite3.h>
#include <stddef.h>

int64_t number_in_store(const char *store, const char *sql)
{
    sqlite3 *db = NULL;
    sqlite3_stmt *statement = NULL;
    int64_t number = -1;
    if (sqlite3_open_v2(store, &db, SQLITE_OPEN_READONLY, NULL) == SQLITE_OK &&
        sqlite3_prepare_v2(db, sql, -1, &statement, NULL) == SQLITE_OK &&
        sqlite3_step(statement) == SQLITE_ROW) {
        number = sqlite3_column_int64(statement, 0);
    }
    sqlite3_finalize(statement);
    sqlite3_close(db);
    return number;
}
