# The report's and the bench's pages and scripts: fetched by npm as the lock file pins them, bundled, and laid into the program, which then
# needs neither npm nor network.
find_program(NPM npm REQUIRED)
find_program(NODE NAMES node nodejs REQUIRED)
set(web ${CMAKE_CURRENT_BINARY_DIR}/web)
file(GLOB web_sources CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/report/web/* ${CMAKE_CURRENT_SOURCE_DIR}/bench/web/*)
set(web_locks ${CMAKE_CURRENT_SOURCE_DIR}/report/web/package.json ${CMAKE_CURRENT_SOURCE_DIR}/report/web/package-lock.json)
add_custom_command(
  OUTPUT ${web}/fetched
  COMMAND ${CMAKE_COMMAND} -E make_directory ${web}
  COMMAND ${CMAKE_COMMAND} -E copy ${web_locks} ${web}
  COMMAND ${NPM} ci --prefix ${web} --no-audit --no-fund --loglevel=error
  COMMAND ${CMAKE_COMMAND} -E touch ${web}/fetched
  DEPENDS ${web_locks}
  COMMENT "Fetching what the report is drawn with"
  VERBATIM)
add_custom_command(
  OUTPUT ${web}/page.bundle.js ${web}/figures.bundle.js ${web}/page.html ${web}/page.css
         ${web}/bench.bundle.js ${web}/bench.html ${web}/bench.css
  COMMAND ${CMAKE_COMMAND} -E copy ${web_sources} ${web}
  COMMAND ${NODE} ${web}/build.mjs
  DEPENDS ${web}/fetched ${web_sources}
  COMMENT "Bundling the pages' scripts"
  VERBATIM)
set(WEB ${web})
configure_file(${CMAKE_CURRENT_SOURCE_DIR}/report/assets.cpp.in ${CMAKE_CURRENT_BINARY_DIR}/assets.cpp @ONLY)
# A unit of its own: the assembler's labels must stand once.
set_source_files_properties(${CMAKE_CURRENT_BINARY_DIR}/assets.cpp PROPERTIES
  SKIP_UNITY_BUILD_INCLUSION ON SKIP_PRECOMPILE_HEADERS ON
  OBJECT_DEPENDS "${web}/page.bundle.js;${web}/figures.bundle.js;${web}/page.html;${web}/page.css;${web}/bench.bundle.js;${web}/bench.html;${web}/bench.css")
target_sources(lobewright PRIVATE ${CMAKE_CURRENT_BINARY_DIR}/assets.cpp)
