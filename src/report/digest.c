/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/digest.h"

#include "base/language.h"
#include "base/text.h"
#include "say/setup.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static int ascending(const void *left, const void *right)
{
    double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

/* Sorts values. */
static double median(double *values, int count)
{
    if (count == 0) {
        return NAN;
    }
    qsort(values, (size_t)count, sizeof *values, ascending);
    int middle = count / 2;
    return count % 2 == 1 ? values[middle] : (values[middle - 1] + values[middle]) / 2;
}

bool digest_numb_text(const struct setup_digest *digest, bool in_sentence, char *text, size_t size)
{
    char before[SAY_SIZE];
    bool any = false;
    text_copy(text, size, "");
    for (int item = 0; item < RATING_ITEMS; item++) {
        const struct rating_field *field = &rating_fields[item];
        if (field->blocks != BLOCKS_NUMB || !rating_blocks(item, digest->value[item])) {
            continue;
        }
        text_copy(before, sizeof before, text);
        if (any) {
            snprintf(text, size, in_sentence ? C_("list", "%s and %s") : "%s, %s", before,
                     T_(field->where));
        } else {
            text_copy(text, size, T_(field->where));
        }
        any = true;
    }
    return any;
}

int digest_numb_unasked(const struct setup_digest *digest, char *text, size_t size)
{
    size_t used = 0;
    int asked = 0;
    text_copy(text, size, "");
    for (int item = 0; item < RATING_ITEMS; item++) {
        const struct rating_field *field = &rating_fields[item];
        if (field->blocks == BLOCKS_NUMB && isnan(digest->value[item])) {
            text_append(text, size, &used, "%s%s", used > 0 ? ", " : "", T_(field->where));
        } else if (field->blocks == BLOCKS_NUMB) {
            asked++;
        }
    }
    return asked;
}

struct bike_limits digest_limits(const struct report_input *input)
{
    struct bike_limits limits = input->record->limits;
    if (input->limits != NULL) {
        bike_limits_add(&limits, input->limits);
    }
    return limits;
}

void digest_limits_passed(const struct report_input *input, int setup, char *text, size_t size)
{
    struct bike_limits limits = digest_limits(input);
    bike_limits_passed(&limits, &input->record->setup[setup].bike, text, size);
}

const struct placing_record *digest_placing(const struct report_input *input, int build)
{
    const struct session_record *record = input->record;
    int placing = build >= 0 && build < record->build_count ? record->build[build].placing : -1;
    return placing >= 0 && placing < record->placing_count ? &record->placing[placing] : NULL;
}

const struct setup_record *digest_setup_of_hold(const struct report_input *input, int hold)
{
    const struct session_record *record = input->record;
    int build = record->hold[hold].build;
    return &record->setup[record->build[build].setup];
}

int digest_build_at(const struct session_record *record, int64_t sample)
{
    int found = -1;
    for (int build = 0; build < record->build_count; build++) {
        if (record->build[build].first_sample <= sample) {
            found = build;
        }
    }
    return found;
}

bool digest_is_range(const struct report_input *input, int channel)
{
    const struct session_record *record = input->record;
    for (int p = 0; p < record->placing_count; p++) {
        if (channel < record->placing[p].channel_count &&
            record->placing[p].channel[channel].mounted) {
            return false;
        }
    }
    return true;
}

const char *digest_measured(const struct report_input *input, int channel)
{
    return digest_is_range(input, channel) ? "range" : "height";
}

bool digest_absolute(const struct report_input *input, int channel)
{
    const struct session_record *record = input->record;
    bool any = false;
    for (int build = 0; build < record->build_count; build++) {
        const struct placing_record *placing = digest_placing(input, build);
        const struct tie *tie = &input->analysis->tie[build][channel];
        if (placing == NULL || channel >= placing->channel_count || tie->kind == TIE_NONE) {
            continue;
        }
        if (!tie->absolute) {
            return false;
        }
        any = true;
    }
    return any;
}

void digest_day(const struct report_input *input, char *text, size_t size)
{
    say_day(text, size, input->record->started_ms);
}

void digest_measure(char *text, size_t size, double value, const char *unit)
{
    char amount[64];
    say_exact(amount, sizeof amount, value);
    say_with_unit(text, size, amount, unit);
}

/* Sums over the holds of one kind of a setup. */
struct hold_sums {
    int count, creeps, bands;
    double log_steadiness, share, up, low;
    int steady;
    double creep[HOLDS_MAX];
};

static void add_hold(const struct hold_summary *summary, struct hold_sums *sums)
{
    sums->count++;
    if (summary->steadiness_mm > 0) {
        sums->log_steadiness += log(summary->steadiness_mm);
        sums->steady++;
    }
    if (summary->has_creep) {
        sums->creep[sums->creeps++] = summary->creep_mm_per_min;
    }
    if (summary->has_band) {
        sums->share += summary->in_band_share;
        sums->up += summary->excursions_high;
        sums->low += summary->excursions_low;
        sums->bands++;
    }
}

static double over(double sum, int count)
{
    return count > 0 ? sum / count : NAN;
}

static double steadiness_of(const struct hold_sums *sums)
{
    return sums->steady > 0 ? exp(sums->log_steadiness / sums->steady) : NAN;
}

static void digest_channel(const struct report_input *input, int setup, int channel,
                           struct channel_digest *digest)
{
    const struct session_record *record = input->record;
    struct hold_sums sums[2];
    memset(sums, 0, sizeof sums);
    for (int hold = 0; hold < record->hold_count; hold++) {
        const struct hold_result *result = &input->analysis->hold[hold];
        bool mine = record->build[record->hold[hold].build].setup == setup;
        bool guided = record->hold[hold].guided;
        if (mine && result->counts && result->has[channel] &&
            result->summary[channel].status == MEASURE_OK &&
            (!guided || result->summary[channel].has_interval)) { /* practice hangs on these */
            add_hold(&result->summary[channel], &sums[guided ? 1 : 0]);
        }
    }
    digest->free_holds = sums[0].count;
    digest->guided_holds = sums[1].count;
    digest->steadiness_free_mm = steadiness_of(&sums[0]);
    digest->steadiness_guided_mm = steadiness_of(&sums[1]);
    digest->creep_free = median(sums[0].creep, sums[0].creeps);
    digest->creep_guided = median(sums[1].creep, sums[1].creeps);
    digest->in_band_share = over(sums[1].share, sums[1].bands);
    digest->came_up = over(sums[1].up, sums[1].bands);
    digest->went_low = over(sums[1].low, sums[1].bands);
}

void digest_setup(const struct report_input *input, int setup, struct setup_digest *digest)
{
    const struct session_record *record = input->record;
    memset(digest, 0, sizeof *digest);
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        digest_channel(input, setup, channel, &digest->channel[channel]);
    }
    for (int i = 0; i < record->rating_count; i++) {
        if (record->rating[i].setup == setup) {
            digest->ratings[digest->rating_count++] = i;
        }
    }
    for (int item = 0; item < RATING_ITEMS; item++) {
        digest->value[item] = setup_rating(record, setup, item);
    }
}

/* The values given, in the order of the ratings. */
static int values_of(const struct report_input *input, const struct setup_digest *digest, int item,
                     double values[RATINGS_MAX])
{
    int count = 0;
    for (int i = 0; i < digest->rating_count; i++) {
        double value = input->record->rating[digest->ratings[i]].value[item];
        if (!isnan(value)) {
            values[count++] = value;
        }
    }
    return count;
}

static bool all_equal(const double *values, int count)
{
    for (int i = 1; i < count; i++) {
        if (values[i] < values[0] || values[i] > values[0]) {
            return false;
        }
    }
    return true;
}

void digest_item_text(const struct report_input *input, const struct setup_digest *digest, int item,
                      char *text, size_t size)
{
    const struct rating_field *field = &rating_fields[item];
    double values[RATINGS_MAX];
    int count = values_of(input, digest, item, values);
    char number[32];
    size_t used = 0;
    text_copy(text, size,
              field->kind == RATING_WORD ? say_rated_word(item, digest->value[item]) : "-");
    if (count == 0 || field->kind == RATING_WORD) {
        return;
    }
    say_exact(number, sizeof number, digest->value[item]);
    text_append(text, size, &used, "%s%s%s", number, field->unit[0] != '\0' ? " " : "",
                field->unit);
    if (count > 1 && all_equal(values, count)) {
        text_append(text, size, &used, " ");
        if (count == 2) {
            text_append(text, size, &used, "%s", T_("(twice)"));
        } else {
            text_append(text, size, &used, T_("(%d times)"), count);
        }
        return;
    }
    for (int i = 0; count > 1 && i < count; i++) {
        say_exact(number, sizeof number, values[i]);
        text_append(text, size, &used, "%s%s", i == 0 ? " (" : ", ", number);
    }
    if (count > 1) {
        text_append(text, size, &used, ")");
    }
}

void digest_discomfort_text(const struct report_input *input, const struct setup_digest *digest,
                            char *text, size_t size)
{
    double left[RATING_ITEMS];
    size_t used = 0;
    memcpy(left, digest->value, sizeof left);
    text_copy(text, size, say_no_discomfort(left));
    for (int worst = say_worst_region(left); worst >= 0; worst = say_worst_region(left)) {
        char values[SAY_SIZE];
        digest_item_text(input, digest, worst, values, sizeof values);
        text_append(text, size, &used, "%s%s %s", used == 0 ? "" : ", ",
                    T_(rating_fields[worst].words), values);
        left[worst] = NAN;
    }
}

double digest_moved_mm(double from_mm, double to_mm)
{
    return fabs(to_mm - from_mm) < DIGEST_MOVED_MM ? 0.0 : round(to_mm) - round(from_mm);
}

int digest_found(const struct report_input *input)
{
    return input->record->build_count > 0 ? input->record->build[0].setup : 0;
}

int digest_chosen(const struct report_input *input)
{
    int number =
        input->chosen_setup > 0 ? input->chosen_setup : input->record->settings.chosen_setup;
    return number > 0 ? session_record_setup(input->record, number) : -1;
}

void digest_setup_label(const struct session_record *record, int setup, char *text, size_t size)
{
    const struct setup_record *recorded = &record->setup[setup];
    char changes[TEXT_SIZE];
    if (recorded->intent[0] != '\0') {
        snprintf(text, size, "%d  %s", recorded->number, say_intent(recorded->intent));
        return;
    }
    if (setup == 0) {
        snprintf(text, size, "%d", recorded->number);
        return;
    }
    bike_changes_text(changes, sizeof changes, &record->setup[setup - 1].bike, &recorded->bike);
    snprintf(text, size, "%d  %s", recorded->number, changes);
}
