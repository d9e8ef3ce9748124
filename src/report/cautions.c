/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/cautions.h"

#include "base/language.h"

static const char body[] =
    N_("This measures posture; it gives no medical advice. Stop on pain, numbness or tingling; "
       "take trouble that stays to a licensed clinician.");
static const char bolts[] =
    N_("Bolts to the component maker's torque, spacers and insertion within the maker's limits; "
       "check again after the first ride. Never loosen a bolt under a leaning rider.");
static const char steering[] = N_(
    "Stem or spacers: before the stem's clamp bolts are tightened, the top cap is set so that the "
    "steering bearings have no play and the bar still turns freely; then the clamp bolts, with "
    "the bar straight. Tried with the front brake held, before the bike is ridden.");
static const char sight[] =
    N_("A head too low to see ahead is a failed setup whatever the numbers. Gauges are for the "
       "trainer: on the road, eyes stay on the road.");
static const char road[] =
    N_("A hold on a trainer is not the road. Race rules limit position: check the current rules "
       "of the governing body.");
static const char beams[] =
    N_("Beams only from sensors sold as eye-safe (laser class 1 under IEC 60825-1), aimed below "
       "the eyes. The bike firmly in the trainer.");

const char *const report_cautions[CAUTIONS] = {
    [CAUTION_BODY] = body,   [CAUTION_BOLTS] = bolts, [CAUTION_STEERING] = steering,
    [CAUTION_SIGHT] = sight, [CAUTION_ROAD] = road,   [CAUTION_BEAMS] = beams,
};
