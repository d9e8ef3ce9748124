#include "screen/form.h"

#include "base/text.h"
#include "bike/geometry.h"
#include "screen/wording.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A changed setup moves the bars, and the sensors that are fixed to them: said while it is typed.
 */

static bool values_typed(const struct form *form, struct bike_values *values)
{
    bool any = false;
    char trouble[128];
    for (int i = 0; i < form->count; i++) {
        if (form_field_trouble(&form->field[i], trouble, sizeof trouble) != NULL) {
            return false; /* nothing follows from what is not taken */
        }
        int key = bike_key_find(form->field[i].key);
        double value = form_number(&form->field[i]);
        if (key >= 0 && isfinite(value)) {
            any = any || value != values->value[key];
            values->value[key] = value;
        }
    }
    return any;
}

/* Sensors that go with what moved: on the bars, or on the pads or extensions that stand on them. */
static void name_sensors(char *text, size_t size, size_t *used, const struct view *view, bool bars,
                         bool pads, bool extensions)
{
    int count = 0;
    for (int c = 0; c < view->channel_count; c++) {
        const struct view_channel *channel = &view->channel[c];
        enum carrier carrier = channel->mount.carrier;
        bool moves =
            channel->mounted && ((carrier == CARRIER_BASE_BAR && bars) ||
                                 (carrier == CARRIER_PAD_BRACKET && (bars || pads)) ||
                                 (carrier == CARRIER_EXTENSION && (bars || pads || extensions)));
        if (moves) {
            text_append(text, size, used, "%s%s", count == 0 ? "; with them the sensors " : ", ",
                        channel->name);
            count++;
        }
    }
}

static bool apart(struct point a, struct point b)
{
    return fabs(a.x_mm - b.x_mm) >= 0.05 || fabs(a.y_mm - b.y_mm) >= 0.05;
}

static void say_move(char *text, size_t size, size_t *used, const char *what, struct point before,
                     struct point now)
{
    char up[24], forward[24];
    double up_mm = now.y_mm - before.y_mm, forward_mm = now.x_mm - before.x_mm;
    wording_whole(up, sizeof up, fabs(up_mm));
    wording_whole(forward, sizeof forward, fabs(forward_mm));
    text_append(text, size, used, "%s%s %s mm %s, %s %s", *used > 0 ? "; " : "", what, up,
                up_mm < 0.0 ? "down" : "up", forward, forward_mm < 0.0 ? "back" : "forward");
}

void form_moves_text(char *text, size_t size, const struct form *form, const struct view *view)
{
    struct bike_values now;
    struct bike_points before_points, now_points;
    const struct bike_values *before = NULL;
    size_t used = 0;
    text_copy(text, size, "");
    for (int s = 0; s < view->setup_count; s++) {
        if (view->setup[s].number == view->setup_number) {
            before = &view->setup[s].bike;
        }
    }
    if (form->kind != FORM_SETUP || before == NULL) {
        return;
    }
    now = *before;
    if (!values_typed(form, &now) || !bike_forward(before, &before_points, NULL) ||
        !bike_forward(&now, &now_points, NULL)) {
        return;
    }
    bool bars = apart(before_points.clamp, now_points.clamp) ||
                bike_value(&now, BIKE_BAR_ROLL) != bike_value(before, BIKE_BAR_ROLL);
    bool pads =
        before_points.has_pad && now_points.has_pad && apart(before_points.pad, now_points.pad);
    bool tips = before_points.has_extension && now_points.has_extension &&
                apart(before_points.extension_tip, now_points.extension_tip);
    if (apart(before_points.clamp, now_points.clamp)) {
        say_move(text, size, &used, "bars", before_points.clamp, now_points.clamp);
    }
    if (pads) {
        say_move(text, size, &used, "pads", before_points.pad, now_points.pad);
    }
    if (used > 0) {
        name_sensors(text, size, &used, view, bars, pads, tips);
    }
}
