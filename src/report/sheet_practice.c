/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* How to practise the chosen setup; what is common practice is marked as such. */
#include "analysis/practice_band.h"
#include "base/language.h"
#include "base/text.h"
#include "measure/practice.h"
#include "measure/rules.h"
#include "report/digest.h"
#include "report/sheet.h"

#include <math.h>

/* ---- the band ---- */

/* In what the band is told, if at all. */
enum { BAND_UNTOLD, BAND_RANGES, BAND_HEIGHTS, BAND_MIXED };

/* 'head 885 to 917', 'chest 783 at most' */
static void limits_words(char *text, size_t size, const char *name,
                         const struct hold_settings *settings)
{
    char low[64], high[64];
    double lowest = settings->target_mm - settings->cue.band_below_mm;
    double highest = settings->target_mm + settings->cue.band_above_mm;
    say_whole(low, sizeof low, lowest);
    say_whole(high, sizeof high, highest);
    if (isfinite(lowest) && isfinite(highest)) {
        snprintf(text, size, C_("a band", "%s %s to %s"), name, low, high);
    } else if (isfinite(highest)) {
        snprintf(text, size, T_("%s %s at most"), name, high);
    } else {
        snprintf(text, size, T_("%s %s at least"), name, low);
    }
}

/* The band's limits and, in outside, where this setup's posture does not lie in them. */
static int band_words(const struct report_input *input, int setup, const struct hold_record *hold,
                      char *text, size_t size, char *outside, size_t outside_size)
{
    const struct analysis *analysis = input->analysis;
    size_t used = 0, out = 0;
    int told = 0, ranges = 0, heights = 0;
    for (int channel = 0; channel < analysis->channel_count; channel++) {
        const struct setup_estimate *estimate = &analysis->free_heights[channel].setup[setup];
        const char *name = say_sensor(analysis->channel_name[channel]);
        struct hold_settings settings;
        char limits[SAY_SIZE];
        analysis_hold_settings(input->record, analysis, hold, channel, &settings);
        if (!analysis->body[channel] || !settings.has_band || !estimate->tied) {
            continue;
        }
        told++;
        bool range = digest_is_range(input, channel);
        ranges += range ? 1 : 0;
        heights += !range && digest_absolute(input, channel) ? 1 : 0;
        limits_words(limits, sizeof limits, name, &settings);
        text_append(text, size, &used, "%s%s", used == 0 ? "" : ", ", limits);
        bool above = estimate->mean > settings.target_mm + settings.cue.band_above_mm;
        bool below = estimate->mean < settings.target_mm - settings.cue.band_below_mm;
        if (estimate->holds > 0 && (above || below)) {
            text_append(outside, outside_size, &out, "%s", out == 0 ? "" : ", ");
            text_append(outside, outside_size, &out, above ? T_("%s above it") : T_("%s below it"),
                        name);
        }
    }
    return told == 0         ? BAND_UNTOLD
           : ranges == told  ? BAND_RANGES
           : heights == told ? BAND_HEIGHTS
                             : BAND_MIXED;
}

/* A band of another posture leads back to that one: it is not to be practised in. */
static void not_its_band(struct paper *paper, const struct report_input *input,
                         const struct practice_band *band)
{
    if (band->of == PRACTICE_BAND_OTHER) {
        paper_item(paper,
                   T_("The band set on this setup is setup %d's and would lead you back to that "
                      "posture; this setup has none of its own yet."),
                   input->record->setup[band->other].number);
    } else {
        paper_item(paper, "%s",
                   T_("The band set on this setup is of a target that was entered, and your "
                      "posture lies elsewhere; this setup has none of its own yet."));
    }
    paper_item(
        paper, "%s",
        T_("Practise with a gauge only after a check hold on this setup, in a target and band "
           "of its own."));
}

/* Where the band is. False when there is one and it is not to be practised in. */
static bool band_items(struct paper *paper, const struct report_input *input, int setup,
                       const struct practice_band *band)
{
    char text[4 * SAY_SIZE] = "", list[4 * SAY_SIZE - 64], outside[2 * SAY_SIZE] = "";
    if (band->of == PRACTICE_BAND_NONE) {
        return true;
    }
    if (!practice_band_holds_good(band)) {
        not_its_band(paper, input, band);
        return false;
    }
    int told = band_words(input, setup, &band->hold, text, sizeof text, outside, sizeof outside);
    if (band->of == PRACTICE_BAND_ENTERED) {
        text_copy(list, sizeof list, text);
        snprintf(text, sizeof text, T_("%s; target entered, not taken on this setup"), list);
    }
    if (told != BAND_UNTOLD) {
        paper_item(paper,
                   told == BAND_RANGES    ? T_("The band, in mm from the sensor: %s.")
                   : told == BAND_HEIGHTS ? T_("The band, in mm above the bottom bracket: %s.")
                                          : T_("The band, in mm as the gauge shows it: %s."),
                   text);
    }
    if (outside[0] != '\0') {
        paper_item(
            paper,
            T_("The posture of this setup is not in that band (%s): let a new target be taken "
               "on it before you practise with a gauge."),
            outside);
    }
    return outside[0] == '\0';
}

/* ---- how much ---- */

/* The lowest in-band share of the channels, NAN without guided holds in this band. */
static struct practice_share worst_share(const struct report_input *input, int setup,
                                         const struct practice_band *band)
{
    struct practice_share worst = {NAN, 0, 0};
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        struct practice_share share =
            practice_share_of(input->record, input->analysis, setup, band, channel);
        if (input->analysis->body[channel] && isfinite(share.share) &&
            !(worst.share <= share.share)) {
            worst = share;
        }
    }
    return worst;
}

/* What to begin with. */
struct practice {
    int holds;
    double hold_s, rest_s;
};
#define DAYS 6 /* rows to fill in */

static double tens_of_seconds(double seconds)
{
    return 10 * fmax(1, floor(seconds / 10 + 1e-9));
}

/* As practice at home begins (measure/practice.h), three to six times. */
static struct practice pieces_of(double kept_s)
{
    double hold_s = tens_of_seconds(piece_length_first(kept_s).length_s);
    int holds = (int)fmax(3, fmin(6, floor(480 / hold_s)));
    return (struct practice){holds, hold_s, piece_rest_s(hold_s)};
}

/* From how long it was kept in a hold. */
static struct practice kept_words(struct paper *paper, const struct practice_kept *kept)
{
    const bool gone = isfinite(kept->gone_after_s);
    const double kept_s = gone ? kept->gone_after_s : kept->kept_s;
    struct practice practice = pieces_of(kept_s);
    char text[64], piece[64], hold[64];
    say_duration(text, sizeof text, kept_s);
    say_duration(piece, sizeof piece, practice.hold_s);
    say_duration(hold, sizeof hold, kept->of_s);
    if (gone) {
        paper_item(paper,
                   T_("You kept it for %s before it began to go. Practise in pieces of %s, with as "
                      "long a rest."),
                   text, piece);
    } else if (kept->kept_s > kept->of_s - SUSTAIN_BLOCK_S) {
        paper_item(paper,
                   T_("You kept it through a hold of %s to its end. Practise in pieces of %s."),
                   hold, piece);
    } else {
        paper_item(paper,
                   T_("You kept it for %s at least, in a hold of %s. Practise in pieces of %s."),
                   text, hold, piece);
    }
    return practice;
}

/* From its share of the time: pieces over a minute only where the share rests on as much. */
static struct practice share_words(struct paper *paper, const struct practice_share *share)
{
    const struct practice longest = {3, 180, 180}, longer = {4, 120, 120}, usual = {6, 60, 60};
    const bool fair = share->share >= PRACTICE_SHARE_FAIR;
    char text[64], over[64];
    say_percent(text, sizeof text, share->share);
    say_duration(over, sizeof over, share->kept_s);
    if (share->share >= PRACTICE_SHARE_GOOD && share->kept_s >= longest.hold_s) {
        paper_item(paper,
                   T_("You were in the band for %s of the time, over %s: three pieces of 3 min."),
                   text, over);
        return longest;
    }
    if (fair && share->kept_s >= longer.hold_s) {
        paper_item(paper,
                   T_("You were in the band for %s of the time, over %s: four pieces of 2 min; "
                      "longer ones once it is 9 tenths."),
                   text, over);
        return longer;
    }
    paper_item(paper,
               fair ? T_("You were in the band for %s of the time, over %s only: six pieces of "
                         "1 min; longer ones as they are kept.")
                    : T_("You were in the band for %s of the time, over %s: six pieces of 1 min, "
                         "or agree on a higher target."),
               text, over);
    return usual;
}

static struct practice practice_words(struct paper *paper, const struct report_input *input,
                                      int chosen, const struct practice_band *band,
                                      const struct practice_share *share)
{
    if (!isfinite(share->share)) {
        paper_item(paper, T_("It was not held with the gauge seen: begin with five pieces of 30 s, "
                             "a minute's rest between them."));
        return (struct practice){5, 30, 60};
    }
    struct practice_kept kept = practice_kept_of(input->record, input->analysis, chosen, band);
    return isfinite(kept.gone_after_s) || isfinite(kept.kept_s) ? kept_words(paper, &kept)
                                                                : share_words(paper, share);
}

/* How it was kept in a band says nothing where the posture is another. */
static struct practice practice_without_gauge(struct paper *paper)
{
    paper_item(paper,
               T_("Until then without a gauge: begin with five pieces of 30 s, a minute's rest "
                  "between them."));
    return (struct practice){5, 30, 60};
}

/* The first day as it begins; the others are filled in. */
static bool practice_table(struct paper *paper, const struct practice *practice,
                           struct problem *problem)
{
    const struct table_column columns[] = {
        {T_("day"), TABLE_LEFT, false},
        {T_("each"), TABLE_RIGHT, false},
        {T_("rest between"), TABLE_RIGHT, false},
        {T_("kept"), TABLE_LEFT, false},
        {T_("guess: tenths of the time kept"), TABLE_LEFT, false},
        {T_("discomfort"), TABLE_LEFT, true},
    };
    struct table *table = table_create(columns, 6);
    table_set_broad(table);
    for (int day = 1; day <= DAYS; day++) {
        char text[64] = "____";
        char kept[64] = "";
        size_t used = 0;
        table_cell_format(table, "%d", day);
        if (day == 1) {
            say_duration(text, sizeof text, practice->hold_s);
        }
        table_cell(table, text);
        if (day == 1) {
            say_duration(text, sizeof text, practice->rest_s);
        }
        table_cell(table, text);
        for (int piece = 0; piece < practice->holds; piece++) {
            text_append(kept, sizeof kept, &used, "%s\xE2\x98\x90", piece > 0 ? " " : "");
        }
        table_cell(table, kept);
        table_cell(table, "____");
        table_cell(table, "____");
    }
    bool done = paper_table(paper, table, problem);
    table_destroy(table);
    return done;
}

/* The rules of practice at home, for one who has no gauge there. found_by: in the rider's words. */
static void practice_rules(struct paper *paper, const char *found_by)
{
    if (found_by[0] != '\0') {
        paper_item(paper, T_("You said of this posture: %s"), found_by);
    }
    paper_item(paper,
               T_("To find it without a gauge: sit up, hands off; back down on the pads; breathe "
                  "out, let the chest sink and the head follow, no lower than you see far ahead. "
                  "Keep what you feel there in mind: how far the chin is from the hands."));
    paper_item(paper,
               T_("Two pieces in a row kept (in the band for %.0f tenths of the time or, without a "
                  "gauge, steady and at ease to the end): a quarter longer. One not kept: shorter "
                  "by as much."),
               10.0 * PIECE_KEPT_SHARE);
    paper_item(paper,
               T_("Discomfort, 0 to 10, goes before length: from %.0f on, or over %.0f still there "
                  "the next morning, no longer next time. At %.0f, or at numbness, tingling, "
                  "shooting pain or blurred sight: stop, and back to the studio."),
               DISCOMFORT_BACK, DISCOMFORT_MORNING, DISCOMFORT_STOP);
}

/* 'The power of the session' in numbers, where it came on the wire: of this setup's holds that
 * count. */
static void power_item(struct paper *paper, const struct report_input *input, int setup)
{
    double least = INFINITY, most = -INFINITY;
    char words[64];
    for (int hold = 0; hold < input->record->hold_count; hold++) {
        const struct hold_result *result = &input->analysis->hold[hold];
        double power_w = result->auxiliary_mean[AUXILIARY_POWER];
        if (result->counts && isfinite(power_w) &&
            input->record->build[input->record->hold[hold].build].setup == setup) {
            least = fmin(least, round(power_w));
            most = fmax(most, round(power_w));
        }
    }
    if (!isfinite(least)) {
        return;
    }
    if (most > least) {
        snprintf(words, sizeof words, C_("numbers", "%d to %d"), (int)least, (int)most);
    } else {
        snprintf(words, sizeof words, "%d", (int)least);
    }
    paper_item(paper, T_("The power of the session on this setup: %s W."), words);
}

bool sheet_practice(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    int chosen = digest_chosen(input);
    struct setup_digest digest;
    if (!sheet_may_be_ridden(input)) {
        return true;
    }
    digest_setup(input, chosen, &digest);
    paper_title(paper, T_("How to practise"));
    struct practice_band band;
    practice_band_find(input->record, input->analysis, chosen, &band);
    struct practice_share share = worst_share(input, chosen, &band);
    struct practice practice = band_items(paper, input, chosen, &band)
                                   ? practice_words(paper, input, chosen, &band, &share)
                                   : practice_without_gauge(paper);
    paper_item(paper, digest.value[RATING_SEES_AHEAD] >= (double)SEES_STRAINED
                          ? T_("On the trainer only, at the power of the session, twice a week: "
                               "not on the road before seeing ahead is easier.")
                          : T_("On the trainer, at the power of the session, twice a week; the "
                               "first rides on the road short "
                               "and with eyes ahead."));
    power_item(paper, input, chosen);
    const struct comparison_settings *settings = &input->record->settings;
    practice_rules(paper, input->record->setup[chosen].number == settings->chosen_setup
                              ? settings->found_by
                              : "");
    bool done = practice_table(paper, &practice, problem);
    paper_note(paper, T_("The numbers of pieces, minutes and limits are judgement; there is no "
                         "study behind them."));
    return done;
}
