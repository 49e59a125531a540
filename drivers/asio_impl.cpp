// Boost.Asio's own code, compiled once for the whole program (BOOST_ASIO_SEPARATE_COMPILATION everywhere else).
#include <boost/asio/impl/src.hpp>
