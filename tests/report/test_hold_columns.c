/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Each number of a hold stands under its own heading, and in the JSON under its own name. */
#include "columns.h"

#include "support/json_reader.h"

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

int main(void)
{
    Suite *suite = suite_create("hold columns");
    TCase *tests = tcase_create("hold columns");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, a_holds_columns_have_their_own_values);
    tcase_add_test(tests, a_hold_says_yes_under_the_right_heading);
    tcase_add_test(tests, a_holds_json_has_its_own_values);
    tcase_add_test(tests, a_holds_json_says_yes_to_the_right_thing);
    tcase_add_loop_test(tests, what_is_not_there_is_not_told, 0, (int)COUNT(needs));
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
