// The texts of the folder: one is opened, or a new one begun.
import { byId, element, word } from "./words.js";

const MOST = 200; // names shown at once

// Texts that the server does not name, of which this browser has kept words.
function keptHere(files) {
  const names = Object.keys(localStorage).filter((key) => key.startsWith("keyproof:")).map((key) => key.slice("keyproof:".length));
  return names.filter((name) => !files.some((each) => each.name === name)).map((name) => ({ name, unsaved: true, shown: false }));
}

export class Files {
  constructor(desk) {
    this.desk = desk;
    this.names = [];
    byId("files-find").addEventListener("input", () => this.list());
    byId("files-find").addEventListener("keydown", (event) => {
      if (event.key !== "Enter") return;
      event.preventDefault();
      byId("files-list").querySelector("button")?.click();
    });
    byId("files-end").addEventListener("click", () => {
      byId("files").close();
      desk.end();
    });
    byId("files-new").addEventListener("submit", async (event) => {
      event.preventDefault();
      const name = byId("files-name").value.trim();
      await this.open(/\.[^/]*$/.test(name) ? name : `${name}.md`);
    });
  }

  // What is shown first: the text named in the address, the only one, or the list.
  async start() {
    const wanted = decodeURIComponent(location.hash.slice(1));
    const answer = await this.get();
    if (answer === null) return;
    const alone = answer.alone ? answer.files[0]?.name : null;
    if (wanted || alone) {
      if (await this.desk.open(wanted || alone)) this.desk.text.focus();
    } else this.show();
  }

  async get() {
    const answer = await this.desk.ask("files");
    if (answer === null) return null;
    this.names = [...answer.files, ...keptHere(answer.files)].map((each) => ({ ...each, unsaved: each.unsaved || localStorage.getItem(`keyproof:${each.name}`) !== null }));
    this.desk.where ||= answer.folder;
    byId("files-folder").textContent = word("in_folder", { folder: answer.folder });
    byId("files-new").hidden = answer.alone;
    return answer;
  }

  async show() {
    byId("files-wrong").textContent = "";
    if (!byId("files").open) byId("files").showModal();
    await this.get();
    this.list();
    byId("files-finding").hidden = !this.names.length;
    byId("files-name").value = "";
    byId(this.names.length ? "files-find" : "files-name").focus();
  }

  list() {
    const wanted = byId("files-find").value.trim().toLowerCase();
    const found = this.names.filter(({ name }) => name.toLowerCase().includes(wanted));
    byId("files-list").replaceChildren(...found.slice(0, MOST).map(({ name, unsaved, shown }) => element("li", {},
      element("button", { type: "button", onclick: () => this.open(name) }, name),
      unsaved ? ` (${word("kept_unsaved")})` : shown ? ` (${word("only_shown")})` : "")));
    if (!this.names.length) byId("files-list").append(element("li", {}, word("no_files")));
    else if (found.length > MOST) byId("files-list").append(element("li", {}, `… ${found.length - MOST}`));
  }

  async open(name) {
    byId("files-wrong").textContent = "";
    const { desk } = this;
    const opened = await desk.open(name, { wrong: (error) => { byId("files-wrong").textContent = error; } });
    if (opened) {
      byId("files").close();
      desk.text.focus();
    }
  }
}
