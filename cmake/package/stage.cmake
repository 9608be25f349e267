# What Debian wants of the tree that CPack has just put together: CPACK_PRE_BUILD_SCRIPTS, before it is packed.
set(usr ${CPACK_TEMPORARY_INSTALL_DIRECTORY}/usr)
set(doc ${usr}/share/doc/${CPACK_DEBIAN_PACKAGE_NAME})

# Debian's own list of changes, by version; ours stands beside it. The date is that of SOURCE_DATE_EPOCH where it is set.
string(TIMESTAMP date "%a, %d %b %Y %H:%M:%S +0000" UTC)
file(WRITE ${doc}/changelog "${CPACK_DEBIAN_PACKAGE_NAME} (${CPACK_PACKAGE_VERSION}) stable; urgency=medium

  * Version ${CPACK_PACKAGE_VERSION}; CHANGELOG.md beside this file says what has changed.

 -- ${CPACK_PACKAGE_CONTACT}  ${date}
")
# No name and no time in what gzip writes: the same tree packs to the same bytes.
execute_process(COMMAND gzip -9nf ${doc}/changelog ${usr}/share/man/man1/snub.1 COMMAND_ERROR_IS_FATAL ANY)

file(MAKE_DIRECTORY ${usr}/share/zsh/vendor-completions)
file(RENAME ${usr}/share/zsh/site-functions/_snub ${usr}/share/zsh/vendor-completions/_snub)
file(REMOVE_RECURSE ${usr}/share/zsh/site-functions)
# Whatever the umask of whoever packs.
execute_process(COMMAND chmod -R u=rwX,go=rX ${usr} COMMAND_ERROR_IS_FATAL ANY)
