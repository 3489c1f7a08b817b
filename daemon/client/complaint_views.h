// What the verb `complain` prints. As views.h. Pure; any thread.
#pragma once

#include <string>
#include <vector>

#include "daemon/client/complaint_answers.h"
#include "daemon/client/views.h"

namespace frisket::client {

std::string symptoms_screen(const std::vector<Symptom>& symptoms, const Screen& screen);
std::string symptoms_lines(const std::vector<Symptom>& symptoms);

std::string complaints_screen(const std::vector<Complaint>& complaints, const Screen& screen);
std::string complaints_lines(const std::vector<Complaint>& complaints);

// Causes with what speaks for and against each, the next checks, and what mends the likeliest.
std::string diagnosis_screen(const Diagnosis& diagnosis, const Screen& screen);
std::string diagnosis_lines(const Diagnosis& diagnosis);

// "likely", "very unlikely": the words that ICD 203 (2015) has for the probability, 0 to 1.
std::string probability_word(double probability);

}  // namespace frisket::client
