/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/ride.h"

#include "base/numbers.h"
#include "base/text.h"
#include "say/say.h"

#include <math.h>
#include <stdio.h>

void say_ride_whole(char *text, size_t size, const struct ride_summary *ride)
{
    char length[SAY_SIZE], up[SAY_SIZE], share[SAY_SIZE];
    size_t used = 0;
    text_copy(text, size, "");
    say_duration(length, sizeof length, round(ride->length_s));
    say_duration(up, sizeof up, round(ride->up_s));
    say_percent(share, sizeof share, ride->posture_share);
    text_append(text, size, &used, "%s", length);
    if (ride->up_times > 0) {
        text_append(text, size, &used, ", up %d time%s for %s", ride->up_times,
                    ride->up_times == 1 ? "" : "s", up);
    }
    if (!isnan(ride->posture_share)) {
        text_append(text, size, &used, ", %s of it in the posture", share);
    }
}

void say_ride_quarter(char *text, size_t size, const struct ride_quarter *quarter)
{
    char share[SAY_SIZE], off[SAY_SIZE];
    say_percent(share, sizeof share, quarter->in_band_share);
    say_signed(off, sizeof off, quarter->off_mm, 0);
    bool has_share = !isnan(quarter->in_band_share), has_off = !isnan(quarter->off_mm);
    snprintf(text, size, "%s%s%s", has_share ? share : "", has_share && has_off ? " " : "",
             has_off     ? off
             : has_share ? ""
                         : "-");
}

void say_ride_kept(char *text, size_t size, const struct ride_part *channel)
{
    char kept[SAY_SIZE], then[SAY_SIZE];
    if (isnan(channel->kept_s)) {
        text_copy(text, size, "-");
        return;
    }
    say_duration(kept, sizeof kept, round(channel->kept_s));
    say_signed(then, sizeof then, channel->then_mm, 0);
    bool has_then = !channel->at_least && !isnan(channel->then_mm);
    snprintf(text, size, "%s%s%s%s", channel->at_least ? "\u2265 " : "", kept,
             has_then ? ", then " : "", has_then ? then : "");
}

void say_ride_trend(char *text, size_t size, const struct ride_part *channel)
{
    char slope[SAY_SIZE], low[SAY_SIZE], high[SAY_SIZE];
    if (!channel->has_trend) {
        text_copy(text, size, "-");
        return;
    }
    say_signed(slope, sizeof slope, channel->trend_mm_per_h, 0);
    say_signed(low, sizeof low, channel->trend_low, 0);
    say_signed(high, sizeof high, channel->trend_high, 0);
    snprintf(text, size, "%s an hour (%s to %s)", slope, low, high);
}
