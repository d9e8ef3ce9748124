/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "form_parts.h"

#include "base/text.h"
#include "screen/page.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* What each form asks for, filled in from the view. */

struct form_field *form_add(struct form *form, enum field_kind kind, const char *key,
                            const char *label, const char *unit, double minimum, double maximum)
{
    struct form_field *field =
        &form->field[form->count < FORM_FIELDS_MAX ? form->count++ : FORM_FIELDS_MAX - 1];
    memset(field, 0, sizeof *field);
    field->kind = kind;
    field->minimum = minimum;
    field->maximum = maximum;
    field->channel = -1;
    text_copy(field->key, sizeof field->key, key);
    text_copy(field->label, sizeof field->label, label);
    text_copy(field->unit, sizeof field->unit, unit);
    return field;
}

struct form_field *form_add_text(struct form *form, const char *key, const char *label,
                                 const char *value, size_t kept)
{
    struct form_field *field = form_add(form, FIELD_TEXT, key, label, "", 0.0, 0.0);
    field->kept = kept;
    form_prefill(field, value);
    return field;
}

void form_add_choice(struct form_field *field, const char *value, const char *words)
{
    if (field->choice_count < FORM_CHOICES_MAX) {
        text_copy(field->choice[field->choice_count], sizeof field->choice[0], value);
        text_copy(field->choice_words[field->choice_count], sizeof field->choice_words[0], words);
        field->choice_count++;
    }
}

static struct form_field *add_yes_no(struct form *form, const char *key, const char *label)
{
    struct form_field *field = form_add(form, FIELD_CHOICE, key, label, "", 0.0, 0.0);
    form_add_choice(field, "", "(not asked)");
    form_add_choice(field, "yes", "yes");
    form_add_choice(field, "no", "no");
    return field;
}

static const struct setup_record *setup_numbered(const struct view *view, int number)
{
    int index = session_record_setup(&view->snapshot->record, number);
    return index >= 0 ? &view->snapshot->record.setup[index] : NULL;
}

static void add_bike_fields(struct form *form, bool frame, bool parts,
                            const struct bike_values *values)
{
    for (int k = 0; k < BIKE_KEYS; k++) {
        bool is_frame = bike_fields[k].scope == BIKE_SCOPE_FRAME;
        if ((is_frame && !frame) || (!is_frame && !parts)) {
            continue;
        }
        struct form_field *field =
            form_add(form, FIELD_NUMBER, bike_fields[k].key, bike_fields[k].words,
                     bike_fields[k].unit, bike_fields[k].minimum, bike_fields[k].maximum);
        field->begins_column = k == BIKE_EXTENSION_LENGTH;
        form_prefill_number(field, values->value[k]);
    }
}

static void prefill_bike(struct form *form, const struct bike_values *values)
{
    for (int k = 0; k < BIKE_KEYS; k++) {
        struct form_field *field = form_find(form, bike_fields[k].key);
        if (field != NULL) {
            form_prefill_number(field, values->value[k]);
        }
    }
}

/* ---- one after the other ---- */

static void open_setup(struct form *form, const struct view *view)
{
    const struct session_record *record = &view->snapshot->record;
    const struct setup_record *current = snapshot_setup(view->snapshot);
    int next = 1;
    for (int s = 0; s < record->setup_count; s++) {
        next = record->setup[s].number >= next ? record->setup[s].number + 1 : next;
    }
    form->title = next == 1 ? "THE FIRST SETUP: THE BIKE AS IT CAME" : "NEXT SETUP";
    form->explanation = next == 1
                            ? "what is on the bike now; leave out what you don't know"
                            : "type only what changed; an earlier number goes back to that setup";
    form_prefill_number(form_add(form, FIELD_WHOLE, "number", "setup number", "", 1.0, 99.0), next);
    form->field[0].required = true;
    if (record->setup_count > 0) {
        form_prefill_number(form_add(form, FIELD_WHOLE, "from", "from setup", "", 1.0, 99.0),
                            current != NULL ? current->number : record->setup[0].number);
    }
    form_add_text(form, "intent", "what for", next == 1 ? "as it came" : "",
                  sizeof((struct setup_record *)0)->intent);
    add_bike_fields(form, false, true, current != NULL ? &current->bike : &record->bike.frame);
    form->focus = next == 1 ? 0 : 2;
}

static void open_correct(struct form *form, const struct view *view)
{
    const struct setup_record *current = snapshot_setup(view->snapshot);
    form->title = "A TYPING SLIP IN A SETUP";
    form->explanation = "the bike was like this all along; no new build";
    form_prefill_number(form_add(form, FIELD_WHOLE, "number", "setup number", "", 1.0, 99.0),
                        current != NULL ? current->number : 1.0);
    form->field[0].required = true;
    form_add_text(form, "intent", "what for", current != NULL ? current->intent : "",
                  sizeof((struct setup_record *)0)->intent);
    add_bike_fields(form, true, true,
                    current != NULL ? &current->bike : &view->snapshot->record.bike.frame);
}

static void open_rider(struct form *form, const struct view *view)
{
    form->title = "WHO RIDES";
    form->explanation = "files carry the code; leave the name empty to keep it out of exports";
    form_add_text(form, "code", "code", view->snapshot->record.rider.code,
                  sizeof((struct rider_record *)0)->code)
        ->required = true;
    form_add_text(form, "name", "name or group", view->snapshot->record.rider.name,
                  sizeof((struct rider_record *)0)->name);
    form_add_text(form, "watch_for", "old trouble to watch for",
                  view->snapshot->record.rider.watch_for,
                  sizeof((struct rider_record *)0)->watch_for);
}

static void open_bike(struct form *form, const struct view *view)
{
    form->title = "THE BIKE";
    form->explanation =
        "frame, spacers, stem length and angle: heights of sensors follow from them";
    form_add_text(form, "name", "name", view->snapshot->record.bike.name,
                  sizeof((struct bike_record *)0)->name);
    add_bike_fields(form, true, true, &view->snapshot->record.bike.frame);
}

static void prefill_sensor(struct form *form, const struct channel_record *channel)
{
    bool mounted = channel->mounted;
    form_prefill(form_find(form, "carrier"),
                 mounted ? word_of(&carrier_keys, channel->mount.carrier) : "");
    form_prefill_number(form_find(form, "x"), mounted ? channel->mount.x_mm : NAN);
    form_prefill_number(form_find(form, "y"), mounted ? channel->mount.y_mm : NAN);
    form_prefill_number(form_find(form, "tilt"), mounted ? channel->mount.tilt_deg : NAN);
    form_prefill(form_find(form, "look"), mounted ? look_word(channel->mount.direction) : "");
    form_prefill(form_find(form, "mark"), channel->mark);
    form_prefill(form_find(form, "role"), word_of(&channel_role_short_words, channel->role));
}

static void open_sensors(struct form *form, const struct view *view)
{
    form->title = "THE SENSORS";
    form->explanation =
        "from bar clamp centre, pad, extension tip, or (stand, frame) bottom bracket";
    struct form_field *field = form_add(form, FIELD_CHOICE, "channel", "sensor", "", 0.0, 0.0);
    for (int c = 0; c < view->channel_count; c++) {
        form_add_choice(field, snapshot_channel(view->snapshot, c)->name,
                        snapshot_channel(view->snapshot, c)->name);
    }
    if (view->channel_count > 0) {
        form_prefill(field, snapshot_channel(view->snapshot, 0)->name);
    } else {
        field->kind = FIELD_TEXT; /* not heard yet: its name is typed */
    }
    field->required = true;
    field = form_add(form, FIELD_CHOICE, "carrier", "fixed to", "", 0.0, 0.0);
    form_add_choice(field, "", "(not said)");
    for (int i = 0; i < CARRIERS; i++) {
        form_add_choice(field, word_of(&carrier_keys, i), carrier_words((enum carrier)i));
    }
    form_add(form, FIELD_NUMBER, "x", "forward of it", "mm", -2000.0, 2000.0);
    form_add(form, FIELD_NUMBER, "y", "above it", "mm", -2000.0, 2000.0);
    form_add(form, FIELD_NUMBER, "tilt", "beam leans forward", "deg", -60.0, 60.0);
    field = form_add(form, FIELD_CHOICE, "look", "looks", "", 0.0, 0.0);
    form_add_choice(field, "", "(not said)");
    for (int direction = 1; direction >= -1; direction -= 2) {
        const char *look = word_of(&look_words, direction);
        form_add_choice(field, look, look);
    }
    field = form_add(form, FIELD_CHOICE, "role", "what it sees", "", 0.0, 0.0);
    for (int role = ROLE_BODY; role <= ROLE_AUXILIARY; role++) {
        static const char *const seen[] = {"the body", "a fixed plate", "something else"};
        form_add_choice(field, word_of(&channel_role_short_words, role), seen[role]);
    }
    form_prefill(field, word_of(&channel_role_short_words, ROLE_BODY));
    form_add_text(form, "mark", "its mark on the body", "",
                  sizeof((struct channel_record *)0)->mark);
    if (view->channel_count > 0) {
        prefill_sensor(form, snapshot_channel(view->snapshot, 0));
    }
}

static void limit_text(char *text, size_t size, bool has, double mm)
{
    text_copy(text, size, "");
    if (has && isfinite(mm)) {
        text_from_double_shortest(text, size, mm);
    } else if (has) {
        text_copy(text, size, "none");
    }
}

static void open_band(struct form *form, const struct view *view)
{
    char key[48], label[48], value[32];
    form->title = "THE BAND";
    form->explanation = "tight above, looser below; 'none' is no limit on that side";
    for (int c = 0; c < view->channel_count; c++) {
        const struct view_channel *channel = &view->channel[c];
        const struct channel_record *sensor = snapshot_channel(view->snapshot, c);
        if (sensor->role != ROLE_BODY) {
            continue;
        }
        for (int side = 0; side < 2; side++) {
            snprintf(key, sizeof key, "%s%.30s", side == 0 ? "above:" : "below:", sensor->name);
            snprintf(label, sizeof label, "%.30s, %s", sensor->name, side == 0 ? "above" : "below");
            struct form_field *field = form_add(form, FIELD_LIMIT, key, label, "mm", 2.0, 300.0);
            field->channel = c;
            limit_text(value, sizeof value, channel->has_band,
                       side == 0 ? channel->band_above_mm : channel->band_below_mm);
            for (int p = 0; p < view->snapshot->proposal_count[c] && !channel->has_band; p++) {
                const struct band_proposal *proposal = &view->snapshot->proposal[c][p];
                if (proposal->suggested) {
                    limit_text(value, sizeof value, true,
                               round(side == 0 ? proposal->above_mm : proposal->below_mm));
                }
            }
            form_prefill(field, value);
        }
    }
}

static void open_rating(struct form *form, const struct view *view)
{
    (void)view;
    form->title = "RATING OF THIS SETUP";
    form->explanation = "0 nothing at all to 10 unbearable; empty = not asked";
    for (int i = 0; i < RATING_ITEMS; i++) {
        form_add(form, FIELD_WHOLE, rating_fields[i].key, rating_fields[i].words, "", 0.0, 10.0);
    }
    struct form_field *field =
        form_add(form, FIELD_CHOICE, "sees_ahead", "can you see ahead?", "", 0.0, 0.0);
    form_add_choice(field, "", "(not asked)");
    form_add_choice(field, "yes", "yes");
    form_add_choice(field, "strained", "strained");
    form_add_choice(field, "no", "no");
    add_yes_no(form, "numb_hands", "hands numb?");
    add_yes_no(form, "numb_saddle", "saddle numb?");
    form_add(form, FIELD_NUMBER, "could_stay", "could stay for", "min", 0.0, 600.0);
    add_yes_no(form, "would_race", "would you race it?");
}

static void add_build_fields(struct form *form, const struct view *view)
{
    int number = snapshot_setup_number(view->snapshot);
    int ordinal = snapshot_build_ordinal(view->snapshot);
    struct form_field *field = form_add(form, FIELD_WHOLE, "setup", "of setup", "", 1.0, 99.0);
    form_prefill_number(field, number > 0 ? (double)number : (double)NAN);
    field = form_add(form, FIELD_WHOLE, "build", "its build", "", 1.0, 99.0);
    form_prefill_number(field, ordinal > 0 ? (double)ordinal : (double)NAN);
}

static void add_channel_numbers(struct form *form, const struct view *view, const char *what,
                                double minimum, double maximum, bool body_only)
{
    char label[48];
    for (int c = 0; c < view->channel_count; c++) {
        if (body_only && snapshot_channel(view->snapshot, c)->role != ROLE_BODY) {
            continue;
        }
        snprintf(label, sizeof label, "%.24s, %s", snapshot_channel(view->snapshot, c)->name, what);
        form_add(form, FIELD_NUMBER, snapshot_channel(view->snapshot, c)->name, label, "mm",
                 minimum, maximum)
            ->channel = c;
    }
}

static void open_plate(struct form *form, const struct view *view)
{
    form->title = "A PLATE OVER THE SENSORS";
    form->explanation = "hold it still; Enter reads it. Or type ranges that were read before";
    form_prefill_number(form_add(form, FIELD_WHOLE, "seconds", "read it for", "s", 1.0, 120.0),
                        5.0);
    form_add(form, FIELD_NUMBER, "height", "plate over bottom bracket", "mm", 0.0, 3000.0);
    add_channel_numbers(form, view, "range", 5.0, 5000.0, false);
    add_build_fields(form, view);
}

static void open_tape(struct form *form, const struct view *view)
{
    form->title = "A SENSOR'S HEIGHT BY TAPE";
    form->explanation = "from the bottom bracket's centre up to the sensor's face";
    add_channel_numbers(form, view, "height", -500.0, 3000.0, false);
    add_build_fields(form, view);
}

static void open_note(struct form *form, const struct view *view)
{
    (void)view;
    form->title = "A NOTE";
    form->explanation = "it keeps the time at which it is taken";
    form_add_text(form, "text", "note", "", sizeof((struct note_record *)0)->text)->required = true;
}

static void open_reject(struct form *form, const struct view *view)
{
    form->title = "LEAVE A HOLD OUT";
    form->explanation = "nothing is deleted; a hold that is left out is taken in again";
    int latest[PAGE_HOLDS];
    bool any = page_latest_holds(&view->snapshot->record, latest) > 0;
    form_prefill_number(
        form_add(form, FIELD_WHOLE, "number", "hold number", "", 1.0, (double)HOLDS_MAX),
        any ? (double)view->snapshot->record.hold[latest[0]].number : (double)NAN);
    form->field[0].required = true;
    form_add_text(form, "reason", "reason", "", sizeof((struct hold_record *)0)->reject_reason);
}

static void open_target(struct form *form, const struct view *view)
{
    form->title = "A TARGET AGREED OTHERWISE";
    form->explanation = "heights over the bottom bracket; key a captures one instead";
    add_channel_numbers(form, view, "height", -2000.0, 5000.0, true);
    for (int i = 0; i < form->count; i++) {
        const struct view_channel *channel = &view->channel[form->field[i].channel];
        form_prefill_number(&form->field[i],
                            channel->has_target ? round(channel->target_mm * 10.0) / 10.0 : NAN);
    }
}

static void open_settings(struct form *form, const struct view *view)
{
    char label[48], key[48];
    form->title = "WHAT THE COMPARISON IS MADE WITH";
    form->explanation = "set before the first hold, so that nobody chooses them by the outcome";
    for (int c = 0; c < view->channel_count; c++) {
        if (snapshot_channel(view->snapshot, c)->role == ROLE_BODY) {
            snprintf(key, sizeof key, "matters:%.30s", snapshot_channel(view->snapshot, c)->name);
            snprintf(label, sizeof label, "%.20s: what matters",
                     snapshot_channel(view->snapshot, c)->name);
            struct form_field *field = form_add(form, FIELD_NUMBER, key, label, "mm", 1.0, 100.0);
            field->channel = c;
            form_prefill_number(field, view->snapshot->record.settings.matters_mm[c]);
        }
    }
    form_prefill_number(
        form_add(form, FIELD_WHOLE, "baseline", "compared against setup", "", 1.0, 99.0),
        view->snapshot->record.settings.baseline_setup);
    form_add(form, FIELD_NUMBER, "slope", "slope of the trunk", "deg", 0.0, 60.0);
    form_add(form, FIELD_WHOLE, "minutes", "the session may take", "min", 5.0, 600.0);
}

static void open_choose(struct form *form, const struct view *view)
{
    form->title = "WHAT THE RIDER GOES HOME WITH";
    form->explanation = "the rider's sheet is about this setup; 0 takes the choice back";
    form_prefill_number(form_add(form, FIELD_WHOLE, "number", "setup", "", 0.0, 99.0),
                        view->snapshot->record.settings.chosen_setup > 0
                            ? view->snapshot->record.settings.chosen_setup
                            : (double)NAN);
    form->field[0].required = true;
}

static void open_export(struct form *form, const struct view *view)
{
    char name[NAME_SIZE + 16];
    size_t used = 0;
    form->title = "EXPORT";
    form->explanation =
        ".txt to read  .csv tables  .json all of it  .html .pdf report  .svg the bike";
    for (const char *next = view->snapshot->record.rider.code; *next != '\0' && used < NAME_SIZE;
         next++) {
        bool plain = (*next >= '0' && *next <= '9') || (*next >= 'a' && *next <= 'z') ||
                     (*next >= 'A' && *next <= 'Z') || *next == '-' || *next == '_';
        name[used++] = plain ? *next : '-';
    }
    snprintf(name + used, sizeof name - used, "%s.txt", used == 0 ? "session" : "");
    form_add_text(form, "file", "file", name, 0)->required = true;
    form->is_export = true;
}

void form_open(struct form *form, enum form_kind kind, const struct view *view,
               const struct form_draft *draft)
{
    static void (*const openers[FORMS])(struct form *, const struct view *) = {
        [FORM_SETUP] = open_setup,        [FORM_RIDER] = open_rider,
        [FORM_BIKE] = open_bike,          [FORM_SENSORS] = open_sensors,
        [FORM_BAND] = open_band,          [FORM_RATING] = open_rating,
        [FORM_PLATE] = open_plate,        [FORM_TAPE] = open_tape,
        [FORM_NOTE] = open_note,          [FORM_REJECT] = open_reject,
        [FORM_TARGET] = open_target,      [FORM_CORRECT] = open_correct,
        [FORM_SETTINGS] = open_settings,  [FORM_EXPORT] = open_export,
        [FORM_CHECK] = form_check_open,   [FORM_CHOOSE] = open_choose,
        [FORM_LIMITS] = form_limits_open, [FORM_CARRY] = form_carry_open,
    };
    memset(form, 0, sizeof *form);
    form->kind = kind;
    form->title = form->explanation = "";
    openers[kind](form, view);
    for (int i = 0; draft->has && draft->count == form->count && i < form->count; i++) {
        if (draft->typed[i]) {
            memcpy(form->field[i].value, draft->value[i], sizeof form->field[i].value);
            form_follow(form, view, i);
        }
    }
    if (form->focus >= form->count) {
        form->focus = 0;
    }
    form->fresh = true;
    form->cursor = strlen(form->field[form->focus].value);
    if (draft->has && draft->count == form->count) { /* where it was left */
        size_t length = strlen(form->field[draft->focus].value);
        form->focus = draft->focus;
        form->fresh = draft->fresh;
        form->cursor = draft->cursor < length ? draft->cursor : length;
    }
}

/* What was typed besides the number stays; else the values are those of the setup gone back to, or
 * of the one that a new number starts from. */
static void follow_setup_number(struct form *form, const struct view *view)
{
    const struct form_field *from = form_find(form, "from");
    double number = form_number(&form->field[0]);
    const struct setup_record *back = isfinite(number) ? setup_numbered(view, (int)number) : NULL;
    const struct setup_record *start =
        back == NULL && from != NULL ? setup_numbered(view, (int)form_number(from)) : back;
    for (int i = 1; i < form->count; i++) {
        if (form_field_changed(&form->field[i])) {
            return;
        }
    }
    if (start != NULL) {
        prefill_bike(form, &start->bike);
        form_prefill(form_find(form, "intent"), back != NULL ? back->intent : "");
    }
}

void form_follow(struct form *form, const struct view *view, int field)
{
    const char *key = form->field[field].key;
    if (form->kind == FORM_SETUP && strcmp(key, "number") == 0) {
        follow_setup_number(form, view);
    }
    if ((form->kind == FORM_SETUP && strcmp(key, "from") == 0) ||
        (form->kind == FORM_CORRECT && strcmp(key, "number") == 0)) {
        double number = form_number(&form->field[field]);
        const struct setup_record *setup =
            isfinite(number) ? setup_numbered(view, (int)number) : NULL;
        if (setup != NULL) {
            prefill_bike(form, &setup->bike);
            if (form->kind == FORM_CORRECT) {
                form_prefill(form_find(form, "intent"), setup->intent);
            }
        }
    }
    if (form->kind == FORM_CHECK) {
        form_check_follow(form, view, field);
    }
    if (form->kind == FORM_SENSORS && field == 0 && form->field[0].kind == FIELD_CHOICE) {
        for (int c = 0; c < view->channel_count; c++) {
            if (strcmp(snapshot_channel(view->snapshot, c)->name, form->field[0].value) == 0) {
                prefill_sensor(form, snapshot_channel(view->snapshot, c));
            }
        }
    }
}

bool form_advance(struct form *form, const struct view *view)
{
    if (form->kind == FORM_CARRY) {
        return form->is_look;
    }
    if (form->kind != FORM_SENSORS || form->field[0].kind != FIELD_CHOICE) {
        return false;
    }
    for (int c = 0; c + 1 < view->channel_count; c++) {
        if (strcmp(snapshot_channel(view->snapshot, c)->name, form->field[0].value) == 0) {
            static const struct form_draft none = {.has = false};
            form_open(form, FORM_SENSORS, view, &none);
            text_copy(form->field[0].value, sizeof form->field[0].value,
                      snapshot_channel(view->snapshot, c + 1)->name);
            text_copy(form->field[0].initial, sizeof form->field[0].initial,
                      snapshot_channel(view->snapshot, c + 1)->name);
            form_follow(form, view, 0);
            return true;
        }
    }
    return false;
}
