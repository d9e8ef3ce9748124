/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Each column's heading stands over its own value, each member of the JSON has its own: a session
 * in which no two of them are the same, made by hand, and the columns in their order. */
#include "example_report.h"

#include "support/csv_reader.h"
#include "support/json_reader.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

typedef bool csv_report(FILE *stream, const struct report_input *input, struct problem *problem);

static struct csv_file read_back(csv_report *report)
{
    struct caught caught;
    struct csv_file file;
    ck_assert(report(catch_begin(&caught), &input, NULL));
    catch_end(&caught);
    ck_assert_msg(csv_read(caught.text, caught.length, &file), "%s", file.error);
    free(caught.text);
    return file;
}

struct pin {
    const char *heading, *cell;
};

/* The columns from first on are these, in this order, and this is what row says under them; returns
 * the column after them. */
static size_t check_pins(const struct csv_file *file, size_t row, size_t first,
                         const struct pin *pins, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        ck_assert_uint_lt(first + i, file->columns);
        ck_assert_str_eq(csv_cell(file, 0, first + i), pins[i].heading);
        ck_assert_msg(strcmp(csv_cell(file, row, first + i), pins[i].cell) == 0,
                      "under '%s' stands '%s', not '%s'", pins[i].heading,
                      csv_cell(file, row, first + i), pins[i].cell);
    }
    return first + count;
}

/* A value that is yes or no: its column says yes when it alone is set. */
struct yes {
    const char *heading;
    bool *value;
};

static void check_yes(csv_report *report, size_t row, const struct yes *yes, size_t count)
{
    for (size_t set = 0; set < count; set++) {
        for (size_t i = 0; i < count; i++) {
            *yes[i].value = i == set;
        }
        struct csv_file file = read_back(report);
        for (size_t i = 0; i < count; i++) {
            ck_assert_msg(strcmp(csv_under(&file, row, yes[i].heading), i == set ? "yes" : "no") ==
                              0,
                          "'%s' is '%s' where '%s' alone is set", yes[i].heading,
                          csv_under(&file, row, yes[i].heading), yes[set].heading);
        }
        csv_free(&file);
    }
}

/* ---- holds ----------------------------------------------------------------------------------- */

static void distinct_hold(void)
{
    struct hold_record *hold = &record->hold[0];
    struct hold_result *result = &analysis->hold[0];
    struct tie *tie = &analysis->tie[0][0];
    memset(hold->uuid.bytes, 0x11, sizeof hold->uuid.bytes);
    hold->number = 201;
    hold->planned_s = 202.25;
    hold->guided = true;
    hold->purpose = PURPOSE_PIECE;
    hold->told = TOLD_HEARD;
    hold->guessed_share = 0.375;
    hold->resit = RESIT_NOT_SEEN;
    hold->status = HOLD_STOPPED;
    snprintf(hold->reject_reason, sizeof hold->reject_reason, "sneezed");
    record->setup[0].number = 203;
    record->build[0].ordinal = 204;
    record->mark[0].hold = 0;
    record->placing[0].channel[0].mount.carrier = CARRIER_FRAME;
    result->start_s = 205.125;
    result->duration_s = 206.125;
    result->lost = 207;
    result->auxiliary_mean[AUXILIARY_POWER] = 208.5;
    result->auxiliary_mean[AUXILIARY_CADENCE] = 209.5;
    result->auxiliary_mean[AUXILIARY_HEART] = 210.5;
    result->health.known = true;
    result->health.channel[0] = (struct sensor_health){
        .missing = 105, .doubtful = 106, .noise_mm = 107.25, .quantum_mm = 108.25};
    tie->kind = TIE_TAPE;
    tie->sensor_height_mm = 211.25;
    tie->shift_mm = 212.25;
    tie->u_common_mm = 3;
    tie->u_build_mm = 4; /* 5 together */
    analysis->target[0][0] =
        (struct channel_target){.has = true, .height_mm = 213.25, .half_width_mm = 214.25};
    record->band[0].cue[0].band_above_mm = 215.5;
    record->band[0].cue[0].band_below_mm = 216.5;
    result->summary[0] = (struct hold_summary){
        .status = MEASURE_OK,
        .effective_rate_hz = 101.125,
        .readings = 102,
        .valid = 103,
        .outliers = 104,
        .valid_share = 0.1125,
        .longest_gap_s = 113.125,
        .cut_start_s = 114.25,
        .cut_marked_s = 115.25,
        .kept_s = 116.25,
        .mean_mm = 117.25,
        .has_interval = true,
        .mean_half_width_mm = 118.25,
        .mean_se_mm = 119.25,
        .mean_df = 120.25,
        .sd_mm = 121.25,
        .minimum_mm = 122.5,
        .quantile_05_mm = 123.5,
        .quantile_50_mm = 124.5,
        .quantile_95_mm = 125.5,
        .maximum_mm = 126.5,
        .effective_n = 127.25,
        .blocks = 128,
        .block_autocorrelation = 0.125,
        .steadiness_mm = 129.25,
        .has_spectrum = true,
        .rms_slow_mm = 130.25,
        .rms_breathing_mm = 131.25,
        .rms_pedalling_mm = 132.25,
        .has_creep = true,
        .creep_mm_per_min = 133.25,
        .creep_half_width_mm_per_min = 134.25,
        .creep_robust_mm_per_min = 135.25,
        .stepped = true,
        .step_mm = 158.25,
        .step_at_s = 159.5,
        .has_target = true,
        .offset_mm = 136.25,
        .rms_target_mm = 137.25,
        .has_band = true,
        .in_band_share = 0.1375,
        .excursions_high = 138,
        .excursions_low = 139,
        .glances = 140,
        .excursion_total_s = 141.25,
        .excursion_longest_s = 142.25,
        .excursion_peak_mm = 143.5,
        .longest_in_band_s = 144.25,
        .cues_per_min = 145.25,
        .sustain_reached = true,
        .sustain_s = 146.25,
    };
}

static const struct pin hold_pins[] = {
    {"session", "01000000-0000-7000-8000-000000000100"},
    {"started", "2026-01-10T18:00:00.000Z"},
    {"rider_code", "R-07"},
    {"rider", "winter group"},
    {"bike", "training bike"},
    {"hold", "201"},
    {"hold_uuid", "11111111-1111-1111-1111-111111111111"},
    {"setup", "203"},
    {"intent", "as it came"},
};
static const struct pin hold_pins_on[] = {
    {"build", "204"},
    {"placing", "1"},
    {"kind", "guided"},
    {"purpose", "piece"},
    {"told", "heard"},
    {"guessed_share", "0.375"},
    {"resit", "not_seen"},
    {"status", "stopped"},
    {"start_s", "205.125"},
    {"duration_s", "206.125"},
    {"planned_s", "202.25"},
    {"counts", "yes"},
    {"rejected", "no"},
    {"reject_reason", "sneezed"},
    {"kept_afterwards", "no"},
    {"link_gap", "no"},
    {"lost_samples", "207"},
    {"marks", "drank"},
    {"power_w", "208.5"},
    {"cadence_per_min", "209.5"},
    {"heart_per_min", "210.5"},
    {"ridden_apart", "no"},
    {"channel", "head"},
    {"role", "body"},
    {"aimed_at", "chin strap"},
    {"carrier", "frame"},
    {"tie", "tape"},
    {"tie_absolute", "yes"},
    {"sensor_height_mm", "211.25"},
    {"sensor_shift_mm", "212.25"},
    {"tie_u_mm", "5.00"},
    {"tie_alarm", "no"},
    {"outcome", "ok"},
    {"used", "yes"},
    {"why_not", ""},
    {"rate_hz", "101.125"},
    {"readings", "102"},
    {"valid", "103"},
    {"outliers", "104"},
    {"missing", "105"},
    {"doubtful", "106"},
    {"noise_mm", "107.25"},
    {"quantum_mm", "108.25"},
    {"stuck", "no"},
    {"blocked", "no"},
    {"two_levels", "no"},
    {"valid_share", "0.1125"},
    {"longest_gap_s", "113.125"},
    {"cut_start_s", "114.25"},
    {"cut_marked_s", "115.25"},
    {"kept_s", "116.25"},
    {"not_settled", "no"},
    {"mean_mm", "117.25"},
    {"mean_half_width_mm", "118.25"},
    {"sd_mm", "121.25"},
    {"minimum_mm", "122.5"},
    {"quantile_05_mm", "123.5"},
    {"median_mm", "124.5"},
    {"quantile_95_mm", "125.5"},
    {"maximum_mm", "126.5"},
    {"effective_n", "127.25"},
    {"steadiness_mm", "129.25"},
    {"rms_slow_mm", "130.25"},
    {"rms_breathing_mm", "131.25"},
    {"rms_pedalling_mm", "132.25"},
    {"creep_mm_per_min", "133.25"},
    {"creep_half_width_mm_per_min", "134.25"},
    {"creep_flagged", "no"},
    {"drifting", "no"},
    {"stepped", "yes"},
    {"step_mm", "158.25"},
    {"step_at_s", "159.5"},
    {"target_mm", "213.25"},
    {"target_half_width_mm", "214.25"},
    {"offset_mm", "136.25"},
    {"rms_target_mm", "137.25"},
    {"band_above_mm", "215.5"},
    {"band_below_mm", "216.5"},
    {"in_band_share", "0.1375"},
    {"came_up", "138"},
    {"went_low", "139"},
    {"glances", "140"},
    {"excursion_total_s", "141.25"},
    {"excursion_longest_s", "142.25"},
    {"excursion_peak_mm", "143.5"},
    {"longest_in_band_s", "144.25"},
    {"cues_per_min", "145.25"},
    {"sustain_reached", "yes"},
    {"sustain_s", "146.25"},
};

START_TEST(a_holds_columns_have_their_own_values)
{
    distinct_hold();
    struct csv_file file = read_back(report_holds_csv);
    size_t column = check_pins(&file, 1, 0, hold_pins, COUNT(hold_pins));
    while (strcmp(csv_cell(&file, 0, column), "build") != 0) {
        column++; /* the bike's parts, by their own table */
    }
    ck_assert_uint_eq(check_pins(&file, 1, column, hold_pins_on, COUNT(hold_pins_on)),
                      file.columns);
    csv_free(&file);
}
END_TEST

START_TEST(a_hold_says_yes_under_the_right_heading)
{
    distinct_hold();
    struct hold_record *hold = &record->hold[0];
    struct hold_result *result = &analysis->hold[0];
    struct hold_summary *summary = &result->summary[0];
    const struct yes yes[] = {
        {"counts", &result->counts},
        {"rejected", &hold->rejected},
        {"kept_afterwards", &hold->kept_afterwards},
        {"link_gap", &result->link_gap},
        {"ridden_apart", &result->auxiliary_apart[AUXILIARY_CADENCE]},
        {"tie_absolute", &analysis->tie[0][0].absolute},
        {"tie_alarm", &analysis->tie[0][0].alarm},
        {"stuck", &result->health.channel[0].stuck},
        {"blocked", &result->health.channel[0].blocked},
        {"two_levels", &result->health.channel[0].two_levels},
        {"not_settled", &summary->not_settled},
        {"creep_flagged", &summary->creep_flagged},
        {"drifting", &summary->drifting},
        {"stepped", &summary->stepped},
        {"sustain_reached", &summary->sustain_reached},
    };
    check_yes(report_holds_csv, 1, yes, COUNT(yes));
}
END_TEST

static const struct {
    const char *key;
    double value;
} hold_members[] = {
    {"effective_rate_hz", 101.125},
    {"readings", 102},
    {"valid", 103},
    {"outliers", 104},
    {"sensor/missing", 105},
    {"sensor/doubtful", 106},
    {"sensor/noise_mm", 107.25},
    {"sensor/quantum_mm", 108.25},
    {"valid_share", 0.1125},
    {"longest_gap_s", 113.125},
    {"cut_start_s", 114.25},
    {"cut_marked_s", 115.25},
    {"kept_s", 116.25},
    {"mean_mm", 117.25},
    {"mean_half_width_mm", 118.25},
    {"mean_se_mm", 119.25},
    {"mean_df", 120.25},
    {"sd_mm", 121.25},
    {"minimum_mm", 122.5},
    {"quantile_05_mm", 123.5},
    {"quantile_50_mm", 124.5},
    {"quantile_95_mm", 125.5},
    {"maximum_mm", 126.5},
    {"effective_n", 127.25},
    {"blocks", 128},
    {"block_autocorrelation", 0.125},
    {"steadiness_mm", 129.25},
    {"rms_slow_mm", 130.25},
    {"rms_breathing_mm", 131.25},
    {"rms_pedalling_mm", 132.25},
    {"creep_mm_per_min", 133.25},
    {"creep_half_width_mm_per_min", 134.25},
    {"creep_robust_mm_per_min", 135.25},
    {"offset_mm", 136.25},
    {"rms_target_mm", 137.25},
    {"band/in_band_share", 0.1375},
    {"band/came_up", 138},
    {"band/went_low", 139},
    {"band/glances", 140},
    {"band/excursion_total_s", 141.25},
    {"band/excursion_longest_s", 142.25},
    {"band/excursion_peak_mm", 143.5},
    {"band/longest_in_band_s", 144.25},
    {"step_mm", 158.25},
    {"step_at_s", 159.5},
    {"band/cues_per_min", 145.25},
    {"band/sustain_s", 146.25},
};
/* Beside the numbers: channel and outcome, five and three that are yes or no, 'band' and 'sensor'.
 */
static const char *const hold_yes[] = {"not_settled",    "creep_flagged",        "drifting",
                                       "stepped",        "band/sustain_reached", "sensor/stuck",
                                       "sensor/blocked", "sensor/two_levels"};

static struct json_value *read_json(void)
{
    struct caught caught;
    char error[160];
    ck_assert(report_json(catch_begin(&caught), &input, NULL));
    struct json_value *value = json_read(catch_end(&caught), error);
    ck_assert_msg(value != NULL, "%s", error);
    free(caught.text);
    return value;
}

START_TEST(a_holds_json_has_its_own_values)
{
    distinct_hold();
    struct json_value *value = read_json();
    const struct json_value *channel = json_at(value, "holds/0/channels/0");
    for (size_t i = 0; i < COUNT(hold_members); i++) {
        double found = json_number_at(channel, hold_members[i].key);
        ck_assert_msg(found == hold_members[i].value, "%s is %.17g", hold_members[i].key, found);
    }
    ck_assert_uint_eq(channel->count + json_at(channel, "band")->count +
                          json_at(channel, "sensor")->count,
                      COUNT(hold_members) + COUNT(hold_yes) + 4 + 2);
    json_free(value);
}
END_TEST

START_TEST(a_holds_json_says_yes_to_the_right_thing)
{
    distinct_hold();
    struct hold_summary *summary = &analysis->hold[0].summary[0];
    struct sensor_health *sensor = &analysis->hold[0].health.channel[0];
    bool *const places[COUNT(hold_yes)] = {&summary->not_settled,     &summary->creep_flagged,
                                           &summary->drifting,        &summary->stepped,
                                           &summary->sustain_reached, &sensor->stuck,
                                           &sensor->blocked,          &sensor->two_levels};
    for (size_t set = 0; set < COUNT(hold_yes); set++) {
        for (size_t i = 0; i < COUNT(hold_yes); i++) {
            *places[i] = i == set;
        }
        struct json_value *value = read_json();
        const struct json_value *channel = json_at(value, "holds/0/channels/0");
        for (size_t i = 0; i < COUNT(hold_yes); i++) {
            ck_assert_int_eq(json_at(channel, hold_yes[i])->kind,
                             i == set ? JSON_TRUE : JSON_FALSE);
        }
        json_free(value);
    }
}
END_TEST

/* What a number needs is taken away; it is gone from its column, and null. */
static const struct {
    size_t needed; /* offset in the summary */
    const char *heading[5], *key[5];
} needs[] = {
    {offsetof(struct hold_summary, has_interval),
     {"mean_half_width_mm", "effective_n"},
     {"mean_half_width_mm", "mean_se_mm", "mean_df", "effective_n", "block_autocorrelation"}},
    {offsetof(struct hold_summary, has_spectrum),
     {"rms_slow_mm", "rms_breathing_mm", "rms_pedalling_mm"},
     {"rms_slow_mm", "rms_breathing_mm", "rms_pedalling_mm"}},
    {offsetof(struct hold_summary, has_creep),
     {"creep_mm_per_min", "creep_half_width_mm_per_min", "creep_flagged"},
     {"creep_mm_per_min", "creep_half_width_mm_per_min", "creep_robust_mm_per_min"}},
    {offsetof(struct hold_summary, stepped), {"step_mm", "step_at_s"}, {"step_mm", "step_at_s"}},
    {offsetof(struct hold_summary, has_target),
     {"offset_mm", "rms_target_mm"},
     {"offset_mm", "rms_target_mm"}},
    {offsetof(struct hold_summary, has_band), {"in_band_share", "came_up", "sustain_s"}, {"band"}},
};

START_TEST(what_is_not_there_is_not_told)
{
    distinct_hold();
    bool no = false;
    memcpy((char *)&analysis->hold[0].summary[0] + needs[_i].needed, &no, sizeof no);
    struct csv_file file = read_back(report_holds_csv);
    struct json_value *value = read_json();
    const struct json_value *channel = json_at(value, "holds/0/channels/0");
    size_t empty = 0, nothing = 0;
    for (size_t i = 0; i < COUNT(needs[_i].heading); i++) {
        if (needs[_i].heading[i] != NULL) {
            ck_assert_str_eq(csv_under(&file, 1, needs[_i].heading[i]), "");
        }
        if (needs[_i].key[i] != NULL) {
            ck_assert_int_eq(json_at(channel, needs[_i].key[i])->kind, JSON_NULL);
        }
    }
    for (size_t i = 0; i < file.columns; i++) {
        empty += csv_cell(&file, 1, i)[0] == '\0' ? 1 : 0;
    }
    for (const struct json_value *member = channel->first; member != NULL; member = member->next) {
        nothing += member->kind == JSON_NULL ? 1 : 0;
    }
    /* and nothing else is gone: parts of the bike that were not measured are empty in any case */
    static const size_t gone[] = {1, 3, 3, 2, 2, 10, 1}, null[] = {5, 4, 4, 3, 3, 1, 1};
    distinct_hold();
    struct csv_file whole = read_back(report_holds_csv);
    for (size_t i = 0; i < whole.columns; i++) {
        empty -= csv_cell(&whole, 1, i)[0] == '\0' ? 1 : 0;
    }
    ck_assert_uint_eq(empty, gone[_i]);
    ck_assert_uint_eq(nothing, null[_i]);
    csv_free(&whole);
    csv_free(&file);
    json_free(value);
}
END_TEST

/* ---- setups: the second, whose row is the third ---------------------------------------------- */

static void distinct_setup(void)
{
    struct comparison *heights = &analysis->free_heights[0];
    struct hold_summary *free_one = &analysis->hold[3].summary[0];
    struct hold_summary *guided_one = &analysis->hold[5].summary[0];
    memset(record->setup[1].uuid.bytes, 0x22, sizeof record->setup[1].uuid.bytes);
    record->setup[1].number = 301;
    record->settings.baseline_setup = 302;
    record->settings.matters_mm[0] = 303.25;
    record->settings.chosen_setup = 301;
    record->limits.most[BIKE_SPACERS] = 5;
    heights->setup[1] = (struct setup_estimate){.holds = 304,
                                                .builds = 305,
                                                .has_interval = true,
                                                .mean = 306.25,
                                                .half_width = 307.25,
                                                .spread = 337.25};
    heights->difference[1] = (struct setup_difference){.verdict = VERDICT_LOWER,
                                                       .difference = -308.25,
                                                       .has_interval = true,
                                                       .low = -309.25,
                                                       .high = -310.25,
                                                       .standard_error = 313.125,
                                                       .tie_error = 314.125,
                                                       .has_second = true,
                                                       .second_difference = -318.25,
                                                       .second_low = -319.25,
                                                       .second_high = -320.25,
                                                       .advice = ADVICE_MORE_HOLDS,
                                                       .advice_holds = 7};
    heights->repeatability = 322.25;
    heights->repeatability_low = 323.25;
    heights->repeatability_high = 324.25;
    heights->repeatability_df = 325.5;
    heights->repeatability_here = 338.25;
    heights->repeatability_here_df = 339.5;
    heights->repeatability_learnt = 340.25;
    heights->repeatability_learnt_df = 341.5;
    heights->smallest_detectable = 326.25;
    heights->limit_holds = 311.25;
    heights->limit_known = 312.25;
    analysis->guided_in_band[0].difference[1].difference = -0.3275;
    free_one->steadiness_mm = 328.25;
    free_one->creep_mm_per_min = 329.25;
    guided_one->steadiness_mm = 330.25;
    guided_one->creep_mm_per_min = 331.25;
    free_one->has_creep = guided_one->has_creep = guided_one->has_band = true;
    guided_one->in_band_share = 0.3325;
    guided_one->excursions_high = 333;
    guided_one->excursions_low = 334;
    analysis->insight.mark[1] = (struct tradeoff_mark){.stands = false, .beaten_by = 2};
    record->setup[2].number = 335;
    record->rating[1].value[RATING_COULD_STAY] = 336;
    for (int item = RATING_EFFORT; item <= RATING_BREATHING; item++) {
        record->rating[1].value[item] = item + 1;
    }
}

static const struct pin setup_pins[] = {
    {"session", "01000000-0000-7000-8000-000000000100"},
    {"started", "2026-01-10T18:00:00.000Z"},
    {"rider_code", "R-07"},
    {"setup", "301"},
    {"setup_uuid", "22222222-2222-2222-2222-222222222222"},
    {"intent", "spacers out, pads down"},
    {"changes_from_first", "spacers 20 to 10, pad rise 55 to 45"},
};
static const struct pin setup_pins_on[] = {
    {"channel", "head"},
    {"baseline_setup", "302"},
    {"matters_mm", "303.25"},
    {"free_holds", "304"},
    {"builds", "305"},
    {"tied", "no"},
    {"built_once", "no"},
    {"borrowed_repeatability", "no"},
    {"assumed_repeatability", "no"},
    {"own_spread", "no"},
    {"spread_mm", "337.25"},
    {"mean_mm", "306.25"},
    {"mean_half_width_mm", "307.25"},
    {"difference_mm", "-308.25"},
    {"difference_low_mm", "-309.25"},
    {"difference_high_mm", "-310.25"},
    {"difference_se_mm", "313.125"},
    {"limit_holds", "311.2500"},
    {"limit_known", "312.2500"},
    {"tie_error_mm", "314.125"},
    {"weighted_difference_mm", "-318.25"},
    {"weighted_low_mm", "-319.25"},
    {"weighted_high_mm", "-320.25"},
    {"verdict", "lower"},
    {"advice", "7 more holds"},
    {"words", "lower by 308 (310 to 309)"},
    {"repeatability_mm", "322.25"},
    {"repeatability_low_mm", "323.25"},
    {"repeatability_high_mm", "324.25"},
    {"repeatability_df", "325.50"},
    {"repeatability_here_mm", "338.25"},
    {"repeatability_here_df", "339.50"},
    {"repeatability_learnt_mm", "340.25"},
    {"repeatability_learnt_df", "341.50"},
    {"smallest_detectable_mm", "326.25"},
    {"provisional", "yes"},
    {"steadiness_free_mm", "328.25"},
    {"creep_free_mm_per_min", "329.25"},
    {"guided_holds", "1"},
    {"steadiness_guided_mm", "330.25"},
    {"creep_guided_mm_per_min", "331.25"},
    {"in_band_share", "0.3325"},
    {"in_band_difference", "-0.3275"},
    {"in_band_verdict", "cannot tell yet"},
    {"came_up_a_hold", "333.00"},
    {"went_low_a_hold", "334.00"},
    {"sees_ahead", "strained"},
    {"failed", "no"},
    {"chosen", "yes"},
    {"limits_passed", "spacers 10 mm: over the limit entered, 5 mm"},
    {"stands", "no"},
    {"beaten_by", "335"},
};
static const struct pin setup_pins_last[] = {
    {"numb_hands", "yes"},
    {"numb_saddle", "no"},
    {"could_stay_min", "336"},
    {"would_race", "yes"},
};

static void check_place(const struct csv_file *file, const char *part, struct point point)
{
    char heading[64];
    snprintf(heading, sizeof heading, "%s_x_mm", part);
    ck_assert_double_eq_tol(strtod(csv_under(file, 3, heading), NULL), point.x_mm, 0.0501);
    snprintf(heading, sizeof heading, "%s_y_mm", part);
    ck_assert_double_eq_tol(strtod(csv_under(file, 3, heading), NULL), point.y_mm, 0.0501);
}

START_TEST(a_setups_columns_have_their_own_values)
{
    struct bike_points points;
    struct problem problem;
    distinct_setup();
    for (int setup = 0; setup < 2; setup++) {
        record->setup[setup].bike.value[BIKE_EXTENSION_LENGTH] = 300;
        record->setup[setup].bike.value[BIKE_EXTENSION_ANGLE] = 10;
        record->setup[setup].bike.value[BIKE_EXTENSION_RISE] = -30;
    }
    ck_assert(bike_forward(&record->setup[1].bike, &points, &problem));
    ck_assert(points.has_pad && points.has_extension);
    struct csv_file file = read_back(report_setups_csv);
    size_t column = check_pins(&file, 3, 0, setup_pins, COUNT(setup_pins));
    ck_assert_str_eq(csv_cell(&file, 0, column), "bar_clamp_x_mm");
    check_place(&file, "bar_clamp", points.clamp);
    check_place(&file, "pad", points.pad);
    check_place(&file, "extension_tip", points.extension_tip);
    column = check_pins(&file, 3, column + 6, setup_pins_on, COUNT(setup_pins_on));
    for (int item = RATING_EFFORT; item <= RATING_BREATHING; item++) {
        ck_assert_str_eq(csv_cell(&file, 0, column), rating_fields[item].key);
        ck_assert_double_eq(strtod(csv_cell(&file, 3, column), NULL), item + 1);
        column++;
    }
    ck_assert_uint_eq(check_pins(&file, 3, column, setup_pins_last, COUNT(setup_pins_last)),
                      file.columns);
    csv_free(&file);
}
END_TEST

START_TEST(a_setup_says_yes_under_the_right_heading)
{
    distinct_setup();
    struct setup_estimate *estimate = &analysis->free_heights[0].setup[1];
    const struct yes yes[] = {
        {"tied", &estimate->tied},
        {"built_once", &estimate->built_once},
        {"borrowed_repeatability", &estimate->borrowed_repeatability},
        {"assumed_repeatability", &estimate->assumed},
        {"own_spread", &estimate->own_spread},
        {"provisional", &analysis->free_heights[0].provisional},
        {"stands", &analysis->insight.mark[1].stands},
    };
    check_yes(report_setups_csv, 3, yes, COUNT(yes));
}
END_TEST

/* ---- steps ----------------------------------------------------------------------------------- */

static const struct pin step_pins[] = {
    {"session", "01000000-0000-7000-8000-000000000100"},
    {"started", "2026-01-10T18:00:00.000Z"},
    {"rider_code", "R-07"},
    {"baseline_setup", "401"},
    {"channel", "head"},
    {"outcome", "ok"},
    {"setups", "402"},
    {"df", "403"},
    {"widened", "404.125"},
    {"part", "spacers"},
    {"unit", "mm"},
    {"tried_low", "405.25"},
    {"tried_high", "406.25"},
    {"state", "known"},
    {"mm_per_unit", "407.0625"},
    {"half_width", "408.0625"},
    {"suggested", ""},
    {"suggested_from_setup", ""},
    {"suggested_from", ""},
    {"suggested_to", ""},
    {"expected_change_mm", ""},
    {"expected_half_width_mm", ""},
};

START_TEST(a_steps_columns_have_their_own_values)
{
    struct insight *insight = &analysis->insight;
    at_ease();
    record->settings.baseline_setup = 401;
    insight->steps_setups[0] = 402;
    insight->steps[0].df = 403;
    insight->steps[0].widened = 404.125;
    insight->tried_low[0] = 405.25;
    insight->tried_high[0] = 406.25;
    insight->steps[0].factor[0].per_unit = 407.0625;
    insight->steps[0].factor[0].half_width = 408.0625;
    struct csv_file file = read_back(report_steps_csv);
    ck_assert_uint_eq(check_pins(&file, 1, 0, step_pins, COUNT(step_pins)), file.columns);
    csv_free(&file);
}
END_TEST

/* Only one part, whose effect is known: it is tried further, and what comes of it is forecast. */
START_TEST(a_suggestions_columns_have_their_own_values)
{
    struct insight_suggestion found;
    at_ease();
    analysis->insight.factor_count = 1;
    analysis->insight.steps[0].factor_count = analysis->insight.steps[1].factor_count = 1;
    record->limits.least[BIKE_SPACERS] = 0;
    record->limits.most[BIKE_SPACERS] = 60;
    insight_suggest(record, analysis, 1, &record->limits, &found);
    const struct steps_forecast *forecast = &found.forecast[0];
    ck_assert(forecast->possible && forecast->height_change_mm != forecast->half_width_mm);
    struct csv_file file = read_back(report_steps_csv);
    ck_assert_str_eq(csv_under(&file, 1, "suggested"), "lower");
    ck_assert_str_eq(csv_under(&file, 1, "suggested_from_setup"), "2");
    ck_assert_double_eq(strtod(csv_under(&file, 1, "suggested_from"), NULL), found.from);
    ck_assert_double_eq(strtod(csv_under(&file, 1, "suggested_to"), NULL), found.to);
    ck_assert_double_eq_tol(strtod(csv_under(&file, 1, "expected_change_mm"), NULL),
                            forecast->height_change_mm, 0.00501);
    ck_assert_double_eq_tol(strtod(csv_under(&file, 1, "expected_half_width_mm"), NULL),
                            forecast->half_width_mm, 0.00501);
    csv_free(&file);
}
END_TEST

/* ---- readings -------------------------------------------------------------------------------- */

static bool one_sample(void *context, int64_t first, int64_t last, const struct sample **samples,
                       size_t *count)
{
    static struct sample made;
    (void)context;
    (void)last;
    made = (struct sample){.number = first, .time_us = 501250000};
    made.range_tenth_mm[0] = 5025;
    made.quality[0] = READING_WEAK;
    *samples = &made;
    *count = 1;
    return true;
}

static const struct pin reading_pins[] = {
    {"sample", "25001"},   {"seconds", "501.250000"}, {"capture", "5"},         {"kind", "hold"},
    {"hold", "503"},       {"setup", "504"},          {"build", "505"},         {"channel", "head"},
    {"range_mm", "502.5"}, {"quality", "weak"},       {"height_mm", "1111.60"}, {"other_value", ""},
};

START_TEST(a_readings_columns_have_their_own_values)
{
    struct caught caught;
    struct csv_file file;
    record->hold[3].number = 503;
    record->setup[1].number = 504;
    record->build[1].ordinal = 505;
    ck_assert(report_readings_csv(catch_begin(&caught), &input, one_sample, NULL, NULL));
    catch_end(&caught);
    ck_assert(csv_read(caught.text, caught.length, &file));
    /* two rows a capture; the fifth capture is hold 4, on setup 2, whose sensor is at 609.1 */
    ck_assert_uint_eq(check_pins(&file, 9, 0, reading_pins, COUNT(reading_pins)), file.columns);
    csv_free(&file);
    free(caught.text);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("columns");
    TCase *tests = tcase_create("columns");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, a_holds_columns_have_their_own_values);
    tcase_add_test(tests, a_hold_says_yes_under_the_right_heading);
    tcase_add_test(tests, a_holds_json_has_its_own_values);
    tcase_add_test(tests, a_holds_json_says_yes_to_the_right_thing);
    tcase_add_loop_test(tests, what_is_not_there_is_not_told, 0, (int)COUNT(needs));
    tcase_add_test(tests, a_setups_columns_have_their_own_values);
    tcase_add_test(tests, a_setup_says_yes_under_the_right_heading);
    tcase_add_test(tests, a_steps_columns_have_their_own_values);
    tcase_add_test(tests, a_suggestions_columns_have_their_own_values);
    tcase_add_test(tests, a_readings_columns_have_their_own_values);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
