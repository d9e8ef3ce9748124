/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/rig.h"

#include "base/text.h"
#include "measure/rules.h"

#include <math.h>
#include <stdio.h>

static double percent(uint64_t part, uint64_t whole)
{
    return whole > 0 ? 100.0 * (double)part / (double)whole : 0;
}

/* 'the link was down once', '... 3 times' */
static bool times_words(char *text, size_t size, const char *what, uint64_t times)
{
    if (times == 1) {
        snprintf(text, size, "%s once", what);
    } else {
        snprintf(text, size, "%s %llu times", what, (unsigned long long)times);
    }
    return times > 0;
}

/* A rate a thousand times the announced one, or a thousandth of it. */
static bool time_unit_is_wrong(const struct rig_health *health)
{
    /* where none was announced none of these numbers */
    double times = health->sent_rate_hz / health->announced_rate_hz;
    return (times > 800 && times < 1250) || (times > 0.0008 && times < 0.00125);
}

bool say_rig_finding(char *text, size_t size, enum rig_finding finding,
                     const struct rig_health *health, const struct decoder_counts *counts,
                     double assumed_rate_hz)
{
    char number[40];
    uint64_t rejected = 0;
    double lost = percent(health->lost, health->lost + health->samples);
    for (int i = 0; i < REJECT_REASONS; i++) {
        rejected += counts->rejected[i];
    }
    switch (finding) {
    case RIG_RATE_ASSUMED:
        text_from_double_shortest(number, sizeof number, assumed_rate_hz);
        snprintf(text, size, "the stream says neither time nor rate: taken as %s a second (--rate)",
                 number);
        return assumed_rate_hz > 0;
    case RIG_TIME_UNIT:
        text_copy(text, size,
                  health->sent_rate_hz > health->announced_rate_hz
                      ? "the rig's time runs 1000 times too slow: milliseconds where microseconds "
                        "should be?"
                      : "the rig's time runs 1000 times too fast: microseconds where milliseconds "
                        "should be?");
        return time_unit_is_wrong(health);
    case RIG_RATE_DIFFERS:
        text_from_double(number, sizeof number,
                         100 * fabs(health->sent_rate_hz / health->announced_rate_hz - 1), 0);
        snprintf(text, size, "the rate is %s %% %s the announced one", number,
                 health->sent_rate_hz > health->announced_rate_hz ? "above" : "below");
        return health->rate_differs && !time_unit_is_wrong(health);
    case RIG_LOST:
        text_from_double(number, sizeof number, lost, 0);
        snprintf(text, size, "%s %% of the samples were lost on the way", number);
        return lost > LOST_TOLD_PERCENT;
    case RIG_REJECTED:
        text_from_double(number, sizeof number, percent(rejected, counts->lines), 0);
        snprintf(text, size, "%s %% of the lines make no sense: is the speed (baud) right?",
                 number);
        /* A stream that is heard from the middle on begins with half a line. */
        return rejected > 1 && percent(rejected, counts->lines) > REJECTED_TOLD_PERCENT;
    case RIG_WAS_DOWN:
        return times_words(text, size, "the link was down", health->times_down);
    case RIG_CLOCK_JUMPED:
        return times_words(text, size, "the rig's clock jumped or started anew",
                           health->clock_restarts);
    case RIG_FINDINGS:
        break;
    }
    return false;
}

/* seconds: for how long in all, where that is known. */
static bool trouble_words(char *text, size_t size, const char *name, enum health_trouble trouble,
                          double seconds)
{
    size_t used = 0;
    text_append(text, size, &used, "%s: %s", name, health_trouble_sentence(trouble));
    if (seconds >= 1) {
        text_append(text, size, &used, " (for %.0f s)", seconds);
    }
    return true;
}

bool say_sensor_finding(char *text, size_t size, int number, const char *name,
                        const struct channel_health *channel, uint64_t samples)
{
    const struct {
        bool there;
        enum health_trouble trouble;
        double seconds;
    } lasting[] = {
        {channel->blocked || channel->blocked_s > 0, HEALTH_BLOCKED, channel->blocked_s},
        {channel->stuck || channel->stuck_s > 0, HEALTH_STUCK, channel->stuck_s},
        {channel->two_levels || channel->two_levels_s >= (double)HEALTH_LEVELS_TOLD_S,
         HEALTH_TWO_LEVELS, channel->two_levels_s},
    };
    int found = 0;
    for (size_t i = 0; i < sizeof lasting / sizeof lasting[0]; i++) {
        if (lasting[i].there && found++ == number) {
            return trouble_words(text, size, name, lasting[i].trouble, lasting[i].seconds);
        }
    }
    if (number != found) {
        return false;
    }
    if (channel->recent_valid_share < GOOD_TOLD_SHARE) {
        snprintf(text, size,
                 "%s: fewer than half of the last readings are good: is the beam on the body?",
                 name);
        return true;
    }
    return found == 0 &&
           percent(channel->missing + channel->doubtful, samples) > GAPS_TOLD_PERCENT &&
           trouble_words(text, size, name, HEALTH_GAPS, 0);
}

void say_rig_unheard(char *text, size_t size, const char *rig, const struct decoder_counts *counts)
{
    if (counts->bytes == 0) {
        snprintf(text, size,
                 "'%s' is open and silent: no readings come. Is the rig switched on, and is this "
                 "its port?",
                 rig);
    } else {
        snprintf(text, size,
                 "no readings came from '%s' (%llu bytes, %llu lines): is the speed (baud) right?",
                 rig, (unsigned long long)counts->bytes, (unsigned long long)counts->lines);
    }
}
