# The solver CBC (COIN-OR) as the target lotwort_cbc. Linked from its archives where they are: of the shared libraries
# the loader would relocate twelve at every start, `lotwort --help` included, which costs three times a small program's
# start; the archives cost a tenth of it. Elsewhere as pkg-config says.
pkg_check_modules(CBC REQUIRED IMPORTED_TARGET cbc>=2.10)

function(lotwort_archives found)
  set(paths)
  foreach(name ${ARGN})
    find_library(LOTWORT_ARCHIVE_${name} NAMES lib${name}.a)
    set(path ${LOTWORT_ARCHIVE_${name}})
    if(NOT path) # the compiler's own, beside the compiler
      execute_process(COMMAND ${CMAKE_CXX_COMPILER} -print-file-name=lib${name}.a OUTPUT_VARIABLE path
                      OUTPUT_STRIP_TRAILING_WHITESPACE)
    endif()
    if(NOT IS_ABSOLUTE "${path}")
      set(${found} "" PARENT_SCOPE)
      return()
    endif()
    list(APPEND paths ${path})
  endforeach()
  set(${found} ${paths} PARENT_SCOPE)
endfunction()

lotwort_archives(cbc_archives CbcSolver Cbc Cgl OsiClp ClpSolver Clp Osi CoinUtils lapack blas gfortran quadmath)
add_library(lotwort_cbc INTERFACE)
if(cbc_archives)
  target_include_directories(lotwort_cbc SYSTEM INTERFACE ${CBC_INCLUDE_DIRS})
  target_link_libraries(lotwort_cbc INTERFACE ${cbc_archives} bz2 z m) # these two shared: mended by Debian alone
else()
  message(STATUS "CBC's archives are not all there: it is linked from its shared libraries, and every start is slower")
  target_link_libraries(lotwort_cbc INTERFACE PkgConfig::CBC)
endif()
