# The page of `snub serve` into the program: npm ci and esbuild in the build folder, then a C array.
# Without node (or with -DSNUB_PAGE=OFF) the server carries a plain notice instead.
option(SNUB_PAGE "Build the page of snub serve (needs node and npm)" ON)
find_program(SNUB_NODE NAMES node nodejs)
find_program(SNUB_NPM npm)
set(page_source ${CMAKE_SOURCE_DIR}/page)
set(page_build ${CMAKE_BINARY_DIR}/page)
set(page_assets ${page_build}/assets.c)

if(SNUB_PAGE AND SNUB_NODE AND SNUB_NPM)
    file(GLOB page_files CONFIGURE_DEPENDS ${page_source}/src/*)
    add_custom_command(
        OUTPUT ${page_build}/node_modules/.installed
        COMMAND ${CMAKE_COMMAND} -E make_directory ${page_build}
        COMMAND ${CMAKE_COMMAND} -E copy ${page_source}/package.json ${page_source}/package-lock.json ${page_source}/.npmrc
                ${page_build}
        COMMAND ${SNUB_NPM} ci --prefix ${page_build} --no-audit --no-fund --loglevel=error --ignore-scripts
        COMMAND ${CMAKE_COMMAND} -E touch ${page_build}/node_modules/.installed
        DEPENDS ${page_source}/package.json ${page_source}/package-lock.json
        WORKING_DIRECTORY ${CMAKE_BINARY_DIR}
        COMMENT "Page: npm ci" VERBATIM)
    set_property(DIRECTORY APPEND PROPERTY ADDITIONAL_CLEAN_FILES ${page_build}/dist)
    add_custom_command(
        OUTPUT ${page_assets}
        COMMAND ${CMAKE_COMMAND} -E rm -rf ${page_build}/src ${page_build}/dist
        COMMAND ${CMAKE_COMMAND} -E copy_directory ${page_source}/src ${page_build}/src
        COMMAND ${CMAKE_COMMAND} -E copy ${page_source}/build.mjs ${page_source}/tsconfig.json ${page_build}
        COMMAND ${SNUB_NODE} ${page_build}/build.mjs
        COMMAND ${CMAKE_COMMAND} -DFOLDER=${page_build}/dist -DOUT=${page_assets} -P ${page_source}/embed.cmake
        DEPENDS ${page_build}/node_modules/.installed ${page_files} ${page_source}/build.mjs ${page_source}/tsconfig.json
                ${page_source}/embed.cmake
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
