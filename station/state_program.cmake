# Writes a C++ file with the SHA-256 over the files listed in LIST (one a line): see station/bench/state_json.h.
file(STRINGS ${LIST} sources)
set(all "")
foreach(source IN LISTS sources)
  file(SHA256 ${source} one)
  string(APPEND all ${one})
endforeach()
string(SHA256 program "${all}")
file(WRITE ${OUT} "#include \"station/bench/state_json.h\"\n\nnamespace crimpgate {\n\nconst std::string& state_program() {\n    static const std::string program = \"${program}\";\n    return program;\n}\n\n}  // namespace crimpgate\n")
