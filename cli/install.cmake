# Where a Debian system expects the program, its knowledge and its manual; and the package.
install(TARGETS knockwell RUNTIME)
install(DIRECTORY kb/ DESTINATION ${CMAKE_INSTALL_DATADIR}/knockwell/kb)

# Debian policy 12.1 and 12.7: manual pages and the list of changes are compressed by gzip -9n.
find_program(KNOCKWELL_GZIP gzip REQUIRED)
foreach(pair "knockwell.1 knockwell.1.gz" "changes.md changelog.gz")
  separate_arguments(pair UNIX_COMMAND ${pair})
  list(GET pair 0 plain)
  list(GET pair 1 packed)
  add_custom_command(OUTPUT ${PROJECT_BINARY_DIR}/${packed}
    COMMAND ${KNOCKWELL_GZIP} -9nc ${PROJECT_SOURCE_DIR}/docs/${plain}
            > ${PROJECT_BINARY_DIR}/${packed}
    DEPENDS ${PROJECT_SOURCE_DIR}/docs/${plain} VERBATIM)
endforeach()
add_custom_target(knockwell_manual ALL
  DEPENDS ${PROJECT_BINARY_DIR}/knockwell.1.gz ${PROJECT_BINARY_DIR}/changelog.gz)
install(FILES ${PROJECT_BINARY_DIR}/knockwell.1.gz DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
install(FILES ${PROJECT_BINARY_DIR}/changelog.gz README.md DESTINATION ${CMAKE_INSTALL_DOCDIR})
install(FILES docs/copyright DESTINATION ${CMAKE_INSTALL_DOCDIR})
install(DIRECTORY docs/ DESTINATION ${CMAKE_INSTALL_DOCDIR}
        FILES_MATCHING PATTERN *.md PATTERN changes.md EXCLUDE)

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_CONTACT "Knockwell founders <founders@knockwell.invalid>")
set(CPACK_PACKAGE_DESCRIPTION
"A technician tells what the customer reports and what was found on site.
Knockwell ranks the causes of trouble in a private water well system, names
the cheapest safe next check with its cautions, and keeps a ledger of jobs.
It suggests and can be wrong; it is no training, licence or permit.")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS
    OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION utils)
set(CPACK_DEBIAN_PACKAGE_PRIORITY optional)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_RECOMMENDS gnuplot-nox)  # review --html
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)
include(CPack)
