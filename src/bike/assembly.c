/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "assembly.h"

#include "base/text.h"
#include "measure/rules.h"

#include <math.h>

const struct means_row means_table[MEANS] = {
    [MEANS_TAPE] = {TIE_TAPE, true},
    [MEANS_PLATE_UNKNOWN] = {TIE_PLATE, false},
    [MEANS_PLATE] = {TIE_PLATE, true},
    [MEANS_REFERENCE] = {TIE_REFERENCE, false},
};

double means_u_mm(int means)
{
    return means == MEANS_TAPE        ? TIE_U_TAPE_MM
           : means == MEANS_REFERENCE ? TIE_U_REFERENCE_MM
                                      : TIE_U_PLATE_MM;
}

/* ---- from builds to assemblies -----------------------------------------------------------------
 */

static int find_position(struct resolver *resolver, int build)
{
    if (resolver->builds[build].moved && build > 0) {
        resolver->position_from = resolver->position_count;
        resolver->moved = true;
    }
    for (int i = resolver->position_from; i < resolver->position_count; i++) {
        if (carrier_unmoved(resolver->mount->carrier,
                            &resolver->builds[resolver->position_build[i]].bike,
                            &resolver->builds[build].bike)) {
            return i;
        }
    }
    resolver->position_build[resolver->position_count] = build;
    return resolver->position_count++;
}

static bool goes_on(const struct resolver *resolver, int build, int position)
{
    if (build == 0 || resolver->builds[build].moved) {
        return false;
    }
    if (!carrier_moves(resolver->mount->carrier)) {
        return true;
    }
    const struct assembly *last = &resolver->assembly[resolver->assembly_count - 1];
    const struct tie_build *before = &resolver->builds[build - 1], *now = &resolver->builds[build];
    if (last->position != position || bike_values_equal(&before->bike, &now->bike)) {
        return false;
    }
    /* The second sensor sees each build for itself, the bars' flex under this setup too. */
    return isnan(now->reference_range_mm) || last->reading_count[MEANS_REFERENCE] == 0;
}

static void take(struct assembly *assembly, int means, double value_mm)
{
    if (isnan(value_mm)) {
        return;
    }
    if (assembly->reading_count[means] == 0) {
        assembly->lowest_mm[means] = assembly->highest_mm[means] = value_mm;
    }
    assembly->lowest_mm[means] = fmin(assembly->lowest_mm[means], value_mm);
    assembly->highest_mm[means] = fmax(assembly->highest_mm[means], value_mm);
    assembly->reading_mm[means] += value_mm;
    assembly->reading_count[means]++;
}

/* The one height that all plates with a stated height have; NAN when none has, or they differ. */
static double only_plate_height_mm(const struct resolver *resolver, bool *several)
{
    double height = NAN;
    *several = false;
    for (int i = 0; i < resolver->count; i++) {
        const struct tie_build *build = &resolver->builds[i];
        if (build->on_pads || isnan(build->plate_range_mm) || isnan(build->plate_height_mm)) {
            continue;
        }
        if (!isnan(height) && height != build->plate_height_mm) {
            *several = true;
        }
        height = build->plate_height_mm;
    }
    return height;
}

static void take_readings(struct resolver *resolver)
{
    bool several;
    double stated_mm = only_plate_height_mm(resolver, &several);
    for (int i = 0; i < resolver->count; i++) {
        const struct tie_build *build = &resolver->builds[i];
        struct assembly *assembly = &resolver->assembly[resolver->assembly_of[i]];
        double plate_mm = !isnan(build->plate_height_mm) ? build->plate_height_mm
                          : several || build->on_pads    ? NAN
                                                         : stated_mm;
        double tilt = resolver->mount->tilt_deg + assembly->turned_deg;
        double under =
            -body_height_mm(0.0, resolver->mount->direction, tilt, build->plate_range_mm);
        take(assembly, isnan(plate_mm) ? MEANS_PLATE_UNKNOWN : MEANS_PLATE,
             isnan(plate_mm) ? under : plate_mm + under);
        take(assembly, MEANS_TAPE, build->tape_height_mm);
        take(assembly, MEANS_REFERENCE,
             build->reference_direction < 0 ? build->reference_range_mm
                                            : -build->reference_range_mm);
    }
    for (int i = 0; i < resolver->assembly_count; i++) {
        struct assembly *assembly = &resolver->assembly[i];
        for (int means = 0; means < MEANS; means++) {
            assembly->reading_mm[means] /= assembly->reading_count[means]; /* NAN: not read */
        }
    }
}

/* The tie that needs no reading. */
static void compute(const struct resolver *resolver, struct assembly *assembly, bool first)
{
    struct sensor_shift shift;
    struct problem problem = {0};
    const struct bike_values *bike =
        &resolver->builds[resolver->position_build[assembly->position]].bike;
    assembly->computed =
        sensor_shift_make(&resolver->builds[0].bike, bike, resolver->mount, &shift, &problem);
    assembly->turned_deg = shift.tilt_deg;
    assembly->computed_mm = shift.y_mm;
    assembly->computed_x_mm = shift.x_mm;
    assembly->computed_u_mm = shift.u_mm;
    text_copy(assembly->missing, sizeof assembly->missing, problem.sentence);
    if (resolver->moved) {
        assembly->computed = false;
        text_copy(assembly->missing, sizeof assembly->missing, "a sensor moved");
    }
    assembly->tied = assembly->computed;
    assembly->means = COMPUTED;
    assembly->level_of = COMPUTED;
    assembly->shift_mm = shift.y_mm;
    assembly->u_level_mm = shift.u_mm;
    assembly->u_rebuild_mm = first ? 0.0 : TIE_U_REBUILD_MM;
}

void assemble(struct resolver *resolver)
{
    for (int i = 0; i < resolver->count; i++) {
        int position = find_position(resolver, i);
        if (!goes_on(resolver, i, position)) {
            struct assembly *assembly = &resolver->assembly[resolver->assembly_count];
            *assembly = (struct assembly){.position = position, .anchor = resolver->assembly_count};
            compute(resolver, assembly, resolver->assembly_count == 0);
            resolver->assembly_count++;
        }
        struct assembly *assembly = &resolver->assembly[resolver->assembly_count - 1];
        assembly->builds++;
        resolver->assembly_of[i] = resolver->assembly_count - 1;
        if (!isnan(resolver->builds[i].reference_range_mm)) {
            assembly->reading_count[MEANS_REFERENCE]++;
        }
    }
    for (int i = 0; i < resolver->assembly_count; i++) {
        resolver->assembly[i].reading_count[MEANS_REFERENCE] = 0;
    }
    take_readings(resolver);
}
