/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/slips.h"

#include "base/angle.h"
#include "base/numbers.h"
#include "measure/rules.h"

#include <math.h>
#include <string.h>

/* The value that is known nearest to this one; NAN: none is. */
static double nearest_known(double value, const double *known, int count)
{
    double nearest = NAN;
    for (int i = 0; i < count; i++) {
        if (isfinite(known[i]) &&
            (isnan(nearest) || fabs(known[i] - value) < fabs(nearest - value))) {
            nearest = known[i];
        }
    }
    return nearest;
}

static const struct {
    double factor;
    const char *meant;
} units[] = {{10.0, "centimetres or inches"}, {25.4, "inches"}};

/* What the value would have to be to lie near one that is known; NULL: nothing fits. */
static const char *unit_meant(double value, const double *known, int count)
{
    for (size_t u = 0; u < sizeof units / sizeof units[0]; u++) {
        double as_mm = value * units[u].factor;
        if (fabs(nearest_known(as_mm, known, count) - as_mm) <= PART_NEAR_MM) {
            return units[u].meant;
        }
    }
    return NULL;
}

/* As the parts' lengths are asked about, each under its key. */
static bool length_check(const char *key, double value, const double *known, int count,
                         double most_mm, struct problem *problem)
{
    double nearest = nearest_known(value, known, count);
    double change = fabs(value - nearest);
    if (!(change > PART_STEP_MM)) {
        return true;
    }
    const char *meant = unit_meant(value, known, count);
    if (meant == NULL && change <= most_mm) {
        return true;
    }
    char now[32], was[32];
    say_exact(now, sizeof now, value);
    say_exact(was, sizeof was, nearest);
    return problem_ask(problem, "%s: %s mm, where %s is the nearest so far: %s, or is it meant so?",
                       key, now, was, meant != NULL ? meant : "a slip");
}

bool bike_change_check(int key, double value, const double *known, int count,
                       struct problem *problem)
{
    const struct bike_field *field = &bike_fields[key];
    bool frame = field->scope == BIKE_SCOPE_FRAME;
    if (strcmp(field->unit, "mm") == 0) {
        return length_check(field->key, value, known, count, frame ? PART_STEP_MM : PART_FAR_MM,
                            problem);
    }
    double nearest = nearest_known(value, known, count);
    return !(frame && fabs(value - nearest) > FRAME_TURN_DEG) ||
           problem_ask(problem,
                       "%s: %g degrees, where %g were: a frame does not change: a slip, or was it "
                       "wrong before?",
                       field->key, value, nearest);
}

bool mount_change_check(const struct sensor_mount *mount, const struct sensor_mount *former,
                        struct problem *problem)
{
    return mount->carrier != former->carrier ||
           (length_check("x", mount->x_mm, &former->x_mm, 1, PART_FAR_MM, problem) &&
            length_check("y", mount->y_mm, &former->y_mm, 1, PART_FAR_MM, problem));
}

bool mount_check(const struct sensor_mount *mount, struct problem *problem)
{
    double away_mm = hypot(mount->x_mm, mount->y_mm);
    bool on_pads = mount->carrier == CARRIER_PAD_BRACKET;
    if (!carrier_moves(mount->carrier)) {
        return true;
    }
    bool placed = isfinite(mount->x_mm) || isfinite(mount->y_mm);
    if (mount->direction < 0 && placed) {
        return problem_ask(problem,
                           "a beam from the %s that looks down reads what is below the "
                           "bars: is it meant so?",
                           carrier_words[mount->carrier]);
    }
    /* a sensor may be on an extension's tip */
    if (mount->carrier != CARRIER_EXTENSION && away_mm < PLACE_BAR_MM) {
        return problem_ask(problem,
                           "x and y of %g and %g mm are inside the %s: centimetres, inches, or is "
                           "it meant so?",
                           mount->x_mm, mount->y_mm, on_pads ? "pad" : "bar");
    }
    return away_mm <= PLACE_FAR_MM || isnan(away_mm) ||
           problem_ask(problem,
                       "x and y of %g and %g mm are %.0f mm from the %s: a slip, or is it meant "
                       "so?",
                       mount->x_mm, mount->y_mm, away_mm,
                       mount->carrier == CARRIER_BASE_BAR ? "bar clamp"
                       : on_pads                          ? "pads"
                                                          : "extension's tip");
}

double mount_looks_at_mm(const struct sensor_mount *mount)
{
    return mount->x_mm + PLACE_BEAM_MM * tan(mount->tilt_deg * RADIANS_PER_DEGREE);
}
