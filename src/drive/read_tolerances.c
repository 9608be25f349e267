/** tolerances: what values are from kit to kit, once all of the drive is read. docs/decisions/075-tolerances.md. */
#include <stdlib.h>
#include <string.h>

#include "read_sample.h"
#include "sections.h"
#include "snub/units.h"
#include "tree.h"
#include "written_tolerance.h"

enum { TOLERANCES_MOST = 500, PATHS_MOST = 100, SAMPLE_MOST = 10000, NAME_MOST = 60, PATH_MOST = 300 };
/* A tolerance on a drawing is what every part keeps that passed its inspection, and a process that just holds it has
 * six standard deviations between the ends (Cp = 1, the least that shops agree on). Rule of thumb, no published source.
 */
enum { SIGMAS_TO_END = 3 };
/* Without a cut, so many standard deviations must lie within the key's bounds: beyond is 1 kit in 500 million. */
enum { SIGMAS_WITHIN = 6 };

typedef enum shape { SHAPE_NORMAL, SHAPE_UNIFORM, SHAPE_TRIANGULAR, SHAPE_SKEWED } shape;
static const char *const shapes[] = {"normal", "uniform", "triangular", "skewed", NULL};

/** What one item of the list says. Texts are deviations that wait for the value that they are of. */
typedef struct said {
    const snub_node *item;
    const snub_node *plus, *minus, *sigma, *cut, *sample;
    int shape;
    double skew, correlation, cost;
    const char *group;
    bool fixed;
} said;

typedef struct work {
    snub_reader *reader;
    const snub_node *root;
    snub_tolerance *made;
    int count, room;
} work;

/* ---- scatter ----------------------------------------------------------------------------------------------------- */

/** A deviation under a key; noted where it is wrong. @return false: left out or wrong */
static bool deviation_of(snub_reader *reader, const snub_node *node, const char *key, const snub_sighting *seen,
                         double *deviation)
{
    snub_error error = {0};
    snub_written written;
    if (node == NULL)
        return false;
    const char *value = seen->node->kind == SNUB_SCALAR ? seen->node->text : "";
    if (snub_written_split(value, &written))
        value = snub_copy_text_n(reader->arena, value, written.nominal);
    snub_enter(reader, key);
    const snub_status status = node->kind != SNUB_SCALAR || value == NULL
                                   ? snub_fail(&error, SNUB_BAD_INPUT, NULL, NULL, "is not a number")
                                   : snub_written_deviation(reader->units, seen->quantity, value, seen->value,
                                                            node->text, false, reader->arena, deviation, &error);
    if (status == SNUB_NO_MEMORY)
        snub_read_no_memory(reader);
    else if (status != SNUB_OK)
        snub_read_wrong(reader, node, error.need[0] != '\0' ? error.need : NULL, "%s", error.message);
    snub_leave(reader);
    return status == SNUB_OK;
}

/** The skew-normal of a mean, a standard deviation and a skewness: A. Azzalini 1985. docs/theory/scatter.md. */
static void skew(snub_scatter *s, double mean, double sigma, double skewness)
{
    const double part = pow(fabs(skewness), 2.0 / 3.0), whole = pow(0.5 * (4.0 - SNUB_PI), 2.0 / 3.0),
                 delta = copysign(sqrt(0.5 * SNUB_PI * part / (part + whole)), skewness);
    s->alpha = delta / sqrt(1.0 - delta * delta);
    s->sigma = sigma / sqrt(1.0 - 2.0 * delta * delta / SNUB_PI);
    s->centre = mean - s->sigma * delta * sqrt(2.0 / SNUB_PI);
}

/** Scatter of a shape between two ends, with the standard deviation given or as many to each end as is usual. */
static snub_scatter between(int kind, double nominal, double low, double high, double sigma, double skewness)
{
    const bool given = !isnan(sigma);
    const double middle = given ? nominal : 0.5 * (low + high),
                 width = given ? sigma : 0.5 * (high - low) / SIGMAS_TO_END;
    snub_scatter s = {.kind = SNUB_NORMAL, .centre = middle, .sigma = width, .low = low, .high = high};
    if (kind == SHAPE_UNIFORM) {
        s = (snub_scatter){.kind = SNUB_UNIFORM, .low = low, .high = high};
    } else if (kind == SHAPE_TRIANGULAR) {
        s = (snub_scatter){.kind = SNUB_TRIANGULAR, .centre = nominal, .low = low, .high = high};
    } else if (kind == SHAPE_SKEWED) {
        s.kind = SNUB_SKEWED;
        skew(&s, middle, width, skewness);
    }
    return s;
}

static int rising(const void *a, const void *b)
{
    const double first = *(const double *)a, second = *(const double *)b;
    return (first > second) - (first < second);
}

static bool sample_of(snub_reader *reader, const said *told, const snub_sighting *seen, snub_scatter *scatter)
{
    double *values = NULL;
    int count = 0;
    const bool table = told->sample->kind == SNUB_MAP;
    if (table ? !snub_read_sample(reader, told->item, seen, &count, &values)
              : !snub_read_numbers(reader, told->item, "sample", seen->quantity, seen->least, seen->most, &count,
                                   &values))
        return false;
    qsort(values, (size_t)count, sizeof *values, rising);
    if (count < 2 || count > SAMPLE_MOST || !(values[0] < values[count - 1])) {
        snub_read_wrong_key(reader, told->item, "sample", "2 to 10000 values that differ", "is no scatter");
        return false;
    }
    *scatter = (snub_scatter){
        .kind = SNUB_SAMPLED, .low = values[0], .high = values[count - 1], .count = count, .sample = values};
    return true;
}

/** What an item says of the value that was seen. @return false: noted */
static bool scatter_of(snub_reader *reader, const said *told, const snub_sighting *seen, snub_scatter *scatter)
{
    double plus = 0, minus = 0, sigma = NAN, cut = NAN;
    const int wrong = reader->wrong;
    if (told->sample != NULL)
        return sample_of(reader, told, seen, scatter);
    const bool pair = told->plus != told->minus;
    const bool up = deviation_of(reader, told->plus, pair ? "plus" : "plus_minus", seen, &plus);
    if (!pair)
        minus = plus;
    const bool down = pair ? deviation_of(reader, told->minus, "minus", seen, &minus) : up;
    deviation_of(reader, told->sigma, "sigma", seen, &sigma);
    deviation_of(reader, told->cut, "cut", seen, &cut);
    if (reader->wrong > wrong)
        return false;
    const bool ends = (up || down) && plus + minus > 0;
    if ((up || down) && !ends) {
        snub_read_wrong_key(reader, told->item, told->plus == told->minus ? "plus_minus" : "plus", "above 0",
                            "is zero");
        return false;
    }
    if (!isnan(sigma) && !(sigma > 0)) {
        snub_read_wrong_key(reader, told->item, "sigma", "above 0", "is zero");
        return false;
    }
    if (!isnan(cut) && !(cut > 0)) {
        snub_read_wrong_key(reader, told->item, "cut", "above 0", "is zero");
        return false;
    }
    const double low = ends          ? seen->value - minus
                       : !isnan(cut) ? seen->value - cut
                                     : -INFINITY,
                 high = ends          ? seen->value + plus
                        : !isnan(cut) ? seen->value + cut
                                      : INFINITY;
    *scatter = between(told->shape, seen->value, low, high, sigma, told->skew);
    return true;
}

/** Whether all that a scatter can be lies within the key's bounds. */
static bool within(snub_reader *reader, const snub_node *at, const snub_sighting *seen, const snub_scatter *s)
{
    const double far = SIGMAS_WITHIN * s->sigma, slack = 1e-9 * (fabs(seen->least) + fabs(seen->most));
    const double low = snub_quantity_to_bare(seen->quantity, isinf(s->low) ? s->centre - far : s->low),
                 high = snub_quantity_to_bare(seen->quantity, isinf(s->high) ? s->centre + far : s->high);
    if (low >= seen->least - slack && high <= seen->most + slack)
        return true;
    const char *unit = snub_quantity_unit(seen->quantity), *blank = unit[0] != '\0' ? " " : "";
    snub_read_wrong(reader, at, snub_format(reader->arena, "%.10g to %.10g%s%s", seen->least, seen->most, blank, unit),
                    "takes the value to %.6g%s%s%s", low < seen->least - slack ? low : high, blank, unit,
                    isinf(s->low) && isinf(s->high) ? ", six sigma away; a `cut` would keep it" : "");
    return false;
}

/* ---- what is made ------------------------------------------------------------------------------------------------ */

static snub_tolerance *made_of(const work *w, const char *path)
{
    for (int i = 0; i < w->count; i++) {
        if (strcmp(w->made[i].path, path) == 0)
            return &w->made[i];
    }
    return NULL;
}

static void add(work *w, const snub_tolerance *tolerance)
{
    if (w->count == w->room) {
        const int room = w->room > 0 ? 2 * w->room : 16;
        snub_tolerance *more = SNUB_NEW(w->reader->arena, snub_tolerance, room);
        if (more == NULL) {
            snub_read_no_memory(w->reader);
            return;
        }
        if (w->count > 0)
            memcpy(more, w->made, (size_t)w->count * sizeof *more);
        w->made = more;
        w->room = room;
    }
    w->made[w->count++] = *tolerance;
}

/** `80 +- 0.1`, and those that other keys give. */
static void add_written(work *w, const snub_sighting *seen)
{
    snub_reader *reader = w->reader;
    snub_written written;
    snub_error error = {0};
    double plus = 0, minus = 0;
    if (seen->known || made_of(w, seen->path) != NULL || seen->node->kind != SNUB_SCALAR ||
        !snub_written_split(seen->node->text, &written))
        return;
    const char *nominal = snub_copy_text_n(reader->arena, seen->node->text, written.nominal),
               *up = snub_copy_text_n(reader->arena, written.plus != NULL ? written.plus : "", written.plus_length),
               *down =
                   snub_copy_text_n(reader->arena, written.minus != NULL ? written.minus : "", written.minus_length);
    if (nominal == NULL || up == NULL || down == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    snub_enter(reader, seen->path);
    snub_status status = snub_written_deviation(reader->units, seen->quantity, nominal, seen->value, up, true,
                                                reader->arena, &plus, &error);
    if (status == SNUB_OK)
        status = snub_written_deviation(reader->units, seen->quantity, nominal, seen->value, down, true, reader->arena,
                                        &minus, &error);
    if (written.plus == NULL || written.minus == NULL)
        snub_read_wrong(reader, seen->node, "both, such as '+0.1 -0.05', or one '+-'",
                        "has a tolerance to one side only");
    else if (status == SNUB_NO_MEMORY)
        snub_read_no_memory(reader);
    else if (status != SNUB_OK)
        snub_read_wrong(reader, seen->node, error.need[0] != '\0' ? error.need : NULL, "%s", error.message);
    else if (!(plus + minus > 0))
        snub_read_wrong(reader, seen->node, "a tolerance above 0, or the number alone", "has a tolerance of zero");
    else {
        const snub_tolerance t = {
            .path = seen->path,
            .place = seen->node->place,
            .quantity = seen->quantity,
            .nominal = seen->value,
            .scatter = between(SHAPE_NORMAL, seen->value, seen->value - minus, seen->value + plus, NAN, 0),
            .cost = NAN,
            .basis = SNUB_TOLERANCE_WRITTEN};
        if (within(reader, seen->node, seen, &t.scatter))
            add(w, &t);
    }
    snub_leave(reader);
}

static void add_known(work *w, const snub_sighting *seen)
{
    if (!seen->known || made_of(w, seen->path) != NULL)
        return;
    const int kind = seen->basis == SNUB_TOLERANCE_RANGE ? SHAPE_UNIFORM : SHAPE_NORMAL;
    add(w, &(snub_tolerance){.path = seen->path,
                             .place = seen->node->place,
                             .quantity = seen->quantity,
                             .nominal = seen->value,
                             .scatter = between(kind, seen->value, seen->low, seen->high, NAN, 0),
                             .cost = NAN,
                             .basis = seen->basis});
}

/** The belt's length, where nothing else is said of it. */
static void add_belt(work *w, const snub_drive *drive)
{
    static const char path[] = "belt.length";
    const snub_belt *belt = &drive->belt;
    const bool given = !isnan(belt->tolerance), chosen = !isnan(belt->length);
    const double about = chosen ? belt->length : 0.0;
    const snub_node *section = snub_read_find(w->root, "belt"), *teller = section != NULL && section->kind == SNUB_MAP
                                                                              ? snub_read_find(section, "tolerance")
                                                                              : NULL;
    if (made_of(w, path) != NULL || (!given && !chosen))
        return;
    const double half = snub_belt_tolerance(belt, belt->length);
    if (!(half > 0))
        return;
    add(w, &(snub_tolerance){.path = path,
                             .place = teller != NULL ? teller->place : belt->place,
                             .quantity = SNUB_Q_LENGTH,
                             .nominal = belt->length,
                             .scatter = between(SHAPE_NORMAL, about, about - half, about + half, NAN, 0),
                             .cost = NAN,
                             .basis = given ? SNUB_TOLERANCE_BELT : SNUB_TOLERANCE_BELT_DEFAULT});
}

/* ---- the section ------------------------------------------------------------------------------------------------- */

/** A path as sightings have it: items of lists by their places, pulleys by their names. @return NULL: no memory */
static const char *plain_path(work *w, const char *path)
{
    static const char list[] = "pulleys.";
    char out[PATH_MOST] = "";
    const char *word = NULL, *rest = path;
    size_t length = 0, used = 0;
    int index = 0;
    if (strncmp(rest, list, sizeof list - 1) == 0)
        rest += sizeof list - 1;
    const bool pulley = snub_path_starts_at_pulley(w->root, rest);
    const snub_node *node = pulley ? snub_node_get(w->root, "pulleys") : w->root;
    for (bool first = pulley; snub_path_word(&rest, &word, &length); first = false) {
        const snub_node *child = node != NULL ? snub_node_step(node, word, length, &index) : NULL;
        const bool place = child != NULL && node->kind == SNUB_LIST && !first;
        const int more =
            place ? snprintf(out + used, sizeof out - used, "%s%d", used > 0 ? "." : "", index)
                  : snprintf(out + used, sizeof out - used, "%s%.*s", used > 0 ? "." : "", (int)length, word);
        used += (size_t)more;
        if (used >= sizeof out)
            return path;
        node = child;
    }
    return snub_copy_text(w->reader->arena, out);
}

/** Whether a value that was seen is the one at a path, its `value`, or a coordinate of the point there. */
static bool lies_at(const char *seen, const char *path)
{
    static const char *const ends[] = {"", ".value", ".0", ".1"};
    const size_t length = strlen(path);
    if (strncmp(seen, path, length) != 0)
        return false;
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++) {
        if (strcmp(seen + length, ends[i]) == 0)
            return true;
    }
    return false;
}

/** A path of `of`, by itself or in its list. */
typedef struct named {
    const snub_node *node;
    int index; /* -1: by itself */
} named;

static void wrong_path(snub_reader *reader, const named *of, const char *need, const char *message)
{
    snub_enter(reader, "of");
    if (of->index >= 0)
        snub_enter_item(reader, of->index);
    snub_read_wrong(reader, of->node, need, "%s", message);
    if (of->index >= 0)
        snub_leave(reader);
    snub_leave(reader);
}

static void add_listed(work *w, const said *told, const named *of, const snub_sighting *seen)
{
    const snub_tolerance *before = made_of(w, seen->path);
    snub_tolerance t = {.path = seen->path,
                        .place = told->item->place,
                        .quantity = seen->quantity,
                        .nominal = seen->value,
                        .group = told->group,
                        .correlation = told->correlation,
                        .cost = told->cost,
                        .basis = SNUB_TOLERANCE_LISTED};
    if (before != NULL) {
        wrong_path(w->reader, of, "one tolerance for each value",
                   before->basis == SNUB_TOLERANCE_WRITTEN ? "has a tolerance already, behind the value"
                                                           : "has a tolerance already");
        return;
    }
    if (told->fixed) /* taken away again once nothing else may come there */
        t.scatter = (snub_scatter){.kind = SNUB_UNIFORM, .low = seen->value, .high = seen->value};
    else if (!scatter_of(w->reader, told, seen, &t.scatter) ||
             (told->sample == NULL && !within(w->reader, of->node, seen, &t.scatter)))
        return;
    add(w, &t);
}

/** The belt's length where it is chosen from the stock: no number of the file, and yet one may say that it is fixed. */
static bool fixes_belt(work *w, const said *told, const char *path)
{
    if (!told->fixed || strcmp(path, "belt.length") != 0)
        return false;
    add(w, &(snub_tolerance){
               .path = path, .place = told->item->place, .nominal = NAN, .basis = SNUB_TOLERANCE_LISTED, .cost = NAN});
    return true;
}

static void read_path(work *w, const said *told, const named *of, const snub_sighting *all)
{
    int found = 0;
    const char *path = of->node->kind == SNUB_SCALAR ? plain_path(w, of->node->text) : "";
    if (path == NULL) {
        snub_read_no_memory(w->reader);
        return;
    }
    for (const snub_sighting *seen = all; seen != NULL; seen = seen->next) {
        if (seen->known && seen->basis != SNUB_TOLERANCE_RANGE)
            continue; /* its value was seen as well */
        if (!lies_at(seen->path, path))
            continue;
        found++;
        if (seen->firm) {
            wrong_path(w->reader, of, "a size, a force, a share: what can differ from kit to kit",
                       "is a number that takes no tolerance");
            return;
        }
        add_listed(w, told, of, seen);
        if (seen->known) /* a range: its ends were seen as well */
            return;
    }
    if (found == 0 && !fixes_belt(w, told, path))
        wrong_path(w->reader, of, "a number that the file has, such as blower.diameter or idler.at",
                   "is not the path of a number in this file");
}

static bool has(const snub_node *node)
{
    return node != NULL;
}

/** What may not stand together. */
static bool fits_together(snub_reader *reader, const said *told)
{
    const snub_node *item = told->item, *both = snub_read_find(item, "plus_minus"),
                    *plus = snub_read_find(item, "plus"), *minus = snub_read_find(item, "minus");
    const bool ends = has(both) || has(plus), bell = told->shape == SHAPE_NORMAL || told->shape == SHAPE_SKEWED;
    const int ways = has(told->sample) + (ends || has(told->sigma)) + told->fixed;
    const int wrong = reader->wrong;
    if (ways != 1)
        snub_read_wrong(reader, item, "plus_minus, plus and minus, sigma, sample, or fixed",
                        ways == 0 ? "has no tolerance" : "has its tolerance in two ways");
    if (has(both) && (has(plus) || has(minus)))
        snub_read_wrong_key(reader, item, "plus_minus", "plus_minus, or plus and minus", "is given with plus or minus");
    else if (has(plus) != has(minus))
        snub_read_wrong_key(reader, item, has(plus) ? "plus" : "minus", "plus and minus; 0 will do",
                            "is given without the other side");
    if (has(told->sigma) && !bell)
        snub_read_wrong_key(reader, item, "sigma", "shape normal or skewed", "does not go with this shape");
    if (has(told->cut) && (!has(told->sigma) || ends))
        snub_read_wrong_key(reader, item, "cut", "sigma with it, and no other ends", "does not belong here");
    if ((told->shape == SHAPE_SKEWED) != has(snub_read_find(item, "skew")))
        snub_read_wrong_key(reader, item, "skew", "`shape: skewed` with `skew`",
                            "is given without the other of the two");
    if (has(told->sample) && has(snub_read_find(item, "shape")))
        snub_read_wrong_key(reader, item, "shape", "the sample alone, which has its own", "is given with a sample");
    if ((told->group != NULL) != has(snub_read_find(item, "correlation")))
        snub_read_wrong_key(reader, item, "correlation", "`group` with `correlation`",
                            "is given without the other of the two");
    return reader->wrong == wrong;
}

static void read_said(snub_reader *reader, const snub_node *item, said *told)
{
    *told = (said){.item = item, .cost = NAN};
    told->plus = snub_read_find(item, "plus_minus");
    told->minus = told->plus;
    if (told->plus == NULL) {
        told->plus = snub_read_find(item, "plus");
        told->minus = snub_read_find(item, "minus");
    }
    told->sigma = snub_read_find(item, "sigma");
    told->cut = snub_read_find(item, "cut");
    told->sample = snub_read_find(item, "sample");
    snub_read_apart(reader, item, "plus_minus", SNUB_KEY_TEXT, 1, NAME_MOST);
    snub_read_apart(reader, item, "plus", SNUB_KEY_TEXT, 1, NAME_MOST);
    snub_read_apart(reader, item, "minus", SNUB_KEY_TEXT, 1, NAME_MOST);
    snub_read_apart(reader, item, "sigma", SNUB_KEY_TEXT, 1, NAME_MOST);
    snub_read_apart(reader, item, "cut", SNUB_KEY_TEXT, 1, NAME_MOST);
    snub_read_apart(reader, item, "sample", SNUB_KEY_LIST, 2, SAMPLE_MOST);
    snub_read_choice(reader, item, "shape", shapes, &told->shape);
    snub_read_number(reader, item, "skew", SNUB_Q_NUMBER, -0.99, 0.99, &told->skew);
    snub_read_text(reader, item, "group", NAME_MOST, &told->group);
    snub_read_number(reader, item, "correlation", SNUB_Q_NUMBER, -1, 1, &told->correlation);
    snub_read_number(reader, item, "cost", SNUB_Q_NUMBER, 0, 1e6, &told->cost);
    snub_read_flag(reader, item, "fixed", &told->fixed);
}

static void read_item(work *w, const snub_node *item, const snub_sighting *all)
{
    snub_reader *reader = w->reader;
    said told;
    if (!snub_read_keys(reader, item, snub_tolerance_keys, NULL))
        return;
    const int wrong = reader->wrong;
    read_said(reader, item, &told);
    snub_read_apart(reader, item, "of", SNUB_KEY_TEXT, 1, PATH_MOST);
    const snub_node *of = snub_read_need(reader, item, "of");
    if (of == NULL || !fits_together(reader, &told) || reader->wrong > wrong)
        return;
    if (of->kind == SNUB_MAP || of->count > PATHS_MOST || (of->kind == SNUB_LIST && of->count == 0)) {
        snub_read_wrong_key(reader, item, "of", "a path, or a list of 1 to 100 paths", "is no path");
        return;
    }
    if (of->kind == SNUB_SCALAR)
        read_path(w, &told, &(named){of, -1}, all);
    for (int i = 0; of->kind == SNUB_LIST && i < of->count; i++)
        read_path(w, &told, &(named){of->items[i], i}, all);
}

/** A cause that one value alone has is none that is shared. */
static void check_groups(work *w, const snub_node *list)
{
    for (int i = 0; i < w->count; i++) {
        int members = 0;
        for (int j = 0; w->made[i].group != NULL && j < w->count; j++)
            members += w->made[j].group != NULL && strcmp(w->made[i].group, w->made[j].group) == 0;
        for (int k = 0; members == 1 && k < list->count; k++) {
            if (list->items[k]->place.line != w->made[i].place.line ||
                list->items[k]->place.column != w->made[i].place.column)
                continue;
            snub_enter_item(w->reader, k);
            snub_read_wrong_key(w->reader, list->items[k], "group", "two values or more with one group",
                                "has one value only");
            snub_leave(w->reader);
        }
    }
}

static void read_section(work *w, const snub_sighting *all)
{
    snub_reader *reader = w->reader;
    const snub_node *list = snub_read_list(reader, w->root, "tolerances", 1, TOLERANCES_MOST);
    if (list == NULL)
        return;
    snub_enter(reader, "tolerances");
    reader->firm = true;
    for (int i = 0; i < list->count; i++) {
        snub_enter_item(reader, i);
        read_item(w, list->items[i], all);
        snub_leave(reader);
    }
    reader->firm = false;
    check_groups(w, list);
    snub_leave(reader);
}

/** Those that were only to keep others away. */
static int drop_fixed(work *w)
{
    int kept = 0;
    for (int i = 0; i < w->count; i++) {
        if (w->made[i].scatter.low < w->made[i].scatter.high)
            w->made[kept++] = w->made[i];
    }
    return kept;
}

void snub_read_tolerances(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    work w = {.reader = reader, .root = root};
    const snub_sighting *all = reader->seen;
    if (reader->sights == SNUB_SIGHT_TAKE_OFF)
        return;
    for (const snub_sighting *seen = all; seen != NULL; seen = seen->next)
        add_written(&w, seen);
    read_section(&w, all);
    for (const snub_sighting *seen = all; seen != NULL; seen = seen->next)
        add_known(&w, seen);
    add_belt(&w, drive);
    drive->tolerance_count = drop_fixed(&w);
    drive->tolerances = w.made;
}
