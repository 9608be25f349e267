/** Fuzz target of the blower map reader.
 *  Asserted: a status other than OK comes with a mistake and no map; a map that is taken gives its own points back, has
 *  finite answers everywhere, and an engine matched with it ends in an answer or an error, never in a number that is
 * not finite. */
#include <math.h>
#include <string.h>

#include "demand/map.h"
#include "fuzz.h"
#include "snub/demand.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check_points(const snub_blower *blower)
{
    double ratio, efficiency, outside;
    for (int l = 0; l < blower->map_lines; l++) {
        const snub_map_line *line = &blower->map[l];
        must(l == 0 || line->speed > blower->map[l - 1].speed);
        must(line->surge == 0 || (line->surge >= line->flow[0] && line->surge <= line->flow[line->n - 1]));
        for (int i = 0; i < line->n; i++) {
            must(snub_blower_map_at(blower, 1.4, line->speed, line->flow[i], &ratio, &efficiency, &outside, NULL));
            must(fabs(ratio - line->ratio[i]) <= 1e-6 * line->ratio[i]);
            must(efficiency > 0 && efficiency <= 1 + 1e-12 && outside < 1e-6);
        }
    }
    for (double speed = 1; speed < 1e6; speed *= 7)
        for (double flow = 0; flow < 10; flow = flow * 5 + 0.003) {
            bool surge;
            must(snub_blower_map_at(blower, 1.4, speed, flow, &ratio, &efficiency, &outside, &surge));
            must(!isnan(ratio) && efficiency > 0 && outside >= 0);
        }
}

static void check_match(const snub_blower *blower)
{
    double speed = 100, fill = 0.9;
    const snub_engine engine = {.given = true,
                                .displacement = 2e-3,
                                .cylinders = 4,
                                .strokes = 4,
                                .redline = 600,
                                .volumetric_efficiency = {1, &speed, &fill}};
    const snub_air air = {.pressure = 101325, .temperature = 298.15, .altitude = NAN};
    for (double crank = 80; crank < 700; crank *= 2)
        for (int throttle = 0; throttle < 3; throttle++) {
            snub_match_result m;
            snub_error error = {0};
            snub_status status =
                snub_match(&engine, &air, NULL, blower, crank, 2 * crank, (snub_throttle)throttle, &m, &error);
            must(status == SNUB_OK || error.message[0] != '\0');
            must(status != SNUB_OK || (isfinite(m.power) && isfinite(m.boost) && isfinite(m.outlet_temperature)));
        }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static snub_units *units; /* opened once: it reads a database */
    snub_arena arena;
    if (size < 1 || (units == NULL && snub_units_open(&units, NULL) != SNUB_OK))
        return 0;
    for (int kind = 0; kind < 2; kind++) {
        snub_errors errors = {0};
        snub_blower blower = {
            .kind = kind ? SNUB_CENTRIFUGAL : SNUB_TWIN_SCREW, .step_up = 1, .mechanical = 0.9, .bypass = data[0] & 1};
        if (data[0] & 2) { /* the air that a corrected flow is referred to */
            blower.map_temperature = 302.8;
            blower.map_pressure = 96e3;
        }
        snub_arena_init(&arena, 16 << 20);
        snub_status status =
            snub_blower_map_read("fuzz", (const char *)data + 1, size - 1, units, &arena, &blower, &errors);
        if (status == SNUB_OK) {
            must(errors.count == 0 && blower.map_lines >= 2);
            check_points(&blower);
            check_match(&blower);
        } else {
            must(errors.count > 0 && blower.map_lines == 0);
        }
        snub_errors_free(&errors);
        snub_arena_free(&arena);
    }
    return 0;
}
