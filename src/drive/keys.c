/** The list of keys: what a reading of this file asks for; and of all keys, by reading files that have every section.
 */
#include "snub/keys.h"

#include <string.h>

#include "key_notes.h"
#include "sections.h"

const char *snub_key_kind_text(snub_key_kind kind)
{
    static const char *const words[SNUB_KEY_KINDS_] = {
        [SNUB_KEY_UNREAD] = "unread",      [SNUB_KEY_NUMBER] = "number", [SNUB_KEY_RANGED] = "number or range",
        [SNUB_KEY_WHOLE] = "whole number", [SNUB_KEY_POINT] = "point",   [SNUB_KEY_NUMBERS] = "numbers",
        [SNUB_KEY_TABLE] = "table",        [SNUB_KEY_WORD] = "word",     [SNUB_KEY_TRUTH] = "true or false",
        [SNUB_KEY_TEXT] = "text",          [SNUB_KEY_LIST] = "list",     [SNUB_KEY_MAP] = "map"};
    return kind < SNUB_KEY_KINDS_ ? words[kind] : "";
}

/* ---- of one file ------------------------------------------------------------------------------------------------- */

/** Defaults with a range in which real values are met, by pattern. */
static const struct {
    const char *of, *key, *low, *high, *source, *measure;
} ranged[] = {
#define BELT "belt"
#define ENGINE "engine"
#define BLOWER "pulleys.*.blower"
#define SEAT "pulleys.*.bearing"
#define SNUB_DEFAULT(of, key, unit, preset, low, high, source, measure) {of, key, low, high, source, measure},
#include "snub/default_list.inc"
#undef BELT
#undef ENGINE
#undef BLOWER
#undef SEAT
};

static void add_range(snub_file_key *key)
{
    for (size_t i = 0; i < sizeof ranged / sizeof ranged[0]; i++) {
        const size_t length = strlen(ranged[i].of);
        if (strncmp(key->pattern, ranged[i].of, length) != 0 || key->pattern[length] != '.' ||
            strcmp(key->pattern + length + 1, ranged[i].key) != 0)
            continue;
        key->usual[0] = ranged[i].low;
        key->usual[1] = ranged[i].high;
        key->source = ranged[i].source;
        key->measure = ranged[i].measure;
    }
}

static snub_status read_noted(const snub_document *document, const snub_reading *reading, bool unread,
                              snub_key_notes *notes, snub_errors *errors)
{
    snub_drive drive;
    const snub_status status = snub_drive_read_noted(document, reading, notes, &drive, errors);
    snub_notes_close(notes, unread);
    for (snub_file_key *key = notes->first; key != NULL; key = key->next) {
        add_range(key);
        key->closed = snub_root_closed(key->pattern);
    }
    return status == SNUB_NO_MEMORY || notes->no_memory ? SNUB_NO_MEMORY : SNUB_OK;
}

snub_status snub_keys_of_file(const snub_document *document, const snub_reading *reading, const snub_file_key **out,
                              snub_errors *errors)
{
    snub_key_notes notes = {.arena = reading->arena};
    const snub_status status = read_noted(document, reading, false, &notes, errors);
    *out = notes.first;
    return status;
}

/* ---- of all ------------------------------------------------------------------------------------------------------ */

/* Between them they have every section, each form of a value, and two of what sets the bounds of others: diameters,
 * threads, arms. They are read for what they ask and need make no drive. */
#define REWORKED "supply: changed, rework: {do: face it}"
static const char *const every_section[] = {
    "snub: 1\n"
    "units: metric\n"
    "house: house.yaml\n"
    "engine: {idle: 800, redline: 6000, compression: 9, scavenges: true, irregularity: {speed: [800, 6000],\n"
    "     order: [2, 4], angle: [[1, 1], [0.1, 0.1]]}}\n"
    "air: {temperature: 20}\n"
    "cooler: {effectiveness: 0.7, pressure_drop: 5, density: 1.2, inlet_density: 1.2}\n"
    "belt: {ribs: 6, length: 2000, back: 1, stock: [1990, 2000], friction: {design: {rib: 0.5}, limit: {rib: 0.9}}}\n"
    "pulleys:\n"
    "- {name: crank, role: crank, rotation: cw, at: [0, 0], diameter: {value: 150, over: outside}, max_torque: 500,\n"
    "   groove: {angle: 40}}\n"
    "- {name: carrier, at: [0, 350], diameter: 110, mount: plate, stack: [{name: seat, kind: spacer, length: 10,\n"
    "     " REWORKED "}], flanges: {front: 2}, discs: [{name: disc, diameter: 90, z: [1, 2]}],\n"
    "   standoff: {outside: 30, length: 40, " REWORKED ", bolt: {thread: M10, class: 8.8, washer: 20, " REWORKED "}},\n"
    "   bearing: {type: small, " REWORKED "}, load: [[0, 1], [9000, 2]], " REWORKED "}\n"
    "- {name: pump, at: [90, 350], diameter: 90, load_by_boost: {speed: [0, 9000], boost: [0, 80],\n"
    "     torque: [[1, 1], [2, 2]]}}\n"
    "- {name: straight, side: back, diameter: 70, slot: {from: [-200, 200], to: [-160, 200], setting: 3},\n"
    "   fixed_tension: 400, retension: true, clamp: {bolt: {thread: M8, class: 8.8, washer: 17, " REWORKED "}}}\n"
    "- {name: tensioner, side: back, diameter: 95, arm: {pivot: [-120, 75], length: 110, free: 40, loads: ccw,\n"
    "     travel: 32, preload: 20, rate: 0.4, work: [5, 20]}}\n"
    "- {name: blower, at: [200, 350], diameter: 80, blower: {kind: twin-screw, swept: 1.6, internal_ratio: 1.3,\n"
    "     " REWORKED "}}\n"
    "mounts: [{name: plate, " REWORKED ", stack: [{name: pad, length: 5, " REWORKED "}],\n"
    "   bracket: {material: steel, thickness: 10}, mass: 9, mass_at: [0, 0, 0], vibration: 5,\n"
    "   bolts: [{name: one, at: [0, 300], thread: M8, class: 8.8, washer: 17, " REWORKED "}]}]\n"
    "bearings: [{designation: small, bore: 17, outside: 40, dynamic: 9550, static: 4800}]\n"
    "shims: [0.5, 1]\n"
    "duty: [[900, 0.5], [3000, 0.5]]\n"
    "obstacles:\n"
    "- {name: post, circle: {at: [900, 900], diameter: 20}, z: [-30, 30], taken_off: [{towards: crank, depth: 2}]}\n"
    "- {name: rail, slot: {from: [700, 900], to: [800, 900], width: 20}, z: [-30, 30],\n"
    "   taken_off: [{towards: [0, 0], depth: 2}]}\n"
    "- {name: case, polygon: [[900, 700], [990, 700], [990, 790]], z: [-30, 30], " REWORKED "}\n"
    "contents: [{name: hose, " REWORKED "}, {name: bolt, bolt: {thread: M6, class: 8.8, washer: 12}}]\n"
    "options: {blower.diameter: [80, 90]}\n"
    "variants: {long: {belt.length: 2010}}\n"
    "packages: {full: {about: all of it, changes: {belt.length: 2020}, excludes: [{variant: long, reason: none}]}}\n"
    "limits: {}\n"
    "steps: {fit: {say: fit it}}\n"
    "search: {aims: [hub load], pulley: pump, hold: today, move: [\n"
    "   {what: pump.at, step: 1, within: {circle: {at: [90, 350], diameter: 20}}},\n"
    "   {what: carrier.at, within: {polygon: [[-20, 330], [20, 330], [0, 370]]}},\n"
    "   {what: straight.slot.from, within: {rectangle: {from: [-210, 190], to: [-190, 210]}}},\n"
    "   {what: tensioner.arm.free, from: 30, to: 50}, {what: pump.diameter, choose: [80, 90]}]}\n"
    "tolerances: [{of: crank.diameter, plus_minus: 0.1}, {of: pump.diameter, sample: {file: parts.csv, column: "
    "bore}}]\n",
    "snub: 1\n"
    "engine: {idle: 800, redline: 6000}\n"
    "cooler: {effectiveness: 0.7, density: {pressure: 101, temperature: 20}, inlet_density: {pressure: 101,\n"
    "     temperature: 20}}\n"
    "belt: {section: PJ, ribs: 9, outside: {value: 2020, length: 2000}, stock: {from: 1990, to: 2000, step: 5}}\n"
    "pulleys:\n"
    "- {name: crank, role: crank, at: [0, 0], diameter: 200}\n"
    "- {name: curved, side: back, diameter: 70, slot: {centre: [200, 200], radius: 100, from: 10, to: 40},\n"
    "   clamp: {material: aluminium, bolt: {thread: M12, class: 8.8}}}\n"
    "- {name: tensioner, side: back, diameter: 95, arm: {pivot: [-120, 75], length: 110, free: 40, loads: ccw,\n"
    "     travel: 40, readings: {up: [[0, 1], [5, 2]], down: [[0, 1], [5, 2]]}}}\n"
    "- {name: blower, at: [200, 350], diameter: 80, blower: {kind: centrifugal}}\n"
    "- {name: other, at: [0, 350], diameter: 80, blower: {kind: roots, swept: 1.6},\n"
    "   standoff: {outside: 30, length: 40, material: aluminium, bolt: {thread: M12, class: 8.8}}}\n"
    "mounts: [{name: plate, stack: [{name: face, kind: face, length: 10}], bracket: {material: aluminium},\n"
    "   bolts: [{name: two, at: [9, 300], thread: M10, class: 8.8}]}]\n"
    "contents: [{name: bolt, bolt: {thread: M12, class: 8.8}}]\n"
    "shims: {sizes: [1, 2], most: 3}\n",
    "snub: 1\n"
    "belt: {section: PJ, ribs: 9, stock: {parts: catalogue}}\n"
    "pulleys:\n"
    "- {name: crank, role: crank, at: [0, 0], diameter: 200}\n"
    "- {name: tensioner, side: back, diameter: 95, arm: {pivot: [-120, 75], length: 110, free: 40, loads: ccw,\n"
    "     travel: 40, readings: [[0, 1], [5, 2]]}}\n"
    "- {name: blower, at: [200, 350], diameter: 80, blower: {kind: centrifugal, map: map.csv}}\n",
};
enum { FILES = sizeof every_section / sizeof every_section[0] };

/** What is known so far. */
typedef struct book {
    snub_arena *arena;
    snub_file_key *first, *last;
    snub_key_notes notes[FILES];
} book;

static bool same_number(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

static bool same_text(const char *a, const char *b)
{
    return a == b || (a != NULL && b != NULL && strcmp(a, b) == 0);
}

static void loosen(snub_key_bounds *known, const snub_key_bounds *other)
{
    if (!same_number(known->least, other->least))
        known->least = NAN;
    if (!same_number(known->most, other->most))
        known->most = NAN;
}

/** One form of a key that was met before: what differs depends on the file. */
static void join(snub_file_key *known, const snub_file_key *other)
{
    loosen(&known->x, &other->x);
    loosen(&known->y, &other->y);
    known->needed = known->needed || other->needed;
    if (known->needed || !same_text(known->preset, other->preset))
        known->preset = NULL;
}

static void keep(book *all, snub_file_key *key)
{
    for (snub_file_key *known = all->first; known != NULL; known = known->next) {
        if (strcmp(known->pattern, key->pattern) != 0)
            continue;
        if (known->kind == SNUB_KEY_UNREAD) { /* of a section in which another file asks for it */
            snub_file_key *next = known->next;
            *known = *key;
            known->next = next;
            return;
        }
        if (key->kind == SNUB_KEY_UNREAD || known->kind == key->kind) {
            if (key->kind != SNUB_KEY_UNREAD)
                join(known, key);
            return;
        }
    }
    key->next = NULL;
    if (all->last != NULL)
        all->last->next = key;
    else
        all->first = key;
    all->last = key;
}

/** Refused wherever it could stand. */
static bool refused(const book *all, const char *pattern)
{
    for (int i = 0; i < FILES; i++) {
        for (const snub_key_mark *mark = all->notes[i].marks; mark != NULL; mark = mark->next) {
            if (mark->say == SNUB_SAY_REFUSED && strcmp(mark->pattern, pattern) == 0)
                return true;
        }
    }
    return false;
}

/** Is the key in the list? @param[out] in  what its keys begin with: items of a list have a `*` before them */
static bool find_known(const book *all, const char *path, const char **in)
{
    const size_t length = strlen(path);
    bool found = false;
    *in = path;
    for (const snub_file_key *known = all->first; known != NULL; known = known->next) {
        found = found || strcmp(known->pattern, path) == 0;
        if (strncmp(known->pattern, path, length) == 0 && strncmp(known->pattern + length, ".*.", 3) == 0)
            *in = snub_format(all->arena, "%s.*", path);
    }
    return found;
}

/** Keys of a section that no file above has: by the lists that say which paths options may name. */
static bool add_listed(book *all, const snub_key *keys, const char *above)
{
    bool good = true;
    for (; good && keys != NULL && keys->name != NULL; keys++) {
        const bool any = strcmp(keys->name, SNUB_ANY_KEY) == 0;
        const char *path = any                ? above
                           : above[0] == '\0' ? keys->name
                                              : snub_format(all->arena, "%s.%s", above, keys->name);
        const char *in = path;
        snub_file_key *unread = SNUB_NEW(all->arena, snub_file_key, 1);
        if (path == NULL || unread == NULL)
            return false;
        *unread = (snub_file_key){.path = path, .pattern = path, .kind = SNUB_KEY_UNREAD, .means = keys->means};
        const bool found = any || find_known(all, path, &in);
        if (!found && refused(all, path))
            continue;
        if (!found)
            keep(all, unread);
        good = in != NULL && add_listed(all, keys->inside, in);
    }
    return good;
}

static void keep_all(book *all, snub_file_key *list)
{
    for (snub_file_key *key = list, *next; key != NULL; key = next) {
        next = key->next;
        key->path = key->pattern;
        key->node = NULL;
        keep(all, key);
    }
}

static snub_status read_file(snub_units *units, snub_arena *arena, const char *text, snub_key_notes *notes)
{
    snub_document document;
    snub_errors errors = {0};
    const snub_reading reading = {.units = units, .arena = arena};
    *notes = (snub_key_notes){.arena = arena};
    snub_status status = snub_document_parse("keys", text, strlen(text), arena, &document, &errors);
    if (status == SNUB_OK)
        status = read_noted(&document, &reading, true, notes, &errors);
    snub_errors_free(&errors);
    return status;
}

snub_status snub_keys_known(snub_units *units, snub_arena *arena, const snub_file_key **out)
{
    book *all = SNUB_NEW(arena, book, 1);
    if (all == NULL)
        return SNUB_NO_MEMORY;
    all->arena = arena;
    for (int i = 0; i < FILES; i++) {
        const snub_status status = read_file(units, arena, every_section[i], &all->notes[i]);
        if (status != SNUB_OK)
            return status;
        keep_all(all, all->notes[i].first);
    }
    if (!add_listed(all, snub_root_keys, "") || !add_listed(all, snub_hardware_root_keys, "") ||
        !add_listed(all, snub_pulley_keys, "pulleys.*") || !add_listed(all, snub_hardware_pulley_keys, "pulleys.*"))
        return SNUB_NO_MEMORY;
    *out = all->first;
    return SNUB_OK;
}
