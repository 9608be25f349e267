# Turns the page of `snub share` into a C source: cmake -DFILE=… -DOUT=… -P embed.cmake
file(READ ${FILE} hex HEX)
string(LENGTH "${hex}" digits)
math(EXPR length "${digits} / 2")
string(REGEX REPLACE "(................................)" "\\1\n" hex "${hex}")
string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," hex "${hex}")
file(WRITE ${OUT} "/* Made by app/share/embed.cmake. */\n#include \"share_page.h\"\n"
    "const char cli_share_page[] = {\n${hex}0};\nconst size_t cli_share_page_length = ${length};\n")
