// Asio's own TLS code, compiled once for the whole program (BOOST_ASIO_SEPARATE_COMPILATION everywhere else).
#include <boost/asio/ssl/impl/src.hpp>
