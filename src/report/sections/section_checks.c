/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Checks of the sensors: what was found, with its numbers. */
#include "analysis/check.h"
#include "base/text.h"
#include "report/digest.h"
#include "report/sections.h"

#include <math.h>

#define LIST_SIZE 2048

static const char *channel_name(const struct session_record *record,
                                const struct check_record *check, int channel)
{
    return record->placing[check->placing].channel[channel].name;
}

static const char *const rider_phases[] = {"pedalling", "nodding", "hands", "coming up"};

/* 'noise 1.8 mm, drift +0.1 mm/min' of one channel. */
static void numbers_of(const struct check_record *check, int channel, char *text, size_t size)
{
    size_t used = 0;
    text[0] = '\0';
    for (int i = 0; i < check->number_count; i++) {
        const struct check_number *number = &check->number[i];
        const struct check_quantity_field *field = &check_quantities[number->quantity];
        char value[40];
        if (number->channel != channel) {
            continue;
        }
        text_from_double(value, sizeof value, number->value,
                         text_equal(field->unit, "")       ? 4
                         : number->quantity == CHECK_RANGE ? 1
                                                           : 2);
        text_append(text, size, &used, "%s%s", used > 0 ? ", " : "", field->words);
        if (check->kind == CHECK_CALIBRATION && number->quantity == CHECK_RANGE) {
            char known[40];
            text_from_double_shortest(known, sizeof known, check->asked_mm[number->phase]);
            text_append(text, size, &used, " at %s", known);
        } else if (check->kind == CHECK_RIDER && number->phase < 4) {
            text_append(text, size, &used, " (%s)", rider_phases[number->phase]);
        }
        text_append(text, size, &used, " %s%s%s", value, text_equal(field->unit, "") ? "" : " ",
                    field->unit);
    }
}

bool section_checks(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    const struct session_record *record = input->record;
    (void)problem;
    if (record->check_count == 0) {
        return true;
    }
    paper_title(paper, "Checks of the sensors");
    for (int i = 0; i < record->check_count; i++) {
        const struct check_record *check = &record->check[i];
        const struct placing_record *placing = &record->placing[check->placing];
        char when[48] = "", placed[48] = "";
        if (isfinite(check_time_s(record, check))) {
            say_clock(when, sizeof when, check_time_s(record, check));
        }
        if (record->placing_count > 1) {
            snprintf(placed, sizeof placed, ", placing %d", check->placing + 1);
        }
        paper_label(paper, "%d %s%s%s: %s%s%s%s", i + 1, word_of(&check_kind_words, check->kind),
                    check->channel >= 0 ? ", " : "",
                    check->channel >= 0 ? channel_name(record, check, check->channel) : "",
                    word_of(&check_verdict_words, check->verdict), when[0] != '\0' ? " at " : "",
                    when, placed);
        paper_under(paper, "%s", check->words);
        for (int c = 0; c < placing->channel_count; c++) {
            char text[LIST_SIZE];
            numbers_of(check, c, text, sizeof text);
            if (text[0] != '\0') {
                paper_under(paper, "%s: %s", placing->channel[c].name, text);
            }
        }
    }
    return true;
}
