/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/plan_report.h"

#include "base/json.h"
#include "base/text.h"
#include "measure/rules.h"
#include "report/table.h"
#include "say/plan.h"
#include "say/say.h"

#include <math.h>
#include <string.h>

/* ---- what there is to choose from --------------------------------------------------------------
 */

static void look_for_fewer(const struct plan_input *input, struct plan_answer *answer)
{
    struct plan_input fewer = *input;
    for (fewer.setups = input->setups - 1; fewer.setups >= 2; fewer.setups--) {
        struct plan plan;
        if (plan_choose(&fewer, &plan) == MEASURE_OK) {
            answer->fewer_setups = fewer.setups;
            answer->fewer_minutes = plan.minutes;
            return;
        }
    }
}

/* How long a hold is to be, where that is not said. Rows: by what a live session goes by. */
static bool choose_length(struct plan_input *input, struct plan_holds *holds,
                          struct problem *problem)
{
    struct plan plan;
    input->times.hold_min = holds->hold_s / 60.0;
    if (input->order != PLAN_ROWS) {
        holds->holds = PLAN_ROUNDS_MAX;
        return true;
    }
    enum measure_status status = plan_choose_holds(input, plan_usual_holds(), holds, &plan);
    if (status == MEASURE_NO_MEMORY) {
        return problem_set(problem, "no memory for a plan");
    }
    input->hold_sd_mm = plan_hold_sd_mm(input->hold_sd_mm, PLAN_HOLD_S, holds->hold_s);
    input->times.hold_min = holds->hold_s / 60.0;
    return true;
}

bool plan_answer_make(const struct plan_input *input, struct plan_answer *answer,
                      struct problem *problem)
{
    answer->input = *input;
    answer->hold_sd_mm = input->hold_sd_mm;
    bool by_engine = isnan(input->times.hold_min);
    struct plan_holds engine = plan_usual_holds();
    if (by_engine && !choose_length(&answer->input, &engine, problem)) {
        return false;
    }
    input = &answer->input;
    answer->candidate_count = 0;
    answer->chosen = answer->well_enough = -1;
    answer->fewer_setups = 0;
    answer->fewer_minutes = NAN;
    for (int rounds = 1; rounds <= PLAN_ROUNDS_MAX; rounds++) {
        struct plan *plan = &answer->candidate[answer->candidate_count];
        enum measure_status status = plan_make(input, rounds, plan);
        if (status == MEASURE_NO_MEMORY) {
            return problem_set(problem, "no memory for a plan");
        }
        if (status != MEASURE_OK) {
            break;
        }
        bool enough = plan->power >= PLAN_POWER;
        bool better =
            answer->chosen < 0 || plan_is_better(plan, &answer->candidate[answer->chosen]);
        if (plan->fits && (by_engine && rounds > 1 ? rounds <= engine.holds : better)) {
            answer->chosen = answer->candidate_count;
        }
        if (enough && answer->well_enough < 0) {
            answer->well_enough = answer->candidate_count;
        }
        answer->candidate_count++;
        if (enough && (rounds >= PLAN_HOLDS_A_BUILD || input->order == PLAN_MIRROR)) {
            break;
        }
    }
    if (answer->candidate_count == 0) {
        return problem_usage(problem, "plan: %d setups are more than one session can hold",
                             input->setups);
    }
    if (answer->chosen < 0) {
        look_for_fewer(input, answer);
    }
    return true;
}

/* ---- text ---------------------------------------------------------------------------------------
 */

static void number_text(char text[32], double value)
{
    text_from_double_shortest(text, 32, value);
}

static bool choices_table(FILE *stream, const struct plan_answer *answer, int width,
                          struct problem *problem)
{
    bool rows = answer->input.order == PLAN_ROWS;
    const struct table_column columns[] = {
        {rows ? "holds a\nbuild" : "there\nand back", TABLE_RIGHT, false},
        {"holds", TABLE_RIGHT, false},
        {"builds", TABLE_RIGHT, false},
        {"minutes", TABLE_RIGHT, false},
        {"finds it\nin 100", TABLE_RIGHT, false},
        {"known to\n±mm", TABLE_RIGHT, false},
        {"80 in 100\nfrom mm", TABLE_RIGHT, false},
        {"order\nindex", TABLE_RIGHT, false},
        {"", TABLE_LEFT, false},
    };
    struct table *table = table_create(columns, 9);
    for (int i = 0; i < answer->candidate_count; i++) {
        const struct plan *plan = &answer->candidate[i];
        bool known = plan->df > 0;
        char text[64];
        table_cell_format(table, "%d", plan->rounds);
        table_cell_format(table, "%d", plan->holds);
        table_cell_format(table, "%d", plan->builds);
        say_whole(text, sizeof text, ceil(plan->minutes - 1e-9));
        table_cell(table, text);
        say_whole(text, sizeof text, known ? 100.0 * plan->power : (double)NAN);
        table_cell(table, text);
        say_number(text, sizeof text, known ? plan->half_width_mm : (double)NAN, 1);
        table_cell(table, text);
        say_number(text, sizeof text, known ? plan->detectable_mm : (double)NAN, 1);
        table_cell(table, text);
        say_number(text, sizeof text, plan->order_index, 2);
        table_cell(table, text);
        table_cell(table, i == answer->chosen ? "this one" : plan->fits ? "" : "too long");
    }
    bool done = table_write(table, stream, 2, width, problem);
    table_destroy(table);
    return done;
}

/* One line a build: when it begins, which setup, what is done. */
static bool order_table(FILE *stream, const struct plan_input *input, const struct plan *plan,
                        int width, struct problem *problem)
{
    static const struct table_column columns[] = {
        {"minute", TABLE_RIGHT, false}, {"setup", TABLE_RIGHT, false}, {"what", TABLE_LEFT, true}};
    struct table *table = table_create(columns, 3);
    const struct plan_times *times = &input->times;
    bool rated[PLAN_SETUPS_MAX] = {false};
    double minute = 0.0;
    for (int h = 0; h < plan->holds;) {
        int setup = plan->setup[h], holds = 1;
        while (h + holds < plan->holds && !plan->change[h + holds]) {
            holds++;
        }
        char begins[64];
        say_whole(begins, sizeof begins, floor(minute + 1e-9));
        table_cell(table, begins);
        table_cell_format(table, "%d", setup + 1);
        table_cell_format(table, "%s, ride in, %d %s%s", h == 0 ? "as it is" : "change the parts",
                          holds, holds == 1 ? "hold" : "holds", rated[setup] ? "" : ", rating");
        minute += plan_build_minutes(times, h > 0, holds, !rated[setup]);
        rated[setup] = true;
        h += holds;
    }
    bool done = table_write(table, stream, 2, width, problem);
    table_destroy(table);
    return done;
}

static void question_words(FILE *stream, const struct plan_answer *answer, int width)
{
    const struct plan_input *input = &answer->input;
    char difference[32], sd[32], tie[32], minutes[SAY_SIZE], length[64];
    say_duration(length, sizeof length, 60.0 * input->times.hold_min);
    number_text(difference, input->difference_mm);
    text_from_double(sd, sizeof sd, answer->hold_sd_mm, 1);
    number_text(tie, input->tie_mm);
    say_whole(minutes, sizeof minutes, input->minutes_left);
    title_write(stream, "How many holds, in which order");
    paragraph_format(stream, 0, 0, width,
                     "To find a difference of %s mm from the first of %d setups%s%s%s.", difference,
                     input->setups, isfinite(input->minutes_left) ? " in " : "",
                     isfinite(input->minutes_left) ? minutes : "",
                     isfinite(input->minutes_left) ? " minutes" : "");
    paragraph_format(stream, 0, 0, width,
                     "Hold to hold: SD %s mm, %s. Sensors: %s (±%s mm). Holds of %s.", sd,
                     answer->from, answer->tie_words, tie, length);
    fputc('\n', stream);
}

static void legend(FILE *stream, int width)
{
    fputc('\n', stream);
    paragraph_format(
        stream, 0, 0, width,
        "Finds it: in so many of 100 sessions 'lower' or 'higher' would be said of a setup that "
        "differs by that much, the worst known one among all. Known to: expected 95 %% limits of "
        "its "
        "difference. Order index: share of the riding order that lies between setups; near 0, what "
        "tiredness does can be taken out, over %.1f it can't.",
        ORDER_INDEX_MOST);
}

static void print_answer(FILE *stream, const struct plan_answer *answer, int width)
{
    const struct plan_input *input = &answer->input;
    char text[2 * SAY_SIZE];
    fputc('\n', stream);
    if (answer->chosen < 0) {
        say_plan_nothing(text, sizeof text, &answer->candidate[0], answer->fewer_setups,
                         answer->fewer_minutes);
        paragraph_format(stream, 0, 0, width, "%s", text);
        return;
    }
    const struct plan *plan = &answer->candidate[answer->chosen];
    say_plan_ride(text, sizeof text, input, plan);
    if (text[0] != '\0') {
        paragraph_format(stream, 0, 0, width, "%s", text);
    }
    if (plan->power < PLAN_POWER) {
        say_plan_enough(text, sizeof text, input,
                        answer->well_enough >= 0 ? &answer->candidate[answer->well_enough] : NULL);
        paragraph_format(stream, 0, 0, width, "%s", text);
    }
    fputc('\n', stream);
}

bool plan_answer_text(FILE *stream, const struct plan_answer *answer, int width,
                      struct problem *problem)
{
    question_words(stream, answer, width);
    if (!choices_table(stream, answer, width, problem)) {
        return false;
    }
    print_answer(stream, answer, width);
    if (answer->chosen >= 0 &&
        !order_table(stream, &answer->input, &answer->candidate[answer->chosen], width, problem)) {
        return false;
    }
    legend(stream, width);
    return !ferror(stream) || problem_set(problem, "the plan could not be written");
}

/* ---- JSON ---------------------------------------------------------------------------------------
 */

static void plan_object(struct json_writer *json, const struct plan *plan)
{
    bool known = plan->df > 0;
    json_object_begin(json);
    json_member_integer(json, "rounds", plan->rounds);
    json_member_integer(json, "holds", plan->holds);
    json_member_integer(json, "builds", plan->builds);
    json_member_number(json, "minutes", plan->minutes);
    json_member_boolean(json, "fits", plan->fits);
    json_member_if(json, "power", known, plan->power);
    json_member_if(json, "half_width_mm", known, plan->half_width_mm);
    json_member_if(json, "detectable_mm", known, plan->detectable_mm);
    json_member_integer(json, "df", plan->df);
    json_member_number(json, "order_index", plan->order_index);
    json_member_boolean(json, "order_fitted", plan->order_fitted);
    json_array_member(json, "setups");
    for (int h = 0; h < plan->holds; h++) {
        json_integer(json, plan->setup[h] + 1);
    }
    json_array_end(json);
    json_object_end(json);
}

bool plan_answer_json(FILE *stream, const struct plan_answer *answer, struct problem *problem)
{
    const struct plan_input *input = &answer->input;
    struct json_writer json;
    json_document_begin(&json, stream, true, "holdline-plan", 1);
    json_member_integer(&json, "setups", input->setups);
    json_member_string(&json, "order", input->order == PLAN_ROWS ? "rows" : "mirror");
    json_member_number(&json, "difference_mm", input->difference_mm);
    json_member_number(&json, "hold_sd_mm", answer->hold_sd_mm);
    json_member_string(&json, "hold_sd_from", answer->from);
    json_member_number(&json, "tie_mm", input->tie_mm);
    json_member_number(&json, "minutes_left", input->minutes_left);
    json_member_number(&json, "change_min", input->times.change_min);
    json_member_number(&json, "ride_in_min", input->times.ride_in_min);
    json_member_number(&json, "hold_min", input->times.hold_min);
    json_member_number(&json, "rating_min", input->times.rating_min);
    json_member_number(&json, "rest_min", input->times.rest_min);
    json_name(&json, "chosen");
    if (answer->chosen >= 0) {
        plan_object(&json, &answer->candidate[answer->chosen]);
    } else {
        json_null(&json);
    }
    json_array_member(&json, "plans");
    for (int i = 0; i < answer->candidate_count; i++) {
        plan_object(&json, &answer->candidate[i]);
    }
    json_array_end(&json);
    json_member_if(&json, "setups_that_would_fit", answer->fewer_setups > 0, answer->fewer_setups);
    json_object_end(&json);
    return !ferror(stream) || problem_set(problem, "the plan could not be written");
}
