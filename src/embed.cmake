# Text files that the program carries: the ledger's migrations, the help pages and the shells' completions. Each becomes one C++
# source with the texts as raw string literals, made anew whenever a file changes.

function(lotwort_embed target variable header)
  set(output ${PROJECT_BINARY_DIR}/generated/${variable}.cpp)
  add_custom_command(
    OUTPUT ${output}
    COMMAND ${CMAKE_COMMAND} -DOUTPUT=${output} -DVARIABLE=${variable} -DHEADER=${header} "-DFILES=${ARGN}"
            -P ${PROJECT_SOURCE_DIR}/src/embed_files.cmake
    DEPENDS ${ARGN} ${PROJECT_SOURCE_DIR}/src/embed_files.cmake
    VERBATIM)
  target_sources(${target} PRIVATE ${output})
endfunction()

function(lotwort_embed_migrations target)
  file(GLOB files CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/migrations/*.sql)
  lotwort_embed(${target} embedded_migrations lotwort/store/embedded.hpp ${files})
endfunction()

function(lotwort_embed_pages target)
  file(GLOB files CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/docs/commands/*.md)
  lotwort_embed(${target} embedded_pages lotwort/cli/embedded.hpp ${files})
endfunction()

function(lotwort_embed_completions target)
  set(folder ${PROJECT_SOURCE_DIR}/src/completion)
  lotwort_embed(${target} embedded_completions lotwort/cli/embedded.hpp ${folder}/bash ${folder}/zsh ${folder}/fish)
endfunction()
