// The margin: each remark beside its words. A remark that is still there keeps its place on the page and the focus.
import { byId, element, word } from "./words.js";

const GAP = 12;

export class Margin {
  // `acts` has goTo(remark), mend(remark), accept(remark), play(step, line).
  constructor(text, acts) {
    this.text = text;
    this.acts = acts;
    this.list = byId("remarks");
    this.shown = new Map();
  }

  show(remarks) {
    const shown = new Map();
    for (const remark of remarks) {
      const known = this.shown.get(remark.key);
      const face = JSON.stringify([remark.message, remark.level, remark.repair?.words, remark.evidence, Boolean(remark.accept), remark.accept?.all]);
      const node = known?.face === face ? known.node : this.made(remark);
      if (known && known.node !== node) hand(known.node, node);
      shown.set(remark.key, { node, face });
    }
    for (const [key, { node }] of this.shown) if (shown.get(key)?.node !== node) node.remove();
    let before = null;
    for (const { node } of shown.values()) {
      const wanted = before === null ? this.list.firstChild : before.nextSibling;
      if (wanted !== node) this.list.insertBefore(node, wanted);
      before = node;
    }
    this.shown = shown;
    this.place();
  }

  made(remark) {
    const { key } = remark;
    const now = () => this.text.remarks.find((each) => each.key === key) ?? remark;
    const line = element("button", { type: "button", class: "line", onclick: () => this.acts.goTo(now()) });
    const acts = element("p", { class: "acts" });
    if (remark.repair) acts.append(element("button", { type: "button", class: "mend", onclick: () => this.acts.mend(now()) }, word("mend", { what: remark.repair.words })));
    if (remark.accept) acts.append(element("button", { type: "button", class: "accept", onclick: () => this.acts.accept(now()) }, word(remark.accept.all ? "let_all_stand" : "let_stand")));
    return element("li", { class: `remark ${remark.level}`, id: `remark-${key}` },
      element("p", {}, line, " ", element("strong", { class: "level" }, remark.title), ": ", remark.message, " ",
        remark.rule ? element("span", { class: "rule", title: remark.about }, `[${remark.rule}]`) : null),
      remark.evidence ? this.played(remark) : null,
      acts.childNodes.length ? acts : null);
  }

  played(remark) {
    const { steps, kind } = remark.evidence;
    const label = word(kind === "line" ? "evidence" : "shown_moves");
    const buttons = steps.map((step, at) => element("button", {
      type: "button", class: "step", tabindex: at ? "-1" : "0",
      onclick: () => this.step(buttons, at, remark),
      onkeydown: (event) => {
        const to = { ArrowLeft: at - 1, ArrowRight: at + 1, Home: 0, End: steps.length - 1 }[event.key];
        if (to === undefined || event.ctrlKey || event.altKey || event.metaKey) return;
        event.preventDefault();
        if (buttons[to]) this.step(buttons, to, remark);
      },
    }, step.label || word("the_diagram")));
    return element("p", { class: "evidence", role: "group", "aria-label": label }, ...buttons.flatMap((button) => [button, " "]));
  }

  step(buttons, at, remark) {
    this.unmark();
    buttons.forEach((button, other) => button.setAttribute("tabindex", other === at ? "0" : "-1"));
    buttons[at].setAttribute("aria-current", "step");
    buttons[at].focus();
    const { kind, steps } = remark.evidence;
    const line = kind === "line" ? steps.slice(1, at + 1).map(({ label }) => label).join(" ") : steps[at].label;
    this.acts.play(steps[at], line, this.text.remarks.find((each) => each.key === remark.key) ?? remark);
  }

  unmark() {
    for (const other of this.list.querySelectorAll("[aria-current=step]")) other.removeAttribute("aria-current");
  }

  mark(key) {
    for (const [other, { node }] of this.shown) node.classList.toggle("now", other === key);
    this.reveal(this.shown.get(key)?.node);
  }

  // Where the margin is scrolled by itself, the remark at the cursor is brought into it.
  reveal(node) {
    const margin = byId("margin");
    if (!node || getComputedStyle(margin).overflowY !== "auto") return;
    const [box, inside] = [margin.getBoundingClientRect(), node.getBoundingClientRect()];
    if (inside.top < box.top || inside.bottom > box.bottom) margin.scrollTop += inside.top - box.top - GAP;
  }

  focus(key) {
    this.shown.get(key)?.node.querySelector("button")?.focus();
  }

  // Beside the text each remark stands at the line of its words, or below the one before.
  place() {
    const beside = getComputedStyle(this.list).getPropertyValue("--beside").trim() === "yes";
    const top = beside ? this.text.view.documentTop - this.list.getBoundingClientRect().top : 0;
    const nodes = this.text.remarks.map((remark) => [remark, this.shown.get(remark.key)?.node]).filter(([, node]) => node);
    const sizes = nodes.map(([remark, node]) => [beside ? this.text.topOf(remark.from) + top : 0, node.offsetHeight, this.text.lineOf(remark.from)]);
    let below = 0;
    nodes.forEach(([, node], index) => {
      const [wanted, height, line] = sizes[index];
      const button = node.querySelector(".line");
      if (button.dataset.line !== String(line)) {
        button.dataset.line = String(line);
        button.textContent = word("line", { line });
        button.setAttribute("aria-label", word("to_line", { line }));
      }
      if (!beside) {
        node.style.top = "";
        return;
      }
      const at = Math.max(wanted, below);
      node.style.top = `${at}px`;
      below = at + height + GAP;
    });
    this.list.style.height = beside ? `${below}px` : "";
  }
}

// The focus stays on the same button of a remark that is made anew.
function hand(old, node) {
  const place = [...old.querySelectorAll("button")].indexOf(document.activeElement);
  old.replaceWith(node);
  if (place >= 0) (node.querySelectorAll("button")[place] ?? node.querySelector("button")).focus();
}
