# The page of `snub serve` into the program: esbuild, then a C array. Where scripts/setup.sh has not installed the page's
# packages beside their lock file, npm ci does so in the build folder.
# Without node (or with -DSNUB_PAGE=OFF) the server carries a plain notice instead.
find_program(SNUB_NODE NAMES node nodejs)
find_program(SNUB_NPM npm)
set(page_source ${CMAKE_SOURCE_DIR}/page)
set(page_build ${CMAKE_BINARY_DIR}/page)
set(page_assets ${page_build}/assets.c)

if(SNUB_PAGE AND SNUB_NODE AND SNUB_NPM)
    file(GLOB page_files CONFIGURE_DEPENDS ${page_source}/src/*)
    if(EXISTS ${page_source}/node_modules/esbuild AND EXISTS ${page_source}/node_modules/uplot)
        set(page_home ${page_source})
        set(page_packages ${page_source}/package-lock.json)
        set(page_prepare ${CMAKE_COMMAND} -E make_directory ${page_build})
    else()
        set(page_home ${page_build})
        set(page_packages ${page_build}/node_modules/.installed)
        set(page_prepare ${CMAKE_COMMAND} -E copy_directory ${page_source}/src ${page_build}/src)
        add_custom_command(
            OUTPUT ${page_packages}
            COMMAND ${CMAKE_COMMAND} -E make_directory ${page_build}
            COMMAND ${CMAKE_COMMAND} -E copy ${page_source}/package.json ${page_source}/package-lock.json
                    ${page_source}/.npmrc ${page_source}/build.mjs ${page_source}/tsconfig.json ${page_build}
            COMMAND ${SNUB_NPM} ci --prefix ${page_build} --no-audit --no-fund --loglevel=error --ignore-scripts
            COMMAND ${CMAKE_COMMAND} -E touch ${page_packages}
            DEPENDS ${page_source}/package.json ${page_source}/package-lock.json ${page_source}/build.mjs
            COMMENT "Page: npm ci" VERBATIM)
    endif()
    add_custom_command(
        OUTPUT ${page_assets}
        COMMAND ${CMAKE_COMMAND} -E rm -rf ${page_build}/dist
        COMMAND ${page_prepare}
        COMMAND ${SNUB_NODE} ${page_home}/build.mjs ${page_build}/dist "${wasm_core}" ${page_packer}
        COMMAND ${CMAKE_COMMAND} -DFOLDER=${page_build}/dist -DOUT=${page_assets} -P ${page_source}/embed.cmake
        DEPENDS ${page_packages} ${page_files} ${wasm_core} ${wasm_charts} ${page_source}/build.mjs ${page_source}/embed.cmake
        COMMENT "Page: bundle and embed" VERBATIM)
else()
    if(SNUB_PAGE)
        message(WARNING "node or npm is missing: snub serve will show a plain notice instead of its page")
    endif()
    file(GLOB page_files CONFIGURE_DEPENDS ${page_source}/notice/*)
    add_custom_command(
        OUTPUT ${page_assets}
        COMMAND ${CMAKE_COMMAND} -E make_directory ${page_build}
        COMMAND ${CMAKE_COMMAND} -DFOLDER=${page_source}/notice -DOUT=${page_assets} -P ${page_source}/embed.cmake
        DEPENDS ${page_files} ${page_source}/embed.cmake
        COMMENT "Page: plain notice" VERBATIM)
endif()
