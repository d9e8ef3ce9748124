/* Comparison of setups: worked values, certified one-way tables, ties, trial order, the verdicts'
 * order, and what does not matter (the setups' order, shifts, scales). */
#include "reference.h"

#include "base/random.h"
#include "measure/compare.h"
#include "measure/distribution.h"

#include <time.h>

struct trial {
    struct compare_hold holds[COMPARE_HOLDS_MAX];
    struct compare_build builds[COMPARE_BUILDS_MAX];
    struct compare_input input;
    struct comparison result;
};

/* One build a setup, tied without uncertainty, no trial order. */
static struct trial *start(int setups, double matters)
{
    static struct trial trial;
    memset(&trial, 0, sizeof trial);
    for (int s = 0; s < setups; s++)
        trial.builds[s] = (struct compare_build){.setup = s, .tied = true, .position_group = s};
    trial.input = (struct compare_input){.holds = trial.holds,
                                         .builds = trial.builds,
                                         .build_count = setups,
                                         .setup_count = setups,
                                         .matters = matters,
                                         .higher_is_up = true};
    return &trial;
}

static void add(struct trial *trial, int build, double order, double value)
{
    trial->holds[trial->input.hold_count++] = (struct compare_hold){
        .setup = trial->builds[build].setup, .build = build, .order = order, .value = value};
}

static enum measure_status compare(struct trial *trial)
{
    return compare_setups(&trial->input, &trial->result);
}

START_TEST(worked)
{
    /* own computation */
    struct trial *trial = start(4, 10.0);
    const double a[] = {412.0, 414.5, 411.2}, b[] = {398.6, 401.1, 399.4}, c[] = {405.3, 404.1};
    for (int i = 0; i < 3; i++)
        add(trial, 0, 0, a[i]);
    for (int i = 0; i < 3; i++)
        add(trial, 1, 0, b[i]);
    for (int i = 0; i < 2; i++)
        add(trial, 2, 0, c[i]);
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    struct comparison *r = &trial->result;
    reference_printed("worked comparison, mean A", r->setup[0].mean, 412.5667, 5e-5);
    reference_printed("worked comparison, mean B", r->setup[1].mean, 399.7, 5e-5);
    reference_printed("worked comparison, mean C", r->setup[2].mean, 404.7, 5e-5);
    reference_printed("worked comparison, s_r", r->repeatability, 1.407598, 5e-7);
    reference_printed("worked comparison, 2.8 s_r", 2.8 * r->repeatability, 3.9413, 5e-5);
    /* printed there as 5.1173 (t rounded); t 2.5705818 x sqrt 2 x s_r is 5.1171 */
    reference_printed("worked comparison, t based limit", r->smallest_detectable, 5.1171, 5e-5);
    reference_printed("worked comparison, A-B", -r->difference[1].difference, 12.8667, 5e-5);
    reference_printed("worked comparison, half-width of A-B",
                      (r->difference[1].high - r->difference[1].low) / 2.0, 2.9544, 5e-5);
    ck_assert_int_eq(r->repeatability_df, 5);
    ck_assert(!r->provisional);
    ck_assert_double_eq(r->difference[1].df, 5.0);
    ck_assert_int_eq(r->difference[1].verdict, VERDICT_LOWER);
    ck_assert_int_eq(r->difference[3].verdict, VERDICT_NONE); /* no holds */
    ck_assert_int_eq(r->difference[0].verdict, VERDICT_NONE);
    /* s_r's own interval by chi-square's tables: factors .62 and 2.45 at 5 df */
    ck_assert_double_eq_tol(r->repeatability_low / r->repeatability, .62, .0051);
    ck_assert_double_eq_tol(r->repeatability_high / r->repeatability, 2.45, .0051);
    /* and a setup held once, against A: borrowed repeatability */
    add(trial, 3, 0, 404.7);
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    reference_printed("worked comparison, one hold against A",
                      (r->difference[3].high - r->difference[3].low) / 2.0, 4.1781, 5e-5);
    ck_assert(r->setup[3].borrowed_repeatability && !r->setup[2].borrowed_repeatability);
    ck_assert(r->setup[3].built_once);
}
END_TEST

static void anova(const char *name, double digits)
{
    char file[40], what[80];
    double tolerance;
    snprintf(file, sizeof file, "%s.csv", name);
    struct reference_table *table = reference_table(file);
    struct trial *trial = start(9, 1.0);
    for (size_t i = 0; i < table->rows; i++)
        add(trial, (int)table->value[i][0] - 1, 0, table->value[i][1]);
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    snprintf(what, sizeof what, "NIST StRD %s residual SD", name);
    reference_check(what, trial->result.repeatability,
                    reference_expected("anova-expected.csv", name, "residual_sd", &tolerance),
                    digits);
    ck_assert_int_eq(trial->result.repeatability_df,
                     (int)reference_expected("anova-expected.csv", name, "df_within", &tolerance));
    free(table);
}

START_TEST(nist_anova)
{
    anova("SiRstv", 12);
    anova("SmLs01", 13);
    anova("AtmWtAg", 9);
    anova("SmLs04", 9);
}
END_TEST

/* Analysis of covariance by hand: A at 1, 2, 5, 6 and B at 3, 4, slope exactly 2 a hold, noise +-1.
 */
START_TEST(order_covariate)
{
    struct trial *trial = start(2, 10.0);
    const double noise[] = {1, -1, 1, -1, 1, -1}, order[] = {1, 2, 3, 4, 5, 6};
    const int build[] = {0, 0, 1, 1, 0, 0};
    for (int i = 0; i < 6; i++)
        add(trial, build[i], order[i], 900.0 - 5.0 * (build[i] == 1) + 2.0 * order[i] + noise[i]);
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    struct comparison *r = &trial->result;
    ck_assert(r->order_fitted);
    ck_assert_double_eq(r->order_index, 0.0);
    ck_assert_int_eq(r->repeatability_df, 3);
    /* within cells: orders -2.5 -1.5 1.5 2.5 and -.5 .5, sum of squares 17.5; with the noise
     * -2.5+1.5+1.5-2.5-.5-.5 = -3 */
    double slope = 2.0 - 3.0 / 17.5;
    ck_assert_double_eq_tol(r->order_per_hold, slope, 1e-10);
    ck_assert_double_eq_tol(r->difference[1].difference, -5.0, 1e-10); /* mean orders are equal */
    double variance = (6.0 - 9.0 / 17.5) / 3.0;
    ck_assert_double_eq_tol(r->repeatability, sqrt(variance), 1e-10);
    ck_assert_double_eq_tol(r->difference[1].standard_error, sqrt(variance * 0.75), 1e-10);
    ck_assert_double_eq_tol(r->order_half_width, t_quantile(.975, 3) * sqrt(variance / 17.5), 1e-9);
}
END_TEST

START_TEST(order_index)
{
    /* own computation: confounding index of designs */
    const struct {
        const char *design;
        double index;
    } table[] = {{"AABB", .80}, {"AABBCC", .91}, {"AAABBB", .77}, {"ABAB", .20},    {"ABBABA", .01},
                 {"ABBA", 0},   {"ABBAABBA", 0}, {"ABCCBA", 0},   {"AABBCCAA", .10}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        struct trial *trial = start(3, 10.0);
        char what[60];
        for (int h = 0; table[i].design[h]; h++)
            add(trial, table[i].design[h] - 'A', h + 1, 900.0 + (h * 7) % 5);
        compare(trial);
        snprintf(what, sizeof what, "order index of %s", table[i].design);
        reference_printed(what, trial->result.order_index, table[i].index, 0.005);
    }
}
END_TEST

/* Order and setup go together, and height fell steadily: no verdict, and what would help. */
START_TEST(order_refuses)
{
    struct trial *trial = start(2, 10.0);
    for (int h = 0; h < 8; h++)
        add(trial, h / 4, h + 1, 900.0 - 10.0 * h + (h % 2 ? 0.4 : -0.4));
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    ck_assert_int_eq(trial->result.difference[1].verdict, VERDICT_NOT_COMPARABLE);
    ck_assert_int_eq(trial->result.difference[1].advice, ADVICE_RETURN_TO_FIRST);
    ck_assert(!trial->result.difference[1].has_interval);
    /* the same, but the first ridden again at the end: comparable, and the fall is taken out */
    add(trial, 0, 9, 820.0);
    add(trial, 0, 10, 810.0);
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    ck_assert(trial->result.order_fitted);
    ck_assert_double_eq_tol(trial->result.order_per_hold, -10.0, 0.2);
    ck_assert_int_eq(trial->result.difference[1].verdict, VERDICT_NO_DIFFERENCE);
}
END_TEST

START_TEST(ties_enter_once_per_build)
{
    /* Half-width is sqrt(t^2 holds + 1.96^2 ties) whatever the number of holds. */
    for (int holds = 2; holds <= 20; holds += 6) {
        struct trial *trial = start(2, 10.0);
        trial->builds[1].u_build = 1.5;
        trial->builds[1].u_common = 2.0;
        for (int i = 0; i < holds; i++) {
            add(trial, 0, 0, 900.0 + (i % 2 ? 3.0 : -3.0));
            add(trial, 1, 0, 880.0 + (i % 2 ? 3.0 : -3.0));
        }
        ck_assert_int_eq(compare(trial), MEASURE_OK);
        struct setup_difference *d = &trial->result.difference[1];
        double df = 2.0 * (holds - 1), t = t_quantile(.975, df);
        double part = 2.0 / holds * trial->result.repeatability * trial->result.repeatability;
        ck_assert_double_eq_tol(d->tie_error, 2.5, 1e-12);
        ck_assert_double_eq_tol(d->standard_error, sqrt(part + 6.25), 1e-10);
        double half = sqrt(t * t * part + 1.959963984540054 * 1.959963984540054 * 6.25);
        ck_assert_double_eq_tol((d->high - d->low) / 2.0, half, 1e-7);
        ck_assert_double_gt(d->df, df);
        ck_assert_double_eq_tol(trial->result.setup[1].half_width,
                                sqrt(t * t * part / 2.0 + 3.8414588206941 * 6.25), 1e-6);
    }
}
END_TEST

START_TEST(common_part_cancels_in_a_group)
{
    struct trial *trial = start(2, 10.0);
    trial->builds[0].u_common = trial->builds[1].u_common = 3.0;
    trial->builds[0].position_group = trial->builds[1].position_group = 5;
    trial->builds[0].u_build = trial->builds[1].u_build = 0.3;
    for (int i = 0; i < 3; i++) {
        add(trial, 0, 0, 900.0 + i);
        add(trial, 1, 0, 890.0 + i);
    }
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    ck_assert_double_eq_tol(trial->result.difference[1].tie_error, 0.3 * sqrt(2.0), 1e-12);
    trial->builds[1].position_group = 6;
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    ck_assert_double_eq_tol(trial->result.difference[1].tie_error, sqrt(2 * .09 + 18.0), 1e-12);
    /* two builds of a setup: its own part halves in variance */
    trial->builds[1].position_group = 5;
    trial->builds[2] = (struct compare_build){
        .setup = 1, .tied = true, .u_build = .3, .u_common = 3, .position_group = 5};
    trial->input.build_count = 3;
    for (int i = 0; i < 3; i++)
        add(trial, 2, 0, 890.0 + i);
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    ck_assert_double_eq_tol(trial->result.difference[1].tie_error, sqrt(.09 + .045), 1e-12);
    ck_assert_int_eq(trial->result.setup[1].builds, 2);
    ck_assert(!trial->result.setup[1].built_once && trial->result.setup[0].built_once);
}
END_TEST

START_TEST(session_part_counts_once_for_each_session)
{
    struct trial *trial = start(3, 10.0);
    for (int b = 0; b < 3; b++) {
        trial->builds[b].u_session = 2.0;
        trial->builds[b].session = b == 2 ? 1 : 0;
        for (int i = 0; i < 3; i++)
            add(trial, b, 0, 900.0 - 10.0 * b + i);
    }
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    /* within the session it cancels; against the other one both count */
    ck_assert_double_eq_tol(trial->result.difference[1].tie_error, 0.0, 1e-12);
    ck_assert_double_eq_tol(trial->result.difference[2].tie_error, sqrt(8.0), 1e-12);
    /* a setup half in each: (1/2)^2 of either's part against the first session's own */
    trial->builds[2].setup = 1;
    trial->input.setup_count = 2;
    for (int i = 6; i < 9; i++)
        trial->holds[i] = (struct compare_hold){.setup = 1, .build = 2, .value = 890.0 + i - 6};
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    ck_assert_double_eq_tol(trial->result.difference[1].tie_error, sqrt(2.0 * 0.25 * 4.0), 1e-12);
    trial->builds[2].u_session = NAN;
    ck_assert_int_eq(compare(trial), MEASURE_BAD_SETTING);
}
END_TEST

START_TEST(not_tied)
{
    struct trial *trial = start(3, 10.0);
    trial->builds[1].tied = false;
    for (int i = 0; i < 3; i++)
        for (int s = 0; s < 3; s++)
            add(trial, s, 0, 900.0 - 30.0 * s + i);
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    struct comparison *r = &trial->result;
    ck_assert_int_eq(r->difference[1].verdict, VERDICT_NOT_COMPARABLE);
    ck_assert_int_eq(r->difference[1].advice, ADVICE_TIE);
    ck_assert_uint_gt(strlen(r->difference[1].reason), 10);
    ck_assert(!r->setup[1].has_interval && !r->setup[1].tied);
    ck_assert_double_eq_tol(r->setup[1].mean, 871.0, 1e-9);
    ck_assert_int_eq(r->difference[2].verdict, VERDICT_LOWER);
    ck_assert_int_eq(r->repeatability_df, 6); /* its holds still tell how holds repeat */
    trial->builds[1].tied = true;
    trial->builds[0].tied = false;
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    ck_assert_int_eq(r->difference[1].verdict, VERDICT_NOT_COMPARABLE);
    ck_assert_int_eq(r->difference[2].verdict, VERDICT_NOT_COMPARABLE);
    /* one build tied, one not: the tied one's holds are the setup's */
    trial->builds[0].tied = true;
    trial->builds[3] = (struct compare_build){.setup = 1, .tied = false, .position_group = 9};
    trial->input.build_count = 4;
    add(trial, 3, 0, 700.0);
    add(trial, 3, 0, 701.0);
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    ck_assert_double_eq_tol(r->setup[1].mean, 871.0, 1e-9);
    ck_assert_int_eq(r->setup[1].holds, 3);
    ck_assert_int_eq(r->repeatability_df, 7);
}
END_TEST

START_TEST(unreplicated)
{
    /* No setup held twice: means only */
    struct trial *trial = start(3, 10.0);
    for (int s = 0; s < 3; s++)
        add(trial, s, s, 900.0 - 40.0 * s);
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    struct comparison *r = &trial->result;
    ck_assert(!r->has_repeatability);
    for (int s = 1; s < 3; s++) {
        ck_assert(!r->setup[s].has_interval && !r->difference[s].has_interval);
        ck_assert_int_eq(r->difference[s].verdict, VERDICT_CANNOT_TELL);
        ck_assert_int_eq(r->difference[s].advice, ADVICE_MORE_HOLDS);
        ck_assert_double_eq_tol(r->difference[s].difference, -40.0 * s, 1e-9);
        ck_assert_double_eq(r->difference[s].p, 0.0);
    }
    add(trial, 0, 4, 903.0); /* one repeat: everything is borrowed from it, provisional */
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    ck_assert(r->has_repeatability && r->provisional && r->setup[1].borrowed_repeatability);
    ck_assert_int_eq(r->repeatability_df, 1);
}
END_TEST

/* The first verdict that holds. Two setups, 4 holds each, SE = s / sqrt 2 = 1, df 6. */
static enum verdict verdict_at(double difference, double matters, bool up)
{
    struct trial *trial = start(2, matters);
    double step = sqrt(2.0) * sqrt(6.0 / 8.0);
    for (int i = 0; i < 4; i++) {
        add(trial, 0, 0, 900.0 + (i % 2 ? step : -step));
        add(trial, 1, 0, 900.0 + difference + (i % 2 ? step : -step));
    }
    trial->input.higher_is_up = up;
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    ck_assert_double_eq_tol(trial->result.difference[1].standard_error, 1.0, 1e-9);
    return trial->result.difference[1].verdict;
}

START_TEST(verdict_order)
{
    /* t(6): .975 2.4469, .95 1.9432 */
    ck_assert_int_eq(verdict_at(-0.5, 10, true), VERDICT_NO_DIFFERENCE);
    ck_assert_int_eq(verdict_at(2.4, 10, true), VERDICT_NO_DIFFERENCE);
    ck_assert_int_eq(verdict_at(2.5, 10, true), VERDICT_LESS_THAN_MATTERS);
    ck_assert_int_eq(verdict_at(-8.0, 10, true), VERDICT_LESS_THAN_MATTERS);
    ck_assert_int_eq(verdict_at(-8.1, 10, true), VERDICT_LOWER); /* 8.1 + 1.9432 is over 10 */
    ck_assert_int_eq(verdict_at(8.1, 10, true), VERDICT_HIGHER);
    ck_assert_int_eq(verdict_at(8.1, 10, false), VERDICT_LOWER);
    ck_assert_int_eq(verdict_at(-30, 10, true), VERDICT_LOWER);
    ck_assert_int_eq(verdict_at(0.5, 2, true), VERDICT_CANNOT_TELL);
    ck_assert_int_eq(verdict_at(2.4, 2, true), VERDICT_CANNOT_TELL);
    ck_assert_int_eq(verdict_at(2.5, 2, true), VERDICT_HIGHER);
    ck_assert_str_eq(verdict_words(VERDICT_LESS_THAN_MATTERS), "differs, but by less than matters");
    ck_assert_str_eq(verdict_words(VERDICT_NO_DIFFERENCE), "no difference that matters");
    ck_assert_str_eq(verdict_words(VERDICT_CANNOT_TELL), "cannot tell yet");
    ck_assert_str_eq(verdict_words(VERDICT_NOT_COMPARABLE), "not comparable");
    ck_assert_str_eq(verdict_words(VERDICT_LOWER), "lower");
    ck_assert_str_eq(verdict_words(VERDICT_HIGHER), "higher");
    ck_assert_str_eq(verdict_words(VERDICT_NONE), "");
}
END_TEST

START_TEST(holm_over_setups)
{
    /* the same difference against the first is 'higher' alone, and not among four */
    struct trial *trial = start(5, 2.0);
    double step = sqrt(2.0) * sqrt(6.0 / 8.0);
    for (int s = 0; s < 5; s++)
        for (int i = 0; i < 4; i++)
            add(trial, s, 0, 900.0 + (s == 1 ? 2.6 : 0.0) + (i % 2 ? step : -step));
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    struct setup_difference *d = &trial->result.difference[1];
    ck_assert_double_lt(d->p, 0.05);
    ck_assert_double_eq_tol(d->p_holm, 4.0 * d->p, 1e-12);
    ck_assert_int_eq(d->verdict, VERDICT_CANNOT_TELL);
    ck_assert_double_gt(d->low, 0.0); /* its own interval excludes 0 all the same */
}
END_TEST

START_TEST(advice_follows_what_dominates)
{
    /* holds dominate */
    struct trial *trial = start(2, 10.0);
    const double noise[] = {5, -5};
    for (int i = 0; i < 2; i++) {
        add(trial, 0, 0, 900.0 + noise[i]);
        add(trial, 1, 0, 885.0 + noise[i]);
    }
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    struct setup_difference *d = &trial->result.difference[1];
    ck_assert_int_eq(d->verdict, VERDICT_CANNOT_TELL);
    ck_assert_int_eq(d->advice, ADVICE_MORE_HOLDS);
    ck_assert_int_ge(d->advice_holds, 1);
    ck_assert_int_le(d->advice_holds, 4);
    /* and so many more, as alike as these, do settle it */
    for (int i = 0; i < d->advice_holds; i++) {
        add(trial, 0, 0, 900.0 + (i % 2 ? 7.0 : -7.0));
        add(trial, 1, 0, 885.0 + (i % 2 ? 7.0 : -7.0));
    }
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    ck_assert_int_ne(d->verdict, VERDICT_CANNOT_TELL);
    /* a tape dominates: read the plate; a plate dominates: build it again */
    const double u[] = {6.0, 1.0}, gap[] = {8.0, 1.5}, matters[] = {10.0, 2.0};
    const enum compare_advice want[] = {ADVICE_PLATE, ADVICE_BUILD_AGAIN};
    for (int k = 0; k < 2; k++) {
        trial = start(2, matters[k]);
        trial->builds[0].u_build = trial->builds[1].u_build = u[k];
        for (int i = 0; i < 8; i++) {
            add(trial, 0, 0, 900.0 + (i % 2 ? 0.3 : -0.3));
            add(trial, 1, 0, 900.0 - gap[k] + (i % 2 ? 0.3 : -0.3));
        }
        ck_assert_int_eq(compare(trial), MEASURE_OK);
        d = &trial->result.difference[1];
        ck_assert_int_eq(d->verdict, VERDICT_CANNOT_TELL);
        ck_assert_int_eq(d->advice, want[k]);
        ck_assert_uint_gt(strlen(d->reason), 20);
    }
}
END_TEST

static void random_trial(struct trial *trial, struct random_source *random, int setups)
{
    int builds = 0;
    trial->input.hold_count = 0;
    for (int round = 0; round < 2; round++)
        for (int s = 0; s < setups; s++) {
            if (round == 1 && s > 0)
                continue;
            trial->builds[builds] = (struct compare_build){.setup = s,
                                                           .tied = true,
                                                           .u_build = random_uniform(random),
                                                           .u_common = s ? 1.0 : 0.0,
                                                           .position_group = s};
            trial->input.build_count = ++builds;
            for (int h = 0; h < 3; h++)
                add(trial, builds - 1, trial->input.hold_count + 1,
                    900.0 - 8.0 * s + 4.0 * random_normal(random));
        }
}

START_TEST(reordering_setups_changes_no_verdict)
{
    unsigned seed = 606;
    struct random_source random;
    random_seed(&random, seed);
    printf("  property: setups in another order, seed %u\n", seed);
    for (int run = 0; run < 200; run++) {
        struct trial *trial = start(5, 10.0);
        random_trial(trial, &random, 5);
        ck_assert_int_eq(compare(trial), MEASURE_OK);
        struct comparison before = trial->result;
        int place[5] = {0, 1, 2, 3, 4}, build_place[6] = {0, 1, 2, 3, 4, 5};
        for (int i = 4; i > 0; i--) {
            int j = (int)(random_uniform(&random) * (i + 1)), kept = place[i];
            place[i] = place[j];
            place[j] = kept;
        }
        for (int i = 5; i > 0; i--) {
            int j = (int)(random_uniform(&random) * (i + 1)), kept = build_place[i];
            build_place[i] = build_place[j];
            build_place[j] = kept;
        }
        struct compare_build builds[6];
        for (int b = 0; b < 6; b++) {
            builds[build_place[b]] = trial->builds[b];
            builds[build_place[b]].setup = place[trial->builds[b].setup];
            builds[build_place[b]].position_group = 40 - trial->builds[b].position_group;
        }
        memcpy(trial->builds, builds, sizeof builds);
        for (int h = 0; h < trial->input.hold_count; h++) {
            trial->holds[h].setup = place[trial->holds[h].setup];
            trial->holds[h].build = build_place[trial->holds[h].build];
        }
        trial->input.baseline = place[0];
        ck_assert_int_eq(compare(trial), MEASURE_OK);
        for (int s = 0; s < 5; s++) {
            struct setup_difference *a = &before.difference[s],
                                    *b = &trial->result.difference[place[s]];
            ck_assert_int_eq(a->verdict, b->verdict);
            ck_assert_int_eq(a->advice, b->advice);
            ck_assert_double_eq_tol(a->difference, b->difference, 1e-9);
            ck_assert_double_eq_tol(a->p_holm, b->p_holm, 1e-9);
            ck_assert_double_eq_tol(a->low, b->low, 1e-8);
        }
    }
}
END_TEST

START_TEST(shift_and_scale)
{
    unsigned seed = 607;
    struct random_source random;
    random_seed(&random, seed);
    printf("  property: shift and scale of a comparison, seed %u\n", seed);
    for (int run = 0; run < 200; run++) {
        struct trial *trial = start(4, 10.0);
        random_trial(trial, &random, 4);
        ck_assert_int_eq(compare(trial), MEASURE_OK);
        struct comparison before = trial->result;
        double shift = 500.0 * random_normal(&random),
               scale = 0.001 + 3.0 * random_uniform(&random);
        for (int h = 0; h < trial->input.hold_count; h++)
            trial->holds[h].value = shift + scale * trial->holds[h].value;
        for (int b = 0; b < trial->input.build_count; b++) {
            trial->builds[b].u_build *= scale;
            trial->builds[b].u_common *= scale;
        }
        trial->input.matters *= scale;
        ck_assert_int_eq(compare(trial), MEASURE_OK);
        for (int s = 0; s < 4; s++) {
            struct setup_difference *a = &before.difference[s], *b = &trial->result.difference[s];
            ck_assert_int_eq(a->verdict, b->verdict);
            ck_assert_double_eq_tol(a->difference * scale, b->difference, 1e-8);
            ck_assert_double_eq_tol(a->high * scale, b->high, 1e-8);
            ck_assert_double_eq_tol(a->p, b->p, 1e-6);
            ck_assert_double_eq_tol(before.setup[s].mean * scale + shift,
                                    trial->result.setup[s].mean, 1e-8);
        }
    }
}
END_TEST

static void no_nan(const struct comparison *r)
{
    const double all[] = {r->repeatability,       r->repeatability_low, r->repeatability_high,
                          r->smallest_detectable, r->order_per_hold,    r->order_half_width,
                          r->order_index};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++)
        ck_assert(isfinite(all[i]));
    for (int s = 0; s < COMPARE_SETUPS_MAX; s++) {
        const struct setup_difference *d = &r->difference[s];
        const double values[] = {r->setup[s].mean,
                                 r->setup[s].half_width,
                                 d->difference,
                                 d->low,
                                 d->high,
                                 d->low_90,
                                 d->high_90,
                                 d->df,
                                 d->standard_error,
                                 d->tie_error,
                                 d->p,
                                 d->p_holm};
        for (size_t i = 0; i < sizeof values / sizeof values[0]; i++)
            ck_assert(isfinite(values[i]));
    }
}

static enum measure_status status_with(struct trial *trial)
{
    enum measure_status status = compare(trial);
    ck_assert_int_eq(status, trial->result.status);
    no_nan(&trial->result);
    return status;
}

START_TEST(bad_input)
{
    struct trial *trial = start(2, 10.0);
    ck_assert_int_eq(status_with(trial), MEASURE_TOO_FEW);
    for (int i = 0; i < 3; i++) {
        add(trial, 0, 0, 900.0);
        add(trial, 1, 0, 880.0);
    }
    /* all alike within each setup: no spread, so no interval, and no verdict from it */
    ck_assert_int_eq(status_with(trial), MEASURE_CONSTANT);
    ck_assert_int_eq(trial->result.difference[1].verdict, VERDICT_CANNOT_TELL);
    ck_assert(!trial->result.difference[1].has_interval);
    trial->holds[0].value = 901.0;
    ck_assert_int_eq(status_with(trial), MEASURE_OK);
    struct compare_input good = trial->input;
    trial->holds[0].value = NAN;
    ck_assert_int_eq(status_with(trial), MEASURE_NOT_FINITE);
    trial->holds[0].value = 901.0;
    trial->holds[1].order = (double)INFINITY;
    ck_assert_int_eq(status_with(trial), MEASURE_NOT_FINITE);
    trial->holds[1].order = 0.0;
    const double margins[] = {0.0, -1.0, NAN, (double)INFINITY};
    for (int i = 0; i < 4; i++) {
        trial->input.matters = margins[i];
        ck_assert_int_eq(status_with(trial), MEASURE_BAD_SETTING);
    }
    trial->input = good;
    const double odd[] = {-1.0, NAN, (double)INFINITY};
    for (int i = 0; i < 3; i++) {
        trial->builds[1].u_build = odd[i];
        ck_assert_int_eq(status_with(trial), MEASURE_BAD_SETTING);
        trial->builds[1].u_build = 0.0;
        trial->builds[1].u_common = odd[i];
        ck_assert_int_eq(status_with(trial), MEASURE_BAD_SETTING);
        trial->builds[1].u_common = 0.0;
    }
    trial->input.baseline = 2;
    ck_assert_int_eq(status_with(trial), MEASURE_BAD_SETTING);
    trial->input = good;
    trial->input.hold_count = COMPARE_HOLDS_MAX + 1;
    ck_assert_int_eq(status_with(trial), MEASURE_BAD_SETTING);
    trial->input = good;
    trial->holds[2].setup = 1; /* not its build's setup */
    ck_assert_int_eq(status_with(trial), MEASURE_BAD_SETTING);
    trial->holds[2].setup = 0;
    trial->holds[2].build = 7;
    ck_assert_int_eq(status_with(trial), MEASURE_BAD_SETTING);
    trial->holds[2].build = 0;
    /* the first setup without holds */
    for (int h = 0; h < trial->input.hold_count; h++)
        trial->holds[h].setup = trial->holds[h].build = 1;
    ck_assert_int_eq(status_with(trial), MEASURE_OK);
    ck_assert_int_eq(trial->result.difference[1].verdict, VERDICT_NOT_COMPARABLE);
}
END_TEST

/* Always in the band on both setups: nothing could show a difference. As heights the same numbers
 * would be a stuck sensor's. */
START_TEST(shares_at_their_end)
{
    struct trial *trial = start(3, 0.1);
    trial->input.shares = true;
    for (int h = 0; h < 2; h++) {
        add(trial, 0, 3 * h + 1, 1.0);
        add(trial, 1, 3 * h + 2, 1.0);
        add(trial, 2, 3 * h + 3, 0.8);
    }
    ck_assert_int_eq(compare(trial), MEASURE_CONSTANT);
    const struct setup_difference *d = trial->result.difference;
    ck_assert_int_eq(d[1].verdict, VERDICT_NO_DIFFERENCE);
    ck_assert_str_eq(d[1].reason, "both always in the band");
    ck_assert_int_eq(d[1].advice, ADVICE_NONE);
    ck_assert(!d[1].has_interval);
    ck_assert_double_eq(d[1].difference, 0.0);
    ck_assert_int_eq(d[2].verdict, VERDICT_CANNOT_TELL);
    for (int h = 0; h < trial->input.hold_count; h++)
        trial->holds[h].value = 0.0;
    ck_assert_int_eq(compare(trial), MEASURE_CONSTANT);
    ck_assert_int_eq(d[2].verdict, VERDICT_NO_DIFFERENCE);
    ck_assert_str_eq(d[2].reason, "both never in the band");
    for (int h = 0; h < trial->input.hold_count; h++)
        trial->holds[h].value = 0.5; /* the same, but it could be more or less */
    ck_assert_int_eq(compare(trial), MEASURE_CONSTANT);
    ck_assert_int_eq(d[1].verdict, VERDICT_CANNOT_TELL);
    for (int h = 0; h < trial->input.hold_count; h++)
        trial->holds[h].value = 1.0;
    trial->input.shares = false;
    ck_assert_int_eq(compare(trial), MEASURE_CONSTANT);
    ck_assert_int_eq(d[1].verdict, VERDICT_CANNOT_TELL);
    trial->input.shares = true;
    trial->input.hold_count = 2; /* once each is too thin */
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    ck_assert_int_eq(d[1].verdict, VERDICT_CANNOT_TELL);
}
END_TEST

/* Holds of 120 and 25 s in mirror order: by hand. */
START_TEST(second_opinion_on_uneven_holds)
{
    struct trial *trial = start(2, 10.0);
    add(trial, 0, 1, 900.0);
    add(trial, 1, 2, 890.0);
    add(trial, 1, 3, 889.1);
    add(trial, 0, 4, 900.9);
    const struct setup_difference *d = &trial->result.difference[1];
    /* standard errors not known: nothing to weigh by */
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    ck_assert(!trial->result.uneven && !d->has_second);
    for (int h = 0; h < 4; h++) {
        bool is_long = h < 2;
        trial->holds[h].mean_se = is_long ? 1.0 : 3.0;
        trial->holds[h].kept_s = is_long ? 120.0 : 25.0;
    }
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    ck_assert(trial->result.uneven && d->has_second);
    ck_assert_double_eq(trial->result.shortest_s, 25.0);
    ck_assert_double_eq(trial->result.longest_s, 120.0);
    ck_assert_double_eq_tol(d->difference, -10.9, 1e-9);
    /* weights 1 and 1/9: 900.09 and 889.91; squares 0.18 under 2, so that tau^2 is 0 */
    ck_assert_double_eq_tol(d->second_difference, 889.91 - 900.09, 1e-9);
    double half = t_quantile(0.975, 2) * sqrt(2.0 / (10.0 / 9.0));
    ck_assert_double_eq_tol(d->second_high - d->second_difference, half, 1e-9);
    ck_assert_double_eq_tol(d->second_difference - d->second_low, half, 1e-9);
    /* a plate of 1 mm for the second build comes in quadrature, with 1.96 */
    trial->builds[1].u_build = 1.0;
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    ck_assert_double_eq_tol(d->second_high - d->second_difference,
                            hypot(half, normal_quantile(0.975)), 1e-9);
    /* under twice as long: no second opinion, and the verdict is the same either way */
    enum verdict verdict = d->verdict;
    for (int h = 2; h < 4; h++)
        trial->holds[h].kept_s = 61.0;
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    ck_assert(!trial->result.uneven && !d->has_second);
    ck_assert_int_eq(d->verdict, verdict);
    /* nonsense is 'not known' */
    trial->holds[1].mean_se = NAN;
    ck_assert_int_eq(compare(trial), MEASURE_OK);
    ck_assert(!trial->result.uneven && !d->has_second);
}
END_TEST

START_TEST(speed)
{
    struct trial *trial = start(20, 10.0);
    struct random_source random;
    random_seed(&random, 4);
    for (int h = 0; h < 5; h++)
        for (int s = 0; s < 20; s++)
            add(trial, s, h * 20 + s + 1, 900.0 + 4.0 * random_normal(&random));
    for (int b = 0; b < 20; b++)
        trial->builds[b].u_build = 1.0;
    double best = (double)INFINITY;
    for (int run = 0; run < 20; run++) {
        struct timespec a, b;
        clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &a);
        ck_assert_int_eq(compare(trial), MEASURE_OK);
        clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &b);
        best = fmin(best,
                    1e3 * (double)(b.tv_sec - a.tv_sec) + 1e-6 * (double)(b.tv_nsec - a.tv_nsec));
    }
    printf("  speed: comparison of 20 setups x 5 holds: %.3f ms (CPU time)\n", best);
#if !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
    ck_assert_double_lt(best, 5.0);
#endif
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("compare");
    TCase *tests = tcase_create("compare");
    tcase_set_timeout(tests, 30);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, worked);
    tcase_add_test(tests, nist_anova);
    tcase_add_test(tests, order_covariate);
    tcase_add_test(tests, order_index);
    tcase_add_test(tests, order_refuses);
    tcase_add_test(tests, ties_enter_once_per_build);
    tcase_add_test(tests, common_part_cancels_in_a_group);
    tcase_add_test(tests, session_part_counts_once_for_each_session);
    tcase_add_test(tests, not_tied);
    tcase_add_test(tests, unreplicated);
    tcase_add_test(tests, verdict_order);
    tcase_add_test(tests, holm_over_setups);
    tcase_add_test(tests, advice_follows_what_dominates);
    tcase_add_test(tests, reordering_setups_changes_no_verdict);
    tcase_add_test(tests, shift_and_scale);
    tcase_add_test(tests, bad_input);
    tcase_add_test(tests, shares_at_their_end);
    tcase_add_test(tests, second_opinion_on_uneven_holds);
    tcase_add_test(tests, speed);
    return test_main(suite);
}
