/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/distribution.h"

#include "gsl_quiet.h"
#include "measure/rules.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdbool.h>

static bool is_share(double p)
{
    return p > 0.0 && p < 1.0;
}

static bool is_df(double df)
{
    return df > 0.0 && isfinite(df);
}

static double quantile_or_nothing(double value)
{
    return isfinite(value) ? value : (double)INFINITY;
}

static double share_or_one(double value)
{
    return value >= 0.0 && value <= 1.0 ? value : 1.0;
}

double normal_quantile(double p)
{
    gsl_quiet();
    return is_share(p) ? quantile_or_nothing(gsl_cdf_ugaussian_Pinv(p)) : (double)INFINITY;
}

double normal_upper(double z)
{
    gsl_quiet();
    return isnan(z) ? 1.0 : share_or_one(gsl_cdf_ugaussian_Q(z));
}

/* Over this many degrees of freedom t is the normal distribution to 9 digits; GSL's t loses digits
 * there. */
static const double df_normal = 1e8;

double t_quantile(double p, double df)
{
    gsl_quiet();
    if (!is_share(p) || !(df > 0.0)) {
        return (double)INFINITY;
    }
    if (df > df_normal) {
        return normal_quantile(p);
    }
    return quantile_or_nothing(gsl_cdf_tdist_Pinv(p, df));
}

double t_interval(double df)
{
    return t_quantile(INTERVAL_HIGH, df);
}

double t_upper(double t, double df)
{
    gsl_quiet();
    if (isnan(t) || !(df > 0.0)) {
        return 1.0;
    }
    if (isinf(t)) {
        return t > 0.0 ? 0.0 : 1.0;
    }
    if (df > df_normal) {
        return normal_upper(t);
    }
    return share_or_one(gsl_cdf_tdist_Q(t, df));
}

double t_two_sided_p(double t, double df)
{
    if (isnan(t) || !(df > 0.0)) {
        return 1.0;
    }
    return share_or_one(2.0 * t_upper(fabs(t), df));
}

double chi2_quantile(double p, double df)
{
    gsl_quiet();
    if (!is_share(p) || !is_df(df)) {
        return (double)INFINITY;
    }
    return quantile_or_nothing(gsl_cdf_chisq_Pinv(p, df));
}

double f_upper(double f, double df_1, double df_2)
{
    gsl_quiet();
    if (isnan(f) || !is_df(df_1) || !is_df(df_2)) {
        return 1.0;
    }
    return f <= 0.0 ? 1.0 : share_or_one(gsl_cdf_fdist_Q(f, df_1, df_2));
}
