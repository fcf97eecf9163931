// What the desk has to tell: notices above the text that stay until they are answered, and words for the ear.
import { byId, element } from "./words.js";

const QUIET = 1200; // milliseconds without a key before anything is said of the text

export class Notices {
  constructor() {
    this.place = byId("notices");
    this.heard = byId("announced");
    this.timer = 0;
    this.lastSaid = "";
  }

  // `choices` are pairs of a word and what it does; the notice goes with any of them that does not say it `stays`.
  show(name, words, ...choices) {
    this.drop(name);
    const notice = element("div", { class: "notice", id: `notice-${name}`, role: "alert" }, element("p", {}, words));
    for (const [label, act, { stays = false } = {}] of choices) {
      notice.append(element("button", { type: "button", onclick: () => { if (!stays) this.drop(name); act(); } }, label), " ");
    }
    this.place.append(notice);
  }

  drop(name) {
    byId(`notice-${name}`)?.remove();
  }

  say(words) {
    clearTimeout(this.timer);
    this.heard.textContent = "";
    this.timer = setTimeout(() => { this.heard.textContent = words; }, 50);
  }

  // Said, and shown beside the name of the text until it changes again.
  tell(words) {
    this.say(words);
    byId("told").textContent = words;
  }

  hush() {
    byId("told").textContent = "";
  }

  // Said once the writer pauses, and only where it is news.
  sayLater(words) {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => {
      if (words !== this.lastSaid) this.heard.textContent = words;
      this.lastSaid = words;
    }, QUIET);
  }
}
