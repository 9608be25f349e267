/** The file of plucked spans. */
#include <string.h>

#include "read.h"
#include "snub/measured.h"

static const snub_key pluck_error_keys[] = {{"frequency", NULL, NULL},
                                            {"length", NULL, NULL},
                                            {"mass", NULL, NULL},
                                            {"bending_stiffness", NULL, NULL},
                                            {NULL, NULL, NULL}};
static const snub_key measured_pluck_keys[] = {{"snub", NULL, NULL},  {"title", NULL, NULL},
                                               {"units", NULL, NULL}, {"drive", NULL, NULL},
                                               {"mass", NULL, NULL},  {"bending_stiffness", NULL, NULL},
                                               {"ends", NULL, NULL},  {"errors", pluck_error_keys, NULL},
                                               {"spans", NULL, NULL}, {NULL, NULL, NULL}};
static const snub_key pluck_keys[] = {{"span", NULL, NULL},     {"frequency", NULL, NULL}, {"error", NULL, NULL},
                                      {"harmonic", NULL, NULL}, {"wav", NULL, NULL},       {"between", NULL, NULL},
                                      {"length", NULL, NULL},   {NULL, NULL, NULL}};

/** Standard deviations where the file gives none: rules of thumb, no published source. A tuner or a phone's spectrum is
 * read to 1 Hz, a span between tangent points to 1 mm. */
static const double USUAL_FREQUENCY_ERROR = 1.0, USUAL_LENGTH_ERROR = 1e-3;
/** A pluck is looked for in this range of a sound, Hz. */
static const double HEARD_LEAST = 10.0, HEARD_MOST = 1000.0;
enum { NAME_BYTES = 40, HARMONIC_MOST = 6 };

static const char *const ends_words[] = {"hinged", "fixed", NULL};

const char *snub_span_ends_text(snub_span_ends ends)
{
    return ends_words[ends];
}

/* ---- a span ------------------------------------------------------------------------------------------------------ */

static void read_names(snub_reader *reader, const snub_node *map, snub_pluck *p)
{
    const snub_node *list =
        snub_read_need(reader, map, "span") != NULL ? snub_read_list(reader, map, "span", 2, 2) : NULL;
    if (list == NULL)
        return;
    snub_enter(reader, "span");
    for (int i = 0; i < 2; i++) {
        const snub_node *name = list->items[i];
        snub_enter_item(reader, i);
        if (name->kind != SNUB_SCALAR || name->text[0] == '\0' || strlen(name->text) > NAME_BYTES)
            snub_read_wrong(reader, name, "the name of a pulley", "is not a name");
        else
            *(i == 0 ? &p->from : &p->to) = name->text;
        snub_leave(reader);
    }
    snub_leave(reader);
}

/* The sound: what a frequency that is given has no use for. */
static void read_sound(snub_reader *reader, const snub_node *map, snub_pluck *p)
{
    const bool given = snub_read_find(map, "frequency") != NULL;
    double between[2] = {HEARD_LEAST, HEARD_MOST};
    if (snub_read_text(reader, map, "wav", 500, &p->wav))
        p->wav_place = snub_read_find(map, "wav")->place;
    snub_read_point(reader, map, "between", SNUB_Q_FREQUENCY, HEARD_LEAST, HEARD_MOST, between);
    if (!(between[1] > between[0]))
        snub_read_wrong_key(reader, map, "between", "[lowest, highest]", "does not rise");
    p->least = between[0];
    p->most = between[1];
    if (given == (snub_read_find(map, "wav") != NULL))
        snub_read_wrong(reader, map, "`frequency`, or `wav` with the name of a sound file",
                        given ? "gives both a frequency and a sound" : "does not say what was heard");
    if (given && snub_read_find(map, "between") != NULL)
        snub_read_wrong_key(reader, map, "between", "it with `wav`", "is for a sound");
    if (!given && snub_read_find(map, "error") != NULL)
        snub_read_wrong_key(reader, map, "error", "it with `frequency`", "follows from the sound");
    if (!given && snub_read_find(map, "harmonic") != NULL)
        snub_read_wrong_key(reader, map, "harmonic", "it with `frequency`", "follows from the sound");
}

static void read_pluck(snub_reader *reader, const snub_node *map, double usual, bool usual_given, snub_pluck *p)
{
    *p = (snub_pluck){.place = map->place,
                      .from = "",
                      .to = "",
                      .frequency = NAN,
                      .frequency_error = usual,
                      .error_given = usual_given,
                      .harmonic = 1,
                      .length = NAN};
    if (!snub_read_keys(reader, map, pluck_keys, NULL))
        return;
    read_names(reader, map, p);
    snub_read_number(reader, map, "frequency", SNUB_Q_FREQUENCY, 1, 5000, &p->frequency);
    if (snub_read_number(reader, map, "error", SNUB_Q_FREQUENCY, 0.001, 500, &p->frequency_error))
        p->error_given = true;
    snub_read_integer(reader, map, "harmonic", 1, HARMONIC_MOST, &p->harmonic);
    snub_read_number(reader, map, "length", SNUB_Q_LENGTH, 10, 3000, &p->length);
    read_sound(reader, map, p);
}

/* ---- the file ---------------------------------------------------------------------------------------------------- */

static void read_spans(snub_reader *reader, const snub_node *root, double usual, bool given, snub_measured_pluck *m)
{
    const snub_node *list = snub_read_need(reader, root, "spans") != NULL
                                ? snub_read_list(reader, root, "spans", 1, SNUB_PLUCKS_MOST)
                                : NULL;
    if (list == NULL)
        return;
    m->plucks = SNUB_NEW(reader->arena, snub_pluck, list->count);
    if (m->plucks == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    snub_enter(reader, "spans");
    for (int i = 0; i < list->count; i++) {
        snub_enter_item(reader, i);
        read_pluck(reader, list->items[i], usual, given, &m->plucks[i]);
        if (m->drive == NULL && isnan(m->plucks[i].length))
            snub_read_wrong(reader, list->items[i], "`length` of the span, or `drive` at the top of the file",
                            "has no length");
        m->count = i + 1;
        snub_leave(reader);
    }
    snub_leave(reader);
}

static void read_all(snub_reader *reader, const snub_node *root, snub_measured_pluck *m)
{
    static const char *const systems[] = {"metric", "us", NULL};
    int system = 0, ends = SNUB_ENDS_HINGED;
    double frequency_error = USUAL_FREQUENCY_ERROR;
    bool given = false;
    if (!snub_read_keys(reader, root, measured_pluck_keys, NULL))
        return;
    snub_read_format(reader, root);
    snub_read_text(reader, root, "title", 120, &m->title);
    snub_read_choice(reader, root, "units", systems, &system);
    snub_read_text(reader, root, "drive", 500, &m->drive);
    snub_read_number(reader, root, "mass", SNUB_Q_MASS_PER_LENGTH, 0.001, 5, &m->mass);
    snub_read_number(reader, root, "bending_stiffness", SNUB_Q_BENDING, 0, 10, &m->bending);
    snub_read_choice(reader, root, "ends", ends_words, &ends);
    m->ends = (snub_span_ends)ends;
    const snub_node *map = snub_read_map(reader, root, "errors", pluck_error_keys);
    if (map != NULL) {
        snub_enter(reader, "errors");
        given = snub_read_number(reader, map, "frequency", SNUB_Q_FREQUENCY, 0.001, 500, &frequency_error);
        snub_read_number(reader, map, "length", SNUB_Q_LENGTH, 0, 50, &m->length_error);
        snub_read_number(reader, map, "mass", SNUB_Q_MASS_PER_LENGTH, 0, 1, &m->mass_error);
        snub_read_number(reader, map, "bending_stiffness", SNUB_Q_BENDING, 0, 10, &m->bending_error);
        snub_leave(reader);
    }
    if (m->drive == NULL && isnan(m->mass) && snub_read_find(root, "mass") == NULL)
        snub_read_wrong(reader, root, "`mass` of the belt for each metre, or `drive`", "does not say how heavy it is");
    read_spans(reader, root, frequency_error, given, m);
}

snub_status snub_measured_pluck_read(snub_units *units, snub_arena *arena, snub_measured_pluck *m, snub_errors *errors)
{
    const snub_document document = m->document;
    *m = (snub_measured_pluck){.document = document,
                               .title = "",
                               .mass = NAN,
                               .mass_error = NAN,
                               .bending = NAN,
                               .bending_error = NAN,
                               .length_error = USUAL_LENGTH_ERROR};
    const snub_reading reading = {.units = units, .arena = arena};
    snub_reader reader = {
        .document = &m->document, .reading = &reading, .units = units, .arena = arena, .errors = errors};
    const int first = errors->count;
    read_all(&reader, document.root, m);
    return snub_read_end(&reader, first);
}
