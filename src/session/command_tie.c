/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"

#include "analysis/slip.h"
#include "base/text.h"
#include "heights.h"
#include "machine_effects.h"
#include "measure/rules.h"
#include "say/slip.h"

#include <math.h>
#include <stdio.h>

/* What ties heights together: plate and tape readings, now or later. */

bool machine_build_made(struct session *session, int *build, struct problem *problem)
{
    if (*build == BUILD_TO_COME && machine_ensure_build(session, problem)) {
        *build = session->build;
    }
    return *build >= 0;
}

int machine_build_named(struct session *session, const struct words *words, struct problem *problem)
{
    const struct session_record *record = &session->record;
    const char *setup_text = words_value(words, "setup");
    const char *build_text = words_value(words, "build");
    int64_t setup_number = 0, ordinal = 1;
    if (setup_text == NULL && build_text == NULL) {
        return session->build >= 0 ? session->build : BUILD_TO_COME;
    }
    if (setup_text == NULL || !text_to_int64(setup_text, &setup_number) ||
        (build_text != NULL && !text_to_int64(build_text, &ordinal))) {
        problem_set(problem, "%s: say which build as setup=N build=K", words->word[0].value);
        return -1;
    }
    for (int b = 0; b < record->build_count; b++) {
        if (record->setup[record->build[b].setup].number == setup_number &&
            record->build[b].ordinal == ordinal) {
            return b;
        }
    }
    problem_set(problem, "%s: there is no build %s of setup %s", words->word[0].value,
                build_text != NULL ? build_text : "1", setup_text);
    return -1;
}

/* The channels and values of NAME=VALUE words, all read before anything is taken. */
static bool read_channel_values(struct session *session, const struct words *words,
                                enum typed which, double values[CHANNELS_MAX], int *count,
                                struct problem *problem)
{
    *count = 0;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        values[c] = NAN;
    }
    for (int i = 1; i < words->count; i++) {
        const char *key = words->word[i].key;
        if (key == NULL || text_equal(key, "height") || text_equal(key, "setup") ||
            text_equal(key, "build") || text_equal(key, "sure") || text_equal(key, "rest")) {
            continue;
        }
        int channel = machine_height_channel(session, key, problem);
        if (channel < 0 ||
            !typed_read_key(words, key, &typed_numbers[which], &values[channel], problem)) {
            return false;
        }
        ++*count;
    }
    return true;
}

/* What was read, and where it lay. */
struct tie_read {
    enum tie_reading_kind kind;
    enum plate_rest rest;
    double plate_height_mm;
};

static bool take_readings(struct session *session, const struct tie_read *read, int build,
                          const double values[CHANNELS_MAX], struct problem *problem)
{
    struct session_record *record = &session->record;
    if (!machine_build_made(session, &build, problem)) {
        return false;
    }
    for (int c = 0; c < CHANNELS_MAX; c++) {
        if (isnan(values[c])) {
            continue;
        }
        if (!acts_room(session, EFFECT_TIE_READING, 1)) {
            return problem_set(problem, "no more than %d plate and tape readings", TIES_MAX);
        }
        record->tie_reading[record->tie_reading_count] = (struct tie_reading_record){
            .uuid = machine_tie_uuid(session, build),
            .kind = read->kind,
            .build = build,
            .channel = c,
            .value_mm = values[c],
            .plate_height_mm =
                machine_plate_height_mm(session, build, c, read->rest, read->plate_height_mm),
            .rest = read->rest,
            .at_sample = session->has_sample ? session->last.number : 0,
        };
        machine_emit(session, EFFECT_TIE_READING, record->tie_reading_count++);
    }
    machine_ties_changed(session);
    machine_say(session, "taken; everything was worked out anew");
    machine_say_alarms(session, build);
    return true;
}

static bool start_plate_capture(struct session *session, int build, double length_s,
                                const struct tie_read *read, struct problem *problem)
{
    struct session_record *record = &session->record;
    if (session->doing.activity != ACTIVITY_NONE) {
        return problem_set(problem, "plate: a hold is in progress");
    }
    if (!acts_room(session, EFFECT_CAPTURE, 1)) {
        return problem_set(problem, "no more than %d captures in a session", CAPTURES_MAX);
    }
    if (!machine_build_made(session, &build, problem)) {
        return false;
    }
    session->doing.capture = record->capture_count++;
    record->capture[session->doing.capture] = (struct capture_record){
        .uuid = machine_uuid(session, EFFECT_CAPTURE, session->doing.capture),
        .kind = CAPTURE_PLATE};
    session->doing.activity = ACTIVITY_PLATE;
    session->begun = false;
    session->doing.asked_at_us = session->has_sample ? session->last.time_us : 0;
    session->doing.settle_s = 0.0;
    session->doing.planned_s = length_s;
    session->doing.plate_height_mm = read->plate_height_mm;
    session->doing.plate_rest = read->rest;
    machine_say(session, "reading the %s for %.0f s",
                read->rest == REST_PADS ? "board on the pads" : "plate", length_s);
    return true;
}

static bool read_rest(const struct words *words, struct tie_read *read, struct problem *problem)
{
    const char *rest = words_value(words, "rest");
    bool pads = rest != NULL && text_equal(rest, word_of(&plate_rest_words, REST_PADS));
    read->rest = pads ? REST_PADS : REST_PLATE;
    return rest == NULL || pads ||
           problem_set(problem, "plate: rest=pads is a board across the arm pads, not '%s'", rest);
}

/* Where a sensor is as the parts and its place have it. */
static bool place_by_parts(const struct session *session, int build, int channel,
                           struct sensor_position *position)
{
    const struct session_record *record = &session->record;
    const struct channel_record *described =
        &record->placing[record->build[build].placing].channel[channel];
    const struct bike_values *bike = &record->setup[record->build[build].setup].bike;
    int first = build;
    while (first > 0 && record->build[first - 1].placing == record->build[build].placing) {
        first--;
    }
    return described->mounted &&
           sensor_locate(bike, &record->setup[record->build[first].setup].bike, &described->mount,
                         position, NULL);
}

/* A sensor's height by them; NAN: not known. */
static double height_by_parts(const struct session *session, int build, int channel)
{
    struct sensor_position position;
    return place_by_parts(session, build, channel, &position) ? position.y_mm : (double)NAN;
}

/* A plate lies over the sensors that look up at it: a height below one is a slip (centimetres), and
 * would move every height. */
static bool check_plate_height(const struct session *session, int build, double height_mm,
                               struct problem *problem)
{
    const struct session_record *record = &session->record;
    const struct placing_record *placing = &record->placing[record->build[build].placing];
    for (int c = 0; c < placing->channel_count; c++) {
        double sensor_mm = height_by_parts(session, build, c);
        if (placing->channel[c].role == ROLE_BODY && placing->channel[c].mount.direction > 0 &&
            height_mm < sensor_mm) {
            return problem_ask(problem,
                               "plate: its height of %.0f mm is below the sensor of %s, which the "
                               "parts have at %.0f: centimetres, or is it meant so?",
                               height_mm, placing->channel[c].name, sensor_mm);
        }
    }
    return true;
}

/* The latest range of the channel to a plate on another build of the placing; NAN: none. */
static double other_range(const struct session *session, int build, int channel)
{
    const struct session_record *record = &session->record;
    for (int i = record->tie_reading_count - 1; i >= 0; i--) {
        const struct tie_reading_record *other = &record->tie_reading[i];
        if (other->kind == TIE_READING_PLATE && other->channel == channel &&
            other->build != build && other->rest == REST_PLATE && isnan(other->plate_height_mm) &&
            record->build[other->build].placing == record->build[build].placing) {
            return other->value_mm;
        }
    }
    return NAN;
}

/* A range that was typed in centimetres, or in another channel's place, would move every height. */
static bool check_plate_range(const struct session *session, int build, int channel,
                              const struct tie_read *read, double range_mm, struct problem *problem)
{
    const struct session_record *record = &session->record;
    const struct placing_record *placing = build == BUILD_TO_COME
                                               ? machine_placing(session)
                                               : &record->placing[record->build[build].placing];
    const struct channel_record *of = &placing->channel[channel];
    struct sensor_position place;
    if (range_mm < PLATE_NEAREST_MM) {
        return problem_ask(problem,
                           "plate: %g mm for %s is nearer than a plate is held: centimetres, or is "
                           "it meant so?",
                           range_mm, of->name);
    }
    if (build == BUILD_TO_COME) {
        return true; /* nothing to set it against */
    }
    double height_mm =
        machine_plate_height_mm(session, build, channel, read->rest, read->plate_height_mm);
    if (height_mm > 0.0 && place_by_parts(session, build, channel, &place)) {
        double seen_mm = body_height_mm(place.y_mm, of->mount.direction, place.tilt_deg, range_mm);
        if (fabs(seen_mm - height_mm) > TAPE_SLIP_MM) {
            return problem_ask(problem,
                               "plate: %g mm for %s, whose sensor the parts have at %.0f, is a "
                               "plate at %.0f and not %.0f: another sensor, another height, or is "
                               "it meant so?",
                               range_mm, of->name, place.y_mm, seen_mm, height_mm);
        }
    }
    bool held = read->rest == REST_PLATE && isnan(height_mm);
    double other_mm = held ? other_range(session, build, channel) : (double)NAN;
    return !(fabs(range_mm - other_mm) > PLATE_SLIP_MM) ||
           problem_ask(problem,
                       "plate: %g mm for %s, which was %g on another build: a slip, another "
                       "sensor, or is it meant so?",
                       range_mm, of->name, other_mm);
}

static bool check_plate_ranges(const struct session *session, int build,
                               const struct tie_read *read, const double values[CHANNELS_MAX],
                               struct problem *problem)
{
    for (int c = 0; c < CHANNELS_MAX; c++) {
        if (!isnan(values[c]) && !check_plate_range(session, build, c, read, values[c], problem)) {
            return false;
        }
    }
    return true;
}

/* plate head=412.5 chest=417.5 height=1055 setup=N build=K, or plate 5s height=930; rest=pads */
bool command_plate(struct session *session, const struct words *words, struct problem *problem)
{
    struct tie_read read = {TIE_READING_PLATE, REST_PLATE, NAN};
    double values[CHANNELS_MAX], length_s = PLATE_S;
    int count = 0;
    int build = machine_build_named(session, words, problem);
    if (build == -1 || !typed_read(words, TYPED_PLATE_HEIGHT, &read.plate_height_mm, problem) ||
        (!machine_sure(session, words) && build != BUILD_TO_COME &&
         !check_plate_height(session, build, read.plate_height_mm, problem)) ||
        !read_rest(words, &read, problem) ||
        !read_channel_values(session, words, TYPED_RANGE, values, &count, problem)) {
        return false;
    }
    if (count > 0) {
        return (machine_sure(session, words) ||
                check_plate_ranges(session, build, &read, values, problem)) &&
               take_readings(session, &read, build, values, problem);
    }
    if (words->count > 1 && words->word[1].key == NULL &&
        !typed_text(words->word[1].value, TYPED_PLATE_S, &length_s)) {
        const struct typed_number *number = &typed_numbers[TYPED_PLATE_S];
        return problem_set(problem, "plate: '%s' is no time between %g and %g s",
                           words->word[1].value, number->least, number->most);
    }
    if (build != BUILD_TO_COME && build != session->build) {
        return problem_set(problem,
                           "plate: only the build that is on the bike can be read now; type the "
                           "ranges of another, such as head=412.5");
    }
    return start_plate_capture(session, build, length_s, &read, problem);
}

/* A tape that is far from what the parts say is a slip (centimetres, the wrong channel) before it
 * is anything else, and would move every height: asked about, not taken. */
static bool check_tape(const struct session *session, int build, const double values[CHANNELS_MAX],
                       struct problem *problem)
{
    const struct session_record *record = &session->record;
    const struct placing_record *placing = &record->placing[record->build[build].placing];
    for (int c = 0; c < placing->channel_count; c++) {
        double sensor_mm = height_by_parts(session, build, c);
        if (isnan(values[c]) || isnan(sensor_mm) || fabs(values[c] - sensor_mm) <= TAPE_SLIP_MM) {
            continue;
        }
        return problem_ask(
            problem,
            "tape: %.0f mm for %s, where the parts and the sensor's place say %.0f: centimetres, "
            "another sensor, a wrong place, or is it meant so?",
            values[c], placing->channel[c].name, sensor_mm);
    }
    return true;
}

/* tape head=632 setup=N build=K sure=yes */
bool command_tape(struct session *session, const struct words *words, struct problem *problem)
{
    double values[CHANNELS_MAX];
    int count = 0;
    int build = machine_build_named(session, words, problem);
    if (build == -1 || !read_channel_values(session, words, TYPED_TAPE, values, &count, problem)) {
        return false;
    }
    if (count == 0) {
        return problem_set(problem,
                           "tape: say a channel and its sensor's height, such as head=632");
    }
    if (!machine_sure(session, words) && build != BUILD_TO_COME &&
        !check_tape(session, build, values, problem)) {
        return false;
    }
    const struct tie_read read = {TIE_READING_TAPE, REST_PLATE, NAN};
    return take_readings(session, &read, build, values, problem);
}

static void say_answer(struct session *session, int build, const char *question, enum answer answer)
{
    const struct build_record *of = &session->record.build[build];
    const char *word = word_of(&answer_words, (int)answer);
    char text[160];
    snprintf(text, sizeof text, "setup %d, build %d: %s %s",
             session->record.setup[of->setup].number, of->ordinal, question,
             word != NULL ? word : "not known");
    journal_say(session, EVENT_ANSWER, "answer", text);
}

/* moved no [setup=N build=K]: whether a sensor moved when this was built, by what nobody entered */
bool command_moved(struct session *session, const struct words *words, struct problem *problem)
{
    enum answer moved = 0;
    const char *text = words->count > 1 && words->word[1].key == NULL ? words->word[1].value : "";
    int build = machine_read_moved(text, &moved, problem)
                    ? machine_build_named(session, words, problem)
                    : -1;
    if (!machine_build_made(session, &build, problem)) {
        return false;
    }
    session->record.build[build].moved = moved;
    machine_emit(session, EFFECT_BUILD, build);
    say_answer(session, build, "did a sensor move?", moved);
    machine_ties_changed(session);
    if (moved == 0) {
        machine_say(session, "whether a sensor moved is not known (again)");
    } else if (moved == ANSWER_NO) {
        machine_say(session, "no sensor moved: this build is tied to the one before");
    } else {
        machine_say(session, "not tied, but by a plate (p) that was read before it moved too");
    }
    return true;
}

/* Where none is named: the build that a question is open about, else the latest that was answered
 * for, so that an answer can be taken back. */
static int slipped_build(struct session *session, const struct words *words,
                         struct problem *problem)
{
    if (words_value(words, "setup") != NULL || words_value(words, "build") != NULL) {
        return machine_build_named(session, words, problem);
    }
    int channel = slip_unanswered(&session->record, session->analysis);
    if (channel >= 0) {
        return session->analysis->slip[channel].later;
    }
    for (int b = session->record.build_count - 1; b >= 0; b--) {
        if (session->record.build[b].slipped != 0) {
            return b;
        }
    }
    problem_set(problem, "slipped: no two builds of a setup disagree so that it is asked");
    return -1;
}

/* slipped no [setup=N build=K]: whether a sensor slipped since this setup's build before, where the
 * two disagree */
bool command_slipped(struct session *session, const struct words *words, struct problem *problem)
{
    const char *text = words->count > 1 && words->word[1].key == NULL ? words->word[1].value : "";
    int found = machine_answer(text);
    if (found < 0) {
        return problem_set(
            problem,
            "slipped: did a sensor slip? yes or no, not '%s' (not_known takes an answer back)",
            text);
    }
    int build = slipped_build(session, words, problem);
    if (build < 0) {
        return false;
    }
    if (slip_build_before(&session->record, build) < 0) {
        return problem_set(problem, "slipped: setup %d has no build before that one",
                           session->record.setup[session->record.build[build].setup].number);
    }
    session->record.build[build].slipped = (enum answer)found;
    machine_emit(session, EFFECT_BUILD, build);
    say_answer(session, build, "did a sensor slip?", (enum answer)found);
    machine_ties_changed(session);
    machine_say(session, "%s",
                found == 0 ? "whether a sensor slipped is not known (again)"
                           : say_slipped((enum answer)found));
    return true;
}
