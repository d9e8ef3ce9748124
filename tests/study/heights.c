/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The proof that heights are true (docs/heights.md): bars moved by 10 mm under a head that stays,
 * and under one that follows by 60 %, for every carrier and tie. usage: heights [SESSIONS [SEED]]
 */
#include "support/height_study.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

int main(int argc, char **argv)
{
    int sessions = argc > 1 ? atoi(argv[1]) : 100;
    unsigned long long seed = argc > 2 ? strtoull(argv[2], NULL, 10) : 20260115;
    int failures = 0;
    if (sessions < 1) {
        fprintf(stderr, "usage: heights [SESSIONS [SEED]]\n");
        return 2;
    }
    printf("%d sessions a row, seed %llu\n\n", sessions, seed);
    printf("| sensor on, tied by | a head that stays: reported to move by | a head that follows: "
           "true, mm | mean "
           "error, SD | 'lower' | 'higher' | neither | within 95 %% | alarms |\n");
    printf("| --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |\n");
    for (int i = 0; i < study_case_count; i++) {
        const struct study_case *what = &study_cases[i];
        struct study_tally still = {0}, follows = {0};
        struct study_result result;
        for (int k = 0; k < sessions; k++) {
            study_session(what, seed + (unsigned long long)k, false, &result);
            study_count(&follows, &result);
        }
        for (int k = 0; k < (sessions + 9) / 10; k++) {
            study_session(what, seed + (unsigned long long)k, true, &result);
            study_count(&still, &result);
        }
        double n = follows.sessions - follows.not_judged, mean = follows.sum_mm / n;
        double sd = sqrt(fmax(follows.square_sum_mm / n - mean * mean, 0.0));
        printf("| %s | %.1f at most | %.1f | %+.1f, %.1f | %d | %d | %d | %d | %d |\n", what->words,
               still.largest_mm, follows.true_sum_mm / follows.sessions, mean, sd, follows.lower,
               follows.higher, follows.other + follows.not_judged, follows.covered, follows.alarms);
        if (what->tie != STUDY_UNTIED) {
            failures += still.largest_mm > 1.0 || still.not_judged > 0;
            failures += follows.higher * 20 > sessions;
        }
    }
    printf("\n%s\n", failures == 0 ? "every tie holds" : "a tie does not hold");
    return failures == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
