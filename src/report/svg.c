/* The library that draws SVG, when it is wanted. */
#include "svg.h"

#include <dlfcn.h>
#include <string.h>

/* Of the headers it was compiled with: a change of the ABI changes the name. */
static const char LIBRARY[] = "librsvg-2.so.2";

snub_status snub_svg_load(snub_svg_calls *calls, snub_error *error)
{
/* The comparison is not made: the compiler sees by it that the types are the header's. */
#define CALL(function)                                                                                                 \
    {                                                                                                                  \
        "rsvg_" #function, ((void)sizeof(calls->function == rsvg_##function), (void *)&calls->function)                \
    }
    const struct {
        const char *name;
        void *where;
    } wanted[] = {
        CALL(handle_new_from_data),
        CALL(handle_get_intrinsic_size_in_pixels),
        CALL(handle_get_intrinsic_dimensions),
        CALL(handle_render_document),
    };
#undef CALL
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
