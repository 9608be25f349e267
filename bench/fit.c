/* Friction fitted to a thousand made logs: how many of the 95 % ranges hold the truth, and how long a fit takes. Goal:
 * 93 to 97 of 100. Fails where it is missed. Run from the build tree: build/release/bench/bench_fit [LOGS]. */

#include "support/made_log.h"
#include "timing.h"

/* @return the friction over its truth where it fits; NAN where it does not */
static double fit_one(const made_kit *kit, unsigned long *seed, bool *inside)
{
    static made_states states;
    made_truth truth = made_truth_of(kit, 0.47 + 0.01 * fmax(-2.5, fmin(2.5, made_normal(seed))));
    truth.noise = 0.002;
    truth.lag = 0.005 * made_normal(seed);
    truth.ratio = 0.002 * made_normal(seed);
    made_pull(kit, &truth, 36, 0, &states);
    made_noise(&truth, seed, &states);
    snub_fit fit;
    const snub_fit_request request = {.model = &kit->model,
                                      .readings = states.reading,
                                      .count = states.count,
                                      .log_count = 1,
                                      .asked = {[SNUB_FIT_FRICTION] = true}};
    if (snub_fit_run(&request, &fit, NULL) != SNUB_OK)
        return NAN;
    const snub_fit_estimate *e = &fit.of[SNUB_FIT_FRICTION];
    *inside = e->low <= truth.value[SNUB_FIT_FRICTION] && truth.value[SNUB_FIT_FRICTION] <= e->high;
    return e->value / truth.value[SNUB_FIT_FRICTION];
}

int main(int count, char **arguments)
{
    const long logs = count > 1 ? strtol(arguments[1], NULL, 10) : 1000;
    static made_kit kit;
    unsigned long seed = 1;
    long inside = 0, failed = 0;
    double off = 0.0;
    made_kit_open(&kit);
    const double start = bench_wall();
    for (long i = 0; i < logs; i++) {
        bool in = false;
        const double share = fit_one(&kit, &seed, &in);
        failed += isnan(share) ? 1 : 0;
        off += isnan(share) ? 0.0 : (share - 1.0) / (double)logs;
        inside += in ? 1 : 0;
    }
    const double part = (double)inside / (double)logs, ms = 1e3 * (bench_wall() - start) / (double)logs;
    printf("fit: %ld logs, truth inside of 95 %% in %.1f %%, off by %+.4f %% on average, %ld without an answer, %.0f "
           "ms each\n",
           logs, 100.0 * part, 100.0 * off, failed, ms);
    drive_text_close(&kit.text);
    return part < 0.93 || part > 0.97 || failed > 0;
}
