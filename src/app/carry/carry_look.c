/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "carry_inside.h"

#include "base/text.h"
#include "say/say.h"
#include "say/taken.h"

#include <math.h>
#include <string.h>

/* What carrying an earlier session over would bring, in words: it is carried into a session made
 * for it, which is thrown away. */

struct look {
    const struct carry *carry;
    struct session *session; /* where the lines go; NULL: nowhere */
    char band[COMMAND_TEXT_SIZE];
    char *text;
    size_t size, used;
};

static bool take_line(void *context, const char *line, struct problem *problem)
{
    struct look *look = context;
    if (strncmp(line, "band ", 5) == 0) {
        text_copy(look->band, sizeof look->band, line + 5);
    }
    return look->session == NULL || session_command(look->session, line, problem);
}

static void nowhere(void *context, const struct effect *effect)
{
    (void)context;
    (void)effect;
}

/* A session like the running one, with its rig's channels and no bike yet. */
static struct session *session_like(const struct session *now, struct problem *problem)
{
    const struct session_record *record = session_records(now);
    const struct session_origin origin = {record->started_ms, record->seed};
    struct session *session = session_create(&origin, nowhere, NULL);
    if (session == NULL) {
        problem_set(problem, "no memory for a look at a session");
        return NULL;
    }
    if (record->placing_count > 0 && record->placing[0].rig_id[0] != '\0') {
        const struct placing_record *placing = &record->placing[record->placing_count - 1];
        struct carry_text line = {"", 0};
        carry_put(&line, "rig");
        carry_put_quoted(&line, NULL, placing->rig_id);
        carry_put_number(&line, "rate", placing->announced_rate_hz);
        for (int c = 0; c < placing->channel_count; c++) {
            text_append(line.text, sizeof line.text, &line.used, "%s%s",
                        c == 0 ? " channels=" : ",", placing->channel[c].name);
        }
        if (!session_command(session, line.text, problem)) {
            session_destroy(session);
            return NULL;
        }
    }
    return session;
}

static void say_bike(struct look *look)
{
    const struct session_record *record = look->carry->record;
    const struct setup_record *on_bike = &record->setup[look->carry->on_bike];
    text_append(look->text, look->size, &look->used, "%s%s%s; on the bike now: setup %d%s%s\n",
                record->rider.code, record->has_rider && record->has_bike ? ", " : "",
                record->bike.name, on_bike->number, on_bike->intent[0] != '\0' ? ", " : "",
                on_bike->intent);
}

static void say_sensors(struct look *look)
{
    const struct session_record *record = look->carry->record;
    if (record->placing_count == 0) {
        return;
    }
    const struct placing_record *placing = &record->placing[record->placing_count - 1];
    for (int c = 0; c < placing->channel_count; c++) {
        const struct channel_record *channel = &placing->channel[c];
        text_append(look->text, look->size, &look->used, "%s%s", c == 0 ? "sensors: " : ", ",
                    channel->name);
        if (channel->mounted) {
            text_append(look->text, look->size, &look->used, " (%s)",
                        carrier_words[channel->mount.carrier]);
        }
    }
    text_append(look->text, look->size, &look->used, ": %s\n", say_sensors_then);
}

static int last_build_of(const struct session_record *record, int setup)
{
    for (int b = record->build_count - 1; b >= 0; b--) {
        if (record->build[b].setup == setup) {
            return b;
        }
    }
    return -1;
}

/* A setup's heights then, known as well as two placings let them be. The doubt of its own tie is in
 * both parts: too wide rather than too narrow. */
static void say_setup(struct look *look, const struct session *there, int setup)
{
    const struct session_record *record = look->carry->record;
    const struct analysis *analysis = look->carry->analysis;
    int build = last_build_of(record, setup), count = 0;
    text_append(look->text, look->size, &look->used, "setup %d%s%s", record->setup[setup].number,
                record->setup[setup].intent[0] != '\0' ? ", " : "", record->setup[setup].intent);
    for (int c = 0; build >= 0 && c < analysis->channel_count; c++) {
        const struct comparison *heights = &analysis->free_heights[c];
        char reason[SAY_SIZE], height[SAY_SIZE];
        if (!analysis->body[c] || heights->status != MEASURE_OK || setup >= heights->setup_count ||
            heights->setup[setup].holds == 0) {
            continue;
        }
        const struct setup_estimate *estimate = &heights->setup[setup];
        double half_mm = carry_half_width_mm(look->carry, there, build, c,
                                             estimate->has_interval ? estimate->half_width : 0.0,
                                             reason, sizeof reason);
        say_height_then(height, sizeof height, estimate->mean, estimate->has_interval, half_mm);
        text_append(look->text, look->size, &look->used, "%s%s %s", count++ == 0 ? ": " : ", ",
                    analysis->channel_name[c], height);
    }
    text_append(look->text, look->size, &look->used, "\n");
}

static void say_limits(struct look *look)
{
    int entered = bike_limits_entered(&look->carry->record->limits);
    int torques = bike_torques_entered(&look->carry->record->torques);
    if (entered > 0) {
        text_append(look->text, look->size, &look->used, "limits from the makers' papers: %d\n",
                    entered);
    }
    if (torques > 0) {
        text_append(look->text, look->size, &look->used, "torques of bolts: %d\n", torques);
    }
}

static bool say_target(struct look *look, const struct session *there, struct problem *problem)
{
    char sentences[2048];
    look->session = NULL;
    if (!carry_target(look->carry, there, take_line, look, sentences, sizeof sentences, problem)) {
        return false;
    }
    text_append(look->text, look->size, &look->used, "%s", sentences);
    if (look->band[0] != '\0') {
        text_append(look->text, look->size, &look->used, "its band: %s\n", look->band);
    }
    return true;
}

bool carry_look(const struct carry *carry, const struct session *now, bool target_only,
                char *sentences, size_t size, struct problem *problem)
{
    struct look look = {.carry = carry, .text = sentences, .size = size};
    text_copy(sentences, size, "");
    if (target_only) {
        return say_target(&look, now, problem);
    }
    look.session = session_like(now, problem);
    if (look.session == NULL) {
        return false;
    }
    struct session *there = look.session;
    bool done = carry_bike(carry, take_line, &look, problem);
    if (done) {
        say_bike(&look);
        say_sensors(&look);
        for (int s = 0; s < carry->record->setup_count; s++) {
            say_setup(&look, there, s);
        }
        say_limits(&look);
        done = say_target(&look, there, problem);
    }
    session_destroy(there);
    return done;
}
