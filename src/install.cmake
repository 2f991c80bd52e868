# What `cmake --install` puts where, in two parts: `program` (lotwort, its manual pages and completions) and `library`
# (headers, archives and the files that find_package(lotwort) reads). `cpack` makes a Debian package of each.
# Debian's folder for the machine's own libraries, whatever the prefix.
if(CMAKE_LIBRARY_ARCHITECTURE AND NOT DEFINED CMAKE_INSTALL_LIBDIR)
  set(CMAKE_INSTALL_LIBDIR lib/${CMAKE_LIBRARY_ARCHITECTURE} CACHE PATH "Folder of libraries below the prefix")
endif()
include(GNUInstallDirs)

# Manual pages, from docs/commands: the program writes them itself.
file(GLOB pages CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/docs/commands/*.md)
set(manuals)
foreach(page ${pages})
  get_filename_component(name ${page} NAME_WE)
  set(manual ${PROJECT_BINARY_DIR}/man/lotwort-${name}.1)
  if(name STREQUAL lotwort)
    set(manual ${PROJECT_BINARY_DIR}/man/lotwort.1)
  endif()
  list(APPEND writing COMMAND $<TARGET_FILE:lotwort> --manual ${name} > ${manual})
  list(APPEND writing COMMAND gzip -9nf ${manual})
  list(APPEND manuals ${manual}.gz)
endforeach()
file(MAKE_DIRECTORY ${PROJECT_BINARY_DIR}/man)
add_custom_command(TARGET lotwort POST_BUILD ${writing} COMMENT "Writing the manual pages")

install(TARGETS lotwort RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR} COMPONENT program)
install(FILES ${manuals} DESTINATION ${CMAKE_INSTALL_MANDIR}/man1 COMPONENT program)
install(FILES src/completion/bash DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions
        RENAME lotwort COMPONENT program)
install(FILES src/completion/zsh DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/vendor-completions
        RENAME _lotwort COMPONENT program)
install(FILES src/completion/fish DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d
        RENAME lotwort.fish COMPONENT program)
install(FILES README.md docs/exchange.md docs/exchange.schema.json docs/ledger.md DESTINATION ${CMAKE_INSTALL_DOCDIR}
        COMPONENT program)
install(DIRECTORY docs/schemas DESTINATION ${CMAKE_INSTALL_DOCDIR} COMPONENT program)
# Whose work it holds, and what is new: of each package its own.
file(WRITE ${PROJECT_BINARY_DIR}/changelog
"lotwort (${PROJECT_VERSION}) unstable; urgency=medium

  * Stock by lot, plans, brews, reconciliation, substitution, purchase.

 -- the lotwort brewers <lotwort@example.org>  Sun, 29 Nov 2026 12:00:00 +0000
")
execute_process(COMMAND gzip -9nkf ${PROJECT_BINARY_DIR}/changelog)
foreach(package program:lotwort library:liblotwort-dev)
  string(REGEX REPLACE ":.*" "" component ${package})
  string(REGEX REPLACE ".*:" "" name ${package})
  install(FILES docs/copyright ${PROJECT_BINARY_DIR}/changelog.gz DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/${name}
          COMPONENT ${component})
endforeach()
# The library. lotwort::lotwort is all of it but the command line; lotwort::wort and the other rooms are to be had alone.
set(rooms core wort stats stock brew infer plan store exchange report desk)
add_library(lotwort_all INTERFACE)
set_target_properties(lotwort_all PROPERTIES EXPORT_NAME lotwort)
foreach(room ${rooms})
  target_link_libraries(lotwort_all INTERFACE lotwort_${room})
  set_target_properties(lotwort_${room} PROPERTIES EXPORT_NAME ${room})
endforeach()
list(TRANSFORM rooms PREPEND lotwort_ OUTPUT_VARIABLE room_targets)
install(TARGETS lotwort_all ${room_targets} lotwort_options lotwort_cbc EXPORT lotwort
        ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT library)
install(DIRECTORY include/lotwort DESTINATION ${CMAKE_INSTALL_INCLUDEDIR} COMPONENT library
        PATTERN cli EXCLUDE PATTERN verbs EXCLUDE)
set(package ${CMAKE_INSTALL_LIBDIR}/cmake/lotwort)
install(EXPORT lotwort NAMESPACE lotwort:: DESTINATION ${package} FILE lotwort-targets.cmake COMPONENT library)
include(CMakePackageConfigHelpers)
write_basic_package_version_file(${PROJECT_BINARY_DIR}/lotwort-config-version.cmake COMPATIBILITY SameMinorVersion)
install(FILES src/lotwort-config.cmake ${PROJECT_BINARY_DIR}/lotwort-config-version.cmake DESTINATION ${package}
        COMPONENT library)

# For builds without CMake: `pkg-config --cflags --libs lotwort`.
list(TRANSFORM rooms PREPEND -llotwort_ OUTPUT_VARIABLE linked)
list(REVERSE linked)
list(JOIN linked " " linked)
file(RELATIVE_PATH up /${CMAKE_INSTALL_LIBDIR}/pkgconfig /)
file(CONFIGURE OUTPUT ${PROJECT_BINARY_DIR}/lotwort.pc CONTENT
"prefix=\${pcfiledir}/@up@
Name: lotwort
Description: @PROJECT_DESCRIPTION@
Version: @PROJECT_VERSION@
Requires: sqlite3 fmt tomlplusplus cbc libqrencode
Cflags: -std=c++20 -I\${prefix}/include -I/usr/include/eigen3
Libs: -L\${pcfiledir}/.. @linked@
" @ONLY)
install(FILES ${PROJECT_BINARY_DIR}/lotwort.pc DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig COMPONENT library)

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_CONTACT "the lotwort brewers <lotwort@example.org>")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_COMPONENTS_ALL program library)
set(CPACK_STRIP_FILES ON)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME lotwort)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SECTION misc)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SHLIBDEPS ON)
set(CPACK_COMPONENT_PROGRAM_DESCRIPTION "Keeps a brewery's stock by lot with certificates of analysis, and balances the
readings of each brew into efficiencies with honest intervals.")
set(CPACK_DEBIAN_LIBRARY_PACKAGE_NAME liblotwort-dev)
set(CPACK_DEBIAN_LIBRARY_PACKAGE_SECTION libdevel)
# The compiler's own archives go with its version.
string(REGEX MATCH "^[0-9]+" fortran "${CMAKE_CXX_COMPILER_VERSION}")
if(NOT CMAKE_CXX_COMPILER_ID STREQUAL GNU)
  execute_process(COMMAND gcc -dumpversion OUTPUT_VARIABLE fortran OUTPUT_STRIP_TRAILING_WHITESPACE)
endif()
set(CPACK_DEBIAN_LIBRARY_PACKAGE_DEPENDS
    "libsqlite3-dev, libboost-dev, libhowardhinnant-date-dev, libeigen3-dev, nlohmann-json3-dev, libtomlplusplus-dev, libfmt-dev, coinor-libcbc-dev, zlib1g-dev, libqrencode-dev, libgfortran-${fortran}-dev")
set(CPACK_COMPONENT_LIBRARY_DESCRIPTION "Headers and archives of the library for C++20 programs, found by CMake's
find_package.")
include(CPack)
