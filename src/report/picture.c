/* Pictures of the user's own. */
#include "picture.h"

#include <string.h>

enum {
    PIXELS_MOST = 4000, /**< on a side: 64 MB as cairo holds it */
    PNG_HEAD = 24       /**< signature, length and name of the first chunk, width, height */
};

typedef struct named {
    const snub_picture_file *file;
    const char *key;
} named;

static snub_status wrong(const named *from, snub_status status, snub_error *error, const char *message,
                         const char *need)
{
    snub_fail(error, status, &from->file->place, from->key, "%s", message);
    if (error != NULL) {
        snprintf(error->got, sizeof error->got, "%.90s", from->file->name);
        snprintf(error->need, sizeof error->need, "%s", need);
    }
    return status;
}

/* ---- PNG --------------------------------------------------------------------------------------------------------- */

typedef struct bytes {
    const char *at;
    size_t left;
} bytes;

static cairo_status_t read_bytes(void *context, unsigned char *to, unsigned int length)
{
    bytes *from = context;
    if (length > from->left)
        return CAIRO_STATUS_READ_ERROR;
    memcpy(to, from->at, length);
    from->at += length;
    from->left -= length;
    return CAIRO_STATUS_SUCCESS;
}

static uint32_t big_endian(const char *at)
{
    const unsigned char *b = (const unsigned char *)at;
    return (uint32_t)b[0] << 24 | (uint32_t)b[1] << 16 | (uint32_t)b[2] << 8 | b[3];
}

static snub_status open_png(const named *from, snub_picture *picture, snub_error *error)
{
    const uint32_t width = from->file->length >= PNG_HEAD ? big_endian(from->file->data + 16) : 0;
    const uint32_t height = from->file->length >= PNG_HEAD ? big_endian(from->file->data + 20) : 0;
    if (width > PIXELS_MOST || height > PIXELS_MOST) /* told by the head, before memory is taken for it */
        return wrong(from, SNUB_TOO_LARGE, error, "has too many pixels", "at most 4000 by 4000");
    bytes left = {from->file->data, from->file->length};
    cairo_surface_t *image = cairo_image_surface_create_from_png_stream(read_bytes, &left);
    const cairo_status_t status = cairo_surface_status(image);
    if (status == CAIRO_STATUS_SUCCESS && width > 0 && height > 0) {
        *picture = (snub_picture){.image = image, .width = width, .height = height};
        return SNUB_OK;
    }
    cairo_surface_destroy(image);
    return status == CAIRO_STATUS_NO_MEMORY ? wrong(from, SNUB_NO_MEMORY, error, "out of memory", "")
                                            : wrong(from, SNUB_BAD_INPUT, error, "is damaged: no whole PNG", "");
}

/* ---- SVG --------------------------------------------------------------------------------------------------------- */

/* What follows stays in the file: a name in it, or data that are written out. */
static bool is_inside(const char *at)
{
    at += strspn(at, " \t\r\n\"'");
    return *at == '#' || strncmp(at, "data:", 5) == 0;
}

/* Ways in which SVG names other files. The library opens none of them without a base address, but draws nothing in
 * their place: a picture with a hole would be printed. */
static bool refers_outside(const char *text)
{
    static const char *const other[] = {"@import", "<!ENTITY", "<?xml-stylesheet"};
    for (size_t i = 0; i < sizeof other / sizeof other[0]; i++)
        if (strstr(text, other[i]) != NULL)
            return true;
    for (const char *at = text; (at = strstr(at, "href")) != NULL;) {
        at += strlen("href");
        const char *value = at + strspn(at, " \t\r\n");
        if (*value == '=' && !is_inside(value + 1))
            return true;
    }
    for (const char *at = text; (at = strstr(at, "url(")) != NULL;) {
        at += strlen("url(");
        if (!is_inside(at))
            return true;
    }
    return false;
}

static bool size_of(const snub_svg_calls *svg, RsvgHandle *picture, double *width, double *height)
{
    gboolean has_width, has_height, has_box;
    RsvgLength unused;
    RsvgRectangle box;
    if (svg->handle_get_intrinsic_size_in_pixels(picture, width, height) && *width > 0 && *height > 0)
        return true;
    svg->handle_get_intrinsic_dimensions(picture, &has_width, &unused, &has_height, &unused, &has_box, &box);
    *width = has_box ? box.width : 0;
    *height = has_box ? box.height : 0;
    return *width > 0 && *height > 0;
}

static snub_status open_svg(const named *from, snub_picture *picture, snub_error *error)
{
    GError *reason = NULL;
    if (strlen(from->file->data) != from->file->length)
        return wrong(from, SNUB_BAD_INPUT, error, "is neither SVG nor PNG", "one of them");
    if (refers_outside(from->file->data))
        return wrong(from, SNUB_BAD_INPUT, error, "refers to something outside of the file",
                     "pictures, fonts and styles embedded");
    snub_svg_calls svg;
    snub_error missing;
    if (snub_svg_load(&svg, &missing) != SNUB_OK) {
        char message[240];
        snprintf(message, sizeof message, "is SVG, and the library that draws it does not load: %.160s",
                 missing.message);
        return wrong(from, SNUB_IO, error, message, "a PNG file, or librsvg");
    }
    RsvgHandle *drawing = svg.handle_new_from_data((const guint8 *)from->file->data, from->file->length, &reason);
    if (drawing == NULL) {
        char message[200];
        snprintf(message, sizeof message, "cannot be read as SVG: %.150s", reason != NULL ? reason->message : "");
        g_clear_error(&reason);
        return wrong(from, SNUB_BAD_INPUT, error, message, "an SVG or a PNG file");
    }
    *picture = (snub_picture){.drawing = drawing, .svg = svg};
    if (size_of(&svg, drawing, &picture->width, &picture->height))
        return SNUB_OK;
    snub_picture_close(picture);
    return wrong(from, SNUB_BAD_INPUT, error, "has no size", "a viewBox, or width and height, in its svg element");
}

/* ---- either ------------------------------------------------------------------------------------------------------ */

snub_status snub_picture_open(const snub_picture_file *file, const char *key, snub_picture *picture, snub_error *error)
{
    static const char signature[] = "\x89PNG\r\n\x1a\n";
    const named from = {file, key};
    *picture = (snub_picture){0};
    if (file->data == NULL)
        return SNUB_OK;
    if (file->length >= 8 && memcmp(file->data, signature, 8) == 0)
        return open_png(&from, picture, error);
    return open_svg(&from, picture, error);
}

void snub_picture_close(snub_picture *picture)
{
    if (picture->image != NULL)
        cairo_surface_destroy(picture->image);
    if (picture->drawing != NULL)
        g_object_unref(picture->drawing);
    *picture = (snub_picture){0};
}

double snub_picture_draw(const snub_picture *picture, cairo_t *cr, double x, double y, double width, double height)
{
    if (picture->image == NULL && picture->drawing == NULL)
        return 0;
    const double by_width = width / picture->width, by_height = height / picture->height;
    const double scale = by_width < by_height ? by_width : by_height;
    const RsvgRectangle box = {x, y + (height - picture->height * scale) / 2, picture->width * scale,
                               picture->height * scale};
    bool drawn = true;
    cairo_save(cr);
    if (picture->image != NULL) {
        cairo_translate(cr, box.x, box.y);
        cairo_scale(cr, scale, scale);
        cairo_set_source_surface(cr, picture->image, 0, 0);
        cairo_paint(cr);
    } else {
        drawn = picture->svg.handle_render_document(picture->drawing, cr, &box, NULL);
    }
    cairo_restore(cr);
    cairo_new_path(cr);
    return drawn ? box.width : 0;
}
