/** Readings of invented logs whose friction is known: the program's own steady answer with slip, at speeds of pulls,
 * and noise on top. Nothing in it knows how they are fitted. */
#ifndef TESTS_MADE_LOG_H
#define TESTS_MADE_LOG_H

#include <math.h>
#include <string.h>

#include "support/drive_text.h"
#include "trace/fit_model.h"

typedef struct made_kit {
    drive_text text;
    snub_build build;
    snub_log_model model;
} made_kit;

/** The example kit on a blower pulley of 70 mm. */
static inline void made_kit_open(made_kit *kit)
{
    static const char *const changes[][2] = {{"blower.diameter", "70"}};
    snub_errors errors = {0};
    snub_error error = {0};
    snub_overlay *overlays;
    snub_row row;
    const snub_named_rows named = {0};
    const snub_build_request request = {0};
    drive_text_open_file(&kit->text, SNUB_SOURCE_DIR "/examples/sedgemere.yaml");
    overlays = SNUB_NEW(&kit->text.arena, snub_overlay, 1);
    assert_non_null(overlays);
    snub_node *node;
    assert_int_equal(snub_node_from_text(changes[0][1], "test", &kit->text.arena, &node, NULL), SNUB_OK);
    overlays[0] = (snub_overlay){.path = changes[0][0], .value = node};
    kit->text.reading.overlays = overlays;
    kit->text.reading.overlay_count = 1;
    assert_int_equal(snub_row_own(&kit->text.document, &kit->text.reading, &named, &row, &errors), SNUB_OK);
    assert_int_equal(snub_build_make(&kit->text.document, &kit->text.reading, &row, &request, &kit->build, &errors),
                     SNUB_OK);
    drive_text_errors(&errors);
    const snub_status status = snub_log_model_make(&kit->build, &kit->model, &error);
    if (status != SNUB_OK)
        print_error("%s\n", error.message);
    assert_int_equal(status, SNUB_OK);
}

/** What is true of a log. */
typedef struct made_truth {
    double value[SNUB_FIT_WHATS];
    double ratio, lag;         /* ln of its ratio over the build's; s */
    double noise, boost_noise; /* of a reading; Pa */
    double low, high;          /* speeds of the pull, shares of redline */
} made_truth;

static inline made_truth made_truth_of(const made_kit *kit, double friction)
{
    made_truth truth = {.low = 0.35, .high = 1.0};
    for (int w = 0; w < SNUB_FIT_WHATS; w++)
        truth.value[w] = fit_value_in(kit->build.drive, (snub_fit_what)w);
    truth.value[SNUB_FIT_FRICTION] = friction;
    return truth;
}

typedef struct made_states {
    int count;
    snub_fit_reading reading[SNUB_FIT_READINGS];
} made_states;

/** Without noise. Pulls at the file's rate from low to high speed. */
static inline void made_pull(const made_kit *kit, const made_truth *truth, int count, int log_index, made_states *out)
{
    static snub_slip_bench bench;
    const snub_engine *engine = &kit->build.drive->engine;
    assert_int_equal(snub_slip_bench_make(&kit->build, &bench, NULL), SNUB_OK);
    bench.drive.belt.limit.rib = truth->value[SNUB_FIT_FRICTION];
    snub_blower *blower = &bench.drive.pulleys[bench.blower].blower;
    blower->leakage_speed = truth->value[SNUB_FIT_LEAKAGE];
    blower->mechanical = truth->value[SNUB_FIT_MECHANICAL];
    bench.drive.cooler.pressure_drop = truth->value[SNUB_FIT_COOLER];
    bench.drive.cooler.inlet_pressure_drop = truth->value[SNUB_FIT_INLET];
    out->count = 0;
    for (int k = 0; k < count; k++) {
        const double speed = engine->redline * (truth->low + (truth->high - truth->low) * k / (count - 1));
        const snub_slip_case asked = {.engine_speed = speed,
                                      .rate = engine->accel_rate,
                                      .throttle = SNUB_THROTTLE_OPEN,
                                      .friction = 1.0,
                                      .falls = truth->value[SNUB_FIT_FALLS]};
        snub_slip_state state;
        assert_int_equal(snub_slip_bench_ask(&bench, &asked, &state, NULL), SNUB_OK);
        if (!state.solved)
            continue;
        const double gain = engine->accel_rate / speed;
        out->reading[out->count++] =
            (snub_fit_reading){.log = log_index,
                               .engine = speed,
                               .rate = engine->accel_rate,
                               .gain = gain,
                               .shortfall = -log(state.turns) + truth->ratio + truth->lag * gain,
                               .shortfall_error = fmax(truth->noise, 1e-6),
                               .boost = state.boost,
                               .boost_error = fmax(truth->boost_noise, 1.0)};
    }
}

/* A normal variable: the sum of twelve even ones, less six. */
static inline double made_normal(unsigned long *seed)
{
    double sum = -6.0;
    for (int i = 0; i < 12; i++) {
        *seed = *seed * 6364136223846793005UL + 1442695040888963407UL;
        sum += (double)(*seed >> 40) / (double)(1UL << 24);
    }
    return sum;
}

static inline void made_noise(const made_truth *truth, unsigned long *seed, made_states *states)
{
    for (int k = 0; k < states->count; k++) {
        states->reading[k].shortfall += truth->noise * made_normal(seed);
        states->reading[k].boost += truth->boost_noise * made_normal(seed);
    }
}

#endif
