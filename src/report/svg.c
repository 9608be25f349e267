/* The library that draws SVG, when it is wanted. */
#include "svg.h"

#include <dlfcn.h>
#include <string.h>

static const char LIBRARY[] =
    "librsvg-2.so.2"; /* of the headers it was compiled with: a change of the ABI changes the name */

snub_status snub_svg_load(snub_svg_calls *calls, snub_error *error)
{
    /* Never called: the compiler compares the types with the header's. */
    (void)sizeof(calls->handle_new_from_data == rsvg_handle_new_from_data);
    (void)sizeof(calls->handle_get_intrinsic_size_in_pixels == rsvg_handle_get_intrinsic_size_in_pixels);
    (void)sizeof(calls->handle_get_intrinsic_dimensions == rsvg_handle_get_intrinsic_dimensions);
    (void)sizeof(calls->handle_render_document == rsvg_handle_render_document);
    const struct {
        const char *name;
        void *where;
    } wanted[] = {
        {"rsvg_handle_new_from_data", &calls->handle_new_from_data},
        {"rsvg_handle_get_intrinsic_size_in_pixels", &calls->handle_get_intrinsic_size_in_pixels},
        {"rsvg_handle_get_intrinsic_dimensions", &calls->handle_get_intrinsic_dimensions},
        {"rsvg_handle_render_document", &calls->handle_render_document},
    };
    *calls = (snub_svg_calls){0};
    void *library = dlopen(LIBRARY, RTLD_NOW | RTLD_LOCAL | RTLD_NODELETE); /* its types are registered for good */
    bool all = library != NULL;
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted && all; i++) {
        void *const found = dlsym(library, wanted[i].name);
        all = found != NULL;
        memcpy(wanted[i].where, &found, sizeof found); /* POSIX has functions and objects of one size */
    }
    if (all)
        return SNUB_OK;
    *calls = (snub_svg_calls){0};
    const char *reason = dlerror();
    return snub_fail(error, SNUB_IO, NULL, NULL, "%s", reason != NULL ? reason : LIBRARY);
}
