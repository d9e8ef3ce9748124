/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "stored_rows.h"

/* What a session says of itself, of rider and bike, and its log. */

static const char *bike_key_of(int index)
{
    return index >= 0 && index < BIKE_KEYS ? bike_fields[index].key : NULL;
}
const struct stored_keys stored_bike_keys = {bike_key_of, bike_key_find};
static const struct stored_field session_fields[] = {
    {"uuid", STORED_UUID, AT(session_header, uuid),
     .words = "the same in every store that has a copy"},
    {"started", STORED_MOMENT, AT(session_header, started_ms),
     .words = "time of day at the first sample (0 of the session's axis)"},
    {"seed", STORED_INTEGER, AT(session_header, seed),
     .words = "of the session's identifiers, as a signed number"},
    {"version", STORED_TEXT, AT(session_header, version),
     .words = "of the program that recorded it"},
    {"ended", STORED_TRUTH, AT(session_header, ended),
     .words = "0: it was cut short, or is running"},
    {"rider_id", STORED_KEPT, .optional = true, .references = "rider(id)",
     .words = "NULL: none named"},
    {"bike_id", STORED_KEPT, .optional = true, .references = "bike(id)",
     .words = "NULL: none named"},
    {"baseline_setup", STORED_INTEGER, AT(session_header, settings.baseline_setup),
     .words = "number of the setup compared against"},
    {"trunk_slope_deg", STORED_REAL, AT(session_header, settings.trunk_slope_deg), .optional = true,
     .words = "NULL: not given"},
    {"first_n", STORED_KEPT, LEAST(1),
     .words =
         "first of its stretch of `sample.n`. The stretch can move when a cut-short session goes "
         "on: use `sample` numbers of the session to keep"},
    {"last_n", STORED_KEPT, .words = "last of it; `first_n` - 1 while it has no samples"},
    {"sample_count", STORED_KEPT, LEAST(0), .words = "samples stored"},
    {"chosen_setup", STORED_INTEGER, AT(session_header, settings.chosen_setup), LEAST(0),
     .defaulted = true,
     .words = "number of the setup that the rider's sheet is about; 0: none was chosen"},
    {"learnt_from", STORED_WORD, AT(session_header, settings.learnt_from),
     .list = &learnt_from_words, .optional = true, .otherwise = LEARNT_FROM_NONE,
     .words = "which part of `learnt` has a say in the comparison"},
    {"mass_kg", STORED_REAL, AT(session_header, drag.mass_kg), .optional = true, LEAST(0),
     .words = "of rider and bike on the day of the runs; NULL: not given"},
    {"rolling", STORED_REAL, AT(session_header, drag.rolling), .optional = true, READ(0, 1),
     .words = "coefficient of rolling resistance of the runs; NULL: the usual one"},
    {"course", STORED_WORD, AT(session_header, drag.course), .list = &course_words,
     .optional = true, .otherwise = COURSE_NOT_SAID, .words = "of the runs; NULL: not said"},
    {"course_length_m", STORED_REAL, AT(session_header, drag.course_length_m), .optional = true,
     LEAST(0), .words = "of a lap, or of one way; NULL: not given"},
    {"course_indoors", STORED_TRUTH, AT(session_header, drag.indoors), .defaulted = true,
     .words = "1: no wind"},
    {"drag_matters_m2", STORED_REAL, AT(session_header, drag.matters_m2), .optional = true,
     LEAST(0), .words = "the smallest difference in drag area that matters; NULL: the usual one"},
    {"course_rise_m", STORED_REAL, AT(session_header, drag.rise_m), .optional = true,
     .words = "where the way out ends over where it begins, over course_length_m; NULL: not known"},
    {"found_by", STORED_TEXT, AT(session_header, settings.found_by), .optional = true,
     .words = "what the rider sees and feels in the chosen posture; NULL: nothing was said"},
};

static const struct stored_field rider_fields[] = {
    {"uuid", STORED_UUID, AT(rider_record, uuid), .words = "made by this session"},
    {"code", STORED_TEXT, AT(rider_record, code),
     .words = "what the fitter calls the rider: `R-07`"},
    {"name", STORED_TEXT, AT(rider_record, name), .words = "may be empty"},
    {"watch_for", STORED_TEXT, AT(rider_record, watch_for),
     .words = "old trouble to watch for; may be empty"},
    UNDONE(rider_record),
    {"health", STORED_WORD, AT(rider_record, health), .list = &answer_words, .optional = true,
     .words = "whether ratings of discomfort may be kept at home; NULL: not asked"},
};

static const struct stored_field bike_fields_stored[] = {
    {"uuid", STORED_UUID, AT(bike_record, uuid), .words = "made by this session"},
    {"name", STORED_TEXT, AT(bike_record, name), .words = "`training bike`"},
    UNDONE(bike_record),
};

static const struct stored_field frame_value_fields[] = {
    {"value", STORED_REAL, EACH(bike_record, frame.value, ), .words = "in the measure's unit"},
};

static const struct stored_field matters_fields[] = {
    {"matters_mm", STORED_REAL, EACH(session_header, settings.matters_mm, ), .optional = true,
     .words = "the smallest difference in height that matters"},
};

static const struct stored_field learnt_fields[] = {
    {"rider_sd_mm", STORED_REAL, EACH(session_header, settings.learnt, .rider_sd_mm),
     .optional = true, .words = "SD between holds of a setup, of this rider's earlier sessions"},
    {"rider_df", STORED_REAL, EACH(session_header, settings.learnt, .rider_df), .optional = true,
     .words = "the degrees of freedom it is worth"},
    {"rider_sessions", STORED_INTEGER, EACH(session_header, settings.learnt, .rider_sessions),
     LEAST(0), .words = "how many they are"},
    {"store_sd_mm", STORED_REAL, EACH(session_header, settings.learnt, .store_sd_mm),
     .optional = true, .words = "the same of the store's other riders"},
    {"store_df", STORED_REAL, EACH(session_header, settings.learnt, .store_df), .optional = true,
     .words = "the degrees of freedom it is worth"},
    {"store_sessions", STORED_INTEGER, EACH(session_header, settings.learnt, .store_sessions),
     LEAST(0), .words = "how many they are"},
};

static const struct stored_keys limit_keys = {bike_limit_key, bike_limit_find};
static const struct stored_field part_limit_fields[] = {
    {"least", STORED_REAL, EACH(session_header, limits.least, ), .optional = true,
     .words = "NULL: no limit on that side"},
    {"most", STORED_REAL, EACH(session_header, limits.most, ), .optional = true,
     .words = "NULL: no limit on that side"},
    {"unit", STORED_GIVEN, .given_of = bike_limit_unit, .words = "`mm`, `deg`"},
};

static const struct stored_keys bolt_keys = {bike_bolt_key, bike_bolt_find};
static const struct stored_field bolt_torque_fields[] = {
    {"nm", STORED_REAL, EACH(session_header, torques.nm, ), .optional = true,
     .words = "N\u00b7m, as the fitter entered it"},
};

static const struct stored_field note_fields[] = {
    UUID(note_record),
    {"sample", STORED_INTEGER, AT(note_record, sample), SAMPLE, .words = "when"},
    {"text", STORED_TEXT, AT(note_record, text), .words = "as it was typed"},
    UNDONE(note_record),
};

static const struct stored_field command_fields[] = {
    {"after_sample", STORED_INTEGER, AT(command_record, after_sample), SAMPLE,
     .words = "taken when this sample of the session had been seen; 0: before the first"},
    {"text", STORED_TEXT, AT(command_record, text), .words = "the line"},
};

const struct stored_table stored_session = {"session", .what = "session", FIELDS(session_fields)};

const struct stored_table stored_session_rider = {"session_rider",
                                                  ONE(rider, "rider", rider_fields)};

const struct stored_table stored_session_bike = {"session_bike",
                                                 ONE(bike, "bike", bike_fields_stored)};

const struct stored_table stored_session_bike_value = {
    "session_bike_value", OWNED(TABLE_SESSION_BIKE, BIKE_KEYS, frame_value_fields), KEYS(BIKE_KEY),
    .sparse = true};

const struct stored_table stored_matters = {
    "matters", OWNED(TABLE_SESSION, CHANNELS_MAX, matters_fields), KEYS(CHANNEL_KEY)};

const struct stored_table stored_learnt = {
    "learnt", OWNED(TABLE_SESSION, CHANNELS_MAX, learnt_fields), KEYS(CHANNEL_KEY), .sparse = true};

const struct stored_table stored_part_limit = {
    "part_limit", OWNED(TABLE_SESSION, BIKE_LIMITS, part_limit_fields),
    KEYS({"key", STORED_KEY, .keys = &limit_keys,
          .words = "in `bike_measure`, or `column`: headset cap, spacers and stem clamp together"}),
    .sparse = true};

const struct stored_table stored_bolt_torque = {
    "bolt_torque", OWNED(TABLE_SESSION, BIKE_BOLTS, bolt_torque_fields),
    KEYS({"key", STORED_KEY, .keys = &bolt_keys, .words = "the bolts: `stem_clamp`, `pads`"}),
    .sparse = true};

const struct stored_table stored_note = {"note", RECORDS(note, NOTES_MAX, "note", note_fields)};

const struct stored_table stored_command = {
    "command", .what = "command", .shape = SHAPE_RECORD, FIELDS(command_fields),
    KEYS({"ordinal", STORED_PLACE, LEAST(1), .words = "1, 2, …"})};
