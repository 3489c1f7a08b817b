// The words that the views of print queues share. Pure; any thread.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "daemon/client/display.h"
#include "daemon/client/queue_answers.h"

namespace frisket::client {

// "does not answer", "is not on its spooler"; what IPP calls the state where that is plain enough.
std::string queue_state_words(const Queue& queue);
Tone tone_of_queue_state(std::string_view state);

// "25 min"; empty where nothing is known.
std::string seconds_words(std::optional<std::int64_t> seconds);

// "2 wait, the oldest for 12 min; 1 held", "nothing waits", "not known".
std::string waiting_words(const Queue& queue);

// "3 of 10 pages", "3 pages", "10 pages in all"; empty where nothing is known.
std::string pages_words(const Job& job);

// "12 KiB", "34 MiB".
std::string size_words(const Job& job);

// "media-empty-error": as IPP writes a reason with its mark.
std::string reasons_words(const Queue& queue, std::string_view separator);

// Why it does not print as it should: takes no jobs, reasons, message, or why it did not answer.
std::string queue_says(const Queue& queue);

}  // namespace frisket::client
