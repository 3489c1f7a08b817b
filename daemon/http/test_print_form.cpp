#include "daemon/http/test_print_form.h"

#include "daemon/json/values.h"

namespace frisket::http {

using json::Json;

json::Json test_print_form(const TestPrintOutcome& outcome) {
  return {{"device", outcome.asked.device},
          {"incident", json::text_or_null(outcome.asked.incident)},
          {"dry_run", outcome.asked.dry_run},
          {"page", json::text_or_null(outcome.page_id)},
          {"way", to_text(outcome.way)},
          {"to", outcome.to},
          {"queue", json::text_or_null(outcome.queue)},
          {"format", outcome.format},
          {"job", json::or_null(outcome.job)},
          {"verdict", outcome.verdict ? Json(to_text(*outcome.verdict)) : Json()},
          {"reasons", outcome.reasons},
          {"impressions_before", json::or_null(outcome.impressions_before)},
          {"impressions_after", json::or_null(outcome.impressions_after)},
          {"proved", outcome.proved},
          {"said", outcome.said}};
}

}  // namespace frisket::http
