// The script sentence by sentence in large letters, with a clock; its times make captions.
import { Board } from "./board.js";
import { byId, download, say, word } from "./words.js";

const NONE = { men: "8/8/8/8/8/8/8/8", line: "", to: null, words: "" };
const PACE = 1200; // milliseconds between two moves of one sentence

export class Rehearsal {
  constructor(desk) {
    this.desk = desk;
    this.board = new Board(byId("rehearsal-board"));
    this.sentences = [];
    this.begun = null; // when the clock was started, null: it stands
    this.gone = 0; // milliseconds before that
    const acts = { clockwork: () => this.clockwork(), back: () => this.go(-1), on: () => this.go(1), again: () => this.reset(), vtt: () => this.captions("vtt"), srt: () => this.captions("srt") };
    for (const [name, act] of Object.entries(acts)) byId(`rehearsal-${name}`).addEventListener("click", act);
    byId("rehearsal").addEventListener("keydown", (event) => this.key(event));
    byId("rehearsal").addEventListener("close", () => {
      clearTimeout(this.moving);
      this.stop();
    });
  }

  async show() {
    const { desk } = this;
    const answer = await desk.ask("script", { name: desk.name ?? "" });
    if (answer === null) return;
    if (!answer.sentences.length) {
      desk.notices.show("wrong", word("nothing_spoken"), [word("close"), () => {}]);
      return;
    }
    this.sentences = answer.sentences;
    for (const form of ["svg", "png"]) byId(`rehearsal-${form}`).href = `diagrams.zip?form=${form}&name=${encodeURIComponent(desk.name)}`;
    this.reset();
    byId("rehearsal").showModal();
    byId("rehearsal-clockwork").focus();
  }

  reset() {
    this.stop();
    this.gone = 0;
    this.times = this.sentences.map(() => null); // [start, end] of each
    this.at = 0;
    this.draw();
    this.tick();
  }

  get now() {
    return Math.round(this.gone + (this.begun === null ? 0 : performance.now() - this.begun));
  }

  clockwork() {
    if (this.begun === null) {
      this.begun = performance.now();
      this.times[this.at] ??= [this.now, null];
      byId("rehearsal-clockwork").textContent = word("pause");
      this.ticking = setInterval(() => this.tick(), 100);
    } else this.stop();
  }

  stop() {
    if (this.begun !== null) {
      this.gone = this.now;
      this.begun = null;
      if (this.times[this.at] && this.times[this.at][1] === null) this.times[this.at][1] = this.gone;
    }
    clearInterval(this.ticking);
    byId("rehearsal-clockwork").textContent = word("start");
  }

  tick() {
    const tenths = Math.floor(this.now / 100);
    byId("rehearsal-clock").textContent = `${Math.floor(tenths / 600)}:${String(Math.floor(tenths / 10) % 60).padStart(2, "0")}.${tenths % 10}`;
  }

  go(by) {
    const to = this.at + by;
    const running = this.begun !== null;
    if (running && by > 0 && this.times[this.at]) this.times[this.at][1] = this.now;
    if (to < 0 || to >= this.sentences.length) {
      if (running && by > 0) this.stop();
      return;
    }
    this.at = to;
    if (running) this.times[to] = [this.now, null];
    this.draw();
  }

  draw() {
    const sentence = this.sentences[this.at];
    byId("rehearsal-where").textContent = word("sentence_of", { number: this.at + 1, all: this.sentences.length });
    byId("rehearsal-words").textContent = sentence.words;
    byId("rehearsal-next").textContent = this.sentences[this.at + 1]?.words ?? "";
    say("rehearsal-wrong", "");
    this.move(sentence.boards, 0);
  }

  // The board goes through the moves of a sentence, one after the other; without motion it shows the last at once.
  move(boards, at) {
    clearTimeout(this.moving);
    const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
    const shown = (still ? boards.at(-1) : boards[at]) ?? NONE;
    this.board.show(shown, word("the_position", { which: shown.line ? word("after", { line: shown.line }) : word("the_diagram") }));
    if (!still && at + 1 < boards.length) this.moving = setTimeout(() => this.move(boards, at + 1), PACE);
  }

  key(event) {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    const onButton = event.target.closest("button, a") !== null && event.target.id !== "rehearsal-clockwork";
    const by = { ArrowRight: 1, PageDown: 1, ArrowLeft: -1, PageUp: -1, " ": onButton ? 0 : 1 }[event.key];
    if (!by) return;
    event.preventDefault();
    this.go(by);
  }

  async captions(form) {
    const end = this.now;
    const timed = this.sentences.map((sentence, at) => [...(this.times[at] ?? [null, null]), sentence.words])
      .filter(([start]) => start !== null).map(([start, until, words]) => [start, Math.max(start, until ?? end), words]);
    if (!timed.length) {
      say("rehearsal-wrong", word("no_times"), true);
      return;
    }
    timed.sort(([one], [other]) => one - other);
    const answer = await this.desk.ask("captions", { form, sentences: timed }, (error) => say("rehearsal-wrong", error, true));
    if (answer === null) return;
    const name = `${this.desk.name.replace(/^.*\//, "").replace(/\.[^.]*$/, "")}.${form}`;
    download(answer.text, name);
    say("rehearsal-wrong", word("captions_made", { name, timed: timed.length, all: this.sentences.length }));
  }
}
