/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis_inside.h"

#include "analysis/check_budget.h"
#include "analysis/plate_ends.h"
#include "analysis/slip.h"
#include "analysis/tie_readings.h"

#include "measure/rules.h"

#include <math.h>
#include <string.h>

/* Where each sensor was on each build, how that is known, and the heights that follow. */

const struct placing_record *analysis_placing_of(const struct session_record *record, int build)
{
    int placing = record->build[build].placing;
    return &record->placing[placing >= 0 ? placing : 0];
}

static double tape_reading(const struct session_record *record, int build, int channel)
{
    const struct tie_reading_record *latest =
        tie_reading_latest(record, TIE_READING_TAPE, build, channel);
    return latest != NULL ? latest->value_mm : (double)NAN;
}

/* The plate's or board's range on a build: read at both ends of it, their mean, since nothing says
 * when in between the sensor slipped; NAN = not read. */
static double plate_reading(const struct session_record *record, int build, int channel,
                            const struct tie_reading_record **latest)
{
    *latest = tie_reading_latest(record, TIE_READING_PLATE, build, channel);
    struct plate_ends ends = plate_ends_of(record, build, channel);
    if (*latest == NULL) {
        return NAN;
    }
    /* else both ends are of the board, which does not count beside a plate */
    return ends.last_mm == (*latest)->value_mm ? (ends.first_mm + ends.last_mm) / 2.0
                                               : (*latest)->value_mm;
}

/* Did the channel's sensor move since the build before: when this one was built, or, as the plate
 * at both ends of that one has it, while it was ridden. */
static enum answer moved_before(const struct session_record *record, int build, int channel)
{
    const struct build_record *here = &record->build[build];
    if (build > 0 && here[-1].placing == here->placing) {
        struct plate_ends ends = plate_ends_of(record, build - 1, channel);
        if (plate_ends_disagree(&ends)) {
            return ANSWER_YES;
        }
    }
    return slip_or_moved(record, build);
}

/* What slipped while a build was ridden is bounded by the plate at both ends of it: each hold is
 * off their mean by half of what is between them at most, evenly in it as far as is known. */
static void bound_slip(const struct session_record *record, int build, int channel, struct tie *tie)
{
    struct plate_ends ends = plate_ends_of(record, build, channel);
    tie->ends_apart_mm = plate_ends_apart_mm(&ends);
    if (isnan(tie->ends_apart_mm) || tie->kind == TIE_NONE) {
        return;
    }
    tie->u_build_mm = hypot(tie->u_build_mm, tie->ends_apart_mm / sqrt(12.0));
    if (plate_ends_disagree(&ends)) {
        tie->alarm = true;
        tie->found = (struct tie_finding){
            .kind = TIE_FOUND_ENDS, .by = TIE_PLATE, .apart_mm = tie->ends_apart_mm};
    }
}

/* A height over the bottom bracket has the whole range in it, and what the scale leaves open of
 * that; but where it comes from a plate that the same sensor read: there only the difference of two
 * ranges is. */
static void bound_scale(const struct session_record *record, int placing, int channel, int count,
                        struct tie *ties)
{
    double u_mm = check_scale_u_mm(record, placing, channel);
    for (int i = 0; i < count && isfinite(u_mm); i++) {
        ties[i].u_absolute_mm = hypot(ties[i].u_absolute_mm, u_mm);
        ties[i].u_own_mm = hypot(ties[i].u_own_mm, u_mm);
    }
}

/* The ref channel on the same carrier, or -1. */
static int reference_channel(const struct placing_record *placing, int channel)
{
    for (int c = 0; c < placing->channel_count; c++) {
        if (c != channel && placing->channel[c].role == ROLE_REFERENCE &&
            placing->channel[c].mounted &&
            placing->channel[c].mount.carrier == placing->channel[channel].mount.carrier) {
            return c;
        }
    }
    return -1;
}

/* Mean range of a ref channel over the holds of a build. */
static double reference_range_mean(const struct session_record *record,
                                   const struct analysis *analysis, int build, int channel)
{
    double sum = 0.0;
    int count = 0;
    for (int h = 0; h < record->hold_count; h++) {
        const struct hold_result *result = &analysis->hold[h];
        if (record->hold[h].build == build && result->has[channel] &&
            result->summary[channel].status == MEASURE_OK) {
            sum += result->summary[channel].mean_mm;
            count++;
        }
    }
    return count > 0 ? sum / count : NAN;
}

static void not_tied(struct tie *tie, enum tie_found found)
{
    tie->kind = TIE_NONE;
    tie->alarm = false;
    tie->found = (struct tie_finding){.kind = found};
}

/* A sensor of which nobody said where it is fixed: a later build is tied by a plate read on the
 * first one too, or by the answer that no sensor moved since the build before, where that one is
 * tied. */
static void tie_unmounted(const struct session_record *record, const int *builds, int count,
                          int channel, struct analysis *analysis)
{
    const struct tie_reading_record *first, *here;
    double first_mm = plate_reading(record, builds[0], channel, &first);
    for (int i = 0; i < count; i++) {
        struct tie *tie = &analysis->tie[builds[i]][channel];
        const struct tie *before = i > 0 ? &analysis->tie[builds[i - 1]][channel] : NULL;
        enum answer moved = moved_before(record, builds[i], channel);
        double plate_mm = plate_reading(record, builds[i], channel, &here);
        double higher_mm = first != NULL && here != NULL
                               ? tie_reading_higher_mm(record, first, here)
                               : (double)NAN;
        memset(tie, 0, sizeof *tie);
        tie->kind = TIE_FIRST;
        if (before == NULL) {
            continue;
        }
        tie->position_group = 1;
        if (!isnan(higher_mm)) {
            tie->kind = TIE_PLATE;
            tie->shift_mm = tie->sensor_height_mm = first_mm - plate_mm + higher_mm;
            tie->u_common_mm = tie->u_build_mm = TIE_U_PLATE_MM;
        } else if (moved == ANSWER_NO && before->kind != TIE_NONE) {
            *tie = *before; /* one reading serves both: told too wide rather than too narrow */
            tie->kind = before->kind == TIE_FIRST ? TIE_FIXED : before->kind;
            tie->u_common_mm = hypot(before->u_common_mm, before->u_build_mm);
            tie->u_build_mm = 0.0;
            tie->position_group = before->kind == TIE_PLATE ? i + 1 : before->position_group;
        } else {
            not_tied(tie, moved == ANSWER_YES  ? TIE_FOUND_MOVED
                          : moved == ANSWER_NO ? TIE_FOUND_AS_BEFORE
                                               : TIE_FOUND_NO_MOUNT);
        }
    }
}

/* Another setup whose measures are this one's, or -1: nobody entered what makes the two differ. */
static int alike(const struct session_record *record, const int *builds, int i)
{
    int setup = record->build[builds[i]].setup;
    for (int j = 0; j < i; j++) {
        int other = record->build[builds[j]].setup;
        if (other != setup &&
            bike_values_equal(&record->setup[other].bike, &record->setup[setup].bike)) {
            return other;
        }
    }
    return -1;
}

/* A sensor that rides on the bars may have moved by what nobody entered: it was said so, or the
 * setup differs from another by its name alone. What was read on the build, and the answer that
 * none moved, settle it. */
static void doubt_builds(const struct session_record *record, const int *builds, int count,
                         int channel, struct tie *ties)
{
    enum carrier carrier = analysis_placing_of(record, builds[0])->channel[channel].mount.carrier;
    bool moved = false;
    for (int i = 1; i < count; i++) {
        enum answer answer = moved_before(record, builds[i], channel);
        enum tie_kind kind = ties[i].kind;
        bool read = kind == TIE_PLATE || kind == TIE_TAPE || kind == TIE_REFERENCE;
        moved = moved || answer == ANSWER_YES;
        int other = carrier_moves(carrier) ? alike(record, builds, i) : -1;
        if (read) {
            int setup = record->build[builds[i]].setup;
            /* parts that nobody entered say nothing against what was read on another setup */
            if (ties[i].found.kind == TIE_FOUND_OFF_PARTS && other >= 0 && answer != ANSWER_NO &&
                setup != record->build[builds[0]].setup &&
                !bike_values_any_part(&record->setup[setup].bike)) {
                ties[i].alarm = false;
                ties[i].found = (struct tie_finding){.kind = TIE_FOUND_NOTHING};
            }
            continue;
        }
        if (moved) {
            not_tied(&ties[i], TIE_FOUND_MOVED);
        } else if (kind != TIE_NONE && other >= 0 && answer != ANSWER_NO) {
            not_tied(&ties[i], TIE_FOUND_ALIKE);
            ties[i].found.alike = record->setup[other].number;
        }
    }
}

static void tie_channel(const struct session_record *record, const int *builds, int count,
                        int channel, struct analysis *analysis)
{
    const struct placing_record *placing = analysis_placing_of(record, builds[0]);
    const struct channel_record *recorded = &placing->channel[channel];
    if (!recorded->mounted) {
        tie_unmounted(record, builds, count, channel, analysis);
        return;
    }
    struct tie_build inputs[BUILDS_MAX] = {0};
    struct tie ties[BUILDS_MAX];
    int reference = reference_channel(placing, channel);
    for (int i = 0; i < count; i++) {
        struct tie_build *input = &inputs[i];
        input->bike = record->setup[record->build[builds[i]].setup].bike;
        input->moved = moved_before(record, builds[i], channel) == ANSWER_YES;
        const struct tie_reading_record *plate;
        input->plate_range_mm = plate_reading(record, builds[i], channel, &plate);
        input->plate_height_mm = plate != NULL ? tie_reading_height_mm(record, plate) : (double)NAN;
        input->on_pads = plate != NULL && plate->rest == REST_PADS;
        input->tape_height_mm = tape_reading(record, builds[i], channel);
        input->reference_range_mm = NAN;
        input->reference_direction = -1;
        if (reference >= 0) {
            input->reference_range_mm =
                reference_range_mean(record, analysis, builds[i], reference);
            input->reference_direction = placing->channel[reference].mount.direction;
        }
    }
    enum tie_kind absolute_by =
        tie_resolve(&recorded->mount, inputs, count, record->settings.trunk_slope_deg, ties);
    doubt_builds(record, builds, count, channel, ties);
    if (absolute_by != TIE_PLATE) {
        bound_scale(record, record->build[builds[0]].placing, channel, count, ties);
    }
    for (int i = 0; i < count; i++) {
        analysis->tie[builds[i]][channel] = ties[i];
    }
}

/* Height of the plate as a placing's first plate reading has it; NAN = none was read. */
static double plate_height_by(const struct session_record *record, const struct analysis *analysis,
                              int placing, int channel)
{
    for (int i = record->tie_reading_count - 1; i >= 0; i--) {
        const struct tie_reading_record *reading = &record->tie_reading[i];
        if (reading->kind == TIE_READING_PLATE && reading->channel == channel &&
            record->build[reading->build].placing == placing) {
            const struct tie *tie = &analysis->tie[reading->build][channel];
            const struct channel_record *recorded = &record->placing[placing].channel[channel];
            return body_height_mm(tie->sensor_height_mm, recorded->mount.direction, tie->tilt_deg,
                                  reading->value_mm);
        }
    }
    return NAN;
}

/* How well a placing's heights over the bottom bracket are known; NAN = not at all. */
static double absolute_u_mm(const struct session_record *record, const struct analysis *analysis,
                            int placing, int channel)
{
    for (int b = 0; b < record->build_count; b++) {
        if (record->build[b].placing == placing && analysis->tie[b][channel].absolute) {
            return analysis->tie[b][channel].u_absolute_mm;
        }
    }
    return NAN;
}

/* Puts a later placing on the first one's scale. The same unchanging plate read in both ties them
 * to a reading's uncertainty in each; else the sensors' heights over the bottom bracket do, to that
 * of a tape in each; else nothing. This part is common to all builds of the placing; between two of
 * them it is counted all the same, which is too wide rather than too narrow. */
static void tie_placing(const struct session_record *record, int placing, int channel,
                        struct analysis *analysis)
{
    double plate_first_mm = plate_height_by(record, analysis, 0, channel);
    double plate_now_mm = plate_height_by(record, analysis, placing, channel);
    bool by_plate = !isnan(plate_first_mm) && !isnan(plate_now_mm);
    double offset_mm = by_plate ? plate_first_mm - plate_now_mm : 0.0;
    double u_mm = hypot(TIE_U_PLATE_MM, TIE_U_PLATE_MM);
    if (!by_plate) {
        u_mm = hypot(absolute_u_mm(record, analysis, 0, channel),
                     absolute_u_mm(record, analysis, placing, channel));
    }
    for (int b = 0; b < record->build_count; b++) {
        struct tie *tie = &analysis->tie[b][channel];
        if (record->build[b].placing != placing) {
            continue;
        }
        tie->position_group += placing * BUILDS_MAX;
        if (tie->kind == TIE_NONE) {
            continue;
        }
        if (isnan(u_mm)) {
            tie->kind = TIE_NONE;
            tie->found = (struct tie_finding){.kind = TIE_FOUND_FIXED_ANEW};
            continue;
        }
        tie->kind = by_plate ? TIE_PLATE : TIE_TAPE;
        if (by_plate) { /* its heights are the first placing's now */
            tie->u_absolute_mm = absolute_u_mm(record, analysis, 0, channel);
            tie->absolute = !isnan(tie->u_absolute_mm);
            tie->u_own_mm = tie->u_absolute_mm;
        }
        tie->sensor_height_mm += offset_mm;
        tie->shift_mm += offset_mm;
        tie->u_common_mm = hypot(tie->u_common_mm, u_mm);
    }
}

bool analysis_moved_unanswered(const struct session_record *record, const struct analysis *analysis,
                               int build)
{
    const struct placing_record *placing = analysis_placing_of(record, build);
    for (int c = 0; c < placing->channel_count; c++) {
        const struct tie *tie = &analysis->tie[build][c];
        bool asks = tie->found.kind == TIE_FOUND_NO_MOUNT || tie->found.kind == TIE_FOUND_ALIKE;
        if (placing->channel[c].role == ROLE_BODY && tie->kind == TIE_NONE && asks) {
            return true;
        }
    }
    return false;
}

void analysis_ties(const struct session_record *record, struct analysis *analysis)
{
    for (int p = 0; p < record->placing_count; p++) {
        int builds[BUILDS_MAX], count = 0;
        for (int b = 0; b < record->build_count; b++) {
            if (record->build[b].placing == p) {
                builds[count++] = b;
            }
        }
        for (int c = 0; count > 0 && c < record->placing[p].channel_count; c++) {
            tie_channel(record, builds, count, c, analysis);
            if (p > 0) {
                tie_placing(record, p, c, analysis);
            }
            for (int i = 0; i < count; i++) {
                bound_slip(record, builds[i], c, &analysis->tie[builds[i]][c]);
            }
        }
    }
}

double analysis_height_mm(const struct session_record *record, const struct analysis *analysis,
                          int build, int channel, int32_t range_tenth_mm)
{
    const struct channel_record *recorded = &analysis_placing_of(record, build)->channel[channel];
    double range_mm = calibrated_mm(recorded, (double)range_tenth_mm);
    if (recorded->role != ROLE_BODY) {
        return range_mm;
    }
    const struct tie *tie = &analysis->tie[build][channel];
    int direction = recorded->mounted ? recorded->mount.direction : 1;
    return body_height_mm(tie->sensor_height_mm, direction, tie->tilt_deg, range_mm);
}
