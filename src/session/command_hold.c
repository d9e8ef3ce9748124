#include "machine.h"

#include "base/text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Targets, bands, holds and what is done during one. */

#define TARGET_SLIP_MM 200.0

/* Takes a place for a capture and starts its settling time. */
static bool start_activity(struct session *session, enum activity activity, enum capture_kind kind,
                           double settle_s, double planned_s, struct problem *problem)
{
    struct session_record *record = &session->record;
    if (session->activity != ACTIVITY_NONE) {
        return problem_set(problem,
                           "there is a hold, target or plate reading in progress: stop it first");
    }
    if (record->capture_count == CAPTURES_MAX) {
        return problem_set(problem, "no more than %d captures in a session", CAPTURES_MAX);
    }
    if (!machine_ensure_build(session, problem)) {
        return false;
    }
    session->capture = record->capture_count++;
    record->capture[session->capture] = (struct capture_record){
        .uuid = machine_uuid(session, EFFECT_CAPTURE, session->capture), .kind = kind};
    session->activity = activity;
    session->begun = false;
    session->asked_at_us = session->has_sample ? session->last.time_us : 0;
    session->settle_s = settle_s;
    session->planned_s = planned_s;
    session->progress_second = -1;
    session->serial++;
    return true;
}

/* ---- target --------------------------------------------------------------------------------- */

static int new_target(struct session *session)
{
    struct session_record *record = &session->record;
    struct target_record *target = &record->target[record->target_count];
    memset(target, 0, sizeof *target);
    target->uuid = machine_uuid(session, EFFECT_TARGET, record->target_count);
    target->capture = -1;
    target->build = session->build;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        target->entered_mm[c] = target->entered_half_width_mm[c] = NAN;
    }
    return record->target_count++;
}

static bool end_target_early(struct session *session, bool keep, struct problem *problem)
{
    if (session->activity != ACTIVITY_TARGET) {
        return problem_set(problem, "target: none is being captured");
    }
    if (keep || !session->begun) {
        capture_stop(session, HOLD_STOPPED);
        return true;
    }
    struct session_record *record = &session->record;
    record->capture[session->capture].last_sample = session->last.number;
    memory_pin_cancel(session->memory);
    machine_emit(session, EFFECT_CAPTURE, session->capture);
    session->activity = ACTIVITY_NONE;
    session->begun = false;
    machine_say(session, "target dropped");
    return true;
}

/* known_to=4mm: of all heights; known_to=head:4,chest:6: of each that is named. */
static bool read_known_to(struct session *session, const char *text, const double *heights_mm,
                          double *half_widths_mm, struct problem *problem)
{
    char list[WORD_SIZE], *rest = NULL;
    text_copy(list, sizeof list, text);
    for (char *item = strtok_r(list, ",", &rest); item != NULL; item = strtok_r(NULL, ",", &rest)) {
        char *colon = strchr(item, ':');
        double value_mm = 0.0;
        int only = -1;
        if (colon != NULL) {
            *colon = '\0';
            only = machine_height_channel(session, item, problem);
            if (only < 0 || isnan(heights_mm[only])) {
                return only < 0
                           ? problem_prefix(problem, "known_to")
                           : problem_set(problem, "known_to: no height of '%s' is given", item);
            }
        }
        if (!words_number(colon != NULL ? colon + 1 : item, "mm", &value_mm, problem)) {
            return problem_prefix(problem, "known_to");
        }
        if (!(value_mm > 0.0) || value_mm > 100.0) {
            return problem_set(problem, "known_to: %s is not between 0 and 100 mm", text);
        }
        for (int c = 0; c < CHANNELS_MAX; c++) {
            if (c == only || (only < 0 && !isnan(heights_mm[c]))) {
                half_widths_mm[c] = value_mm;
            }
        }
    }
    return true;
}

/* A typed target that is far from where the rider is now is a slip. */
static bool check_target(const struct session *session, const double heights[CHANNELS_MAX],
                         struct problem *problem)
{
    for (int c = 0; c < CHANNELS_MAX; c++) {
        const struct live_channel *live = &session->channel[c];
        bool tied = session->build >= 0 && session->analysis->tie[session->build][c].absolute;
        if (!isnan(heights[c]) && tied && live->started && live->slow.state != CUE_NO_READING &&
            fabs(heights[c] - live->slow.slow_mm) > TARGET_SLIP_MM) {
            return problem_set(
                problem,
                "target: %.0f mm for %s, and the rider is at %.0f: a slip? (sure=yes takes it)",
                heights[c], machine_placing(session)->channel[c].name, live->slow.slow_mm);
        }
    }
    return true;
}

/* target head=884 chest=771 known_to=4mm */
static bool enter_target(struct session *session, const struct words *words,
                         struct problem *problem)
{
    double heights[CHANNELS_MAX], half_widths[CHANNELS_MAX];
    const char *known_to = words_value(words, "known_to");
    for (int c = 0; c < CHANNELS_MAX; c++) {
        heights[c] = half_widths[c] = NAN;
    }
    for (int i = 1; i < words->count; i++) {
        if (words->word[i].key == NULL) {
            return problem_set(problem, "target: '%s' is no channel=height", words->word[i].value);
        }
        if (text_equal(words->word[i].key, "known_to") || text_equal(words->word[i].key, "sure")) {
            continue;
        }
        int channel = machine_height_channel(session, words->word[i].key, problem);
        if (channel < 0 || !machine_number(words, words->word[i].key, "mm", -2000, 5000,
                                           &heights[channel], problem)) {
            return false;
        }
    }
    if (known_to != NULL && !read_known_to(session, known_to, heights, half_widths, problem)) {
        return false;
    }
    if (known_to != NULL && words->count == 2) {
        return problem_set(problem, "target: known_to says nothing without a height");
    }
    const char *sure = words_value(words, "sure");
    if (!(sure != NULL && text_equal(sure, "yes")) && !check_target(session, heights, problem)) {
        return false;
    }
    if (session->activity != ACTIVITY_NONE) {
        return problem_set(problem, "target: a hold is in progress: stop it first");
    }
    if (!machine_ensure_build(session, problem)) {
        return false;
    }
    int index = new_target(session);
    struct target_record *target = &session->record.target[index];
    memcpy(target->entered_mm, heights, sizeof heights);
    memcpy(target->entered_half_width_mm, half_widths, sizeof half_widths);
    target->kept = true;
    session->target = index;
    machine_emit(session, EFFECT_TARGET, index);
    analysis_add_target(&session->record, index, session_samples, session, session->analysis, NULL);
    machine_retarget(session);
    machine_say(session, "target taken as entered");
    return true;
}

static bool has_key(const struct words *words, const char *const *keys)
{
    for (int i = 1; i < words->count; i++) {
        for (int k = 0; words->word[i].key != NULL && keys[k] != NULL; k++) {
            if (text_equal(words->word[i].key, keys[k])) {
                return true;
            }
        }
    }
    return false;
}

/* target until=3mm at_least=30s at_most=60s settle=5s | target keep | target drop | target head=884
 */
bool command_target(struct session *session, const struct words *words, struct problem *problem)
{
    static const char *const keys[] = {"until", "at_least", "at_most", "settle", NULL};
    struct session_record *record = &session->record;
    if (words->count == 2 && words->word[1].key == NULL) {
        if (text_equal(words->word[1].value, "keep") || text_equal(words->word[1].value, "drop")) {
            return end_target_early(session, text_equal(words->word[1].value, "keep"), problem);
        }
        return problem_set(problem, "target: '%s' is neither keep nor drop", words->word[1].value);
    }
    if (record->target_count == TARGETS_MAX) {
        return problem_set(problem, "no more than %d targets in a session", TARGETS_MAX);
    }
    if (words->count > 1 && !has_key(words, keys)) {
        return enter_target(session, words, problem);
    }
    struct target_settings settings = {.until_mm = 3.0, .at_least_s = 30.0, .at_most_s = 60.0};
    double settle_s = MACHINE_SETTLE_S;
    if (!machine_only_keys(words, keys, problem) ||
        !machine_number(words, "until", "mm", 0.5, 50, &settings.until_mm, problem) ||
        !machine_number(words, "at_least", "s", 5, 600, &settings.at_least_s, problem) ||
        !machine_number(words, "at_most", "s", 5, 600, &settings.at_most_s, problem) ||
        !machine_number(words, "settle", "s", 0, 300, &settle_s, problem)) {
        return false;
    }
    if (settings.at_most_s < settings.at_least_s) {
        return problem_set(problem, "target: at_most is shorter than at_least");
    }
    if (!start_activity(session, ACTIVITY_TARGET, CAPTURE_TARGET, settle_s, settings.at_most_s,
                        problem)) {
        return false;
    }
    session->target_settings = settings;
    int index = new_target(session);
    record->target[index].capture = session->capture;
    record->target[index].until_mm = settings.until_mm;
    machine_say(session, "settle; then hold the posture that is to be the target");
    return true;
}

/* ---- band and cue --------------------------------------------------------------------------- */

/* One side of a band: '+10', '-20', '10' or 'none'. */
static bool read_limit(const char *text, double *limit_mm, struct problem *problem)
{
    double value = 0.0;
    if (text_equal(text, "none")) {
        *limit_mm = INFINITY;
        return true;
    }
    if (!words_number(text, "mm", &value, problem)) {
        return false;
    }
    value = fabs(value);
    if (value < 2.0 || value > 300.0) {
        return problem_set(problem, "a limit of %s is not between 2 and 300 mm", text);
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

static void append_limit(char *text, size_t size, size_t *used, const char *sign, double limit_mm)
{
    if (isfinite(limit_mm)) {
        text_append(text, size, used, "%s%.0f", sign, limit_mm);
    } else {
        text_append(text, size, used, "none");
    }
}

static void say_band(struct session *session)
{
    const struct band_record *band = &session->record.band[session->band];
    const struct placing_record *placing = machine_placing(session);
    char text[200] = "";
    size_t used = 0;
    for (int c = 0; placing != NULL && c < placing->channel_count; c++) {
        if (!band->limited[c]) {
            continue;
        }
        text_append(text, sizeof text, &used, "%s%s ", used > 0 ? ", " : "",
                    placing->channel[c].name);
        append_limit(text, sizeof text, &used, "+", band->cue[c].band_above_mm);
        text_append(text, sizeof text, &used, "/");
        append_limit(text, sizeof text, &used, "-", band->cue[c].band_below_mm);
    }
    machine_say(session, "band: %s mm", text);
}

static bool add_band(struct session *session, const struct band_record *band,
                     struct problem *problem)
{
    struct session_record *record = &session->record;
    if (record->band_count == BANDS_MAX) {
        return problem_set(problem, "no more than %d bands in a session", BANDS_MAX);
    }
    session->band = record->band_count++;
    record->band[session->band] = *band;
    record->band[session->band].uuid = machine_uuid(session, EFFECT_BAND, session->band);
    record->band[session->band].from_sample = session->has_sample ? session->last.number + 1 : 1;
    machine_emit(session, EFFECT_BAND, session->band);
    machine_retarget(session);
    say_band(session);
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
        band.cue[c] = session->cue[c];
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
    struct cue_settings cue = session->cue[channel];
    if (!machine_only_keys(words, keys, problem) ||
        !machine_number(words, "on_delay", "s", 0, 30, &cue.on_delay_s, problem) ||
        !machine_number(words, "off_delay", "s", 0, 30, &cue.off_delay_s, problem) ||
        !machine_number(words, "dead_band", "", 0, 0.9, &cue.dead_band, problem)) {
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
    session->cue[channel] = cue;
    machine_retarget(session);
    return true;
}

/* ---- holds ---------------------------------------------------------------------------------- */

static struct hold_record *new_hold(struct session *session)
{
    struct session_record *record = &session->record;
    session->hold = record->hold_count++;
    struct hold_record *hold = &record->hold[session->hold];
    memset(hold, 0, sizeof *hold);
    hold->uuid = machine_uuid(session, EFFECT_HOLD, session->hold);
    hold->number = record->hold_count;
    hold->capture = session->capture;
    hold->build = session->build;
    hold->target = session->target;
    hold->band = session->band;
    return hold;
}

/* hold 60s free settle=5s */
bool command_hold(struct session *session, const struct words *words, struct problem *problem)
{
    static const char *const keys[] = {"settle", NULL};
    double length_s = 60.0, settle_s = MACHINE_SETTLE_S;
    bool guided = false;
    if (!machine_only_keys(words, keys, problem) ||
        !machine_number(words, "settle", "s", 0, 300, &settle_s, problem)) {
        return false;
    }
    for (int i = 1; i < words->count; i++) {
        const char *value = words->word[i].value;
        if (words->word[i].key != NULL || text_equal(value, "free")) {
            continue;
        }
        if (text_equal(value, "guided")) {
            guided = true;
        } else if (!words_number(value, "s", &length_s, problem)) {
            return problem_set(
                problem, "hold: '%s' is neither a time such as 60s nor free or guided", value);
        }
    }
    if (length_s < 5.0 || length_s > 3600.0) {
        return problem_set(problem, "hold: %g s is not between 5 and 3600 s", length_s);
    }
    if (guided && session->target < 0) {
        return problem_set(problem, "hold: a guided hold needs a target to guide to");
    }
    if (session->record.hold_count == HOLDS_MAX) {
        return problem_set(problem, "no more than %d holds in a session", HOLDS_MAX);
    }
    if (!start_activity(session, ACTIVITY_HOLD, CAPTURE_HOLD, settle_s, length_s, problem)) {
        return false;
    }
    struct hold_record *hold = new_hold(session);
    hold->guided = guided;
    hold->planned_s = length_s;
    hold->status = HOLD_RUNNING;
    session->guided = guided;
    machine_say(session, "hold %d, %s: settle", hold->number, guided ? "guided" : "free");
    return true;
}

/* stop */
bool command_stop(struct session *session, const struct words *words, struct problem *problem)
{
    if (words->count > 1) {
        return problem_set(problem, "stop: takes no more words");
    }
    if (session->activity == ACTIVITY_NONE) {
        return problem_set(problem, "stop: nothing is in progress");
    }
    capture_stop(session, HOLD_STOPPED);
    return true;
}

/* keep 60s */
bool command_keep(struct session *session, const struct words *words, struct problem *problem)
{
    struct session_record *record = &session->record;
    double length_s = 60.0;
    if (words->count > 1 && (words->word[1].key != NULL ||
                             !words_number(words->word[1].value, "s", &length_s, problem))) {
        return problem_set(problem, "keep: '%s' is no time such as 'keep 60s'",
                           words->word[1].value);
    }
    if (length_s < 5.0 || length_s > SAMPLE_MEMORY_S - 5.0) {
        return problem_set(problem, "keep: %g s is not between 5 and %g s", length_s,
                           SAMPLE_MEMORY_S - 5.0);
    }
    if (!session->has_sample) {
        return problem_set(problem, "keep: there are no readings yet");
    }
    if (record->hold_count == HOLDS_MAX || record->capture_count == CAPTURES_MAX) {
        return problem_set(problem, "no more than %d holds in a session", HOLDS_MAX);
    }
    if (!start_activity(session, ACTIVITY_HOLD, CAPTURE_HOLD, 0.0, length_s, problem)) {
        return false;
    }
    int64_t since_us = session->last.time_us - (int64_t)(length_s * 1e6);
    int64_t build_first = record->build[session->build].first_sample;
    int64_t first = memory_first_since(session->memory, since_us);
    first = first < build_first ? build_first : first;
    struct hold_record *hold = new_hold(session);
    hold->planned_s = length_s;
    hold->kept_afterwards = true;
    hold->status = HOLD_RUNNING;
    record->capture[session->capture].first_sample = first > 0 ? first : session->last.number;
    session->begun = true;
    memory_pin_begin(session->memory, record->capture[session->capture].first_sample);
    capture_stop(session, HOLD_COMPLETE);
    machine_say(session, "the last %.0f s are kept as hold %d (left out of verdicts)", length_s,
                hold->number);
    return true;
}

/* mark slid */
bool command_mark(struct session *session, const struct words *words, struct problem *problem)
{
    struct session_record *record = &session->record;
    int kind =
        words->count == 2 && words->word[1].key == NULL ? mark_find(words->word[1].value) : -1;
    if (kind < 0) {
        return problem_set(problem, "mark: '%s' is none of slid, looked, drank, coughed, talked",
                           words->count > 1 ? words->word[1].value : "");
    }
    if (!session->has_sample) {
        return problem_set(problem, "mark: there are no readings yet");
    }
    if (record->mark_count == MARKS_MAX) {
        return problem_set(problem, "no more than %d marks in a session", MARKS_MAX);
    }
    bool in_hold = session->activity == ACTIVITY_HOLD && session->begun;
    record->mark[record->mark_count] = (struct mark_record){
        .kind = (enum mark_kind)kind,
        .hold = in_hold ? session->hold : -1,
        .sample = session->last.number,
        .cut = in_hold,
    };
    machine_emit(session, EFFECT_MARK, record->mark_count++);
    machine_say(session, "marked: %s", mark_key((enum mark_kind)kind));
    return true;
}
