/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "from_log.h"

#include "database.h"

/* A command that the session refused never came into the log, so each line here counted. */
bool store_limits_from_log(struct store *store, struct problem *problem)
{
    static const char sql[] = "SELECT session_id, text FROM command WHERE text LIKE 'limits %'"
                              " ORDER BY session_id, ordinal";
    struct row row;
    struct session_header header;
    int64_t of_session = 0;
    bool failed = false;
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    while (row_next(&row, &failed, problem)) {
        char text[COMMAND_TEXT_SIZE];
        struct words words;
        int64_t session_id = row_take_integer(&row);
        row_take_text(&row, text, sizeof text);
        if (session_id != of_session) {
            bike_limits_clear(&header.limits);
            of_session = session_id;
        }
        if (words_split(text, &words, NULL) &&
            bike_limits_read_line(&header.limits, &words, NULL) &&
            !store_write_owned(store, TABLE_PART_LIMIT, session_id, 0, &header, problem)) {
            row_end(&row);
            return false;
        }
    }
    return !failed;
}
