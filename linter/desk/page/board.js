// A diagram in print: paper, hatching, ink. Its men are those of the proof sheet, defined once on the page.
const svg = "http://www.w3.org/2000/svg";
const CELL = 100;
const RIM = 8;
const EDGE = 46;

export function made(name, looks, ...children) {
  const element = document.createElementNS(svg, name);
  for (const [key, value] of Object.entries(looks)) element.setAttribute(key, value);
  element.append(...children);
  return element;
}

export function corner(square) {
  return [(square.charCodeAt(0) - 97) * CELL, (8 - Number(square[1])) * CELL];
}

// The men of the first field of a FEN, by square.
export function placed(men) {
  const found = new Map();
  men.split("/").forEach((rank, row) => {
    let file = 0;
    for (const sign of rank) {
      if (sign >= "1" && sign <= "8") file += Number(sign);
      else {
        found.set("abcdefgh"[file] + (8 - row), sign);
        file += 1;
      }
    }
  });
  return found;
}

let numbers = 0;

export class Board {
  constructor(place) {
    numbers += 1;
    const hatched = [];
    for (let row = 0; row < 8; row += 1) {
      for (let file = 0; file < 8; file += 1) {
        if ((row + file) % 2) hatched.push(`M${file * CELL} ${row * CELL}h${CELL}v${CELL}h-${CELL}z`);
      }
    }
    const side = 8 * CELL;
    this.title = made("title", { id: `board${numbers}-title` });
    this.words = made("desc", { id: `board${numbers}-words` });
    this.marks = made("g", {});
    this.men = made("g", { class: "men" });
    this.arrows = made("g", {});
    const letters = made("g", { class: "edge" });
    for (let at = 0; at < 8; at += 1) {
      const rank = made("text", { x: -28, y: at * CELL + 60 });
      rank.textContent = String(8 - at);
      const file = made("text", { x: at * CELL + 50, y: side + 40 });
      file.textContent = "abcdefgh"[at];
      letters.append(rank, file);
    }
    const inside = made("g", { transform: `translate(${EDGE + RIM} ${RIM})` },
      made("rect", { width: side, height: side, fill: "#fff" }),
      made("path", { d: hatched.join(""), fill: "url(#hatch)" }),
      made("rect", { x: -RIM / 2, y: -RIM / 2, width: side + RIM, height: side + RIM, fill: "none", stroke: "#000", "stroke-width": RIM - 2 }),
      this.marks, this.men, this.arrows, letters);
    const whole = side + 2 * RIM + EDGE;
    this.element = made("svg", {
      viewBox: `0 0 ${whole} ${whole}`, class: "board", role: "img",
      "aria-labelledby": `board${numbers}-title board${numbers}-words`,
    }, this.title, this.words, inside);
    place.append(this.element);
  }

  show({ men, to = null, arrows = [], words = "" }, title) {
    this.title.textContent = title;
    this.words.textContent = words;
    this.men.replaceChildren(...[...placed(men)].map(([square, sign]) => {
      const [x, y] = corner(square);
      const colour = sign === sign.toUpperCase() ? "w" : "b";
      return made("use", { href: `#${colour}${sign.toUpperCase()}`, x, y, width: CELL, height: CELL });
    }));
    this.marks.replaceChildren(...(to ? ring(to) : []));
    this.arrows.replaceChildren(...arrows.flatMap(([from, end]) => arrow(from, end)));
  }
}

function ring(square) {
  const [x, y] = corner(square);
  return [["#fff", 11], ["#000", 5]].map(([stroke, width]) =>
    made("circle", { cx: x + 50, cy: y + 50, r: 43, fill: "none", stroke, "stroke-width": width }));
}

function arrow(from, end) {
  let [[x1, y1], [x2, y2]] = [corner(from), corner(end)].map(([x, y]) => [x + 50, y + 50]);
  const length = Math.hypot(x2 - x1, y2 - y1);
  const [ux, uy] = [(x2 - x1) / length, (y2 - y1) / length];
  [x1, y1, x2, y2] = [x1 + 30 * ux, y1 + 30 * uy, x2 - 18 * ux, y2 - 18 * uy];
  const [nx, ny] = [x2 - 26 * ux, y2 - 26 * uy];
  const d = `M${x1} ${y1}L${nx} ${ny}M${x2} ${y2}L${nx - 15 * uy} ${ny + 15 * ux}L${nx + 15 * uy} ${ny - 15 * ux}Z`;
  return [["#fff", 18], ["#000", 8]].map(([colour, width]) =>
    made("path", { d, fill: colour, stroke: colour, "stroke-width": width, "stroke-linejoin": "round" }));
}
