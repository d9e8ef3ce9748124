/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"

#include "base/text.h"
#include "heights.h"
#include "live.h"
#include "machine_effects.h"
#include "measure/rules.h"
#include "record/channel_order.h"
#include "rig/auxiliary.h"
#include "rig/dialect.h"

#include <math.h>
#include <string.h>

/* What the rig said of itself, and what was said of its sensors before it was heard. */

void machine_default_channel(struct channel_record *channel, const char *name)
{
    memset(channel, 0, sizeof *channel);
    text_copy(channel->name, sizeof channel->name, name);
    channel->role = auxiliary_of(name) >= 0 ? ROLE_AUXILIARY : ROLE_BODY;
    channel->gain = 1.0;
    channel->mount.direction = 1;
    channel->mount.x_mm = channel->mount.y_mm = NAN;
}

void machine_default_delay(struct session *session, int channel, const char *name)
{
    session->settings.cue[channel].on_delay_s = cue_usual(text_equal(name, "head")).on_delay_s;
}

/* The place of a channel of this name; -1: there is none. */
static int place_by_name(const char *name, const struct channel_record *channels, int count)
{
    for (int c = 0; c < count; c++) {
        if (text_equal(name, channels[c].name)) {
            return c;
        }
    }
    return -1;
}

/* What is taken back to before the rig was heard has its channels all the same, as they are where
 * nobody said where they are fixed. */
static void fit_to_rig(const struct session *session, struct placing_record *placing, bool made,
                       struct act_settings *settings)
{
    const struct placing_record *heard = machine_placing(session);
    struct placing_record fitted = *heard;
    for (int c = 0; c < heard->channel_count; c++) {
        const char *name = heard->channel[c].name;
        if (settings != NULL) {
            settings->cue[c].on_delay_s = cue_usual(text_equal(name, "head")).on_delay_s;
            continue;
        }
        machine_default_channel(&fitted.channel[c], name);
        int d = made ? -1 : place_by_name(name, placing->channel, placing->channel_count);
        if (d >= 0) {
            fitted.channel[c] = placing->channel[d];
        }
    }
    if (placing != NULL) {
        *placing = fitted;
    }
}

/* 'head,chest' into channels as they are when nothing is said of them; -1 with a sentence. */
static int read_channels(const char *list, struct channel_record channels[CHANNELS_MAX],
                         struct problem *problem)
{
    char names[512];
    int count = 0;
    text_copy(names, sizeof names, list);
    char *rest = names;
    for (char *name = strtok_r(names, ",", &rest); name != NULL;
         name = strtok_r(NULL, ",", &rest)) {
        if (count == CHANNELS_MAX) {
            problem_set(problem, "rig: no more than %d channels", CHANNELS_MAX);
            return -1;
        }
        machine_default_channel(&channels[count++], name);
    }
    if (count == 0) {
        problem_set(problem, "rig: no channels");
        return -1;
    }
    return count;
}

/* Sensors described before the rig was heard keep their description, by their names; how many. */
static int take_descriptions(const struct placing_record *described,
                             struct channel_record *channels, int count)
{
    int matched = 0;
    for (int c = 0; described != NULL && c < count; c++) {
        int d = place_by_name(channels[c].name, described->channel, described->channel_count);
        if (d >= 0) {
            channels[c] = described->channel[d];
            matched++;
        }
    }
    return matched;
}

static bool same_channels(const struct placing_record *described,
                          const struct channel_record *channels, int count)
{
    bool same = described != NULL && described->channel_count == count;
    for (int c = 0; same && c < count; c++) {
        same = text_equal(described->channel[c].name, channels[c].name);
    }
    return same;
}

/* Where the channels that were described go: to theirs by name; those that the rig has not, as far
 * behind as can be, and what is left to the places that are left. */
static struct channel_order order_of(const struct placing_record *described,
                                     const struct channel_record *channels, int count)
{
    struct channel_order order;
    bool taken[CHANNELS_MAX] = {false};
    int last = CHANNELS_MAX - 1, first = 0;
    for (int d = 0; d < CHANNELS_MAX; d++) {
        order.place[d] = d < described->channel_count
                             ? place_by_name(described->channel[d].name, channels, count)
                             : -1;
        if (order.place[d] >= 0) {
            taken[order.place[d]] = true;
        }
    }
    for (int d = 0; d < described->channel_count; d++) {
        if (order.place[d] < 0) {
            while (taken[last]) {
                last--;
            }
            order.place[d] = last;
            taken[last] = true;
        }
    }
    for (int d = described->channel_count; d < CHANNELS_MAX; d++) {
        while (taken[first]) {
            first++;
        }
        order.place[d] = first;
        taken[first] = true;
    }
    return order;
}

/* A reading of a sensor that the rig has not would be nobody's. */
static bool check_readings(const struct session *session, const struct placing_record *described,
                           const struct channel_record *channels, int count,
                           struct problem *problem)
{
    const struct session_record *record = &session->record;
    for (int t = 0; t < record->tie_reading_count; t++) {
        const char *name = described->channel[record->tie_reading[t].channel].name;
        if (place_by_name(name, channels, count) < 0) {
            return problem_set(problem,
                               "rig: '%s', of which a plate or tape was read, is not among its "
                               "sensors: another rig? Take the reading back (undo), or begin a "
                               "session of its own",
                               name);
        }
    }
    return true;
}

/* What was entered of channels goes with them: into the store, too, and what is to be taken back.
 */
static void reorder(struct session *session, const struct channel_order *order)
{
    struct session_record *record = &session->record;
    acts_reorder(session, order);
    for (int kind = 0; kind < EFFECT_KINDS; kind++) {
        const int *count = acts_count_of(record, (enum effect_kind)kind);
        for (int i = 0; count != NULL && kind != EFFECT_PLACING && i < *count; i++) {
            void *at = acts_at(record, (enum effect_kind)kind, i);
            if (channel_order_apply(order, effect_table((enum effect_kind)kind), at)) {
                machine_emit(session, (enum effect_kind)kind, i);
            }
        }
    }
    const struct act_settings former = session->settings;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        session->settings.cue[order->place[c]] = former.cue[c];
        session->settings.place_carried[order->place[c]] = former.place_carried[c];
    }
    struct session_header header;
    session_record_header(record, &header);
    if (channel_order_apply(order, TABLE_SESSION, &header)) {
        session_record_take_header(record, &header);
        machine_emit(session, EFFECT_SESSION, 0);
    }
}

/* What was said before the rig was heard gets the places of its channels; those of which nothing
 * was said are as usual. */
static bool take_order(struct session *session, const struct channel_record *channels, int count,
                       struct problem *problem)
{
    const struct placing_record *described = machine_placing(session);
    bool is_described[CHANNELS_MAX] = {false};
    if (described != NULL) {
        const struct channel_order order = order_of(described, channels, count);
        if (!check_readings(session, described, channels, count, problem)) {
            return false;
        }
        for (int d = 0; d < described->channel_count; d++) {
            is_described[order.place[d]] =
                place_by_name(described->channel[d].name, channels, count) >= 0;
        }
        if (!channel_order_is_same(&order)) {
            reorder(session, &order);
        }
    }
    for (int c = 0; c < count; c++) {
        if (!is_described[c]) {
            machine_default_delay(session, c, channels[c].name);
        }
    }
    return true;
}

/* Names that say nothing: those of a rig that gives none. */
static bool are_unnamed(const struct channel_record *channels, int count)
{
    bool unnamed = true;
    for (int c = 0; c < count; c++) {
        char name[CHANNEL_NAME_SIZE];
        dialect_default_channel_name(name, c);
        unnamed = unnamed && text_equal(channels[c].name, name);
    }
    return unnamed;
}

/* Without names there is only the order; of one sensor nothing else can be meant. */
static bool goes_by_order(const struct placing_record *described,
                          const struct channel_record *channels, int count)
{
    return described != NULL && described->channel_count == count &&
           (count == 1 || are_unnamed(channels, count));
}

/* What was said of sensors that the rig has not counts for none of those it has. */
static void say_lacking(struct session *session, const struct placing_record *described,
                        const struct channel_record *channels, int count)
{
    char lacking[200] = "", has[200] = "";
    size_t lacking_used = 0, has_used = 0;
    for (int d = 0; d < described->channel_count; d++) {
        if (place_by_name(described->channel[d].name, channels, count) < 0) {
            text_append(lacking, sizeof lacking, &lacking_used, "%s%s",
                        lacking_used > 0 ? ", " : "", described->channel[d].name);
        }
    }
    for (int c = 0; c < count; c++) {
        text_append(has, sizeof has, &has_used, "%s%s", c > 0 ? ", " : "", channels[c].name);
    }
    if (lacking_used > 0) {
        machine_say(session,
                    "the rig has no sensor %s, only %s: place, target and band that were said of "
                    "%s count for none of its sensors",
                    lacking, has, lacking);
    }
}

/* rig ID rate=50 channels=head,chest */
bool command_rig(struct session *session, const struct words *words, struct problem *problem)
{
    static const char *const keys[] = {"rate", "channels", NULL};
    const struct typed_number rate = {"rate", "", 0.0, RATE_MOST_HZ};
    double rate_hz = 0.0;
    const char *list = words_value(words, "channels");
    if (!machine_only_keys(words, keys, problem) ||
        !typed_read_key(words, "rate", &rate, &rate_hz, problem)) {
        return false;
    }
    if (rate_hz > 0 && rate_hz < RATE_LEAST_HZ) { /* 0: not known */
        return problem_set(problem,
                           "rig: a rate of %g Hz is none: %g or more, 0 if it is not known",
                           rate_hz, RATE_LEAST_HZ);
    }
    if (words->count < 2 || words->word[1].key != NULL || list == NULL) {
        return problem_set(problem, "rig: say 'rig ID rate=50 channels=head,chest'");
    }
    struct channel_record channels[CHANNELS_MAX];
    int count = read_channels(list, channels, problem);
    if (count < 0) {
        return false;
    }
    const struct placing_record *described = machine_placing(session);
    bool named = take_descriptions(described, channels, count) > 0;
    bool by_order = !session->has_rig && !named && goes_by_order(described, channels, count);
    const struct placing_record before =
        described != NULL ? *described : (struct placing_record){.channel_count = 0};
    if (session->has_rig && !same_channels(described, channels, count)) {
        return problem_set(problem, "rig: other channels than this session's sensors (%s)", list);
    }
    if (!session->has_rig && !by_order && !take_order(session, channels, count, problem)) {
        return false;
    }
    if (session->placing < 0) {
        session->placing = machine_new_placing(session);
    }
    struct placing_record *placing = &session->record.placing[session->placing];
    for (int c = 0; c < count && !by_order; c++) {
        placing->channel[c] = channels[c];
    }
    placing->channel_count = count;
    placing->announced_rate_hz = rate_hz;
    text_copy(placing->rig_id, sizeof placing->rig_id, words->word[1].value);
    acts_fit(session, session->placing, fit_to_rig);
    if (!session->has_rig) {
        session->rate_hz = rate_hz > 0.0 ? rate_hz : RATE_UNKNOWN_HZ;
        session->has_rig = true;
        live_start(session);
    }
    machine_emit(session, EFFECT_PLACING, session->placing);
    machine_ties_changed(session);
    machine_retarget(session);
    if (!by_order) {
        say_lacking(session, &before, channels, count);
    }
    return true;
}
