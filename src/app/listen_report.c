#include "app/listen_report.h"

#include "base/text.h"

#include <math.h>
#include <string.h>

#define COLUMN 10 /* cells of a channel's column, the mark behind it included */

static const char *const quality_words[] = {"good", "missing", "weak", "saturated", "out of range"};
static const char quality_marks[] = {' ', ' ', 'w', 's', 'r'};

static int column_width(const char *name)
{
    int width = text_width(name) + 2;
    return width > COLUMN ? width : COLUMN;
}

/* Right-aligned in width cells, with an empty cell behind. */
static void print_cell(FILE *stream, const char *text, int width)
{
    fprintf(stream, "%*s%s ", width - 1 - text_width(text), "", text);
}

void listen_print_heading(FILE *stream, const struct rig_info *info)
{
    print_cell(stream, "seconds", COLUMN + 1);
    for (int i = 0; i < info->channel_count; i++) {
        print_cell(stream, info->channel_name[i], column_width(info->channel_name[i]));
    }
    fputs(" mm\n", stream);
}

void listen_print_sample(FILE *stream, const struct rig_info *info, const struct sample *sample)
{
    char cell[40];
    size_t used = 0;
    text_append(cell, sizeof cell, &used, "%lld.%03d", (long long)(sample->time_us / 1000000),
                (int)(sample->time_us % 1000000 / 1000));
    print_cell(stream, cell, COLUMN + 1);
    for (int i = 0; i < info->channel_count; i++) {
        int width = column_width(info->channel_name[i]) - 1;
        int quality = sample->quality[i];
        if (quality == READING_MISSING) {
            fprintf(stream, "%*s ", width, "-");
        } else {
            fprintf(stream, "%*d.%d%c", width - 2, (int)(sample->range_tenth_mm[i] / 10),
                    (int)(sample->range_tenth_mm[i] % 10), quality_marks[quality]);
        }
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
    fprintf(stream, "  %-10s", name);
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
    fprintf(stream, "  %-10s", name);
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
        noise_mm[i] = channel->noise_mm;
        step_mm[i] = channel->quantum_mm > 0 ? channel->quantum_mm : NAN;
        last_mm[i] = channel->last_mm;
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

static void print_link(FILE *stream, const struct listened *listened)
{
    const struct rig_health *health = listened->health;
    char number[40];
    uint64_t lines = listened->counts->lines;
    text_from_double(number, sizeof number, share(health->lost, health->lost + health->samples), 1);
    fprintf(stream, "  lost        %llu (%s %%)", (unsigned long long)health->lost, number);
    if (!listened->info->has_sequence) {
        fputs(", if any: the rig numbers no lines", stream);
    }
    text_from_double(number, sizeof number, health->worst_gap_ms, 0);
    fprintf(stream, "; longest gap %s ms\n", number);
    uint64_t rejected = 0;
    for (int i = 0; i < REJECT_REASONS; i++) {
        rejected += listened->counts->rejected[i];
    }
    fprintf(stream, "  rejected    %llu of %llu lines", (unsigned long long)rejected,
            (unsigned long long)lines);
    const char *between = ": ";
    for (int i = 0; i < REJECT_REASONS; i++) {
        if (listened->counts->rejected[i] > 0) {
            fprintf(stream, "%s%llu %s", between, (unsigned long long)listened->counts->rejected[i],
                    reject_reason_text((enum reject_reason)i));
            between = ", ";
        }
    }
    fprintf(stream, "%s%llu other lines passed over\n", rejected > 0 ? "; " : ", ",
            (unsigned long long)listened->counts->skipped);
}

/* What a person should look at, a sentence each. Returns how many. */
static int print_findings(FILE *stream, const struct listened *listened)
{
    const struct rig_health *health = listened->health;
    int findings = 0;
    if (health->rate_differs) {
        char percent[40];
        text_from_double(percent, sizeof percent,
                         100 * fabs(health->rate_hz / health->announced_rate_hz - 1), 0);
        fprintf(stream, "! the rate is %s %% %s the announced one\n", percent,
                health->rate_hz > health->announced_rate_hz ? "above" : "below");
        findings++;
    }
    if (health->times_down > 0) {
        fprintf(stream, "! the link was down %llu times\n", (unsigned long long)health->times_down);
        findings++;
    }
    if (health->clock_restarts > 0) {
        fprintf(stream, "! the rig's clock started anew %llu times\n",
                (unsigned long long)health->clock_restarts);
        findings++;
    }
    for (int i = 0; i < listened->info->channel_count; i++) {
        const struct channel_health *channel = &health->channel[i];
        const char *name = listened->info->channel_name[i];
        const char *finding =
            channel->stuck     ? "the same value for over 2 s: stuck, or not a living body"
            : channel->blocked ? "only very short ranges: is the sensor's window covered?"
            : channel->recent_valid_share < 0.5
                ? "fewer than half of the last readings are good: is the beam on the body?"
                : NULL;
        if (finding != NULL) {
            fprintf(stream, "! %s: %s\n", name, finding);
            findings++;
        }
    }
    return findings;
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
    fprintf(stream, "\n%s%s%s: %llu samples in %s s, %s a second", listened->name,
            listened->info->id[0] != '\0' ? ", rig " : "", listened->info->id,
            (unsigned long long)health->samples, seconds, rate);
    if (health->announced_rate_hz > 0) {
        fprintf(stream, " (announced: %s)", announced);
    }
    fputc('\n', stream);
    print_link(stream, listened);
    print_channels(stream, listened);
    if (print_findings(stream, listened) == 0) {
        fputs("nothing to complain of\n", stream);
    }
}

void listen_json_sample(struct json_writer *writer, const struct rig_info *info,
                        const struct sample *sample)
{
    json_object_begin(writer);
    json_member_integer(writer, "number", sample->number);
    json_name(writer, "time_s");
    json_rounded(writer, (double)sample->time_us / 1e6, 6);
    json_member_integer(writer, "lost_before", sample->lost_before);
    json_member_boolean(writer, "link_gap_before", sample->link_gap_before);
    json_name(writer, "channels");
    json_object_begin(writer);
    for (int i = 0; i < info->channel_count; i++) {
        json_name(writer, info->channel_name[i]);
        json_object_begin(writer);
        json_name(writer, "range_mm");
        if (sample->quality[i] == READING_MISSING) {
            json_null(writer);
        } else {
            json_rounded(writer, sample->range_tenth_mm[i] / 10.0, 1);
        }
        json_member_string(writer, "quality", quality_words[sample->quality[i]]);
        json_object_end(writer);
    }
    json_object_end(writer);
    json_object_end(writer);
    fputc('\n', writer->stream);
}

static void json_rejected(struct json_writer *writer, const struct decoder_counts *counts)
{
    json_name(writer, "rejected");
    json_object_begin(writer);
    for (int i = 0; i < REJECT_REASONS; i++) {
        json_member_integer(writer, reject_reason_text((enum reject_reason)i),
                            (int64_t)counts->rejected[i]);
    }
    json_object_end(writer);
}

static void json_channel(struct json_writer *writer, const char *name,
                         const struct channel_health *channel)
{
    json_name(writer, name);
    json_object_begin(writer);
    json_member_integer(writer, "readings", (int64_t)channel->readings);
    json_member_integer(writer, "missing", (int64_t)channel->missing);
    json_member_integer(writer, "doubtful", (int64_t)channel->doubtful);
    json_member_number(writer, "recent_good_share", channel->recent_valid_share);
    json_member_number(writer, "noise_mm", channel->noise_mm);
    json_member_number(writer, "step_mm", channel->quantum_mm);
    json_member_boolean(writer, "stuck", channel->stuck);
    json_member_boolean(writer, "blocked", channel->blocked);
    json_object_end(writer);
}

void listen_json_report(struct json_writer *writer, const struct listened *listened)
{
    const struct rig_health *health = listened->health;
    json_object_begin(writer);
    json_name(writer, "health");
    json_object_begin(writer);
    json_member_string(writer, "link", listened->name);
    json_member_string(writer, "rig", listened->info->id);
    json_member_string(writer, "dialect", listened->info->dialect);
    json_member_integer(writer, "samples", (int64_t)health->samples);
    json_name(writer, "seconds");
    json_rounded(writer, listened->seconds, 3);
    json_name(writer, "rate_hz");
    json_rounded(writer, health->rate_hz, 3);
    json_name(writer, "announced_rate_hz");
    if (health->announced_rate_hz > 0) {
        json_number(writer, health->announced_rate_hz);
    } else {
        json_null(writer);
    }
    json_member_boolean(writer, "rate_differs", health->rate_differs);
    json_member_integer(writer, "lost", (int64_t)health->lost);
    json_name(writer, "longest_gap_ms");
    json_rounded(writer, health->worst_gap_ms, 1);
    json_member_integer(writer, "lines", (int64_t)listened->counts->lines);
    json_member_integer(writer, "passed_over", (int64_t)listened->counts->skipped);
    json_rejected(writer, listened->counts);
    json_member_integer(writer, "times_down", (int64_t)health->times_down);
    json_member_integer(writer, "clock_restarts", (int64_t)health->clock_restarts);
    json_name(writer, "channels");
    json_object_begin(writer);
    for (int i = 0; i < listened->info->channel_count; i++) {
        json_channel(writer, listened->info->channel_name[i], &health->channel[i]);
    }
    json_object_end(writer);
    json_object_end(writer);
    json_object_end(writer);
    fputc('\n', writer->stream);
}
