/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RECORD_STORED_ROWS_H
#define HOLDLINE_RECORD_STORED_ROWS_H

#include "record/stored.h"

#include <stddef.h>

/* How the rows of the tables of fields are written; for the files of those only. */

#define AT(of, member)                                                                             \
    .offset = offsetof(struct of, member), .size = sizeof(((struct of *)0)->member)
/* One of an array's; array[0]'s member, the next one a whole array[0] further. */
#define EACH(of, array, member)                                                                    \
    .offset = offsetof(struct of, array[0] member),                                                \
    .size = sizeof(((struct of *)0)->array[0] member),                                             \
    .stride = sizeof(((struct of *)0)->array[0])
#define LEAST(value) .has_least = true, .least = (value)
#define RANGE(from, to) LEAST(from), .has_most = true, .most = (to)
#define READ(from, to) .read_least = (from), .read_most = (to)
#define SAMPLE .is_sample = true
#define UUID(of)                                                                                   \
    {                                                                                              \
        "uuid", STORED_UUID, AT(of, uuid), .words = "the same in every copy of the record"         \
    }
/* The last of a record's fields but for those that came later. */
#define UNDONE(of)                                                                                 \
    {                                                                                              \
        STORED_UNDONE, STORED_TRUTH, AT(of, undone),                                               \
            .defaulted = true, .words = "1: taken back: it is kept, and counts nowhere"            \
    }

#define PLACE_KEY                                                                                  \
    {                                                                                              \
        "place", STORED_PLACE, LEAST(1), .words = "of the record, in the session"                  \
    }
#define OWNER_KEY(table)                                                                           \
    {                                                                                              \
        table, STORED_PLACE, .words = "place of the `" table "` it belongs to"                     \
    }
extern const struct stored_keys stored_bike_keys;
#define BIKE_KEY                                                                                   \
    {                                                                                              \
        "key", STORED_KEY, .keys = &stored_bike_keys, .references = "bike_measure(key)",           \
                           .words = "the measure"                                                  \
    }
#define CHANNEL_KEY                                                                                \
    {                                                                                              \
        "channel", STORED_PLACE, RANGE(1, CHANNELS_MAX),                                           \
            .words = "1 to 8: column `v1` to `v8` of `sample`"                                     \
    }
#define KEYS(...)                                                                                  \
    .key = (const struct stored_field[]){__VA_ARGS__},                                             \
    .key_count =                                                                                   \
        (int)(sizeof((const struct stored_field[]){__VA_ARGS__}) / sizeof(struct stored_field))
#define FIELDS(fields) .field = fields, .field_count = (int)(sizeof fields / sizeof fields[0])

#define RECORDS(member, number, called, fields)                                                    \
    .what = called, .shape = SHAPE_RECORD, FIELDS(fields), KEYS(PLACE_KEY),                        \
    .offset = offsetof(struct session_record, member),                                             \
    .size = sizeof(((struct session_record *)0)->member[0]),                                       \
    .count_offset = offsetof(struct session_record, member##_count), .most = (number)
#define ONE(member, called, fields)                                                                \
    .what = called, .shape = SHAPE_ONE, FIELDS(fields),                                            \
    .offset = offsetof(struct session_record, member),                                             \
    .size = sizeof(((struct session_record *)0)->member),                                          \
    .count_offset = offsetof(struct session_record, has_##member), .most = 1
#define OWNED(by, number, fields)                                                                  \
    .shape = SHAPE_OWNED, .owner = (by), .most = (number), FIELDS(fields)
#define COUNTED(of, member) .counted = true, .count_offset = offsetof(struct of, member)

extern const struct stored_table stored_session;
extern const struct stored_table stored_session_rider;
extern const struct stored_table stored_session_bike;
extern const struct stored_table stored_session_bike_value;
extern const struct stored_table stored_matters;
extern const struct stored_table stored_learnt;
extern const struct stored_table stored_part_limit;
extern const struct stored_table stored_bolt_torque;
extern const struct stored_table stored_placing;
extern const struct stored_table stored_channel;
extern const struct stored_table stored_setup;
extern const struct stored_table stored_setup_value;
extern const struct stored_table stored_build;
extern const struct stored_table stored_tie_reading;
extern const struct stored_table stored_capture;
extern const struct stored_table stored_target;
extern const struct stored_table stored_target_height;
extern const struct stored_table stored_band;
extern const struct stored_table stored_band_channel;
extern const struct stored_table stored_hold;
extern const struct stored_table stored_mark;
extern const struct stored_table stored_rating;
extern const struct stored_table stored_note;
extern const struct stored_table stored_sensor_check;
extern const struct stored_table stored_sensor_check_asked;
extern const struct stored_table stored_sensor_check_number;
extern const struct stored_table stored_cue_sound;
extern const struct stored_table stored_air;
extern const struct stored_table stored_run;
extern const struct stored_table stored_leg;
extern const struct stored_table stored_leg_piece;
extern const struct stored_table stored_command;

#endif
