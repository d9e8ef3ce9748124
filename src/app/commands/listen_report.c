/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/listen_report.h"

#include "app/wire_report.h"
#include "base/numbers.h"
#include "base/text.h"
#include "say/rig.h"
#include "say/wire.h"

#include <math.h>
#include <string.h>

#define COLUMN 10 /* cells of a channel's column, the mark behind it included */

static const char quality_marks[] = {' ', ' ', 'w', 's', 'r'};

static int column_width(const char *name)
{
    int width = text_width(name) + 2;
    return width > COLUMN ? width : COLUMN;
}

/* A cell that is never against the one before it: right-aligned in width, behind an empty place. */
static void print_cell(FILE *stream, const char *text, int width)
{
    text_print(stream, "%*s%s", width - text_width(text), "", text);
}

void listen_print_heading(FILE *stream, const struct rig_info *info)
{
    print_cell(stream, "seconds", COLUMN);
    for (int i = 0; i < info->channel_count; i++) {
        print_cell(stream, info->channel_name[i], column_width(info->channel_name[i]));
    }
    fputs("  mm\n", stream);
}

void listen_print_sample(FILE *stream, const struct rig_info *info, const struct sample *sample)
{
    char cell[40];
    size_t used = 0;
    char mark = ' '; /* of the channel before, in the empty place */
    text_append(cell, sizeof cell, &used, "%lld.%03d", (long long)(sample->time_us / 1000000),
                (int)(sample->time_us % 1000000 / 1000));
    print_cell(stream, cell, COLUMN);
    for (int i = 0; i < info->channel_count; i++) {
        int width = column_width(info->channel_name[i]) - 1;
        fputc(mark, stream);
        if (sample->quality[i] == READING_MISSING) {
            fprintf(stream, "%*s", width, "-");
        } else {
            fprintf(stream, "%*d.%d", width - 2, (int)(sample->range_tenth_mm[i] / 10),
                    (int)(sample->range_tenth_mm[i] % 10));
        }
        mark = quality_marks[sample->quality[i]];
    }
    if (mark != ' ') {
        fputc(mark, stream);
    }
    if (sample->lost_before > 0) {
        fprintf(stream, "  %u lost before", (unsigned)sample->lost_before);
    }
    if (sample->link_gap_before) {
        fputs("  link was down before", stream);
    }
    fputc('\n', stream);
}

static double share(uint64_t part, uint64_t whole)
{
    return whole > 0 ? 100.0 * (double)part / (double)whole : 0;
}

/* 'missing   12 (0.4 %)' in each channel's column. */
static void print_counts(FILE *stream, const struct listened *listened, const char *name,
                         const uint64_t counts[CHANNELS_MAX], bool with_share)
{
    text_print(stream, "  %-10s", name);
    for (int i = 0; i < listened->info->channel_count; i++) {
        char cell[40];
        char percent[24];
        size_t used = 0;
        text_append(cell, sizeof cell, &used, "%llu", (unsigned long long)counts[i]);
        if (with_share) {
            text_from_double(percent, sizeof percent, share(counts[i], listened->health->samples),
                             1);
            text_append(cell, sizeof cell, &used, " (%s %%)", percent);
        }
        print_cell(stream, cell, column_width(listened->info->channel_name[i]) + 6);
    }
    fputc('\n', stream);
}

static void print_numbers(FILE *stream, const struct listened *listened, const char *name,
                          const double values[CHANNELS_MAX], int decimals)
{
    text_print(stream, "  %-10s", name);
    for (int i = 0; i < listened->info->channel_count; i++) {
        char cell[40] = "-";
        if (isfinite(values[i])) {
            text_from_double(cell, sizeof cell, values[i], decimals);
        }
        print_cell(stream, cell, column_width(listened->info->channel_name[i]) + 6);
    }
    fputc('\n', stream);
}

static void print_channels(FILE *stream, const struct listened *listened)
{
    uint64_t readings[CHANNELS_MAX];
    uint64_t missing[CHANNELS_MAX];
    uint64_t doubtful[CHANNELS_MAX];
    double noise_mm[CHANNELS_MAX];
    double step_mm[CHANNELS_MAX];
    double last_mm[CHANNELS_MAX];
    fprintf(stream, "  %-10s", "");
    for (int i = 0; i < listened->info->channel_count; i++) {
        const struct channel_health *channel = &listened->health->channel[i];
        readings[i] = channel->readings;
        missing[i] = channel->missing;
        doubtful[i] = channel->doubtful;
        uint64_t good = channel->readings - channel->missing - channel->doubtful;
        noise_mm[i] = channel->noise_mm;
        step_mm[i] = channel->quantum_mm > 0 ? channel->quantum_mm : NAN;
        last_mm[i] = good > 0 ? channel->last_mm : NAN;
        print_cell(stream, listened->info->channel_name[i],
                   column_width(listened->info->channel_name[i]) + 6);
    }
    fputc('\n', stream);
    print_counts(stream, listened, "readings", readings, false);
    print_counts(stream, listened, "missing", missing, true);
    print_counts(stream, listened, "doubtful", doubtful, true);
    print_numbers(stream, listened, "noise mm", noise_mm, 1);
    print_numbers(stream, listened, "step mm", step_mm, 1);
    print_numbers(stream, listened, "last mm", last_mm, 1);
}

static uint64_t rejected_in_all(const struct decoder_counts *counts)
{
    uint64_t rejected = 0;
    for (int i = 0; i < REJECT_REASONS; i++) {
        rejected += counts->rejected[i];
    }
    return rejected;
}

/* How the rig's time lies on the computer's; nothing where that is not known. */
static void print_clock(FILE *stream, const struct rig_health *health)
{
    char number[40];
    if (!health->clock_known) {
        return;
    }
    text_from_double(number, sizeof number, fmax(health->clock_error_ms, 0.01), 2);
    fprintf(stream, "  clock       times are right to %s ms", number);
    if (health->clock_rate_known) {
        text_from_double(number, sizeof number, fabs(health->clock_rate_ppm), 0);
        fprintf(stream, "; the rig's clock runs %s ppm %s of the computer's", number,
                health->clock_rate_ppm < 0 ? "slow" : "fast");
    }
    text_from_double(number, sizeof number, health->arrival_jitter_ms, 1);
    fprintf(stream, "; arrivals jitter by %s ms\n", number);
}

static void print_link(FILE *stream, const struct listened *listened)
{
    const struct rig_health *health = listened->health;
    const struct decoder_counts *counts = listened->counts;
    char number[40];
    if (listened->info->has_sequence) {
        text_from_double(number, sizeof number, share(health->lost, health->lost + health->samples),
                         1);
        fprintf(stream, "  lost        %llu (%s %%)", (unsigned long long)health->lost, number);
    } else {
        fputs("  lost        unknown: the rig does not number its lines", stream);
    }
    text_from_double(number, sizeof number, health->worst_gap_ms, 0);
    fprintf(stream, "; longest gap %s ms\n", number);
    uint64_t rejected = rejected_in_all(counts);
    fprintf(stream, "  rejected    %llu of %llu lines", (unsigned long long)rejected,
            (unsigned long long)counts->lines);
    const char *between = ": ";
    for (int i = 0; i < REJECT_REASONS; i++) {
        if (counts->rejected[i] > 0) {
            fprintf(stream, "%s%llu %s", between, (unsigned long long)counts->rejected[i],
                    reject_reason_text((enum reject_reason)i));
            between = ", ";
        }
    }
    if (counts->skipped > 0) {
        fprintf(stream, "; passed over %llu without readings", (unsigned long long)counts->skipped);
    }
    fputc('\n', stream);
}

void listen_print_report(FILE *stream, const struct listened *listened)
{
    const struct rig_health *health = listened->health;
    char seconds[40];
    char rate[40];
    char announced[40];
    text_from_double(seconds, sizeof seconds, listened->seconds, 1);
    text_from_double(rate, sizeof rate, health->rate_hz, 1);
    text_from_double(announced, sizeof announced, health->announced_rate_hz, 1);
    text_print(stream, "\n%s%s%s: %llu samples in %s s, %s a second", listened->name,
               listened->info->id[0] != '\0' ? ", rig " : "", listened->info->id,
               (unsigned long long)health->samples, seconds, rate);
    if (health->announced_rate_hz > 0) {
        fprintf(stream, " (announced: %s)", announced);
    }
    fputc('\n', stream);
    print_link(stream, listened);
    print_clock(stream, health);
    wire_report_notes(stream, "  ", listened->info);
    print_channels(stream, listened);
    char text[2 * SAY_SIZE];
    int findings = 0;
    for (int i = 0; i < listened->info->note_count; i++) { /* told above */
        findings += say_wire_note_is_finding(&listened->info->note[i]) ? 1 : 0;
    }
    for (int i = 0; i < RIG_FINDINGS; i++) {
        if (say_rig_finding(text, sizeof text, (enum rig_finding)i, health, listened->counts,
                            listened->assumed_rate_hz)) {
            text_print(stream, "! %s\n", text);
            findings++;
        }
    }
    for (int c = 0; c < listened->info->channel_count; c++) {
        for (int i = 0; say_sensor_finding(text, sizeof text, i, listened->info->channel_name[c],
                                           &health->channel[c], health->samples);
             i++, findings++) {
            text_print(stream, "! %s\n", text);
        }
    }
    if (findings == 0) {
        fputs("nothing to complain of\n", stream);
    }
}
