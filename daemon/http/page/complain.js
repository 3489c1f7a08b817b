// What can be said of complaints: that there is one, what was seen, and what it was in the end.
import {send} from "./wire.js";
import {questionOf} from "./causes.js";
import {complaintIn, symptoms, titleOf} from "./complaints.js";
import {ask, choice, clear, note} from "./dialog.js";

const pathOf = (device) => `/v1/devices/${encodeURIComponent(device)}/complaints`;

// told(diagnosis) for each answer. `known`: {observation: true or false}.
async function tell(device, body, held, told) {
  const diagnosis = await send(pathOf(device), body, held);
  told(diagnosis);
  const [likeliest] = diagnosis.causes;
  return likeliest ? `Likeliest: ${likeliest.title || likeliest.cause}` : "Written down; no cause is known for it.";
}

function complain(device, symptoms, told) {
  ask({
    heading: `Somebody complains of ${device}`,
    lines: [
      "It is written down, and the daemon says what it probably is and what to look at. Nothing is sent to the device.",
      "The same of the same device within a month, and not over yet, is the same complaint: your name and note take the place of those before.",
    ],
    fields: [
      choice(
        "ask-symptom",
        "What is wrong",
        symptoms.map((each) => [each.symptom, each.title || each.symptom])
      ),
      note(),
    ],
    button: "Write it down",
    act: (words, held) => tell(device, {...words, symptom: clear("ask-symptom")}, held, told),
  });
}

// More of a complaint that is open: `known` may be empty, then its causes are only weighed anew.
function more(complaint, {heading, lines, button, known}, told) {
  ask({
    heading,
    lines: [
      ...lines,
      "The causes are weighed with all that is known now. If the complaint is more than a month old, it becomes a new one.",
    ],
    fields: [note(complaint.note)],
    button,
    act: (words, held) =>
      tell(complaint.device, {...words, by: words.by ?? complaint.by, symptom: complaint.symptom, known}, held, told),
  });
}

function weigh(complaint, title, told) {
  const lines = [`It is written down that you look after this at ${complaint.device}.`];
  more(complaint, {heading: `What may it be: ${title}`, lines, button: "Ask", known: {}}, told);
}

function seen(complaint, observation, question, so, told) {
  const word = so ? "Yes" : "No";
  const lines = [
    `It is written down of ${complaint.device} that somebody looked. That counts more than what the daemon takes for so.`,
  ];
  more(
    complaint,
    {heading: `${question} ${word}`, lines, button: `${word}, write it down`, known: {[observation]: so}},
    told
  );
}

function outcome(complaint, cause, title, changed) {
  ask({
    heading: `It was this: ${title}`,
    lines: [
      `It is written down as the cause at ${complaint.device}, and the complaint is over. That cannot be taken back here.`,
      "Later complaints of the same learn from it. Nothing is sent to the device.",
    ],
    fields: [note()],
    button: "It was this",
    act: async (words, held) => {
      changed(await send(`/v1/complaints/${encodeURIComponent(complaint.id)}/outcome`, {...words, cause}, held));
      return `${title}: written down`;
    },
  });
}

// What the page's buttons do, each by what is written on it. `diagnoses`: what was answered in this tab, by the complaint's
// id; changed() after each act.
export function complaintActs(shelf, diagnoses, changed) {
  const took = (complaint) => {
    diagnoses.set(complaint.id, {...diagnoses.get(complaint.id), ...complaint});
    shelf.forget("/v1/complaints");
    changed();
  };
  const told = (diagnosis) => {
    took(diagnosis);
    if (document.getElementById("ask").open) location.hash = `#/complaints/${encodeURIComponent(diagnosis.id)}`;
  };
  const of = (id, act) => {
    const complaint = complaintIn(shelf, diagnoses, id);
    if (complaint) act(complaint, diagnoses.get(id));
  };
  return {
    complain: ({name}) => complain(name, symptoms(shelf), told),
    weigh: ({id}) => of(id, (complaint) => weigh(complaint, titleOf(complaint, symptoms(shelf)), told)),
    seen: ({id, observation, so}) =>
      of(id, (complaint, diagnosis) => seen(complaint, observation, questionOf(diagnosis, observation), so === "yes", told)),
    outcome: ({id, cause}) =>
      of(id, (complaint, {causes}) =>
        outcome(complaint, cause, causes.find((each) => each.cause === cause)?.title || cause, took)
      ),
  };
}
