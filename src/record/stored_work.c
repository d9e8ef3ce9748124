/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "stored_rows.h"

/* What was done: setups, builds and their ties, the stretches of the stream, targets, bands, holds,
 * marks, ratings. */

static const struct stored_field setup_fields[] = {
    UUID(setup_record),
    {"number", STORED_INTEGER, AT(setup_record, number),
     .words = "as the fitter counts; 1 is the bike as it came"},
    {"intent", STORED_TEXT, AT(setup_record, intent), .words = "`spacers out, pads down`"},
    UNDONE(setup_record),
};

static const struct stored_field setup_value_fields[] = {
    {"value", STORED_REAL, EACH(setup_record, bike.value, ), .words = "in the measure's unit"},
};

static const struct stored_field build_fields[] = {
    UUID(build_record),
    {"setup", STORED_PLACE, AT(build_record, setup), .of = TABLE_SETUP, .words = "its place"},
    {"placing", STORED_PLACE, AT(build_record, placing), .of = TABLE_PLACING, .optional = true,
     .words = "its place; NULL: before any sensor was there"},
    {"ordinal", STORED_INTEGER, AT(build_record, ordinal),
     .words = "1, 2, … among the builds of this setup"},
    {"first_sample", STORED_INTEGER, AT(build_record, first_sample), SAMPLE,
     .words = "from here on the bike was like this"},
    {"moved", STORED_WORD, AT(build_record, moved), .list = &answer_words, .optional = true,
     .words = "whether a sensor moved since the build before; NULL: not asked, or not answered"},
    {"slipped", STORED_WORD, AT(build_record, slipped), .list = &answer_words, .optional = true,
     .words = "whether a sensor slipped since this setup's build before, where the two disagree; "
              "NULL: not asked, or not answered"},
    UNDONE(build_record),
};

static const struct stored_field tie_reading_fields[] = {
    UUID(tie_reading_record),
    {"kind", STORED_WORD, AT(tie_reading_record, kind), .list = &tie_reading_words,
     .otherwise = TIE_READING_PLATE,
     .words = "range to a plate, or the sensor's height over the bottom bracket"},
    {"build", STORED_PLACE, AT(tie_reading_record, build), .of = TABLE_BUILD, .words = "its place"},
    {"channel", STORED_PLACE, AT(tie_reading_record, channel), RANGE(1, CHANNELS_MAX),
     .words = "1 to 8"},
    {"value_mm", STORED_REAL, AT(tie_reading_record, value_mm), .optional = true,
     .words = "the range, or the height"},
    {"plate_height_mm", STORED_REAL, AT(tie_reading_record, plate_height_mm), .optional = true,
     .words = "of the plate over the bottom bracket; NULL: not known, but the same each time"},
    {"at_sample", STORED_INTEGER, AT(tie_reading_record, at_sample), SAMPLE,
     .words = "when it was entered"},
    UNDONE(tie_reading_record),
    {"rest", STORED_WORD, AT(tie_reading_record, rest), .list = &plate_rest_words, .optional = true,
     .words = "pads: a board across the arm pads was the plate; NULL: a plate of its own"},
};

static const struct stored_field capture_fields[] = {
    UUID(capture_record),
    {"kind", STORED_WORD, AT(capture_record, kind), .list = &capture_words,
     .otherwise = CAPTURE_CHECK, .words = "what for"},
    {"first_sample", STORED_INTEGER, AT(capture_record, first_sample), SAMPLE,
     .words = "belongs to it"},
    {"last_sample", STORED_INTEGER, AT(capture_record, last_sample), SAMPLE, .optional = true,
     .words = "belongs to it; NULL: still going on, or cut short"},
    UNDONE(capture_record),
};

static const struct stored_field target_fields[] = {
    UUID(target_record),
    {"capture", STORED_PLACE, AT(target_record, capture), .of = TABLE_CAPTURE, .optional = true,
     .words = "its place; NULL: entered"},
    {"build", STORED_PLACE, AT(target_record, build), .of = TABLE_BUILD, .optional = true,
     .words = "its place"},
    {"until_mm", STORED_REAL, AT(target_record, until_mm), .optional = true,
     .words = "the half-width it was to reach; NULL: none"},
    {"kept", STORED_TRUTH, AT(target_record, kept), .words = "0: thrown away or not yet kept"},
    UNDONE(target_record),
};

static const struct stored_field target_height_fields[] = {
    {"height_mm", STORED_REAL, EACH(target_record, entered_mm, ),
     .words = "over the bottom bracket, where it was entered and not captured"},
    {"half_width_mm", STORED_REAL, EACH(target_record, entered_half_width_mm, ), LEAST(0),
     .optional = true, .words = "how well it is known (95 %); NULL: not said"},
};

static const struct stored_field band_fields[] = {
    UUID(band_record),
    {"from_sample", STORED_INTEGER, AT(band_record, from_sample), SAMPLE,
     .words = "in force from there on"},
    UNDONE(band_record),
};

#define CUE(member) EACH(band_record, cue, .member)
static const struct stored_field band_channel_fields[] = {
    {"limited", STORED_TRUTH, EACH(band_record, limited, ), .words = "0: no band on this channel"},
    {"above_mm", STORED_REAL, CUE(band_above_mm), .optional = true, .unlimited = true,
     .words = "over the target; NULL: no limit on that side"},
    {"below_mm", STORED_REAL, CUE(band_below_mm), .optional = true, .unlimited = true,
     .words = "under the target, positive too; NULL: no limit on that side"},
    {"filter_hz", STORED_REAL, CUE(filter_hz), .optional = true,
     .words = "of the posture that is cued on"},
    {"dead_band", STORED_REAL, CUE(dead_band), .optional = true,
     .words = "share of the half-width to come back in by"},
    {"on_delay_s", STORED_REAL, CUE(on_delay_s), .optional = true, .words = "before the cue comes"},
    {"off_delay_s", STORED_REAL, CUE(off_delay_s), .optional = true, .words = "before it goes"},
    {"no_reading_s", STORED_REAL, CUE(no_reading_s), .optional = true,
     .words = "without a reading for so long: 'no reading'"},
};

static const struct stored_field hold_fields[] = {
    UUID(hold_record),
    {"number", STORED_INTEGER, AT(hold_record, number), .words = "1, 2, … as shown"},
    {"capture", STORED_PLACE, AT(hold_record, capture), .of = TABLE_CAPTURE, .optional = true,
     .needed = true, .words = "its place"},
    {"build", STORED_PLACE, AT(hold_record, build), .of = TABLE_BUILD, .optional = true,
     .needed = true, .words = "its place"},
    {"target", STORED_PLACE, AT(hold_record, target), .of = TABLE_TARGET, .optional = true,
     .spared = true, .words = "place of the one in force; NULL: none"},
    {"band", STORED_PLACE, AT(hold_record, band), .of = TABLE_BAND, .optional = true,
     .spared = true, .words = "place of the one in force; NULL: none"},
    {"guided", STORED_TRUTH, AT(hold_record, guided), .words = "1: the rider saw the gauge"},
    {"kept_afterwards", STORED_TRUTH, AT(hold_record, kept_afterwards),
     .words = "1: kept after the fact; left out of verdicts"},
    {"planned_s", STORED_REAL, AT(hold_record, planned_s), .optional = true,
     .words = "how long it was to be"},
    {"status", STORED_WORD, AT(hold_record, status), .list = &hold_status_words,
     .otherwise = HOLD_CUT_SHORT, .words = "stopped: early, by the fitter"},
    {"rejected", STORED_TRUTH, AT(hold_record, rejected),
     .words = "1: left out. Nothing is deleted"},
    {"reject_reason", STORED_TEXT, AT(hold_record, reject_reason), .words = "and why"},
    UNDONE(hold_record),
    {"purpose", STORED_WORD, AT(hold_record, purpose), .list = &purpose_words, .optional = true,
     .words = "what it was for in practice at home; NULL: none of it"},
    {"told", STORED_WORD, AT(hold_record, told), .list = &told_words, .optional = true,
     .words = "how the rider was told: the gauge seen, by sound, only after it, or not at all; "
              "NULL: not said"},
    {"guessed_share", STORED_REAL, AT(hold_record, guessed_share), READ(0, 1), .optional = true,
     .words =
         "of the time in the band, as the rider guessed it before being told; NULL: not asked"},
    {"resit", STORED_WORD, AT(hold_record, resit), .list = &resit_words, .optional = true,
     .words = "whether the rider sat up before this free hold, since the one before on the build: "
              "seen, not seen, or said by the fitter; NULL: not looked for, or not to be seen"},
};

static const struct stored_field mark_fields[] = {
    {"kind", STORED_WORD, AT(mark_record, kind), .list = &mark_words, .otherwise = STORED_REFUSED,
     .any_word = true, .words = "what the rider did"},
    {"hold", STORED_PLACE, AT(mark_record, hold), .of = TABLE_HOLD, .optional = true,
     .words = "its place; NULL: outside holds"},
    {"sample", STORED_INTEGER, AT(mark_record, sample), SAMPLE, .words = "when"},
    {"cut", STORED_TRUTH, AT(mark_record, cut),
     .words = "1: from 1 s before to 3 s after is left out of the measures"},
    UNDONE(mark_record),
};

static const struct stored_field cue_sound_fields[] = {
    {"kind", STORED_WORD, AT(cue_sound_record, kind), .list = &cue_sound_words,
     .otherwise = STORED_REFUSED, .any_word = true, .words = "what the rider was told"},
    {"channel", STORED_PLACE, AT(cue_sound_record, channel), RANGE(1, CHANNELS_MAX),
     .words = "of which part: 1 to 8"},
    {"hold", STORED_PLACE, AT(cue_sound_record, hold), .of = TABLE_HOLD, .words = "its place"},
    {"sample", STORED_INTEGER, AT(cue_sound_record, sample), SAMPLE, .words = "when"},
    UNDONE(cue_sound_record),
};

#define RATED(item, column, kind, ...)                                                             \
    {column, kind, AT(rating_record, value[RATING_##item]), .optional = true, __VA_ARGS__},
#define RATED_SCORE(item, key, ...)                                                                \
    RATED(item, key, STORED_SCORE, RANGE(0, RATING_SCORE_MOST), .words = "0 to 10; NULL: not asked")
#define RATED_WORD(item, key, of, ...)                                                             \
    RATED(item, key, STORED_ANSWER, .list = &(of), .words = "NULL: not asked")
#define RATED_NUMBER(item, key, column, from, to, ...)                                             \
    RATED(item, column, STORED_REAL, READ(from, to), .words = "NULL: not asked")
static const struct stored_field rating_fields_stored[] = {
    UUID(rating_record),
    {"setup", STORED_PLACE, AT(rating_record, setup), .of = TABLE_SETUP, .optional = true,
     .words = "its place"},
    {"sample", STORED_INTEGER, AT(rating_record, sample), SAMPLE, .words = "when"},
#include "record/rating_rows.h"
    UNDONE(rating_record),
    {"morning", STORED_TRUTH, AT(rating_record, morning), .defaulted = true,
     .words = "1: how it is the morning after the session before"},
    {"sign", STORED_TRUTH, AT(rating_record, sign), .defaulted = true,
     .words = "1: tingling, pain that shoots, or blurred sight"},
};

const struct stored_table stored_setup = {"setup",
                                          RECORDS(setup, SETUPS_MAX, "setup", setup_fields)};

const struct stored_table stored_setup_value = {"setup_value",
                                                OWNED(TABLE_SETUP, BIKE_KEYS, setup_value_fields),
                                                KEYS(OWNER_KEY("setup"), BIKE_KEY), .sparse = true};

const struct stored_table stored_build = {"build",
                                          RECORDS(build, BUILDS_MAX, "build", build_fields)};

const struct stored_table stored_tie_reading = {
    "tie_reading", RECORDS(tie_reading, TIES_MAX, "tie reading", tie_reading_fields)};

const struct stored_table stored_capture = {
    "capture", RECORDS(capture, CAPTURES_MAX, "capture", capture_fields)};

const struct stored_table stored_target = {"target",
                                           RECORDS(target, TARGETS_MAX, "target", target_fields)};

const struct stored_table stored_target_height = {
    "target_height", OWNED(TABLE_TARGET, CHANNELS_MAX, target_height_fields),
    KEYS(OWNER_KEY("target"), CHANNEL_KEY), .sparse = true};

const struct stored_table stored_band = {"band", RECORDS(band, BANDS_MAX, "band", band_fields)};

const struct stored_table stored_band_channel = {
    "band_channel", OWNED(TABLE_BAND, CHANNELS_MAX, band_channel_fields),
    KEYS(OWNER_KEY("band"), CHANNEL_KEY)};

const struct stored_table stored_hold = {"hold", RECORDS(hold, HOLDS_MAX, "hold", hold_fields)};

const struct stored_table stored_mark = {"mark", RECORDS(mark, MARKS_MAX, "mark", mark_fields)};

const struct stored_table stored_cue_sound = {
    "cue_sound", RECORDS(cue_sound, CUE_SOUNDS_MAX, "sound", cue_sound_fields)};

const struct stored_table stored_rating = {
    "rating", RECORDS(rating, RATINGS_MAX, "rating", rating_fields_stored)};
