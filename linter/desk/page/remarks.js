// What the server found, as remarks: one kind of thing for the margin, whatever it is.
import { word } from "./words.js";

const ids = new Map();

// A remark has the same key as long as it says the same, however often the text is read.
function keyed(remarks) {
  const times = new Map();
  for (const remark of remarks) {
    const face = `${remark.level} ${remark.rule} ${remark.message}`;
    const time = (times.get(face) ?? 0) + 1;
    times.set(face, time);
    const full = `${face} ${time}`;
    if (!ids.has(full)) ids.set(full, ids.size + 1);
    remark.key = ids.get(full);
  }
  return remarks;
}

export function remarksOf(message, text) {
  if (message.error !== undefined) {
    const level = "error";
    return keyed([{ from: message.at, to: message.at + 1, level, title: word(level), rule: null, message: word("not_read", { why: message.error }) }]);
  }
  const found = message.findings.map((each) => ({ ...each, title: word(each.level), puzzle: message.puzzles[each.puzzle] }));
  for (const each of message.doubts) {
    if (each.standing === "waiting") {
      found.push({ from: each.from, to: each.to, level: "not_understood", title: word("not_proofread"), rule: null, message: word(each.number === 1 ? "waits" : "wait", each) });
      continue;
    }
    const level = each.standing === "doubtful" ? "doubtful" : "not_understood";
    const because = unplaced(each.because);
    found.push({ from: each.from, to: each.to, level, title: word(level), rule: null, message: word("so_unread", { words: text.slice(each.from, each.to).replace(/\s+/g, " ") }) + because, because: each.words });
  }
  for (const each of message.remarks) found.push({ ...each, level: "note", title: word("note"), rule: null });
  found.sort((one, other) => one.from - other.from || one.to - other.to);
  return keyed(found);
}

// The words that make a clause doubtful, in brackets.
export function unplaced(words) {
  return words.length ? ` (${word("because", { words: words.map((each) => word("quoted", { words: each })).join(", ") })})` : "";
}

// What can be done about words that were not proofread; seen, not heard each time.
export function advice({ counts }) {
  return counts?.doubtful || counts?.unread ? word("sum_unread") : "";
}

export function summary(message) {
  if (message.error !== undefined) return word("not_read", { why: message.error });
  const { counts } = message;
  if (!counts.puzzles) return [word("no_puzzle"), ...message.remarks.map((each) => each.message)].join(" ");
  const of = (level) => message.findings.filter((each) => each.level === level).length;
  const all = !counts.doubtful && !counts.unread && !counts.waiting && counts.checked === counts.moves;
  const said = [counts.moves ? word("sum_moves", counts) : word("sum_no_moves")];
  if (counts.moves && counts.clauses) said.push(word(counts.doubtful || counts.unread ? "sum_clauses" : "sum_all_clauses", counts));
  if (counts.waiting) said.push(word("sum_waiting", { number: counts.waiting }));
  const [errors, warnings, notes] = ["error", "warning", "note"].map(of);
  if (errors + warnings + notes) said.push(word("sum_found", { errors, warnings, notes }));
  else if (counts.moves) said.push(word(all ? "nothing_found" : "nothing_found_there"));
  return said.join(" ");
}
