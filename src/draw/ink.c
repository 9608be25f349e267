/** Colours, dashes, layers and pens. */
#include "compose.h"
#include "snub/draw.h"

/* Series colours keep apart for the common kinds of colour blindness and on a grey printer (each differs in lightness
 * from its neighbours); dash and marker carry the difference all the same. */
static const uint32_t colours[SNUB_INK_COUNT_][2] = {
    [SNUB_INK_NONE] = {0x000000, 0xffffff},      [SNUB_INK_PAPER] = {0xffffff, 0x14171b},
    [SNUB_INK_TEXT] = {0x14181d, 0xeef1f4},      [SNUB_INK_QUIET] = {0x525b66, 0xa9b3be},
    [SNUB_INK_FAINT] = {0xbcc4cc, 0x4a535d},     [SNUB_INK_LIGHT] = {0x8a939d, 0x6d7782},
    [SNUB_INK_OUTLINE] = {0x262c33, 0xd5dbe1},   [SNUB_INK_RIB_FILL] = {0xdde4eb, 0x2c343d},
    [SNUB_INK_BACK_FILL] = {0xf4ecdc, 0x38322a}, [SNUB_INK_BELT] = {0x14181d, 0xe4e8ec},
    [SNUB_INK_BELT_FILL] = {0x59626d, 0x8b96a2}, [SNUB_INK_ARM] = {0x8a4a00, 0xf0ac5e},
    [SNUB_INK_ARM_FILL] = {0xf7e3c8, 0x4a3519},  [SNUB_INK_SLOT] = {0x00566b, 0x6cc8de},
    [SNUB_INK_OBSTACLE] = {0x7a2f3b, 0xe09aa5},  [SNUB_INK_OBSTACLE_FILL] = {0xf6e6e8, 0x3d2428},
    [SNUB_INK_DIMENSION] = {0x00566b, 0x6cc8de}, [SNUB_INK_PASS] = {0x1d6b3a, 0x74cf96},
    [SNUB_INK_NOTE] = {0x1f5fa8, 0x82b7f0},      [SNUB_INK_MARGINAL] = {0x9a5b00, 0xf2b44b},
    [SNUB_INK_FAIL] = {0xb3161e, 0xff7d7d},      [SNUB_INK_SERIES_1] = {0x0b4f9e, 0x6fb2ff},
    [SNUB_INK_SERIES_2] = {0xb8480c, 0xff9c5e},  [SNUB_INK_SERIES_3] = {0x1e6e4d, 0x62d3a2},
    [SNUB_INK_SERIES_4] = {0x8a2277, 0xe68fd6},  [SNUB_INK_SERIES_5] = {0x7a6400, 0xdcc24a},
    [SNUB_INK_SERIES_6] = {0x2f2f73, 0xb3b1f5},  [SNUB_INK_SERIES_7] = {0x5a3a22, 0xcda583},
    [SNUB_INK_BAND_1] = {0xd3e2f5, 0x1d3450},    [SNUB_INK_BAND_2] = {0xf8dfd1, 0x4d2d1b},
    [SNUB_INK_BAND_3] = {0xd5eadf, 0x1b4032},    [SNUB_INK_BAND_4] = {0xeed8ea, 0x45263f},
    [SNUB_INK_BAND_5] = {0xf0ead0, 0x40391a},    [SNUB_INK_BAND_6] = {0xdedef0, 0x2c2c52},
    [SNUB_INK_BAND_7] = {0xeae0d8, 0x3d3027},
};

uint32_t snub_ink_colour(snub_ink ink, snub_theme theme)
{
    if (ink < 0 || ink >= SNUB_INK_COUNT_)
        ink = SNUB_INK_TEXT;
    return colours[ink][theme == SNUB_THEME_DARK ? 1 : 0];
}

const double *snub_dash_lengths(snub_dash dash, int *count)
{
    static const double dashed[] = {2.4, 1.2}, dotted[] = {0.5, 0.9}, centre[] = {6.0, 1.0, 0.8, 1.0};
    static const double phantom[] = {6.0, 1.0, 0.8, 1.0, 0.8, 1.0}, long_dash[] = {5.0, 1.5};
    switch (dash) {
    case SNUB_DASH_DASHED: *count = 2; return dashed;
    case SNUB_DASH_DOTTED: *count = 2; return dotted;
    case SNUB_DASH_CENTRE: *count = 4; return centre;
    case SNUB_DASH_PHANTOM: *count = 6; return phantom;
    case SNUB_DASH_LONG: *count = 2; return long_dash;
    case SNUB_DASH_SOLID:
    case SNUB_DASH_COUNT_: break;
    }
    *count = 0;
    return NULL;
}

const char *snub_layer_name(snub_layer layer)
{
    static const char *const names[SNUB_LAYER_COUNT_] = {
        [SNUB_LAYER_PAPER] = "PAPER",        [SNUB_LAYER_GRID] = "GRID",
        [SNUB_LAYER_OBSTACLE] = "OBSTACLES", [SNUB_LAYER_GHOST] = "GHOSTS",
        [SNUB_LAYER_PULLEY] = "PULLEYS",     [SNUB_LAYER_ARM] = "ARM",
        [SNUB_LAYER_SLOT] = "SLOTS",         [SNUB_LAYER_BELT] = "BELT",
        [SNUB_LAYER_PITCH] = "PITCH_LINE",   [SNUB_LAYER_BUILDS] = "BUILDS",
        [SNUB_LAYER_PLOT] = "PLOT",          [SNUB_LAYER_HOLES] = "HOLES",
        [SNUB_LAYER_CENTRES] = "CENTRES",    [SNUB_LAYER_DIMENSION] = "DIMENSIONS",
        [SNUB_LAYER_LEADER] = "LEADERS",     [SNUB_LAYER_LABEL] = "LABELS",
        [SNUB_LAYER_FRAME] = "FRAME",        [SNUB_LAYER_CUT] = "CUT",
        [SNUB_LAYER_ENGRAVE] = "ENGRAVE",
    };
    return layer >= 0 && layer < SNUB_LAYER_COUNT_ ? names[layer] : "0";
}

snub_pen snub_pen_make(snub_ink ink, snub_dash dash, double width)
{
    return (snub_pen){.ink = ink, .dash = dash, .width = width};
}

snub_style snub_style_of(int number)
{
    /* 5 dashes and 7 markers have no common factor: 35 pairs before one comes back. */
    static const snub_dash dashes[5] = {SNUB_DASH_SOLID, SNUB_DASH_DASHED, SNUB_DASH_CENTRE, SNUB_DASH_LONG,
                                        SNUB_DASH_DOTTED};
    int n = number < 0 ? 0 : number;
    return (snub_style){.ink = (snub_ink)(SNUB_INK_SERIES_1 + n % 7),
                        .dash = dashes[n % 5],
                        .marker = (snub_marker)(SNUB_MARKER_DISC + n % 7),
                        .width = n % 5 == 4 ? 0.5 : 0.4};
}
