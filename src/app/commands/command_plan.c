/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/loaded_session.h"
#include "app/options.h"
#include "app/plan_drag.h"
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

struct wish {
    struct plan_input input;
    bool json, quick, drag;
    const char *from, *store_path;
    const char *tie_words;
    double change_min, hold_sd_mm; /* NAN = not said */
};

static bool take_tie(void *of, const char *text, struct problem *problem)
{
    struct wish *wish = of;
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
    (void)problem;
    return false;
}

#define MINUTES(member) OPTION_NUMBER, OPTION_INTO(wish, member), 0, 120, "0 to 120 minutes"
static const struct option_row option_rows[] = {
    {"quick", OPTION_YES, OPTION_INTO(wish, quick)},
    {"drag", OPTION_YES, OPTION_INTO(wish, drag)},
    {"json", OPTION_YES, OPTION_INTO(wish, json)},
    {"from", OPTION_TEXT, OPTION_INTO(wish, from)},
    {"store", OPTION_TEXT, OPTION_INTO(wish, store_path)},
    {"tie", OPTION_OWN, .wants = "fixed, plate or tape", .take = take_tie},
    {"setups", OPTION_WHOLE, OPTION_INTO(wish, input.setups), 2, PLAN_SETUPS_MAX,
     "2 to 20, the first among them"},
    {"difference", OPTION_NUMBER, OPTION_INTO(wish, input.difference_mm), 0.5, 200,
     "0.5 to 200 mm"},
    {"sd", OPTION_NUMBER, OPTION_INTO(wish, hold_sd_mm), 0.1, 100, "0.1 to 100 mm"},
    {"minutes", OPTION_NUMBER, OPTION_INTO(wish, input.minutes_left), 1, 1440, "1 to 1440 minutes"},
    {"change", MINUTES(change_min)},
    {"ride-in", MINUTES(input.times.ride_in_min)},
    {"hold", OPTION_NUMBER, OPTION_INTO(wish, input.times.hold_min), 0.25, 120,
     "0.25 to 120 minutes"},
    {"rating", MINUTES(input.times.rating_min)},
    {"rest", MINUTES(input.times.rest_min)},
};

static bool read_wish(struct wish *wish, int argc, char **argv, struct problem *problem)
{
    memset(wish, 0, sizeof *wish);
    wish->input = (struct plan_input){
        .setups = PLAN_SETUPS,
        .hold_sd_mm = PLAN_HOLD_SD_MM,
        .difference_mm = MATTERS_MM,
        .times = plan_usual_times(),
        .minutes_left = INFINITY,
    };
    wish->input.times.hold_min = NAN; /* as it is best */
    take_tie(wish, "plate", problem);
    wish->change_min = wish->hold_sd_mm = NAN;
    const struct option_set sets[] = {OPTION_SET(option_rows, wish), {NULL, 0, NULL}};
    if (!options_read(sets, argc, argv, problem)) {
        return false;
    }
    if (argc > optind) {
        return problem_usage(problem, "plan: takes options only, not '%s'", argv[optind]);
    }
    if (wish->from != NULL && !isnan(wish->hold_sd_mm)) {
        return problem_usage(problem, "plan: --sd and --from say the same thing: give one");
    }
    if (!isnan(wish->hold_sd_mm)) {
        wish->input.hold_sd_mm = wish->hold_sd_mm;
    }
    wish->input.order = wish->quick ? PLAN_MIRROR : PLAN_ROWS;
    if (wish->quick || !isnan(wish->change_min)) {
        wish->input.times.change_min =
            isnan(wish->change_min) ? PLAN_CHANGE_QUICK_MIN : wish->change_min;
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

/* How runs of the earlier day that is named repeated, in percent of their drag. */
static bool take_earlier_runs(const struct wish *wish, struct own_runs *own,
                              struct problem *problem)
{
    struct loaded_session *loaded = loaded_session_open(wish->store_path, wish->from, problem);
    if (loaded == NULL) {
        return false;
    }
    const struct drag_analysis *drag = &loaded_session_input(loaded)->analysis->drag;
    const struct comparison *compare = &drag->compare;
    double usual_m2 = drag_usual_m2(drag);
    bool known = compare->has_repeatability && usual_m2 > 0.0;
    if (known) {
        double percent = 100.0 / usual_m2;
        *own = (struct own_runs){percent * compare->repeatability,
                                 percent * compare->repeatability_low,
                                 percent * compare->repeatability_high};
    }
    loaded_session_close(loaded);
    return known || problem_set(problem, "plan: that session has not runs enough of a setup to say "
                                         "how they repeat");
}

static int plan_runs(const struct wish *wish)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct own_runs earlier = {0};
    const struct own_runs *own = wish->from != NULL ? &earlier : NULL;
    bool done = (own == NULL || take_earlier_runs(wish, &earlier, &problem)) &&
                (wish->json ? plan_drag_json(stdout, own, &problem)
                            : plan_drag_text(stdout, own, standard_output_width(), &problem));
    done = done && standard_output_end(&problem);
    return done ? EXIT_SUCCESS : command_fail(&problem);
}

static int run(int argc, char **argv)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct plan_answer answer;
    struct wish wish;
    if (!read_wish(&wish, argc, argv, &problem)) {
        return command_fail(&problem);
    }
    if (wish.drag) {
        return plan_runs(&wish);
    }
    memset(&answer, 0, sizeof answer);
    text_copy(answer.from, sizeof answer.from,
              !isnan(wish.hold_sd_mm) ? "as given"
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
        "                   what each takes; 5 (quick: 1), 2, what finds it best, 0.5, 0.75\n"
        "                   unless said\n"
        "  --drag           runs on a course instead: what so many of each setup can find, and how "
        "to\n"
        "                   ride them; with --from how that session's runs repeated\n"
        "  --json           for programs\n" STORE_USAGE,
    .run = run,
};
