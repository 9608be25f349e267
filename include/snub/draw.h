/** snub/draw.h - one neutral drawing, and its forms: SVG, PDF, PNG, DXF.
 *
 *  A drawing is a list of lines, arcs, circles, paths and texts on layers, in MODEL MILLIMETRES, x right, y up. Pens,
 *  dashes and text heights are in SHEET millimetres; `unit` says how many model mm one sheet mm covers (4 for a drawing
 *  at 1:4), so that a drawing knows from the start how large its words will be. No meaning rests on colour alone: what
 *  differs in colour differs in dash, width, marker or label as well.
 *  Everything is written to memory. The same drawing gives the same bytes.
 */
#ifndef SNUB_DRAW_H
#define SNUB_DRAW_H

#include "snub/locale.h"

/* ---- pens -------------------------------------------------------------------------------------------------------- */

/** Layers, in the order in which they are painted. Each becomes a group in SVG and a layer in DXF. */
typedef enum snub_layer {
    SNUB_LAYER_PAPER, /**< backgrounds; not in DXF */
    SNUB_LAYER_GRID,
    SNUB_LAYER_GHOST, /**< the arm in its other positions, other builds */
    SNUB_LAYER_PULLEY,
    SNUB_LAYER_OBSTACLE, /**< over the pulleys: what lies behind one must be seen too */
    SNUB_LAYER_ARM,
    SNUB_LAYER_SLOT,
    SNUB_LAYER_BELT,   /**< both surfaces of the belt */
    SNUB_LAYER_PITCH,  /**< pitch line of the belt: true lines and arcs */
    SNUB_LAYER_BUILDS, /**< other builds laid over this one */
    SNUB_LAYER_PLOT,
    SNUB_LAYER_HOLES,
    SNUB_LAYER_CUT,     /**< closed contours, for a laser or a saw; nothing else */
    SNUB_LAYER_ENGRAVE, /**< scales */
    SNUB_LAYER_CENTRES,
    SNUB_LAYER_DIMENSION,
    SNUB_LAYER_LEADER,
    SNUB_LAYER_LABEL,
    SNUB_LAYER_FRAME, /**< border, title block, scale bar */
    SNUB_LAYER_COUNT_
} snub_layer;

/** Colour by meaning. The theme turns an ink into a colour. */
typedef enum snub_ink {
    SNUB_INK_NONE, /**< not drawn, not filled */
    SNUB_INK_PAPER,
    SNUB_INK_TEXT,
    SNUB_INK_QUIET,     /**< secondary words, centre lines */
    SNUB_INK_FAINT,     /**< grids, ghosts */
    SNUB_INK_LIGHT,     /**< what is there and not spoken of; still a line when printed in black */
    SNUB_INK_OUTLINE,   /**< edges of solid parts */
    SNUB_INK_RIB_FILL,  /**< body of a ribbed pulley */
    SNUB_INK_BACK_FILL, /**< body of a pulley on the belt's back */
    SNUB_INK_BELT,
    SNUB_INK_BELT_FILL,
    SNUB_INK_ARM,
    SNUB_INK_ARM_FILL,
    SNUB_INK_SLOT,
    SNUB_INK_OBSTACLE,
    SNUB_INK_OBSTACLE_FILL,
    SNUB_INK_DIMENSION,
    SNUB_INK_PASS,
    SNUB_INK_NOTE,
    SNUB_INK_MARGINAL,
    SNUB_INK_FAIL,
    SNUB_INK_SERIES_1,
    SNUB_INK_SERIES_2,
    SNUB_INK_SERIES_3,
    SNUB_INK_SERIES_4,
    SNUB_INK_SERIES_5,
    SNUB_INK_SERIES_6,
    SNUB_INK_SERIES_7,
    SNUB_INK_BAND_1,
    SNUB_INK_BAND_2,
    SNUB_INK_BAND_3,
    SNUB_INK_BAND_4,
    SNUB_INK_BAND_5,
    SNUB_INK_BAND_6,
    SNUB_INK_BAND_7, /**< the tint of a series, for areas */
    SNUB_INK_COUNT_
} snub_ink;

typedef enum snub_dash {
    SNUB_DASH_SOLID,
    SNUB_DASH_DASHED,
    SNUB_DASH_DOTTED,
    SNUB_DASH_CENTRE,  /**< long, dot */
    SNUB_DASH_PHANTOM, /**< long, dot, dot */
    SNUB_DASH_LONG,
    SNUB_DASH_COUNT_
} snub_dash;

typedef struct snub_pen {
    snub_ink ink;
    snub_dash dash;
    double width; /**< sheet mm; 0 with SNUB_INK_NONE */
} snub_pen;

typedef enum snub_theme { SNUB_THEME_LIGHT, SNUB_THEME_DARK } snub_theme;
/** Colour of an ink, 0xRRGGBB. */
uint32_t snub_ink_colour(snub_ink ink, snub_theme theme);

/* ---- entities ---------------------------------------------------------------------------------------------------- */

typedef enum snub_entity_kind {
    SNUB_ENTITY_LINE,
    SNUB_ENTITY_ARC,
    SNUB_ENTITY_CIRCLE,
    SNUB_ENTITY_PATH,
    SNUB_ENTITY_TEXT
} snub_entity_kind;

/** Corner of a path. The piece to the next corner is straight (bulge 0) or an arc: bulge = tan(sweep / 4), positive
 *  counter-clockwise. |bulge| <= 1 asks for at most a half turn; larger is allowed. */
typedef struct snub_vertex {
    double x, y, bulge;
} snub_vertex;

/** A path may have several loops; with a fill, a point is inside by the even-odd rule. */
typedef struct snub_loop {
    int count;
    bool closed;
    const snub_vertex *vertex;
} snub_loop;

typedef struct snub_entity {
    snub_entity_kind kind;
    snub_layer layer;
    snub_pen pen;
    snub_ink fill; /**< circle, path; SNUB_INK_NONE: not filled */
    union {
        struct {
            double a[2], b[2];
        } line;
        struct {
            double centre[2], radius, start, sweep;
        } arc; /**< rad, sweep signed ccw, |sweep| < 2 pi */
        struct {
            double centre[2], radius;
        } circle;
        struct {
            int count;
            const snub_loop *loop;
        } path;
        struct {
            double at[2];     /**< anchor */
            double height;    /**< of capitals, sheet mm (ISO 3098 h) */
            double angle;     /**< rad ccw */
            int across, up;   /**< anchor: -1 left/baseline, 0 middle (of the capitals), +1 right/top */
            bool bold, halo;  /**< halo: a rim in paper colour, so that lines behind stay apart */
            const char *text; /**< UTF-8, one line */
        } text;
    } as;
} snub_entity;

typedef struct snub_drawing {
    snub_arena *arena;      /**< of everything in it */
    double unit;            /**< model mm per sheet mm, > 0 */
    double low[2], high[2]; /**< sheet's rectangle, model mm; set by snub_drawing_frame */
    const char *title;
    bool inches; /**< its reader measures in inches: scales of slots, and the units of a DXF */
    snub_entity *entity;
    int count, room;
    bool failed; /**< memory was refused, or a coordinate was not finite: no backend will write it */
} snub_drawing;

enum { SNUB_ENTITIES_MOST = 1000000 };

/** How a text is set. */
typedef struct snub_lettering {
    double height; /**< of capitals, sheet mm */
    double angle;  /**< rad */
    int across, up;
    snub_ink ink;
    bool bold, halo;
} snub_lettering;

/** Width of a text [sheet mm] at a height of capitals [sheet mm]. From a table of the advance widths that Liberation
 *  Sans, Arial and Helvetica share, so that a drawing lies the same on every machine. */
double snub_text_measure(const char *text, double height, bool bold);
/** Height of capitals over size of type in those faces. */
#define SNUB_CAPITALS 0.716

/* ---- forms ------------------------------------------------------------------------------------------------------- */

/** What stands in the file beside the drawing. */
typedef struct snub_imprint {
    const char *title; /**< NULL: the drawing's */
    const char *subject;
    const char *creator; /**< "snub 0.1.0" */
    const char *created; /**< ISO 8601, "2026-01-31T00:00:00Z"; NULL: 2000-01-01, so that bytes never depend on now */
} snub_imprint;

/** SVG 1.1: width and height in mm and a viewBox in the same numbers: one user unit is one sheet mm. Arcs are true
 * arcs, text is text.
 *  @param[in] imprint  may be NULL
 *  @return SNUB_OK; SNUB_BAD_INPUT (empty sheet); SNUB_NO_MEMORY */
snub_status snub_draw_svg(const snub_drawing *drawing, snub_theme theme, const snub_imprint *imprint, snub_text *out,
                          snub_error *error);
/** PDF of one page, the sheet's size, fonts embedded. */
snub_status snub_draw_pdf(const snub_drawing *drawing, snub_theme theme, const snub_imprint *imprint, snub_text *out,
                          snub_error *error);
/** PNG. @param[in] dots_per_mm  > 0; at most 16384 dots either way */
snub_status snub_draw_png(const snub_drawing *drawing, snub_theme theme, double dots_per_mm, snub_text *out,
                          snub_error *error);
/** DXF R12 (AC1009), ASCII, millimetres ($INSUNITS 4), at full size whatever the sheet's scale. LINE, ARC, CIRCLE,
 *  POLYLINE with bulges, TEXT, SOLID for filled triangles; larger fills are left to their outlines. Text is ASCII:
 * other characters are written as %%d, %%c, %%p where CAD has them, else by their nearest letters. */
snub_status snub_draw_dxf(const snub_drawing *drawing, snub_text *out, snub_error *error);

/* ---- plots ------------------------------------------------------------------------------------------------------- */

typedef enum snub_marker {
    SNUB_MARKER_NONE,
    SNUB_MARKER_DISC,
    SNUB_MARKER_SQUARE,
    SNUB_MARKER_TRIANGLE,
    SNUB_MARKER_DIAMOND,
    SNUB_MARKER_CROSS,
    SNUB_MARKER_RING,
    SNUB_MARKER_STAR,
    SNUB_MARKER_COUNT_
} snub_marker;

/** How one of many lines looks: ink, dash and marker by number, so that any two of the first 35 differ without colour.
 */
typedef struct snub_style {
    snub_ink ink;
    snub_dash dash;
    snub_marker marker;
    double width;
} snub_style;
snub_style snub_style_of(int number);

typedef struct snub_series {
    const char *name; /**< for the legend; NULL: not in the legend */
    int count;
    const double *x, *y; /**< a value that is not finite breaks the line */
    snub_style style;
    bool points; /**< markers alone, no line */
} snub_series;

typedef struct snub_band {
    const char *name;
    int count;
    const double *x, *low, *high;
    snub_ink ink; /**< SNUB_INK_BAND_n; drawn with hatching of the same number, so that it needs no colour */
} snub_band;

/** A line across a panel. */
typedef struct snub_limit_line {
    const char *name;
    double value;
    snub_ink ink; /**< SNUB_INK_MARGINAL dashes, SNUB_INK_FAIL is solid and thick */
} snub_limit_line;

typedef struct snub_panel {
    const char *title; /**< of the y axis: "grip used" */
    const char *unit;  /**< "N"; "" or NULL for a plain number */
    int series_count;
    const snub_series *series;
    int band_count;
    const snub_band *bands;
    int limit_count;
    const snub_limit_line *limits;
    double low, high; /**< of the y axis; NAN: from the data */
    bool from_zero;   /**< the axis takes in 0 */
    double share;     /**< of the height; 0 is 1 */
} snub_panel;

/** Orders and the like: straight lines through the origin, or verticals, over all panels. */
typedef struct snub_mark_line {
    const char *name;
    double x;
} snub_mark_line;

typedef struct snub_plot {
    const char *title;
    const char *x_title, *x_unit;
    double x_low, x_high; /**< NAN: from the data */
    int panel_count;
    const snub_panel *panels;
    int mark_count;
    const snub_mark_line *marks; /**< verticals through all panels: idle, redline */
    int note_count;
    const char *const *notes; /**< lines under the plot */
    double width, height;     /**< sheet mm; 0: 190 by 70 for each panel */
} snub_plot;

/** Draw a plot as a drawing of its own (unit 1, sheet set).
 *  @param[in] locale  may be NULL
 *  @return SNUB_OK; SNUB_BAD_INPUT (no panel, no finite point, a size too small); SNUB_NO_MEMORY */
snub_status snub_plot_draw(const snub_plot *plot, const snub_locale *locale, snub_arena *arena, snub_drawing *drawing,
                           snub_error *error);

/** Counts of a number in classes of one width. */
typedef struct snub_bars {
    const char *title, *unit; /**< of the number: "tightest gap", "mm"; unit "" or NULL for a plain number */
    int count;                /**< of classes, >= 1 */
    const int *height;        /**< counted in each, >= 0 */
    double low, high;         /**< ends of the classes, finite; the same: one class without a width */
    double nominal;           /**< a line where the number is as designed; NAN: none */
    double limit[2];          /**< low and high; NAN: none. One so far out that the classes would shrink to less than a
                                 quarter of the axis has no line: give it in the note */
    const char *note;         /**< a line under the title, translated; may be NULL */
} snub_bars;

typedef struct snub_bars_sheet {
    const char *title;
    const char *y_title;                      /**< of all: "kits" */
    const char *nominal_name, *limit_name[2]; /**< of the lines */
    int panel_count;
    const snub_bars *panels; /**< two beside each other */
    int note_count;
    const char *const *notes; /**< lines under the panels */
} snub_bars_sheet;

/** Draw histograms as a drawing of its own (unit 1, sheet set, 190 mm wide). Bars are hatched and lines differ in dash
 *  and width, so that none needs its colour.
 *  @param[in] locale  may be NULL
 *  @return SNUB_OK; SNUB_BAD_INPUT (no panel); SNUB_NO_MEMORY */
snub_status snub_bars_draw(const snub_bars_sheet *sheet, const snub_locale *locale, snub_arena *arena,
                           snub_drawing *drawing, snub_error *error);

/* ---- views of a drive -------------------------------------------------------------------------------------------- */

/** One pulley of a laid drive and the span behind it. mm, rad, seen from the front. NAN: not known, not printed. */
typedef struct snub_view_pulley {
    const char *name;
    bool back; /**< runs on the belt's back */
    bool crank;
    double sense; /**< +1 turns clockwise, -1 counter-clockwise */
    double centre[2];
    double pitch_radius;                 /**< > 0 */
    double outer_radius;                 /**< effective or outside radius: what the belt's face lies against */
    double rim_radius;                   /**< greatest radius of the solid pulley */
    double enter[2], leave[2];           /**< touch points on the pitch line */
    double wrap;                         /**< rad */
    double span;                         /**< length of the span behind it */
    double rpm, frequency_Hz, tension_N; /**< shaft; of the span behind it */
    double plane, width;                 /**< along the crank's axis, forward positive */
} snub_view_pulley;

/** A laid belt with its pulleys. */
typedef struct snub_view_build {
    const char *name; /**< "7PK1926, blower 88 mm" */
    int count;
    const snub_view_pulley *pulley;
    double length;                 /**< effective */
    double thickness, back, width; /**< belt: whole, pitch line to back, across the ribs */
    double misalignment;           /**< limit on a span's angle between planes [rad]; 0: none is judged */
} snub_view_build;

typedef struct snub_view_arm {
    int pulley; /**< index; -1: no arm */
    double pivot[2], length;
    double rest, winds, travel; /**< direction at rest [rad], +1 ccw or -1 cw, rest to stop [rad] */
    double wind;                /**< where it stands, rad */
    double work[2];             /**< rad */
} snub_view_arm;

typedef struct snub_view_slot {
    int pulley;
    bool curved;
    double from[2], to[2], centre[2], radius, start, sweep;
    double length, setting; /**< setting from `from`; NAN: free */
} snub_view_slot;

/** Something beside the drive, as it stands with the arm. */
typedef struct snub_view_obstacle {
    const char *name;
    bool round;
    bool tool; /**< room that a tool needs: an edge without a hatch */
    double centre[2], radius;
    int count;
    const double (*corner)[2];
    double z[2]; /**< along the crank's axis, without what is taken off its ends; NAN: everywhere */
    int cut_count;
    const double (*cut)[2][2]; /**< edges of what is taken off its sides */
} snub_view_obstacle;

/** A place where something comes too near to an obstacle. */
typedef struct snub_view_near {
    int obstacle;          /**< index */
    bool fails;            /**< else it is to be watched */
    double from[2], to[2]; /**< nearest points of the piece and the obstacle */
    double z[2];           /**< edges of the piece along the crank's axis */
    double gap, needed;    /**< in space */
    double wind;           /**< of the arm, rad; NAN: as it is drawn, or no arm */
} snub_view_near;

typedef struct snub_view_hole {
    const char *name; /**< "M8" */
    double at[2], diameter;
} snub_view_hole;

/** What a rectangle of the section is made of. */
typedef enum snub_view_metal {
    SNUB_METAL_FACE, /**< the engine's own face: drawn as an edge with a hatched band behind it */
    SNUB_METAL_BRACKET,
    SNUB_METAL_SPACER,
    SNUB_METAL_SHIM,
    SNUB_METAL_STANDOFF,
    SNUB_METAL_FLANGE,
    SNUB_METAL_DISC,
    SNUB_METAL_BEARING, /**< above and below the axis: its rings and balls */
    SNUB_METAL_BOLT,    /**< its shank; of its head only the face is known: a block of no thickness */
    SNUB_METAL_WASHER
} snub_view_metal;

/** A part of the hardware as the side view cuts it, mm. z along the crank's axis, away from the engine. */
typedef struct snub_view_block {
    const char *name;
    const char *of; /**< pulley or mount whose it is */
    bool of_mount;
    snub_view_metal metal;
    double z[2], y[2]; /**< a place for shims that is empty has no thickness, nor has a bolt's head */
} snub_view_block;

/** Dimensions one behind the other along z, at a height. */
typedef struct snub_view_chain {
    double y;
    int count;       /**< of z; one dimension less */
    const double *z; /**< mm, in the order of the stack */
} snub_view_chain;

/** A hole of a plate. */
typedef struct snub_plate_hole {
    const char *name;
    const char
        *work; /**< how it is made: "9.0 mm", "ream 8.0 mm H7", "tap M12"; NULL: no hole is known, only the place */
    const char *first; /**< what is cut before: "cut 7.7 mm"; NULL: nothing else */
    double at[2];
    double diameter; /**< as cut: what is reamed or tapped is cut smaller; 0: not at all */
} snub_plate_hole;

typedef struct snub_plate_slot {
    const char *name;
    snub_view_slot slot;
    double width;
} snub_plate_slot;

/** A bracket as a plate to be cut, mm, seen from the front. */
typedef struct snub_plate {
    const char *name, *material;
    double thickness; /**< 0: not known */
    int corners;      /**< of the outline; 0: it is grown */
    const double (*corner)[2];
    double edge; /**< from the rim of a hole or slot to the grown outline */
    int hole_count;
    const snub_plate_hole *hole;
    int slot_count;
    const snub_plate_slot *slot;
} snub_plate;

/** A distance that is measured. */
typedef struct snub_view_measure {
    double from[2], to[2], length;
    int other; /**< pulley that it is measured to */
    bool rims; /**< from rim to rim, else from middle to middle */
} snub_view_measure;

/** What a picture of a view has dark, with what moves; the rest is light. Flags by index. */
typedef struct snub_view_focus {
    const bool *pulley, *span;         /**< span: behind that pulley */
    const bool *slot, *obstacle;       /**< in the view's lists */
    const snub_view_obstacle *removed; /**< one more that is dark; NULL: none */
    const bool *hole;
    const int *order;               /**< of the dark holes, in which their bolts are tightened */
    const char *const *hole_name;   /**< of the dark holes: "1 left ear" */
    const struct snub_plate *plate; /**< that the dark holes are of: its outline; NULL: none */
    bool arm, belt;
    bool laid;    /**< the belt is drawn at all */
    bool sets;    /**< the dark slots have their mark */
    bool reads;   /**< the arm's places have their angles */
    bool plucked; /**< the dark spans are */
    int winds;    /**< arrow of the arm: 1 towards its stop, -1 back; 0: none */
    int slides;   /**< arrow of the dark slider: 1 away from its slot's zero, -1 towards it; 0: none */
    int turns;    /**< pulley with an arrow of its turn; -1: none */
    int measure_count;
    const snub_view_measure *measure;
} snub_view_focus;

enum { SNUB_VIEW_BUILDS_MOST = 64, SNUB_VIEW_BUILDS_SMALL = 12 /* whose legend goes on A4 or Letter */ };

/** A drive to be drawn. The first build is drawn in full; further ones are laid over it. */
typedef struct snub_view {
    const char *title;
    const char *file, *hash; /**< of the drive file; may be NULL */
    const char *version, *date;
    const char *state;   /**< "engine at rest", "3000 rpm" */
    const char *row;     /**< what differs from the file: "low compressor; blower.diameter 79"; NULL or "": nothing */
    const char *verdict; /**< "pass"; NULL: not judged */
    const char *warning; /**< printed large across the top: "DO NOT FIT: ..."; NULL: none */
    int build_count;
    const snub_view_build *build;
    const char *legend; /**< what the names of the further builds are made of; NULL: not said */
    snub_view_arm arm;
    int slot_count;
    const snub_view_slot *slot;
    int obstacle_count;
    const snub_view_obstacle *obstacle;
    int near_count;
    const snub_view_near *near;
    int hole_count;
    const snub_view_hole *hole;
    int block_count; /**< side view only */
    const snub_view_block *block;
    int chain_count;
    const snub_view_chain *chain;
    double paper[2]; /**< width and height, mm; 0: A4, upright or not as it fits better */
    double scale;    /**< model mm per sheet mm; 0: the smallest round one that fits */
    bool bare;       /**< no frame and title block: for a picture in a page */
} snub_view;

/** Seen from the front: pulleys with grooves or plain face, the belt as it lies, direction of travel, the arm at rest,
 *  working and at its stop, slots with their mark, obstacles and what comes too near to them, names, wraps, spans,
 * scale bar, title block.
 *  @param[out] collisions  may be NULL: labels that found no free place
 *  @return SNUB_OK; SNUB_BAD_INPUT (no pulley, a number that is not finite, a scale that does not fit); SNUB_NO_MEMORY
 */
snub_status snub_draw_front(const snub_view *view, const snub_locale *locale, snub_arena *arena, snub_drawing *drawing,
                            int *collisions, snub_error *error);
/** A piece of the front view about what is dark in it, on a sheet of view->paper: what is dark is heavy and named, the
 *  rest thin and grey; as near to the crank as it fits, at most three times the scale of the whole front.
 *  @return as snub_draw_front */
snub_status snub_draw_focus(const snub_view *view, const snub_view_focus *focus, const snub_locale *locale,
                            snub_arena *arena, snub_drawing *drawing, snub_error *error);
/** Seen from the side: planes and widths along the crank's axis (forward to the right), height upwards. */
snub_status snub_draw_side(const snub_view *view, const snub_locale *locale, snub_arena *arena, snub_drawing *drawing,
                           snub_error *error);
/** Full-size template, 1:1: centres, rims, slots with a mm scale, arm pivot, holes, and a ruler to check the printer.
 */
snub_status snub_draw_template(const snub_view *view, const snub_locale *locale, snub_arena *arena,
                               snub_drawing *drawing, snub_error *error);
/** A plate at full size: on layer CUT its outline, holes and slots, each one closed contour; on ENGRAVE a mm scale
 * beside each slot, 0 at its `from` end; names and tools on LABELS. A grown outline is the hull of the holes and slots
 * with their edge around them.
 *  @param[in] view  title, file, verdict and the like for the title block
 *  @return SNUB_OK; SNUB_BAD_INPUT (no outline and no edge; a hole that leaves the outline or runs into another, by
 *  name; a slot tighter than its width); SNUB_NO_MEMORY */
snub_status snub_draw_plate(const snub_view *view, const snub_plate *plate, const snub_locale *locale,
                            snub_arena *arena, snub_drawing *drawing, snub_error *error);

#endif
