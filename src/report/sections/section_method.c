/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* How it was measured, and the cautions. */
#include "base/text.h"
#include "channel_items.h"
#include "report/cautions.h"
#include "report/digest.h"
#include "report/sections.h"

#include <math.h>

/* What is behind the channel's name. */
static void channel_words(const struct channel_record *channel, char *text, size_t size)
{
    char x[64], y[64], tilt[64];
    size_t used = 0;
    text_copy(text, size, "");
    if (channel->role != ROLE_BODY) {
        text_append(text, size, &used, " (%s)", word_of(&channel_role_words, channel->role));
    }
    if (channel->mark[0] != '\0') {
        text_append(text, size, &used, ", aimed at the %s", channel->mark);
    }
    if (!channel->mounted) {
        text_append(text, size, &used, ": where the sensor is fixed was not given");
    } else {
        text_append(text, size, &used, ": on the %s, looks %s",
                    carrier_words[channel->mount.carrier], look_word(channel->mount.direction));
        if (isfinite(channel->mount.x_mm) && isfinite(channel->mount.y_mm)) {
            say_signed(x, sizeof x, channel->mount.x_mm, 0);
            say_signed(y, sizeof y, channel->mount.y_mm, 0);
            text_append(text, size, &used, ", x %s mm, y %s mm from its reference point", x, y);
        } else {
            text_append(text, size, &used, ", its height not given");
        }
        if (fabs(channel->mount.tilt_deg) > 0) {
            say_number(tilt, sizeof tilt, channel->mount.tilt_deg, 1);
            text_append(text, size, &used, ", beam %s\u00B0 from the vertical", tilt);
        }
    }
    if (fabs(channel->gain - 1) > 0 || fabs(channel->offset_mm) > 0) {
        say_number(x, sizeof x, channel->gain, 4);
        say_signed(y, sizeof y, channel->offset_mm, 1);
        text_append(text, size, &used, ", calibrated: %s x range %s mm", x, y);
    }
}

static void channel_lines(struct paper *paper, const struct placing_record *placing)
{
    struct channel_items items = {.count = placing->channel_count};
    for (int channel = 0; channel < placing->channel_count; channel++) {
        items.name[channel] = placing->channel[channel].name;
        channel_words(&placing->channel[channel], items.text[channel], CHANNEL_ITEM_SIZE);
    }
    channel_items_write(paper, &items, "");
}

static bool same_check(const struct check_record *a, const struct check_record *b)
{
    return a->placing == b->placing && a->kind == b->kind && a->channel == b->channel;
}

/* Lowest and highest rate over the holds, as it was and not as announced. */
static void rate_words(const struct report_input *input, char *text, size_t size)
{
    double lowest = INFINITY, highest = 0;
    char low[64], high[64];
    for (int hold = 0; hold < input->record->hold_count; hold++) {
        for (int channel = 0; channel < input->analysis->channel_count; channel++) {
            const struct hold_result *result = &input->analysis->hold[hold];
            double rate = result->summary[channel].effective_rate_hz;
            if (result->has[channel] && rate > 0) {
                lowest = fmin(lowest, rate);
                highest = fmax(highest, rate);
            }
        }
    }
    text_copy(text, size, "");
    if (highest > 0) {
        say_number(low, sizeof low, lowest, 1);
        say_number(high, sizeof high, highest, 1);
        if (text_equal(low, high)) {
            snprintf(text, size, ", %s in the holds", low);
        } else {
            snprintf(text, size, ", %s to %s in the holds", low, high);
        }
    }
}

/* 'Checked: rider passed; step of head failed, then passed.' of one placing, each kind and sensor
 * once, in the order in which they were made first. */
static void checked_line(struct paper *paper, const struct session_record *record, int placing)
{
    char text[2048] = "";
    size_t used = 0;
    for (int i = 0; i < record->check_count; i++) {
        const struct check_record *check = &record->check[i];
        bool first = check->placing == placing;
        for (int k = 0; first && k < i; k++) {
            first = !same_check(check, &record->check[k]);
        }
        if (!first) {
            continue;
        }
        text_append(text, sizeof text, &used, "%s%s%s%s", used > 0 ? "; " : "",
                    word_of(&check_kind_words, check->kind), check->channel >= 0 ? " of " : "",
                    check->channel >= 0 ? record->placing[placing].channel[check->channel].name
                                        : "");
        const char *before = "";
        for (int k = i; k < record->check_count; k++) {
            const char *word = word_of(&check_verdict_words, record->check[k].verdict);
            if (same_check(check, &record->check[k]) && !text_equal(word, before)) {
                text_append(text, sizeof text, &used, "%s %s", k > i ? ", then" : "", word);
                before = word;
            }
        }
    }
    if (used > 0) {
        paper_item(paper, "Checked in this placing: %s.", text);
    } else {
        paper_item(paper, "Not checked in this placing: neither rider, beam, step nor still test.");
    }
}

static void placing_lines(struct paper *paper, const struct report_input *input, int index)
{
    const struct placing_record *placing = &input->record->placing[index];
    char rate[64], held[SAY_SIZE] = "";
    say_number(rate, sizeof rate, placing->announced_rate_hz, 1);
    if (input->record->placing_count == 1) {
        rate_words(input, held, sizeof held);
    }
    paper_line(paper, "Placing %d of the sensors: rig %s, %s readings a second announced%s.",
               index + 1, placing->rig_id[0] != '\0' ? placing->rig_id : "without a name",
               placing->announced_rate_hz > 0 ? rate : "no number of", held);
    channel_lines(paper, placing);
    checked_line(paper, input->record, index);
}

static void heights_lines(struct paper *paper, const struct report_input *input)
{
    for (int placing = 0; placing < input->record->placing_count; placing++) {
        placing_lines(paper, input, placing);
    }
    paper_paragraph(
        paper,
        "Height = sensor's height above the bottom bracket plus (looking up) or minus the range "
        "along the beam times the cosine of its tilt. Outliers go by the Hampel rule; the "
        "beginning of a hold is cut where a model of the hold (level, wander, breathing) says that "
        "it had not settled, and a hold that had not by a third stands where it was going; creep "
        "and steps come from the same model; a hold's own error comes from block means with an "
        "AR(1) correction. Setups are compared "
        "on the means of free holds by least squares with pooled repeatability, t intervals, "
        "order as covariate where the plan carries it, the ties' uncertainty in quadrature "
        "once per build; the 95 %% intervals of all differences from the first setup hold together "
        "(Dunnett), and a verdict is read off the interval beside it.");
}

bool section_method(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    const struct session_record *record = input->record;
    char uuid[UUID_TEXT_SIZE];
    (void)problem;
    paper_title(paper, "How it was measured");
    if (record->capture_count > 0 || record->run_count == 0) {
        heights_lines(paper, input);
    }
    uuid_text(uuid, &record->uuid);
    paper_paragraph(paper, "Session %s, %lld samples, recorded by holdline %s, seed %llu.", uuid,
                    (long long)record->last_sample,
                    record->version[0] != '\0' ? record->version : "(version not known)",
                    (unsigned long long)record->seed);
    return true;
}

bool section_cautions(struct paper *paper, const struct report_input *input,
                      struct problem *problem)
{
    (void)input;
    (void)problem;
    paper_title(paper, "Cautions");
    for (int i = 0; i < CAUTIONS; i++) {
        paper_item(paper, "%s", report_cautions[i]);
    }
    return true;
}
