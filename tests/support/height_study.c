/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/height_study.h"

#include "base/random.h"
#include "base/text.h"
#include "bike/tie.h"
#include "measure/rules.h"
#include "rig/decoder.h"
#include "rig/virtual_rig.h"
#include "session/session.h"
#include "support/test_seed.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define RATE_HZ 20.0
#define PLATE_MM 930.0

const struct study_case study_cases[] = {
    {"floor stand, fixed", CARRIER_STAND, STUDY_FIXED, STUDY_SPACERS},
    {"base bar, second sensor", CARRIER_BASE_BAR, STUDY_REFERENCE, STUDY_SPACERS},
    {"base bar, plate", CARRIER_BASE_BAR, STUDY_PLATE, STUDY_SPACERS},
    {"base bar, tape", CARRIER_BASE_BAR, STUDY_TAPE, STUDY_SPACERS},
    {"base bar, computed", CARRIER_BASE_BAR, STUDY_COMPUTED, STUDY_SPACERS},
    {"base bar, other stem, plate", CARRIER_BASE_BAR, STUDY_PLATE, STUDY_STEM},
    {"base bar, other stem, computed", CARRIER_BASE_BAR, STUDY_COMPUTED, STUDY_STEM},
    {"base bar, rolled too, plate", CARRIER_BASE_BAR, STUDY_PLATE, STUDY_ROLL},
    {"base bar, rolled too, computed", CARRIER_BASE_BAR, STUDY_COMPUTED, STUDY_ROLL},
    {"pad bracket, plate", CARRIER_PAD_BRACKET, STUDY_PLATE, STUDY_PADS},
    {"pad bracket, computed", CARRIER_PAD_BRACKET, STUDY_COMPUTED, STUDY_PADS},
    {"extension, plate", CARRIER_EXTENSION, STUDY_PLATE, STUDY_SPACERS},
    {"extension, computed", CARRIER_EXTENSION, STUDY_COMPUTED, STUDY_SPACERS},
    {"base bar, taken for ranges", CARRIER_BASE_BAR, STUDY_UNTIED, STUDY_SPACERS},
};
const int study_case_count = sizeof study_cases / sizeof study_cases[0];

struct study {
    const struct study_case *what;
    bool still;
    struct random_source errors;
    struct virtual_rig *rig;
    struct decoder *decoder;
    struct session *session;
    int64_t number, first_us;
    double added_mm[2]; /* what the readings of head and ref are wrong by now */
    double label_deg[2], spacers_mm, roll_deg, rise_mm; /* what typed values are wrong by */
};

/* The study runs in tests and beside them: what cannot go on ends the program with a sentence. */
static void require(bool done, const char *what, const char *sentence)
{
    if (!done) {
        fprintf(stderr, "height study: %s: %s\n", what, sentence);
        abort();
    }
}

static void nowhere(void *context, const struct effect *effect)
{
    (void)context;
    (void)effect;
}

static void tell(struct study *study, const char *line)
{
    struct problem problem = {PROBLEM_NONE, ""};
    require(virtual_rig_tell(study->rig, line, &problem), line, problem.sentence);
}

static void command(struct study *study, const char *line)
{
    struct problem problem = {PROBLEM_NONE, ""};
    require(session_command(study->session, line, &problem), line, problem.sentence);
}

static void take(void *context, const struct raw_sample *raw)
{
    struct study *study = context;
    struct sample sample = {.number = ++study->number};
    if (study->number == 1) {
        study->first_us = raw->rig_time_us;
    }
    sample.time_us = raw->rig_time_us - study->first_us;
    for (int c = 0; c < 2; c++) {
        sample.range_tenth_mm[c] =
            raw->range_tenth_mm[c] + (int32_t)lround(10.0 * study->added_mm[c]);
        sample.quality[c] = raw->quality[c];
    }
    session_sample(study->session, &sample);
}

static void samples(struct study *study, int count)
{
    char bytes[VIRTUAL_RIG_BYTES];
    int64_t rig_time_us;
    for (int i = 0; i < count; i++) {
        size_t length = virtual_rig_next(study->rig, bytes, sizeof bytes, &rig_time_us);
        struct problem problem = {PROBLEM_NONE, ""};
        require(decoder_feed(study->decoder, bytes, length, take, study, &problem),
                "the rig's line", problem.sentence);
    }
}

/* Samples until nothing is in progress. */
static void finish(struct study *study)
{
    for (int i = 0; session_phase(study->session) != VIEW_LIVE; i++) {
        require(i < 20000, "waiting", "nothing comes to an end");
        samples(study, 1);
    }
}

/* The values of a setup as typed, or as they truly are. */
static void setup_values(const struct study *study, int setup, bool truly, char *line, size_t size,
                         size_t *used)
{
    enum study_change change = study->what->change;
    bool changed = setup == 2;
    int stem = changed && change == STUDY_STEM;
    double spacers = 25.0, roll = 0.0, rise = 60.0, angle = stem ? -11.5 : -6.0;
    if (changed && (change == STUDY_SPACERS || change == STUDY_ROLL)) {
        spacers -= 10.0 / sin(73.0 * acos(-1.0) / 180.0);
        spacers += truly ? study->spacers_mm : 0.0;
    }
    if (changed && change == STUDY_ROLL) {
        roll = 1.5 + (truly ? study->roll_deg : 0.0);
    }
    if (changed && change == STUDY_PADS) {
        rise -= 10.0 + (truly ? study->rise_mm : 0.0);
    }
    angle += truly ? study->label_deg[stem] : 0.0;
    text_append(line, size, used,
                " stem_length=100 stem_angle=%.4f spacers=%.4f bar_roll=%.4f pad_rise=%.4f "
                "pad_fore_aft=-20 extension_length=320 extension_angle=0 extension_rise=-30",
                angle, spacers, roll, rise);
}

static const char frame[] = "stack=545 reach=410 head_angle=73";

static void build(struct study *study, int setup, bool first)
{
    char line[512];
    size_t used = 0;
    text_append(line, sizeof line, &used, "bike %s", frame);
    setup_values(study, setup, true, line, sizeof line, &used);
    tell(study, line);
    if (!first) {
        tell(study, "build");
    }
    used = 0;
    text_append(line, sizeof line, &used, "setup %d", setup);
    const struct session_record *record = session_records(study->session);
    int index = session_record_setup(record, setup);
    if (index < 0 || first) {
        text_append(line, sizeof line, &used, " \"%s\"", setup == 1 ? "as it came" : "bars down");
        setup_values(study, setup, false, line, sizeof line, &used);
    }
    command(study, line);
}

static double error(struct study *study, double u_mm)
{
    double normal = random_normal(&study->errors);
    return study->still ? 0.0 : u_mm * normal;
}

/* What a fitter does after each build so that heights are tied. */
static void read_tie(struct study *study)
{
    char line[128];
    if (study->what->tie == STUDY_PLATE) {
        study->added_mm[0] = error(study, TIE_U_PLATE_MM);
        snprintf(line, sizeof line, "plate %.1f", PLATE_MM);
        tell(study, line);
        command(study, "plate 5s");
        finish(study);
        tell(study, "plate off");
        study->added_mm[0] = 0.0;
    } else if (study->what->tie == STUDY_TAPE) {
        struct virtual_truth truth;
        virtual_rig_truth(study->rig, &truth);
        double read_mm = truth.sensor_height_mm[0] + error(study, TIE_U_TAPE_MM);
        snprintf(line, sizeof line, "tape head=%.1f", read_mm);
        command(study, line);
    } else if (study->what->tie == STUDY_REFERENCE) {
        study->added_mm[1] = error(study, TIE_U_REFERENCE_MM);
    }
}

static void two_holds(struct study *study)
{
    for (int i = 0; i < 2; i++) {
        tell(study, "sit free");
        command(study, "hold 45s free settle=5s");
        finish(study);
        samples(study, (int)RATE_HZ);
    }
}

static void start_rig(struct study *study, uint64_t seed)
{
    struct virtual_rig_settings settings;
    virtual_rig_defaults(&settings, test_seed(seed));
    settings.rate_hz = RATE_HZ;
    settings.channel_count = 2;
    text_copy(settings.channel_name[0], CHANNEL_NAME_SIZE, "head");
    text_copy(settings.channel_name[1], CHANNEL_NAME_SIZE, "ref");
    settings.follow_share[0] = study->still ? 0.0 : 0.6;
    settings.fatigue_mm_per_hold = 0.0;
    settings.warm_up_mm = 0.0;
    settings.hold_sd_mm = 2.0;
    if (study->still) {
        settings.hold_sd_mm = settings.build_sd_mm = 0.0;
        settings.wander_mm = settings.creep_mm_per_min = settings.settle_mm = 0.0;
        settings.glances_per_min = 0.0;
    }
    study->rig = virtual_rig_create(&settings);
    require(study->rig != NULL, "the rig", "no memory");
}

static void describe(struct study *study)
{
    static const char *const places[CARRIERS] = {"x=560 y=500", "x=420 y=540", "x=120 y=40",
                                                 "x=60 y=-30", "x=-150 y=-20"};
    char line[256], told[256];
    enum carrier carrier = study->what->carrier;
    bool untied = study->what->tie == STUDY_UNTIED;
    snprintf(line, sizeof line, "rig virtual rate=%.0f channels=head,ref", RATE_HZ);
    command(study, line);
    snprintf(line, sizeof line, "bike \"a bike\" %s", frame);
    command(study, line);
    /* Taken for ranges: the program is told of a sensor that stays where it is. */
    snprintf(line, sizeof line, "sensor head carrier=%s %s look=up",
             word_of(&carrier_keys, untied ? CARRIER_STAND : carrier),
             places[untied ? CARRIER_STAND : carrier]);
    command(study, line);
    snprintf(told, sizeof told, "mount head carrier=%s %s tilt=0 look=up",
             word_of(&carrier_keys, carrier), places[carrier]);
    tell(study, told);
    if (study->what->tie == STUDY_REFERENCE) {
        command(study, "sensor ref carrier=base_bar x=100 y=40 look=down role=ref");
        tell(study, "mount ref carrier=base_bar x=100 y=40 tilt=0 look=down role=ref");
    } else {
        command(study, "sensor ref carrier=stand x=100 y=100 role=aux");
    }
    command(study, "matters head=3");
}

void study_session(const struct study_case *what, uint64_t seed, bool still,
                   struct study_result *result)
{
    struct study study = {.what = what, .still = still};
    struct session_origin origin = {1767981600000, seed};
    struct decoder_options options = {.dialect = "bench"};
    random_seed(&study.errors, test_seed(seed * 8 + 5));
    start_rig(&study, seed);
    study.decoder = decoder_create(&options, NULL);
    study.session = session_create(&origin, nowhere, NULL);
    require(study.decoder != NULL && study.session != NULL, "the session", "no memory");
    study.label_deg[0] = error(&study, TIE_U_STEM_LABEL_DEG);
    study.label_deg[1] = error(&study, TIE_U_STEM_LABEL_DEG);
    study.spacers_mm = error(&study, TIE_U_SPACERS_MM);
    study.rise_mm = error(&study, TIE_U_SPACERS_MM);
    study.roll_deg = error(&study, TIE_U_TURN_DEG);

    struct virtual_truth before, after;
    *result = (struct study_result){0};
    for (int round = 0; round < 4; round++) {
        int setup = round % 2 == 0 ? 1 : 2;
        build(&study, setup, round == 0);
        if (round == 0) {
            describe(&study);
        }
        read_tie(&study);
        two_holds(&study);
        virtual_rig_truth(study.rig, round == 0 ? &before : &after);
        if (round == 1) {
            result->true_difference_mm = after.setup_height_mm[0] - before.setup_height_mm[0];
        }
    }
    const struct session_record *record = session_records(study.session);
    const struct analysis *analysis = session_analysis(study.session);
    struct bike_points first, second;
    require(bike_forward(&record->setup[session_record_setup(record, 1)].bike, &first, NULL),
            "the bike", "values are missing");
    require(bike_forward(&record->setup[session_record_setup(record, 2)].bike, &second, NULL),
            "the bike", "values are missing");
    result->bars_mm = second.pad.y_mm - first.pad.y_mm;
    for (int b = 0; b < record->build_count; b++) {
        result->alarm = result->alarm || analysis->tie[b][0].alarm;
    }
    const struct setup_difference *difference =
        &analysis->free_heights[0].difference[session_record_setup(record, 2)];
    result->judged = difference->has_interval;
    result->verdict = difference->verdict;
    result->difference_mm = difference->difference;
    result->low_mm = difference->low;
    result->high_mm = difference->high;
    session_destroy(study.session);
    decoder_destroy(study.decoder);
    virtual_rig_destroy(study.rig);
}

void study_count(struct study_tally *tally, const struct study_result *result)
{
    double error_mm = result->difference_mm - result->true_difference_mm;
    tally->sessions++;
    tally->alarms += result->alarm;
    tally->true_sum_mm += result->true_difference_mm;
    tally->bars_sum_mm += result->bars_mm;
    if (!result->judged) {
        tally->not_judged++;
        return;
    }
    tally->lower += result->verdict == VERDICT_LOWER;
    tally->higher += result->verdict == VERDICT_HIGHER;
    tally->other += result->verdict != VERDICT_LOWER && result->verdict != VERDICT_HIGHER;
    tally->covered += result->low_mm <= result->true_difference_mm &&
                      result->true_difference_mm <= result->high_mm;
    tally->sum_mm += error_mm;
    tally->square_sum_mm += error_mm * error_mm;
    tally->largest_mm = fmax(tally->largest_mm, fabs(error_mm));
}
