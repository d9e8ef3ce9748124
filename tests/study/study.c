/* `make study`: how often do the tool's intervals and verdicts hold? Invented sessions with a known
 * truth, from readings to verdicts: each hold is a simulated minute at 50 readings a second, riders
 * are drawn anew for each session (wander of 1.5 to 4 mm over 1 to 8 s, breathing 0.2 to 0.7 Hz,
 * hold-to-hold SD 2 to 6 mm). Prints a table that docs/measures.md takes over.
 *
 *     study [SESSIONS [SEED]]      1000 sessions a condition, seed 20250101 */
#include "measure/simulated_session.h"

#include "base/text.h"

#include <stdio.h>
#include <stdlib.h>

#define LOW 2.0
#define HIGH 6.0
#define PLAN "AA|BB|CC|AA"

static const struct condition conditions[] = {
    {"equal, carrier fixed", PLAN, 0, 0, 0, 0, 0, 0, 0, LOW, HIGH, false},
    {"equal, plate 1 mm", PLAN, 0, 1, 0, 0, 0, 0, 0, LOW, HIGH, false},
    {"equal, tape 2 mm", PLAN, 0, 2, 0, 0, 0, 0, 0, LOW, HIGH, false},
    {"equal, from parts 2.5 mm", PLAN, 0, 0.3, 2.5, 0, 0, 0, 0, LOW, HIGH, false},
    {"equal, B not tied, off by 20 mm", PLAN, 0, 1, 0, 0, 0, 0, 0, LOW, HIGH, true},
    {"6 mm lower, plate", PLAN, -6, 1, 0, 0, 0, 0, 0, LOW, HIGH, false},
    {"6 mm lower, tape", PLAN, -6, 2, 0, 0, 0, 0, 0, LOW, HIGH, false},
    {"6 mm lower, from parts", PLAN, -6, 0.3, 2.5, 0, 0, 0, 0, LOW, HIGH, false},
    {"10 mm lower, plate", PLAN, -10, 1, 0, 0, 0, 0, 0, LOW, HIGH, false},
    {"20 mm lower, plate", PLAN, -20, 1, 0, 0, 0, 0, 0, LOW, HIGH, false},
    {"equal, three holds a build", "AAA|BBB|CCC|AAA", 0, 1, 0, 0, 0, 0, 0, LOW, HIGH, false},
    {"10 mm lower, four holds a build", "AAAA|BBBB|CCCC|AAAA", -10, 1, 0, 0, 0, 0, 0, LOW, HIGH,
     false},
    {"equal, falls 2 mm a hold", PLAN, 0, 1, 0, 0, -2, 0, 0, LOW, HIGH, false},
    {"equal, 4 % in gaps, 1 % outliers", PLAN, 0, 1, 0, 0, 0, 0.04, 0.01, LOW, HIGH, false},
    {"equal, builds differ by 1.5 mm", PLAN, 0, 1, 0, 1.5, 0, 0, 0, LOW, HIGH, false},
    {"the same, everything built twice", "AA|BB|CC|AA|BB|CC", 0, 1, 0, 1.5, 0, 0, 0, LOW, HIGH,
     false},
    {"equal, no return to the first", "AA|BB", 0, 1, 0, 0, 0, 0, 0, LOW, HIGH, false},
    {"the same, falls 2 mm a hold", "AA|BB", 0, 1, 0, 0, -2, 0, 0, LOW, HIGH, false},
};

static void cell(double value, int width, bool known)
{
    char text[24];
    text_from_double(text, sizeof text, value, 3);
    printf(" %*s |", width, known ? text : "-");
}

static void print_row(const struct condition *condition, const struct counts *n)
{
    long verdicts = 0;
    char half[24], advice[24];
    for (int v = VERDICT_NOT_COMPARABLE; v <= VERDICT_CANNOT_TELL; v++)
        verdicts += n->verdicts[v];
    printf("| %-32s |", condition->name);
    cell(share(n->hold_covered, n->hold_intervals), 5, n->hold_intervals > 0);
    cell(share(n->setup_covered, n->setup_intervals), 5, n->setup_intervals > 0);
    cell(share(n->difference_covered, n->difference_intervals), 5, n->difference_intervals > 0);
    text_from_double(
        half, sizeof half,
        n->difference_half_width / (double)(n->difference_intervals + !n->difference_intervals), 1);
    printf(" %5s |", half);
    cell(share(n->equal_false, n->equal_sessions), 5, n->equal_sessions > 0);
    cell(share(n->found, n->different), 5, n->different > 0);
    cell(share(n->wrong_sign, n->different), 5, n->different > 0);
    cell(share(n->verdicts[VERDICT_CANNOT_TELL], verdicts), 6, true);
    cell(share(n->verdicts[VERDICT_NOT_COMPARABLE], verdicts), 6, true);
    text_from_double(advice, sizeof advice, share(n->advice_holds, n->cannot_tell), 1);
    printf(" %6s |", n->cannot_tell > 0 ? advice : "-");
    cell(share(n->settled, n->cannot_tell), 7, n->cannot_tell > 0);
    printf("\n");
    fflush(stdout);
}

int main(int argc, char **argv)
{
    int64_t sessions = 1000, seed = 20250101;
    if ((argc > 1 && (!text_to_int64(argv[1], &sessions) || sessions < 1)) ||
        (argc > 2 && !text_to_int64(argv[2], &seed))) {
        fprintf(stderr, "usage: study [SESSIONS [SEED]]\n");
        return 2;
    }
    printf("%lld sessions a condition, seed %lld, D = %.0f mm. Shares of: 95 %% intervals that "
           "hold the truth (hold,\n"
           "setup, difference) with the differences' mean half-width in mm; sessions in which an "
           "equal setup is called\n"
           "lower or higher (false); setups that differ called rightly (found) or the wrong way "
           "round (wrong); comparisons\n"
           "with 'cannot tell yet' and 'not comparable'; the holds of each that 'cannot tell yet' "
           "asks for, on average, and\n"
           "the share that they do settle.\n\n",
           (long long)sessions, (long long)seed, SIMULATED_D_MM);
    printf("| condition                        | hold  | setup | diff. | +- mm | false | found | "
           "wrong | cannot | not c. "
           "| asks   | settles |\n"
           "| -------------------------------- | ----- | ----- | ----- | ----- | ----- | ----- | "
           "----- | ------ | ------ "
           "| ------ | ------- |\n");
    for (size_t c = 0; c < sizeof conditions / sizeof conditions[0]; c++) {
        struct random_source random;
        struct counts counts = {0};
        random_seed(&random, (uint64_t)seed + c);
        for (int64_t i = 0; i < sessions; i++)
            count_session(&random, &conditions[c], true, &counts);
        print_row(&conditions[c], &counts);
    }
    return EXIT_SUCCESS;
}
