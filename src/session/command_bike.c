#include "machine.h"

#include "base/text.h"
#include "bike/carrier.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The commands that say who rides what, where the sensors are and what was changed. */

static void default_channel(struct channel_record *channel, const char *name)
{
    memset(channel, 0, sizeof *channel);
    text_copy(channel->name, sizeof channel->name, name);
    channel->role = ROLE_BODY;
    channel->gain = 1.0;
    channel->mount.direction = 1;
    channel->mount.x_mm = channel->mount.y_mm = NAN;
}

/* A glance ahead with the head is wanted, so the head's cue waits longer (design/4 section 0.7). */
static void default_delay(struct session *session, int channel, const char *name)
{
    session->cue[channel].on_delay_s = text_equal(name, "head") ? 2.0 : 0.7;
}

static int new_placing(struct session *session)
{
    struct session_record *record = &session->record;
    struct placing_record *placing = &record->placing[record->placing_count];
    memset(placing, 0, sizeof *placing);
    placing->uuid = machine_uuid(session, EFFECT_PLACING, record->placing_count);
    placing->first_sample = session->has_sample ? session->last.number + 1 : 1;
    return record->placing_count++;
}

/* rig ID rate=50 channels=head,chest */
bool command_rig(struct session *session, const struct words *words, struct problem *problem)
{
    static const char *const keys[] = {"rate", "channels", NULL};
    double rate_hz = 0.0;
    const char *list = words_value(words, "channels");
    if (!machine_only_keys(words, keys, problem) ||
        !machine_number(words, "rate", "", 0.0, 1e6, &rate_hz, problem)) {
        return false;
    }
    if (words->count < 2 || words->word[1].key != NULL || list == NULL) {
        return problem_set(problem, "rig: say 'rig ID rate=50 channels=head,chest'");
    }
    struct channel_record channels[CHANNELS_MAX];
    char names[512];
    int count = 0;
    text_copy(names, sizeof names, list);
    char *rest = names;
    for (char *name = strtok_r(names, ",", &rest); name != NULL;
         name = strtok_r(NULL, ",", &rest)) {
        if (count == CHANNELS_MAX) {
            return problem_set(problem, "rig: no more than %d channels", CHANNELS_MAX);
        }
        default_channel(&channels[count++], name);
    }
    if (count == 0) {
        return problem_set(problem, "rig: no channels");
    }
    /* Sensors described before the rig was heard keep their description: by name, else by their
     * order. */
    const struct placing_record *described = machine_placing(session);
    int matched = 0;
    for (int c = 0; described != NULL && c < count; c++) {
        for (int d = 0; d < described->channel_count; d++) {
            if (text_equal(described->channel[d].name, channels[c].name)) {
                channels[c] = described->channel[d];
                matched++;
                break;
            }
        }
    }
    bool by_order =
        !session->has_rig && described != NULL && matched == 0 && described->channel_count == count;
    bool same = described != NULL && session->has_rig && described->channel_count == count;
    for (int c = 0; same && c < count; c++) {
        same = text_equal(described->channel[c].name, channels[c].name);
    }
    if (session->has_rig && !same && !by_order) {
        return problem_set(problem, "rig: other channels than this session's sensors (%s)", list);
    }
    if (session->placing < 0) {
        session->placing = new_placing(session);
    }
    struct placing_record *placing = &session->record.placing[session->placing];
    for (int c = 0; c < count && !by_order; c++) {
        placing->channel[c] = channels[c];
    }
    placing->channel_count = count;
    placing->announced_rate_hz = rate_hz;
    text_copy(placing->rig_id, sizeof placing->rig_id, words->word[1].value);
    for (int c = 0; c < count && !session->has_rig; c++) {
        default_delay(session, c, placing->channel[c].name);
    }
    if (!session->has_rig) {
        session->rate_hz = rate_hz > 0.0 ? rate_hz : 50.0;
        session->has_rig = true;
        live_start(session);
    }
    machine_emit(session, EFFECT_PLACING, session->placing);
    machine_ties_changed(session);
    return true;
}

/* rider CODE "name" watch_for="..." */
bool command_rider(struct session *session, const struct words *words, struct problem *problem)
{
    static const char *const keys[] = {"watch_for", NULL};
    if (!machine_only_keys(words, keys, problem)) {
        return false;
    }
    if (words->count < 2 || words->word[1].key != NULL || words->word[1].value[0] == '\0') {
        return problem_set(problem, "rider: say 'rider CODE \"name\"'");
    }
    struct rider_record *rider = &session->record.rider;
    if (!session->record.has_rider) {
        rider->uuid = machine_uuid(session, EFFECT_RIDER, 0);
    }
    session->record.has_rider = true;
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

/* Reads key=value pairs of bike fields into values; first is the index of the first word to read.
 * others may name keys that are not the bike's (ended by NULL). */
static bool read_bike_values(const struct words *words, int first, const char *const *others,
                             struct bike_values *values, int *changed, struct problem *problem)
{
    *changed = 0;
    for (int i = first; i < words->count; i++) {
        const char *key = words->word[i].key;
        bool other = false;
        for (int k = 0; key != NULL && others != NULL && others[k] != NULL; k++) {
            other = other || text_equal(others[k], key);
        }
        if (key == NULL || other) {
            continue;
        }
        int found = bike_key_find(key);
        if (found < 0) {
            return problem_set(problem, "%s: there is no bike measure '%s'", words->word[0].value,
                               key);
        }
        double value = 0.0;
        if (!words_number(words->word[i].value, bike_fields[found].unit, &value, problem) ||
            !bike_value_check(found, value, problem)) {
            return problem_prefix(problem, "%s", key);
        }
        values->value[found] = value;
        ++*changed;
    }
    return true;
}

/* bike "name" stack=545 reach=410 head_angle=73 ...: with it setup 1, the bike as it came, is
 * there, and heights are shown without more ado. */
bool command_bike(struct session *session, const struct words *words, struct problem *problem)
{
    struct session_record *record = &session->record;
    struct bike_values values = record->bike.frame;
    int changed = 0;
    if (!record->has_bike) {
        bike_values_clear(&values);
    }
    if (!read_bike_values(words, 1, NULL, &values, &changed, problem)) {
        return false;
    }
    if (!record->has_bike) {
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
    machine_ties_changed(session);
    return machine_ensure_build(session, problem);
}

static bool read_role(const char *text, enum channel_role *role, struct problem *problem)
{
    static const char *const names[] = {"body", "ref", "aux"};
    for (int i = 0; i < 3; i++) {
        if (text_equal(text, names[i])) {
            *role = (enum channel_role)i;
            return true;
        }
    }
    return problem_set(problem, "role: '%s' is none of body, ref, aux", text);
}

static bool read_mount(const struct words *words, struct channel_record *channel,
                       struct problem *problem)
{
    const char *carrier = words_value(words, "carrier");
    const char *look = words_value(words, "look");
    if (carrier != NULL) {
        int found = carrier_find(carrier);
        if (found < 0) {
            return problem_set(
                problem, "carrier: '%s' is none of stand, frame, base_bar, pad_bracket, extension",
                carrier);
        }
        channel->mount.carrier = (enum carrier)found;
        channel->mounted = true;
    }
    if (look != NULL && !text_equal(look, "up") && !text_equal(look, "down")) {
        return problem_set(problem, "look: '%s' is neither up nor down", look);
    }
    if (look != NULL) {
        channel->mount.direction = text_equal(look, "up") ? 1 : -1;
    }
    return machine_number(words, "x", "mm", -2000, 2000, &channel->mount.x_mm, problem) &&
           machine_number(words, "y", "mm", -2000, 2000, &channel->mount.y_mm, problem) &&
           machine_number(words, "tilt", "deg", -60, 60, &channel->mount.tilt_deg, problem) &&
           machine_number(words, "gain", "", 0.5, 2.0, &channel->gain, problem) &&
           machine_number(words, "offset", "mm", -500, 500, &channel->offset_mm, problem);
}

/* sensor NAME carrier=base_bar x=120 y=40 tilt=0 look=up mark="chin strap" role=body */
bool command_sensor(struct session *session, const struct words *words, struct problem *problem)
{
    static const char *const keys[] = {"carrier", "x",    "y",    "tilt",   "look",
                                       "mark",    "role", "gain", "offset", NULL};
    struct session_record *record = &session->record;
    if (!machine_only_keys(words, keys, problem)) {
        return false;
    }
    if (words->count < 2 || words->word[1].key != NULL || words->word[1].value[0] == '\0') {
        return problem_set(problem, "sensor: say 'sensor NAME carrier=base_bar x=120 y=40'");
    }
    const char *name = words->word[1].value;
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
    default_channel(&channel, name);
    if (index >= 0) {
        channel = placing->channel[index];
    }
    const char *role = words_value(words, "role");
    const char *mark = words_value(words, "mark");
    if (!read_mount(words, &channel, problem) ||
        (role != NULL && !read_role(role, &channel.role, problem))) {
        return false;
    }
    if (mark != NULL) {
        text_copy(channel.mark, sizeof channel.mark, mark);
    }
    if (session->placing < 0) {
        session->placing = new_placing(session);
    }
    struct placing_record *changed = &record->placing[session->placing];
    if (index < 0) {
        index = changed->channel_count++;
        default_delay(session, index, name);
    }
    changed->channel[index] = channel;
    machine_emit(session, EFFECT_PLACING, session->placing);
    machine_ties_changed(session);
    return machine_ensure_build(session, problem);
}

/* ---- setups and builds ---------------------------------------------------------------------- */

/* Which sensors moved with the parts, and that a plate would tell by how much. */
static void say_build(struct session *session)
{
    const struct build_record *build = &session->record.build[session->build];
    const struct placing_record *placing = machine_placing(session);
    char moved[160] = "";
    size_t used = 0;
    for (int c = 0; c < placing->channel_count; c++) {
        const struct tie *tie = &session->analysis->tie[session->build][c];
        if (placing->channel[c].role != ROLE_BODY ||
            (tie->kind != TIE_COMPUTED && tie->kind != TIE_NONE)) {
            continue;
        }
        text_append(moved, sizeof moved, &used, "%s%s", used > 0 ? ", " : "",
                    placing->channel[c].name);
        if (tie->kind == TIE_COMPUTED) {
            text_append(moved, sizeof moved, &used, " %+.0f mm", tie->shift_mm);
        }
    }
    machine_say(session, "setup %d, build %d%s%s%s", session->record.setup[build->setup].number,
                build->ordinal, used > 0 ? "; sensors moved: " : "", moved,
                used > 0 ? " (computed: the plate tells better)" : "");
}

static bool start_build(struct session *session, int setup, struct problem *problem)
{
    struct session_record *record = &session->record;
    if (session->activity != ACTIVITY_NONE) {
        return problem_set(problem, "a hold is in progress: stop it before the bike is changed");
    }
    if (record->build_count == BUILDS_MAX) {
        return problem_set(problem, "no more than %d builds in a session", BUILDS_MAX);
    }
    if (session->placing < 0) {
        session->placing = new_placing(session);
        machine_emit(session, EFFECT_PLACING, session->placing);
    }
    int ordinal = 1;
    for (int b = 0; b < record->build_count; b++) {
        ordinal += record->build[b].setup == setup ? 1 : 0;
    }
    session->build = record->build_count++;
    record->build[session->build] = (struct build_record){
        .uuid = machine_uuid(session, EFFECT_BUILD, session->build),
        .setup = setup,
        .placing = session->placing,
        .ordinal = ordinal,
        .first_sample = session->has_sample ? session->last.number + 1 : 1,
    };
    machine_emit(session, EFFECT_BUILD, session->build);
    machine_ties_changed(session);
    say_build(session);
    return true;
}

static bool build_has_captures(const struct session_record *record, int build)
{
    for (int h = 0; h < record->hold_count; h++) {
        if (record->hold[h].build == build) {
            return true;
        }
    }
    for (int t = 0; t < record->target_count; t++) {
        if (record->target[t].build == build && record->target[t].capture >= 0) {
            return true;
        }
    }
    return false;
}

static bool setup_has_captures(const struct session_record *record, int setup)
{
    for (int b = 0; b < record->build_count; b++) {
        if (record->build[b].setup == setup && build_has_captures(record, b)) {
            return true;
        }
    }
    return false;
}

static bool read_setup_number(const struct words *words, int *number, struct problem *problem)
{
    int64_t value = 0;
    if (words->count < 2 || words->word[1].key != NULL ||
        !text_to_int64(words->word[1].value, &value) || value < 1 || value > 99) {
        return problem_set(problem, "%s: '%s' is no number of a setup, 1 to 99",
                           words->word[0].value, words->count > 1 ? words->word[1].value : "");
    }
    *number = (int)value;
    return true;
}

/* The values that a new setup starts from. */
static bool setup_start_values(struct session *session, const struct words *words,
                               struct bike_values *values, struct problem *problem)
{
    const struct session_record *record = &session->record;
    const char *from = words_value(words, "from");
    bike_values_clear(values);
    if (from != NULL) {
        int64_t number = 0;
        int index = text_to_int64(from, &number) ? session_record_setup(record, (int)number) : -1;
        if (index < 0) {
            return problem_set(problem, "from: there is no setup %s", from);
        }
        *values = record->setup[index].bike;
    } else if (session->build >= 0) {
        *values = record->setup[record->build[session->build].setup].bike;
    } else if (record->has_bike) {
        *values = record->bike.frame;
    }
    return true;
}

/* setup N "intent" spacers=10 from=K */
bool command_setup(struct session *session, const struct words *words, struct problem *problem)
{
    static const char *const others[] = {"from", NULL};
    struct session_record *record = &session->record;
    int number = 0, changed = 0;
    if (!read_setup_number(words, &number, problem)) {
        return false;
    }
    int existing = session_record_setup(record, number);
    bool says_more = words->count > 2;
    if (existing >= 0 && !says_more) {
        bool on_it = session->build >= 0 && record->build[session->build].setup == existing;
        if (on_it && !build_has_captures(record, session->build)) {
            machine_say(session, "setup %d is on the bike", number);
            return true;
        }
        return start_build(session, existing, problem);
    }
    if (existing >= 0 && setup_has_captures(record, existing)) {
        return problem_set(
            problem,
            "setup %d has holds already: 'setup %d' alone goes back to it, 'correct %d' mends "
            "a typing slip, a new number makes a new setup",
            number, number, number);
    }
    struct bike_values values;
    if (existing >= 0) {
        values = record->setup[existing].bike;
    } else if (!setup_start_values(session, words, &values, problem)) {
        return false;
    }
    if (!read_bike_values(words, 2, others, &values, &changed, problem)) {
        return false;
    }
    if (session->activity != ACTIVITY_NONE) {
        return problem_set(problem, "a hold is in progress: stop it before the bike is changed");
    }
    if (record->build_count == BUILDS_MAX) {
        return problem_set(problem, "no more than %d builds in a session", BUILDS_MAX);
    }
    if (existing < 0 && record->setup_count == SETUPS_MAX) {
        return problem_set(problem, "no more than %d setups in a session", SETUPS_MAX);
    }
    bool is_new = existing < 0;
    int index = is_new ? record->setup_count++ : existing;
    struct setup_record *setup = &record->setup[index];
    if (is_new) {
        memset(setup, 0, sizeof *setup);
        setup->uuid = machine_uuid(session, EFFECT_SETUP, index);
        setup->number = number;
    }
    setup->bike = values;
    if (words->count > 2 && words->word[2].key == NULL) {
        text_copy(setup->intent, sizeof setup->intent, words->word[2].value);
    }
    machine_emit(session, EFFECT_SETUP, index);
    bool built = session->build >= 0 && record->build[session->build].setup == index;
    if (!built) {
        return start_build(session, index, problem);
    }
    machine_ties_changed(session);
    return true;
}

/* known N "intent" spacers=10 ...: a setup of an earlier session, not on the bike now */
bool command_known(struct session *session, const struct words *words, struct problem *problem)
{
    struct session_record *record = &session->record;
    int number = 0, changed = 0;
    if (!read_setup_number(words, &number, problem)) {
        return false;
    }
    if (session_record_setup(record, number) >= 0) {
        return problem_set(problem, "known: there is a setup %d already", number);
    }
    if (record->setup_count == SETUPS_MAX) {
        return problem_set(problem, "no more than %d setups in a session", SETUPS_MAX);
    }
    struct bike_values values;
    bike_values_clear(&values);
    if (record->has_bike) {
        values = record->bike.frame;
    }
    if (!read_bike_values(words, 2, NULL, &values, &changed, problem)) {
        return false;
    }
    int index = record->setup_count++;
    struct setup_record *setup = &record->setup[index];
    memset(setup, 0, sizeof *setup);
    setup->uuid = machine_uuid(session, EFFECT_SETUP, index);
    setup->number = number;
    setup->bike = values;
    if (words->count > 2 && words->word[2].key == NULL) {
        text_copy(setup->intent, sizeof setup->intent, words->word[2].value);
    }
    machine_emit(session, EFFECT_SETUP, index);
    machine_ties_changed(session);
    return true;
}

/* placing: the sensors were taken off and fixed anew */
bool command_placing(struct session *session, const struct words *words, struct problem *problem)
{
    struct session_record *record = &session->record;
    if (words->count > 1) {
        return problem_set(problem,
                           "placing: takes no more words; 'sensor' says where each is now");
    }
    if (session->placing < 0 || session->build < 0) {
        return problem_set(problem, "placing: the sensors have not been described yet");
    }
    if (session->activity != ACTIVITY_NONE) {
        return problem_set(problem, "placing: a hold is in progress: stop it first");
    }
    if (record->placing_count == PLACINGS_MAX || record->build_count == BUILDS_MAX) {
        return problem_set(problem, "no more than %d placings and %d builds in a session",
                           PLACINGS_MAX, BUILDS_MAX);
    }
    const struct placing_record former = record->placing[session->placing];
    session->placing = new_placing(session);
    struct placing_record *placing = &record->placing[session->placing];
    memcpy(placing->rig_id, former.rig_id, sizeof placing->rig_id);
    placing->announced_rate_hz = former.announced_rate_hz;
    placing->channel_count = former.channel_count;
    memcpy(placing->channel, former.channel, sizeof placing->channel);
    machine_emit(session, EFFECT_PLACING, session->placing);
    return start_build(session, record->build[session->build].setup, problem);
}

/* build: the same setup, parts off and on again */
bool command_build(struct session *session, const struct words *words, struct problem *problem)
{
    if (words->count > 1) {
        return problem_set(problem, "build: takes no more words ('setup N' goes back to a setup)");
    }
    if (session->build < 0) {
        return problem_set(problem, "build: there is no setup yet");
    }
    return start_build(session, session->record.build[session->build].setup, problem);
}

/* correct N key=value ... */
bool command_correct(struct session *session, const struct words *words, struct problem *problem)
{
    struct session_record *record = &session->record;
    int number = 0, changed = 0;
    if (!read_setup_number(words, &number, problem)) {
        return false;
    }
    int index = session_record_setup(record, number);
    if (index < 0) {
        return problem_set(problem, "correct: there is no setup %d", number);
    }
    struct bike_values values = record->setup[index].bike;
    if (!read_bike_values(words, 2, NULL, &values, &changed, problem)) {
        return false;
    }
    bool new_intent = words->count > 2 && words->word[2].key == NULL;
    if (changed == 0 && !new_intent) {
        return problem_set(problem, "correct: say what is to be corrected, such as spacers=10");
    }
    record->setup[index].bike = values;
    if (new_intent) {
        text_copy(record->setup[index].intent, sizeof record->setup[index].intent,
                  words->word[2].value);
    }
    machine_emit(session, EFFECT_SETUP, index);
    machine_ties_changed(session);
    machine_say(session, "setup %d corrected; everything was worked out anew", number);
    return true;
}
