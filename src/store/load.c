/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "checks.h"
#include "session_row.h"

#include "base/text.h"

#include <math.h>
#include <string.h>

/* Each loader reads one table's rows of a session in the order of their places. A place is the
 * index in the record's array plus one. */

typedef bool row_reader(struct row *row, struct session_record *record, struct problem *problem);

static bool read_table(struct store *store, enum store_table table, int64_t id, row_reader *reader,
                       struct session_record *record, struct problem *problem)
{
    struct row row;
    bool failed = false;
    if (!row_select(store, table, &row, problem)) {
        return false;
    }
    row_put_integer(&row, id);
    while (row_next(&row, &failed, problem)) {
        row_skip(&row); /* session_id */
        if (!reader(&row, record, problem)) {
            row_end(&row);
            return false;
        }
    }
    return !failed;
}

/* The index a row belongs to; the array's count grows to hold it. */
static bool place_in(struct row *row, int *count, int most, const char *what, int *index,
                     struct problem *problem)
{
    *index = row_take_place(row);
    if (*index < 0 || *index >= most) {
        return problem_set(problem, "%s: the session has a %s of place %d; this program holds %d",
                           row->store->path, what, *index + 1, most);
    }
    if (*index >= *count) {
        *count = *index + 1;
    }
    return true;
}

/* The parent's index of a row it owns: the parent must have been read. */
static bool owner_in(struct row *row, int count, const char *what, int *index,
                     struct problem *problem)
{
    *index = row_take_place(row);
    if (*index < 0 || *index >= count) {
        return problem_set(problem, "%s: a row belongs to %s %d, which is not there",
                           row->store->path, what, *index + 1);
    }
    return true;
}

static bool read_channel_index(struct row *row, int *channel, struct problem *problem)
{
    return owner_in(row, CHANNELS_MAX, "channel", channel, problem);
}

static bool read_rider(struct row *row, struct session_record *record, struct problem *problem)
{
    (void)problem;
    record->has_rider = true;
    row_take_uuid(row, &record->rider.uuid);
    row_take_text(row, record->rider.code, sizeof record->rider.code);
    row_take_text(row, record->rider.name, sizeof record->rider.name);
    row_take_text(row, record->rider.watch_for, sizeof record->rider.watch_for);
    return true;
}

static bool read_bike(struct row *row, struct session_record *record, struct problem *problem)
{
    (void)problem;
    record->has_bike = true;
    row_take_uuid(row, &record->bike.uuid);
    row_take_text(row, record->bike.name, sizeof record->bike.name);
    return true;
}

/* A key that this program doesn't know (a later one's) is passed over. */
static void read_bike_value(struct row *row, struct bike_values *values)
{
    char key[64];
    row_take_text(row, key, sizeof key);
    int index = bike_key_find(key);
    double value = row_take_real(row, (double)NAN);
    if (index >= 0) {
        values->value[index] = value;
    }
}

static bool read_frame_value(struct row *row, struct session_record *record,
                             struct problem *problem)
{
    (void)problem;
    read_bike_value(row, &record->bike.frame);
    return true;
}

static bool read_placing(struct row *row, struct session_record *record, struct problem *problem)
{
    int index;
    if (!place_in(row, &record->placing_count, PLACINGS_MAX, "placing", &index, problem)) {
        return false;
    }
    struct placing_record *placing = &record->placing[index];
    row_take_uuid(row, &placing->uuid);
    placing->first_sample = row_take_integer(row);
    row_take_text(row, placing->rig_id, sizeof placing->rig_id);
    placing->announced_rate_hz = row_take_real(row, (double)NAN);
    placing->channel_count = 0;
    return true;
}

static bool read_channel(struct row *row, struct session_record *record, struct problem *problem)
{
    int index, place;
    if (!owner_in(row, record->placing_count, "placing", &place, problem) ||
        !read_channel_index(row, &index, problem)) {
        return false;
    }
    struct placing_record *placing = &record->placing[place];
    struct channel_record *channel = &placing->channel[index];
    if (index >= placing->channel_count) {
        placing->channel_count = index + 1;
    }
    row_take_text(row, channel->name, sizeof channel->name);
    channel->role = (enum channel_role)row_take_word(row, &channel_role_words, ROLE_BODY);
    row_take_text(row, channel->mark, sizeof channel->mark);
    channel->mounted = row_take_integer(row) != 0;
    channel->mount.carrier = (enum carrier)row_take_word(row, &carrier_keys, CARRIER_STAND);
    channel->mount.x_mm = row_take_real(row, (double)NAN);
    channel->mount.y_mm = row_take_real(row, (double)NAN);
    channel->mount.tilt_deg = row_take_real(row, (double)NAN);
    channel->mount.direction = row_take_word(row, &look_words, 0);
    channel->gain = row_take_real(row, (double)NAN);
    channel->offset_mm = row_take_real(row, (double)NAN);
    return true;
}

static bool read_setup(struct row *row, struct session_record *record, struct problem *problem)
{
    int index;
    if (!place_in(row, &record->setup_count, SETUPS_MAX, "setup", &index, problem)) {
        return false;
    }
    struct setup_record *setup = &record->setup[index];
    row_take_uuid(row, &setup->uuid);
    setup->number = (int)row_take_integer(row);
    row_take_text(row, setup->intent, sizeof setup->intent);
    bike_values_clear(&setup->bike);
    return true;
}

static bool read_setup_value(struct row *row, struct session_record *record,
                             struct problem *problem)
{
    int index;
    if (!owner_in(row, record->setup_count, "setup", &index, problem)) {
        return false;
    }
    read_bike_value(row, &record->setup[index].bike);
    return true;
}

static bool read_build(struct row *row, struct session_record *record, struct problem *problem)
{
    int index;
    if (!place_in(row, &record->build_count, BUILDS_MAX, "build", &index, problem)) {
        return false;
    }
    struct build_record *build = &record->build[index];
    row_take_uuid(row, &build->uuid);
    build->setup = row_take_place(row);
    build->placing = row_take_place(row);
    build->ordinal = (int)row_take_integer(row);
    build->first_sample = row_take_integer(row);
    return true;
}

static bool read_tie_reading(struct row *row, struct session_record *record,
                             struct problem *problem)
{
    int index;
    if (!place_in(row, &record->tie_reading_count, TIES_MAX, "tie reading", &index, problem)) {
        return false;
    }
    struct tie_reading_record *reading = &record->tie_reading[index];
    row_take_uuid(row, &reading->uuid);
    reading->kind =
        (enum tie_reading_kind)row_take_word(row, &tie_reading_words, TIE_READING_PLATE);
    reading->build = row_take_place(row);
    reading->channel = row_take_place(row);
    reading->value_mm = row_take_real(row, (double)NAN);
    reading->plate_height_mm = row_take_real(row, (double)NAN);
    reading->at_sample = row_take_integer(row);
    return true;
}

static bool read_capture(struct row *row, struct session_record *record, struct problem *problem)
{
    int index;
    if (!place_in(row, &record->capture_count, CAPTURES_MAX, "capture", &index, problem)) {
        return false;
    }
    struct capture_record *capture = &record->capture[index];
    row_take_uuid(row, &capture->uuid);
    capture->kind = (enum capture_kind)row_take_word(row, &capture_words, CAPTURE_CHECK);
    capture->first_sample = row_take_integer(row);
    capture->last_sample = row_take_integer(row);
    return true;
}

static bool read_target(struct row *row, struct session_record *record, struct problem *problem)
{
    int index;
    if (!place_in(row, &record->target_count, TARGETS_MAX, "target", &index, problem)) {
        return false;
    }
    struct target_record *target = &record->target[index];
    row_take_uuid(row, &target->uuid);
    target->capture = row_take_place(row);
    target->build = row_take_place(row);
    target->until_mm = row_take_real(row, (double)NAN);
    target->kept = row_take_integer(row) != 0;
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        target->entered_mm[channel] = target->entered_half_width_mm[channel] = (double)NAN;
    }
    return true;
}

static bool read_target_height(struct row *row, struct session_record *record,
                               struct problem *problem)
{
    int index, channel;
    if (!owner_in(row, record->target_count, "target", &index, problem) ||
        !read_channel_index(row, &channel, problem)) {
        return false;
    }
    record->target[index].entered_mm[channel] = row_take_real(row, (double)NAN);
    record->target[index].entered_half_width_mm[channel] = row_take_real(row, (double)NAN);
    return true;
}

static bool read_band(struct row *row, struct session_record *record, struct problem *problem)
{
    int index;
    if (!place_in(row, &record->band_count, BANDS_MAX, "band", &index, problem)) {
        return false;
    }
    row_take_uuid(row, &record->band[index].uuid);
    record->band[index].from_sample = row_take_integer(row);
    return true;
}

static bool read_band_channel(struct row *row, struct session_record *record,
                              struct problem *problem)
{
    int index, channel;
    if (!owner_in(row, record->band_count, "band", &index, problem) ||
        !read_channel_index(row, &channel, problem)) {
        return false;
    }
    struct band_record *band = &record->band[index];
    struct cue_settings *cue = &band->cue[channel];
    band->limited[channel] = row_take_integer(row) != 0;
    cue->band_above_mm = row_take_real(row, (double)INFINITY);
    cue->band_below_mm = row_take_real(row, (double)INFINITY);
    cue->filter_hz = row_take_real(row, (double)NAN);
    cue->dead_band = row_take_real(row, (double)NAN);
    cue->on_delay_s = row_take_real(row, (double)NAN);
    cue->off_delay_s = row_take_real(row, (double)NAN);
    cue->no_reading_s = row_take_real(row, (double)NAN);
    return true;
}

static bool read_hold(struct row *row, struct session_record *record, struct problem *problem)
{
    int index;
    if (!place_in(row, &record->hold_count, HOLDS_MAX, "hold", &index, problem)) {
        return false;
    }
    struct hold_record *hold = &record->hold[index];
    row_take_uuid(row, &hold->uuid);
    hold->number = (int)row_take_integer(row);
    hold->capture = row_take_place(row);
    hold->build = row_take_place(row);
    hold->target = row_take_place(row);
    hold->band = row_take_place(row);
    hold->guided = row_take_integer(row) != 0;
    hold->kept_afterwards = row_take_integer(row) != 0;
    hold->planned_s = row_take_real(row, (double)NAN);
    hold->status = (enum hold_status)row_take_word(row, &hold_status_words, HOLD_CUT_SHORT);
    hold->rejected = row_take_integer(row) != 0;
    row_take_text(row, hold->reject_reason, sizeof hold->reject_reason);
    return true;
}

static bool read_mark(struct row *row, struct session_record *record, struct problem *problem)
{
    int index;
    char kind[32];
    if (!place_in(row, &record->mark_count, MARKS_MAX, "mark", &index, problem)) {
        return false;
    }
    struct mark_record *mark = &record->mark[index];
    row_take_text(row, kind, sizeof kind);
    int found = word_find(&mark_words, kind, -1);
    if (found < 0) {
        return problem_set(problem, "%s: there is a mark '%s', which this program doesn't know",
                           row->store->path, kind);
    }
    mark->kind = (enum mark_kind)found;
    mark->hold = row_take_place(row);
    mark->sample = row_take_integer(row);
    mark->cut = row_take_integer(row) != 0;
    return true;
}

static bool read_rating(struct row *row, struct session_record *record, struct problem *problem)
{
    int index;
    if (!place_in(row, &record->rating_count, RATINGS_MAX, "rating", &index, problem)) {
        return false;
    }
    struct rating_record *rating = &record->rating[index];
    row_take_uuid(row, &rating->uuid);
    rating->setup = row_take_place(row);
    rating->sample = row_take_integer(row);
    for (int item = 0; item < RATING_ITEMS; item++) {
        rating->score[item] = (int8_t)row_take_real(row, -1.0);
    }
    rating->numb_hands = (enum answer)row_take_word(row, &answer_words, ANSWER_UNKNOWN);
    rating->numb_saddle = (enum answer)row_take_word(row, &answer_words, ANSWER_UNKNOWN);
    rating->would_race = (enum answer)row_take_word(row, &answer_words, ANSWER_UNKNOWN);
    rating->sees_ahead = (enum sees_ahead)row_take_word(row, &sees_ahead_words, SEES_UNKNOWN);
    rating->could_stay_min = row_take_real(row, (double)NAN);
    return true;
}

static bool read_note(struct row *row, struct session_record *record, struct problem *problem)
{
    int index;
    if (!place_in(row, &record->note_count, NOTES_MAX, "note", &index, problem)) {
        return false;
    }
    struct note_record *note = &record->note[index];
    row_take_uuid(row, &note->uuid);
    note->sample = row_take_integer(row);
    row_take_text(row, note->text, sizeof note->text);
    return true;
}

bool store_load(struct store *store, int64_t id, struct session_record *record,
                struct problem *problem)
{
    static const struct {
        enum store_table table;
        row_reader *reader;
    } parts[] = {
        {TABLE_SESSION_RIDER, read_rider},
        {TABLE_SESSION_BIKE, read_bike},
        {TABLE_SESSION_BIKE_VALUE, read_frame_value},
        {TABLE_MATTERS, session_row_read_matters},
        {TABLE_PART_LIMIT, session_row_read_limit},
        {TABLE_PLACING, read_placing},
        {TABLE_CHANNEL, read_channel},
        {TABLE_SETUP, read_setup},
        {TABLE_SETUP_VALUE, read_setup_value},
        {TABLE_BUILD, read_build},
        {TABLE_TIE_READING, read_tie_reading},
        {TABLE_CAPTURE, read_capture},
        {TABLE_TARGET, read_target},
        {TABLE_TARGET_HEIGHT, read_target_height},
        {TABLE_BAND, read_band},
        {TABLE_BAND_CHANNEL, read_band_channel},
        {TABLE_HOLD, read_hold},
        {TABLE_MARK, read_mark},
        {TABLE_RATING, read_rating},
        {TABLE_NOTE, read_note},
        {TABLE_SENSOR_CHECK, checks_read},
        {TABLE_SENSOR_CHECK_ASKED, checks_read_asked},
        {TABLE_SENSOR_CHECK_NUMBER, checks_read_number},
    };
    /* one view of the file over all tables, also while a session is being recorded */
    bool own = sqlite3_get_autocommit(store->db) != 0;
    if (own && !store_execute(store, "BEGIN", "reading", problem)) {
        return false;
    }
    session_record_clear(record);
    bool done = session_row_read(store, id, record, problem);
    for (size_t i = 0; done && i < sizeof parts / sizeof parts[0]; i++) {
        done = read_table(store, parts[i].table, id, parts[i].reader, record, problem);
    }
    if (own) {
        sqlite3_exec(store->db, "COMMIT", NULL, NULL, NULL);
    }
    return done;
}

bool store_commands(struct store *store, int64_t id, command_sink *sink, void *context,
                    struct problem *problem)
{
    struct row row;
    struct command_record command;
    bool failed = false;
    if (!row_select(store, TABLE_COMMAND, &row, problem)) {
        return false;
    }
    row_put_integer(&row, id);
    while (row_next(&row, &failed, problem)) {
        row_skip(&row);
        command.ordinal = row_take_integer(&row);
        command.after_sample = row_take_integer(&row);
        row_take_text(&row, command.text, sizeof command.text);
        if (!sink(context, &command, problem)) {
            row_end(&row);
            return false;
        }
    }
    return !failed;
}
