#include "measure/noncentral_t.h"

#include "gsl_quiet.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_sf_gamma.h>
#include <math.h>

/* Nodes and weights of the 10-point Gauss-Legendre rule on [-1, 1], positive half (Abramowitz and
 * Stegun 1964, table 25.4). */
static const double nodes[5] = {0.148874338981631, 0.433395394129247, 0.679409568299024,
                                0.865063366688985, 0.973906528517172};
static const double weights[5] = {0.295524224714753, 0.269266719309996, 0.219086362515982,
                                  0.149451349150581, 0.066671344308688};

struct integrand {
    double t, df, delta, log_constant;
};

/* Density of s = chi / sqrt df at s, times P(Z <= t s - delta). */
static double value_at(const struct integrand *f, double s)
{
    if (s <= 0.0)
        return 0.0;
    double log_density = f->log_constant + (f->df - 1.0) * log(s) - 0.5 * f->df * s * s;
    return exp(log_density) * gsl_cdf_ugaussian_P(f->t * s - f->delta);
}

static double panel(const struct integrand *f, double from, double to)
{
    double middle = 0.5 * (from + to), half = 0.5 * (to - from), sum = 0.0;
    for (int i = 0; i < 5; i++)
        sum += weights[i] *
               (value_at(f, middle - half * nodes[i]) + value_at(f, middle + half * nodes[i]));
    return half * sum;
}

double noncentral_t_lower(double t, double df, double delta)
{
    gsl_quiet();
    if (!isfinite(t) || !isfinite(df) || !isfinite(delta) || !(df > 0.0))
        return 1.0;
    struct integrand f = {t, df, delta, 0.0};
    f.log_constant = log(2.0) + 0.5 * df * log(0.5 * df) - gsl_sf_lngamma(0.5 * df);
    /* s has mean about 1 and SD about 1/sqrt(2 df): everything lies within 9 of them, and for few
     * degrees of freedom from 0 on. The normal step has a width of 1/t. */
    double sd = 1.0 / sqrt(2.0 * df), low = fmax(0.0, 1.0 - 9.0 * sd),
           high = 1.0 + 9.0 * sd + 3.0 / df;
    int panels = 60;
    double step = 1.0 / fmax(1.0, fabs(t));
    while ((high - low) / panels > step && panels < 4000)
        panels *= 2;
    double sum = 0.0;
    for (int i = 0; i < panels; i++)
        sum += panel(&f, low + (high - low) * i / panels, low + (high - low) * (i + 1) / panels);
    return fmin(1.0, fmax(0.0, sum));
}
