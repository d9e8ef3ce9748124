/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/demo.h"

#include <stddef.h>
#include <stdio.h>

#define DEMO_RIDER                                                                                 \
    "rider R-07 \"winter group, Tuesday\" watch_for=\"stiff neck in the second half hour\""
#define DEMO_BIKE                                                                                  \
    "bike \"training bike\" stack=545 reach=410 head_angle=73 headset_cap=10 spacers=20 "          \
    "stem_length=100 stem_angle=-6 pad_rise=60 pad_fore_aft=-20 extension_length=320 "             \
    "extension_angle=5 saddle_height=745 saddle_setback=40 crank_length=170"
#define DEMO_HEAD "sensor head carrier=base_bar x=110 y=40 tilt=0 mark=\"chin strap\""
#define DEMO_CHEST "sensor chest carrier=base_bar x=-60 y=35 tilt=0 mark=\"chest strap\""

static const char steps[] =
    "minutes 60\n" DEMO_RIDER "\n" DEMO_BIKE "\n" DEMO_HEAD "\n" DEMO_CHEST "\n"
    "matters head=10 chest=10\n"
    "setup 1 \"as it came\"\n"
    "plate 5s\n"
    "wait 30s\n"
    "target until=3mm\n"
    "band head=+12/-20 chest=+10/none\n"
    "hold 60s free\n"
    "wait 20s\n"
    "hold 60s free\n"
    "rating effort=4 neck=2 hands=1 sees_ahead=yes could_stay=30 would_race=yes\n"
    "setup 2 \"pads down\" pad_rise=25\n"
    "wait 30s\n"
    "hold 60s free\n"
    "wait 20s\n"
    "hold 60s free\n"
    "rating effort=4 neck=3 hands=1 sees_ahead=yes could_stay=25 would_race=yes\n"
    "setup 3 \"spacers out\" from=1 spacers=0\n"
    "plate 5s\n"
    "wait 30s\n"
    "hold 60s free\n"
    "wait 20s\n"
    "hold 60s free\n"
    "rating effort=5 neck=4 hands=2 sees_ahead=strained could_stay=20 would_race=yes\n"
    "setup 4 \"pads forward\" from=1 pad_fore_aft=0\n"
    "wait 30s\n"
    "hold 60s free\n"
    "wait 20s\n"
    "hold 60s free\n"
    "rating effort=4 neck=2 hands=2 sees_ahead=yes could_stay=30 would_race=yes\n"
    "setup 1\n"
    "plate 5s\n"
    "wait 30s\n"
    "hold 60s free\n"
    "wait 20s\n"
    "hold 60s free\n"
    "rating effort=5 neck=3 hands=1 sees_ahead=yes could_stay=30 would_race=yes\n"
    "choose 2\n"
    "note \"invented rider on a modelled bike\"\n"
    "end\n";

void demo_script(char *script, size_t size, uint64_t seed)
{
    snprintf(script, size, "session 2026-01-10T18:00:00Z seed=%llu\n%s", (unsigned long long)seed,
             steps);
}

const char *const demo_first_commands[] = {
    "minutes 60",
    DEMO_RIDER,
    DEMO_BIKE, /* NOLINT(bugprone-suspicious-missing-comma): one line in parts */
    DEMO_HEAD,
    DEMO_CHEST,
    "matters head=10 chest=10",
    "setup 1 \"as it came\"",
    "band head=+12/-20 chest=+10/none",
    NULL,
};
