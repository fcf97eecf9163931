// The page: a text, its remarks, the position at the cursor, and what the server says of them.
import { Files } from "./files.js";
import { Follow, offered } from "./follow.js";
import { Link, Lost } from "./link.js";
import { Margin } from "./margin.js";
import { Notices } from "./notices.js";
import { Rehearsal } from "./rehearsal.js";
import { advice, remarksOf, summary } from "./remarks.js";
import { Setting } from "./setting.js";
import { Text } from "./text.js";
import { Tools } from "./tools.js";
import { byId, download, element, word } from "./words.js";
import { Writing } from "./writing.js";

const moment = () => new Promise((on) => { setTimeout(on, 20); });

class Desk {
  constructor() {
    this.name = null;
    this.where = ""; // the folder or the file that the desk works on
    this.ended = false; // by this page
    this.revision = 0; // of the text as the server has it
    this.checked = 0; // the revision that the remarks belong to
    this.saved = true;
    this.sending = false;
    this.dirty = false; // words the server has not got yet
    this.then = null; // what waits for the remarks of the present text
    this.online = false;
    this.notices = new Notices();
    this.follow = new Follow(() => this.margin.unmark());
    this.text = new Text(byId("text"), document.body.dataset.nonce, {
      changed: (own) => this.changed(own),
      cursor: () => {
        this.follow.playing = false;
        this.cursor();
      },
      moved: () => this.layout(),
    });
    this.margin = new Margin(this.text, {
      goTo: (remark) => this.goTo(remark),
      mend: (remark) => this.act(remark, "mend"),
      accept: (remark) => this.act(remark, "accept"),
      play: (step, line, remark) => this.follow.play(step, line, remark.puzzle),
    });
    this.link = new Link((message) => this.told(message), (online) => this.linked(online));
    this.files = new Files(this);
    this.setting = new Setting(this);
    this.writing = new Writing(this);
    this.rehearsal = new Rehearsal(this);
    this.tools = new Tools(this);
    byId("sum").textContent = word("no_text");
    this.state();
  }

  // An answer of the server; null where it has gone, which is told already. A fault in words is shown.
  async ask(what, values = {}, wrong = (error) => this.notices.show("wrong", error, [word("close"), () => {}])) {
    try {
      const answer = await this.link.ask(what, values);
      if (answer.error === undefined) return answer;
      wrong(answer.error, answer);
    } catch (fault) {
      if (!(fault instanceof Lost)) throw fault;
      wrong(word("gone"), {});
    }
    return null;
  }

  // -- the server comes and goes

  async linked(online) {
    const before = this.online;
    this.online = online;
    if (!online) {
      if (before) this.notices.show("offline", word(this.ended ? "ended" : "offline", { where: this.where }), ...this.copying());
      return;
    }
    this.notices.drop("offline");
    this.ended = false;
    if (this.name === null) await this.files.start();
    else {
      this.notices.tell(word("back"));
      await this.open(this.name, { again: true });
    }
  }

  // Where no server is there, the text can still be put into a file by the browser.
  copying() {
    return this.name === null ? [] : [[word("keep_copy"), () => download(this.text.words, this.name.replace(/^.*\//, "")), { stays: true }]];
  }

  async end() {
    while (this.online && (this.sending || this.dirty)) await moment();
    this.ended = true;
    await this.ask("end");
  }

  told(message) {
    if (message.do === "said") this.notices.show("said", message.message, [word("close"), () => {}]);
    if (message.name !== this.name) return;
    if (message.do === "checked") this.gotChecked(message);
    else if (message.do === "written") {
      this.revision = message.revision;
      this.saved = message.saved;
      this.text.replace(message.text, "elsewhere");
      this.state();
    } else if (message.do === "saved") {
      this.saved = true;
      this.state();
    } else if (message.do === "lost") this.reader();
    else if (message.do === "outside") {
      this.notices.show("outside", word("outside"), [word("take_file"), () => this.reload()], [word("keep_mine"), () => {}]);
    }
  }

  // -- the text

  async open(name, { again = false, wrong } = {}) {
    const mine = again ? this.text.words : null;
    const answer = await this.ask("open", { name }, wrong);
    if (answer === null) return false;
    this.name = name;
    this.revision = answer.revision;
    this.checked = 0;
    this.saved = answer.saved;
    this.isNew = answer.new;
    this.shown = answer.shown;
    this.where = answer.where;
    for (const each of ["outside", "recovered", "kept", "elsewhere", "shown"]) this.notices.drop(each);
    if (mine === null) {
      this.text.show(answer.text, name, answer.writing);
      this.margin.show([]);
      this.follow.nothing();
    } else this.text.write(answer.writing);
    if (answer.shown) this.notices.show("shown", word("manuscript"), [word("close"), () => {}]);
    else if (!answer.writing) this.reader();
    else if (mine !== null && mine !== answer.text) this.dirtied();
    if (mine === null) this.kept(answer);
    if (answer.note) this.notices.show("note", answer.note, [word("close"), () => {}]);
    document.title = `${name} · ${word("title")}`;
    byId("name").textContent = name;
    history.replaceState(null, "", `#${encodeURIComponent(name)}`);
    this.state();
    if (answer.checked !== null) this.gotChecked(answer.checked);
    return true;
  }

  // What this browser has kept of words that no server got, then what the server has kept.
  kept(answer) {
    const kept = localStorage.getItem(`keyproof:${this.name}`);
    if (kept !== null && kept !== answer.text && answer.writing) {
      this.notices.show("kept", word("kept_here"), [word("take_kept"), () => this.text.replace(kept)],
        [word("drop_kept"), () => localStorage.removeItem(`keyproof:${this.name}`)]);
    } else if (answer.recovered !== null) {
      const when = new Date(answer.recovered * 1000).toLocaleString(document.documentElement.lang, { dateStyle: "long", timeStyle: "short" });
      this.notices.show("recovered", word("recovered", { when }), [word("keep_recovered"), () => {}],
        [word("take_file"), () => this.reload()]);
    }
  }

  reader() {
    this.text.write(false);
    this.notices.show("elsewhere", word("elsewhere"), [word("write_here"), async () => {
      const answer = await this.ask("take", { name: this.name });
      if (answer === null) return;
      this.text.replace(answer.text, "elsewhere");
      this.revision = answer.revision;
      this.text.write(true);
      this.text.focus();
    }]);
  }

  changed(own) {
    if (own && this.name !== null) this.dirtied();
  }

  dirtied() {
    this.notices.hush();
    this.dirty = true;
    this.saved = false;
    try {
      localStorage.setItem(`keyproof:${this.name}`, this.text.words);
    } catch {
      this.notices.show("wrong", word("browser_full"), [word("close"), () => {}]);
    }
    this.state();
    this.send();
  }

  async send() {
    if (this.sending || !this.dirty || !this.online) return;
    this.sending = true;
    this.dirty = false;
    const { name } = this;
    const answer = await this.ask("text", { name, text: this.text.words }, (error, { elsewhere }) => {
      if (elsewhere) this.reader();
      else if (this.online) this.notices.show("wrong", error, [word("close"), () => {}]);
    });
    this.sending = false;
    if (name !== this.name) return;
    if (answer === null) this.dirty = true;
    else {
      this.revision = answer.revision;
      if (!this.dirty) {
        this.saved = answer.saved;
        localStorage.removeItem(`keyproof:${name}`);
        this.state();
      }
      this.settled();
      await this.send();
    }
  }

  async save(values = {}) {
    if (this.name === null || this.shown) return;
    while (this.online && (this.sending || this.dirty)) await moment();
    const answer = await this.ask("save", { name: this.name, ...values }, (error, { outside, encoding }) => {
      if (outside) this.notices.show("outside", word("outside_save"), [word("save_over"), () => this.save({ over: true })], [word("take_file"), () => this.reload()]);
      else if (encoding) this.notices.show("wrong", word("no_sign", { why: error }), [word("save_utf8"), () => this.save({ ...values, utf8: true })], [word("close"), () => {}]);
      else this.notices.show("wrong", word("not_saved", { why: error }), [word("close"), () => {}]);
    });
    if (answer === null) return;
    for (const each of ["outside", "wrong", "recovered"]) this.notices.drop(each);
    this.saved = answer.saved;
    this.isNew = false;
    this.state();
    this.notices.say(word("was_saved"));
  }

  async reload() {
    const answer = await this.ask("reload", { name: this.name });
    if (answer === null) return;
    if (this.shown) {
      this.revision = answer.revision;
      this.text.replace(answer.text, "elsewhere");
      this.settled();
    } else this.text.replace(answer.text);
  }

  // -- what is known of the text

  get fresh() {
    return !this.dirty && !this.sending && this.checked === this.revision;
  }

  gotChecked(message) {
    this.last = message;
    this.settled();
  }

  // The remarks are shown once they belong to the words on the page.
  settled() {
    const message = this.last;
    if (!message || message.name !== this.name || message.revision !== this.revision || this.dirty || this.sending) return;
    this.last = null;
    this.checked = this.revision;
    const remarks = remarksOf(message, this.text.words);
    const words = summary(message);
    byId("sum").textContent = `${words} ${advice(message)}`.trim();
    this.text.remark(remarks);
    this.margin.show(remarks);
    if (message.settled ?? true) this.notices.sayLater(words);
    this.proving = message.settled === false;
    this.state();
    this.cursor();
    const { then } = this;
    this.then = null;
    then?.();
  }

  state() {
    const said = [];
    if (this.name !== null) said.push(word(this.shown ? "only_shown" : this.saved ? "saved" : "unsaved"));
    if (this.proving) said.push(word("proving"));
    byId("state").textContent = said.join(", ");
    for (const tool of ["save", "writing", "rehearsal", "print"]) byId(`do-${tool}`).disabled = this.name === null;
    if (this.shown) byId("do-save").disabled = true;
  }

  layout() {
    if (this.laying) return;
    this.laying = true;
    requestAnimationFrame(() => {
      this.laying = false;
      this.margin?.place();
    });
  }

  cursor() {
    const at = this.text.cursor;
    const all = this.text.remarks.filter((remark) => remark.from <= at && at <= remark.to);
    const here = all[0];
    this.current = here?.key ?? null;
    // Where the margin is not beside the text, the remarks at the cursor stand beside the board too.
    byId("place-remarks").replaceChildren(...all.map(({ title, message }) => element("p", {}, element("strong", {}, title), `: ${message}`)));
    this.margin.mark(this.current);
    clearTimeout(this.asking);
    this.asking = setTimeout(() => {
      this.text.mark(this.current);
      this.followCursor();
    }, 40);
  }

  async followCursor() {
    if (!this.fresh || this.name === null) return;
    const at = this.text.cursor;
    const answer = await this.ask("place", { name: this.name, revision: this.revision, at }, () => {});
    if (answer === null || answer.stale || at !== this.text.cursor) return;
    if (this.follow.playing) this.follow.place = answer.place; // to go back to
    else {
      this.margin.unmark();
      this.follow.show(answer.place);
    }
    clearTimeout(this.otherwise);
    this.otherwise = setTimeout(() => this.twoWays(at), 400);
  }

  // Where the sentence at the cursor can be read in two ways, both are offered; the choice is kept beside the text.
  async twoWays(at) {
    const { name } = this;
    if (!this.fresh || !this.follow.place?.taken || at !== this.text.cursor) {
      if (!this.follow.place?.taken) byId("place-ways").replaceChildren();
      return;
    }
    const answer = await this.ask("ways", { name, at }, () => {});
    if (answer === null || at !== this.text.cursor || name !== this.name) return;
    byId("place-ways").replaceChildren(...offered(answer, (way) => {
      byId("place").focus();
      this.ask("choose", { name, at, way }).then((chosen) => { if (chosen) this.notices.tell(word("kept_choice", { name: chosen.kept })); });
    }));
  }

  // -- remarks

  goTo(remark) {
    this.gone = remark.key;
    this.text.goTo(remark.from, Math.max(remark.to, remark.from));
    this.notices.say(`${remark.title}: ${remark.message}`);
  }

  // To the next remark, or the one before, and round the end: from the one gone to last, else from the cursor.
  step(by) {
    const { remarks } = this.text;
    const { from, to } = this.text.view.state.selection.main;
    const last = remarks.findIndex((each) => each.key === this.gone && each.from === from && Math.max(each.to, each.from) === to);
    const ahead = last >= 0
      ? remarks[last + by]
      : by > 0 ? remarks.find((each) => each.from >= from || (each.to >= from && each.key !== this.gone)) : remarks.findLast((each) => each.from < from);
    if (remarks.length) this.goTo(ahead ?? remarks.at(by > 0 ? 0 : -1));
    else this.notices.tell(word("no_more"));
  }

  // Mend a remark or let it stand, once the remarks belong to the words on the page.
  act(remark, how) {
    if (!this.text.writing) {
      this.notices.tell(word(this.shown ? "only_shown" : "elsewhere"));
      return;
    }
    if (!this.fresh) {
      const { key } = remark;
      this.then = () => {
        const again = this.text.remarks.find((each) => each.key === key);
        if (again) this.act(again, how);
      };
      return;
    }
    const inMargin = byId("margin").contains(document.activeElement);
    const edits = how === "mend" ? remark.repair?.edits : remark.accept && [remark.accept];
    if (!edits) {
      this.nothingToDo(how, remark);
      return;
    }
    this.text.edit(edits); // which hushes what was told before
    this.notices.tell(how === "mend" ? word("mended", { what: remark.repair.words }) : word("accepted"));
    if (inMargin) this.text.goTo(edits[0].from);
  }

  actHere(how) {
    const { main } = this.text.view.state.selection;
    const here = this.text.remarks.filter((remark) => remark.from <= main.to && main.from <= remark.to);
    const remark = here.find((each) => (how === "mend" ? each.repair : each.accept));
    if (remark) this.act(remark, how);
    else this.nothingToDo(how, here[0]);
  }

  // Where no mend is sure, it is told what could be done.
  nothingToDo(how, remark) {
    if (how !== "mend") this.notices.tell(word("nothing_to_accept"));
    else if (!remark) this.notices.tell(word("nothing_to_mend"));
    else this.notices.tell(word(remark.rule ? "mend_yourself" : "say_otherwise"));
  }
}

window.desk = new Desk(); // for whoever looks into the page, its tests among them
