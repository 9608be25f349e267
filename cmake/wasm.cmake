# The core in the browser: the rooms that read, settle and judge, and the server's answers, for WebAssembly. Needs
# Debian's clang, lld, wasi-libc and libclang-rt-14-dev-wasm32; without them (or with -DSNUB_WASM=OFF) the page asks the
# server for everything. app/wasm/core.h
option(SNUB_WASM "Build the core for the browser (needs clang, wasm-ld and wasi-libc)" ON)
find_program(SNUB_WASM_CC NAMES clang-14 clang)
find_program(SNUB_WASM_LD NAMES wasm-ld-14 wasm-ld)
set(wasm_libc /usr/lib/wasm32-wasi)
file(GLOB wasm_builtins /usr/lib/llvm-14/lib/clang/*/lib/wasi/libclang_rt.builtins-wasm32.a)
set(wasm_core "")
# Packs what the page is sent as, where it is there: a twentieth smaller than gzip makes it.
find_program(SNUB_ZOPFLI zopfli)
if(SNUB_ZOPFLI)
    set(page_packer ${SNUB_ZOPFLI})
endif()

cmake_policy(SET CMP0116 OLD) # else each compilation starts cmake once more, to rewrite what the compiler already wrote as wanted

if(SNUB_WASM AND SNUB_PAGE AND SNUB_WASM_CC AND SNUB_WASM_LD AND EXISTS ${wasm_libc}/libc.a AND wasm_builtins)
    set(wasm_build ${CMAKE_BINARY_DIR}/wasm)
    set(wasm_core ${wasm_build}/core.wasm)
    set(wasm_flags --target=wasm32-wasi -std=c17 -msign-ext -mbulk-memory -mnontrapping-fptoint -ffunction-sections
        -fdata-sections -Wall -Wextra -Wconversion -Wshadow -Werror -Wno-unknown-pragmas -D_POSIX_C_SOURCE=200809L
        ${from_root} -I${CMAKE_SOURCE_DIR}/include -I${CMAKE_SOURCE_DIR}/src -I${CMAKE_SOURCE_DIR}/app/serve -I${CMAKE_SOURCE_DIR}/src/base)
    set(wasm_sources "")
    foreach(room num layout demand balance motion mount kit)
        file(GLOB room_sources CONFIGURE_DEPENDS src/${room}/*.c)
        list(APPEND wasm_sources ${room_sources})
    endforeach()
    list(FILTER wasm_sources EXCLUDE REGEX "/src/balance/batch") # for many kits, which no frame has
    foreach(name arena day error_list error_render hidden locale nearest number safe_text sha256
            shown_units status text units units_normalise units_table utf8)
        list(APPEND wasm_sources ${CMAKE_SOURCE_DIR}/src/base/${name}.c)
    endforeach()
    foreach(name answer case change_value chart curves lay measure problem reading request shape side)
        list(APPEND wasm_sources ${CMAKE_SOURCE_DIR}/app/serve/${name}.c)
    endforeach()
    list(APPEND wasm_sources ${CMAKE_SOURCE_DIR}/src/draw/view_section.c) # the side view's section
    # Of the reports all but paper: what is not asked for is left out by the linker.
    file(GLOB report_sources CONFIGURE_DEPENDS src/report/*.c)
    foreach(source IN LISTS report_sources)
        file(STRINGS ${source} paper REGEX "#include.*(pango|cairo|pages|paper|picture|qr\\.|sheet_|table_page|svg|xlsx|letter|ruler|template)" LIMIT_COUNT 1)
        if(NOT paper)
            list(APPEND wasm_sources ${source})
        endif()
    endforeach()
    # Linked last: of the orders of rooms that were tried the one that packs best.
    file(GLOB last_sources CONFIGURE_DEPENDS app/wasm/*.c)
    file(GLOB drive_sources CONFIGURE_DEPENDS src/drive/*.c)
    list(APPEND wasm_sources ${last_sources} ${drive_sources})
    list(REMOVE_ITEM wasm_sources ${CMAKE_SOURCE_DIR}/src/drive/document.c) # YAML
    # A chart spends half its time in these rooms, and a frame a third: they are made for speed, with two numbers at a time where a
    # table is filled. What else takes time is made for size as far as that costs little, the rest for size alone.
    set(wasm_fast "^src/(num/(curve|root|surface)|layout/(pass|lie|reach)|balance/(solve|span))" -O2 -msimd128)
    set(wasm_even "^src/(balance/(expand|rig)|layout/path|kit/loads)" -Os)
    set(wasm_small "" -Oz)
    # The core with charts and curves, which nobody waits for with the page, is made for speed throughout, and its rooms into one
    # another where that is faster.
    set(wasm_charted "^src/(num|layout|balance|kit|demand|mount|motion)/" -O2 -msimd128 -flto)
    list(GET wasm_charted 0 of_charts)
    list(SUBLIST wasm_charted 1 -1 wasm_charts_pace)
    set(wasm_objects "")
    set(wasm_charts_objects "")
    foreach(source IN LISTS wasm_sources)
        cmake_path(RELATIVE_PATH source BASE_DIRECTORY ${CMAKE_SOURCE_DIR} OUTPUT_VARIABLE name)
        foreach(pace fast even small)
            list(GET wasm_${pace} 0 of)
            if(name MATCHES "${of}")
                list(SUBLIST wasm_${pace} 1 -1 wasm_pace)
                break()
            endif()
        endforeach()
        set(kinds "")
        if(name STREQUAL "app/wasm/core.c" OR name MATCHES "${of_charts}")
            set(kinds .charts)
        endif()
        string(REPLACE "/" "_" name ${name})
        cmake_path(GET source PARENT_PATH folder)
        foreach(kind IN LISTS kinds ITEMS "")
            set(object ${wasm_build}/${name}${kind}.o)
            set(wasm_kind "")
            if(kind)
                set(wasm_kind -DCORE_CHARTS ${wasm_charts_pace})
            endif()
            add_custom_command(OUTPUT ${object}
                COMMAND ${CMAKE_C_COMPILER_LAUNCHER} ${SNUB_WASM_CC} ${wasm_flags} ${wasm_pace} ${wasm_kind} -I${folder} -MD -MT wasm/${name}${kind}.o -MF
                        ${object}.d -c ${source} -o ${object}
                DEPENDS ${source} DEPFILE wasm/${name}${kind}.o.d COMMENT "Browser: ${name}${kind}" VERBATIM)
            if(NOT kind AND NOT name MATCHES "^src_(kit_flap_spans|drive_read_search|drive_read_sample|drive_read_tolerances)\\.c") # app/wasm/core.c
                list(APPEND wasm_objects ${object})
            endif()
            if((kind OR NOT kinds) AND NOT name MATCHES "^src_drive_read_sample\\.c") # app/wasm/core.c
                list(APPEND wasm_charts_objects ${object})
            endif()
        endforeach()
    endforeach()
    file(MAKE_DIRECTORY ${wasm_build})
    # Binaryen's optimiser, where it is there: a tenth smaller, and a little faster. The linker leaves the lowest 1024 bytes empty.
    find_program(SNUB_WASM_OPT NAMES wasm-opt)
    if(SNUB_WASM_OPT)
        set(wasm_shrink COMMAND ${SNUB_WASM_OPT} -Oz --converge --low-memory-unused --enable-sign-ext --enable-bulk-memory --enable-nontrapping-float-to-int
            --enable-simd MADE -o MADE)
    endif()
    if(page_packer)
        set(wasm_pack COMMAND ${page_packer} --gzip MADE) # here, since it takes longer than all of the page
    endif()
    # Twice: the one that is sent with the page, and the one with charts and curves, which is sent when they are opened.
    set(wasm_charts ${wasm_build}/charts.wasm)
    foreach(made core charts)
        set(objects ${wasm_objects})
        if(made STREQUAL "charts")
            set(objects ${wasm_charts_objects})
            list(REMOVE_ITEM objects ${wasm_build}/app_wasm_math_stand_in.c.o) # the C library's own are a twentieth faster in a chart
        endif()
        set(wasm_made ${wasm_build}/${made}.wasm)
        string(REPLACE "MADE" ${wasm_made} shrink "${wasm_shrink}")
        if(made STREQUAL "charts")
            string(REPLACE "-Oz;--converge" "-O3" shrink "${shrink}")
        endif()
        string(REPLACE "MADE" ${wasm_made} pack "${wasm_pack}")
        add_custom_command(OUTPUT ${wasm_made}
            COMMAND ${SNUB_WASM_LD} --no-entry --gc-sections --strip-all -z stack-size=1048576 -L${wasm_libc}
                    ${wasm_libc}/crt1-reactor.o ${objects} -lc -lm ${wasm_builtins} -o ${wasm_made}
            ${shrink}
            ${pack}
            DEPENDS ${objects} COMMENT "Browser: link ${made}" VERBATIM)
    endforeach()
elseif(SNUB_WASM AND SNUB_PAGE)
    message(WARNING "clang, wasm-ld, wasi-libc or its clang-rt is missing: the page will ask the server for every frame")
endif()
