#include "app/carry.h"

#include "app/loaded_session.h"
#include "base/text.h"
#include "base/words.h"
#include "report/say.h"
#include "session/across.h"
#include "store/store.h"

#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define NORMAL_95 1.96

struct carry {
    struct loaded_session *loaded;
    const struct session_record *record;
    const struct analysis *analysis;
    int on_bike; /* index of the setup */
};

/* ---- opening -------------------------------------------------------------------------------- */

static bool find_on_bike(struct carry *carry, int number, struct problem *problem)
{
    const struct session_record *record = carry->record;
    if (number > 0) {
        carry->on_bike = session_record_setup(record, number);
        return carry->on_bike >= 0 ||
               problem_set(problem, "there is no setup %d in that session: it has %d", number,
                           record->setup_count);
    }
    carry->on_bike = record->build_count > 0 ? record->build[record->build_count - 1].setup : -1;
    return carry->on_bike >= 0 ||
           problem_set(problem, "that session says nothing of a bike: there is nothing to carry");
}

/* 'last' and a rider's code mean an earlier session that has a bike, not the one that runs. */
struct earlier {
    const struct uuid *running;
    const char *words;
    bool last;
    int64_t id;
};

static bool match_earlier(void *context, const struct store_session *session)
{
    struct earlier *earlier = context;
    if (session->setups > 0 && (earlier->last || text_equal(session->rider_code, earlier->words)) &&
        (earlier->running == NULL ||
         memcmp(earlier->running->bytes, session->uuid.bytes, sizeof session->uuid.bytes) != 0)) {
        earlier->id = session->id;
    }
    return earlier->id == 0;
}

bool carry_find(const char *store_path, const char *words, const struct uuid *running, int64_t *id,
                struct problem *problem)
{
    struct earlier earlier = {running, words, text_equal(words, "last"), 0};
    char standard[PATH_MAX];
    if (store_path == NULL && !store_default_path(standard, sizeof standard, problem)) {
        return false;
    }
    struct store *store =
        store_open(store_path != NULL ? store_path : standard, STORE_READ, problem);
    bool done = store != NULL && store_list(store, match_earlier, &earlier, problem);
    if (done && earlier.id == 0) {
        done = earlier.last ? problem_set(problem, "there is no earlier session in the store")
                            : store_find_session(store, words, &earlier.id, problem);
    }
    store_close(store);
    *id = earlier.id;
    return done;
}

struct carry *carry_open(const char *store_path, int64_t id, int on_bike, struct problem *problem)
{
    char words[32];
    snprintf(words, sizeof words, "%lld", (long long)id);
    struct carry *carry = calloc(1, sizeof *carry);
    if (carry == NULL) {
        problem_set(problem, "no memory for a session to carry over");
        return NULL;
    }
    carry->loaded = loaded_session_open(store_path, words, problem);
    if (carry->loaded != NULL) {
        const struct report_input *input = loaded_session_input(carry->loaded);
        carry->record = input->record;
        carry->analysis = input->analysis;
    }
    if (carry->loaded == NULL || !find_on_bike(carry, on_bike, problem)) {
        carry_close(carry);
        return NULL;
    }
    return carry;
}

void carry_close(struct carry *carry)
{
    if (carry != NULL) {
        loaded_session_close(carry->loaded);
        free(carry);
    }
}

/* ---- lines ---------------------------------------------------------------------------------- */

/* A line that grows word by word. */
struct growing {
    char text[COMMAND_TEXT_SIZE];
    size_t used;
};

static void put(struct growing *line, const char *word)
{
    text_append(line->text, sizeof line->text, &line->used, "%s%s", line->used > 0 ? " " : "",
                word);
}

static void put_quoted(struct growing *line, const char *key, const char *text)
{
    char quoted[2 * WORD_SIZE];
    words_quote(quoted, sizeof quoted, text);
    text_append(line->text, sizeof line->text, &line->used, "%s%s%s%s", line->used > 0 ? " " : "",
                key != NULL ? key : "", key != NULL ? "=" : "", quoted);
}

static void put_number(struct growing *line, const char *key, double value)
{
    char text[64];
    if (isfinite(value)) {
        text_from_double_shortest(text, sizeof text, value);
        text_append(line->text, sizeof line->text, &line->used, " %s=%s", key, text);
    }
}

static void put_bike(struct growing *line, const struct bike_values *bike)
{
    for (int k = 0; k < BIKE_KEYS; k++) {
        put_number(line, bike_fields[k].key, bike->value[k]);
    }
}

static bool give(const struct growing *line, carry_sink *sink, void *context,
                 struct problem *problem)
{
    if (line->used + 1 >= sizeof line->text) {
        return problem_set(problem, "'%.40s...' is too long to be carried over", line->text);
    }
    return sink(context, line->text, problem);
}

static bool give_rider(const struct carry *carry, carry_sink *sink, void *context,
                       struct problem *problem)
{
    const struct rider_record *rider = &carry->record->rider;
    struct growing line = {"", 0};
    if (!carry->record->has_rider) {
        return true;
    }
    put(&line, "rider");
    put_quoted(&line, NULL, rider->code);
    if (rider->name[0] != '\0') {
        put_quoted(&line, NULL, rider->name);
    }
    if (rider->watch_for[0] != '\0') {
        put_quoted(&line, "watch_for", rider->watch_for);
    }
    return give(&line, sink, context, problem);
}

/* The setups come before the bike: with a bike alone, setup 1 would be made of it. */
static bool give_setups(const struct carry *carry, carry_sink *sink, void *context,
                        struct problem *problem)
{
    const struct session_record *record = carry->record;
    for (int s = 0; s < record->setup_count; s++) {
        struct growing line = {"", 0};
        text_append(line.text, sizeof line.text, &line.used, "known %d", record->setup[s].number);
        put_quoted(&line, NULL, record->setup[s].intent);
        put_bike(&line, &record->setup[s].bike);
        if (!give(&line, sink, context, problem)) {
            return false;
        }
    }
    struct growing line = {"", 0};
    text_append(line.text, sizeof line.text, &line.used, "setup %d",
                record->setup[carry->on_bike].number);
    if (!give(&line, sink, context, problem)) {
        return false;
    }
    if (record->has_bike) {
        struct growing bike = {"", 0};
        put(&bike, "bike");
        put_quoted(&bike, NULL, record->bike.name);
        put_bike(&bike, &record->bike.frame);
        return give(&bike, sink, context, problem);
    }
    return true;
}

static bool give_sensors(const struct carry *carry, carry_sink *sink, void *context,
                         struct problem *problem)
{
    static const char *const roles[] = {"body", "ref", "aux"};
    const struct session_record *record = carry->record;
    if (record->placing_count == 0) {
        return true;
    }
    const struct placing_record *placing = &record->placing[record->placing_count - 1];
    for (int c = 0; c < placing->channel_count; c++) {
        const struct channel_record *channel = &placing->channel[c];
        struct growing line = {"", 0};
        put(&line, "sensor");
        put_quoted(&line, NULL, channel->name);
        if (channel->mounted) {
            put_quoted(&line, "carrier", carrier_key(channel->mount.carrier));
            put_number(&line, "x", channel->mount.x_mm);
            put_number(&line, "y", channel->mount.y_mm);
            put_number(&line, "tilt", channel->mount.tilt_deg);
            put(&line, channel->mount.direction < 0 ? "look=down" : "look=up");
        }
        if (channel->mark[0] != '\0') {
            put_quoted(&line, "mark", channel->mark);
        }
        put_quoted(&line, "role", roles[channel->role]);
        put_number(&line, "gain", channel->gain);
        put_number(&line, "offset", channel->offset_mm);
        if (!give(&line, sink, context, problem)) {
            return false;
        }
    }
    return true;
}

/* What the comparison is made with. The setup on the bike now is what is compared against. */
static bool give_settings(const struct carry *carry, carry_sink *sink, void *context,
                          struct problem *problem)
{
    const struct session_record *record = carry->record;
    struct growing matters = {"", 0}, baseline = {"", 0}, slope = {"", 0};
    put(&matters, "matters");
    size_t bare = matters.used;
    for (int c = 0; record->placing_count > 0 && c < record->placing[0].channel_count; c++) {
        put_number(&matters, record->placing[0].channel[c].name, record->settings.matters_mm[c]);
    }
    text_append(baseline.text, sizeof baseline.text, &baseline.used, "baseline %d",
                record->setup[carry->on_bike].number);
    if (isfinite(record->settings.trunk_slope_deg)) {
        char text[64];
        text_from_double_shortest(text, sizeof text, record->settings.trunk_slope_deg);
        put(&slope, "slope");
        put(&slope, text);
    }
    return (matters.used == bare || give(&matters, sink, context, problem)) &&
           give(&baseline, sink, context, problem) &&
           (slope.used == 0 || give(&slope, sink, context, problem));
}

static bool give_limits(const struct carry *carry, carry_sink *sink, void *context,
                        struct problem *problem)
{
    const struct bike_limits *limits = &carry->record->limits;
    struct growing line = {"", 0};
    put(&line, "limits");
    for (int i = 0; i < BIKE_LIMITS; i++) {
        char typed[80];
        bike_limit_typed(limits, i, typed, sizeof typed);
        if (typed[0] != '\0') {
            text_append(line.text, sizeof line.text, &line.used, " %s=%s", bike_limit_key(i),
                        typed);
        }
    }
    return bike_limits_entered(limits) == 0 || give(&line, sink, context, problem);
}

bool carry_bike(const struct carry *carry, carry_sink *sink, void *context, struct problem *problem)
{
    return give_rider(carry, sink, context, problem) &&
           give_setups(carry, sink, context, problem) &&
           give_sensors(carry, sink, context, problem) &&
           give_settings(carry, sink, context, problem) &&
           give_limits(carry, sink, context, problem);
}

/* ---- the target ----------------------------------------------------------------------------- */

static int last_kept(const struct session_record *record)
{
    int target = record->target_count - 1;
    while (target >= 0 && !record->target[target].kept) {
        target--;
    }
    return target;
}

static int channel_named(const struct placing_record *placing, const char *name)
{
    for (int c = 0; c < placing->channel_count; c++) {
        if (text_equal(placing->channel[c].name, name)) {
            return c;
        }
    }
    return -1;
}

/* How well a channel's height is known when it is carried over, 95 %; NAN with the reason. */
static double carried_half_width_mm(const struct carry *carry, int target, int channel,
                                    const struct session *now, char *reason, size_t size)
{
    const struct target_record *old = &carry->record->target[target];
    const struct channel_target *result = &carry->analysis->target[target][channel];
    const struct session_record *record = session_records(now);
    const struct build_record *build = &record->build[record->build_count - 1];
    const struct placing_record *placing = &record->placing[build->placing];
    const char *name = carry->analysis->channel_name[channel];
    bool entered = isfinite(old->entered_mm[channel]);
    double half_mm = isfinite(result->half_width_mm) ? result->half_width_mm : entered ? 0.0 : NAN;
    const struct across_place then = {carry->record, carry->analysis, old->build, channel};
    const struct across_place there = {record, session_analysis(now), record->build_count - 1,
                                       channel_named(placing, name)};
    bool known_then = carry->analysis->tie[old->build][channel].absolute;
    double u_mm = there.channel >= 0 ? across_u_mm(&then, &there) : NAN;
    size_t used = 0;
    reason[0] = '\0';
    if (isnan(half_mm)) {
        text_append(reason, size, &used, "its height was not known well enough then");
    } else if (there.channel < 0) {
        text_append(reason, size, &used, "there is no such sensor now");
    } else if (isnan(u_mm) && !known_then) {
        text_append(reason, size, &used,
                    "not tied: nothing said then how high its sensor was over the bottom bracket "
                    "('tape %s=...' or a plate with its height= does): take the target anew",
                    name);
    } else if (isnan(u_mm)) {
        text_append(reason, size, &used,
                    "not tied: say how high its sensor is over the bottom bracket now ('tape "
                    "%s=...', or a plate with its height=), then 'carry ... target'",
                    name);
    }
    return there.channel >= 0 ? hypot(half_mm, NORMAL_95 * u_mm) : NAN;
}

static bool give_band(const struct carry *carry, const bool *carried, carry_sink *sink,
                      void *context, struct problem *problem)
{
    const struct session_record *record = carry->record;
    struct growing line = {"", 0};
    if (record->band_count == 0) {
        return true;
    }
    const struct band_record *band = &record->band[record->band_count - 1];
    put(&line, "band");
    size_t bare = line.used;
    for (int c = 0; c < carry->analysis->channel_count; c++) {
        if (carried[c] && band->limited[c]) {
            char limit[2][64];
            const double mm[2] = {band->cue[c].band_above_mm, band->cue[c].band_below_mm};
            for (int side = 0; side < 2; side++) {
                text_copy(limit[side], sizeof limit[side], "none");
                if (isfinite(mm[side])) {
                    limit[side][0] = side == 0 ? '+' : '-';
                    text_from_double_shortest(limit[side] + 1, sizeof limit[side] - 1, mm[side]);
                }
            }
            text_append(line.text, sizeof line.text, &line.used, " %s=%s/%s",
                        carry->analysis->channel_name[c], limit[0], limit[1]);
        }
    }
    return line.used == bare || give(&line, sink, context, problem);
}

bool carry_target(const struct carry *carry, const struct session *now, carry_sink *sink,
                  void *context, char *told, size_t size, struct problem *problem)
{
    const struct session_record *record = carry->record;
    struct growing line = {"", 0}, known_to = {"", 0};
    char date[SAY_SIZE], left_out[1024] = "";
    size_t left_used = 0;
    bool carried[CHANNELS_MAX] = {false};
    size_t used = 0;
    int target = last_kept(record), count = 0;
    if (session_records(now)->build_count == 0) {
        return problem_set(problem, "say the bike and the sensors first: a target is heights");
    }
    say_date(date, sizeof date, record->started_ms);
    date[strcspn(date, " ")] = '\0';
    told[0] = '\0';
    put(&line, "target");
    for (int c = 0; target >= 0 && c < carry->analysis->channel_count; c++) {
        char reason[SAY_SIZE], text[64];
        const char *name = carry->analysis->channel_name[c];
        if (!carry->analysis->target[target][c].has) {
            continue;
        }
        double half_mm = carried_half_width_mm(carry, target, c, now, reason, sizeof reason);
        if (isnan(half_mm)) {
            text_append(left_out, sizeof left_out, &left_used, "the %s target of %s: %s\n", name,
                        date, reason);
            count++;
            continue;
        }
        carried[c] = true;
        text_from_double(text, sizeof text, carry->analysis->target[target][c].height_mm, 1);
        text_append(line.text, sizeof line.text, &line.used, " %s=%s", name, text);
        text_append(told, size, &used, "%s %s %s", count++ > 0 ? "," : "target carried over:", name,
                    text);
        text_from_double(text, sizeof text, ceil(half_mm * 10.0) / 10.0, 1);
        text_append(known_to.text, sizeof known_to.text, &known_to.used, "%s%s:%s",
                    known_to.used > 0 ? "," : " known_to=", name, text);
        text_append(told, size, &used, " ±%s mm", text);
    }
    if (count == 0) {
        text_append(told, size, &used, "no target was kept on %s", date);
    } else if (known_to.used > 0) {
        text_append(told, size, &used, " (of %s)", date);
    }
    text_append(told, size, &used, "%s%s", used > 0 ? "\n" : "", left_out);
    if (known_to.used == 0) {
        return true;
    }
    text_append(line.text, sizeof line.text, &line.used, "%s", known_to.text);
    return give(&line, sink, context, problem) && give_band(carry, carried, sink, context, problem);
}

/* The sentences one by one: a note each, so that they are found in the session's report. */
static bool give_notes(char *told, carry_sink *sink, void *context, struct problem *problem)
{
    char *rest = NULL;
    for (char *one = strtok_r(told, "\n", &rest); one != NULL; one = strtok_r(NULL, "\n", &rest)) {
        struct growing note = {"", 0};
        put(&note, "note");
        put_quoted(&note, NULL, one);
        if (!give(&note, sink, context, problem)) {
            return false;
        }
    }
    return true;
}

bool carry_into(const struct carry *carry, struct session *now, bool target_only, carry_sink *sink,
                void *context, struct problem *problem)
{
    char told[2048], again[] = "where the sensors are is taken from the earlier session: measure "
                               "it again (tape, or sensor ... y=...)";
    if (!target_only && !carry_bike(carry, sink, context, problem)) {
        return false;
    }
    return carry_target(carry, now, sink, context, told, sizeof told, problem) &&
           (target_only || give_notes(again, sink, context, problem)) &&
           give_notes(told, sink, context, problem);
}

bool carry_line(const char *store_path, const struct words *words, struct session *now,
                carry_sink *sink, void *context, struct problem *problem)
{
    const char *on = words_value(words, "on");
    int64_t on_bike = 0;
    bool target_only = false, sound = words->count >= 2 && words->word[1].key == NULL;
    for (int i = 2; i < words->count; i++) {
        const struct word *word = &words->word[i];
        if (word->key == NULL && text_equal(word->value, "target")) {
            target_only = true;
        } else if (word->key == NULL || !text_equal(word->key, "on")) {
            return problem_set(problem, "carry: '%s' is not understood", word->value);
        }
    }
    if (!sound) {
        return problem_set(problem, "carry: say which session, such as 'carry last' or 'carry 12'");
    }
    if (on != NULL && (!text_to_int64(on, &on_bike) || on_bike < 1 || on_bike > 99)) {
        return problem_set(problem, "carry: on=%s is no number of a setup", on);
    }
    if (store_path == NULL) {
        return problem_set(problem, "carry: there is no store to carry from");
    }
    int64_t id = 0;
    struct carry *carry = NULL;
    if (carry_find(store_path, words->word[1].value, &session_records(now)->uuid, &id, problem)) {
        carry = carry_open(store_path, id, (int)on_bike, problem);
    }
    bool done = carry != NULL && carry_into(carry, now, target_only, sink, context, problem);
    carry_close(carry);
    return done || problem_prefix(problem, "carry");
}
