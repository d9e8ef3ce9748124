/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "database.h"

#include "base/text.h"

/* Riders and bikes are known across sessions: a rider by the code, a rider's bike by its name. A
 * session keeps what was said in it (session_rider, session_bike), with the identifiers it made;
 * here its row is pointed at the rider and bike the store knows, which are made or brought up to
 * date where needed. */

struct said {
    bool is_there;
    char uuid[UUID_TEXT_SIZE];
    char code[NAME_SIZE], name[NAME_SIZE];
    char watch_for[TEXT_SIZE];
};

static bool ask_id(struct row *row, int64_t *id, struct problem *problem)
{
    bool failed = false;
    *id = 0;
    if (row_next(row, &failed, problem)) {
        *id = row_take_integer(row);
        row_end(row);
    }
    return !failed;
}

static bool id_of_text(struct store *store, const char *sql, const char *text, int64_t *id,
                       struct problem *problem)
{
    struct row row;
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    row_put_text(&row, text);
    return ask_id(&row, id, problem);
}

static bool change_id(struct store *store, const char *sql, int64_t value, int64_t where,
                      struct problem *problem)
{
    struct row row;
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    row_put_nonzero(&row, value);
    row_put_integer(&row, where);
    return row_write(&row, problem);
}

static bool read_said(struct store *store, const char *sql, int64_t session_id, bool has_code,
                      struct said *said, struct problem *problem)
{
    struct row row;
    bool failed = false;
    said->is_there = false;
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    row_put_integer(&row, session_id);
    if (row_next(&row, &failed, problem)) {
        said->is_there = true;
        row_take_text(&row, said->uuid, sizeof said->uuid);
        row_take_text(&row, said->name, sizeof said->name);
        if (has_code) {
            row_take_text(&row, said->code, sizeof said->code);
            row_take_text(&row, said->watch_for, sizeof said->watch_for);
        }
        row_end(&row);
    }
    return !failed;
}

static bool insert_rider(struct store *store, const struct said *said, int64_t *id,
                         struct problem *problem)
{
    static const char sql[] = "INSERT INTO rider (uuid, code, name, watch_for) VALUES (?, ?, ?, ?)";
    struct row row;
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    row_put_text(&row, said->uuid);
    row_put_text(&row, said->code);
    row_put_text(&row, said->name);
    row_put_text(&row, said->watch_for);
    if (!row_write(&row, problem)) {
        return false;
    }
    *id = sqlite3_last_insert_rowid(store->db);
    return true;
}

static bool update_rider(struct store *store, const struct said *said, int64_t id,
                         struct problem *problem)
{
    /* a name left empty doesn't take away the one that is known */
    static const char sql[] =
        "UPDATE rider SET code = ?1, name = CASE ?2 WHEN '' THEN name ELSE ?2 END,"
        " watch_for = CASE ?3 WHEN '' THEN watch_for ELSE ?3 END WHERE id = ?4";
    struct row row;
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    row_put_text(&row, said->code);
    row_put_text(&row, said->name);
    row_put_text(&row, said->watch_for);
    row_put_integer(&row, id);
    return row_write(&row, problem);
}

/* By the code; else by the uuid (the code was corrected, if no other session has the rider); else
 * new. */
static bool know_rider(struct store *store, int64_t session_id, const struct said *said,
                       bool keep_known, int64_t *id, struct problem *problem)
{
    int64_t others = 0;
    if (!id_of_text(store, "SELECT id FROM rider WHERE code = ?", said->code, id, problem)) {
        return false;
    }
    if (*id == 0) {
        if (!id_of_text(store, "SELECT id FROM rider WHERE uuid = ?", said->uuid, id, problem)) {
            return false;
        }
        if (*id != 0) {
            struct row row;
            if (!row_prepare(store, "SELECT count(*) FROM session WHERE rider_id = ? AND id <> ?",
                             &row, problem)) {
                return false;
            }
            row_put_integer(&row, *id);
            row_put_integer(&row, session_id);
            if (!ask_id(&row, &others, problem)) {
                return false;
            }
            if (others > 0) {
                store->record_refused = true;
                return problem_set(problem, "rider %s has the identifier of another rider",
                                   said->code);
            }
        }
    }
    if (*id == 0) {
        return insert_rider(store, said, id, problem);
    }
    return keep_known || update_rider(store, said, *id, problem);
}

static bool know_bike(struct store *store, int64_t rider_id, const struct said *said, int64_t *id,
                      struct problem *problem)
{
    static const char by_name[] =
        "SELECT id FROM bike WHERE ifnull(rider_id, 0) = ifnull(?, 0) AND name = ?";
    static const char rename[] = "UPDATE bike SET rider_id = ?, name = ? WHERE id = ?";
    static const char insert[] = "INSERT INTO bike (uuid, rider_id, name) VALUES (?, ?, ?)";
    struct row row;
    if (!row_prepare(store, by_name, &row, problem)) {
        return false;
    }
    row_put_nonzero(&row, rider_id);
    row_put_text(&row, said->name);
    if (!ask_id(&row, id, problem)) {
        return false;
    }
    if (*id != 0) {
        return true;
    }
    if (!id_of_text(store, "SELECT id FROM bike WHERE uuid = ?", said->uuid, id, problem) ||
        !row_prepare(store, *id != 0 ? rename : insert, &row, problem)) {
        return false;
    }
    if (*id == 0) {
        row_put_text(&row, said->uuid);
    }
    row_put_nonzero(&row, rider_id);
    row_put_text(&row, said->name);
    if (*id != 0) {
        row_put_integer(&row, *id);
    }
    if (!row_write(&row, problem)) {
        return false;
    }
    if (*id == 0) {
        *id = sqlite3_last_insert_rowid(store->db);
    }
    return true;
}

/* The bike's values as this session has them: the latest word on the frame. */
static bool copy_bike_values(struct store *store, int64_t session_id, int64_t bike_id,
                             bool keep_known, struct problem *problem)
{
    static const char replace[] =
        "INSERT INTO bike_value (bike_id, key, value)"
        " SELECT ?1, key, value FROM session_bike_value"
        " WHERE session_id = ?2"
        " ON CONFLICT (bike_id, key) DO UPDATE SET value = excluded.value";
    static const char keep[] = "INSERT INTO bike_value (bike_id, key, value)"
                               " SELECT ?1, key, value FROM session_bike_value"
                               " WHERE session_id = ?2 ON CONFLICT (bike_id, key) DO NOTHING";
    return change_id(store, keep_known ? keep : replace, bike_id, session_id, problem);
}

/* Riders and bikes that no session has are not kept: a slip in a code leaves nobody behind. */
static bool forget_unused(struct store *store, int64_t rider_id, int64_t bike_id,
                          struct problem *problem)
{
    static const char bike[] = "DELETE FROM bike WHERE id = ?1 AND NOT EXISTS"
                               " (SELECT 1 FROM session WHERE bike_id = ?1)";
    static const char rider[] = "DELETE FROM rider WHERE id = ?1 AND NOT EXISTS"
                                " (SELECT 1 FROM session WHERE rider_id = ?1)"
                                " AND NOT EXISTS (SELECT 1 FROM bike WHERE rider_id = ?1)";
    struct row row;
    if (!row_prepare(store, bike, &row, problem)) {
        return false;
    }
    row_put_integer(&row, bike_id);
    if (!row_write(&row, problem) || !row_prepare(store, rider, &row, problem)) {
        return false;
    }
    row_put_integer(&row, rider_id);
    return row_write(&row, problem);
}

bool store_link_people(struct store *store, int64_t session_id, bool keep_known,
                       struct problem *problem)
{
    struct said rider = {0}, bike = {0};
    int64_t rider_id = 0, bike_id = 0, old_rider = 0, old_bike = 0;
    if (!store_number(store, "SELECT rider_id FROM session WHERE id = ?", session_id, &old_rider,
                      problem) ||
        !store_number(store, "SELECT bike_id FROM session WHERE id = ?", session_id, &old_bike,
                      problem) ||
        !read_said(store,
                   "SELECT uuid, name, code, watch_for FROM session_rider WHERE session_id = ?"
                   " AND NOT undone",
                   session_id, true, &rider, problem) ||
        !read_said(store,
                   "SELECT uuid, name FROM session_bike WHERE session_id = ?"
                   " AND NOT undone",
                   session_id, false, &bike, problem)) {
        return false;
    }
    if (rider.is_there && !know_rider(store, session_id, &rider, keep_known, &rider_id, problem)) {
        return false;
    }
    if (bike.is_there && (!know_bike(store, rider_id, &bike, &bike_id, problem) ||
                          !copy_bike_values(store, session_id, bike_id, keep_known, problem))) {
        return false;
    }
    return change_id(store, "UPDATE session SET rider_id = ? WHERE id = ?", rider_id, session_id,
                     problem) &&
           change_id(store, "UPDATE session SET bike_id = ? WHERE id = ?", bike_id, session_id,
                     problem) &&
           forget_unused(store, old_rider != rider_id ? old_rider : 0,
                         old_bike != bike_id ? old_bike : 0, problem);
}
