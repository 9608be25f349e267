# The rooms as one library for other programs: libsnub.a, include/snub and snub.pc. docs/guide/library.md.
#
# One archive instead of one for each room: rooms know one another, and a linker that reads archives in order would want
# them listed by someone who knows in which.
set(objects "")
foreach(room IN LISTS SNUB_ROOMS)
    get_target_property(kind snub_${room} TYPE)
    if(kind STREQUAL "STATIC_LIBRARY")
        list(APPEND objects $<TARGET_OBJECTS:snub_${room}>)
    endif()
endforeach()
add_library(snub_library STATIC ${objects})
set_target_properties(snub_library PROPERTIES OUTPUT_NAME snub LINKER_LANGUAGE C)

# The archive is static, so whoever links it links these too: they are public in snub.pc, not private.
set(pc_requires yaml-0.1 sqlite3 cairo pangocairo xlsxwriter jansson libqrencode lapacke nlopt sleef)
list(JOIN pc_requires " " pc_requires)
set(pc_libraries "-ludunits2 -lcsv -lz -lsundials_cvodes -lsundials_nvecserial -lsundials_sunmatrixdense -lsundials_sunlinsoldense -lsundials_sunnonlinsolfixedpoint -lm ${OpenMP_C_FLAGS}")
if(SNUB_MPI)
    list(JOIN MPI_C_LIBRARIES " " mpi_libraries)
    string(APPEND pc_libraries " ${mpi_libraries}")
endif()
set(pc_folder ${CMAKE_INSTALL_LIBDIR}/pkgconfig)
# The prefix is found from where snub.pc lies: the installed tree may be moved.
file(RELATIVE_PATH pc_up /${pc_folder} /)
string(REGEX REPLACE "/$" "" pc_up "${pc_up}")
configure_file(${CMAKE_SOURCE_DIR}/cmake/snub.pc.in ${CMAKE_BINARY_DIR}/snub.pc @ONLY)

install(TARGETS snub_library ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT development)
install(DIRECTORY include/snub DESTINATION ${CMAKE_INSTALL_INCLUDEDIR} COMPONENT development
        FILES_MATCHING PATTERN "*.h" PATTERN "*.inc")
install(FILES ${CMAKE_BINARY_DIR}/snub.pc DESTINATION ${pc_folder} COMPONENT development)
