/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "plain_codes.h"

#include <stddef.h>

/* Whole numbers whose bits or figures are all set, or all but the last: what no sensor measures by
 * chance. */
static bool is_usual_code(const struct decimal *number)
{
    static const uint64_t codes[] = {4095,  8190,  8191, 16383, 32766,  32767, 65533,
                                     65534, 65535, 9999, 99999, 999999, 8888,  16777215};
    for (size_t i = 0; i < sizeof codes / sizeof codes[0]; i++) {
        if (number->decimals == 0 && number->mantissa == codes[i]) {
            return true;
        }
    }
    return false;
}

bool plain_codes_is_code(struct plain_codes *codes, int32_t tenth_mm, const struct decimal *number)
{
    if (codes->has_code && tenth_mm == codes->code_tenth_mm) {
        return true;
    }
    bool far = (double)tenth_mm >= CODE_LEAST_MM * 10;
    if (far && is_usual_code(number)) {
        codes->has_code = true;
        codes->code_tenth_mm = tenth_mm;
        return true;
    }
    if (far && codes->started && tenth_mm > codes->last_tenth_mm) {
        bool same = codes->times > 0 && tenth_mm == codes->candidate_tenth_mm;
        codes->candidate_tenth_mm = tenth_mm;
        codes->times = same ? codes->times + 1 : 1;
        if (codes->times >= CODE_TIMES) {
            codes->has_code = true;
            codes->code_tenth_mm = tenth_mm;
            return true;
        }
    }
    codes->started = true;
    codes->last_tenth_mm = tenth_mm;
    return false;
}
