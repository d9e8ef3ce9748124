/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "schema.h"
#include "from_log.h"

#include <stddef.h>

/* A record is known by its session and its place there (1, 2, ...), and across stores by its uuid.
 * References within a session are places, and deferred, so that records may come in any order
 * within a commit. NULL is 'not known' or 'none'. The CHECKs say only what holds for every record
 * the program can make: a row that is refused while a session runs would be a reading lost. */

#define UUID_COLUMN "uuid TEXT NOT NULL UNIQUE CHECK (length(uuid) = 36)"
#define SESSION_COLUMN "session_id INTEGER NOT NULL REFERENCES session(id) ON DELETE CASCADE"
#define PLACE_COLUMN "place INTEGER NOT NULL CHECK (place >= 1)"
#define CHANNEL_COLUMN "channel INTEGER NOT NULL CHECK (channel BETWEEN 1 AND 8)"
#define TRUTH(name) name " INTEGER NOT NULL CHECK (" name " IN (0, 1))"
#define SCORE(name) name " INTEGER CHECK (" name " BETWEEN 0 AND 10)"
#define YES_NO(name) name " TEXT CHECK (" name " IN ('yes', 'no'))"
#define POINTS_TO(column, table)                                                                   \
    "FOREIGN KEY (session_id, " column ") REFERENCES " table                                       \
    "(session_id, place) DEFERRABLE INITIALLY DEFERRED"
#define RECORD_END "PRIMARY KEY (session_id, place)) STRICT, WITHOUT ROWID"

/* clang-format off */
#define SENSOR_CHECK_TABLES                                                                        \
    "CREATE TABLE sensor_check (" SESSION_COLUMN ", " PLACE_COLUMN ", " UUID_COLUMN ","            \
    " kind TEXT NOT NULL CHECK (kind IN ('still', 'step', 'beam', 'rider', 'calibration')),"       \
    " placing INTEGER NOT NULL, build INTEGER,"                                                    \
    " channel INTEGER CHECK (channel BETWEEN 1 AND 8), capture INTEGER,"                           \
    " phase_count INTEGER NOT NULL CHECK (phase_count >= 0),"                                      \
    " verdict TEXT NOT NULL CHECK (verdict IN ('passed', 'failed', 'uncertain')),"                 \
    " words TEXT NOT NULL, " POINTS_TO("placing", "placing") ", " POINTS_TO("build", "build")      \
    ", " POINTS_TO("capture", "capture") ", " RECORD_END,                                          \
    "CREATE TABLE sensor_check_asked (" SESSION_COLUMN ", sensor_check INTEGER NOT NULL,"          \
    " phase INTEGER NOT NULL CHECK (phase >= 1), asked_mm REAL NOT NULL,"                          \
    " PRIMARY KEY (session_id, sensor_check, phase), " POINTS_TO("sensor_check", "sensor_check")   \
    ") STRICT, WITHOUT ROWID",                                                                     \
    "CREATE TABLE sensor_check_number (" SESSION_COLUMN ", sensor_check INTEGER NOT NULL,"         \
    " ordinal INTEGER NOT NULL CHECK (ordinal >= 1), key TEXT NOT NULL, " CHANNEL_COLUMN ","       \
    " phase INTEGER NOT NULL CHECK (phase >= 1), value REAL NOT NULL, unit TEXT NOT NULL,"         \
    " PRIMARY KEY (session_id, sensor_check, ordinal), " POINTS_TO("sensor_check", "sensor_check") \
    ") STRICT, WITHOUT ROWID"
#define PART_LIMIT_TABLE                                                                           \
    "CREATE TABLE part_limit (" SESSION_COLUMN ", key TEXT NOT NULL, least REAL, most REAL,"       \
    " unit TEXT NOT NULL, PRIMARY KEY (session_id, key)) STRICT, WITHOUT ROWID"
/* clang-format on */

/* clang-format off */
const char *const store_tables_sql[] = {
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

    "CREATE TABLE session (id INTEGER PRIMARY KEY AUTOINCREMENT, " UUID_COLUMN ","
    " started TEXT NOT NULL CHECK (started GLOB '*[0-9]T[0-9]*Z'),"
    " seed INTEGER NOT NULL, version TEXT NOT NULL, " TRUTH("ended") ","
    " rider_id INTEGER REFERENCES rider(id), bike_id INTEGER REFERENCES bike(id),"
    " baseline_setup INTEGER NOT NULL, trunk_slope_deg REAL,"
    " first_n INTEGER NOT NULL CHECK (first_n >= 1), last_n INTEGER NOT NULL,"
    " sample_count INTEGER NOT NULL CHECK (sample_count >= 0),"
    " chosen_setup INTEGER NOT NULL DEFAULT 0 CHECK (chosen_setup >= 0),"
    " CHECK (last_n >= first_n - 1)) STRICT",
    "CREATE INDEX session_by_start ON session (started, id)",
    "CREATE INDEX session_by_rider ON session (rider_id)",
    "CREATE INDEX session_by_bike ON session (bike_id)",
    "CREATE INDEX session_by_sample ON session (first_n)",

    "CREATE TABLE session_rider (session_id INTEGER NOT NULL PRIMARY KEY"
    " REFERENCES session(id) ON DELETE CASCADE, uuid TEXT NOT NULL CHECK (length(uuid) = 36),"
    " code TEXT NOT NULL, name TEXT NOT NULL, watch_for TEXT NOT NULL) STRICT, WITHOUT ROWID",

    "CREATE TABLE session_bike (session_id INTEGER NOT NULL PRIMARY KEY"
    " REFERENCES session(id) ON DELETE CASCADE, uuid TEXT NOT NULL CHECK (length(uuid) = 36),"
    " name TEXT NOT NULL) STRICT, WITHOUT ROWID",

    "CREATE TABLE session_bike_value (" SESSION_COLUMN ","
    " key TEXT NOT NULL REFERENCES bike_measure(key), value REAL NOT NULL,"
    " PRIMARY KEY (session_id, key)) STRICT, WITHOUT ROWID",

    "CREATE TABLE matters (" SESSION_COLUMN ", " CHANNEL_COLUMN ", matters_mm REAL,"
    " PRIMARY KEY (session_id, channel)) STRICT, WITHOUT ROWID",

    PART_LIMIT_TABLE,

    "CREATE TABLE placing (" SESSION_COLUMN ", " PLACE_COLUMN ", " UUID_COLUMN ","
    " first_sample INTEGER NOT NULL, rig_id TEXT NOT NULL, announced_rate_hz REAL, " RECORD_END,

    "CREATE TABLE channel (" SESSION_COLUMN ", placing INTEGER NOT NULL, " CHANNEL_COLUMN ","
    " name TEXT NOT NULL, role TEXT NOT NULL CHECK (role IN ('body', 'reference', 'auxiliary')),"
    " mark TEXT NOT NULL, " TRUTH("mounted") ", carrier TEXT, x_mm REAL, y_mm REAL, tilt_deg REAL,"
    " looks TEXT CHECK (looks IN ('up', 'down')), gain REAL, offset_mm REAL,"
    " unit_um INTEGER NOT NULL CHECK (unit_um >= 1),"
    " PRIMARY KEY (session_id, placing, channel), " POINTS_TO("placing", "placing") ")"
    " STRICT, WITHOUT ROWID",

    "CREATE TABLE setup (" SESSION_COLUMN ", " PLACE_COLUMN ", " UUID_COLUMN ","
    " number INTEGER NOT NULL, intent TEXT NOT NULL, " RECORD_END,

    "CREATE TABLE setup_value (" SESSION_COLUMN ", setup INTEGER NOT NULL,"
    " key TEXT NOT NULL REFERENCES bike_measure(key), value REAL NOT NULL,"
    " PRIMARY KEY (session_id, setup, key), " POINTS_TO("setup", "setup") ") STRICT, WITHOUT ROWID",

    "CREATE TABLE build (" SESSION_COLUMN ", " PLACE_COLUMN ", " UUID_COLUMN ","
    " setup INTEGER NOT NULL, placing INTEGER, ordinal INTEGER NOT NULL,"
    " first_sample INTEGER NOT NULL, " POINTS_TO("setup", "setup") ", "
    POINTS_TO("placing", "placing") ", " RECORD_END,

    "CREATE TABLE tie_reading (" SESSION_COLUMN ", " PLACE_COLUMN ", " UUID_COLUMN ","
    " kind TEXT NOT NULL CHECK (kind IN ('plate', 'tape')), build INTEGER NOT NULL, "
    CHANNEL_COLUMN ", value_mm REAL, plate_height_mm REAL, at_sample INTEGER NOT NULL, "
    POINTS_TO("build", "build") ", " RECORD_END,

    "CREATE TABLE capture (" SESSION_COLUMN ", " PLACE_COLUMN ", " UUID_COLUMN ","
    " kind TEXT NOT NULL CHECK (kind IN ('target', 'hold', 'plate', 'check')),"
    " first_sample INTEGER NOT NULL, last_sample INTEGER, " RECORD_END,

    "CREATE TABLE target (" SESSION_COLUMN ", " PLACE_COLUMN ", " UUID_COLUMN ","
    " capture INTEGER, build INTEGER, until_mm REAL, " TRUTH("kept") ", "
    POINTS_TO("capture", "capture") ", " POINTS_TO("build", "build") ", " RECORD_END,

    "CREATE TABLE target_height (" SESSION_COLUMN ", target INTEGER NOT NULL, " CHANNEL_COLUMN ","
    " height_mm REAL NOT NULL, half_width_mm REAL CHECK (half_width_mm >= 0),"
    " PRIMARY KEY (session_id, target, channel), " POINTS_TO("target", "target") ")"
    " STRICT, WITHOUT ROWID",

    "CREATE TABLE band (" SESSION_COLUMN ", " PLACE_COLUMN ", " UUID_COLUMN ","
    " from_sample INTEGER NOT NULL, " RECORD_END,

    "CREATE TABLE band_channel (" SESSION_COLUMN ", band INTEGER NOT NULL, " CHANNEL_COLUMN ", "
    TRUTH("limited") ", above_mm REAL, below_mm REAL, filter_hz REAL, dead_band REAL,"
    " on_delay_s REAL, off_delay_s REAL, no_reading_s REAL,"
    " PRIMARY KEY (session_id, band, channel), " POINTS_TO("band", "band") ")"
    " STRICT, WITHOUT ROWID",

    "CREATE TABLE hold (" SESSION_COLUMN ", " PLACE_COLUMN ", " UUID_COLUMN ","
    " number INTEGER NOT NULL, capture INTEGER, build INTEGER, target INTEGER, band INTEGER, "
    TRUTH("guided") ", " TRUTH("kept_afterwards") ", planned_s REAL,"
    " status TEXT NOT NULL CHECK (status IN ('running', 'complete', 'stopped', 'cut short')), "
    TRUTH("rejected") ", reject_reason TEXT NOT NULL, "
    POINTS_TO("capture", "capture") ", " POINTS_TO("build", "build") ","
    " " POINTS_TO("target", "target") ", " POINTS_TO("band", "band") ", " RECORD_END,

    "CREATE TABLE mark (" SESSION_COLUMN ", " PLACE_COLUMN ", kind TEXT NOT NULL, hold INTEGER,"
    " sample INTEGER NOT NULL, " TRUTH("cut") ", " POINTS_TO("hold", "hold") ", " RECORD_END,

    "CREATE TABLE rating (" SESSION_COLUMN ", " PLACE_COLUMN ", " UUID_COLUMN ","
    " setup INTEGER, sample INTEGER NOT NULL, " SCORE("effort") ", " SCORE("neck") ", "
    SCORE("shoulder_blades") ", " SCORE("lower_back") ", " SCORE("forearms") ", "
    SCORE("hands") ", " SCORE("saddle_front") ", " SCORE("hips") ", " SCORE("breathing") ","
    " " YES_NO("numb_hands") ", " YES_NO("numb_saddle") ", " YES_NO("would_race") ","
    " sees_ahead TEXT CHECK (sees_ahead IN ('yes', 'strained', 'no')), could_stay_min REAL, "
    POINTS_TO("setup", "setup") ", " RECORD_END,

    "CREATE TABLE note (" SESSION_COLUMN ", " PLACE_COLUMN ", " UUID_COLUMN ","
    " sample INTEGER NOT NULL, text TEXT NOT NULL, " RECORD_END,

    SENSOR_CHECK_TABLES,

    "CREATE TABLE command (" SESSION_COLUMN ", ordinal INTEGER NOT NULL CHECK (ordinal >= 1),"
    " after_sample INTEGER NOT NULL, text TEXT NOT NULL,"
    " PRIMARY KEY (session_id, ordinal)) STRICT, WITHOUT ROWID",

    "CREATE TABLE sample (n INTEGER PRIMARY KEY, rig_us INTEGER NOT NULL,"
    " delay_us INTEGER NOT NULL,"
    " quality INTEGER NOT NULL CHECK (quality >= 0), v1 INTEGER, v2 INTEGER, v3 INTEGER,"
    " v4 INTEGER, v5 INTEGER, v6 INTEGER, v7 INTEGER, v8 INTEGER) STRICT",
    NULL,
};
/* clang-format on */

#define READING_COLUMNS                                                                            \
    " x.n AS n, x.n - s.first_n + 1 AS sample, x.rig_us / 1e6 AS seconds, c.name AS channel,"      \
    " c.role AS role, CASE c.channel WHEN 1 THEN x.v1 WHEN 2 THEN x.v2 WHEN 3 THEN x.v3"           \
    " WHEN 4 THEN x.v4 WHEN 5 THEN x.v5 WHEN 6 THEN x.v6 WHEN 7 THEN x.v7 ELSE x.v8 END"           \
    " * c.unit_um / 1000.0 AS range_mm,"                                                           \
    " CASE (x.quality >> (3 * (c.channel - 1))) & 7 WHEN 0 THEN 'good' WHEN 1 THEN 'missing'"      \
    " WHEN 2 THEN 'weak' WHEN 3 THEN 'saturated' ELSE 'out of range' END AS quality,"              \
    " (x.quality >> 24) & 1 AS link_gap, x.quality >> 25 AS lost_before"

/* CROSS JOIN keeps the order of the loops: session, then its stretch of the stream. */
const char *const store_views_sql[] = {
    "CREATE VIEW placing_span AS SELECT p.session_id AS session_id, p.place AS placing,"
    " s.first_n + max(p.first_sample, 1) - 1 AS first_n,"
    " min(s.last_n, coalesce(s.first_n - 2 + (SELECT max(q.first_sample, 1) FROM placing q"
    "  WHERE q.session_id = p.session_id AND q.place > p.place ORDER BY q.place LIMIT 1),"
    "  s.last_n)) AS last_n"
    " FROM placing p JOIN session s ON s.id = p.session_id",

    "CREATE VIEW reading AS SELECT s.id AS session," READING_COLUMNS
    " FROM session s CROSS JOIN placing_span p ON p.session_id = s.id"
    " CROSS JOIN sample x ON x.n BETWEEN p.first_n AND p.last_n"
    " CROSS JOIN channel c ON c.session_id = s.id AND c.placing = p.placing",

    "CREATE VIEW hold_reading AS SELECT s.id AS session, h.number AS hold, t.number AS "
    "setup," READING_COLUMNS " FROM session s CROSS JOIN hold h ON h.session_id = s.id"
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
    " LEFT JOIN setup t ON t.session_id = h.session_id AND t.place = b.setup",

    "CREATE VIEW setup_part AS SELECT t.session_id AS session, t.number AS setup,"
    " t.intent AS intent, v.key AS key, m.words AS words, v.value AS value, m.unit AS unit"
    " FROM setup t JOIN setup_value v ON v.session_id = t.session_id AND v.setup = t.place"
    " JOIN bike_measure m ON m.key = v.key",

    "CREATE VIEW session_sheet AS SELECT s.id AS session, s.uuid AS uuid, s.started AS started,"
    " r.code AS rider_code, r.name AS rider, b.name AS bike,"
    " (SELECT x.rig_us / 1e6 FROM sample x WHERE x.n = s.last_n) AS seconds,"
    " s.sample_count AS samples,"
    " (SELECT count(*) FROM setup t WHERE t.session_id = s.id) AS setups,"
    " (SELECT count(*) FROM hold h WHERE h.session_id = s.id) AS holds, s.ended AS ended"
    " FROM session s LEFT JOIN session_rider r ON r.session_id = s.id"
    " LEFT JOIN session_bike b ON b.session_id = s.id",
    NULL,
};

static const char *const to_version_2[] = {
    "ALTER TABLE target_height ADD COLUMN half_width_mm REAL CHECK (half_width_mm >= 0)",
    NULL,
};

static const char *const to_version_3[] = {SENSOR_CHECK_TABLES, NULL};

static const char *const to_version_4[] = {
    "ALTER TABLE session ADD COLUMN chosen_setup INTEGER NOT NULL DEFAULT 0"
    " CHECK (chosen_setup >= 0)",
    NULL,
};

static const char *const to_version_5[] = {PART_LIMIT_TABLE, NULL};

const struct store_migration store_migrations[] = {
    {1, to_version_2, NULL},                  /* how well a target that was entered is known */
    {2, to_version_3, NULL},                  /* checks of the sensors */
    {3, to_version_4, NULL},                  /* the chosen setup */
    {4, to_version_5, store_limits_from_log}, /* limits from the makers' papers */
};
const int store_migration_count = (int)(sizeof store_migrations / sizeof store_migrations[0]);

const struct store_columns store_columns[STORE_TABLES] = {
    [TABLE_SESSION_RIDER] = {"session_rider", "session_id, uuid, code, name, watch_for", 1},
    [TABLE_SESSION_BIKE] = {"session_bike", "session_id, uuid, name", 1},
    [TABLE_SESSION_BIKE_VALUE] = {"session_bike_value", "session_id, key, value", 2},
    [TABLE_MATTERS] = {"matters", "session_id, channel, matters_mm", 2},
    [TABLE_PART_LIMIT] = {"part_limit", "session_id, key, least, most, unit", 2},
    [TABLE_PLACING] = {"placing",
                       "session_id, place, uuid, first_sample, rig_id, announced_rate_hz", 2},
    [TABLE_CHANNEL] = {"channel",
                       "session_id, placing, channel, name, role, mark, mounted, carrier, x_mm,"
                       " y_mm, tilt_deg, looks, gain, offset_mm, unit_um",
                       3},
    [TABLE_SETUP] = {"setup", "session_id, place, uuid, number, intent", 2},
    [TABLE_SETUP_VALUE] = {"setup_value", "session_id, setup, key, value", 3},
    [TABLE_BUILD] = {"build", "session_id, place, uuid, setup, placing, ordinal, first_sample", 2},
    [TABLE_TIE_READING] = {"tie_reading",
                           "session_id, place, uuid, kind, build, channel, value_mm,"
                           " plate_height_mm, at_sample",
                           2},
    [TABLE_CAPTURE] = {"capture", "session_id, place, uuid, kind, first_sample, last_sample", 2},
    [TABLE_TARGET] = {"target", "session_id, place, uuid, capture, build, until_mm, kept", 2},
    [TABLE_TARGET_HEIGHT] = {"target_height",
                             "session_id, target, channel, height_mm, half_width_mm", 3},
    [TABLE_BAND] = {"band", "session_id, place, uuid, from_sample", 2},
    [TABLE_BAND_CHANNEL] = {"band_channel",
                            "session_id, band, channel, limited, above_mm, below_mm, filter_hz,"
                            " dead_band, on_delay_s, off_delay_s, no_reading_s",
                            3},
    [TABLE_HOLD] = {"hold",
                    "session_id, place, uuid, number, capture, build, target, band, guided,"
                    " kept_afterwards, planned_s, status, rejected, reject_reason",
                    2},
    [TABLE_MARK] = {"mark", "session_id, place, kind, hold, sample, cut", 2},
    [TABLE_RATING] = {"rating",
                      "session_id, place, uuid, setup, sample, effort, neck, shoulder_blades,"
                      " lower_back, forearms, hands, saddle_front, hips, breathing, numb_hands,"
                      " numb_saddle, would_race, sees_ahead, could_stay_min",
                      2},
    [TABLE_NOTE] = {"note", "session_id, place, uuid, sample, text", 2},
    [TABLE_SENSOR_CHECK] = {"sensor_check",
                            "session_id, place, uuid, kind, placing, build, channel, capture,"
                            " phase_count, verdict, words",
                            2},
    [TABLE_SENSOR_CHECK_ASKED] = {"sensor_check_asked", "session_id, sensor_check, phase, asked_mm",
                                  3},
    [TABLE_SENSOR_CHECK_NUMBER] = {"sensor_check_number",
                                   "session_id, sensor_check, ordinal, key, channel, phase, value,"
                                   " unit",
                                   3},
    [TABLE_COMMAND] = {"command", "session_id, ordinal, after_sample, text", 2},
};
