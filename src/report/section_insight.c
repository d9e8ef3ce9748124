/* Which setups no other beats, and how far the heights followed the parts. */
#include "base/text.h"
#include "report/digest.h"
#include "report/sections.h"
#include "report/sheet.h"

#include <math.h>

#define WIDENED_MUCH 1.5
#define CHANNELS_A_TABLE 3 /* more do not fit beside each other in 80 cells */

/* ---- the trade-off ------------------------------------------------------------------------------
 */

static const char *criterion_words(int criterion)
{
    switch (criterion) {
    case TRADEOFF_STEADINESS:
        return "steadiness";
    case TRADEOFF_CREEP:
        return "creep";
    case TRADEOFF_IN_BAND:
        return "time in band";
    case TRADEOFF_DISCOMFORT:
        return "the worst discomfort";
    case TRADEOFF_EFFORT:
        return "effort";
    default:
        return "height";
    }
}

/* 'height of head and chest, steadiness, creep, effort': what some setup has. */
static void criteria_words(const struct report_input *input, char *text, size_t size)
{
    const struct insight *insight = &input->analysis->insight;
    size_t used = 0;
    text_copy(text, size, "");
    for (int c = 0, bodies = 0; c < input->analysis->channel_count && bodies < 2; c++) {
        bool shown = input->analysis->body[c] &&
                     insight->criterion[bodies == 0 ? TRADEOFF_HEIGHT : TRADEOFF_SECOND_HEIGHT];
        if (shown) {
            text_append(text, size, &used, "%s%s", used == 0 ? "height of " : " and ",
                        input->analysis->channel_name[c]);
        }
        bodies += input->analysis->body[c] ? 1 : 0;
    }
    for (int k = TRADEOFF_STEADINESS; k < TRADEOFF_CRITERIA; k++) {
        if (insight->criterion[k]) {
            text_append(text, size, &used, "%s%s", used == 0 ? "" : ", ", criterion_words(k));
        }
    }
}

static bool has_any(const struct tradeoff_setup *setup)
{
    for (int k = 0; k < TRADEOFF_CRITERIA; k++) {
        if (setup->has[k]) {
            return true;
        }
    }
    return false;
}

/* Has one what another lacks? */
static bool uneven(const struct report_input *input)
{
    const struct insight *insight = &input->analysis->insight;
    for (int s = 0; s < input->record->setup_count; s++) {
        for (int k = 0; has_any(&insight->value[s]) && k < TRADEOFF_CRITERIA; k++) {
            if (insight->criterion[k] && !insight->value[s].has[k]) {
                return true;
            }
        }
    }
    return false;
}

static void standing_words(struct paper *paper, const struct report_input *input)
{
    const struct insight *insight = &input->analysis->insight;
    int numbers[SETUPS_MAX], count = 0;
    char list[SAY_SIZE];
    for (int s = 0; s < input->record->setup_count; s++) {
        if (insight->mark[s].stands) {
            numbers[count++] = input->record->setup[s].number;
        }
    }
    if (count > 0) {
        say_list(list, sizeof list, "Setup", "Setups", numbers, count);
        paper_item(paper, "%s: no other setup is better at everything.", list);
    }
    for (int s = 0; s < input->record->setup_count; s++) {
        const struct tradeoff_mark *mark = &insight->mark[s];
        int number = input->record->setup[s].number;
        if (insight->value[s].sight_failed) {
            paper_item(paper, "Setup %d FAILED: the rider cannot see ahead, whatever the numbers.",
                       number);
        } else if (mark->beaten_by >= 0) {
            paper_item(paper, "Setup %d: setup %d is as good in all of it, and better in some.",
                       number, input->record->setup[mark->beaten_by].number);
        }
    }
}

static void tradeoff_section(struct paper *paper, const struct report_input *input)
{
    char criteria[SAY_SIZE];
    if (input->analysis->insight.tradeoff_setups < 2) {
        return;
    }
    criteria_words(input, criteria, sizeof criteria);
    paper_title(paper, "Everything at once");
    paper_paragraph(paper,
                    "Looked at together: %s, and seeing ahead, on the numbers as they stand here. "
                    "Which of them counts most is for rider and fitter to say: there is no single "
                    "score.",
                    criteria);
    standing_words(paper, input);
    if (uneven(input)) {
        paper_note(paper, "What only one of two setups has (a rating, a guided hold) decides "
                          "nothing between them.");
    }
}

/* ---- steps per change ---------------------------------------------------------------------------
 */

static const char *per_unit(enum bike_key key)
{
    return text_equal(bike_fields[key].unit, "mm") ? "mm" : "degree";
}

static void factor_cell(struct table *table, const struct steps *steps, int factor)
{
    const struct steps_factor *one = &steps->factor[factor];
    char value[64], half[64];
    if (steps->status != MEASURE_OK) {
        table_cell(table, "not known");
    } else if (one->state == STEPS_KNOWN) {
        say_signed(value, sizeof value, one->per_unit, 2);
        say_number(half, sizeof half, one->half_width, 2);
        table_cell_format(table, "%s ±%s", value, half);
    } else {
        table_cell(table, one->state == STEPS_NOT_TOLD_APART ? "not told apart" : "-");
    }
}

static bool any_known(const struct report_input *input)
{
    for (int c = 0; c < input->analysis->channel_count; c++) {
        if (input->analysis->body[c] && input->analysis->insight.steps[c].status == MEASURE_OK) {
            return true;
        }
    }
    return false;
}

static bool steps_table(struct paper *paper, const struct report_input *input, const int *channels,
                        int channel_count, struct problem *problem)
{
    const struct analysis *analysis = input->analysis;
    const struct insight *insight = &analysis->insight;
    struct table_column columns[2 + CHANNELS_A_TABLE];
    char headings[CHANNELS_A_TABLE][CHANNEL_NAME_SIZE + 16];
    int count = 0;
    columns[count++] = (struct table_column){"part", TABLE_LEFT, true};
    columns[count++] = (struct table_column){"tried", TABLE_LEFT, false};
    for (int i = 0; i < channel_count; i++) {
        snprintf(headings[i], sizeof headings[i], "%s\nmm for each",
                 analysis->channel_name[channels[i]]);
        columns[count++] = (struct table_column){headings[i], TABLE_LEFT, false};
    }
    struct table *table = table_create(columns, count);
    for (int k = 0; k < insight->factor_count; k++) {
        enum bike_key key = insight->factor[k];
        char low[32], high[32];
        if (!(insight->tried_high[k] > insight->tried_low[k])) {
            continue;
        }
        text_from_double_shortest(low, sizeof low, insight->tried_low[k]);
        text_from_double_shortest(high, sizeof high, insight->tried_high[k]);
        table_cell_format(table, "%s, %s", bike_fields[key].words, per_unit(key));
        table_cell_format(table, "%s to %s", low, high);
        for (int i = 0; i < channel_count; i++) {
            factor_cell(table, &insight->steps[channels[i]], k);
        }
    }
    bool done = paper_table(paper, table, problem);
    table_destroy(table);
    return done;
}

static bool steps_tables(struct paper *paper, const struct report_input *input,
                         struct problem *problem)
{
    int channels[CHANNELS_MAX], count = 0;
    for (int c = 0; c < input->analysis->channel_count; c++) {
        if (input->analysis->body[c]) {
            channels[count++] = c;
        }
    }
    for (int from = 0; from < count; from += CHANNELS_A_TABLE) {
        int here = count - from < CHANNELS_A_TABLE ? count - from : CHANNELS_A_TABLE;
        if (!steps_table(paper, input, channels + from, here, problem)) {
            return false;
        }
    }
    return true;
}

/* What could not be told apart, the same for every channel that is known; and poor fits. */
static void steps_notes(struct paper *paper, const struct report_input *input)
{
    const struct insight *insight = &input->analysis->insight;
    bool apart_said = false;
    for (int c = 0; c < input->analysis->channel_count; c++) {
        const struct steps *steps = &insight->steps[c];
        char parts[SAY_SIZE] = "";
        size_t used = 0;
        if (!input->analysis->body[c] || steps->status != MEASURE_OK) {
            continue;
        }
        for (int k = 0; k < steps->factor_count; k++) {
            if (steps->factor[k].state == STEPS_NOT_TOLD_APART) {
                text_append(parts, sizeof parts, &used, "%s%s", used == 0 ? "" : ", ",
                            bike_fields[insight->factor[k]].words);
            }
        }
        if (steps->change_alone >= 0 && !apart_said) {
            paper_item(
                paper,
                "Changed together, so that it is not known which of them did it: %s. A setup "
                "that changes only the %s would tell.",
                parts, bike_fields[insight->factor[steps->change_alone]].words);
            apart_said = true;
        }
        if (steps->widened > WIDENED_MUCH) {
            paper_item(
                paper,
                "%s: the heights do not follow a straight line; the limits are wider for it.",
                input->analysis->channel_name[c]);
        }
    }
}

/* ---- the next setup -----------------------------------------------------------------------------
 */

int section_next_from(const struct report_input *input)
{
    int chosen = sheet_chosen(input);
    return chosen >= 0 ? chosen : insight_suggest_from(input->record, input->analysis);
}

/* 'head -6 mm (-10 to -2), chest not known yet' */
static void forecast_words(const struct report_input *input,
                           const struct insight_suggestion *suggestion, char *text, size_t size)
{
    size_t used = 0;
    text_copy(text, size, "");
    for (int c = 0; c < input->analysis->channel_count; c++) {
        const struct steps_forecast *forecast = &suggestion->forecast[c];
        const char *comma = used == 0 ? "" : ", ";
        char value[64], low[64], high[64];
        if (!input->analysis->body[c]) {
            continue;
        }
        if (!forecast->possible) {
            text_append(text, size, &used, "%s%s not known yet", comma,
                        input->analysis->channel_name[c]);
            continue;
        }
        say_signed(value, sizeof value, forecast->height_change_mm, 0);
        say_signed(low, sizeof low, forecast->height_change_mm - forecast->half_width_mm, 0);
        say_signed(high, sizeof high, forecast->height_change_mm + forecast->half_width_mm, 0);
        text_append(text, size, &used, "%s%s %s mm (%s to %s)", comma,
                    input->analysis->channel_name[c], value, low, high);
    }
}

static void suggestion_words(struct paper *paper, const struct report_input *input)
{
    struct insight_suggestion suggestion;
    int now = section_next_from(input);
    char from[32], to[32], forecast[2 * SAY_SIZE];
    if (now < 0) {
        return;
    }
    int number = input->record->setup[now].number;
    struct bike_limits limits = digest_limits(input);
    insight_suggest(input->record, input->analysis, now, &limits, &suggestion);
    if (suggestion.purpose == STEPS_NOTHING) {
        paper_item(paper, "No next step is suggested from setup %d: %s.", number,
                   suggestion.reason);
        return;
    }
    text_from_double_shortest(from, sizeof from, suggestion.from);
    text_from_double_shortest(to, sizeof to, suggestion.to);
    forecast_words(input, &suggestion, forecast, sizeof forecast);
    paper_item(paper, "A suggestion, no more: from setup %d, %s %s to %s %s%s. Expected: %s.",
               number, bike_fields[suggestion.part].words, from, to,
               bike_fields[suggestion.part].unit,
               suggestion.purpose == STEPS_TO_LEARN ? ", to learn what it does" : "", forecast);
    paper_item(paper, "%s. Comfort, sight and race rules are not in it.",
               bike_limits_entered(&limits) > 0
                   ? "It keeps to the limits entered and to a step beyond what was tried"
                   : "No maker's limit was entered: look into the papers of the parts first. It "
                     "keeps to a step beyond what was tried");
}

static bool steps_section(struct paper *paper, const struct report_input *input,
                          struct problem *problem)
{
    const struct insight *insight = &input->analysis->insight;
    if (insight->factors_too_many > 0) {
        paper_title(paper, "What followed from the parts");
        paper_paragraph(paper,
                        "%d parts were changed, more than can be told apart (%d): change fewer at "
                        "once.",
                        insight->factors_too_many, STEPS_FACTORS_MAX);
        return true;
    }
    if (!any_known(input)) {
        return true;
    }
    paper_title(paper, "What followed from the parts");
    paper_paragraph(paper, "How far the heights of free holds moved with each millimetre or degree "
                           "of a part, over these setups. Within this session only; ± 95 %%.");
    if (!steps_tables(paper, input, problem)) {
        return false;
    }
    steps_notes(paper, input);
    suggestion_words(paper, input);
    return true;
}

bool section_insight(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    tradeoff_section(paper, input);
    return steps_section(paper, input, problem);
}
