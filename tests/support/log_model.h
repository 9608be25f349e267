/** A build as logs are compared with it, without a drive behind it: ratio 2, no creep, 1000 N at the crank. */
#ifndef TESTS_LOG_MODEL_H
#define TESTS_LOG_MODEL_H

#include "trace/model.h"

typedef struct plain_log_model {
    snub_drive drive;
    snub_pulley blower;
    snub_build build;
    snub_log_model model;
} plain_log_model;

#define LOG_RATIO 2.0
#define LOG_FORCE 1000.0
#define LOG_CHARGE 320.0 /* K */
#define LOG_RADIUS 0.08

static inline const snub_log_model *plain_log_model_make(plain_log_model *p)
{
    *p = (plain_log_model){0};
    p->drive.engine.idle = 80.0;
    p->drive.engine.redline = 700.0;
    p->drive.engine.accel_rate = 200.0;
    p->drive.engine.decel_rate = 400.0;
    p->drive.limits[SNUB_LIMIT_GRIP_DESIGN] = 0.9;
    p->blower.blower.step_up = 1.0;
    p->drive.pulleys = &p->blower;
    p->drive.pulley_count = 1;
    p->build.drive = &p->drive;
    p->model = (snub_log_model){.build = &p->build,
                                .ratio = LOG_RATIO,
                                .crank_radius = LOG_RADIUS,
                                .idle = 80.0,
                                .redline = 700.0,
                                .steps_per_speed = (SNUB_LOG_SPEEDS - 1) / 620.0};
    for (int way = 0; way < SNUB_WAYS; way++) {
        p->model.runs[way] = true;
        for (int k = 0; k < SNUB_LOG_SPEEDS; k++)
            p->model.point[way][k] = (snub_log_point){.solved = true,
                                                      .crank_grip = 0.8,
                                                      .blower_grip = 0.5,
                                                      .worst_limit = 0.8,
                                                      .worst_design = 0.85,
                                                      .crank_force = LOG_FORCE,
                                                      .blower_force = 300.0,
                                                      .boost = NAN,
                                                      .charge = LOG_CHARGE};
    }
    return &p->model;
}

#endif
