/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "stored_rows.h"

#include "base/text.h"

/* The sensors as they were placed, and their checks. */

static const struct stored_field placing_fields[] = {
    UUID(placing_record),
    {"first_sample", STORED_INTEGER, AT(placing_record, first_sample), SAMPLE,
     .words = "from this sample of the session on"},
    {"rig_id", STORED_TEXT, AT(placing_record, rig_id), .words = "what the rig calls itself"},
    {"announced_rate_hz", STORED_REAL, AT(placing_record, announced_rate_hz), .optional = true,
     .words = "0 or NULL: not announced"},
    UNDONE(placing_record),
};

#define CHANNEL(member) EACH(placing_record, channel, .member)
static const struct stored_field channel_fields[] = {
    {"name", STORED_TEXT, CHANNEL(name), .words = "`head`"},
    {"role", STORED_WORD, CHANNEL(role), .list = &channel_role_words, .otherwise = ROLE_BODY,
     .words = "a mark on the body, a fixed plate, or something else"},
    {"mark", STORED_TEXT, CHANNEL(mark), .words = "the mark on the body: `chin strap`"},
    {"mounted", STORED_TRUTH, CHANNEL(mounted),
     .words = "0: where it is fixed was not said; then the columns up to `looks` mean nothing"},
    {"carrier", STORED_WORD, CHANNEL(mount.carrier), .list = &carrier_keys,
     .otherwise = CARRIER_STAND, .any_word = true, .optional = true,
     .words = "what it is fixed to"},
    {"x_mm", STORED_REAL, CHANNEL(mount.x_mm), .optional = true,
     .words = "from the carrier's reference point to the sensor's face, forward; NULL: not known"},
    {"y_mm", STORED_REAL, CHANNEL(mount.y_mm), .optional = true, .words = "and up"},
    {"tilt_deg", STORED_REAL, CHANNEL(mount.tilt_deg), .optional = true, READ(-90.0, 90.0),
     .words = "the beam from the vertical, positive leans forward"},
    {"looks", STORED_WORD, CHANNEL(mount.direction), .list = &look_words, .optional = true,
     .words = "where the beam goes"},
    {"gain", STORED_REAL, CHANNEL(gain), .optional = true, READ(0.1, 10.0),
     .words = "calibration: true range = gain x range + offset"},
    {"offset_mm", STORED_REAL, CHANNEL(offset_mm), .optional = true, .words = "likewise"},
    {"unit_um", STORED_GIVEN, .constant = 100, LEAST(1),
     .words = "unit of the channel's integers in `sample`, in micrometres: 100"},
};

static const char *quantity_key(int quantity)
{
    return quantity >= 0 && quantity < CHECK_QUANTITIES ? check_quantities[quantity].key : NULL;
}

static int quantity_find(const char *key)
{
    int quantity = CHECK_QUANTITIES - 1;
    while (quantity >= 0 && !text_equal(check_quantities[quantity].key, key)) {
        quantity--;
    }
    return quantity;
}

static const char *quantity_unit(const void *at)
{
    return check_quantities[*(const enum check_quantity *)at].unit;
}
static const struct stored_keys quantity_keys = {quantity_key, quantity_find};

static const struct stored_field check_fields[] = {
    UUID(check_record),
    {"kind", STORED_WORD, AT(check_record, kind), .list = &check_kind_words,
     .otherwise = CHECK_STILL, .words = "which test"},
    {"placing", STORED_PLACE, AT(check_record, placing), .of = TABLE_PLACING,
     .words = "its place: how the sensors were fixed"},
    {"build", STORED_PLACE, AT(check_record, build), .of = TABLE_BUILD, .optional = true,
     .words = "its place: what was on the bike"},
    {"channel", STORED_PLACE, AT(check_record, channel), RANGE(1, CHANNELS_MAX), .optional = true,
     .words = "1 to 8; NULL: all"},
    {"capture", STORED_PLACE, AT(check_record, capture), .of = TABLE_CAPTURE, .optional = true,
     .words = "place of the first of its captures"},
    {"phase_count", STORED_INTEGER, AT(check_record, phase_count), LEAST(0),
     .words = "a capture a phase, one after the other"},
    {"verdict", STORED_WORD, AT(check_record, verdict), .list = &check_verdict_words,
     .otherwise = CHECK_UNCERTAIN, .words = "as it was judged when it ended"},
    {"words", STORED_TEXT, AT(check_record, words), .words = "and why"},
    UNDONE(check_record),
};

static const struct stored_field asked_fields[] = {
    {"asked_mm", STORED_REAL, EACH(check_record, asked_mm, ),
     .words =
         "thickness of the block in phase 1 of step and beam tests; the known distance of each "
         "phase of a calibration"},
};

#define NUMBER(member) EACH(check_record, number, .member)
static const struct stored_field number_fields[] = {
    {"key", STORED_KEY, NUMBER(quantity), .keys = &quantity_keys,
     .words = "what it is, such as `noise_mm`"},
    {"channel", STORED_PLACE, NUMBER(channel), RANGE(1, CHANNELS_MAX), .words = "1 to 8"},
    {"phase", STORED_PLACE, NUMBER(phase), LEAST(1),
     .words = "of the rider test: 1 pedals, 2 nods, 3 moves the hands, 4 comes up; of a "
              "calibration: which distance; else 1"},
    {"value", STORED_REAL, NUMBER(value), READ(-1e12, 1e12), .words = "in its unit"},
    {"unit", STORED_GIVEN, NUMBER(quantity), .given = quantity_unit, .words = "may be empty"},
};

const struct stored_table stored_placing = {
    "placing", RECORDS(placing, PLACINGS_MAX, "placing", placing_fields)};

const struct stored_table stored_channel = {
    "channel", OWNED(TABLE_PLACING, CHANNELS_MAX, channel_fields),
    KEYS(OWNER_KEY("placing"), CHANNEL_KEY), COUNTED(placing_record, channel_count)};

const struct stored_table stored_sensor_check = {"sensor_check",
                                                 RECORDS(check, CHECKS_MAX, "check", check_fields)};

const struct stored_table stored_sensor_check_asked = {
    "sensor_check_asked", OWNED(TABLE_SENSOR_CHECK, CHECK_PHASES_MAX, asked_fields),
    KEYS(OWNER_KEY("sensor_check"), {"phase", STORED_PLACE, LEAST(1), .words = "1, 2, …"}),
    .sparse = true};

const struct stored_table stored_sensor_check_number = {
    "sensor_check_number", OWNED(TABLE_SENSOR_CHECK, CHECK_NUMBERS_MAX, number_fields),
    KEYS(OWNER_KEY("sensor_check"), {"ordinal", STORED_PLACE, LEAST(1), .words = "1, 2, …"}),
    COUNTED(check_record, number_count), .appended = true};
