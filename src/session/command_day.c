/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"

#include "base/text.h"
#include "machine_effects.h"
#include "measure/rules.h"

#include <math.h>
#include <string.h>

/* What a day of runs is like: mass of rider and bike, the course, the air. */

void machine_drag_changed(struct session *session)
{
    drag_make(&session->record, &session->analysis->drag);
    session->journal.serial++;
}

bool machine_read_clock(const struct words *words, double *at_min, struct problem *problem)
{
    const char *text = words_value(words, "at"), *colon = text != NULL ? strchr(text, ':') : NULL;
    char hours[3] = "";
    int64_t hour, minute;
    if (text == NULL) {
        return true;
    }
    if (colon != NULL && colon - text >= 1 && colon - text <= 2 && strlen(colon + 1) == 2) {
        memcpy(hours, text, (size_t)(colon - text));
        if (text_to_int64(hours, &hour) && text_to_int64(colon + 1, &minute) && hour >= 0 &&
            hour < 24 && minute >= 0 && minute < 60) {
            *at_min = 60.0 * (double)hour + (double)minute;
            return true;
        }
    }
    return problem_set(problem, "at: '%s' is no time of day, such as 14:05", text);
}

/* mass 85kg sure=yes */
bool command_mass(struct session *session, const struct words *words, struct problem *problem)
{
    double mass_kg = NAN;
    int said = words->count - (words_value(words, "sure") != NULL ? 1 : 0);
    if (said != 2 || words->word[1].key != NULL ||
        !typed_text(words->word[1].value, TYPED_MASS, &mass_kg)) {
        return problem_set(problem, "mass: of rider and bike with all on it, %g to %g kg",
                           typed_numbers[TYPED_MASS].least, typed_numbers[TYPED_MASS].most);
    }
    if (!machine_sure(session, words) && mass_kg > MASS_ASKED_KG) {
        return problem_ask(problem, "mass: %g kg of rider and bike: pounds, or is it meant so?",
                           mass_kg);
    }
    session->record.drag.mass_kg = mass_kg;
    machine_emit(session, EFFECT_SESSION, 0);
    machine_drag_changed(session);
    machine_say(session, "rider and bike: %g kg", mass_kg);
    return true;
}

bool machine_read_yes(const struct words *words, const char *key, bool *yes,
                      struct problem *problem)
{
    const char *text = words_value(words, key);
    if (text == NULL) {
        return true;
    }
    *yes = text_equal(text, "yes");
    return *yes || text_equal(text, "no") ||
           problem_set(problem, "%s: '%s' is neither yes nor no", key, text);
}

static bool rise_can_be(const struct drag_settings *settings, struct problem *problem)
{
    if (isnan(settings->rise_m) || settings->rise_m == 0.0) {
        return true;
    }
    if (settings->course == COURSE_LAPS) {
        return problem_set(problem, "rise: a lap ends where it began, and rises by nothing");
    }
    if (!(settings->course_length_m > 0.0)) {
        return problem_set(problem, "rise: over what length? Say it, such as course out_and_back "
                                    "length=1000m rise=2.5m");
    }
    return fabs(settings->rise_m) <= COURSE_GRADE_MOST * settings->course_length_m ||
           problem_set(problem, "rise: %g m over %g m is over %g %%: is one in another unit?",
                       settings->rise_m, settings->course_length_m, 100.0 * COURSE_GRADE_MOST);
}

/* course laps length=250m indoors=yes rolling=0.004; course out_and_back length=1000m
 * rise=2.5m */
bool command_course(struct session *session, const struct words *words, struct problem *problem)
{
    static const char *const keys[] = {"length", "rise", "indoors", "rolling", NULL};
    struct drag_settings settings = session->record.drag;
    const char *kind = words->count > 1 && words->word[1].key == NULL ? words->word[1].value : "";
    enum course_kind course =
        (enum course_kind)word_find(&course_verb_words, kind, COURSE_NOT_SAID);
    if (course == COURSE_NOT_SAID) {
        return problem_set(problem, "course: 'laps', or 'out_and_back' over one stretch: another "
                                    "ride can't be compared");
    }
    if (session->record.run_count > 0 && settings.course != course) {
        return problem_set(problem, "course: there are runs on the other kind of course: drag is "
                                    "compared over one course only");
    }
    settings.course = course;
    settings.rise_m = course == COURSE_LAPS ? (double)NAN : settings.rise_m;
    struct words rest = *words; /* without the kind */
    rest.count--;
    memmove(&rest.word[1], &rest.word[2], (size_t)(rest.count - 1) * sizeof rest.word[0]);
    if (!machine_only_keys(&rest, keys, problem) ||
        !typed_read(words, TYPED_COURSE_LENGTH, &settings.course_length_m, problem) ||
        !typed_read(words, TYPED_COURSE_RISE, &settings.rise_m, problem) ||
        !typed_read(words, TYPED_ROLLING, &settings.rolling, problem) ||
        !machine_read_yes(words, "indoors", &settings.indoors, problem) ||
        !rise_can_be(&settings, problem)) {
        return false;
    }
    session->record.drag = settings;
    machine_emit(session, EFFECT_SESSION, 0);
    machine_drag_changed(session);
    machine_say(session, "course: %s%s", word_of(&course_words, (int)course),
                settings.indoors ? ", indoors" : "");
    return true;
}

bool machine_matters_drag(struct session *session, const struct words *words,
                          struct problem *problem)
{
    double matters_m2 = NAN;
    if (!typed_read(words, TYPED_MATTERS_DRAG, &matters_m2, problem)) {
        return false;
    }
    session->record.drag.matters_m2 = matters_m2;
    machine_emit(session, EFFECT_SESSION, 0);
    machine_drag_changed(session);
    return true;
}

/* One of '20C', '1013hPa', '101300Pa', '50%'. */
static bool read_of_air(const char *text, struct air_record *air, struct problem *problem)
{
    static const struct {
        const char *unit;
        enum typed which;
        double scale;
    } units[] = {{"hPa", TYPED_PRESSURE, 1.0},
                 {"Pa", TYPED_PRESSURE_PA, 0.01},
                 {"C", TYPED_TEMPERATURE, 1.0},
                 {"%", TYPED_HUMIDITY, 1.0}};
    double *to[] = {&air->pressure_hpa, &air->pressure_hpa, &air->temperature_c,
                    &air->humidity_percent};
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
        const struct typed_number *number = &typed_numbers[units[i].which];
        double value = 0.0;
        if (!text_ends_with(text, units[i].unit)) {
            continue;
        }
        if (!words_number(text, number->unit, &value, problem)) {
            return false;
        }
        if (!(value >= number->least && value <= number->most)) {
            return problem_set(problem, "air: %s is not between %g and %g %s", text, number->least,
                               number->most, number->unit);
        }
        *to[i] = value * units[i].scale;
        return true;
    }
    bool bare = text_to_double(text, &(double){0.0});
    return problem_set(problem, "air: '%s' %s: say 20C, 1013hPa and 50%%", text,
                       bare ? "has no unit" : "is in no unit that is read here");
}

static bool read_air(const struct words *words, struct air_record *air, struct problem *problem)
{
    static const char *const keys[] = {"temperature", "pressure", "humidity", "wind", "at", NULL};
    struct words keyed = *words;
    keyed.count = 1;
    for (int i = 1; i < words->count; i++) {
        if (words->word[i].key != NULL) {
            keyed.word[keyed.count++] = words->word[i];
        } else if (!read_of_air(words->word[i].value, air, problem)) {
            return false;
        }
    }
    if (!machine_only_keys(&keyed, keys, problem) ||
        !typed_read(words, TYPED_TEMPERATURE, &air->temperature_c, problem) ||
        !typed_read(words, TYPED_PRESSURE, &air->pressure_hpa, problem) ||
        !typed_read(words, TYPED_HUMIDITY, &air->humidity_percent, problem) ||
        !typed_read(words, TYPED_WIND, &air->wind_m_per_s, problem) ||
        !machine_read_clock(words, &air->at_min, problem)) {
        return false;
    }
    return (isfinite(air->temperature_c) && isfinite(air->pressure_hpa) &&
            isfinite(air->humidity_percent)) ||
           problem_set(problem, "air: temperature, pressure and humidity, such as 'air 20C 1013hPa "
                                "50%%'; the pressure where you ride, not that of the sea");
}

/* air 20C 1013hPa 50% wind=0.5m/s at=14:05 */
bool command_air(struct session *session, const struct words *words, struct problem *problem)
{
    struct session_record *record = &session->record;
    struct air_record air;
    air_record_clear(&air);
    if (!read_air(words, &air, problem)) {
        return false;
    }
    if (!acts_room(session, EFFECT_AIR, 1)) {
        return problem_set(problem, "no more than %d readings of the air in a session", AIRS_MAX);
    }
    air.uuid = machine_uuid(session, EFFECT_AIR, record->air_count);
    air.after_run = record->run_count > 0 ? record->run[record->run_count - 1].number : 0;
    record->air[record->air_count] = air;
    machine_emit(session, EFFECT_AIR, record->air_count++);
    machine_drag_changed(session);
    machine_say(session, "air noted: %g C, %g hPa, %g %%", air.temperature_c, air.pressure_hpa,
                air.humidity_percent);
    return true;
}
