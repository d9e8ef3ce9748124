/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"

#include "base/text.h"
#include "bike/carrier.h"
#include "bike/slips.h"
#include "heights.h"
#include "machine_effects.h"
#include "measure/rules.h"
#include "parts_kept.h"
#include "parts_typed.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The commands that say who rides what, where the sensors are and what was changed. */

static bool has_ridden(const struct session *session)
{
    const struct session_record *record = &session->record;
    return record->hold_count > 0 || record->target_count > 0 || record->rating_count > 0 ||
           session->settings.practice.on;
}

/* Another code after holds, targets or ratings, or in a rider's practice: the next rider, whose
 * session was not begun, would take over what is of the one before; or the code was typed wrongly.
 */
static bool check_same_rider(const struct session *session, const char *code,
                             struct problem *problem)
{
    const struct session_record *record = &session->record;
    if (!record->has_rider || !has_ridden(session) || text_equal(record->rider.code, code)) {
        return true;
    }
    return problem_ask(problem,
                       "rider: what is here is of %s. For another rider end this session and "
                       "begin a new one; or was only the code wrong?",
                       record->rider.code);
}

/* Another code before anything was ridden is another person: name, watch_for and what was said of
 * health were not theirs. Afterwards only the code was wrong. */
static void forget_other_rider(struct session *session, const char *code)
{
    struct rider_record *rider = &session->record.rider;
    if (!has_ridden(session) && !text_equal(rider->code, code)) {
        rider->name[0] = '\0';
        rider->watch_for[0] = '\0';
        rider->health = 0;
    }
}

/* rider CODE "name" watch_for="..." sure=yes */
bool command_rider(struct session *session, const struct words *words, struct problem *problem)
{
    static const char *const keys[] = {"watch_for", "health", "sure", NULL};
    const char *health = words_value(words, "health");
    int answer = health != NULL ? word_find(&answer_words, health, -1) : 0;
    if (!machine_only_keys(words, keys, problem)) {
        return false;
    }
    if (words->count < 2 || words->word[1].key != NULL || words->word[1].value[0] == '\0') {
        return problem_set(problem, "rider: say 'rider CODE \"name\"'");
    }
    if (answer < 0) {
        return problem_set(problem,
                           "rider: health=yes or health=no (may ratings of discomfort be "
                           "kept at home?), not '%s'",
                           health);
    }
    if (!machine_sure(session, words) &&
        !check_same_rider(session, words->word[1].value, problem)) {
        return false;
    }
    struct rider_record *rider = &session->record.rider;
    if (!session->record.has_rider) {
        rider->uuid = machine_uuid(session, EFFECT_RIDER, 0);
    }
    session->record.has_rider = true;
    forget_other_rider(session, words->word[1].value);
    rider->health = health != NULL ? (enum answer)answer : rider->health;
    text_copy(rider->code, sizeof rider->code, words->word[1].value);
    if (words->count > 2 && words->word[2].key == NULL) {
        text_copy(rider->name, sizeof rider->name, words->word[2].value);
    }
    const char *watch_for = words_value(words, "watch_for");
    if (watch_for != NULL) {
        text_copy(rider->watch_for, sizeof rider->watch_for, watch_for);
    }
    machine_emit(session, EFFECT_RIDER, 0);
    return true;
}

/* The first sensor of those described whose height over the bottom bracket is not known, and what
 * is missing for it. False where none is. */
static bool heights_lack(const struct session *session, struct problem *missing)
{
    const struct placing_record *placing = machine_placing(session);
    if (placing == NULL || session->build < 0) {
        return false;
    }
    const struct build_record *build = &session->record.build[session->build];
    const struct bike_values *bike = &session->record.setup[build->setup].bike;
    for (int c = 0; c < placing->channel_count; c++) {
        const struct channel_record *channel = &placing->channel[c];
        struct sensor_position position;
        if (channel->role == ROLE_BODY && channel->mounted &&
            !session->analysis->tie[session->build][c].absolute &&
            !sensor_locate(bike, bike, &channel->mount, &position, missing)) {
            problem_prefix(missing, "%s", channel->name);
            return true;
        }
    }
    return false;
}

/* lacked: before what was just entered. */
static void say_heights(struct session *session, bool lacked)
{
    struct problem missing = {0};
    if (heights_lack(session, &missing)) {
        machine_say(session, "%s", missing.sentence);
        session->message_is_problem = true;
    } else if (lacked) {
        machine_say(session, "heights are over the bottom bracket now");
    }
}

static bool heights_changed(struct session *session, bool lacked, struct problem *problem)
{
    machine_ties_changed(session);
    if (!machine_ensure_build(session, problem)) {
        return false;
    }
    say_heights(session, lacked);
    return true;
}

/* Another name, or more than one measure of the frame, after holds or in practice, which goes on
 * with a bike that was carried over: all setups would be on another bike. One measure is put right.
 */
static bool check_same_bike(const struct session *session, const struct words *words,
                            const struct bike_values *values, struct problem *problem)
{
    const struct session_record *record = &session->record;
    const char *name = words->count > 1 && words->word[1].key == NULL ? words->word[1].value : "";
    bool used = record->hold_count > 0 || session->settings.practice.on;
    int changed = 0;
    for (int k = 0; k < BIKE_KEYS; k++) {
        double former = record->bike.frame.value[k];
        changed += bike_fields[k].scope == BIKE_SCOPE_FRAME && isfinite(former) &&
                           values->value[k] != former
                       ? 1
                       : 0;
    }
    bool renamed =
        name[0] != '\0' && record->bike.name[0] != '\0' && !text_equal(record->bike.name, name);
    if (!record->has_bike || !used || !(renamed || changed > 1)) {
        return true;
    }
    return problem_ask(problem,
                       "bike: this session's setups are of %s. For another bike end it and begin a "
                       "new one; or was only what was typed wrong?",
                       record->bike.name[0] != '\0' ? record->bike.name : "the bike as it was");
}

/* bike "name" stack=545 reach=410 head_angle=73 ... sure=yes: with it setup 1, the bike as it came,
 * is there, and heights are shown without more ado. */
bool command_bike(struct session *session, const struct words *words, struct problem *problem)
{
    static const char *const others[] = {"sure", NULL};
    struct session_record *record = &session->record;
    const struct bike_values former = record->bike.frame;
    struct bike_values values = former;
    struct problem unused = {0};
    bool lacked = heights_lack(session, &unused);
    bool had_bike = record->has_bike;
    char kept[TEXT_SIZE] = "";
    int changed = 0;
    if (!had_bike) {
        bike_values_clear(&values);
    }
    if (!parts_typed_read(words, 1, others, &values, &changed, problem) ||
        (!machine_sure(session, words) &&
         (!check_same_bike(session, words, &values, problem) ||
          !parts_typed_check(record, &values, &former, -1, problem)))) {
        return false;
    }
    if (!had_bike) {
        record->bike.uuid = machine_uuid(session, EFFECT_BIKE, 0);
    }
    record->has_bike = true;
    record->bike.frame = values;
    if (words->count > 1 && words->word[1].key == NULL) {
        text_copy(record->bike.name, sizeof record->bike.name, words->word[1].value);
    }
    machine_emit(session, EFFECT_BIKE, 0);
    /* The frame is the same on all setups; parts come into them only where nothing was said yet. */
    for (int s = 0; s < record->setup_count; s++) {
        for (int k = 0; k < BIKE_KEYS; k++) {
            if (bike_fields[k].scope == BIKE_SCOPE_FRAME || isnan(record->setup[s].bike.value[k])) {
                record->setup[s].bike.value[k] = values.value[k];
            }
        }
        machine_emit(session, EFFECT_SETUP, s);
    }
    if (!heights_changed(session, lacked, problem)) {
        return false;
    }
    if (had_bike) {
        parts_kept_text(kept, sizeof kept, session, &former, &values, true);
    }
    if (kept[0] != '\0') {
        machine_say(session, "%s", kept);
    }
    return true;
}

static bool read_role(const char *text, enum channel_role *role, struct problem *problem)
{
    char all[64];
    int found = word_find(&channel_role_short_words, text, -1);
    if (found < 0) {
        word_list_text(all, sizeof all, &channel_role_short_words);
        return problem_set(problem, "role: '%s' is none of %s", text, all);
    }
    *role = (enum channel_role)found;
    return true;
}

static bool read_mount(const struct words *words, struct channel_record *channel,
                       struct problem *problem)
{
    const char *carrier = words_value(words, "carrier");
    const char *look = words_value(words, "look");
    char all[128];
    if (carrier != NULL) {
        int found = word_find(&carrier_keys, carrier, -1);
        if (found < 0) {
            word_list_text(all, sizeof all, &carrier_keys);
            return problem_set(problem, "carrier: '%s' is none of %s", carrier, all);
        }
        channel->mount.carrier = (enum carrier)found;
        channel->mounted = true;
    }
    if (look != NULL) {
        int direction = word_find(&look_words, look, 0);
        if (direction == 0) {
            return problem_set(problem, "look: '%s' is neither up nor down", look);
        }
        channel->mount.direction = direction;
    }
    return typed_read(words, TYPED_MOUNT_X, &channel->mount.x_mm, problem) &&
           typed_read(words, TYPED_MOUNT_Y, &channel->mount.y_mm, problem) &&
           typed_read(words, TYPED_MOUNT_TILT, &channel->mount.tilt_deg, problem) &&
           typed_read(words, TYPED_GAIN, &channel->gain, problem) &&
           typed_read(words, TYPED_OFFSET, &channel->offset_mm, problem);
}

/* The head's beam meets the body ahead of the chest's on one carrier: two places typed in each
 * other's. */
static bool check_order(const struct placing_record *placing, int index, const char *name,
                        const struct sensor_mount *mount, struct problem *problem)
{
    bool head = text_equal(name, "head");
    for (int c = 0; placing != NULL && c < placing->channel_count; c++) {
        const struct channel_record *other = &placing->channel[c];
        if (c == index || !other->mounted || other->mount.carrier != mount->carrier ||
            !(head ? text_equal(other->name, "chest")
                   : text_equal(name, "chest") && text_equal(other->name, "head"))) {
            continue;
        }
        double ahead_mm = mount_looks_at_mm(mount) - mount_looks_at_mm(&other->mount);
        if (head ? ahead_mm < 0.0 : ahead_mm > 0.0) {
            return problem_ask(problem,
                               "its x of %.0f mm lets %s look ahead of the head, with %s at %.0f: "
                               "in each other's place, or is it meant so?",
                               mount->x_mm, head ? other->name : name, other->name,
                               other->mount.x_mm);
        }
    }
    return true;
}

static bool same_number(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

/* What the line changes of where a sensor is. */
static bool check_place(const struct session *session, int index,
                        const struct channel_record *channel, struct problem *problem)
{
    const struct placing_record *placing = machine_placing(session);
    const struct sensor_mount *mount = &channel->mount;
    const struct sensor_mount *former = index >= 0 ? &placing->channel[index].mount : NULL;
    bool same = former != NULL && former->carrier == mount->carrier &&
                same_number(former->x_mm, mount->x_mm) && same_number(former->y_mm, mount->y_mm) &&
                former->tilt_deg == mount->tilt_deg && former->direction == mount->direction;
    if (channel->role != ROLE_BODY || !channel->mounted || same) {
        return true;
    }
    bool moved = former != NULL && placing->channel[index].mounted;
    return (mount_check(mount, problem) &&
            check_order(placing, index, channel->name, mount, problem) &&
            (!moved || mount_change_check(mount, former, problem))) ||
           problem_prefix(problem, "sensor %s", channel->name);
}

/* One role counts for all holds: those ridden before change with it. */
static void say_role(struct session *session, const char *name, enum channel_role former,
                     enum channel_role now)
{
    if (former == ROLE_BODY && now != ROLE_BODY && session->record.hold_count > 0) {
        machine_say(session,
                    "%s is no part of the body from here on, in the holds ridden before neither: "
                    "they tell no height of it; role=body brings them back",
                    name);
    }
}

/* sensor NAME carrier=base_bar x=120 y=40 tilt=0 look=up mark="chin strap" role=body */
bool command_sensor(struct session *session, const struct words *words, struct problem *problem)
{
    static const char *const keys[] = {"carrier", "x",    "y",      "tilt", "look", "mark",
                                       "role",    "gain", "offset", "sure", NULL};
    struct session_record *record = &session->record;
    if (!machine_only_keys(words, keys, problem)) {
        return false;
    }
    if (words->count < 2 || words->word[1].key != NULL || words->word[1].value[0] == '\0') {
        return problem_set(problem, "sensor: say 'sensor NAME carrier=base_bar x=120 y=40'");
    }
    const char *name = words->word[1].value;
    struct problem unused = {0};
    bool lacked = heights_lack(session, &unused);
    int index = -1;
    const struct placing_record *placing = machine_placing(session);
    for (int c = 0; placing != NULL && c < placing->channel_count; c++) {
        index = text_equal(placing->channel[c].name, name) ? c : index;
    }
    if (index < 0 && session->has_rig) {
        return machine_channel(session, name, problem) >= 0;
    }
    if (index < 0 && placing != NULL && placing->channel_count == CHANNELS_MAX) {
        return problem_set(problem, "sensor: no more than %d channels", CHANNELS_MAX);
    }
    struct channel_record channel;
    machine_default_channel(&channel, name);
    if (index >= 0) {
        channel = placing->channel[index];
    }
    const char *role = words_value(words, "role");
    const char *mark = words_value(words, "mark");
    if (!read_mount(words, &channel, problem) ||
        (role != NULL && !read_role(role, &channel.role, problem)) ||
        (!machine_sure(session, words) && !check_place(session, index, &channel, problem))) {
        return false;
    }
    if (mark != NULL) {
        text_copy(channel.mark, sizeof channel.mark, mark);
    }
    if (session->placing < 0) {
        session->placing = machine_new_placing(session);
    }
    struct placing_record *changed = &record->placing[session->placing];
    if (index < 0) {
        index = changed->channel_count++;
        machine_default_delay(session, index, name);
    }
    enum channel_role former = changed->channel[index].role;
    changed->channel[index] = channel;
    session->settings.place_carried[index] = acts_takes_earlier(session);
    machine_emit(session, EFFECT_PLACING, session->placing);
    if (!heights_changed(session, lacked, problem)) {
        return false;
    }
    say_role(session, name, former, channel.role);
    return true;
}
