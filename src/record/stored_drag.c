/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "stored_rows.h"

/* A day of runs: the air, the runs, their laps or legs. */

#define MINUTES_OF_DAY 1440

static const struct stored_field air_fields[] = {
    UUID(air_record),
    {"temperature_c", STORED_REAL, AT(air_record, temperature_c), .optional = true,
     .words = "of the air"},
    {"pressure_hpa", STORED_REAL, AT(air_record, pressure_hpa), .optional = true,
     .words = "where the runs were ridden, not reduced to sea level"},
    {"humidity_percent", STORED_REAL, AT(air_record, humidity_percent), .optional = true,
     READ(0, 100), .words = "relative"},
    {"wind_m_per_s", STORED_REAL, AT(air_record, wind_m_per_s), .optional = true, LEAST(0),
     .words = "how much, from wherever; NULL: not said"},
    {"at_min", STORED_REAL, AT(air_record, at_min), .optional = true, READ(0, MINUTES_OF_DAY),
     .words = "time of day, minutes after midnight; NULL: not said"},
    {"after_run", STORED_INTEGER, AT(air_record, after_run), LEAST(0),
     .words = "number of the run before it; 0: before the first"},
    UNDONE(air_record),
};

static const struct stored_field run_fields[] = {
    UUID(run_record),
    {"number", STORED_INTEGER, AT(run_record, number),
     .words = "1, 2, … in the order in which they were ridden"},
    {"setup", STORED_PLACE, AT(run_record, setup), .of = TABLE_SETUP, .words = "its place"},
    {"file", STORED_TEXT, AT(run_record, file), .words = "it was read from, without folders"},
    {"file_sum", STORED_TEXT, AT(run_record, file_sum), .words = "checksum of what was read"},
    {"laps", STORED_TEXT, AT(run_record, laps), .words = "which were asked for; empty: all"},
    {"at_min", STORED_REAL, AT(run_record, at_min), .optional = true, READ(0, MINUTES_OF_DAY),
     .words = "time of day, minutes after midnight; NULL: not said"},
    {"speed_from", STORED_WORD, AT(run_record, speed_from), .list = &ride_source_words,
     .optional = true, .otherwise = RIDE_SOURCE_NOT_SAID,
     .words = "satellites are not good enough for a verdict; NULL: not said"},
    {"power_w", STORED_REAL, AT(run_record, power_w), .optional = true,
     .words = "mean over its laps or legs"},
    {"heart_per_min", STORED_REAL, AT(run_record, heart_per_min), .optional = true,
     .words = "likewise; NULL: not known"},
    {"effort", STORED_REAL, AT(run_record, effort), .optional = true, READ(0, RATING_SCORE_MOST),
     .words = "as the rider said, 0 to 10; NULL: not asked"},
    {"rejected", STORED_TRUTH, AT(run_record, rejected),
     .words = "1: left out. Nothing is deleted"},
    {"reject_reason", STORED_TEXT, AT(run_record, reject_reason), .words = "and why"},
    {"steps", STORED_TRUTH, AT(run_record, steps), .defaulted = true,
     .words = "1: steps of speed, for rolling resistance; in no comparison of setups"},
    UNDONE(run_record),
};

#define SUM(member) AT(leg_record, sums.member), .optional = true
static const struct stored_field leg_fields[] = {
    UUID(leg_record),
    {"run", STORED_PLACE, AT(leg_record, run), .of = TABLE_RUN, .words = "its place"},
    {"number", STORED_INTEGER, AT(leg_record, number), .words = "1, 2, … of the run"},
    {"back", STORED_TRUTH, AT(leg_record, back), .words = "1: the way back"},
    {"pair", STORED_INTEGER, AT(leg_record, pair), LEAST(0),
     .words = "the same for a way out and its way back, from 1 on; 0: a lap, or in none"},
    {"length_m", STORED_REAL, SUM(length_m), .words = "as the wheel has it"},
    {"duration_s", STORED_REAL, SUM(duration_s), .words = "how long it took"},
    {"work_j", STORED_REAL, SUM(work_j), .words = "at the pedals"},
    {"speed_m_per_s", STORED_REAL, SUM(speed_m_per_s), .words = "mean over the length"},
    {"speed_squared", STORED_REAL, SUM(speed_squared),
     .words = "mean of the square over the length, m2/s2"},
    {"in_m_per_s", STORED_REAL, SUM(in_m_per_s), .words = "speed where it begins"},
    {"out_m_per_s", STORED_REAL, SUM(out_m_per_s), .words = "and where it ends"},
    {"climb_m", STORED_REAL, SUM(climb_m), .words = "its end over its beginning"},
    {"left_out", STORED_TRUTH, AT(leg_record, left_out), .words = "1: by the reader or by hand"},
    {"reason", STORED_TEXT, AT(leg_record, reason), .words = "and why"},
    {"piece_m", STORED_REAL, AT(leg_record, piece_m), LEAST(0),
     .words = "length of each of its pieces; 0: none"},
    {"pieces", STORED_INTEGER, AT(leg_record, piece_count), RANGE(0, LEG_PIECES_MAX),
     .words = "how many there are"},
    UNDONE(leg_record),
};

static const struct stored_field leg_piece_fields[] = {
    {"work_j", STORED_REAL, EACH(leg_record, piece, .work_j), .optional = true,
     .words = "at the pedals"},
    {"speed_m_per_s", STORED_REAL, EACH(leg_record, piece, .speed_m_per_s), .optional = true,
     .words = "mean"},
    {"out_m_per_s", STORED_REAL, EACH(leg_record, piece, .out_m_per_s), .optional = true,
     .words = "speed where it ends"},
};

const struct stored_table stored_air = {"air",
                                        RECORDS(air, AIRS_MAX, "reading of the air", air_fields)};
const struct stored_table stored_run = {"run", RECORDS(run, RUNS_MAX, "run", run_fields)};
const struct stored_table stored_leg = {"leg", RECORDS(leg, LEGS_MAX, "leg", leg_fields)};
const struct stored_table stored_leg_piece = {
    "leg_piece", OWNED(TABLE_LEG, LEG_PIECES_MAX, leg_piece_fields),
    KEYS(OWNER_KEY("leg"), {"piece", STORED_PLACE, RANGE(1, LEG_PIECES_MAX),
                            .words = "1, 2, … from where the leg begins"}),
    COUNTED(leg_record, piece_count)};
