#include "report/sheet.h"

#include "base/text.h"
#include "bike/wrench.h"
#include "report/digest.h"

#include <math.h>

#define SHARE_GOOD 0.9
#define SHARE_FAIR 0.8
#define LONG_HOLD_S 150.0

int sheet_chosen(const struct report_input *input)
{
    int number =
        input->chosen_setup > 0 ? input->chosen_setup : input->record->settings.chosen_setup;
    return number > 0 ? session_record_setup(input->record, number) : -1;
}

/* ---- as found, as chosen ----------------------------------------------------------------------
 */

static void value_cell(struct table *table, double value)
{
    char text[64] = "-";
    if (isfinite(value)) {
        text_from_double_shortest(text, sizeof text, value);
    }
    table_cell(table, text);
}

static void change_cell(struct table *table, double from, double to, int decimals)
{
    char text[64];
    say_signed(text, sizeof text, to - from, decimals);
    bool same = isfinite(to - from) && fabs(to - from) < 0.05;
    table_cell(table, same ? "" : text);
}

static void part_rows(struct table *table, const struct bike_values *found,
                      const struct bike_values *chosen)
{
    for (int key = 0; key < BIKE_KEYS; key++) {
        double from = found->value[key], to = chosen != NULL ? chosen->value[key] : (double)NAN;
        if (bike_fields[key].scope != BIKE_SCOPE_PART || (!isfinite(from) && !isfinite(to))) {
            continue;
        }
        table_cell_format(table, "%s, %s", bike_fields[key].words, bike_fields[key].unit);
        value_cell(table, from);
        if (chosen != NULL) {
            value_cell(table, to);
            change_cell(table, from, to, 0);
        }
    }
}

static void point_rows(struct table *table, const char *name, const struct point *found,
                       bool has_found, const struct point *chosen, bool has_chosen, bool two)
{
    static const char *const ways[] = {"forward", "up"};
    for (int way = 0; way < 2 && (has_found || has_chosen); way++) {
        double from = !has_found ? (double)NAN : way == 0 ? found->x_mm : found->y_mm;
        double to = !has_chosen ? (double)NAN : way == 0 ? chosen->x_mm : chosen->y_mm;
        char text[64];
        table_cell_format(table, "%s, %s, mm", name, ways[way]);
        say_whole(text, sizeof text, from);
        table_cell(table, text);
        if (two) {
            say_whole(text, sizeof text, to);
            table_cell(table, text);
            change_cell(table, from, to, 0);
        }
    }
}

static void limits_item(struct paper *paper, const struct report_input *input, int chosen)
{
    char passed[1024];
    digest_limits_passed(input, chosen, passed, sizeof passed);
    if (passed[0] != '\0') {
        paper_paragraph(paper,
                        "NOT TO BE RIDDEN LIKE THIS: it passes a limit of the makers' papers. %s.",
                        passed);
    }
}

bool sheet_bike(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    static const struct table_column columns[] = {
        {"", TABLE_LEFT, true},
        {"as found", TABLE_RIGHT, false},
        {"as chosen", TABLE_RIGHT, false},
        {"change", TABLE_RIGHT, false},
    };
    const struct session_record *record = input->record;
    int chosen = sheet_chosen(input);
    struct bike_points from, to;
    struct problem missing = {PROBLEM_NONE, ""};
    if (record->setup_count == 0) {
        return true;
    }
    const struct bike_values *found = &record->setup[0].bike;
    const struct bike_values *final = chosen >= 0 ? &record->setup[chosen].bike : NULL;
    bool has_from = bike_forward(found, &from, &missing);
    bool has_to = final != NULL && bike_forward(final, &to, &missing);
    paper_title(paper, chosen >= 0 ? "Your bike as found and as chosen" : "Your bike as found");
    if (chosen >= 0) {
        char label[TEXT_SIZE + 64];
        section_setup_label(record, chosen, label, sizeof label);
        paper_paragraph(paper, "Chosen: setup %s.", label);
    } else {
        paper_paragraph(paper, "No setup was chosen for this sheet.");
    }
    struct table *table = table_create(columns, chosen >= 0 ? 4 : 2);
    part_rows(table, found, final);
    point_rows(table, "bar clamp", &from.clamp, has_from, &to.clamp, has_to, final != NULL);
    point_rows(table, "pads", &from.pad, has_from && from.has_pad, &to.pad, has_to && to.has_pad,
               final != NULL);
    point_rows(table, "extension tip", &from.extension_tip, has_from && from.has_extension,
               &to.extension_tip, has_to && to.has_extension, final != NULL);
    bool done = paper_table(paper, table, problem);
    if (chosen >= 0) {
        limits_item(paper, input, chosen);
    }
    paper_note(
        paper,
        "Bar clamp, pads and tip are worked out from the parts, from the bottom bracket, and good "
        "to 2 mm at best.");
    table_destroy(table);
    return done;
}

bool sheet_wrench(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    static const struct table_column columns[] = {
        {"what to turn, in this order", TABLE_LEFT, true},
        {"done", TABLE_LEFT, false},
        {"torque\nas the maker says", TABLE_LEFT, false},
    };
    int chosen = sheet_chosen(input);
    struct wrench_list list;
    if (chosen < 0) {
        return true;
    }
    wrench_list_make(&input->record->setup[0].bike, &input->record->setup[chosen].bike, &list);
    paper_title(paper, "What to turn, from as found");
    if (list.count == 0) {
        paper_paragraph(paper, "Nothing: the bike stays as it was.");
        return true;
    }
    struct table *table = table_create(columns, 3);
    for (int step = 0; step < list.count; step++) {
        table_cell_format(table, "%d  %s", step + 1, list.step[step].text);
        table_cell(table, "\xE2\x98\x90"); /* a box to tick */
        table_cell(table, "\xE2\x98\x90");
    }
    bool done = paper_table(paper, table, problem);
    table_destroy(table);
    paper_note(paper, "%s", wrench_cautions);
    return done;
}

/* ---- why --------------------------------------------------------------------------------------
 */

static void height_item(struct paper *paper, const struct report_input *input, int setup,
                        int channel)
{
    const struct comparison *comparison = &input->analysis->free_heights[channel];
    const struct setup_estimate *estimate = &comparison->setup[setup];
    const char *name = input->analysis->channel_name[channel];
    char words[2 * SAY_SIZE], mean[SAY_SIZE];
    if (estimate->holds == 0) {
        paper_item(paper, "%s: not measured on this setup", name);
        return;
    }
    say_mean(mean, sizeof mean, estimate->mean, estimate->has_interval, estimate->half_width);
    report_difference_words(words, sizeof words, &comparison->difference[setup], NULL);
    if (!estimate->tied) {
        paper_item(paper, "%s: %s", name, words);
        return;
    }
    if (words[0] == '\0') {
        paper_item(paper, "%s: %s mm high", name, mean);
    } else {
        paper_item(paper, "%s: %s mm high; against setup %d in mm: %s", name, mean,
                   input->record->settings.baseline_setup, words);
    }
}

static void keeping_items(struct paper *paper, const struct report_input *input, int channel,
                          const struct channel_digest *digest)
{
    const char *name = input->analysis->channel_name[channel];
    char steady[64], share[64], creep[64];
    say_number(steady, sizeof steady, digest->steadiness_free_mm, 1);
    say_percent(share, sizeof share, digest->in_band_share);
    say_signed(creep, sizeof creep, digest->creep_guided, 1);
    if (isfinite(digest->steadiness_free_mm)) {
        paper_item(paper, "%s: steady to %s mm about its mean, gauge hidden", name, steady);
    }
    if (isfinite(digest->in_band_share)) {
        paper_item(paper,
                   "%s: in the band for %s of the time, creeping by %s mm a minute, gauge seen",
                   name, share, creep);
    }
}

static void feeling_items(struct paper *paper, const struct report_input *input,
                          const struct setup_digest *digest)
{
    char text[4 * SAY_SIZE];
    if (digest->rating_count == 0) {
        paper_item(paper, "not rated");
        return;
    }
    paper_item(paper, "sees ahead: %s", say_sees_ahead(digest->sees_ahead));
    digest_item_text(input, digest, RATING_EFFORT, text, sizeof text);
    paper_item(paper, "effort, 0 to 10: %s", text);
    digest_discomfort_text(input, digest, text, sizeof text);
    paper_item(paper, "discomfort, 0 to 10: %s", text);
    if (digest->numb_hands == ANSWER_YES || digest->numb_saddle == ANSWER_YES) {
        paper_item(paper, "numb: %s%s%s", digest->numb_hands == ANSWER_YES ? "hands" : "",
                   digest->numb_hands == ANSWER_YES && digest->numb_saddle == ANSWER_YES ? " and "
                                                                                         : "",
                   digest->numb_saddle == ANSWER_YES ? "saddle" : "");
    }
    digest_could_stay_text(input, digest, text, sizeof text);
    if (!text_equal(text, "-")) {
        paper_item(paper, "could stay there for %s", text);
    }
}

bool sheet_evidence(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    int chosen = sheet_chosen(input);
    struct setup_digest digest;
    (void)problem;
    if (chosen < 0) {
        return true;
    }
    digest_setup(input, chosen, &digest);
    paper_title(paper, "Why");
    paper_paragraph(paper, "In brackets and behind ±: where the true value lies, 95 times in 100.");
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        if (input->analysis->body[channel]) {
            height_item(paper, input, chosen, channel);
            keeping_items(paper, input, channel, &digest.channel[channel]);
        }
    }
    feeling_items(paper, input, &digest);
    return true;
}

/* ---- practice ---------------------------------------------------------------------------------
 */

/* The lowest in-band share of the channels, NAN without guided holds. */
static double worst_share(const struct report_input *input, const struct setup_digest *digest)
{
    double worst = NAN;
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        double share = digest->channel[channel].in_band_share;
        if (input->analysis->body[channel] && isfinite(share) && !(worst <= share)) {
            worst = share;
        }
    }
    return worst;
}

/* How long it was kept in long holds: until it began to go, or to their end. NAN = not seen. */
struct sustained {
    double gone_after_s; /* the shortest time after which it went */
    double kept_s;       /* the longest hold in which it did not */
};

static struct sustained sustained_on(const struct report_input *input, int setup)
{
    struct sustained sustained = {NAN, NAN};
    const struct session_record *record = input->record;
    for (int hold = 0; hold < record->hold_count; hold++) {
        const struct hold_result *result = &input->analysis->hold[hold];
        bool mine = record->build[record->hold[hold].build].setup == setup && result->counts &&
                    record->hold[hold].guided && result->duration_s >= LONG_HOLD_S;
        bool seen = false;
        double gone = INFINITY;
        for (int channel = 0; mine && channel < input->analysis->channel_count; channel++) {
            const struct hold_summary *summary = &result->summary[channel];
            if (input->analysis->body[channel] && result->has[channel] && summary->has_band) {
                seen = true;
                gone = summary->sustain_reached ? fmin(gone, summary->sustain_s) : gone;
            }
        }
        if (seen && isfinite(gone) && !(sustained.gone_after_s <= gone)) {
            sustained.gone_after_s = gone;
        } else if (seen && !isfinite(gone) && !(sustained.kept_s >= result->duration_s)) {
            sustained.kept_s = result->duration_s;
        }
    }
    return sustained;
}

/* What to begin with. */
struct practice {
    int holds;
    double hold_s, rest_s;
};
#define WEEKS 4
#define GROWTH 1.25 /* a week */

static double tens_of_seconds(double seconds)
{
    return 10 * fmax(1, floor(seconds / 10 + 1e-9));
}

/* Two thirds of what went well, three to six times. */
static struct practice pieces_of(double kept_s)
{
    double hold_s = fmin(300, tens_of_seconds(kept_s * 2 / 3));
    int holds = (int)fmax(3, fmin(6, floor(480 / hold_s)));
    return (struct practice){holds, hold_s, fmin(180, hold_s)};
}

static struct practice practice_words(struct paper *paper, const struct report_input *input,
                                      int chosen, double share)
{
    struct sustained sustained = sustained_on(input, chosen);
    char text[64], piece[64];
    if (isfinite(sustained.gone_after_s)) {
        struct practice practice = pieces_of(sustained.gone_after_s);
        say_duration(text, sizeof text, sustained.gone_after_s);
        say_duration(piece, sizeof piece, practice.hold_s);
        paper_item(paper,
                   "You kept it for %s before it began to go. Practise in pieces of %s, with as "
                   "long a rest.",
                   text, piece);
        return practice;
    }
    if (isfinite(sustained.kept_s)) {
        struct practice practice = pieces_of(sustained.kept_s);
        say_duration(text, sizeof text, sustained.kept_s);
        say_duration(piece, sizeof piece, practice.hold_s);
        paper_item(paper, "You kept it through a hold of %s to its end. Practise in pieces of %s.",
                   text, piece);
        return practice;
    }
    say_percent(text, sizeof text, share);
    if (!isfinite(share)) {
        paper_item(
            paper,
            "It was not held with the gauge seen: begin with five holds of 30 s, a minute's rest "
            "between them.");
        return (struct practice){5, 30, 60};
    }
    if (share >= SHARE_GOOD) {
        paper_item(paper, "You were in the band for %s of the time: three holds of 3 min.", text);
        return (struct practice){3, 180, 180};
    }
    if (share >= SHARE_FAIR) {
        paper_item(
            paper,
            "You were in the band for %s of the time: four holds of 2 min; longer ones once it is "
            "9 tenths.",
            text);
        return (struct practice){4, 120, 120};
    }
    paper_item(paper,
               "You were in the band for %s of the time: six holds of 1 min, or agree on a higher "
               "target.",
               text);
    return (struct practice){6, 60, 60};
}

static bool practice_table(struct paper *paper, const struct practice *practice,
                           struct problem *problem)
{
    static const struct table_column columns[] = {
        {"week", TABLE_LEFT, false},  {"holds", TABLE_RIGHT, false},
        {"each", TABLE_RIGHT, false}, {"rest between", TABLE_RIGHT, false},
        {"ridden", TABLE_LEFT, true},
    };
    struct table *table = table_create(columns, 5);
    double hold_s = practice->hold_s;
    for (int week = 1; week <= WEEKS; week++) {
        char text[64];
        table_cell_format(table, "%d", week);
        table_cell_format(table, "%d", practice->holds);
        say_duration(text, sizeof text, tens_of_seconds(hold_s));
        table_cell(table, text);
        say_duration(text, sizeof text, practice->rest_s);
        table_cell(table, text);
        table_cell(table, "\xE2\x98\x90  \xE2\x98\x90"); /* twice a week */
        hold_s *= GROWTH;
    }
    bool done = paper_table(paper, table, problem);
    table_destroy(table);
    return done;
}

bool sheet_practice(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    int chosen = sheet_chosen(input);
    struct setup_digest digest;
    if (chosen < 0) {
        return true;
    }
    digest_setup(input, chosen, &digest);
    paper_title(paper, "How to practise");
    if (digest.sees_ahead == SEES_NO) {
        paper_paragraph(paper, "Not on this setup: it FAILED, since you cannot see ahead on it.");
        return true;
    }
    struct practice practice = practice_words(paper, input, chosen, worst_share(input, &digest));
    paper_item(paper, "On the trainer, at the power of the session, twice a week; the first rides "
                      "on the road short "
                      "and with eyes ahead.");
    paper_item(paper, "Go on to the next week's line when all holds went well: in the band for 9 "
                      "tenths of the time or, without a gauge, steady and at ease to the end. "
                      "Else ride the same line again.");
    paper_item(paper,
               "Stop on pain, numbness or tingling. What stays, take to a licensed clinician.");
    bool done = practice_table(paper, &practice, problem);
    paper_note(
        paper,
        "The numbers of holds, minutes and weeks are common practice; there is no study behind "
        "them.");
    return done;
}
