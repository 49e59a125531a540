# station_pages(<target>): station/web/** and the sentences go into the program, through the assembler's .incbin, so
# that a changed file costs no C++ compilation. The table of them is written when CMake runs; the glob makes it run
# again when a file is added or goes. No file at all is an empty table.
#
# foreign/chart.js is Debian's Chart.js (MIT; its notice stands at its head), taken from the system so that no foreign
# code lies among ours. The audit page alone asks for it. foreign/nacl.js is Debian's TweetNaCl (public domain), for the
# page that checks tags in a browser without Ed25519 of its own.
set(CRIMPGATE_CHART_JS /usr/share/javascript/chart.js/chart.min.js CACHE FILEPATH "Chart.js 3, of libjs-chart.js")
set(CRIMPGATE_NACL_JS /usr/share/nodejs/tweetnacl/nacl-fast.min.js CACHE FILEPATH "TweetNaCl, of node-tweetnacl")
function(station_pages target)
  set(web ${CMAKE_CURRENT_SOURCE_DIR}/web)
  file(GLOB_RECURSE files CONFIGURE_DEPENDS RELATIVE ${web}
       ${web}/*.html ${web}/*.js ${web}/*.css ${web}/*.svg ${web}/*.json ${web}/*.png ${web}/*.webmanifest)
  list(SORT files)
  file(GLOB words CONFIGURE_DEPENDS RELATIVE ${CMAKE_CURRENT_SOURCE_DIR} words/*.json)
  list(SORT words)
  set(data "/* Made by web_embed.cmake. */\n.section .rodata\n")
  set(externs "")
  set(rows "")
  set(sources "")
  set(number 0)
  if(NOT EXISTS ${CRIMPGATE_CHART_JS})
    message(FATAL_ERROR "${CRIMPGATE_CHART_JS} is not there: tools/setup installs it (libjs-chart.js)")
  endif()
  if(NOT EXISTS ${CRIMPGATE_NACL_JS})
    message(FATAL_ERROR "${CRIMPGATE_NACL_JS} is not there: tools/setup installs it (node-tweetnacl)")
  endif()
  set(foreign foreign/chart.js foreign/nacl.js)
  set(all ${files} ${words} ${foreign})
  list(SORT all)
  foreach(file IN LISTS all)
    set(source ${web}/${file})
    if(file IN_LIST foreign)
      set(source ${CRIMPGATE_CHART_JS})
      if(file STREQUAL "foreign/nacl.js")
        set(source ${CRIMPGATE_NACL_JS})
      endif()
    endif()
    if(file IN_LIST words)
      set(source ${CMAKE_CURRENT_SOURCE_DIR}/${file})
    endif()
    list(APPEND sources ${source})
    string(APPEND data ".globl page_${number}_begin\n.globl page_${number}_end\npage_${number}_begin:\n"
                       ".incbin \"${source}\"\npage_${number}_end:\n.byte 0\n")
    string(APPEND externs "extern const char page_${number}_begin[], page_${number}_end[];\n")
    string(APPEND rows "        row(\"${file}\", page_${number}_begin, page_${number}_end),\n")
    math(EXPR number "${number} + 1")
  endforeach()
  string(APPEND data ".section .note.GNU-stack,\"\",@progbits\n")
  string(CONCAT table "// Made by web_embed.cmake.\n#include \"station/http/pages.h\"\nextern \"C\" {\n${externs}}\n"
    "namespace crimpgate {\n[[maybe_unused]] static PageFile row(const char* path, const char* begin, const char* end) {\n"
    "    return {path, {begin, static_cast<std::size_t>(end - begin)}};\n}\n"
    "std::vector<PageFile> built_pages() {\n    return {\n${rows}    };\n}\n}  // namespace crimpgate\n")
  file(CONFIGURE OUTPUT ${CMAKE_CURRENT_BINARY_DIR}/pages_data.S CONTENT "${data}" @ONLY)
  file(CONFIGURE OUTPUT ${CMAKE_CURRENT_BINARY_DIR}/pages_table.cpp CONTENT "${table}" @ONLY)
  set_source_files_properties(${CMAKE_CURRENT_BINARY_DIR}/pages_data.S PROPERTIES OBJECT_DEPENDS "${sources}")
  target_sources(${target} PRIVATE ${CMAKE_CURRENT_BINARY_DIR}/pages_data.S ${CMAKE_CURRENT_BINARY_DIR}/pages_table.cpp)
endfunction()
