/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "told.h"

#include "base/text.h"
#include "commands.h"
#include "machine_effects.h"
#include "measure/rules.h"

/* Sounds are of holds: where they are wanted, and not over the tones of the start and the end. */

/* In practice the hold itself says how the rider is told. */
static bool is_told(const struct session *session)
{
    enum told_way told = session->record.hold[session->doing.hold].told;
    if (told != TOLD_UNSAID) {
        return told_during(told) && session->settings.sounds != SOUNDS_OFF;
    }
    return session->settings.sounds == SOUNDS_ALL ||
           (session->settings.sounds == SOUNDS_GUIDED && session->doing.guided);
}

static bool wanted(const struct session *session)
{
    if (session->doing.activity != ACTIVITY_HOLD || !session->begun ||
        ride_watch_is_up(&session->ride)) {
        return false;
    }
    double elapsed_s = machine_now_s(session) - (double)session->doing.begin_us / 1e6;
    bool kind = is_told(session);
    return kind && elapsed_s >= CUE_SOUND_AFTER_START_S &&
           elapsed_s <= session->doing.planned_s - CUE_SOUND_BEFORE_END_S;
}

static void record_sound(struct session *session, enum cue_sound sound)
{
    struct session_record *record = &session->record;
    session->heard = sound;
    session->heard_serial++;
    session->ride.sounds += sound != CUE_SOUND_IN;
    if (!acts_room(session, EFFECT_CUE_SOUND, 1)) {
        return;
    }
    record->cue_sound[record->cue_sound_count] = (struct cue_sound_record){
        .kind = sound,
        .channel = session->ask.channel,
        .hold = session->doing.hold,
        .sample = session->last.number,
    };
    acts_open_running(session); /* with the hold it is taken back */
    machine_emit(session, EFFECT_CUE_SOUND, record->cue_sound_count++);
    session->acts->open = NULL;
}

void told_sample(struct session *session)
{
    double now_s = machine_now_s(session);
    bool spent = cue_sound_is_spent(&session->sound, now_s);
    enum cue_sound sound = cue_sound_step(&session->sound, now_s, &session->ask, wanted(session));
    if (sound != CUE_SOUND_NONE) {
        record_sound(session, sound);
    }
    if (!spent && cue_sound_is_spent(&session->sound, now_s)) {
        machine_say(session,
                    "no more sounds for %.0f min: out most of the time; rest, or widen the band",
                    CUE_SOUND_REST_S / 60.0);
    }
}

/* sound guided, sound all, sound off; sound next: the one after it */
bool command_sound(struct session *session, const struct words *words, struct problem *problem)
{
    int wanted_now = -1;
    if (words->count == 2 && words->word[1].key == NULL) {
        wanted_now = text_equal(words->word[1].value, "next")
                         ? ((int)session->settings.sounds + 1) % SOUNDS_KINDS
                         : word_find(&sounds_words, words->word[1].value, -1);
    }
    if (wanted_now < 0) {
        return problem_set(problem, "sound: say guided (in guided holds), all (in free ones too) "
                                    "or off");
    }
    session->settings.sounds = (enum sounds_kind)wanted_now;
    machine_say(session, "the cue is heard %s",
                session->settings.sounds == SOUNDS_OFF   ? "no more (sound off)"
                : session->settings.sounds == SOUNDS_ALL ? "in all holds, free ones too"
                                                         : "in guided holds");
    return true;
}
