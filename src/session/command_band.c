/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"

#include "bands_proposed.h"
#include "base/text.h"
#include "machine_effects.h"
#include "say/say.h"

#include <math.h>
#include <string.h>

/* The band about the target, and the cue that tells the rider of it. */

/* One side of a band: '+10', '-20', '10' or 'none'. */
static bool read_limit(const char *text, double *limit_mm, struct problem *problem)
{
    const struct typed_number *number = &typed_numbers[TYPED_BAND];
    double value = 0.0;
    if (text_equal(text, "none")) {
        *limit_mm = INFINITY;
        return true;
    }
    if (!words_number(text, "mm", &value, problem)) {
        return false;
    }
    value = fabs(value);
    if (value < number->least || value > number->most) {
        return problem_set(problem, "a limit of %s is not between %g and %g mm", text,
                           number->least, number->most);
    }
    *limit_mm = value;
    return true;
}

/* '+10/-20', '+8/none' */
static bool read_band(const char *text, struct cue_settings *cue, struct problem *problem)
{
    char above[64];
    const char *slash = strchr(text, '/');
    if (slash == NULL || (size_t)(slash - text) >= sizeof above || text[0] == '-' ||
        slash[1] == '+') {
        return problem_set(problem,
                           "'%s': say the limits above and below the target, such as +10/-20 or "
                           "+8/none",
                           text);
    }
    memcpy(above, text, (size_t)(slash - text));
    above[slash - text] = '\0';
    return read_limit(above, &cue->band_above_mm, problem) &&
           read_limit(slash + 1, &cue->band_below_mm, problem);
}

static void tell_band(struct session *session)
{
    const struct band_record *band = &session->record.band[session->band];
    const struct placing_record *placing = machine_placing(session);
    char text[200] = "";
    size_t used = 0;
    for (int c = 0; placing != NULL && c < placing->channel_count; c++) {
        if (!band->limited[c]) {
            continue;
        }
        char limits[SAY_SIZE];
        say_band(limits, sizeof limits, &band->cue[c]);
        text_append(text, sizeof text, &used, "%s%s %s", used > 0 ? ", " : "",
                    placing->channel[c].name, limits);
    }
    machine_say(session, "band: %s mm", text);
}

static bool add_band(struct session *session, const struct band_record *band,
                     struct problem *problem)
{
    struct session_record *record = &session->record;
    if (!acts_room(session, EFFECT_BAND, 1)) {
        return problem_set(problem, "no more than %d bands in a session", BANDS_MAX);
    }
    session->band = record->band_count++;
    record->band[session->band] = *band;
    record->band[session->band].uuid = machine_uuid(session, EFFECT_BAND, session->band);
    record->band[session->band].from_sample = session->has_sample ? session->last.number + 1 : 1;
    machine_emit(session, EFFECT_BAND, session->band);
    machine_retarget(session);
    tell_band(session);
    return true;
}

/* band suggested: the proposals marked so, on every channel that has one */
static bool take_suggested(struct session *session, struct band_record *band,
                           struct problem *problem)
{
    int taken = 0;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        for (int i = 0; i < session->proposal_count[c]; i++) {
            const struct band_proposal *proposal = &session->proposal[c][i];
            if (proposal->suggested) {
                band->cue[c].band_above_mm = proposal->above_mm;
                band->cue[c].band_below_mm = proposal->below_mm;
                band->limited[c] = true;
                taken++;
            }
        }
    }
    return taken > 0 || problem_set(problem, "band: nothing is suggested yet: take a target first");
}

/* band head=+10/-20 chest=+8/none | band suggested */
bool command_band(struct session *session, const struct words *words, struct problem *problem)
{
    struct band_record band;
    memset(&band, 0, sizeof band);
    if (session->band >= 0) {
        band = session->record.band[session->band];
    }
    for (int c = 0; c < CHANNELS_MAX; c++) {
        double above_mm = band.cue[c].band_above_mm, below_mm = band.cue[c].band_below_mm;
        band.cue[c] = session->settings.cue[c];
        if (band.limited[c]) {
            band.cue[c].band_above_mm = above_mm;
            band.cue[c].band_below_mm = below_mm;
        }
    }
    if (words->count < 2) {
        return problem_set(problem, "band: say the limits, such as head=+10/-20 chest=+8/none");
    }
    if (words->count == 2 && words->word[1].key == NULL &&
        text_equal(words->word[1].value, "suggested")) {
        return take_suggested(session, &band, problem) && add_band(session, &band, problem);
    }
    for (int i = 1; i < words->count; i++) {
        if (words->word[i].key == NULL) {
            return problem_set(problem, "band: '%s' is no channel=limits", words->word[i].value);
        }
        int channel = machine_height_channel(session, words->word[i].key, problem);
        if (channel < 0 || !read_band(words->word[i].value, &band.cue[channel], problem)) {
            return problem_prefix(problem, "band");
        }
        band.limited[channel] =
            isfinite(band.cue[channel].band_above_mm) || isfinite(band.cue[channel].band_below_mm);
    }
    return add_band(session, &band, problem);
}

/* cue head on_delay=2s off_delay=0.5s dead_band=0.2 */
bool command_cue(struct session *session, const struct words *words, struct problem *problem)
{
    static const char *const keys[] = {"on_delay", "off_delay", "dead_band", NULL};
    if (words->count < 3 || words->word[1].key != NULL) {
        return problem_set(problem,
                           "cue: say a channel and what is set, such as 'cue head on_delay=2s'");
    }
    int channel = machine_height_channel(session, words->word[1].value, problem);
    if (channel < 0) {
        return false;
    }
    struct cue_settings cue = session->settings.cue[channel];
    if (!machine_only_keys(words, keys, problem) ||
        !typed_read(words, TYPED_ON_DELAY, &cue.on_delay_s, problem) ||
        !typed_read(words, TYPED_OFF_DELAY, &cue.off_delay_s, problem) ||
        !typed_read(words, TYPED_DEAD_BAND, &cue.dead_band, problem)) {
        return false;
    }
    struct band_record band;
    bool again = session->band >= 0 && session->record.band[session->band].limited[channel];
    if (again) {
        band = session->record.band[session->band];
        struct cue_settings *changed = &band.cue[channel];
        changed->on_delay_s = cue.on_delay_s;
        changed->off_delay_s = cue.off_delay_s;
        changed->dead_band = cue.dead_band;
        if (!add_band(session, &band, problem)) {
            return false;
        }
    }
    session->settings.cue[channel] = cue;
    machine_retarget(session);
    bands_propose(session);
    return true;
}
