/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/options.h"
#include "app/run_lines.h"
#include "app/standard_output.h"
#include "base/text.h"
#include "record/typed.h"
#include "report/report.h"
#include "session/session.h"

#include <getopt.h>
#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* holdline drag: a day of runs without a session on the trainer. The same lines as a script's, and
 * nothing is stored. */

struct day {
    double mass_kg, length_m, rise_m, rolling, matters_m2;
    const char *course, *air, *air_at_end, *wind, *speed, *laps, *line, *other_line;
    bool indoors, json;
    struct session *session;
};

static const struct option_row option_rows[] = {
    {"mass", OPTION_TYPED, OPTION_INTO(day, mass_kg), .typed = TYPED_MASS},
    {"course", OPTION_TEXT, OPTION_INTO(day, course)},
    {"length", OPTION_TYPED, OPTION_INTO(day, length_m), .typed = TYPED_COURSE_LENGTH},
    {"rise", OPTION_TYPED, OPTION_INTO(day, rise_m), .typed = TYPED_COURSE_RISE},
    {"indoors", OPTION_YES, OPTION_INTO(day, indoors)},
    {"rolling", OPTION_TYPED, OPTION_INTO(day, rolling), .typed = TYPED_ROLLING},
    {"air", OPTION_TEXT, OPTION_INTO(day, air)},
    {"air-at-end", OPTION_TEXT, OPTION_INTO(day, air_at_end)},
    {"wind", OPTION_TEXT, OPTION_INTO(day, wind)},
    {"speed", OPTION_TEXT, OPTION_INTO(day, speed)},
    {"laps", OPTION_TEXT, OPTION_INTO(day, laps)},
    {"line", OPTION_TEXT, OPTION_INTO(day, line)},
    {"other-line", OPTION_TEXT, OPTION_INTO(day, other_line)},
    {"matters", OPTION_TYPED, OPTION_INTO(day, matters_m2), .typed = TYPED_MATTERS_DRAG},
    {"json", OPTION_YES, OPTION_INTO(day, json)},
};

static bool do_line(void *context, const char *line, struct problem *problem)
{
    const struct day *day = context;
    return session_command(day->session, line, problem);
}

static bool do_air(struct day *day, const char *air, struct problem *problem)
{
    char line[COMMAND_TEXT_SIZE];
    snprintf(line, sizeof line, "air %.200s%s%.40s", air, day->wind != NULL ? " wind=" : "",
             day->wind != NULL ? day->wind : "");
    return do_line(day, line, problem);
}

/* What a session asks about is told here, and taken: a command waits for no answer. */
static bool do_mass(struct day *day, struct problem *problem)
{
    struct problem question = {PROBLEM_NONE, ""};
    char line[COMMAND_TEXT_SIZE], number[40];
    text_from_double_shortest(number, sizeof number, day->mass_kg);
    snprintf(line, sizeof line, "mass %s", number);
    if (do_line(day, line, &question)) {
        return true;
    }
    char *sure = strstr(question.sentence, PROBLEM_SURE);
    if (sure == NULL) {
        *problem = question;
        return false;
    }
    *sure = '\0';
    text_print(stderr, "holdline: %s\n", question.sentence);
    snprintf(line, sizeof line, "mass %s sure=yes", number);
    return do_line(day, line, problem);
}

static bool describe(struct day *day, struct problem *problem)
{
    char line[COMMAND_TEXT_SIZE], number[40];
    size_t used = 0;
    if (day->course == NULL || isnan(day->mass_kg) || day->air == NULL) {
        return problem_usage(problem, "drag: --mass, --course and --air are needed; 'holdline drag "
                                      "--help' says what they take");
    }
    if (!do_mass(day, problem)) {
        return false;
    }
    text_append(line, sizeof line, &used, "course %.40s indoors=%s", day->course,
                day->indoors ? "yes" : "no");
    if (isfinite(day->length_m)) {
        text_from_double_shortest(number, sizeof number, day->length_m);
        text_append(line, sizeof line, &used, " length=%s", number);
    }
    if (isfinite(day->rise_m)) {
        text_from_double_shortest(number, sizeof number, day->rise_m);
        text_append(line, sizeof line, &used, " rise=%s", number);
    }
    if (isfinite(day->rolling)) {
        text_from_double_shortest(number, sizeof number, day->rolling);
        text_append(line, sizeof line, &used, " rolling=%s", number);
    }
    if (!do_line(day, line, problem)) {
        return false;
    }
    text_from_double_shortest(number, sizeof number,
                              isfinite(day->matters_m2) ? day->matters_m2 : 1);
    snprintf(line, sizeof line, "matters drag=%s", number);
    return (isnan(day->matters_m2) || do_line(day, line, problem)) &&
           do_air(day, day->air, problem);
}

/* '2=b1.csv', '2=b1.csv@14:10', 'steps=c.csv': setup, file, and when it began. */
struct ride_word {
    int setup;                   /* 0: of steps, which need none */
    bool steps;                  /* of speed, for rolling resistance */
    char file[WORD_SIZE], at[8]; /* "": not said */
};

static bool is_clock(const char *text)
{
    return strlen(text) < sizeof((struct ride_word *)0)->at && strchr(text, ':') != NULL &&
           strspn(text, "0123456789:") == strlen(text);
}

static bool read_ride_word(const char *word, struct ride_word *ride, struct problem *problem)
{
    char number[8] = "";
    const char *equals = strchr(word, '=');
    size_t length = equals != NULL ? (size_t)(equals - word) : 0;
    if (length > 0 && length < sizeof number) {
        memcpy(number, word, length);
    }
    *ride = (struct ride_word){0};
    ride->steps = text_equal(number, "steps");
    if ((!ride->steps && !typed_whole(number, TYPED_SETUP, &ride->setup)) ||
        strlen(word) >= WORD_SIZE) {
        return problem_usage(problem, "drag: '%.100s' is no SETUP=FILE, such as 2=b1.csv", word);
    }
    text_copy(ride->file, sizeof ride->file, equals + 1);
    char *at = strrchr(ride->file, '@');
    if (at != NULL && is_clock(at + 1)) {
        text_copy(ride->at, sizeof ride->at, at + 1);
        *at = '\0';
    }
    return true;
}

static bool know_setup(struct day *day, int setup, struct problem *problem)
{
    char line[24];
    snprintf(line, sizeof line, "setup %d", setup);
    return session_record_setup(session_records(day->session), setup) >= 0 ||
           do_line(day, line, problem);
}

static bool ride(struct day *day, const char *word, struct problem *problem)
{
    char line[COMMAND_TEXT_SIZE], quoted[2 * WORD_SIZE];
    size_t used = 0;
    struct words words;
    struct ride_word of = {0};
    if (!read_ride_word(word, &of, problem)) {
        return false;
    }
    if (!of.steps && !know_setup(day, of.setup, problem)) {
        return false;
    }
    if (of.steps) {
        text_append(line, sizeof line, &used, "run steps=yes");
    } else {
        text_append(line, sizeof line, &used, "run setup=%d", of.setup);
    }
    const struct {
        const char *key, *value;
    } said[] = {{"from", of.file},     {"at", of.at[0] != '\0' ? of.at : NULL},
                {"speed", day->speed}, {"laps", day->laps},
                {"line", day->line},   {"other_line", day->other_line}};
    for (size_t i = 0; i < sizeof said / sizeof said[0]; i++) {
        if (said[i].value != NULL) {
            words_quote(quoted, sizeof quoted, said[i].value);
            text_append(line, sizeof line, &used, " %s=%s", said[i].key, quoted);
        }
    }
    if (!words_split(line, &words, problem)) {
        return false;
    }
    struct run_lines *lines =
        run_lines_read(&words, &session_records(day->session)->drag, NULL, problem);
    bool done = lines != NULL && run_lines_follow(lines, do_line, day, problem);
    if (done && run_lines_passed_over(lines)[0] != '\0') {
        text_print(stderr, "%s: passed over: %s\n", of.file, run_lines_passed_over(lines));
    }
    run_lines_close(lines);
    return done;
}

static bool tell(const struct day *day, struct problem *problem)
{
    const struct report_input input = {.record = session_records(day->session),
                                       .analysis = session_analysis(day->session)};
    return day->json ? report_drag_json(stdout, &input, problem)
                     : report_drag_text(stdout, &input, standard_output_width(), problem);
}

static bool ride_all(struct day *day, int count, char **words, struct problem *problem)
{
    bool done = describe(day, problem);
    if (done && count == 0) {
        return problem_usage(problem, "drag: name the rides, each as SETUP=FILE, in their order");
    }
    struct ride_word first = {0};
    for (int i = 0; done && i < count && first.setup == 0; i++) {
        done = read_ride_word(words[i], &first, problem);
    }
    done = done && know_setup(day, first.setup > 0 ? first.setup : 1, problem);
    for (int i = 0; done && i < count; i++) {
        done = ride(day, words[i], problem);
    }
    return done && (day->air_at_end == NULL || do_air(day, day->air_at_end, problem));
}

static int run(int argc, char **argv)
{
    struct problem problem = {PROBLEM_NONE, ""};
    const struct session_origin origin = {0, 0};
    struct day day = {
        .mass_kg = NAN, .length_m = NAN, .rise_m = NAN, .rolling = NAN, .matters_m2 = NAN};
    const struct option_set sets[] = {OPTION_SET(option_rows, &day), {NULL, 0, NULL}};
    if (!options_read(sets, argc, argv, &problem)) {
        return command_fail(&problem);
    }
    day.session = session_create(&origin, NULL, NULL);
    bool done = day.session != NULL
                    ? ride_all(&day, argc - optind, &argv[optind], &problem) && tell(&day, &problem)
                    : problem_set(&problem, "no memory for a day of runs");
    session_destroy(day.session);
    done = done && standard_output_end(&problem);
    return done ? EXIT_SUCCESS : command_fail(&problem);
}

const struct command command_drag_day = {
    .name = "drag",
    .summary = "drag of setups from rides over one course, without a session",
    .usage =
        "holdline drag --mass KG --course KIND --air LIST [options] SETUP=FILE[@TIME]...\n"
        "Reads rides with power and speed (tables of text, GPX 1.1), each of one setup over the "
        "same\n"
        "course, in the order ridden, and says which setup had less drag, and how sure that is: "
        "at\n"
        "least four runs of each. Nothing is stored; in a session or a script the same is 'run'.\n"
        "  --mass KG          rider, bike and all on it\n"
        "  --course KIND      laps, or out_and_back\n"
        "  --length M         of a lap, or of one way\n"
        "  --rise M           out and back: where the way out ends over where it begins\n"
        "  --indoors          no wind\n"
        "  @TIME              when a ride began, where its file doesn't say: 2=b1.csv@14:10\n"
        "  --air LIST         at the start, as '20C 1007hPa 50%'; the pressure where you ride;\n"
        "                     with 'at=14:05' behind it, and times of all rides, it goes by them\n"
        "  --air-at-end LIST  and at the end\n"
        "  --wind SPEED       how much there was, on laps in the open: 0.5m/s\n"
        "  --speed SOURCE     wheel or satellites, where the files don't say\n"
        "  --laps RANGE       of each ride only these, as 2..7\n"
        "  --line PLACE       laps, or ways, begin where this line is crossed: 47.1234,8.4567,90, "
        "its\n"
        "                     latitude, longitude and the direction of travel over it\n"
        "  --other-line PLACE out and back: the line at the other end\n"
        "  --rolling NUMBER   coefficient of rolling resistance; else by steps, else 0.004\n"
        "  steps=FILE         a ride in steps of speed, slow to fast, for rolling resistance\n"
        "  --matters M2       the smallest difference that matters; 0.005 unless said\n"
        "  --json             for programs\n",
    .run = run,
};
