/* How far the comparison's numbers can be trusted, in words. */
#include "base/text.h"
#include "report/digest.h"
#include "report/sections.h"
#include "report/table.h"

#include <math.h>

#define ORDER_MIXED 0.2 /* design 3.8: above this, order and setup are partly one */

static void repeat_words(FILE *stream, const struct comparison *comparison, const char *name,
                         int width)
{
    char spread[64], low[64], high[64], least[64];
    if (!comparison->has_repeatability) {
        paragraph_format(
            stream, 0, 2, width,
            "- %s: no setup has been held twice, so it is not known how far the same setup "
            "differs from itself; the means stand without limits.",
            name);
        return;
    }
    say_number(spread, sizeof spread, comparison->repeatability, 1);
    say_number(low, sizeof low, comparison->repeatability_low, 1);
    say_number(high, sizeof high, comparison->repeatability_high, 1);
    say_whole(least, sizeof least, ceil(comparison->smallest_detectable - 1e-6));
    paragraph_format(
        stream, 0, 2, width,
        "- %s: held again, the same setup differs by %s mm (%s to %s)%s; between two single "
        "holds less than %s mm cannot be seen.",
        name, spread, low, high, comparison->provisional ? ", provisional: few repeats so far" : "",
        least);
}

static void order_words(FILE *stream, const struct comparison *comparison, const char *name,
                        int width)
{
    char slope[64], low[64], high[64], share[64];
    if (comparison->order_fitted) {
        say_signed(slope, sizeof slope, comparison->order_per_hold, 1);
        say_signed(low, sizeof low, comparison->order_per_hold - comparison->order_half_width, 1);
        say_signed(high, sizeof high, comparison->order_per_hold + comparison->order_half_width, 1);
        paragraph_format(
            stream, 0, 2, width,
            "- %s: over the session the height moved by %s mm a hold (%s to %s); the comparison "
            "allows for it.",
            name, slope, low, high);
    }
    if (comparison->order_index > ORDER_MIXED) {
        say_percent(share, sizeof share, comparison->order_index);
        paragraph_format(
            stream, 0, 2, width,
            "- %s: %s of the order of the holds is the setups themselves: what tiredness did and "
            "what the setup did are mixed as far. Going back to the first setup parts them.",
            name, share);
    }
}

static void tie_words(FILE *stream, const struct comparison *comparison, const char *name,
                      int width)
{
    double worst = 0;
    char text[64];
    for (int setup = 0; setup < comparison->setup_count; setup++) {
        double error = comparison->difference[setup].tie_error;
        if (comparison->setup[setup].holds > 0 && isfinite(error) && error > worst) {
            worst = error;
        }
    }
    if (worst > 0) {
        say_number(text, sizeof text, 1.96 * worst, 1);
        paragraph_format(
            stream, 0, 2, width,
            "- %s: not knowing better where the sensor went adds up to ±%s mm to a difference; "
            "more holds don't make that smaller.",
            name, text);
    }
}

/* Setups for which a flag of the estimate holds on this channel. */
static int flagged(const struct report_input *input, const struct comparison *comparison, bool once,
                   int numbers[SETUPS_MAX])
{
    int count = 0;
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        const struct setup_estimate *estimate = &comparison->setup[setup];
        bool flag = once ? estimate->built_once : estimate->borrowed_repeatability;
        if (estimate->holds > 0 && flag) {
            numbers[count++] = input->record->setup[setup].number;
        }
    }
    return count;
}

static void built_once_words(FILE *stream, const struct report_input *input, int width)
{
    int numbers[SETUPS_MAX];
    char list[SAY_SIZE];
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        const struct comparison *comparison = &input->analysis->free_heights[channel];
        int count = input->analysis->body[channel] ? flagged(input, comparison, true, numbers) : 0;
        if (count > 0) {
            say_list(list, sizeof list, "Setup", "Setups", numbers, count);
            paragraph_format(
                stream, 0, 2, width,
                "- %s %s built once: what taking the parts off and putting them on again does is "
                "hidden in %s numbers. A second build would show it.",
                list, count == 1 ? "was" : "were", count == 1 ? "its" : "their");
            return;
        }
    }
}

static void borrowed_words(FILE *stream, const struct report_input *input, int channel, int width)
{
    const struct comparison *comparison = &input->analysis->free_heights[channel];
    int numbers[SETUPS_MAX];
    char list[SAY_SIZE];
    int count = flagged(input, comparison, false, numbers);
    if (count > 0) {
        say_list(list, sizeof list, "setup", "setups", numbers, count);
        paragraph_format(
            stream, 0, 2, width,
            "- %s: one hold only on %s; the limits borrow how far the other setups differ from "
            "themselves.",
            input->analysis->channel_name[channel], list);
    }
}

bool section_certainty(FILE *stream, const struct report_input *input, int width,
                       struct problem *problem)
{
    const struct analysis *analysis = input->analysis;
    bool any = false;
    (void)problem;
    for (int channel = 0; channel < analysis->channel_count; channel++) {
        const struct comparison *comparison = &analysis->free_heights[channel];
        const char *name = analysis->channel_name[channel];
        int holds = 0;
        for (int setup = 0; analysis->body[channel] && setup < input->record->setup_count;
             setup++) {
            holds += comparison->setup[setup].holds;
        }
        if (holds == 0) {
            continue;
        }
        if (!any) {
            title_write(stream, "How sure this is");
            paragraph_write(
                stream, 0, 2, width,
                "- ± and (from to): the true value lies within, 95 times in 100. They hold for "
                "posture between holds, not only within one.");
        }
        any = true;
        repeat_words(stream, comparison, name, width);
        borrowed_words(stream, input, channel, width);
        order_words(stream, comparison, name, width);
        tie_words(stream, comparison, name, width);
    }
    built_once_words(stream, input, width);
    return true;
}
