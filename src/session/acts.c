/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "acts.h"

#include "base/text.h"
#include "machine.h"

#include <stdlib.h>
#include <string.h>

#define OPENING ACTS_MAX /* the place of an act that may turn out to be none */

/* ---- records by their kind ---------------------------------------------------------------------
 */

static const struct stored_table *table_of(enum effect_kind kind)
{
    return stored_tables[effect_table(kind)];
}

void *acts_at(struct session_record *record, enum effect_kind kind, int index)
{
    const struct stored_table *table = table_of(kind);
    size_t at = table->shape == SHAPE_RECORD ? (size_t)index * table->size : 0;
    return (char *)record + table->offset + at;
}

int *acts_count_of(struct session_record *record, enum effect_kind kind)
{
    const struct stored_table *table = table_of(kind);
    bool array = table->shape == SHAPE_RECORD && kind != EFFECT_COMMAND && kind != EFFECT_SESSION;
    return array ? (int *)(void *)((char *)record + table->count_offset) : NULL;
}

static size_t size_of(enum effect_kind kind)
{
    return kind == EFFECT_SESSION ? sizeof(struct session_header) : table_of(kind)->size;
}

/* What earlier sessions showed is found out by the program: it is nobody's act, and stays. */
static void header_of(const struct session_record *record, struct session_header *header)
{
    memset(header, 0, sizeof *header);
    session_record_header(record, header);
    memset(header->settings.learnt, 0, sizeof header->settings.learnt);
}

static void copy_out(struct session_record *record, enum effect_kind kind, int index, void *bytes)
{
    if (kind == EFFECT_SESSION) {
        header_of(record, bytes);
    } else {
        memcpy(bytes, acts_at(record, kind, index), size_of(kind));
    }
}

static bool is_known(struct session_record *known, enum effect_kind kind, int index)
{
    const int *count = acts_count_of(known, kind);
    if (count != NULL) {
        return index < *count;
    }
    return kind == EFFECT_SESSION || (kind == EFFECT_RIDER ? known->has_rider : known->has_bike);
}

/* ---- places in the store -----------------------------------------------------------------------
 */

int acts_place(struct session *session, enum effect_kind kind, int index)
{
    struct acts *acts = session->acts;
    if (acts_count_of(&session->record, kind) == NULL) {
        return index;
    }
    int *place = acts->place[kind];
    for (int *placed = &acts->placed[kind]; *placed <= index; ++*placed) {
        int before = *placed > 0 ? place[*placed - 1] + 1 : 0;
        place[*placed] = before > acts->most[kind] ? before : acts->most[kind];
    }
    return place[index];
}

bool acts_room(struct session *session, enum effect_kind kind, int more)
{
    const int *count = acts_count_of(&session->record, kind);
    int next = *count > 0 ? acts_place(session, kind, *count - 1) + 1 : 0;
    next = next > session->acts->most[kind] ? next : session->acts->most[kind];
    return next + more <= table_of(kind)->most;
}

void acts_taken_out(struct session *session, enum effect_kind kind, int index)
{
    struct session_record *known = session->acts->known;
    int *count = acts_count_of(known, kind);
    if (count != NULL) {
        *count = index < *count ? index : *count;
        session->acts->placed[kind] =
            index < session->acts->placed[kind] ? index : session->acts->placed[kind];
    } else {
        *(kind == EFFECT_RIDER ? &known->has_rider : &known->has_bike) = false;
    }
}

void acts_put_in(struct session *session, enum effect_kind kind, int index, int place)
{
    if (acts_count_of(&session->record, kind) != NULL) {
        session->acts->place[kind][index] = place;
        session->acts->placed[kind] = index + 1;
    }
}

/* ---- images ------------------------------------------------------------------------------------
 */

static struct act_image *add_image(struct acts *acts, struct act *act, size_t size)
{
    if (act->image_count == act->image_room) {
        int room = act->image_room == 0 ? 4 : act->image_room * 2;
        struct act_image *larger = realloc(act->image, (size_t)room * sizeof *larger);
        if (larger == NULL) {
            acts->failed = true;
            return NULL;
        }
        act->image = larger;
        act->image_room = room;
    }
    struct act_image *image = &act->image[act->image_count];
    *image = (struct act_image){.size = size, .bytes = malloc(size)};
    if (image->bytes == NULL) {
        acts->failed = true;
        return NULL;
    }
    act->image_count++;
    return image;
}

static void drop_image(struct act *act, int index)
{
    free(act->image[index].bytes);
    act->image_count--;
    memmove(&act->image[index], &act->image[index + 1],
            (size_t)(act->image_count - index) * sizeof act->image[0]);
}

static void drop_act(struct act *act)
{
    while (act->image_count > 0) {
        drop_image(act, act->image_count - 1);
    }
    free(act->image);
    free(act->thrown_away);
    free(act->countdown);
    memset(act, 0, sizeof *act);
}

static bool has_image(const struct act *act, enum image_of of, enum effect_kind kind, int index)
{
    for (int i = 0; i < act->image_count; i++) {
        const struct act_image *image = &act->image[i];
        if (image->of == of &&
            (of != IMAGE_RECORD || (image->kind == kind && image->index == index))) {
            return true;
        }
    }
    return false;
}

void acts_record(struct session *session, enum effect_kind kind, int index)
{
    struct acts *acts = session->acts;
    if (kind == EFFECT_COMMAND) {
        return;
    }
    int place = acts_place(session, kind, index);
    acts->most[kind] = place >= acts->most[kind] ? place + 1 : acts->most[kind];
    struct act *act = acts->open;
    struct act_image *image = act != NULL && !has_image(act, IMAGE_RECORD, kind, index)
                                  ? add_image(acts, act, size_of(kind))
                                  : NULL;
    if (image != NULL) {
        image->of = IMAGE_RECORD;
        image->kind = kind;
        image->index = index;
        image->place = place;
        image->made = !is_known(acts->known, kind, index);
        copy_out(acts->known, kind, index, image->bytes);
    }
    struct session_record *record = &session->record;
    if (kind == EFFECT_SESSION) {
        struct session_header header;
        session_record_header(record, &header);
        session_record_take_header(acts->known, &header);
        return;
    }
    memcpy(acts_at(acts->known, kind, index), acts_at(record, kind, index), size_of(kind));
    int *count = acts_count_of(acts->known, kind);
    if (count != NULL) {
        *count = index >= *count ? index + 1 : *count;
    } else {
        acts->known->has_rider = record->has_rider;
        acts->known->has_bike = record->has_bike;
    }
}

void acts_removed(struct session *session, enum effect_kind kind, int index, int place)
{
    struct acts *acts = session->acts;
    struct act *act = acts->open;
    struct act_image *image = act != NULL ? add_image(acts, act, size_of(kind)) : NULL;
    if (image != NULL) {
        image->of = IMAGE_REMOVED;
        image->kind = kind;
        image->index = index;
        image->place = place;
        copy_out(&session->record, kind, index, image->bytes);
    }
}

void acts_activity(struct session *session, const struct act_activity *activity)
{
    struct acts *acts = session->acts;
    struct act *act = acts->open;
    struct act_image *image = act != NULL ? add_image(acts, act, sizeof *activity) : NULL;
    if (image != NULL) {
        image->of = IMAGE_ACTIVITY;
        memcpy(image->bytes, activity, sizeof *activity);
    }
}

/* ---- acts --------------------------------------------------------------------------------------
 */

bool acts_start(struct session *session)
{
    struct acts *acts = calloc(1, sizeof *acts);
    session->acts = acts;
    if (acts == NULL) {
        return false;
    }
    acts->known = malloc(sizeof *acts->known);
    if (acts->known != NULL) {
        session_record_begin(acts->known);
    }
    return acts->known != NULL;
}

void acts_end(struct session *session)
{
    struct acts *acts = session->acts;
    if (acts == NULL) {
        return;
    }
    for (int i = 0; i < acts->count + acts->undone; i++) {
        drop_act(&acts->act[i]);
    }
    drop_act(&acts->act[OPENING]);
    free(acts->known);
    free(acts);
}

void acts_forget_undone(struct session *session)
{
    struct acts *acts = session->acts;
    for (; acts->undone > 0; acts->undone--) {
        drop_act(&acts->act[acts->count + acts->undone - 1]);
    }
}

void acts_forget_last_undone(struct acts *acts)
{
    drop_act(&acts->act[acts->count]);
    acts->undone--;
    memmove(&acts->act[acts->count], &acts->act[acts->count + 1],
            (size_t)acts->undone * sizeof acts->act[0]);
}

void acts_drop_last(struct acts *acts)
{
    acts->count--;
    acts->undone++;
    acts_forget_last_undone(acts);
}

void acts_open(struct session *session, const char *line, bool joined)
{
    struct acts *acts = session->acts;
    acts->failed = false;
    acts->settings = session->settings;
    /* what is still going on is moved behind all that came meanwhile when it ends: nothing else
     * goes with it */
    bool joins = joined && acts->joinable && acts->count > 0 && acts->undone == 0 &&
                 !acts->act[acts->count - 1].running;
    acts->open = &acts->act[joins ? acts->count - 1 : OPENING];
    if (!joins) {
        text_copy(acts->open->line, sizeof acts->open->line, line);
        acts->open->earlier = false;
    }
}

bool acts_is_joined(const struct session *session)
{
    return session->acts->open != NULL && session->acts->open->image_count > 0;
}

void acts_take_earlier(struct session *session)
{
    if (session->acts->open != NULL) {
        session->acts->open->earlier = true;
    }
}

bool acts_takes_earlier(const struct session *session)
{
    return session->acts->open != NULL && session->acts->open->earlier;
}

/* What is as it was before was not changed: but where something was removed meanwhile, what points
 * there says something else; and what was stopped is changed by itself where it goes on. */
static void drop_unchanged(struct session *session, struct act *act)
{
    if (has_image(act, IMAGE_REMOVED, 0, 0) || has_image(act, IMAGE_ACTIVITY, 0, 0)) {
        return;
    }
    for (int i = act->image_count - 1; i >= 0; i--) {
        struct act_image *image = &act->image[i];
        union {
            struct session_header header;
            struct placing_record placing;
            struct check_record check;
            struct band_record band;
            struct setup_record setup;
            struct rider_record rider;
            struct bike_record bike;
            struct hold_record hold;
            struct note_record note;
            struct target_record target;
        } now;
        if (image->of != IMAGE_RECORD || image->made || image->size > sizeof now) {
            continue;
        }
        copy_out(&session->record, image->kind, image->index, &now);
        if (memcmp(&now, image->bytes, image->size) == 0) {
            drop_image(act, i);
        }
    }
}

/* A countdown that was stopped is nothing to take back once something else is done. */
static void forget_countdown(struct acts *acts)
{
    struct act *last = acts->count > 0 ? &acts->act[acts->count - 1] : NULL;
    if (last == NULL || last->countdown == NULL) {
        return;
    }
    free(last->countdown);
    last->countdown = NULL;
    if (last->image_count == 0) {
        acts_drop_last(acts);
    }
}

void acts_close(struct session *session, bool done, bool began)
{
    struct acts *acts = session->acts;
    struct act *act = acts->open;
    acts->open = NULL;
    bool set = !act_settings_same(&session->settings, &acts->settings);
    if (done && set && !has_image(act, IMAGE_SETTINGS, 0, 0)) {
        struct act_image *image = add_image(acts, act, sizeof acts->settings);
        if (image != NULL) {
            image->of = IMAGE_SETTINGS;
            memcpy(image->bytes, &acts->settings, sizeof acts->settings);
        }
    }
    drop_unchanged(session, act);
    act->running = act->running || began;
    act->at_start = began ? act->image_count : act->at_start;
    if (act != &acts->act[OPENING]) {
        return;
    }
    acts->joinable = done ? act->image_count > 0 || began : acts->joinable;
    if (!done || acts->failed || (act->image_count == 0 && !began)) {
        drop_act(act);
        return;
    }
    acts_forget_undone(session);
    forget_countdown(acts);
    while (acts->count >= ACTS_MAX - 1) { /* one more where an act becomes two */
        drop_act(&acts->act[0]);
        acts->count--;
        memmove(&acts->act[0], &acts->act[1], (size_t)acts->count * sizeof acts->act[0]);
    }
    acts->act[acts->count++] = *act;
    memset(act, 0, sizeof *act);
}

void acts_fit(struct session *session, int placing, act_fit *fit)
{
    struct acts *acts = session->acts;
    acts_forget_undone(session);
    for (int a = 0; a < acts->count; a++) {
        for (int i = 0; i < acts->act[a].image_count; i++) {
            struct act_image *image = &acts->act[a].image[i];
            if (image->of == IMAGE_SETTINGS) {
                fit(session, NULL, false, image->bytes);
            } else if (image->of == IMAGE_RECORD && image->kind == EFFECT_PLACING &&
                       image->index == placing) {
                fit(session, image->bytes, image->made, NULL);
                image->made = false;
            }
        }
    }
}

void acts_reorder(struct session *session, const struct channel_order *order)
{
    struct acts *acts = session->acts;
    for (int a = 0; a < acts->count; a++) {
        for (int i = 0; i < acts->act[a].image_count; i++) {
            struct act_image *image = &acts->act[a].image[i];
            bool of_record = image->of == IMAGE_RECORD || image->of == IMAGE_REMOVED;
            if (of_record && image->kind != EFFECT_PLACING) {
                channel_order_apply(order, effect_table(image->kind), image->bytes);
            }
        }
    }
}
