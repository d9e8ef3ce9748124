/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "assembly.h"
#include "base/angle.h"
#include "base/text.h"
#include "bike/uncertainty.h"
#include "measure/rules.h"

#include <math.h>

static double own_error_mm(const struct assembly *assembly)
{
    return sqrt(assembly->u_level_mm * assembly->u_level_mm +
                assembly->u_reading_mm * assembly->u_reading_mm +
                assembly->u_rebuild_mm * assembly->u_rebuild_mm);
}

static double reading_u_mm(const struct assembly *assembly, int means)
{
    return means_u_mm(means) / sqrt((double)assembly->reading_count[means]);
}

/* ---- tying --------------------------------------------------------------------------------------
 */

/* L: the assembly read by this means whose own shift, known by another, is known best. */
static int find_level(const struct resolver *resolver, int means)
{
    int level = -1;
    for (int i = 0; i < resolver->assembly_count; i++) {
        const struct assembly *assembly = &resolver->assembly[i];
        if (assembly->reading_count[means] > 0 && assembly->tied && assembly->means != means &&
            (level < 0 || own_error_mm(assembly) < own_error_mm(&resolver->assembly[level]))) {
            level = i;
        }
    }
    return level;
}

/* Assemblies of the same parts that nobody measured go with one that was. */
static void let_ride(struct resolver *resolver, int means)
{
    for (int i = 1; i < resolver->assembly_count; i++) {
        struct assembly *rider = &resolver->assembly[i];
        bool measured = rider->means != COMPUTED && rider->anchor == i;
        if (measured || rider->position == 0 || rider->reading_count[means] > 0 ||
            rider->means > means) {
            continue;
        }
        for (int j = 0; j < resolver->assembly_count; j++) {
            const struct assembly *anchor = &resolver->assembly[j];
            if (anchor->position == rider->position && anchor->means == means &&
                anchor->anchor == j) {
                rider->tied = true;
                rider->means = means;
                rider->anchor = j;
                rider->shift_mm = anchor->shift_mm;
                rider->u_level_mm = anchor->u_level_mm;
                rider->u_reading_mm = anchor->u_reading_mm;
                rider->u_rebuild_mm = TIE_U_REBUILD_MM;
                break;
            }
        }
    }
}

static void tie_by(struct resolver *resolver, int means)
{
    int level = find_level(resolver, means);
    if (level < 0) {
        return;
    }
    struct assembly *fixed = &resolver->assembly[level];
    fixed->level_of = means;
    double u_level = hypot(own_error_mm(fixed), reading_u_mm(fixed, means));
    for (int i = 1; i < resolver->assembly_count; i++) {
        struct assembly *assembly = &resolver->assembly[i];
        if (i == level || assembly->reading_count[means] == 0 ||
            (assembly->means > means && assembly->anchor == i)) {
            continue;
        }
        assembly->tied = true;
        assembly->means = means;
        assembly->anchor = i;
        assembly->shift_mm =
            fixed->shift_mm + assembly->reading_mm[means] - fixed->reading_mm[means];
        assembly->u_level_mm = u_level;
        assembly->u_reading_mm = reading_u_mm(assembly, means);
        assembly->u_rebuild_mm = 0.0;
    }
    let_ride(resolver, means);
}

/* ---- uncertainty in two parts
 * ---------------------------------------------------------------------- */

/* Added to the number of a means or of an assembly, that no group has another's number: a
 * position's are its own. */
enum { GROUP_MEANS = 1000, GROUP_ANCHOR = 2000 };

static int builds_on(const struct resolver *resolver, int anchor)
{
    int count = 0;
    for (int i = 0; i < resolver->assembly_count; i++) {
        if (resolver->assembly[i].anchor == anchor) {
            count += resolver->assembly[i].builds;
        }
    }
    return count;
}

static int builds_at(const struct resolver *resolver, int position)
{
    int count = 0;
    for (int i = 0; i < resolver->assembly_count; i++) {
        if (resolver->assembly[i].position == position) {
            count += resolver->assembly[i].builds;
        }
    }
    return count;
}

static void share(const struct resolver *resolver, int index, double slope_deg, struct tie *tie)
{
    const struct assembly *assembly = &resolver->assembly[index];
    double aside = isnan(slope_deg) || isnan(tie->shift_x_mm)
                       ? 0.0
                       : fabs(tie->shift_x_mm) * fabs(tan(slope_deg * RADIANS_PER_DEGREE));
    tie->position_group = assembly->position;
    tie->u_common_mm = hypot(assembly->u_level_mm, aside);
    tie->u_build_mm = hypot(assembly->u_reading_mm, assembly->u_rebuild_mm);
    if (aside > 0.0 || index == 0) {
        return;
    }
    if (assembly->means == COMPUTED) {
        int means = assembly->level_of;
        if (means != COMPUTED && builds_at(resolver, assembly->position) == 1 &&
            own_error_mm(assembly) >= reading_u_mm(assembly, means)) {
            /* L, better known against the builds it gives their level than against the first. */
            tie->position_group = GROUP_MEANS + means;
            tie->u_common_mm = hypot(own_error_mm(assembly), reading_u_mm(assembly, means));
            tie->u_build_mm = reading_u_mm(assembly, means);
        }
    } else if (builds_on(resolver, assembly->anchor) == 1) {
        tie->position_group = GROUP_MEANS + assembly->means;
    } else {
        tie->position_group = GROUP_ANCHOR + assembly->anchor;
        tie->u_common_mm = hypot(assembly->u_level_mm, assembly->u_reading_mm);
        tie->u_build_mm = assembly->u_rebuild_mm;
    }
}

static void number_groups(struct tie *ties, int count)
{
    int seen[TIE_BUILDS_MAX], seen_count = 0;
    for (int i = 0; i < count; i++) {
        int group = 0;
        while (group < seen_count && seen[group] != ties[i].position_group) {
            group++;
        }
        if (group == seen_count) {
            seen[seen_count++] = ties[i].position_group;
        }
        ties[i].position_group = group;
    }
}

/* ---- what is to be known of it
 * ---------------------------------------------------------------------- */

/* Further apart than the alarm within one assembly, where nothing was touched between the readings.
 */
static void check_spread(const struct resolver *resolver, const struct assembly *assembly,
                         struct tie *tie)
{
    for (int means = MEANS - 1; means >= 0; means--) {
        double spread = assembly->highest_mm[means] - assembly->lowest_mm[means];
        double u_mm = M_SQRT2 * means_u_mm(means);
        if (assembly->reading_count[means] < 2 || !(spread > TIE_ALARM_U * u_mm)) {
            continue;
        }
        tie->alarm = true;
        tie->found = (struct tie_finding){.kind = TIE_FOUND_SPREAD,
                                          .by = means_table[means].kind,
                                          .apart_mm = spread,
                                          .carrier_moves = carrier_moves(resolver->mount->carrier)};
        return;
    }
}

static void check_against_parts(const struct resolver *resolver, const struct assembly *assembly,
                                struct tie *tie)
{
    double apart = fabs(tie->measured_shift_mm - tie->computed_shift_mm);
    double u_mm = hypot(own_error_mm(assembly), assembly->computed_u_mm);
    if (!tie->has_computed || !tie->has_measured || !(apart > TIE_ALARM_U * u_mm)) {
        return;
    }
    const struct bike_values *first = &resolver->builds[0].bike;
    const struct bike_values *bike =
        &resolver->builds[resolver->position_build[assembly->position]].bike;
    bool other_stem = bike_value(first, BIKE_STEM_LENGTH) != bike_value(bike, BIKE_STEM_LENGTH) ||
                      bike_value(first, BIKE_STEM_ANGLE) != bike_value(bike, BIKE_STEM_ANGLE);
    bool stem_known = !isnan(bike_value(first, BIKE_STEM_LENGTH)); /* else of neither: computed */
    tie->alarm = true;
    tie->found = (struct tie_finding){.kind = TIE_FOUND_OFF_PARTS,
                                      .by = tie->kind,
                                      .apart_mm = apart,
                                      .other_stem = other_stem && stem_known};
}

static void find_missing(const struct assembly *assembly, struct tie *tie)
{
    tie->found = (struct tie_finding){.kind = TIE_FOUND_MISSING};
    for (int means = 0; means < MEANS; means++) {
        tie->found.read |= assembly->reading_count[means] > 0;
    }
    text_copy(tie->found.missing, sizeof tie->found.missing, assembly->missing);
}

/* ---- all of it
 * -------------------------------------------------------------------------------------- */

/* How well the parts alone say where the first build's sensor is. */
static double geometry_u_mm(const struct sensor_mount *mount, const struct bike_values *first)
{
    struct points_uncertainty u;
    if (!carrier_moves(mount->carrier)) {
        return TIE_U_MOUNT_MM;
    }
    if (!bike_uncertainty(first, NULL, &u, NULL)) {
        return NAN;
    }
    return hypot(TIE_U_MOUNT_MM, mount->carrier == CARRIER_BASE_BAR      ? u.clamp.y_mm
                                 : mount->carrier == CARRIER_PAD_BRACKET ? u.pad.y_mm
                                                                         : u.extension_tip.y_mm);
}

/* The first build's sensor over the bottom bracket, how well and by what: measured before computed.
 */
static enum tie_kind absolute_height(const struct resolver *resolver, double *height_mm,
                                     double *u_mm, double *u_own_mm)
{
    for (int means = MEANS - 1; means >= 0; means--) {
        for (int i = 0; means_table[means].absolute && i < resolver->assembly_count; i++) {
            const struct assembly *assembly = &resolver->assembly[i];
            if (assembly->tied && assembly->reading_count[means] > 0) {
                *height_mm = assembly->reading_mm[means] - assembly->shift_mm;
                /* Tied by this means, its own reading cancels: the height is L's. */
                *u_mm = assembly->means == means
                            ? assembly->u_level_mm
                            : hypot(reading_u_mm(assembly, means), own_error_mm(assembly));
                *u_own_mm = *u_mm;
                return means_table[means].kind;
            }
        }
    }
    struct sensor_position position;
    const struct bike_values *first = &resolver->builds[0].bike;
    if (!sensor_locate(first, first, resolver->mount, &position, NULL) || isnan(position.y_mm)) {
        *height_mm = 0.0;
        *u_mm = *u_own_mm = NAN;
        return TIE_NONE;
    }
    *height_mm = position.y_mm;
    *u_mm = geometry_u_mm(resolver->mount, first);
    *u_own_mm = TIE_U_MOUNT_MM;
    return TIE_COMPUTED;
}

static enum tie_kind kind_of(const struct assembly *assembly, int index, int build)
{
    if (!assembly->tied) {
        return TIE_NONE;
    }
    if (index == 0) {
        return build == 0 ? TIE_FIRST : TIE_FIXED;
    }
    return assembly->means == COMPUTED ? TIE_COMPUTED : means_table[assembly->means].kind;
}

static void fill(const struct resolver *resolver, int build, double slope_deg, double first_mm,
                 bool absolute, struct tie *tie)
{
    int index = resolver->assembly_of[build];
    const struct assembly *assembly = &resolver->assembly[index];
    *tie = (struct tie){.kind = kind_of(assembly, index, build)};
    bool tied = tie->kind != TIE_NONE;
    tie->absolute = absolute;
    tie->shift_mm = tied ? assembly->shift_mm : NAN;
    tie->shift_x_mm = assembly->computed_x_mm;
    tie->shift_tilt_deg = assembly->turned_deg;
    tie->tilt_deg = resolver->mount->tilt_deg + assembly->turned_deg;
    tie->sensor_height_mm = first_mm + (tied ? assembly->shift_mm : 0.0);
    tie->ends_apart_mm = NAN;
    tie->has_computed = assembly->computed;
    tie->computed_shift_mm = assembly->computed_mm;
    tie->has_measured = tied && assembly->means != COMPUTED && assembly->anchor == index;
    tie->measured_shift_mm = tie->has_measured ? assembly->shift_mm : NAN;
    share(resolver, index, slope_deg, tie);
    if (!tied) {
        tie->u_common_mm = tie->u_build_mm = NAN;
        find_missing(assembly, tie);
        return;
    }
    check_against_parts(resolver, assembly, tie);
    if (!tie->alarm) {
        check_spread(resolver, assembly, tie);
    }
    if (!tie->alarm && assembly->anchor != index) {
        tie->found.kind = TIE_FOUND_NOT_READ;
    }
}

enum tie_kind tie_resolve(const struct sensor_mount *mount, const struct tie_build *builds,
                          int count, double trunk_slope_deg, struct tie *ties)
{
    if (count > TIE_BUILDS_MAX) {
        count = TIE_BUILDS_MAX;
    }
    if (count <= 0) {
        return TIE_NONE;
    }
    struct resolver resolver = {.mount = mount, .builds = builds, .count = count};
    assemble(&resolver);
    /* What a better means tied may give a lesser one its level, and that the next: no way from the
     * first build through builds that were read by two means is longer. */
    for (int round = 0; round < MEANS; round++) {
        for (int means = 0; means < MEANS; means++) {
            tie_by(&resolver, means);
        }
    }
    double first_mm, absolute_u_mm, own_u_mm;
    enum tie_kind absolute_by = absolute_height(&resolver, &first_mm, &absolute_u_mm, &own_u_mm);
    for (int i = 0; i < count; i++) {
        fill(&resolver, i, trunk_slope_deg, first_mm, absolute_by != TIE_NONE, &ties[i]);
        ties[i].u_absolute_mm = absolute_u_mm;
        ties[i].u_own_mm = own_u_mm;
    }
    number_groups(ties, count);
    return absolute_by;
}

bool tie_is_read(const struct tie *tie)
{
    return tie->kind == TIE_PLATE || tie->kind == TIE_TAPE || tie->kind == TIE_REFERENCE;
}

double tie_uncertainty_mm(const struct tie *tie)
{
    return hypot(tie->u_common_mm, tie->u_build_mm);
}

bool tie_is_over_bottom_bracket(const struct tie *tie)
{
    return tie->kind != TIE_NONE && tie->absolute;
}
