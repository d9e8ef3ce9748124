/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/listen_report.h"
#include "rig/auxiliary.h"

#include <math.h>

void listen_json_sample(FILE *stream, const struct rig_info *info, const struct sample *sample)
{
    struct json_writer of_line, *writer = &of_line;
    json_document_begin(writer, stream, false, "holdline-sample", 1);
    json_member_integer(writer, "number", sample->number);
    json_member_rounded(writer, "time_s", (double)sample->time_us / 1e6, 6);
    json_member_integer(writer, "lost_before", sample->lost_before);
    json_member_boolean(writer, "link_gap_before", sample->link_gap_before);
    json_object_member(writer, "channels");
    for (int i = 0; i < info->channel_count; i++) {
        json_object_member(writer, info->channel_name[i]);
        bool there = sample->quality[i] != READING_MISSING;
        bool is_range = auxiliary_of(info->channel_name[i]) < 0;
        json_member_rounded(writer, is_range ? "range_mm" : "other_value",
                            there ? sample->range_tenth_mm[i] / 10.0 : (double)NAN, 1);
        json_member_string(writer, "quality", word_of(&quality_words, sample->quality[i]));
        json_object_end(writer);
    }
    json_object_end(writer);
    json_object_end(writer);
    fputc('\n', stream);
}

static void json_rejected(struct json_writer *writer, const struct decoder_counts *counts)
{
    json_object_member(writer, "rejected");
    for (int i = 0; i < REJECT_REASONS; i++) {
        json_member_integer(writer, reject_reason_text((enum reject_reason)i),
                            (int64_t)counts->rejected[i]);
    }
    json_object_end(writer);
}

static void json_channel(struct json_writer *writer, const char *name,
                         const struct channel_health *channel)
{
    enum health_trouble trouble = health_trouble(channel);
    json_object_member(writer, name);
    json_member_integer(writer, "readings", (int64_t)channel->readings);
    json_member_integer(writer, "missing", (int64_t)channel->missing);
    json_member_integer(writer, "doubtful", (int64_t)channel->doubtful);
    json_member_number(writer, "recent_good_share", channel->recent_valid_share);
    json_member_number(writer, "noise_mm", channel->noise_mm);
    json_member_if(writer, "step_mm", channel->quantum_mm > 0, channel->quantum_mm);
    json_member_boolean(writer, "stuck", channel->stuck);
    json_member_boolean(writer, "blocked", channel->blocked);
    json_member_boolean(writer, "two_levels", channel->two_levels);
    json_member_number(writer, "stuck_s", channel->stuck_s);
    json_member_number(writer, "blocked_s", channel->blocked_s);
    json_member_number(writer, "two_levels_s", channel->two_levels_s);
    json_member_string(writer, "trouble",
                       trouble != HEALTH_WELL ? health_trouble_word(trouble) : NULL);
    json_object_end(writer);
}

void listen_json_report(FILE *stream, const struct listened *listened)
{
    struct json_writer of_line, *writer = &of_line;
    const struct rig_health *health = listened->health;
    json_document_begin(writer, stream, false, "holdline-health", 1);
    json_object_member(writer, "health");
    json_member_string(writer, "link", listened->name);
    json_member_string(writer, "rig", listened->info->id);
    json_member_string(writer, "dialect", listened->info->dialect);
    json_member_integer(writer, "samples", (int64_t)health->samples);
    json_member_rounded(writer, "seconds", listened->seconds, 3);
    json_member_rounded(writer, "rate_hz", health->rate_hz, 3);
    json_member_rounded(writer, "sent_rate_hz", health->sent_rate_hz, 3);
    json_member_if(writer, "announced_rate_hz", health->announced_rate_hz > 0,
                   health->announced_rate_hz);
    json_member_boolean(writer, "rate_differs", health->rate_differs);
    json_member_integer(writer, "lost", (int64_t)health->lost);
    json_member_rounded(writer, "longest_gap_ms", health->worst_gap_ms, 1);
    json_member_integer(writer, "lines", (int64_t)listened->counts->lines);
    json_member_integer(writer, "passed_over", (int64_t)listened->counts->skipped);
    json_rejected(writer, listened->counts);
    json_member_integer(writer, "times_down", (int64_t)health->times_down);
    json_member_integer(writer, "clock_restarts", (int64_t)health->clock_restarts);
    json_member_rounded(writer, "clock_error_ms",
                        health->clock_known ? health->clock_error_ms : (double)NAN, 3);
    json_member_rounded(writer, "clock_rate_ppm",
                        health->clock_rate_known ? health->clock_rate_ppm : (double)NAN, 2);
    json_member_rounded(writer, "arrival_jitter_ms", health->arrival_jitter_ms, 3);
    json_object_member(writer, "channels");
    for (int i = 0; i < listened->info->channel_count; i++) {
        json_channel(writer, listened->info->channel_name[i], &health->channel[i]);
    }
    json_object_end(writer);
    json_object_end(writer);
    json_object_end(writer);
    fputc('\n', stream);
}
