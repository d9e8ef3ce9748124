/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Who, which bike, when; and what has to be looked at before the numbers are believed. */
#include "analysis/far_level.h"
#include "base/language.h"
#include "base/text.h"
#include "report/digest.h"
#include "report/sections.h"
#include "report/sheet.h"
#include "say/setup.h"
#include "say/slip.h"

#include <math.h>
#include <string.h>

static void rider_line(struct paper *paper, const struct session_record *record)
{
    const struct rider_record *rider = &record->rider;
    const char *gap = rider->code[0] != '\0' && rider->name[0] != '\0' ? "  " : "";
    if (!record->has_rider) {
        paper_line(paper, "%s", T_("Rider not named"));
        return;
    }
    paper_line(paper, "%s%s%s", rider->code, gap, rider->name);
}

static void bike_line(struct paper *paper, const struct session_record *record)
{
    char text[1024], number[32];
    size_t used = 0;
    if (!record->has_bike) {
        paper_line(paper, "Bike not named");
        return;
    }
    text_append(text, sizeof text, &used, "%s",
                record->bike.name[0] != '\0' ? record->bike.name : "Bike without a name");
    for (int key = 0, named = 0; key < BIKE_KEYS; key++) {
        double value = record->bike.frame.value[key];
        if (bike_fields[key].scope == BIKE_SCOPE_FRAME && isfinite(value)) {
            digest_measure(number, sizeof number, value, bike_fields[key].unit);
            text_append(text, sizeof text, &used, "%s%s %s", named++ == 0 ? ": " : ", ",
                        bike_fields[key].words, number);
        }
    }
    paper_line(paper, "%s", text);
}

static const char *plural(int count)
{
    return count == 1 ? "" : "s";
}

/* '12 holds', '8 runs', '12 holds and 8 runs'. */
static void ridden(const struct session_record *record, char *text, size_t size)
{
    size_t used = 0;
    bool holds = record->hold_count > 0 || record->run_count == 0;
    text_copy(text, size, "");
    char of_holds[64], of_runs[64];
    snprintf(of_holds, sizeof of_holds, P_("%d hold", "%d holds", record->hold_count),
             record->hold_count);
    snprintf(of_runs, sizeof of_runs, P_("%d run", "%d runs", record->run_count),
             record->run_count);
    if (holds && record->run_count > 0) {
        text_append(text, size, &used, C_("list", "%s and %s"), of_holds, of_runs);
    } else {
        text_append(text, size, &used, "%s", holds ? of_holds : of_runs);
    }
}

/* Those with a hold or a run; of an earlier session some are only known. */
static int setups_tried(const struct session_record *record)
{
    bool tried[SETUPS_MAX] = {false};
    int count = 0;
    for (int i = 0; i < record->hold_count; i++) {
        tried[record->build[record->hold[i].build].setup] = true;
    }
    for (int i = 0; i < record->run_count; i++) {
        tried[record->run[i].setup] = true;
    }
    for (int i = 0; i < record->setup_count; i++) {
        count += tried[i] ? 1 : 0;
    }
    return count;
}

bool section_heading(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    const struct session_record *record = input->record;
    char date[64], length[64], all[160], known[48] = "";
    (void)problem;
    say_date(date, sizeof date, record->started_ms);
    say_duration(length, sizeof length, (double)record->last_time_us / 1e6);
    rider_line(paper, record);
    if (record->has_rider && record->rider.watch_for[0] != '\0') {
        paper_line(paper, "Watch for: %s", record->rider.watch_for);
    }
    bike_line(paper, record);
    ridden(record, all, sizeof all);
    int tried = setups_tried(record);
    if (tried > 0 && tried < record->setup_count) { /* the others are known of an earlier visit */
        snprintf(known, sizeof known, " tried of %d known", record->setup_count);
    } else {
        tried = record->setup_count;
    }
    paper_line(paper, "%s, %s: %d setup%s%s, %d build%s, %s", date, length, tried, plural(tried),
               known, record->build_count, plural(record->build_count), all);
    return true;
}

bool sheet_heading(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    const struct session_record *record = input->record;
    char date[64], all[160], bike[NAME_SIZE + 8] = "", place[sizeof bike + sizeof date];
    if (!paper_picture(paper, PICTURE_BESIDE, input->mark, problem)) {
        return false;
    }
    digest_day(input, date, sizeof date);
    if (record->has_bike && record->bike.name[0] != '\0') {
        snprintf(bike, sizeof bike, "%s, ", record->bike.name);
    }
    if (input->fitter != NULL && input->fitter[0] != '\0') {
        paper_line(paper, "%s", input->fitter);
    }
    rider_line(paper, record);
    ridden(record, all, sizeof all);
    int tried = setups_tried(record);
    snprintf(place, sizeof place, "%s%s", bike, date);
    if (tried == 0) {
        paper_line(paper, "%s", place);
        return true;
    }
    paper_line(paper, P_("%s: %d setup tried in %s", "%s: %d setups tried in %s", tried), place,
               tried, all);
    return true;
}

/* The list begins with its title once there is something in it. */
static void point_out(struct paper *paper, int *count, const char *text)
{
    if ((*count)++ == 0) {
        paper_title(paper, "Look at this first");
    }
    paper_item(paper, "%s", text);
}

static void sight_and_numbness(struct paper *paper, const struct report_input *input, int *count)
{
    char text[2 * SAY_SIZE], numb[SAY_SIZE];
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        struct setup_digest digest;
        int number = input->record->setup[setup].number;
        digest_setup(input, setup, &digest);
        if (setup_sight_failed(input->record, setup)) {
            snprintf(text, sizeof text, "Setup %d %s", number, say_failed(SAY_FAILED_ATTENTION));
            point_out(paper, count, text);
        }
        if (digest_numb_text(&digest, true, numb, sizeof numb)) {
            char words[SAY_SIZE];
            say_numb(words, sizeof words, SAY_NUMB_ATTENTION, numb);
            snprintf(text, sizeof text, "Setup %d: %s", number, words);
            point_out(paper, count, text);
        }
    }
}

/* Number of the last hold that had ended by then; 0 = none had. */
static int hold_before(const struct session_record *record, int64_t sample)
{
    int number = 0;
    for (int hold = 0; hold < record->hold_count; hold++) {
        const struct capture_record *capture = &record->capture[record->hold[hold].capture];
        if (capture->last_sample > 0 && capture->last_sample <= sample) {
            number = record->hold[hold].number;
        }
    }
    return number;
}

/* What was decided or mended when results were already there: nobody must have to find it in the
 * log. */
static void changed_after_holds(struct paper *paper, const struct report_input *input, int *count)
{
    static const struct {
        const char *start, *words;
    } late[] = {
        {"matters ", "What matters was changed"},
        {"baseline ", "What is compared against was changed"},
        {"correct ", "A setup's values were corrected"},
        {"belongs ", "A build was given to another setup"},
    };
    char text[2 * SAY_SIZE];
    for (size_t i = 0; i < input->command_count; i++) {
        const struct command_record *command = &input->commands[i];
        int hold = hold_before(input->record, command->after_sample);
        for (size_t k = 0; hold > 0 && k < sizeof late / sizeof late[0]; k++) {
            if (text_starts_with(command->text, late[k].start)) {
                snprintf(text, sizeof text,
                         "%s after hold %d ('%.200s'); everything here follows it.", late[k].words,
                         hold, command->text);
                point_out(paper, count, text);
            }
        }
    }
}

static const char *full_stop(const char *sentence)
{
    size_t length = strlen(sentence);
    bool ended = length > 0 && strchr(".?!", sentence[length - 1]) != NULL;
    return ended ? "" : ".";
}

static void ties_at_fault(struct paper *paper, const struct report_input *input, int *count)
{
    const struct session_record *record = input->record;
    char text[2 * SAY_SIZE];
    for (int build = 0; build < record->build_count; build++) {
        const struct placing_record *placing = digest_placing(input, build);
        int number = record->setup[record->build[build].setup].number;
        for (int channel = 0; placing != NULL && channel < placing->channel_count; channel++) {
            const struct tie *tie = &input->analysis->tie[build][channel];
            const char *name = placing->channel[channel].name;
            if (placing->channel[channel].role != ROLE_BODY) {
                continue;
            }
            char found[SAY_SIZE];
            say_tie_finding(found, sizeof found, tie, name);
            if (tie->kind == TIE_NONE) {
                snprintf(text, sizeof text, "Setup %d, build %d: height of %s NOT TIED%s%s%s",
                         number, record->build[build].ordinal, name, found[0] != '\0' ? ": " : "",
                         found, full_stop(found));
                point_out(paper, count, text);
            } else if (tie->alarm) {
                snprintf(text, sizeof text, "Setup %d, build %d, %s: %s%s", number,
                         record->build[build].ordinal, name, found, full_stop(found));
                point_out(paper, count, text);
            }
        }
    }
}

/* Questions that are open: until they are answered nothing is said of the channel's heights. */
static void sensors_in_question(struct paper *paper, const struct report_input *input, int *count)
{
    char text[SAY_SIZE];
    say_slip(text, sizeof text, input->record, input->analysis);
    if (text[0] != '\0') {
        point_out(paper, count, text);
    }
    for (int c = 0; c < input->analysis->channel_count; c++) {
        if (input->analysis->step_open[c] > 0) {
            say_step_open(text, sizeof text, input->analysis, c);
            point_out(paper, count, text);
        }
    }
}

/* Every hold of each channel that is hardly the rider's: a difference follows from each. The first
 * in full, the others by how far they are off. */
static void far_levels(struct paper *paper, const struct report_input *input, int *count)
{
    char text[8 * SAY_SIZE], words[SAY_SIZE], by[64];
    struct far_level far;
    for (int c = 0; c < input->analysis->channel_count; c++) {
        size_t used = 0;
        int told = 0;
        for (int h = 0; h < input->record->hold_count; h++) {
            const int number = input->record->hold[h].number;
            if (!far_level_of(input->record, input->analysis, h, c, &far)) {
                continue;
            }
            if (told++ == 0) {
                say_far_level(words, sizeof words, input->record, input->analysis, h, c);
                text_append(text, sizeof text, &used, "Hold %d: %s Leave it out where not.", number,
                            words);
            } else {
                say_signed(by, sizeof by, far.by_mm, 0);
                text_append(text, sizeof text, &used, "%s hold %d (%s mm)",
                            told == 2 ? " Likewise" : ",", number, by);
            }
        }
        if (told > 0) {
            text_append(text, sizeof text, &used, "%s", told > 1 ? "." : "");
            point_out(paper, count, text);
        }
    }
}

bool section_attention(struct paper *paper, const struct report_input *input,
                       struct problem *problem)
{
    int count = 0;
    (void)problem;
    sight_and_numbness(paper, input, &count);
    changed_after_holds(paper, input, &count);
    ties_at_fault(paper, input, &count);
    sensors_in_question(paper, input, &count);
    far_levels(paper, input, &count);
    if (!input->record->ended) {
        point_out(paper, &count,
                  "The session has not been ended: it is still going on, or was cut short.");
    }
    return true;
}
