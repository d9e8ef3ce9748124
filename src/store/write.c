/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "checks.h"
#include "session_row.h"

#include "base/text.h"

#include <math.h>

/* One function a kind of record (the session's own row and the checks of sensors: session_row.c,
 * checks.c). Each writes its row (insert, or update where it is there already) and the rows it
 * owns; so writing a record twice changes nothing. */

#define UNIT_UM 100 /* the samples' integers are tenths of a millimetre */

static bool begin_record(struct store *store, enum store_table table, const struct effect *effect,
                         const struct uuid *uuid, struct row *row, struct problem *problem)
{
    if (!row_upsert(store, table, row, problem)) {
        return false;
    }
    row_put_integer(row, store->now.session_id);
    row_put_place(row, effect->index);
    if (uuid != NULL) {
        row_put_uuid(row, uuid);
    }
    return true;
}

/* Rows of a parent go before they are written anew. parent -1: the session itself is the parent. */
static bool clear_owned(struct store *store, enum store_table table, int parent,
                        struct problem *problem)
{
    struct row row;
    if (!row_clear(store, table, &row, problem)) {
        return false;
    }
    row_put_integer(&row, store->now.session_id);
    if (parent >= 0) {
        row_put_place(&row, parent);
    }
    return row_write(&row, problem);
}

static bool write_bike_values(struct store *store, enum store_table table, int parent,
                              const struct bike_values *values, struct problem *problem)
{
    if (!clear_owned(store, table, parent, problem)) {
        return false;
    }
    for (int key = 0; key < BIKE_KEYS; key++) {
        struct row row;
        if (!isfinite(values->value[key])) {
            continue;
        }
        if (!row_upsert(store, table, &row, problem)) {
            return false;
        }
        row_put_integer(&row, store->now.session_id);
        if (parent >= 0) {
            row_put_place(&row, parent);
        }
        row_put_text(&row, bike_fields[key].key);
        row_put_real(&row, values->value[key]);
        if (!row_write(&row, problem)) {
            return false;
        }
    }
    return true;
}

static bool write_rider(struct store *store, const struct rider_record *rider,
                        struct problem *problem)
{
    struct row row;
    if (!row_upsert(store, TABLE_SESSION_RIDER, &row, problem)) {
        return false;
    }
    row_put_integer(&row, store->now.session_id);
    row_put_uuid(&row, &rider->uuid);
    row_put_text(&row, rider->code);
    row_put_text(&row, rider->name);
    row_put_text(&row, rider->watch_for);
    return row_write(&row, problem) &&
           store_link_people(store, store->now.session_id, false, problem);
}

static bool write_bike(struct store *store, const struct bike_record *bike, struct problem *problem)
{
    struct row row;
    if (!row_upsert(store, TABLE_SESSION_BIKE, &row, problem)) {
        return false;
    }
    row_put_integer(&row, store->now.session_id);
    row_put_uuid(&row, &bike->uuid);
    row_put_text(&row, bike->name);
    return row_write(&row, problem) &&
           write_bike_values(store, TABLE_SESSION_BIKE_VALUE, -1, &bike->frame, problem) &&
           store_link_people(store, store->now.session_id, false, problem);
}

static bool write_channel(struct store *store, int placing, int index,
                          const struct channel_record *channel, struct problem *problem)
{
    struct row row;
    const struct sensor_mount *mount = &channel->mount;
    if (!row_upsert(store, TABLE_CHANNEL, &row, problem)) {
        return false;
    }
    row_put_integer(&row, store->now.session_id);
    row_put_place(&row, placing);
    row_put_place(&row, index);
    row_put_text(&row, channel->name);
    row_put_word(&row, &channel_role_words, channel->role);
    row_put_text(&row, channel->mark);
    row_put_integer(&row, channel->mounted);
    row_put_word(&row, &carrier_keys, mount->carrier);
    row_put_real(&row, mount->x_mm);
    row_put_real(&row, mount->y_mm);
    row_put_real(&row, mount->tilt_deg);
    row_put_word(&row, &look_words, mount->direction);
    row_put_real(&row, channel->gain);
    row_put_real(&row, channel->offset_mm);
    row_put_integer(&row, UNIT_UM);
    return row_write(&row, problem);
}

static bool write_placing(struct store *store, const struct effect *effect, struct problem *problem)
{
    const struct placing_record *placing = &effect->record.placing;
    struct row row;
    if (!begin_record(store, TABLE_PLACING, effect, &placing->uuid, &row, problem)) {
        return false;
    }
    row_put_integer(&row, placing->first_sample);
    row_put_text(&row, placing->rig_id);
    row_put_real(&row, placing->announced_rate_hz);
    if (!row_write(&row, problem) || !clear_owned(store, TABLE_CHANNEL, effect->index, problem)) {
        return false;
    }
    for (int i = 0; i < placing->channel_count && i < CHANNELS_MAX; i++) {
        if (!write_channel(store, effect->index, i, &placing->channel[i], problem)) {
            return false;
        }
    }
    store->now.channel_count = placing->channel_count;
    return true;
}

static bool write_setup(struct store *store, const struct effect *effect, struct problem *problem)
{
    const struct setup_record *setup = &effect->record.setup;
    struct row row;
    if (!begin_record(store, TABLE_SETUP, effect, &setup->uuid, &row, problem)) {
        return false;
    }
    row_put_integer(&row, setup->number);
    row_put_text(&row, setup->intent);
    return row_write(&row, problem) &&
           write_bike_values(store, TABLE_SETUP_VALUE, effect->index, &setup->bike, problem);
}

static bool write_build(struct store *store, const struct effect *effect, struct problem *problem)
{
    const struct build_record *build = &effect->record.build;
    struct row row;
    if (!begin_record(store, TABLE_BUILD, effect, &build->uuid, &row, problem)) {
        return false;
    }
    row_put_place(&row, build->setup);
    row_put_place(&row, build->placing);
    row_put_integer(&row, build->ordinal);
    row_put_integer(&row, build->first_sample);
    return row_write(&row, problem);
}

static bool write_tie_reading(struct store *store, const struct effect *effect,
                              struct problem *problem)
{
    const struct tie_reading_record *reading = &effect->record.tie_reading;
    struct row row;
    if (!begin_record(store, TABLE_TIE_READING, effect, &reading->uuid, &row, problem)) {
        return false;
    }
    row_put_word(&row, &tie_reading_words, reading->kind);
    row_put_place(&row, reading->build);
    row_put_place(&row, reading->channel);
    row_put_real(&row, reading->value_mm);
    row_put_real(&row, reading->plate_height_mm);
    row_put_integer(&row, reading->at_sample);
    return row_write(&row, problem);
}

static bool write_capture(struct store *store, const struct effect *effect, struct problem *problem)
{
    const struct capture_record *capture = &effect->record.capture;
    struct row row;
    if (!begin_record(store, TABLE_CAPTURE, effect, &capture->uuid, &row, problem)) {
        return false;
    }
    row_put_word(&row, &capture_words, capture->kind);
    row_put_integer(&row, capture->first_sample);
    row_put_nonzero(&row, capture->last_sample);
    return row_write(&row, problem);
}

static bool write_target(struct store *store, const struct effect *effect, struct problem *problem)
{
    const struct target_record *target = &effect->record.target;
    struct row row;
    if (!begin_record(store, TABLE_TARGET, effect, &target->uuid, &row, problem)) {
        return false;
    }
    row_put_place(&row, target->capture);
    row_put_place(&row, target->build);
    row_put_real(&row, target->until_mm);
    row_put_integer(&row, target->kept);
    if (!row_write(&row, problem) ||
        !clear_owned(store, TABLE_TARGET_HEIGHT, effect->index, problem)) {
        return false;
    }
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        if (!isfinite(target->entered_mm[channel])) {
            continue;
        }
        if (!row_upsert(store, TABLE_TARGET_HEIGHT, &row, problem)) {
            return false;
        }
        row_put_integer(&row, store->now.session_id);
        row_put_place(&row, effect->index);
        row_put_place(&row, channel);
        row_put_real(&row, target->entered_mm[channel]);
        row_put_real(&row, target->entered_half_width_mm[channel]);
        if (!row_write(&row, problem)) {
            return false;
        }
    }
    return true;
}

static bool write_band(struct store *store, const struct effect *effect, struct problem *problem)
{
    const struct band_record *band = &effect->record.band;
    struct row row;
    if (!begin_record(store, TABLE_BAND, effect, &band->uuid, &row, problem)) {
        return false;
    }
    row_put_integer(&row, band->from_sample);
    if (!row_write(&row, problem)) {
        return false;
    }
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        const struct cue_settings *cue = &band->cue[channel];
        if (!row_upsert(store, TABLE_BAND_CHANNEL, &row, problem)) {
            return false;
        }
        row_put_integer(&row, store->now.session_id);
        row_put_place(&row, effect->index);
        row_put_place(&row, channel);
        row_put_integer(&row, band->limited[channel]);
        row_put_real(&row, cue->band_above_mm);
        row_put_real(&row, cue->band_below_mm);
        row_put_real(&row, cue->filter_hz);
        row_put_real(&row, cue->dead_band);
        row_put_real(&row, cue->on_delay_s);
        row_put_real(&row, cue->off_delay_s);
        row_put_real(&row, cue->no_reading_s);
        if (!row_write(&row, problem)) {
            return false;
        }
    }
    return true;
}

static bool write_hold(struct store *store, const struct effect *effect, struct problem *problem)
{
    const struct hold_record *hold = &effect->record.hold;
    struct row row;
    if (!begin_record(store, TABLE_HOLD, effect, &hold->uuid, &row, problem)) {
        return false;
    }
    row_put_integer(&row, hold->number);
    row_put_place(&row, hold->capture);
    row_put_place(&row, hold->build);
    row_put_place(&row, hold->target);
    row_put_place(&row, hold->band);
    row_put_integer(&row, hold->guided);
    row_put_integer(&row, hold->kept_afterwards);
    row_put_real(&row, hold->planned_s);
    row_put_word(&row, &hold_status_words, hold->status);
    row_put_integer(&row, hold->rejected);
    row_put_text(&row, hold->reject_reason);
    return row_write(&row, problem);
}

static bool write_mark(struct store *store, const struct effect *effect, struct problem *problem)
{
    const struct mark_record *mark = &effect->record.mark;
    struct row row;
    if (!begin_record(store, TABLE_MARK, effect, NULL, &row, problem)) {
        return false;
    }
    row_put_word(&row, &mark_words, mark->kind);
    row_put_place(&row, mark->hold);
    row_put_integer(&row, mark->sample);
    row_put_integer(&row, mark->cut);
    return row_write(&row, problem);
}

static bool write_rating(struct store *store, const struct effect *effect, struct problem *problem)
{
    const struct rating_record *rating = &effect->record.rating;
    struct row row;
    if (!begin_record(store, TABLE_RATING, effect, &rating->uuid, &row, problem)) {
        return false;
    }
    row_put_place(&row, rating->setup);
    row_put_integer(&row, rating->sample);
    for (int item = 0; item < RATING_ITEMS; item++) {
        row_put_real(&row, rating->score[item] >= 0 ? rating->score[item] : (double)NAN);
    }
    row_put_word(&row, &answer_words, rating->numb_hands);
    row_put_word(&row, &answer_words, rating->numb_saddle);
    row_put_word(&row, &answer_words, rating->would_race);
    row_put_word(&row, &sees_ahead_words, rating->sees_ahead);
    row_put_real(&row, rating->could_stay_min);
    return row_write(&row, problem);
}

static bool write_note(struct store *store, const struct effect *effect, struct problem *problem)
{
    const struct note_record *note = &effect->record.note;
    struct row row;
    if (!begin_record(store, TABLE_NOTE, effect, &note->uuid, &row, problem)) {
        return false;
    }
    row_put_integer(&row, note->sample);
    row_put_text(&row, note->text);
    return row_write(&row, problem);
}

static bool write_command(struct store *store, const struct command_record *command,
                          struct problem *problem)
{
    struct row row;
    if (!row_upsert(store, TABLE_COMMAND, &row, problem)) {
        return false;
    }
    row_put_integer(&row, store->now.session_id);
    row_put_integer(&row, command->ordinal);
    row_put_integer(&row, command->after_sample);
    row_put_text(&row, command->text);
    return row_write(&row, problem);
}

static bool write_one(struct store *store, const struct effect *effect, struct problem *problem)
{
    if (effect->kind != EFFECT_SESSION && store->now.session_id == 0) {
        return problem_set(problem, "a record came before its session");
    }
    switch (effect->kind) {
    case EFFECT_SESSION:
        return session_row_write(store, &effect->record.session, problem);
    case EFFECT_RIDER:
        return write_rider(store, &effect->record.rider, problem);
    case EFFECT_BIKE:
        return write_bike(store, &effect->record.bike, problem);
    case EFFECT_PLACING:
        return write_placing(store, effect, problem);
    case EFFECT_SETUP:
        return write_setup(store, effect, problem);
    case EFFECT_BUILD:
        return write_build(store, effect, problem);
    case EFFECT_TIE_READING:
        return write_tie_reading(store, effect, problem);
    case EFFECT_CAPTURE:
        return write_capture(store, effect, problem);
    case EFFECT_TARGET:
        return write_target(store, effect, problem);
    case EFFECT_BAND:
        return write_band(store, effect, problem);
    case EFFECT_HOLD:
        return write_hold(store, effect, problem);
    case EFFECT_MARK:
        return write_mark(store, effect, problem);
    case EFFECT_RATING:
        return write_rating(store, effect, problem);
    case EFFECT_NOTE:
        return write_note(store, effect, problem);
    case EFFECT_CHECK:
        return checks_write(store, effect->index, &effect->record.check, problem);
    case EFFECT_COMMAND:
        return write_command(store, &effect->record.command, problem);
    }
    return problem_set(problem, "a record of an unknown kind came");
}

bool store_write_effect(struct store *store, const struct effect *effect, struct problem *problem)
{
    store->record_refused = false;
    if (write_one(store, effect, problem)) {
        return true;
    }
    store_rollback(store);
    return false;
}
