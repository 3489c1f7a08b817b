// Boost.URL, compiled here once: Debian's package of it is needed for nothing else.
#include <boost/url/src.hpp>
