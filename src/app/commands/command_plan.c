/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/loaded_session.h"
#include "app/plan_report.h"
#include "app/session_arguments.h"
#include "app/standard_output.h"
#include "base/text.h"
#include "bike/tie.h"
#include "measure/rules.h"
#include "say/say.h"

#include <getopt.h>
#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* holdline plan: how many holds, in which order, for a difference worth finding. */

enum {
    OPTION_QUICK = 256,
    OPTION_JSON,
    OPTION_FROM,
    OPTION_STORE,
    OPTION_TIE,
    OPTION_NUMBER, /* and one more for each row of numbers below */
};

struct wish {
    struct plan_input input;
    bool json;
    const char *from, *store_path;
    const char *tie_words;
    bool change_given, sd_given;
};

/* What is said as a number. */
struct number_option {
    const char *name, *unit;
    double low, high;
    size_t offset; /* of a double in struct wish */
};
#define AT(member) offsetof(struct wish, input.member)
static const struct number_option number_options[] = {
    {"difference", "mm", 0.5, 200, AT(difference_mm)},
    {"sd", "mm", 0.1, 100, AT(hold_sd_mm)},
    {"minutes", "minutes", 1, 1440, AT(minutes_left)},
    {"change", "minutes", 0, 120, AT(times.change_min)},
    {"ride-in", "minutes", 0, 120, AT(times.ride_in_min)},
    {"hold", "minutes", 0.25, 120, AT(times.hold_min)},
    {"rating", "minutes", 0, 120, AT(times.rating_min)},
    {"rest", "minutes", 0, 120, AT(times.rest_min)},
};
enum {
    NUMBER_DIFFERENCE,
    NUMBER_SD,
    NUMBER_MINUTES,
    NUMBER_CHANGE,
    NUMBERS = 8,
    NUMBER_SETUPS = 8
};

static bool take_number(struct wish *wish, int index, const char *text, struct problem *problem)
{
    const struct number_option *option = &number_options[index];
    double value;
    if (!text_to_double(text, &value) || value < option->low || value > option->high) {
        char low[32], high[32];
        text_from_double_shortest(low, sizeof low, option->low);
        text_from_double_shortest(high, sizeof high, option->high);
        return problem_usage(problem, "plan: --%s wants %s to %s %s, not '%s'", option->name, low,
                             high, option->unit, text);
    }
    memcpy((char *)wish + option->offset, &value, sizeof value);
    wish->change_given = wish->change_given || index == NUMBER_CHANGE;
    wish->sd_given = wish->sd_given || index == NUMBER_SD;
    return true;
}

static bool take_setups(struct wish *wish, const char *text, struct problem *problem)
{
    int64_t value = 0;
    if (!text_to_int64(text, &value) || value < 2 || value > PLAN_SETUPS_MAX) {
        return problem_usage(problem,
                             "plan: --setups wants 2 to %d, the first among them, not '%s'",
                             PLAN_SETUPS_MAX, text);
    }
    wish->input.setups = (int)value;
    return true;
}

static bool take_tie(struct wish *wish, const char *text, struct problem *problem)
{
    const struct {
        const char *word, *words;
        double u_mm;
    } ties[] = {
        {"fixed", "on what no setup moves", 0.0},
        {"plate", "tied by a plate", TIE_U_PLATE_MM},
        {"tape", "tied by a tape", TIE_U_TAPE_MM},
    };
    for (size_t i = 0; i < sizeof ties / sizeof ties[0]; i++) {
        if (text_equal(text, ties[i].word)) {
            wish->input.tie_mm = ties[i].u_mm;
            wish->tie_words = ties[i].words;
            return true;
        }
    }
    return problem_usage(problem, "plan: --tie wants fixed, plate or tape, not '%s'", text);
}

static bool take_option(struct wish *wish, int option, struct problem *problem)
{
    switch (option) {
    case OPTION_QUICK:
        wish->input.order = PLAN_MIRROR;
        return true;
    case OPTION_JSON:
        wish->json = true;
        return true;
    case OPTION_FROM:
        wish->from = optarg;
        return true;
    case OPTION_STORE:
        wish->store_path = optarg;
        return true;
    case OPTION_TIE:
        return take_tie(wish, optarg, problem);
    case OPTION_NUMBER + NUMBER_SETUPS:
        return take_setups(wish, optarg, problem);
    default:
        break;
    }
    if (option >= OPTION_NUMBER && option < OPTION_NUMBER + NUMBERS) {
        return take_number(wish, option - OPTION_NUMBER, optarg, problem);
    }
    return problem_usage(problem, "%s", "");
}

static bool read_wish(struct wish *wish, int argc, char **argv, struct problem *problem)
{
    struct option long_options[NUMBERS + 7] = {
        {"quick", no_argument, NULL, OPTION_QUICK},
        {"json", no_argument, NULL, OPTION_JSON},
        {"from", required_argument, NULL, OPTION_FROM},
        {"store", required_argument, NULL, OPTION_STORE},
        {"tie", required_argument, NULL, OPTION_TIE},
        {"setups", required_argument, NULL, OPTION_NUMBER + NUMBER_SETUPS},
    };
    int option = 0;
    for (int i = 0; i < NUMBERS; i++) {
        long_options[6 + i] =
            (struct option){number_options[i].name, required_argument, NULL, OPTION_NUMBER + i};
    }
    memset(wish, 0, sizeof *wish);
    wish->input = (struct plan_input){
        .setups = PLAN_SETUPS,
        .order = PLAN_ROWS,
        .hold_sd_mm = PLAN_HOLD_SD_MM,
        .difference_mm = MATTERS_MM,
        .times = plan_usual_times(),
        .minutes_left = INFINITY,
    };
    take_tie(wish, "plate", problem);
    while ((option = getopt_long(argc, argv, "", long_options, NULL)) != -1) {
        if (!take_option(wish, option, problem)) {
            return false;
        }
    }
    if (argc > optind) {
        return problem_usage(problem, "plan: takes options only, not '%s'", argv[optind]);
    }
    if (wish->from != NULL && wish->sd_given) {
        return problem_usage(problem, "plan: --sd and --from say the same thing: give one");
    }
    if (wish->input.order == PLAN_MIRROR && !wish->change_given) {
        wish->input.times.change_min = PLAN_CHANGE_QUICK_MIN;
    }
    return true;
}

/* The earlier session's channel that repeats worst: a plan that is enough for it is for the others.
 */
static bool take_repeatability(const struct report_input *session, struct plan_answer *answer,
                               double *sd_mm, struct problem *problem)
{
    const struct analysis *analysis = session->analysis;
    const struct comparison *worst = NULL;
    const char *name = "";
    for (int c = 0; c < analysis->channel_count; c++) {
        const struct comparison *comparison = &analysis->free_heights[c];
        if (analysis->body[c] && comparison->has_repeatability &&
            (worst == NULL || comparison->repeatability > worst->repeatability)) {
            worst = comparison;
            name = analysis->channel_name[c];
        }
    }
    if (worst == NULL || !(worst->repeatability > 0.0)) {
        return problem_set(problem, "plan: no setup was held twice in that session, so it does not "
                                    "say how holds repeat; say --sd MM");
    }
    char low[SAY_SIZE], high[SAY_SIZE];
    say_number(low, sizeof low, worst->repeatability_low, 1);
    say_number(high, sizeof high, worst->repeatability_high, 1);
    *sd_mm = worst->repeatability;
    snprintf(answer->from, sizeof answer->from,
             "the %.40s of the earlier session (%.12s to %.12s%s)", name, low, high,
             worst->provisional ? ", few repeats" : "");
    return true;
}

static bool take_earlier(const struct wish *wish, struct plan_answer *answer, double *sd_mm,
                         struct problem *problem)
{
    struct loaded_session *loaded = loaded_session_open(wish->store_path, wish->from, problem);
    if (loaded == NULL) {
        return false;
    }
    bool done = take_repeatability(loaded_session_input(loaded), answer, sd_mm, problem);
    loaded_session_close(loaded);
    return done;
}

static int run(int argc, char **argv)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct plan_answer answer;
    struct wish wish;
    if (!read_wish(&wish, argc, argv, &problem)) {
        return problem.sentence[0] != '\0' ? command_fail(&problem) : 2;
    }
    memset(&answer, 0, sizeof answer);
    text_copy(answer.from, sizeof answer.from,
              wish.sd_given ? "as given"
                            : "assumed; 3 to 5 is common, --from takes the rider's own");
    answer.tie_words = wish.tie_words;
    bool done = wish.from == NULL || take_earlier(&wish, &answer, &wish.input.hold_sd_mm, &problem);
    done = done && plan_answer_make(&wish.input, &answer, &problem);
    if (done) {
        done = wish.json ? plan_answer_json(stdout, &answer, &problem)
                         : plan_answer_text(stdout, &answer, standard_output_width(), &problem);
    }
    done = done && standard_output_end(&problem);
    return done ? EXIT_SUCCESS : command_fail(&problem);
}

const struct command command_plan = {
    .name = "plan",
    .summary = "how many holds, in which order, for a difference worth finding",
    .usage =
        "holdline plan [options]\n"
        "Says how many holds to ride, in which order, so that a difference worth finding would be "
        "found,\n"
        "and what fits in the minutes left. Setups are ridden in a row, the first again at the "
        "end.\n"
        "  --difference MM  worth finding; 10 unless said\n"
        "  --setups N       to compare, the first among them; 3 unless said\n"
        "  --minutes N      left; as long as it takes unless said\n"
        "  --sd MM          how far the same setup differs from hold to hold; 4 unless said\n"
        "  --from SESSION   take that from an earlier session of the rider\n"
        "  --quick          setups that change within a minute: there and back instead of rows\n"
        "  --tie KIND       how a changed bike's sensors are tied: fixed, plate (unless said), "
        "tape\n"
        "  --change MIN, --ride-in MIN, --hold MIN, --rating MIN, --rest MIN\n"
        "                   what each takes; 5 (quick: 1), 2, 1, 0.5, 0.75 unless said\n"
        "  --json           for programs\n" STORE_USAGE,
    .run = run,
};
