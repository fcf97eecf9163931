"use strict";
// Boards beside the text: each step or move holds the men of its position, as the first field of a FEN.
const svg = "http://www.w3.org/2000/svg";

class Board {
  constructor(figure) {
    this.men = figure.querySelector(".men");
    this.title = figure.querySelector("svg title");
    this.words = figure.querySelector("svg desc");
    this.spoken = figure.querySelector(".words, .state");
    this.rings = [...this.men.parentNode.querySelectorAll(":scope > circle")];
    this.first = [[...this.men.childNodes], this.rings, this.title.textContent, this.words.textContent];
  }

  show(step) {
    const { men, to, title, words } = step.dataset;
    this.put(Board.drawn(men), to ? Board.ring(to) : [], title, words);
    if (this.spoken) this.spoken.textContent = this.spoken.className === "state" ? title : `${title}. ${words}`;
  }

  reset() {
    this.put(...this.first);
    if (this.spoken) this.spoken.textContent = "";
  }

  put(men, rings, title, words) {
    this.men.replaceChildren(...men);
    for (const old of this.rings) old.remove();
    this.men.before(...rings);
    this.rings = rings;
    this.title.textContent = title;
    this.words.textContent = words;
  }

  static made(name, looks) {
    const made = document.createElementNS(svg, name);
    for (const [key, value] of Object.entries(looks)) made.setAttribute(key, value);
    return made;
  }

  static drawn(men) {
    const found = [];
    men.split("/").forEach((rank, row) => {
      let file = 0;
      for (const sign of rank) {
        if (sign >= "1" && sign <= "8") {
          file += Number(sign);
          continue;
        }
        const href = (sign === sign.toUpperCase() ? "#w" : "#b") + sign.toUpperCase();
        found.push(Board.made("use", { href, x: file * 100, y: row * 100, width: 100, height: 100 }));
        file += 1;
      }
    });
    return found;
  }

  static ring(square) {
    const cx = (square.charCodeAt(0) - 97) * 100 + 50;
    const cy = (8 - Number(square[1])) * 100 + 50;
    return [["#fff", 11], ["#000", 5]].map(([stroke, width]) =>
      Board.made("circle", { cx, cy, r: 43, fill: "none", stroke, "stroke-width": width }));
  }
}

// Steps that are gone through with the arrow keys: one of them is in the order of the Tab key, the current one.
class Steps {
  constructor(steps, board, start) {
    this.steps = steps;
    this.board = board;
    this.at = -1;
    this.mark(start);
    steps.forEach((step, place) => {
      step.addEventListener("click", () => this.go(place));
      step.addEventListener("keydown", (event) => this.key(event));
    });
  }

  mark(place) {
    this.at = place;
    this.steps.forEach((step, other) => {
      step.tabIndex = other === Math.max(place, 0) ? 0 : -1;
      if (other === place) step.setAttribute("aria-current", "step");
      else step.removeAttribute("aria-current");
    });
  }

  go(place, focus = true) {
    if (place < -1 || place >= this.steps.length) return;
    this.mark(place);
    if (place < 0) this.board.reset();
    else this.board.show(this.steps[place]);
    if (place >= 0 && focus) this.steps[place].focus({ preventScroll: !focus });
  }

  key(event) {
    if (event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
    const here = this.steps.indexOf(event.target.closest(".step, .move"));
    const places = { ArrowLeft: here - 1, ArrowRight: here + 1, Home: 0, End: this.steps.length - 1, Enter: here, " ": here };
    if (event.key === "Escape") this.go(-1);
    else if (!(event.key in places)) return;
    else if (places[event.key] >= 0) this.go(places[event.key]);
    event.preventDefault();
  }
}

for (const play of document.querySelectorAll(".play")) {
  const steps = [...play.querySelectorAll(".step")].map((step) => {
    const button = document.createElement("button");
    button.type = "button";
    for (const each of step.attributes) button.setAttribute(each.name, each.value);
    button.append(...step.childNodes);
    step.replaceWith(button);
    return button;
  });
  const moves = play.querySelector(".moves");
  moves.setAttribute("role", "group");
  moves.setAttribute("aria-label", "Line of play: left and right arrow keys go through it");
  new Steps(steps, new Board(play), steps.length - 1);
}

for (const article of document.querySelectorAll("article")) {
  const figure = article.querySelector(".diagram svg") && article.querySelector(".diagram");
  const moves = [...article.querySelectorAll(".move")];
  if (!figure || !moves.length) continue;
  const board = new Board(figure);
  const steps = new Steps(moves, board, -1);
  for (const move of moves) {
    move.setAttribute("role", "button");
    move.addEventListener("mouseenter", () => board.show(move));
    move.addEventListener("mouseleave", () => steps.go(steps.at, false));
  }
  const walk = document.createElement("div");
  walk.className = "walk";
  for (const [sign, name, by] of [["|‹", "the diagram", null], ["‹", "the move before", -1], ["›", "the next move", 1]]) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = sign;
    button.setAttribute("aria-label", `Show ${name}`);
    button.addEventListener("click", () => steps.go(by === null ? -1 : Math.min(steps.at + by, moves.length - 1), false));
    walk.append(button);
  }
  figure.querySelector("svg").after(walk);
}

// A button for what the browser has in its menus, where there is something to choose for print.
for (const choices of document.querySelectorAll(".choices")) {
  const button = document.createElement("button");
  button.type = "button";
  button.id = "print";
  button.textContent = "Print";
  button.addEventListener("click", () => print());
  choices.append(button);
}

// Paper shows what is folded away on the screen.
let opened = [];
addEventListener("beforeprint", () => {
  if (!document.querySelector("#only-proofs:checked")) return;
  opened = [...document.querySelectorAll(".proof, .proof details:not(.why)")].filter((each) => !each.open);
  for (const each of opened) each.open = true;
});
addEventListener("afterprint", () => {
  for (const each of opened) each.open = false;
  opened = [];
});
