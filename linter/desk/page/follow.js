// The position at the cursor: its board, the line that leads there, and what its sentence was taken for.
import { Board } from "./board.js";
import { unplaced } from "./remarks.js";
import { byId, element, word } from "./words.js";

const START = "8/8/8/8/8/8/8/8";

export class Follow {
  // `left` is told when the board goes from such a line back to the cursor.
  constructor(left) {
    this.left = left;
    this.board = new Board(byId("place-board"));
    this.place = null;
    this.playing = false; // a line that shows a finding is gone through: the board does not follow the cursor
    this.nothing();
  }

  nothing() {
    this.place = null;
    this.playing = false;
    this.board.show({ men: START }, word("no_place"));
    byId("place-asked").textContent = word("no_place");
    byId("place-line").textContent = "";
    byId("place-taken").replaceChildren();
    byId("place-ways").replaceChildren();
  }

  show(place) {
    this.place = place;
    this.playing = false;
    if (place === null) {
      this.nothing();
      return;
    }
    const which = place.line ? word("after", { line: place.line }) : word("the_diagram");
    this.board.show(place, word("the_position", { which }));
    byId("place-asked").textContent = caption(place);
    byId("place-line").textContent = word("board_shows", { which: place.state ? `${which}: ${place.state}` : which });
    byId("place-taken").replaceChildren(...(place.taken ? taken(place.taken) : []));
  }

  back() {
    this.left();
    this.show(this.place);
  }

  // A step of the play that shows a finding in a puzzle.
  play(step, line, puzzle) {
    this.playing = true;
    const which = line || word("the_diagram");
    byId("place-asked").textContent = caption(puzzle);
    this.board.show(step, word("the_position", { which }));
    byId("place-line").textContent = `${word("evidence")}: ${which}`;
    byId("place-taken").replaceChildren(element("p", {}, element("button", { type: "button", onclick: () => this.back() }, word("to_cursor"))));
  }
}

// What stands under a board of a puzzle.
function caption({ title, asked, count, verdict }) {
  const said = [title, asked && `${asked} ${count}`].filter(Boolean).join(". ");
  return [said, verdict].filter(Boolean).join(": ");
}

// Two ways to read the text, of which the author may choose one.
export function offered({ ways, chosen }, choose) {
  if (!ways.length) return [];
  const shown = ways.map(({ way, rows }, at) => element("li", {},
    element("strong", {}, word(`way_${way}`)), at ? " " : ` (${word(chosen === way ? "way_chosen" : "way_now")}) `,
    at ? element("button", { type: "button", onclick: () => choose(way) }, word("choose_way")) : null,
    element("ul", {}, ...(rows.length ? rows : [word("nothing_so")]).map((row) => element("li", {}, row)))));
  return [element("h3", {}, word("two_ways")), element("ul", { class: "ways" }, ...shown),
    chosen === null ? "" : element("button", { type: "button", onclick: () => choose("") }, word("no_choice"))];
}

function taken(of) {
  const rows = of.rows.map((row) => element("li", {}, row));
  rows.push(...of.not_understood.map((words) => element("li", { class: "unread" }, word("unread_words", { words }))));
  const again = of.doubts.map(({ words }) => words);
  rows.push(...of.passed_over.filter((words) => !again.includes(words)).map((words) => element("li", {}, word("passed_over", { words }))));
  for (const doubt of of.doubts) {
    const standing = word(doubt.standing === "doubtful" ? "doubtful" : "not_understood");
    rows.push(element("li", { class: "unread" }, word("doubt_words", { standing, words: doubt.words }) + unplaced(doubt.because)));
  }
  if (!rows.length) rows.push(element("li", {}, word("nothing_taken")));
  return [element("h3", {}, word("taken_for")), element("blockquote", {}, of.words), element("ul", {}, ...rows)];
}
