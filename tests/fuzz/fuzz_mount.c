/* Hardware of any numbers: bolt groups, planes, shims, bearings, figures. What must hold: an answer has no NaN in it,
 * forces and moments balance, a point's signed distance agrees with the disc's, nothing is nearer than its nearest
 * point. */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "drive/polygon.h"
#include "layout/clearance2d.h"
#include "snub/clearance.h"
#include "snub/mount.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

typedef struct bytes {
    const uint8_t *data;
    size_t left;
} bytes;

static unsigned take(bytes *b, size_t count)
{
    unsigned value = 0;
    for (; count > 0 && b->left > 0; count--, b->left--)
        value = value << 8 | *b->data++;
    return value;
}

/* A number between two bounds, both ends within reach. */
static double between(bytes *b, double low, double high)
{
    return low + (high - low) * take(b, 2) / 65535.0;
}

static void point(bytes *b, double p[2])
{
    p[0] = between(b, -0.3, 0.3);
    p[1] = between(b, -0.3, 0.3);
}

static void must_at(bool holds, int line)
{
    if (holds)
        return;
    fprintf(stderr, "%s:%d: does not hold\n", __FILE__, line);
    abort();
}
#define must(holds) must_at((holds), __LINE__)

static void groups(bytes *b)
{
    snub_group_bolt bolts[6];
    snub_group_share s[6];
    snub_wrench w = {{0}, {0}};
    const int n = 1 + (int)take(b, 1) % 6;
    const bool pads = take(b, 1) % 2;
    for (int i = 0; i < n; i++) {
        point(b, bolts[i].at);
        bolts[i].area = between(b, 1e-6, 1e-3);
        bolts[i].pad = pads ? between(b, 0.005, 0.04) : 0;
        bolts[i].hole = between(b, 0.004, 0.02);
    }
    double force[3], at[3];
    for (int i = 0; i < 3; i++) {
        force[i] = between(b, -5000, 5000);
        at[i] = between(b, -0.3, 0.3);
    }
    snub_wrench_add(&w, force, at);
    if (snub_group_share_out(bolts, n, &w, s, NULL) != SNUB_OK)
        return;
    double sum[3] = {0}, turning = 0, size = 0;
    for (int i = 0; i < n; i++) {
        must(isfinite(s[i].pull) && isfinite(s[i].shear[0]) && isfinite(s[i].shear[1]) && s[i].edge_pull >= 0);
        sum[0] += s[i].shear[0];
        sum[1] += s[i].shear[1];
        sum[2] += s[i].pull;
        turning += bolts[i].at[0] * s[i].shear[1] - bolts[i].at[1] * s[i].shear[0];
        size += fabs(s[i].shear[0]) + fabs(s[i].shear[1]) + fabs(s[i].pull);
    }
    for (int k = 0; k < 3; k++)
        must(fabs(sum[k] - w.force[k]) <= 1e-9 * size);
    must(fabs(turning - w.moment[2]) <= 1e-8 * (size + fabs(w.moment[2])));
    (void)snub_group_in_line(bolts, n, between(b, 0, 0.01), NULL);
}

static void shims(bytes *b)
{
    double angle[4], slope[8], thickness[3];
    const snub_shim_problem p = {4, angle, NULL, slope, 2, 3, thickness, 2, 0.006};
    snub_arena arena = {0};
    snub_shim_answer answer;
    for (int i = 0; i < 4; i++)
        angle[i] = between(b, -0.02, 0.02);
    for (int i = 0; i < 8; i++)
        slope[i] = between(b, -8, 8);
    for (int i = 0; i < 3; i++)
        thickness[i] = between(b, 0, 0.002);
    const snub_status status = snub_shim_search(&p, &arena, &answer, NULL);
    if (status == SNUB_OK) {
        double worst = 0;
        for (int e = 0; e < 4; e++)
            worst = fmax(worst, fabs(angle[e] + slope[2 * e] * answer.pack[0] + slope[2 * e + 1] * answer.pack[1]));
        must(fabs(worst - answer.worst) < 1e-12 && answer.passes == (answer.worst <= p.limit));
    }
    snub_arena_free(&arena);
}

static void figures(bytes *b)
{
    double corner[7][2], p[2], a[2], c[2], d[2], on_ab[2], on_cd[2], near[2];
    const int n = 3 + (int)take(b, 1) % 5;
    for (int i = 0; i < n; i++)
        point(b, corner[i]);
    point(b, p), point(b, a), point(b, c), point(b, d);
    const double apart = snub_segment_segment(a, p, c, d, on_ab, on_cd);
    must(apart >= 0 && fabs(hypot(on_ab[0] - on_cd[0], on_ab[1] - on_cd[1]) - apart) < 1e-9);
    const double signed_distance = snub_point_polygon(p, n, (const double(*)[2])corner, near);
    must(isfinite(signed_distance));
    must(fabs(fabs(signed_distance) - hypot(p[0] - near[0], p[1] - near[1])) < 1e-12);
    must(snub_segment_polygon(a, p, n, (const double(*)[2])corner) <= fmax(signed_distance, 0) + 1e-12);
    (void)snub_polygon_crossing(n, (const double(*)[2])corner, NULL);
    const double length = hypot(c[0] - d[0], c[1] - d[1]);
    if (length < 1e-6)
        return;
    const snub_strip strip = {{c[0], c[1]}, {(d[0] - c[0]) / length, (d[1] - c[1]) / length}, length, 0.002, 0.003};
    must(isfinite(snub_strip_polygon(&strip, n, (const double(*)[2])corner, near)));
    must(isfinite(snub_strip_circle(&strip, p, between(b, 0, 0.1), near)));
    must(isfinite(snub_strip_stadium(&strip, p, a, between(b, 0, 0.1), near)));
}

static void bearings(bytes *b)
{
    const snub_bearing_load load = {between(b, -5000, 5000), between(b, -3000, 3000)};
    const double p = snub_bearing_equivalent(load, between(b, 10, 16), between(b, 100, 20000), take(b, 1) % 2);
    must(isfinite(p) && p >= 0 && snub_bearing_static(load) >= fabs(load.radial));
    snub_duty_load duty[4];
    double most = 0, speed;
    for (int i = 0; i < 4; i++) {
        duty[i] = (snub_duty_load){between(b, 0, 5000), between(b, 0, 2000), between(b, 0, 1)};
        most = fmax(most, duty[i].load);
    }
    const double mean = snub_duty_mean(duty, 4, 3, &speed);
    must(mean >= 0 && mean <= most * (1 + 1e-12) && isfinite(speed));
    const double grease =
        snub_grease_life(between(b, 0, 3000), between(b, 1, 3000), between(b, 200, 500), take(b, 1) % 2);
    must(isnan(grease) || grease > 0);
}

static void planes(bytes *b)
{
    double centre[4][2], entry[4], exit[4], drift[4];
    const double radius[4] = {between(b, 0.02, 0.1), between(b, 0.02, 0.1), -between(b, 0.02, 0.1),
                              between(b, 0.02, 0.1)};
    snub_path path;
    snub_plane plane[4];
    for (int i = 0; i < 4; i++) {
        point(b, centre[i]);
        plane[i] =
            (snub_plane){between(b, -0.01, 0.01), {between(b, -0.1, 0.1), between(b, -0.1, 0.1)}, take(b, 1) % 2};
    }
    if (snub_path_lay(4, (const double(*)[2])centre, radius, 1, &path, NULL) != SNUB_OK)
        return;
    if (snub_entry_angles(&path, plane, entry, exit, drift, NULL) != SNUB_OK)
        return;
    for (int i = 0; i < 4; i++)
        must(isfinite(entry[i]) && isfinite(exit[i]) && isfinite(drift[i]) && (plane[i].guides || entry[i] == 0));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    bytes b = {data, size};
    switch (take(&b, 1) % 5) {
    case 0: groups(&b); break;
    case 1: shims(&b); break;
    case 2: figures(&b); break;
    case 3: bearings(&b); break;
    default: planes(&b); break;
    }
    return 0;
}
