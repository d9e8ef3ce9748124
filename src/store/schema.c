/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "schema.h"
#include "from_log.h"
#include "sums.h"

#include <stddef.h>

/* Tables of riders and bikes, the samples, the views, and the steps between versions. */

#define UUID_COLUMN "uuid TEXT NOT NULL UNIQUE CHECK (length(uuid) = 36)"

/* clang-format off */
const char *const store_first_tables_sql[] = {
    "CREATE TABLE rider (id INTEGER PRIMARY KEY, " UUID_COLUMN ", code TEXT NOT NULL UNIQUE,"
    " name TEXT NOT NULL, watch_for TEXT NOT NULL) STRICT",

    "CREATE TABLE bike_measure (key TEXT NOT NULL PRIMARY KEY, words TEXT NOT NULL,"
    " unit TEXT NOT NULL, scope TEXT NOT NULL CHECK (scope IN ('frame', 'part')))"
    " STRICT, WITHOUT ROWID",

    "CREATE TABLE bike (id INTEGER PRIMARY KEY, " UUID_COLUMN ","
    " rider_id INTEGER REFERENCES rider(id), name TEXT NOT NULL) STRICT",
    "CREATE UNIQUE INDEX bike_of_rider ON bike (ifnull(rider_id, 0), name)",
    "CREATE INDEX bike_by_rider ON bike (rider_id)",

    "CREATE TABLE bike_value (bike_id INTEGER NOT NULL REFERENCES bike(id) ON DELETE CASCADE,"
    " key TEXT NOT NULL REFERENCES bike_measure(key), value REAL NOT NULL,"
    " PRIMARY KEY (bike_id, key)) STRICT, WITHOUT ROWID",
    NULL,
};

const char *const store_last_tables_sql[] = {
    "CREATE INDEX session_by_start ON session (started, id)",
    "CREATE INDEX session_by_rider ON session (rider_id)",
    "CREATE INDEX session_by_bike ON session (bike_id)",
    "CREATE INDEX session_by_sample ON session (first_n)",

    ("CREATE TABLE sample (n INTEGER PRIMARY KEY, rig_us INTEGER NOT NULL,"
    " delay_us INTEGER NOT NULL,"
    " quality INTEGER NOT NULL CHECK (quality >= 0), v1 INTEGER, v2 INTEGER, v3 INTEGER,"
    " v4 INTEGER, v5 INTEGER, v6 INTEGER, v7 INTEGER, v8 INTEGER) STRICT"),
    NULL,
};
/* clang-format on */

/* In the channel's unit: mm along the beam; of an auxiliary channel, its own. */
#define READING_VALUE                                                                              \
    "CASE c.channel WHEN 1 THEN x.v1 WHEN 2 THEN x.v2 WHEN 3 THEN x.v3 WHEN 4 THEN x.v4"           \
    " WHEN 5 THEN x.v5 WHEN 6 THEN x.v6 WHEN 7 THEN x.v7 ELSE x.v8 END * c.unit_um / 1000.0"

#define READING_COLUMNS                                                                            \
    " x.n AS n, x.n - s.first_n + 1 AS sample, x.rig_us / 1e6 AS seconds, c.name AS channel,"      \
    " c.role AS role,"                                                                             \
    " CASE c.role WHEN 'auxiliary' THEN NULL ELSE " READING_VALUE " END AS range_mm,"              \
    " CASE (x.quality >> (3 * (c.channel - 1))) & 7 WHEN 0 THEN 'good' WHEN 1 THEN 'missing'"      \
    " WHEN 2 THEN 'weak' WHEN 3 THEN 'saturated' ELSE 'out of range' END AS quality,"              \
    " (x.quality >> 24) & 1 AS link_gap, x.quality >> 25 AS lost_before,"                          \
    " CASE c.role WHEN 'auxiliary' THEN " READING_VALUE " END AS other_value"

/* CROSS JOIN keeps the order of the loops: session, then its stretch of the stream. */
const char *const store_views_sql[] = {
    "CREATE VIEW placing_span AS SELECT p.session_id AS session_id, p.place AS placing,"
    " s.first_n + max(p.first_sample, 1) - 1 AS first_n,"
    " min(s.last_n, coalesce(s.first_n - 2 + (SELECT max(q.first_sample, 1) FROM placing q"
    "  WHERE q.session_id = p.session_id AND q.place > p.place AND NOT q.undone ORDER BY q.place "
    "LIMIT 1),"
    "  s.last_n)) AS last_n"
    " FROM placing p JOIN session s ON s.id = p.session_id WHERE NOT p.undone",

    "CREATE VIEW reading AS SELECT s.id AS session," READING_COLUMNS
    " FROM session s CROSS JOIN placing_span p ON p.session_id = s.id"
    " CROSS JOIN sample x ON x.n BETWEEN p.first_n AND p.last_n"
    " CROSS JOIN channel c ON c.session_id = s.id AND c.placing = p.placing",

    "CREATE VIEW hold_reading AS SELECT s.id AS session, h.number AS hold, t.number AS "
    "setup," READING_COLUMNS " FROM session s CROSS JOIN hold h ON h.session_id = s.id"
    "  AND NOT h.undone"
    " CROSS JOIN capture k ON k.session_id = s.id AND k.place = h.capture"
    " CROSS JOIN build b ON b.session_id = s.id AND b.place = h.build"
    " CROSS JOIN setup t ON t.session_id = s.id AND t.place = b.setup"
    " CROSS JOIN sample x ON x.n BETWEEN s.first_n - 1 + k.first_sample"
    "  AND s.first_n - 1 + k.last_sample"
    " CROSS JOIN channel c ON c.session_id = s.id AND c.placing = b.placing",

    "CREATE VIEW hold_sheet AS SELECT h.session_id AS session, h.number AS hold,"
    " t.number AS setup, t.intent AS intent, b.ordinal AS build,"
    " CASE h.guided WHEN 1 THEN 'guided' ELSE 'free' END AS kind, h.status AS status,"
    " h.rejected AS rejected, h.reject_reason AS reject_reason, h.kept_afterwards AS "
    "kept_afterwards,"
    " h.planned_s AS planned_s, k.first_sample AS first_sample, k.last_sample AS last_sample,"
    " (SELECT x.rig_us / 1e6 FROM sample x WHERE x.n = s.first_n - 1 + k.first_sample)"
    "  AS from_seconds,"
    " (SELECT x.rig_us / 1e6 FROM sample x WHERE x.n = s.first_n - 1 + k.last_sample)"
    "  AS to_seconds"
    " FROM hold h JOIN session s ON s.id = h.session_id"
    " LEFT JOIN capture k ON k.session_id = h.session_id AND k.place = h.capture"
    " LEFT JOIN build b ON b.session_id = h.session_id AND b.place = h.build"
    " LEFT JOIN setup t ON t.session_id = h.session_id AND t.place = b.setup WHERE NOT h.undone",

    "CREATE VIEW setup_part AS SELECT t.session_id AS session, t.number AS setup,"
    " t.intent AS intent, v.key AS key, m.words AS words, v.value AS value, m.unit AS unit"
    " FROM setup t JOIN setup_value v ON v.session_id = t.session_id AND v.setup = t.place"
    " JOIN bike_measure m ON m.key = v.key WHERE NOT t.undone",

    "CREATE VIEW session_sheet AS SELECT s.id AS session, s.uuid AS uuid, s.started AS started,"
    " r.code AS rider_code, r.name AS rider, b.name AS bike,"
    " (SELECT x.rig_us / 1e6 FROM sample x WHERE x.n = s.last_n) AS seconds,"
    " s.sample_count AS samples,"
    " (SELECT count(*) FROM setup t WHERE t.session_id = s.id AND NOT t.undone) AS setups,"
    " (SELECT count(*) FROM hold h WHERE h.session_id = s.id AND NOT h.undone) AS holds, s.ended "
    "AS ended"
    " FROM session s LEFT JOIN session_rider r ON r.session_id = s.id AND NOT r.undone"
    " LEFT JOIN session_bike b ON b.session_id = s.id AND NOT b.undone",

    "CREATE VIEW hold_height AS SELECT r.session_id AS session, r.hold AS hold, h.setup AS setup,"
    " h.intent AS intent, h.build AS build, h.kind AS kind, r.channel AS channel,"
    " r.mean_mm AS mean_mm, r.mean_half_width_mm AS mean_half_width_mm, r.tied AS tied,"
    " r.absolute AS absolute, r.used AS used, r.why_not AS why_not, w.version AS version"
    " FROM result_hold r JOIN result w ON w.session_id = r.session_id"
    " JOIN hold_sheet h ON h.session = r.session_id AND h.hold = r.hold"
    " WHERE r.mean_mm IS NOT NULL",

    "CREATE VIEW setup_height AS SELECT r.session_id AS session, r.setup AS setup,"
    " t.intent AS intent, r.channel AS channel, r.holds AS holds, r.builds AS builds,"
    " r.tied AS tied, r.mean_mm AS mean_mm, r.half_width_mm AS half_width_mm,"
    " w.version AS version FROM result_setup r JOIN result w ON w.session_id = r.session_id"
    " JOIN setup t ON t.session_id = r.session_id AND t.number = r.setup AND NOT t.undone",

    "CREATE VIEW setup_difference AS SELECT r.session_id AS session, r.setup AS setup,"
    " w.baseline_setup AS baseline, r.channel AS channel, r.difference_mm AS difference_mm,"
    " r.low_mm AS low_mm, r.high_mm AS high_mm, r.verdict AS verdict, r.words AS words,"
    " w.version AS version FROM result_setup r JOIN result w ON w.session_id = r.session_id"
    " WHERE r.verdict IS NOT NULL",

    "CREATE VIEW run_sheet AS SELECT k.session_id AS session, k.number AS run, t.number AS setup,"
    " t.intent AS intent, k.file AS file, k.laps AS laps, r.used AS used, r.why_not AS why_not,"
    " r.legs AS legs, r.legs_used AS legs_used, r.drag_m2 AS drag_m2,"
    " r.speed_m_per_s AS speed_m_per_s, r.wind_m_per_s AS wind_m_per_s,"
    " r.density_kg_per_m3 AS density_kg_per_m3, k.power_w AS power_w,"
    " k.heart_per_min AS heart_per_min, k.effort AS effort, w.version AS version"
    " FROM run k JOIN setup t ON t.session_id = k.session_id AND t.place = k.setup"
    " LEFT JOIN result w ON w.session_id = k.session_id"
    " LEFT JOIN result_run r ON r.session_id = k.session_id AND r.run = k.number"
    " WHERE NOT k.undone",

    "CREATE VIEW leg_sheet AS SELECT l.session_id AS session, k.number AS run, l.number AS leg,"
    " t.number AS setup, CASE WHEN s.course = 'laps' THEN 'lap' WHEN l.back THEN 'back'"
    "  ELSE 'out' END AS way,"
    " nullif(l.pair, 0) AS pair, l.length_m AS length_m, l.duration_s AS seconds,"
    " l.work_j / l.duration_s AS power_w, l.speed_m_per_s AS speed_m_per_s, r.used AS used,"
    " r.why_not AS why_not, r.drag_m2 AS drag_m2, r.wind_m_per_s AS wind_m_per_s,"
    " w.version AS version FROM leg l JOIN session s ON s.id = l.session_id"
    " JOIN run k ON k.session_id = l.session_id AND k.place = l.run"
    " JOIN setup t ON t.session_id = k.session_id AND t.place = k.setup"
    " LEFT JOIN result w ON w.session_id = l.session_id"
    " LEFT JOIN result_leg r ON r.session_id = l.session_id AND r.run = k.number"
    "  AND r.leg = l.number WHERE NOT l.undone AND NOT k.undone",

    "CREATE VIEW setup_drag AS SELECT r.session_id AS session, r.setup AS setup,"
    " t.intent AS intent, r.runs AS runs, r.drag_m2 AS drag_m2,"
    " r.level_half_width_m2 AS level_half_width_m2, w.baseline_setup AS baseline,"
    " r.difference_m2 AS difference_m2, r.low_m2 AS low_m2, r.high_m2 AS high_m2,"
    " r.verdict AS verdict, r.words AS words, w.version AS version"
    " FROM result_drag r JOIN result w ON w.session_id = r.session_id"
    " JOIN setup t ON t.session_id = r.session_id AND t.number = r.setup AND NOT t.undone",

    "CREATE VIEW other_reading AS SELECT session, n, sample, seconds, channel,"
    " other_value AS value, quality FROM reading WHERE role = 'auxiliary'",

    "CREATE VIEW hold_other AS SELECT r.session_id AS session, r.hold AS hold, h.setup AS setup,"
    " h.kind AS kind, r.channel AS channel, r.other_value AS mean, w.version AS version"
    " FROM result_hold r JOIN result w ON w.session_id = r.session_id"
    " JOIN hold_sheet h ON h.session = r.session_id AND h.hold = r.hold"
    " WHERE r.other_value IS NOT NULL",
    NULL,
};

/* A table or column of a version is made as it is now: a column that came later is not added again.
 */
const struct store_migration store_migrations[] = {
    /* how well a target that was entered is known */
    {.from = 1, .table = TABLE_TARGET_HEIGHT, .column = "half_width_mm"},
    {.from = 2, .table = TABLE_SENSOR_CHECK},
    {.from = 2, .table = TABLE_SENSOR_CHECK_ASKED},
    {.from = 2, .table = TABLE_SENSOR_CHECK_NUMBER},
    {.from = 3, .table = TABLE_SESSION, .column = "chosen_setup"},
    {.from = 4, .table = TABLE_PART_LIMIT, .then = store_limits_from_log},
    {.from = 5, .table = TABLE_BUILD, .column = "moved"},
    {.from = 6, .table = TABLE_SESSION, .column = "learnt_from"},
    {.from = 6, .table = TABLE_LEARNT},
    {.from = 6, .table = TABLE_BUILD, .column = "slipped"},
    {.from = 7, .table = TABLE_CUE_SOUND},
    {.from = 7, .table = TABLE_SESSION_RIDER, .column = STORED_UNDONE},
    {.from = 7, .table = TABLE_SESSION_BIKE, .column = STORED_UNDONE},
    {.from = 7, .table = TABLE_PLACING, .column = STORED_UNDONE},
    {.from = 7, .table = TABLE_SETUP, .column = STORED_UNDONE},
    {.from = 7, .table = TABLE_BUILD, .column = STORED_UNDONE},
    {.from = 7, .table = TABLE_TIE_READING, .column = STORED_UNDONE},
    {.from = 7, .table = TABLE_CAPTURE, .column = STORED_UNDONE},
    {.from = 7, .table = TABLE_TARGET, .column = STORED_UNDONE},
    {.from = 7, .table = TABLE_BAND, .column = STORED_UNDONE},
    {.from = 7, .table = TABLE_HOLD, .column = STORED_UNDONE},
    {.from = 7, .table = TABLE_MARK, .column = STORED_UNDONE},
    {.from = 7, .table = TABLE_RATING, .column = STORED_UNDONE},
    {.from = 7, .table = TABLE_NOTE, .column = STORED_UNDONE},
    {.from = 7, .table = TABLE_SENSOR_CHECK, .column = STORED_UNDONE},
    {.from = 7, .sql = store_sum_tables_sql, .then = store_sums_make},
    {.from = 8, .table = TABLE_TIE_READING, .column = "rest"},
    {.from = 8, .table = TABLE_HOLD, .column = "purpose"},
    {.from = 8, .table = TABLE_HOLD, .column = "told"},
    {.from = 8, .table = TABLE_HOLD, .column = "guessed_share"},
    {.from = 8, .table = TABLE_HOLD, .column = "resit"},
    {.from = 8, .table = TABLE_RATING, .column = "morning"},
    {.from = 8, .table = TABLE_RATING, .column = "sign"},
    {.from = 8, .table = TABLE_SESSION_RIDER, .column = "health"},
    {.from = 8, .table = TABLE_SESSION, .column = "mass_kg"},
    {.from = 8, .table = TABLE_SESSION, .column = "rolling"},
    {.from = 8, .table = TABLE_SESSION, .column = "course"},
    {.from = 8, .table = TABLE_SESSION, .column = "course_length_m"},
    {.from = 8, .table = TABLE_SESSION, .column = "course_indoors"},
    {.from = 8, .table = TABLE_SESSION, .column = "drag_matters_m2"},
    {.from = 8, .table = TABLE_BOLT_TORQUE},
    {.from = 8, .table = TABLE_AIR},
    {.from = 8, .table = TABLE_RUN},
    {.from = 8, .table = TABLE_LEG},
    {.from = 8, .table = TABLE_LEG_PIECE},
    {.from = 8, .sql = store_result_tables_sql},
    {.from = 8, .sql = store_result_drag_sql},
    {.from = 9, .table = TABLE_SESSION, .column = "course_rise_m"},
    {.from = 9, .table = TABLE_SESSION, .column = "found_by"},
    {.from = 9, .table = TABLE_RUN, .column = "steps"},
};
const int store_migration_count = (int)(sizeof store_migrations / sizeof store_migrations[0]);
