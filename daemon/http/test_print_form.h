// What became of a test page, as JSON. Pure.
#pragma once

#include "daemon/http/test_prints.h"
#include "daemon/json/forms.h"

namespace frisket::http {

json::Json test_print_form(const TestPrintOutcome& outcome);

}  // namespace frisket::http
