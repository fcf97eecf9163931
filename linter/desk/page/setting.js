// A position set up: by FEN, by a list of men, from a picture of ours, or on the board with keyboard and mouse.
import { Board, placed } from "./board.js";
import { byId, element, say, word } from "./words.js";

const MEN = [["k", "king"], ["q", "queen"], ["r", "rook"], ["b", "bishop"], ["n", "knight"], ["p", "pawn"]];
const LETTERS = { k: "k", q: "q", r: "r", b: "b", n: "n", s: "n", p: "p" };
const LARGEST = 2_000_000; // bytes of a picture that is sent to be read
const SEEN = 120; // dots of a proof that are enough to see that there is one
const RANKS = [8, 7, 6, 5, 4, 3, 2, 1];
const FILES = [..."abcdefgh"];
const EMPTY = "8/8/8/8/8/8/8/8 w - - 0 1";
const DIAGRAM = ({ diagram, stipulation }) => [diagram, stipulation];
const named = (sign) => `${word(sign === sign.toUpperCase() ? "white" : "black")} ${word(MEN.find(([letter]) => letter === sign.toLowerCase())[1])}`;

export class Setting {
  constructor(desk) {
    this.desk = desk;
    this.men = new Map();
    this.chosen = "K";
    this.rest = "- -"; // castling and en passant of the FEN
    this.own = false; // set up here, and not put into the text yet
    this.past = []; // FENs to go back to, the last one last; `coming` those gone back from
    this.coming = [];
    this.board = new Board(byId("setting-board"));
    this.board.element.setAttribute("aria-hidden", "true");
    this.grid();
    this.palette();
    byId("setting-fen").addEventListener("change", () => this.typed(byId("setting-fen").value));
    byId("setting-read").addEventListener("click", () => this.typed(byId("setting-list").value));
    byId("setting-picture").addEventListener("change", (event) => this.picture(event.target.files[0]));
    byId("setting-prove").addEventListener("click", () => this.prove());
    byId("setting-asked").addEventListener("keydown", (event) => { if (event.key === "Enter") this.prove(); });
    byId("setting-insert").addEventListener("click", () => this.insert());
    byId("setting-from").addEventListener("click", () => this.fromText(DIAGRAM));
    byId("setting-shown").addEventListener("click", () => this.fromText(({ fen }) => [fen, ""]));
    byId("setting-clear").addEventListener("click", () => {
      this.become(EMPTY);
      byId("setting-undo").focus(); // its own button is disabled now
    });
    byId("setting-undo").addEventListener("click", () => {
      this.undo();
      if (!this.past.length) this.squares.get(this.here).focus();
    });
    byId("setting-turn").addEventListener("change", () => this.changed());
    byId("setting").addEventListener("keydown", (event) => this.undone(event));
    // Wherever a file is dropped, the browser would leave the page for it, and the editor write a picture as words.
    for (const kind of ["dragover", "drop"]) addEventListener(kind, (event) => this.dropped(event), true);
    this.changed();
  }

  // Shown as it was left, if that is not in the text yet; else with the diagram the cursor stands at, or empty.
  show() {
    const { place, playing } = this.desk.follow;
    byId("setting-offered").hidden = place === null;
    if (place !== null) {
      byId("setting-from").textContent = place.title ? word("from_text", { title: place.title }) : word("from_text_here");
      byId("setting-shown").hidden = !place.line;
      byId("setting-shown").textContent = word("from_board", { line: place.line });
    }
    byId("setting").showModal();
    this.squares.get(this.here).focus();
    if (this.own) return;
    if (place !== null && (playing || this.desk.text.onWords)) this.fromText(DIAGRAM);
    else if (this.men.size) {
      byId("setting-asked").value = "";
      this.become(EMPTY);
      this.own = false;
    }
  }

  grid() {
    this.squares = new Map();
    this.here = "e4";
    const grid = element("div", { id: "setting-grid", role: "grid", "aria-label": word("grid"), "aria-describedby": "setting-help" });
    for (const rank of RANKS) {
      const row = element("div", { role: "row" });
      for (const file of FILES) {
        const square = file + rank;
        const cell = element("div", { role: "gridcell", tabindex: square === this.here ? "0" : "-1", "data-square": square });
        this.squares.set(square, cell);
        row.append(cell);
      }
      grid.append(row);
    }
    grid.addEventListener("keydown", (event) => this.key(event));
    grid.addEventListener("pointerdown", (event) => this.pressed(event));
    grid.addEventListener("pointerup", (event) => this.released(event));
    byId("setting-board").append(grid);
  }

  palette() {
    const place = byId("setting-men");
    for (const colour of ["white", "black"]) {
      const row = element("div", {});
      for (const [letter] of MEN) {
        const sign = colour === "white" ? letter.toUpperCase() : letter;
        const input = element("input", { type: "radio", name: "man", value: sign, checked: sign === this.chosen, onchange: () => { this.chosen = sign; } });
        row.append(element("label", {}, input, ` ${named(sign)}`));
      }
      place.append(row);
    }
    place.append(element("label", {}, element("input", { type: "radio", name: "man", value: "", onchange: () => { this.chosen = ""; } }), ` ${word("take_off")}`));
  }

  choose(sign) {
    this.chosen = sign;
    document.querySelector(`#setting-men input[value="${sign}"]`).checked = true;
  }

  key(event) {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    const [file, rank] = [FILES.indexOf(this.here[0]), Number(this.here[1])];
    const to = {
      ArrowLeft: [file - 1, rank], ArrowRight: [file + 1, rank], ArrowUp: [file, rank + 1], ArrowDown: [file, rank - 1],
      Home: [0, rank], End: [7, rank], PageUp: [file, 8], PageDown: [file, 1],
    }[event.key];
    const letter = LETTERS[event.key.toLowerCase()];
    if (to) this.goTo((FILES[to[0]] ?? this.here[0]) + Math.min(8, Math.max(1, to[1])));
    else if (event.key === "Enter" || event.key === " ") this.put(this.here, this.chosen);
    else if (event.key === "Delete" || event.key === "Backspace") this.put(this.here, "");
    else if (letter && event.key.length === 1) {
      const white = event.key === event.key.toUpperCase(); // as in a FEN
      this.choose(white ? letter.toUpperCase() : letter);
      this.put(this.here, this.chosen);
    } else return;
    event.preventDefault();
  }

  goTo(square) {
    this.squares.get(this.here).tabIndex = -1;
    this.here = square;
    this.squares.get(square).tabIndex = 0;
    this.squares.get(square).focus();
  }

  pressed(event) {
    const square = event.target.dataset?.square;
    if (!square) return;
    this.from = square;
    this.goTo(square);
    event.preventDefault();
  }

  // A man is drawn to another square, or the chosen one is put; on one of its own kind it is taken off.
  released(event) {
    const square = document.elementFromPoint(event.clientX, event.clientY)?.dataset?.square;
    const { from } = this;
    this.from = null;
    if (!square || !from) return;
    const man = this.men.get(from);
    if (square !== from && man) {
      this.men.delete(from); // one step with what follows
      this.put(square, man);
      this.goTo(square);
    } else if (square === from) this.put(square, man === this.chosen ? "" : this.chosen);
  }

  put(square, sign) {
    if (sign) this.men.set(square, sign);
    else this.men.delete(square);
    this.rest = "- -";
    this.changed();
  }

  get fen() {
    const ranks = RANKS.map((rank) => {
      let [row, gap] = ["", 0];
      for (const file of FILES) {
        const sign = this.men.get(file + rank);
        if (!sign) gap += 1;
        else {
          row += (gap || "") + sign;
          gap = 0;
        }
      }
      return row + (gap || "");
    });
    const turn = document.querySelector("#setting input[name=turn]:checked").value;
    return `${ranks.join("/")} ${turn} ${this.rest} 0 1`;
  }

  // The men of one side as a list, the higher ones first.
  listed(white) {
    const signs = MEN.map(([letter]) => (white ? letter.toUpperCase() : letter));
    const places = [...this.men].sort(([one], [other]) => one[1] - other[1] || (one < other ? -1 : 1));
    return signs.flatMap((sign) => places.filter(([, man]) => man === sign).map(([square]) => (sign.toUpperCase() === "P" ? "" : sign.toUpperCase()) + square)).join(", ");
  }

  become(fen) {
    const [men, turn, ...rest] = fen.split(" ");
    this.men = placed(men);
    this.rest = rest.slice(0, 2).join(" ");
    document.querySelector(`#setting input[name=turn][value=${turn}]`).checked = true;
    this.changed();
  }

  undo() {
    if (!this.past.length) return;
    this.coming.push(this.fen);
    this.now = this.past.pop(); // so that it is no change
    this.become(this.now);
  }

  redo() {
    if (!this.coming.length) return;
    this.past.push(this.fen);
    this.now = this.coming.pop();
    this.become(this.now);
  }

  // In a field the keys undo what was typed there.
  undone(event) {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || event.target.matches("textarea, input:not([type=radio])")) return;
    const key = event.key.toLowerCase();
    if (key === "z" && !event.shiftKey) this.undo();
    else if (key === "y" || key === "z") this.redo();
    else return;
    event.preventDefault();
  }

  changed() {
    const { fen } = this;
    if (this.now !== undefined && fen !== this.now) {
      this.past.push(this.now);
      this.coming = [];
    }
    this.now = fen;
    this.own = this.men.size > 0;
    byId("setting-undo").disabled = !this.past.length;
    byId("setting-clear").disabled = !this.men.size;
    byId("setting-list").value = this.men.size ? word("men_listed", { white: this.listed(true), black: this.listed(false) }) : "";
    byId("setting-fen").value = fen;
    const words = [...this.men].map(([square, sign]) => `${named(sign)} ${square}`).join(", ");
    this.board.show({ men: fen.split(" ")[0], words }, word("setting"));
    for (const [square, cell] of this.squares) {
      const sign = this.men.get(square);
      cell.setAttribute("aria-label", word("square", { square, man: sign ? named(sign) : word("empty") }));
    }
    byId("setting-proof").replaceChildren();
    byId("setting-unproved").hidden = false;
    for (const form of ["svg", "png"]) byId(`setting-${form}`).href = `diagram?form=${form}&fen=${encodeURIComponent(fen)}`;
    this.wrong("");
  }

  wrong(words) {
    say("setting-wrong", words, true);
    if (words) byId("setting-wrong").scrollIntoView({ block: "nearest" });
  }

  take(answer) {
    if (answer === null) return;
    if (answer.stipulation) byId("setting-asked").value = answer.stipulation;
    this.become(answer.fen);
  }

  async typed(text) {
    this.take(await this.desk.ask("position", { text }, (error) => this.wrong(error)));
  }

  async picture(file) {
    if (!file) return;
    if (file.size > LARGEST) {
      this.wrong(word("picture_large"));
      return;
    }
    const bytes = new Uint8Array(await file.arrayBuffer());
    let binary = "";
    for (let at = 0; at < bytes.length; at += 8192) binary += String.fromCharCode(...bytes.subarray(at, at + 8192));
    this.take(await this.desk.ask("picture", { kind: file.type, data: btoa(binary) }, (error) => this.wrong(error)));
  }

  dropped(event) {
    const { files, types } = event.dataTransfer;
    if (!types.includes("Files")) return;
    event.preventDefault(); // which the editor heeds
    const open = document.querySelector("dialog[open]");
    if (event.type !== "drop" || (open && open.id !== "setting")) return;
    if (!open) this.show();
    this.picture(files[0]);
  }

  // `what` is taken of the place at the cursor: a position, and what is asked in it.
  async fromText(what) {
    const { place } = this.desk.follow;
    if (place === null) this.wrong(word("no_place"));
    else {
      const [fen, asked] = what(place);
      byId("setting-asked").value = asked;
      await this.typed(fen);
      this.own = false;
    }
  }

  async prove() {
    const { fen } = this;
    say("setting-wrong", word("proving_now"));
    const answer = await this.desk.ask("prove", { fen, asked: byId("setting-asked").value }, (error) => this.wrong(error));
    if (answer === null || answer.stale || fen !== this.fen) return;
    this.wrong("");
    byId("setting-unproved").hidden = true;
    byId("setting-proof").replaceChildren(element("p", { class: "asked" }, answer.asked), ...answer.lines.map(({ parts }) =>
      element("p", { class: "proved" }, ...parts.map(([text, look]) => (look === "plain" ? text : element("strong", { class: look }, text))))));
    const { top } = byId("setting-proof").getBoundingClientRect();
    byId("setting-proof").focus({ preventScroll: top < innerHeight - SEEN }); // nothing is moved away from the pointer
  }

  async insert() {
    const { desk } = this;
    if (!desk.text.writing) {
      this.wrong(word(desk.name === null ? "no_text" : desk.shown ? "manuscript" : "elsewhere"));
      return;
    }
    const answer = await desk.ask("printed", { name: desk.name, at: desk.text.cursor, fen: this.fen, asked: byId("setting-asked").value }, (error) => this.wrong(error));
    if (answer === null) return;
    this.own = false;
    byId("setting").close();
    desk.text.insert(answer.written);
  }
}
