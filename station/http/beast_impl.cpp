// Boost.Beast's own code, compiled once for the whole program (BOOST_BEAST_SEPARATE_COMPILATION everywhere else).
#include <boost/beast/src.hpp>
