/* The bill of materials: what the builds of a kit are made of, side by side. */
#include "snub/bill.h"

#include "contents_same.h"

#include <string.h>

enum { COLUMNS_MOST = 200 }; /* a build each, and as many columns of a table */

typedef struct biller {
    const snub_document *document;
    const snub_reading *reading; /* its arena keeps the bill */
    snub_bill *bill;
    int room;
    snub_errors *errors;
    snub_digest digest;
} biller;

static snub_status no_memory(const biller *b)
{
    snub_error error = {0};
    snub_fail(&error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    snub_errors_add(b->errors, &error);
    return SNUB_NO_MEMORY;
}

/* ---- which builds ------------------------------------------------------------------------------------------------ */

static bool same_name(const char *a, const char *b)
{
    return strcmp(a != NULL ? a : "", b != NULL ? b : "") == 0;
}

/* The fingerprint of the drive that some overlays make; "" where it cannot be read. */
static void digest_of(const biller *b, const snub_overlay *overlays, int count, char text[65])
{
    snub_arena arena;
    snub_errors dropped = {0};
    snub_drive drive;
    snub_reading reading = *b->reading;
    snub_arena_init(&arena, b->reading->arena->limit);
    reading.arena = &arena;
    reading.overlays = overlays;
    reading.overlay_count = count;
    text[0] = '\0';
    if (snub_drive_read(b->document, &reading, &drive, &dropped) == SNUB_OK)
        snub_drive_tree_digest(&drive, text);
    snub_errors_free(&dropped);
    snub_arena_free(&arena);
}

/* Of the rows of one package and front, from `first` on: the one that the file's own values make, else the first. */
static int own_row(const biller *b, int first, int *end)
{
    const snub_rows *rows = &b->bill->rows;
    const snub_row *row = &rows->items[first];
    char own[65], other[65];
    *end = first + 1;
    while (*end < rows->count && same_name(rows->items[*end].variant, row->variant) &&
           same_name(rows->items[*end].package, row->package))
        ++*end;
    if (*end == first + 1 || row->option_count == 0)
        return first;
    /* its overlays without those of the options: front, package, [options], the caller's */
    const int before = row->overlay_count - row->set_count - row->option_count;
    snub_overlay *overlays = SNUB_NEW(b->reading->arena, snub_overlay, row->overlay_count);
    if (overlays == NULL)
        return first;
    memcpy(overlays, row->overlays, (size_t)before * sizeof *overlays);
    memcpy(overlays + before, row->overlays + before + row->option_count, (size_t)row->set_count * sizeof *overlays);
    digest_of(b, overlays, before + row->set_count, own);
    for (int i = first; i < *end && own[0] != '\0'; i++) {
        digest_of(b, rows->items[i].overlays, rows->items[i].overlay_count, other);
        if (strcmp(own, other) == 0)
            return i;
    }
    return first;
}

/* ---- what they are made of --------------------------------------------------------------------------------------- */

static bool same_text(const char *a, const char *b)
{
    return a == b || (a != NULL && b != NULL && strcmp(a, b) == 0);
}

static bool same_size(double a, double b)
{
    return (isnan(a) && isnan(b)) || a == b;
}

static bool same_cuts(const snub_item *a, const snub_item *b)
{
    for (int i = 0; a->cut_count == b->cut_count && i < a->cut_count; i++) {
        const snub_cut *x = &a->cuts[i], *y = &b->cuts[i];
        if (x->from != y->from || x->depth != y->depth || !same_text(x->towards, y->towards) ||
            memcmp(x->point, y->point, sizeof x->point) != 0)
            return false;
    }
    return a->cut_count == b->cut_count;
}

/* One rework, of one part at one place. */
static bool same_rework(const snub_item *a, const snub_item *b)
{
    const snub_rework *x = &a->rework, *y = &b->rework;
    if (x->given != y->given || !same_cuts(a, b) || !same_text(a->places[0].name, b->places[0].name) ||
        !same_text(a->places[0].owner, b->places[0].owner))
        return false;
    return !x->given || (same_text(x->task, y->task) && same_text(x->where, y->where) && same_text(x->tap, y->tap) &&
                         same_size(x->remove, y->remove) && same_size(x->drill, y->drill) &&
                         same_size(x->ream, y->ream) && same_text(x->caution, y->caution));
}

static snub_bill_row *row_of(biller *b, const snub_item *item)
{
    snub_bill *bill = b->bill;
    for (int i = 0; i < bill->row_count; i++) {
        snub_item *there = &bill->parts[i].item;
        if (there->how == item->how && snub_item_same(there, item) &&
            (item->how != SNUB_SUPPLY_CHANGED || same_rework(there, item)))
            return &bill->parts[i];
    }
    if (bill->row_count == b->room) {
        const int room = 2 * b->room + 64;
        snub_bill_row *more = SNUB_NEW(b->reading->arena, snub_bill_row, room);
        if (more == NULL)
            return NULL;
        if (bill->row_count > 0)
            memcpy(more, bill->parts, (size_t)bill->row_count * sizeof *more);
        bill->parts = more;
        b->room = room;
    }
    snub_bill_row *row = &bill->parts[bill->row_count];
    *row = (snub_bill_row){*item, SNUB_NEW(b->reading->arena, int, COLUMNS_MOST)};
    if (row->count == NULL)
        return NULL;
    bill->row_count++;
    return row;
}

/* One build, whose memory is given back; what it is made of stays. */
static snub_status add_build(biller *b, int index)
{
    snub_bill *bill = b->bill;
    snub_arena arena;
    snub_reading reading = *b->reading;
    snub_build build;
    snub_contents contents;
    char text[65];
    const snub_build_request request = {.afresh = true};
    snub_bill_column *column = &bill->columns[bill->column_count];
    snub_arena_init(&arena, b->reading->arena->limit);
    reading.arena = &arena;
    snub_status status = snub_build_make(b->document, &reading, &bill->rows.items[index], &request, &build, b->errors);
    if (status == SNUB_OK && snub_contents_of(&build, b->reading->arena, &contents, NULL) != SNUB_OK)
        status = no_memory(b);
    for (int i = 0; status == SNUB_OK && i < contents.count; i++) {
        snub_bill_row *row = row_of(b, &contents.items[i]);
        if (row == NULL)
            status = no_memory(b);
        else
            row->count[bill->column_count] += contents.items[i].count;
    }
    if (status == SNUB_OK) {
        *column = (snub_bill_column){&bill->rows.items[index], index + 1, build.settled, "", build.verdict};
        memcpy(column->designation, build.designation, sizeof column->designation);
        snub_drive_digest(build.drive, text);
        snub_digest_text(&b->digest, text);
        bill->column_count++;
    }
    snub_arena_free(&arena);
    return status;
}

static snub_status sort(biller *b)
{
    snub_bill *bill = b->bill;
    snub_bill_row *sorted = SNUB_NEW(b->reading->arena, snub_bill_row, bill->row_count + 1);
    int n = 0;
    if (sorted == NULL)
        return no_memory(b);
    for (int how = 0; how < SNUB_SUPPLIES_; how++) {
        for (int kind = 0; kind < SNUB_ITEM_KINDS; kind++) {
            for (int i = 0; i < bill->row_count; i++) {
                if ((int)bill->parts[i].item.how == how && (int)bill->parts[i].item.kind == kind)
                    sorted[n++] = bill->parts[i];
            }
        }
    }
    bill->parts = sorted;
    return SNUB_OK;
}

static snub_status too_many(const biller *b, int columns)
{
    snub_error error = {0};
    snub_fail(&error, SNUB_TOO_LARGE, NULL, NULL,
              "%d packages on engine fronts are more than the %d of one bill: name some with --package or --variant",
              columns, COLUMNS_MOST);
    snub_errors_add(b->errors, &error);
    return SNUB_TOO_LARGE;
}

snub_status snub_bill_make(const snub_document *document, const snub_reading *reading, const snub_named_rows *named,
                           snub_bill *bill, snub_errors *errors)
{
    biller b = {.document = document, .reading = reading, .bill = bill, .errors = errors};
    int *chosen, count = 0;
    *bill = (snub_bill){.document = document};
    snub_digest_init(&b.digest);
    snub_status status = snub_rows_list(document, reading, named, &bill->rows, errors);
    if (status != SNUB_OK)
        return status;
    chosen = SNUB_NEW(reading->arena, int, bill->rows.count + 1);
    bill->columns = SNUB_NEW(reading->arena, snub_bill_column, COLUMNS_MOST);
    if (chosen == NULL || bill->columns == NULL)
        return no_memory(&b);
    for (int first = 0, end = 0; first < bill->rows.count; first = end)
        chosen[count++] = own_row(&b, first, &end);
    if (count > COLUMNS_MOST)
        return too_many(&b, count);
    for (int i = 0; i < count && status == SNUB_OK; i++)
        status = add_build(&b, chosen[i]);
    snub_digest_end(&b.digest, bill->fingerprint);
    return status == SNUB_OK ? sort(&b) : status;
}
