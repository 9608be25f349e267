# `make package`: a .deb of the program for Debian 12, by CPack. The library (cmake/library.cmake) stays out.
# docs/decisions/048-a-package.md.
set(SNUB_MAINTAINER "the snub authors <snub@example.org>" CACHE STRING "Who packs: name and address in the .deb")

# ---- what goes beside the program, into any prefix ----------------------------------------------------------------
set(doc ${CMAKE_INSTALL_DATADIR}/doc/snub)
file(READ LICENSE licence)
string(REGEX MATCH "Copyright \\(c\\) ([^\n]+)\n+(.*)" licence "${licence}")
set(copyright "${CMAKE_MATCH_1}")
string(STRIP "${CMAKE_MATCH_2}" license)
string(REPLACE "\n\n" "\n.\n" license "${license}")
string(REPLACE "\n" "\n " license " ${license}")
if(SNUB_PAGE AND SNUB_NODE AND SNUB_NPM) # the one package that is bundled into the page (page/package.json)
    set(copyright_of_page "
Files: page/node_modules/uplot/*
Copyright: 2022 Leon Sorokin
License: Expat
Comment: uPlot, in the page of `snub serve`.
")
endif()
configure_file(cmake/package/copyright.in ${CMAKE_BINARY_DIR}/copyright @ONLY)
install(FILES ${CMAKE_BINARY_DIR}/copyright README.md CHANGELOG.md DESTINATION ${doc})
install(DIRECTORY docs/guide docs/theory docs/pictures DESTINATION ${doc}/docs)
install(FILES page/src/mark.svg DESTINATION ${CMAKE_INSTALL_DATADIR}/icons/hicolor/scalable/apps RENAME snub.svg)
install(PROGRAMS app/desktop/open.sh DESTINATION ${CMAKE_INSTALL_LIBEXECDIR}/snub RENAME open)
# The entry names the program by its full path, which is known when it is installed.
install(CODE "set(open \"\${CMAKE_INSTALL_PREFIX}/${CMAKE_INSTALL_LIBEXECDIR}/snub/open\")
    set(entry \"\$ENV{DESTDIR}\${CMAKE_INSTALL_PREFIX}/${CMAKE_INSTALL_DATADIR}/applications/snub.desktop\")
    configure_file(\"${CMAKE_SOURCE_DIR}/app/desktop/snub.desktop.in\" \"\${entry}\" @ONLY)
    message(STATUS \"Installing: \${entry}\")")

# ---- the package --------------------------------------------------------------------------------------------------
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_CONTACT "${SNUB_MAINTAINER}")
set(CPACK_INSTALL_PREFIX /usr)
set(CPACK_SET_DESTDIR ON) # so that what is written at the time of installing knows that it will be in /usr
set(CPACK_INSTALL_CMAKE_PROJECTS "${CMAKE_BINARY_DIR};snub;Unspecified;/") # not the component `development`
set(CPACK_PRE_BUILD_SCRIPTS ${CMAKE_SOURCE_DIR}/cmake/package/stage.cmake)
set(CPACK_STRIP_FILES ON)
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "workbench for belt-driven superchargers")
set(CPACK_DEBIAN_PACKAGE_NAME snub)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PACKAGE_DESCRIPTION "Describes the belt drive in front of an engine in one text file, chooses
belt and idler setting for every blower pulley of a kit, checks grip,
bearings, bolts and clearance, and prints application chart, fitting sheet,
parts list and full-size template. A local page shows the drive in a browser.")
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_DEPENDS "fonts-liberation, librsvg2-2") # the face of drawings and sheets, and what is loaded when a picture is SVG
set(CPACK_DEBIAN_PACKAGE_RECOMMENDS "xdg-utils, xdg-user-dirs")
include(CPack)
