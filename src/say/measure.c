/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/measure.h"

#include "base/text.h"

#include <math.h>
#include <stddef.h>

static const char *const measures[BIKE_KEYS] = {
    [BIKE_STACK] = "from the middle of the bottom bracket (b) straight up to the top of the head "
                   "tube (h)",
    [BIKE_REACH] = "from the middle of the bottom bracket (b) straight forward to the top of the "
                   "head tube (h)",
    [BIKE_HEAD_ANGLE] = "between the level ground and the head tube: usual are 70 to 75",
    [BIKE_HEADSET_CAP] = "height of the headset's cover under the spacers; empty: none",
    [BIKE_SEAT_ANGLE] = "between the level ground and the seat tube: usual are 72 to 80",
    [BIKE_SPACERS] = "all rings under the stem, from the headset's cover to the stem",
    [BIKE_STEM_LENGTH] = "from the middle of the steerer to the middle of the bar (c)",
    [BIKE_STEM_ANGLE] = "against the square to the steerer; as printed, minus where it points down",
    [BIKE_STEM_CLAMP_HEIGHT] = "height of the stem where it holds the steerer; empty: 40",
    [BIKE_BAR_ROLL] = "the bar turned in its clamp (c), plus: its front up; empty: 0",
    [BIKE_PAD_RISE] = "from the middle of the bar (c) straight up to the top of the pads (p)",
    [BIKE_PAD_FORE_AFT] = "from the middle of the bar (c) forward to the middle of the pads (p); "
                          "minus: behind it",
    [BIKE_PAD_WIDTH] = "across, from the middle of one pad to the middle of the other",
    [BIKE_PAD_TILT] = "the pads against the level, plus: their front up",
    [BIKE_EXTENSION_LENGTH] = "from where the extension leaves its clamp to its tip (t)",
    [BIKE_EXTENSION_ANGLE] = "the extension against the level, plus: its tip up",
    [BIKE_EXTENSION_RISE] = "from the top of the pads (p) up to the extension; minus: it is below",
    [BIKE_SADDLE_HEIGHT] = "from the middle of the bottom bracket (b) along the seat tube to the "
                           "saddle's top (s)",
    [BIKE_SADDLE_SETBACK] = "from straight above the bottom bracket back to the saddle's nose",
    [BIKE_SADDLE_TILT] = "the saddle against the level, plus: its nose up",
    [BIKE_CRANK_LENGTH] = "from the middle of the bottom bracket (b) to the middle of the pedal's "
                          "axle",
};

const char *say_bike_measure(enum bike_key key)
{
    return key < BIKE_KEYS ? measures[key] : "";
}

const char *say_place(const char *key)
{
    static const struct {
        const char *key, *words;
    } places[] = {
        {"channel", "one sensor after the other; Enter takes each and goes on to the next"},
        {"carrier", "what moves with it: a change of that part moves the sensor too"},
        {"x", "from the middle of what it is counted from forward to the sensor; minus: behind"},
        {"y", "from the same straight up to the sensor's face; minus: below"},
        {"tilt", "the beam against straight up, plus: it leans forward; empty: 0"},
        {"look", "up at the rider from the bars, or down from above"},
        {"role", "what its beam meets"},
        {"mark", "where on the body, so that it is found again: chin strap, chest strap"},
    };
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++) {
        if (text_equal(places[i].key, key)) {
            return places[i].words;
        }
    }
    return "";
}

void say_sensor_place(char *text, size_t size, const struct channel_record *channel,
                      const struct tie *tie)
{
    size_t used = 0;
    text_copy(text, size, "");
    text_append(text, size, &used, "%s: ", channel->name);
    if (!channel->mounted) {
        text_append(text, size, &used, "not said yet");
        return;
    }
    text_append(text, size, &used, "%s", carrier_words[channel->mount.carrier]);
    if (isfinite(channel->mount.x_mm)) {
        text_append(text, size, &used, ", %.0f %s", fabs(channel->mount.x_mm),
                    channel->mount.x_mm < 0.0 ? "behind" : "forward");
    }
    if (isfinite(channel->mount.y_mm)) {
        text_append(text, size, &used, ", %.0f %s", fabs(channel->mount.y_mm),
                    channel->mount.y_mm < 0.0 ? "below" : "above");
    }
    if (tie != NULL && tie_is_over_bottom_bracket(tie)) {
        text_append(text, size, &used, ": %.0f mm over the bottom bracket", tie->sensor_height_mm);
    }
}
