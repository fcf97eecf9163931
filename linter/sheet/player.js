"use strict";
// Goes through lines of play: each button holds the men of its position, as the first field of a FEN.
for (const play of document.querySelectorAll(".play")) {
  const buttons = [...play.querySelectorAll("button")];
  const men = play.querySelector(".men");
  const put = (name, attributes, parent) => {
    const made = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    parent.append(made);
  };
  const ring = (square) => {
    for (const old of men.parentNode.querySelectorAll(":scope > circle")) old.remove();
    if (!square) return;
    const cx = (square.charCodeAt(0) - 97) * 100 + 50;
    const cy = (8 - Number(square[1])) * 100 + 50;
    for (const [fill, stroke, width] of [["#fff", "#fff", 10], ["none", "#000", 5]]) {
      const circle = document.createElementNS("http://www.w3.org/2000/svg", "circle");
      const looks = { cx, cy, r: 44, fill, stroke, "stroke-width": width };
      for (const [key, value] of Object.entries(looks)) circle.setAttribute(key, value);
      men.before(circle);
    }
  };
  const show = (button) => {
    men.replaceChildren();
    button.dataset.men.split("/").forEach((rank, row) => {
      let file = 0;
      for (const sign of rank) {
        if (sign >= "1" && sign <= "8") {
          file += Number(sign);
          continue;
        }
        const href = (sign === sign.toUpperCase() ? "#w" : "#b") + sign.toUpperCase();
        put("use", { href, x: file * 100, y: row * 100, width: 100, height: 100 }, men);
        file += 1;
      }
    });
    ring(button.dataset.to);
    play.querySelector("title").textContent = button.dataset.title;
    play.querySelector("desc").textContent = button.dataset.words;
    play.querySelector(".words").textContent = `${button.dataset.title}. ${button.dataset.words}`;
    for (const each of buttons) {
      if (each === button) each.setAttribute("aria-current", "step");
      else each.removeAttribute("aria-current");
    }
  };
  play.addEventListener("click", (event) => {
    const button = event.target.closest("button");
    if (button) show(button);
  });
  play.addEventListener("keydown", (event) => {
    const at = buttons.findIndex((button) => button.hasAttribute("aria-current"));
    const steps = { ArrowLeft: at - 1, ArrowRight: at + 1, Home: 0, End: buttons.length - 1 };
    const next = buttons[steps[event.key]];
    if (!next || event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    show(next);
    next.focus();
  });
}
