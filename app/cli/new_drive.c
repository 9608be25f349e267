/* A drive file to start from: one text, of which each line says for which drives it is. The numbers are those of an
 * invented inline six; they lay a belt that runs. */
#include "new_drive.h"

#include <string.h>

enum {
    ARM = 1 << 0,
    FIXED = 1 << 1,
    NO_TENSIONER = 1 << 2,
    TWIN_SCREW = 1 << 3,
    ROOTS = 1 << 4,
    CENTRIFUGAL = 1 << 5,
    NO_BLOWER = 1 << 6,
    US = 1 << 7,
    ANY_TENSIONER = ARM | FIXED | NO_TENSIONER,
    DISPLACING = TWIN_SCREW | ROOTS,
    BLOWER = DISPLACING | CENTRIFUGAL,
    ALL = ANY_TENSIONER | BLOWER | NO_BLOWER
};

/* Of <one|two> a metric file has the first and one in inch units the second. */
typedef struct piece {
    unsigned of; /* the tensioners and the blowers that it is for */
    const char *text;
} piece;

static const piece head[] = {
    {ALL,
     "# A drive to start from, written by `snub new`. Every key: docs/guide/drive-file.md\n"
     "#\n"
     "# Lines marked MEASURE are about your engine. Their numbers are placeholders that lay a belt: measure each, "
     "write\n"
     "# it in its place, and take the mark away. What is left: grep -n MEASURE: FILE. Every command says how many "
     "there are.\n"
     "#\n"
     "# Front view, looking at the engine: x to the right, y up, the crank's centre at [0, 0]. Angles go counter-\n"
     "# clockwise from +x: 0 points right, 90 up. Centres: hold a long level across the engine front, mark the "
     "crank's\n"
     "# centre on it, and measure sideways and up from there to each shaft's centre. `snub serve` shows the result, "
     "over a\n"
     "# photo if you have one.\n"
     "# Rims with ribs: calipers over the rib tips, `over: outside`; or a tape around the tips, divided by 3.1416.\n"
     "# Smooth rims, on which the belt's back runs: calipers on the face, a plain diameter.\n"},
    {ALL, "snub: 1\n"},
};

static const piece body[] = {
    {ALL, "\nengine:\n"
          "  idle: 650 rpm        # MEASURE: tachometer, engine warm\n"
          "  redline: 5600 rpm    # MEASURE: where the limiter cuts in\n"},
    {BLOWER | ANY_TENSIONER,
     "  displacement: <3.65 L|223 in3>    # MEASURE: engine's data sheet\n"
     "  cylinders: 6         # MEASURE: count them\n"
     "  volumetric_efficiency: [[650 rpm, 0.69], [3100 rpm, 0.89], [5600 rpm, 0.79]]    # MEASURE: without boost, from "
     "a "
     "log of air mass;\n"
     "                       # until then: the torque curve's shape, 0.85 to 0.9 where torque peaks\n"},
    {ALL, "  accel_rate: 1350 rpm/s    # MEASURE: fastest gain in a log, full throttle in the lowest gear\n"
          "  decel_rate: 7600 rpm/s    # MEASURE: fastest loss in a log, throttle closed or gear change\n"},
    {BLOWER | ANY_TENSIONER,
     "\nair: {pressure: <101.325 kPa|14.7 psi>, temperature: <25 degC|77 degF>}    # the day to "
     "design for\n"
     "# cooler: {effectiveness: 0.7}    # of a charge cooler: take the # away where there is one\n"},
    {ALL, "\nbelt:\n"
          "  section: PK          # ribs 3.56 mm apart\n"
          "  ribs: 7              # MEASURE: count the belt's ribs\n"},
    {BLOWER | ARM | FIXED,
     "  stock: {from: 1800 mm, to: 2010 mm, step: 6 mm}    # MEASURE: effective lengths that your "
     "supplier has\n"},
    {BLOWER | NO_TENSIONER,
     "  stock: {from: 1780 mm, to: 1850 mm, step: 1 mm}    # MEASURE: effective lengths that your "
     "supplier has\n"},
    {NO_BLOWER | ARM | FIXED,
     "  stock: {from: 1440 mm, to: 1740 mm, step: 6 mm}    # MEASURE: effective lengths that your supplier has\n"},
    {NO_BLOWER | NO_TENSIONER,
     "  stock: {from: 1500 mm, to: 1600 mm, step: 1 mm}    # MEASURE: effective lengths that your supplier has\n"},
    {ARM | FIXED | BLOWER | NO_BLOWER,
     "  worn: 0.003          # stretch at the end of its life, a fraction: rule of thumb, ask the belt's maker\n"},
    {NO_TENSIONER | BLOWER | NO_BLOWER,
     "  tolerance: 1.5 mm    # MEASURE: how far its length may be off, from its maker: nothing takes it up here\n"},
    {ALL,
     "  # outside: {value: 1944 mm, length: 1926 mm}    # a tape around the back of a belt, and the effective length\n"
     "                       # printed on it: says how thick the back is, which decides the belt\n"},
    {ALL, "\npulleys:               # in the order the belt meets them, the way it travels\n"
          "  - name: crank\n"
          "    role: crank\n"
          "    at: [0, 0]\n"
          "    diameter: {value: <163 mm|6.41 in>, over: outside}    # MEASURE: calipers over the rib tips\n"},
    {ARM | BLOWER | NO_BLOWER,
     "  - name: tensioner\n"
     "    side: back         # runs on the belt's smooth back\n"
     "    diameter: <72 mm|2.83 in>    # MEASURE: calipers on the smooth face\n"
     "    arm:\n"
     "      pivot: [<-114 mm|-4.49 in>, <208 mm|8.19 in>]    # MEASURE: centre of the arm's pivot\n"
     "      length: <94 mm|3.70 in>    # MEASURE: pivot's centre to pulley's centre\n"
     "      free: -22 deg    # MEASURE: direction from pivot to pulley without a belt\n"
     "      loads: cw        # MEASURE: the way the arm turns when it loads its spring: cw or ccw\n"
     "      travel: 58 deg   # MEASURE: from the free position to the stop\n"
     "      readings:        # degrees from free, torque at the pivot: torque wrench, belt off\n"
     "        up: [[10 deg, <48 N m|35.5 lbf ft>], [30 deg, <68 N m|50.4 lbf ft>], [50 deg, <88 N m|65.2 lbf ft>]]    "
     "# "
     "MEASURE: while the arm is turned against the spring\n"
     "        down: [[10 deg, <38 N m|27.9 lbf ft>], [30 deg, <54 N m|39.6 lbf ft>], [50 deg, <70 N m|51.3 lbf ft>]]   "
     " # "
     "MEASURE: while the arm is let back\n"},
    {FIXED | BLOWER | NO_BLOWER,
     "  - name: tensioner    # slid in its slot until the belt has its tension, then bolted\n"
     "    side: back         # runs on the belt's smooth back\n"
     "    diameter: <72 mm|2.83 in>    # MEASURE: calipers on the smooth face\n"
     "    slot: {from: [<-128 mm|-5.04 in>, <108 mm|4.25 in>], to: [<-40 mm|-1.57 in>, <136 mm|5.35 in>]}    # "
     "MEASURE: the "
     "pulley's centre at both ends of the slot\n"
     "    fixed_tension: <1180 N|265 lbf>    # MEASURE: belt tension gauge, engine stopped and cold; or what the "
     "belt's "
     "maker says\n"},
    {ALL, "  - name: alternator\n"
          "    at: [<-204 mm|-8.03 in>, <268 mm|10.55 in>]    # MEASURE: its shaft's centre\n"
          "    diameter: {value: <59 mm|2.32 in>, over: outside}    # MEASURE: calipers over the rib tips\n"
          "    load: [[2400 rpm, <8 N m|5.9 lbf ft>], [11000 rpm, <4.5 N m|3.3 lbf ft>]]    # MEASURE: its maker's "
          "curve; or "
          "volts x amps / 0.6 / (0.105 x rpm), in N m\n"
          "    inertia: <0.0026 kg m2|8.9 lb in2>    # MEASURE: rotor with pulley, about mass x radius squared / 2\n"},
    {BLOWER | ANY_TENSIONER, "  - name: wrap idler   # gives the blower its wrap\n"
                             "    side: back\n"
                             "    diameter: <68 mm|2.68 in>    # MEASURE: calipers on the smooth face\n"},
    {BLOWER | ARM,
     "    slot: {from: [<-78 mm|-3.07 in>, <318 mm|12.52 in>], to: [<-32 mm|-1.26 in>, <350 mm|13.78 in>]}    "
     "# MEASURE: the pulley's centre at both ends of the slot;\n"
     "                       # snub chooses the setting. Bolted in one place, it has `at: [x, y]` instead.\n"},
    {BLOWER | FIXED | NO_TENSIONER, "    at: [<-47 mm|-1.85 in>, <340 mm|13.39 in>]    # MEASURE: its centre\n"},
    {BLOWER | ANY_TENSIONER,
     "  - name: blower\n"
     "    at: [<46 mm|1.81 in>, <384 mm|15.12 in>]    # MEASURE: its shaft's centre\n"
     "    diameter: {value: <88 mm|3.46 in>, over: outside}    # MEASURE: calipers over the rib tips\n"
     "    max_speed: 11800 rpm    # MEASURE: of its shaft, from its maker\n"},
    {DISPLACING | ANY_TENSIONER,
     "    inertia: <0.0014 kg m2|4.8 lb in2>    # MEASURE: rotors and gears seen from the pulley, from its maker\n"},
    {TWIN_SCREW | ANY_TENSIONER,
     "    blower:\n"
     "      kind: twin-screw\n"
     "      swept: <1.45 L|88.5 in3>    # MEASURE: for each turn of the pulley, from its maker\n"
     "      internal_ratio: 1.25        # MEASURE: built-in volume ratio, from its maker\n"
     "      leakage_speed: 720 rpm      # MEASURE: from its map or its maker; docs/guide/drive-file.md\n"},
    {ROOTS | ANY_TENSIONER, "    blower:\n"
                            "      kind: roots\n"
                            "      swept: <1.45 L|88.5 in3>    # MEASURE: for each turn of the pulley, from its maker\n"
                            "      leakage_speed: 900 rpm      # MEASURE: from its map or its maker; "
                            "docs/guide/drive-file.md\n"},
    {CENTRIFUGAL | ANY_TENSIONER,
     "    inertia: <0.0031 kg m2|10.6 lb in2>    # MEASURE: impeller and gears seen from the pulley, from its maker\n"
     "    blower:\n"
     "      kind: centrifugal\n"
     "      step_up: 3.4                # MEASURE: turns of the impeller for one turn of the pulley: count them by "
     "hand\n"
     "      max_rotor_speed: 42000 rpm  # MEASURE: of the impeller, from its maker\n"
     "      design_speed: 36000 rpm     # MEASURE: impeller's speed at its best point, from its map\n"
     "      design_flow: <0.155 m3/s|328 ft3/min>    # MEASURE: air into the blower there\n"
     "      design_ratio: 1.75          # MEASURE: pressure out over pressure in, there\n"
     "      # map: FILE.csv             # its whole map is better: it replaces the three design values\n"},
    {BLOWER | ANY_TENSIONER, "  - name: exit idler   # turns the belt outwards again\n"
                             "    side: back\n"
                             "    at: [<132 mm|5.20 in>, <296 mm|11.65 in>]    # MEASURE: its centre\n"
                             "    diameter: <74 mm|2.91 in>    # MEASURE: calipers on the smooth face\n"},
    {ALL,
     "  - name: steering     # its pump\n"
     "    at: [<236 mm|9.29 in>, <238 mm|9.37 in>]    # MEASURE: its shaft's centre\n"
     "    diameter: {value: <127 mm|5.00 in>, over: outside}    # MEASURE: calipers over the rib tips\n"
     "    load: [[800 rpm, <0.8 N m|0.6 lbf ft>], [7500 rpm, <5 N m|3.7 lbf ft>]]    # MEASURE: its maker's curve\n"
     "  - name: compressor   # of the cabin's cooler, clutch in\n"
     "    at: [<276 mm|10.87 in>, <22 mm|0.87 in>]    # MEASURE: its shaft's centre\n"
     "    diameter: {value: <119 mm|4.69 in>, over: outside}    # MEASURE: calipers over the rib tips\n"
     "    load: [[900 rpm, <5.5 N m|4.1 lbf ft>], [8000 rpm, <8 N m|5.9 lbf ft>]]    # MEASURE: its maker's curve\n"},
    {BLOWER | ANY_TENSIONER,
     "\noptions:               # what the kit offers: `snub chart FILE` lists every build\n"
     "  blower.diameter: [<92 mm|3.62 in>, <88 mm|3.46 in>, <84 mm|3.31 in>]    # MEASURE: the pulleys "
     "that you sell, over the rib tips\n"},
    {ALL, "\n# What stands near the belt, brackets, bolts and bearings: docs/guide/hardware.md. Another engine front: "
          "variants.\n"},
};

/* ---- putting it together ----------------------------------------------------------------------------------------- */

static unsigned flags_of(const new_drive *wanted)
{
    static const unsigned tensioners[] = {ARM, FIXED, NO_TENSIONER};
    static const unsigned blowers[] = {TWIN_SCREW, ROOTS, CENTRIFUGAL, NO_BLOWER};
    return tensioners[wanted->tensioner] | blowers[wanted->blower] | (wanted->inches ? US : 0u);
}

static void add_in_units(const char *text, bool second, snub_text *out)
{
    for (const char *open; (open = strchr(text, '<')) != NULL;) {
        const char *middle = strchr(open, '|'), *close = strchr(open, '>');
        snub_text_add(out, text, (size_t)(open - text));
        if (second)
            snub_text_add(out, middle + 1, (size_t)(close - middle - 1));
        else
            snub_text_add(out, open + 1, (size_t)(middle - open - 1));
        text = close + 1;
    }
    snub_text_puts(out, text);
}

static void add_pieces(const piece *pieces, size_t count, unsigned flags, snub_text *out)
{
    for (size_t i = 0; i < count; i++)
        if ((flags & ~(unsigned)US & ~pieces[i].of) == 0)
            add_in_units(pieces[i].text, (flags & US) != 0, out);
}

/* Double quotes: whatever is in it, it stays text. */
static void add_title(const char *title, snub_text *out)
{
    snub_text_puts(out, "title: \"");
    for (; *title; title++) {
        if (*title == '"' || *title == '\\')
            snub_text_puts(out, "\\");
        snub_text_add(out, title, 1);
    }
    snub_text_puts(out, "\"\n");
}

void new_drive_text(const new_drive *wanted, snub_text *out)
{
    const unsigned flags = flags_of(wanted);
    add_pieces(head, sizeof head / sizeof head[0], flags, out);
    add_title(wanted->title, out);
    if (wanted->inches)
        snub_text_puts(out,
                       "units: us              # results in inch units; a bare number would still be in mm, N, N m\n");
    add_pieces(body, sizeof body / sizeof body[0], flags, out);
}
