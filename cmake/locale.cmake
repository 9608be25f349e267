# Message catalogues: po/LANGUAGE.po compiled by gettext's msgfmt into build/locale, installed to share/snub/locale.
find_program(MSGFMT msgfmt)
file(GLOB catalogues CONFIGURE_DEPENDS po/*.po)
if(MSGFMT)
    set(compiled "")
    foreach(source IN LISTS catalogues)
        cmake_path(GET source STEM language)
        set(output ${CMAKE_BINARY_DIR}/locale/${language}.mo)
        add_custom_command(OUTPUT ${output}
            COMMAND ${CMAKE_COMMAND} -E make_directory ${CMAKE_BINARY_DIR}/locale
            COMMAND ${MSGFMT} --check-format --endianness=little -o ${output} ${source}
            DEPENDS ${source} VERBATIM)
        list(APPEND compiled ${output})
        install(FILES ${output} DESTINATION ${CMAKE_INSTALL_DATADIR}/snub/locale)
    endforeach()
    # a language whose catalogue is gone is no language of this build any more
    file(GLOB built ${CMAKE_BINARY_DIR}/locale/*.mo)
    foreach(left IN LISTS built)
        if(NOT left IN_LIST compiled)
            file(REMOVE ${left})
        endif()
    endforeach()
    add_custom_target(locale ALL DEPENDS ${compiled})
    if(TARGET snub)
        add_dependencies(snub locale)
    endif()
else()
    message(STATUS "msgfmt not found: sheets in English only")
endif()
