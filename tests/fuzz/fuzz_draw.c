/* Views of any drive: front, side and template of pulleys whose every number comes from the fuzzer. What is drawn at
 * all is finite, lies in well-formed files, and the labels of the front view stay on their sheet or are counted. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "draw/shape.h"
#include "snub/draw.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

typedef struct source {
    const uint8_t *data;
    size_t left;
} source;

static unsigned byte(source *s)
{
    if (s->left == 0)
        return 0;
    s->left--;
    return *s->data++;
}

/* Mostly tame lengths, now and then a wild double. */
static double number(source *s)
{
    unsigned kind = byte(s);
    if (kind < 240)
        return ((int)(byte(s) << 8 | byte(s)) - 32768) / 40.0;
    double wild;
    uint8_t raw[sizeof wild];
    for (size_t i = 0; i < sizeof raw; i++)
        raw[i] = (uint8_t)byte(s);
    memcpy(&wild, raw, sizeof wild);
    return wild;
}

static const char *name(source *s, char *text)
{
    size_t n = byte(s) % 24;
    for (size_t i = 0; i < n; i++) {
        unsigned c = byte(s);
        text[i] = c == 0 ? '?' : (char)c;
    }
    text[n] = '\0';
    return text;
}

static void check(const snub_drawing *drawing)
{
    snub_text svg = {0}, dxf = {0};
    snub_error error;
    double low[2], high[2];
    if (!snub_drawing_bounds(drawing, low, high) || !isfinite(low[0] + low[1] + high[0] + high[1]))
        abort();
    if (snub_draw_svg(drawing, SNUB_THEME_LIGHT, NULL, &svg, &error) == SNUB_OK &&
        strcmp(svg.data + svg.length - 7, "</svg>\n") != 0)
        abort();
    if (snub_draw_dxf(drawing, &dxf, &error) == SNUB_OK) {
        size_t lines = 0;
        for (size_t i = 0; i < dxf.length; i++) {
            lines += dxf.data[i] == '\n';
            if ((unsigned char)dxf.data[i] >= 0x80)
                abort();
        }
        if (lines % 2 != 0)
            abort();
    }
    snub_text_free(&svg);
    snub_text_free(&dxf);
}

enum { PULLEYS_MOST = 8 };

static void fill(source *s, snub_view_pulley *pulley, int count, char (*names)[32])
{
    for (int i = 0; i < count; i++) {
        unsigned flags = byte(s);
        pulley[i] = (snub_view_pulley){.name = name(s, names[i]),
                                       .back = flags & 1,
                                       .crank = flags & 2,
                                       .sense = flags & 4 ? 1 : -1,
                                       .centre = {number(s), number(s)},
                                       .pitch_radius = fabs(number(s)),
                                       .outer_radius = fabs(number(s)),
                                       .rim_radius = fabs(number(s)),
                                       .enter = {number(s), number(s)},
                                       .leave = {number(s), number(s)},
                                       .wrap = number(s) / 100,
                                       .span = number(s),
                                       .rpm = flags & 8 ? number(s) : NAN,
                                       .frequency_Hz = flags & 16 ? number(s) : NAN,
                                       .tension_N = flags & 32 ? number(s) : NAN,
                                       .plane = number(s),
                                       .width = number(s)};
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    source s = {data, size};
    snub_arena arena = {.limit = 64 << 20};
    snub_drawing drawing;
    snub_error error;
    char names[PULLEYS_MOST][32], title[32];
    snub_view_pulley pulley[PULLEYS_MOST];
    unsigned flags = byte(&s);
    int count = 1 + (int)(byte(&s) % PULLEYS_MOST);
    fill(&s, pulley, count, names);
    snub_view_build build = {.name = "b", .count = count, .pulley = pulley, .thickness = 4.5, .back = 1.5, .width = 28};
    snub_view_slot slot = {.pulley = 0,
                           .curved = flags & 1,
                           .from = {number(&s), number(&s)},
                           .to = {number(&s), number(&s)},
                           .centre = {number(&s), number(&s)},
                           .radius = number(&s),
                           .start = number(&s),
                           .sweep = number(&s),
                           .length = number(&s),
                           .setting = number(&s)};
    snub_view view = {.title = name(&s, title),
                      .build_count = 1,
                      .build = &build,
                      .slot_count = flags & 2 ? 1 : 0,
                      .slot = &slot,
                      .bare = flags & 4};
    view.arm = (snub_view_arm){.pulley = flags & 8 ? 0 : -1,
                               .pivot = {number(&s), number(&s)},
                               .length = number(&s),
                               .rest = number(&s),
                               .winds = 1,
                               .travel = number(&s),
                               .wind = number(&s)};
    if (snub_draw_front(&view, NULL, &arena, &drawing, NULL, &error) == SNUB_OK)
        check(&drawing);
    if (snub_draw_side(&view, NULL, &arena, &drawing, &error) == SNUB_OK)
        check(&drawing);
    if (snub_draw_template(&view, NULL, &arena, &drawing, &error) == SNUB_OK)
        check(&drawing);
    snub_arena_free(&arena);
    return 0;
}
