/** What a sheet has of the company and of the kit's numbers. */
#include "letterhead.h"

#include <math.h>
#include <string.h>

#include "lettering.h"
#include "qr.h"

#define LOGO_WIDTH 46.0
#define LOGO_HEIGHT 13.0
#define COMPANY 3.0       /**< capitals of the company's name, mm */
#define NUMBERS_SHARE 0.3 /**< of the width: sheet number and revision at the right */
#define GAP 2.5

static const snub_type company_type = {COMPANY, true, SNUB_INK_TEXT, -1},
                       line_type = {SNUB_TYPE_SMALL, false, SNUB_INK_TEXT, -1},
                       number_type = {SNUB_TYPE_BODY, true, SNUB_INK_TEXT, 1},
                       right_type = {SNUB_TYPE_SMALL, false, SNUB_INK_TEXT, 1};

/* ---- numbers ----------------------------------------------------------------------------------------------------- */

static const char *revision_words(snub_pages *pages, const snub_house *house)
{
    const snub_revision *r = snub_house_revision(house);
    return r != NULL ? snub_pages_fill(pages, SAY("revision {revision}, {date}"), "revision", r->revision, "date",
                                       r->date, NULL)
                     : "";
}

static snub_status too_long(const snub_house *house, snub_error *error)
{
    const snub_place place = {.file = house != NULL ? house->document.name : NULL};
    return snub_fail(error, SNUB_TOO_LARGE, house != NULL ? &place : NULL, "qr", "is too long for a QR code");
}

/* ---- head of a page ---------------------------------------------------------------------------------------------- */

static double lines(snub_pages *pages, const snub_house_lines *all, double x, double y, double width, bool draw)
{
    double height = 0;
    for (int i = 0; i < all->count; i++)
        height += snub_type_block(pages, &line_type, x, y + height, width, all->line[i], draw);
    return height;
}

/* Company left, beside its logo; address and contact below its name; numbers right. */
static double band(snub_pages *pages, const snub_letterhead *head, double top, bool draw)
{
    const snub_house *house = head->house;
    const bool logo = head->logo.image != NULL || head->logo.drawing != NULL;
    const double all = pages->right - pages->left, right = all * NUMBERS_SHARE;
    const double scale = logo ? fmin(LOGO_WIDTH / head->logo.width, LOGO_HEIGHT / head->logo.height) : 0;
    const double taken = logo ? head->logo.width * scale + 4 : 0;
    const double x = pages->left + taken, room = all - taken - right - 4;
    if (draw)
        snub_picture_draw(&head->logo, pages->cr, pages->left, top, LOGO_WIDTH, LOGO_HEIGHT);
    double left_height = snub_type_block(pages, &company_type, x, top, room, house->company, draw) + 0.4;
    const bool both = house->address.count > 0 && house->contact.count > 0;
    const double half = both ? (room - 3) / 2 : room;
    const double a = lines(pages, &house->address, x, top + left_height, half, draw);
    const double b = lines(pages, &house->contact, both ? x + half + 3 : x, top + left_height, half, draw);
    left_height += fmax(a, b);
    const double at = pages->right - right;
    double right_height = snub_type_block(pages, &number_type, at, top, right, head->number, draw) + 0.4;
    if (head->revision[0] != '\0')
        right_height += snub_type_block(pages, &right_type, at, top + right_height, right, head->revision, draw);
    return fmax(fmax(left_height, right_height), logo ? LOGO_HEIGHT : 0);
}

snub_status snub_letterhead_open(snub_pages *pages, const char *kit, const char *code, const char *letter,
                                 snub_letterhead *head, snub_error *error)
{
    const snub_house *house = pages->sheet->house;
    const snub_revision *revision = snub_house_revision(house);
    const snub_house_names names = {kit, code[0] != '\0' ? code : "ALL", letter,
                                    revision != NULL ? revision->revision : ""};
    const char *number = house != NULL && house->number != NULL ? house->number
                         : kit[0] != '\0'                       ? "{kit}-{code}-{sheet}"
                                                                : "{code}-{sheet}";
    *head = (snub_letterhead){.house = house, .kit = kit, .code = code, .revision = revision_words(pages, house)};
    head->number = snub_house_fill(number, &names, false, pages->arena);
    if (head->number == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (code[0] != '\0') {
        const bool address = house != NULL && house->qr != NULL;
        head->says = snub_house_fill(address          ? house->qr
                                     : kit[0] != '\0' ? "{kit} {code}"
                                                      : "{code}",
                                     &names, address, pages->arena);
        if (head->says == NULL)
            return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
        if (isnan(snub_qr_side(head->says)))
            return too_long(house, error);
    }
    static const snub_picture_file none;
    const snub_status status = snub_picture_open(house != NULL ? &house->logo : &none, "logo", &head->logo, error);
    if (status == SNUB_OK && house != NULL)
        head->height = band(pages, head, 0, false) + GAP;
    return status;
}

void snub_letterhead_close(snub_letterhead *head)
{
    snub_picture_close(&head->logo);
}

void snub_letterhead_draw(snub_pages *pages, const snub_letterhead *head, double top)
{
    if (head->house != NULL)
        band(pages, head, top, true);
}

/* ---- code of the build ------------------------------------------------------------------------------------------- */

double snub_letterhead_code(snub_pages *pages, const snub_letterhead *head, double x, double y, double width, bool draw)
{
    if (head->says == NULL)
        return 0;
    const double side = snub_qr_side(head->says);
    const snub_type large = {4.5, true, SNUB_INK_TEXT, -1}, body = {SNUB_TYPE_BODY, false, SNUB_INK_TEXT, -1};
    const char *code = head->kit[0] != '\0'
                           ? snub_pages_fill(pages, "{kit} {code}", "kit", head->kit, "code", head->code, NULL)
                           : head->code;
    const double left = x + side + 2, room = width - side - 2;
    double height = 3;
    if (draw)
        snub_qr_draw(pages->cr, head->says, x, y);
    height += snub_type_block(pages, &large, left, y + height, room, code, draw) + 1;
    height +=
        snub_type_block(pages, &body, left, y + height, room,
                        snub_pages_fails(pages)
                            ? SAY("Code of this build. Have it ready when you call.")
                            : SAY("Code of this build. Have it ready when you call, and keep this sheet with the car."),
                        draw);
    if (head->house != NULL)
        height += lines(pages, &head->house->contact, left, y + height + 1, room, draw) + 1;
    return fmax(side, height);
}
