# Writes a file's text as a C++ string:  cmake -DIN=file -DOUT=file.cpp -DNAME=variable -P embed.cmake
# In pieces, since a compiler need not take a string literal of any length.
file(READ "${IN}" hex HEX)
string(LENGTH "${hex}" digits)
math(EXPR bytes "${digits} / 2")
string(REGEX REPLACE "(................................)" "\\1\n" lines "${hex}")
string(REGEX REPLACE "([0-9a-f][0-9a-f])" "'\\\\x\\1'," array "${lines}")
file(WRITE "${OUT}" "#include <string_view>\nnamespace crimpgate {\nstatic const char text[] = {\n${array}'\\0'};\n"
  "extern const std::string_view ${NAME};\nconst std::string_view ${NAME}(text, ${bytes});\n}\n")
