/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/loaded_session.h"
#include "app/options.h"
#include "app/place_input.h"
#include "app/standard_output.h"
#include "base/nearest.h"
#include "base/text.h"
#include "base/words.h"
#include "measure/rules.h"
#include "report/place.h"

#include <getopt.h>
#include <langinfo.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* holdline place: parts to coordinates, coordinates to parts. */

/* What was asked for. */
struct wanted {
    const char *file, *session, *store, *to_file, *parts_file, *svg;
    int setup, from, to_setup, best;
    bool has_at, has_values, json, replace, ascii, drawing;
    struct place_goal goal;
    struct bike_values values;  /* key=value on the command line */
    struct bike_limits limits;  /* --limit on the command line */
    struct parts_at_hand parts; /* with all limits that hold */
};

/* What was found, all in one place since records are large. */
struct found {
    struct session_record record, other;
    struct bike_values bike, before, first, target_bike;
    char name[512], before_name[512], target_name[512], note[256];
    struct place_search search;
    struct side_sensor sensor[PLACE_SENSORS_MAX];
    struct place_report report;
};

/* '470,610' */
static bool read_point(const char *text, struct point *point, struct problem *problem)
{
    double numbers[2];
    int count = 0;
    if (!number_list_read(text, numbers, 2, &count, NULL) || count != 2) {
        return problem_usage(problem, "--at=%s: say forward,up in mm, as 470,610", text);
    }
    *point = (struct point){numbers[0], numbers[1]};
    if (!(fabs(point->x_mm) <= 2000.0) || !(fabs(point->y_mm) <= 2000.0)) {
        return problem_usage(problem, "--at=%s: within 2000 mm of the bottom bracket, forward,up",
                             text);
    }
    return true;
}

static bool take_at(void *of, const char *text, struct problem *problem)
{
    struct wanted *wanted = of;
    wanted->has_at = true;
    return read_point(text, &wanted->goal.target, problem);
}

static bool take_limit(void *of, const char *text, struct problem *problem)
{
    return bike_limits_read_word(&((struct wanted *)of)->limits, text, problem);
}

#define NUMBER_OF(member) OPTION_WHOLE, OPTION_INTO(wanted, member), 1, 1000000
static const struct option_row option_rows[] = {
    {"session", OPTION_TEXT, OPTION_INTO(wanted, session)},
    {"store", OPTION_TEXT, OPTION_INTO(wanted, store)},
    {"setup", NUMBER_OF(setup)},
    {"from", NUMBER_OF(from)},
    {"at", OPTION_OWN, .take = take_at},
    {"to", OPTION_TEXT, OPTION_INTO(wanted, to_file)},
    {"to-setup", NUMBER_OF(to_setup)},
    {"parts", OPTION_TEXT, OPTION_INTO(wanted, parts_file)},
    {"limit", OPTION_OWN, .take = take_limit},
    {"best", OPTION_WHOLE, OPTION_INTO(wanted, best), 1, PROPOSALS_MAX},
    {"change-cost", OPTION_NUMBER, OPTION_INTO(wanted, goal.change_cost), 0, 100,
     "a number of mm from 0 to 100"},
    {"json", OPTION_YES, OPTION_INTO(wanted, json)},
    {"svg", OPTION_TEXT, OPTION_INTO(wanted, svg)},
    {"replace", OPTION_YES, OPTION_INTO(wanted, replace)},
    {"ascii", OPTION_YES, OPTION_INTO(wanted, ascii)},
    {"no-drawing", OPTION_NO, OPTION_INTO(wanted, drawing)},
};

/* FILE or key=value. */
static bool read_word(struct wanted *wanted, const char *word, struct problem *problem)
{
    const char *equals = strchr(word, '=');
    if (equals == NULL) {
        if (wanted->file != NULL) {
            return problem_usage(problem,
                                 "place: one bike at a time ('%s' and '%s'); --to names another",
                                 wanted->file, word);
        }
        wanted->file = word;
        return true;
    }
    char key[64];
    size_t length = (size_t)(equals - word);
    text_copy(key, sizeof key, word);
    if (length < sizeof key) {
        key[length] = '\0';
    }
    int index = bike_key_find(key);
    double value;
    if (index < 0) {
        char meant[NEAREST_TEXT_SIZE];
        return problem_usage(problem, "place: a bike has no measure '%s'%s", key,
                             bike_key_meant(key, meant, sizeof meant));
    }
    if (!words_number(equals + 1, bike_fields[index].unit, &value, problem)) {
        return problem_prefix(problem, "%s", key);
    }
    wanted->has_values = true;
    wanted->values.value[index] = value;
    return bike_value_check(index, value, problem);
}

static bool read_arguments(struct wanted *wanted, int argc, char **argv, struct problem *problem)
{
    *wanted = (struct wanted){.best = PLACE_PROPOSALS, .drawing = true};
    wanted->goal.weight_x_mm = wanted->goal.weight_y_mm = PLACE_WEIGHT_MM;
    wanted->goal.change_cost = PLACE_CHANGE_COST;
    bike_values_clear(&wanted->values);
    bike_limits_clear(&wanted->limits);
    parts_clear(&wanted->parts);
    const struct option_set sets[] = {OPTION_SET(option_rows, wanted), {NULL, 0, NULL}};
    if (!options_read(sets, argc, argv, problem)) {
        return false;
    }
    for (int i = optind; i < argc; i++) {
        if (!read_word(wanted, argv[i], problem)) {
            return false;
        }
    }
    if (wanted->file != NULL && wanted->session != NULL) {
        return problem_usage(problem, "place: a file or a stored session, not both");
    }
    if (wanted->file == NULL && wanted->session == NULL && !wanted->has_values) {
        return problem_usage(problem, "place: say a bike: a script's file, --session, or stack=... "
                                      "reach=... and so on ('holdline place --help')");
    }
    if (wanted->has_at && wanted->to_file != NULL) {
        return problem_usage(problem, "place: --at or --to, not both");
    }
    if (wanted->from > 0 && (wanted->has_at || wanted->to_file != NULL)) {
        return problem_usage(problem, "place: --from goes with neither --at nor --to");
    }
    bool searches = wanted->has_at || wanted->to_file != NULL;
    if (wanted->parts_file != NULL && !searches) {
        return problem_usage(problem, "place: --parts needs a place to look for: --at or --to");
    }
    return true;
}

static bool open_session(const struct wanted *wanted, struct session_record *record,
                         struct problem *problem)
{
    struct loaded_session *loaded = loaded_session_open(wanted->store, wanted->session, problem);
    if (loaded == NULL) {
        return false;
    }
    *record = *loaded_session_input(loaded)->record;
    loaded_session_close(loaded);
    return true;
}

/* The sensors of the first placing, and the bike they were placed on. */
static void take_sensors(struct found *found)
{
    const struct session_record *record = &found->record;
    found->report.first = NULL;
    if (record->placing_count == 0) {
        return;
    }
    const struct placing_record *placing = &record->placing[0];
    for (int i = 0; i < placing->channel_count; i++) {
        if (placing->channel[i].mounted && found->report.sensor_count < PLACE_SENSORS_MAX) {
            found->sensor[found->report.sensor_count++] =
                (struct side_sensor){placing->channel[i].name, placing->channel[i].mount};
        }
    }
    found->report.sensors = found->sensor;
    for (int i = 0; i < record->build_count; i++) {
        if (record->build[i].placing == 0) {
            found->first = record->setup[record->build[i].setup].bike;
            found->report.first = &found->first;
            return;
        }
    }
    if (record->setup_count > 0) {
        found->first = record->setup[0].bike;
        found->report.first = &found->first;
    }
}

/* The bike asked about, and the one it is compared with. */
static bool find_bike(const struct wanted *wanted, struct found *found, struct problem *problem)
{
    struct place_report *report = &found->report;
    bool from_record = wanted->file != NULL || wanted->session != NULL;
    if (wanted->file != NULL && !place_read_script(wanted->file, &found->record, problem)) {
        return false;
    }
    if (wanted->session != NULL && !open_session(wanted, &found->record, problem)) {
        return false;
    }
    if (!from_record) {
        if (wanted->from > 0 || wanted->setup > 0) {
            return problem_usage(problem, "place: --setup and --from need a file or a session");
        }
        found->bike = wanted->values;
        text_copy(found->name, sizeof found->name, "the bike given");
        return true;
    }
    if (!place_setup(&found->record, wanted->setup, &found->bike, found->name, sizeof found->name,
                     problem)) {
        return false;
    }
    take_sensors(found);
    if (wanted->has_values) {
        found->before = found->bike;
        text_copy(found->before_name, sizeof found->before_name, found->name);
        size_t used = strlen(found->name);
        text_append(found->name, sizeof found->name, &used, " with changes");
        for (int i = 0; i < BIKE_KEYS; i++) {
            if (!isnan(wanted->values.value[i])) {
                found->bike.value[i] = wanted->values.value[i];
            }
        }
        report->before = &found->before;
        report->before_name = found->before_name;
    }
    if (wanted->from > 0) {
        report->before = &found->before;
        report->before_name = found->before_name;
        return place_setup(&found->record, wanted->from, &found->before, found->before_name,
                           sizeof found->before_name, problem);
    }
    return true;
}

/* Another bike: it becomes the one asked about, and this one's position the place wanted. */
static bool go_over(struct wanted *wanted, struct found *found, struct problem *problem)
{
    struct position position;
    if (!position_of(&found->bike, &position, problem)) {
        return problem_prefix(problem, "%s", found->name);
    }
    found->target_bike = found->bike;
    text_copy(found->target_name, sizeof found->target_name, found->name);
    if (!place_read_script(wanted->to_file, &found->other, problem) ||
        !place_setup(&found->other, wanted->to_setup, &found->bike, found->name, sizeof found->name,
                     problem)) {
        return false;
    }
    position_carry(&found->target_bike, &found->bike, found->note, sizeof found->note);
    wanted->goal.target = position.arms;
    found->report.target_name = found->target_name;
    found->report.carry_note = found->note;
    found->report.before_name = NULL;
    found->report.sensor_count = 0;
    found->report.first = NULL;
    return true;
}

/* Of the bike's own limits and those of the list of parts the tighter counts; what was typed takes
 * their place. */
static void gather_limits(struct wanted *wanted, const struct found *found)
{
    const struct session_record *bike = wanted->to_file != NULL ? &found->other : &found->record;
    bool has_record = wanted->file != NULL || wanted->session != NULL || wanted->to_file != NULL;
    if (has_record) {
        bike_limits_tighten(&wanted->parts.limits, &bike->limits);
    }
    bike_limits_add(&wanted->parts.limits, &wanted->limits);
}

static bool svg_body(FILE *stream, void *context, struct problem *problem)
{
    return place_svg(stream, context, problem);
}

#define DRAWING_ROWS 30
#define DRAWING_ROWS_LEAST 10
#define ROWS_BELOW 5 /* what the letters mean, and the shell's line */

/* The whole drawing stands on the terminal at once. */
static int drawing_rows(const struct wanted *wanted)
{
    int window = standard_output_rows();
    int rows =
        window > 0 && window - ROWS_BELOW < DRAWING_ROWS ? window - ROWS_BELOW : DRAWING_ROWS;
    return !wanted->drawing ? 0 : rows < DRAWING_ROWS_LEAST ? DRAWING_ROWS_LEAST : rows;
}

static bool place(struct wanted *wanted, struct found *found, struct problem *problem)
{
    struct place_report *report = &found->report;
    bool searches = wanted->has_at || wanted->to_file != NULL;
    report->bike = &found->bike;
    report->name = found->name;
    report->limits = &wanted->parts.limits;
    if (wanted->parts_file != NULL &&
        !place_read_parts(wanted->parts_file, &wanted->parts, problem)) {
        return false;
    }
    if (!find_bike(wanted, found, problem) ||
        (wanted->to_file != NULL && !go_over(wanted, found, problem))) {
        return false;
    }
    gather_limits(wanted, found);
    if (searches) {
        if (!place_find(&found->bike, &wanted->parts, &wanted->goal, wanted->best, &found->search,
                        problem)) {
            return problem_prefix(problem, "%s", found->name);
        }
        report->goal = &wanted->goal;
        report->search = &found->search;
    }
    const struct report_file picture = {.path = wanted->svg, .replace = wanted->replace};
    if (wanted->svg != NULL && !report_write_file(&picture, svg_body, report, problem)) {
        return false;
    }
    bool ascii = wanted->ascii || strcmp(nl_langinfo(CODESET), "UTF-8") != 0;
    return (wanted->json ? place_json(stdout, report, problem)
                         : place_text(stdout, report, standard_output_width(), drawing_rows(wanted),
                                      ascii, problem)) &&
           standard_output_end(problem);
}

static int run(int argc, char **argv)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct wanted *wanted = malloc(sizeof *wanted);
    struct found *found = calloc(1, sizeof *found);
    bool done = false;
    if (wanted == NULL || found == NULL) {
        problem_set(&problem, "no memory");
    } else {
        done = read_arguments(wanted, argc, argv, &problem) && place(wanted, found, &problem);
    }
    free(wanted);
    free(found);
    if (done) {
        return EXIT_SUCCESS;
    }
    return command_fail(&problem);
}

const struct command command_place = {
    .name = "place",
    .summary = "parts to coordinates, coordinates to parts, what to turn",
    .usage =
        "holdline place [FILE] [KEY=VALUE ...] [options]\n"
        "Where a bike's parts put bars, pads, extensions and saddle, in millimetres forward and up "
        "from\n"
        "the bottom bracket, with a side view to scale. The bike is a session script's (FILE: its "
        "bike,\n"
        "setup and sensor lines), a stored session's, or given as KEY=VALUE (stack=545 reach=410\n"
        "head_angle=73 spacers=20 stem_length=100 stem_angle=-6 ...; docs/place.md has all keys).\n"
        "KEY=VALUE behind a FILE changes its bike: what to turn, and how far the sensors move.\n"
        "  --session S       a stored session ('holdline list'); --store FILE\n"
        "  --setup N         its setup N (else the last)\n"
        "  --from N          what to turn from setup N to that one\n"
        "  --at FORWARD,UP   which combinations of parts come nearest with the pads (without pads: "
        "the\n"
        "                    bar clamp)\n"
        "  --to FILE         the same for this position on another bike; --to-setup N\n"
        "  --parts FILE      parts at hand (docs/place.md)\n"
        "  --limit KEY=MAX   a limit from the makers' papers, in place of the script's or the "
        "session's;\n"
        "                    no proposal passes one (may be repeated)\n"
        "  --best N          so many proposals (5)\n"
        "  --change-cost MM  what one more part to change counts, in mm of error (0.1)\n"
        "  --svg FILE        the side view as SVG, 1:5; --replace overwrites it\n"
        "  --json            for programs\n"
        "  --ascii, --no-drawing\n",
    .run = run,
};
