// The tools over the text, the keys that work everywhere, and the way from one part of the page to the next.
import { byId, word } from "./words.js";

const REGIONS = ["text", "margin", "place", "tools"];

export class Tools {
  constructor(desk) {
    this.desk = desk;
    this.bar();
    const { files, setting, writing, rehearsal } = desk;
    const does = {
      files: () => files.show(), save: () => desk.save(), setting: () => setting.show(), writing: () => writing.show(),
      rehearsal: () => rehearsal.show(), print: () => this.sheet(), keys: () => byId("keys").showModal(),
    };
    for (const [name, act] of Object.entries(does)) byId(`do-${name}`).addEventListener("click", act);
    for (const close of document.querySelectorAll("dialog .closes")) {
      close.addEventListener("click", () => close.closest("dialog").close());
    }
    for (const dialog of document.querySelectorAll("dialog")) {
      dialog.addEventListener("cancel", () => dialog.addEventListener("close", () => { if (desk.name !== null) desk.text.focus(); }, { once: true }));
    }
    document.addEventListener("keydown", (event) => this.key(event));
    addEventListener("resize", () => desk.layout());
    addEventListener("beforeunload", (event) => {
      if (desk.dirty || desk.sending) event.preventDefault();
    });
  }

  // One stop of the Tab key; arrow keys go from tool to tool.
  bar() {
    const tools = [...byId("tools").querySelectorAll("button")];
    tools.forEach((tool, at) => {
      tool.tabIndex = at ? -1 : 0;
      tool.addEventListener("keydown", (event) => {
        const step = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
        if (step === undefined) return;
        event.preventDefault();
        const usable = tools.filter((each) => !each.disabled);
        const next = usable[(usable.indexOf(tool) + step + usable.length) % usable.length];
        for (const each of tools) each.tabIndex = each === next ? 0 : -1;
        next.focus();
      });
    });
  }

  sheet() {
    open(`sheet?name=${encodeURIComponent(this.desk.name ?? "")}`, "_blank", "noopener");
    this.desk.notices.tell(word("sheet_opened"));
    // Gone again once its window is left.
    addEventListener("blur", () => addEventListener("focus", () => this.desk.notices.hush(), { once: true }), { once: true });
  }

  key(event) {
    if (document.querySelector("dialog[open]")) return;
    const { desk } = this;
    const plain = !event.altKey && !event.ctrlKey && !event.metaKey;
    const keys = {
      F2: () => desk.step(event.shiftKey ? -1 : 1),
      F4: () => desk.actHere("mend"),
      F9: () => desk.actHere("accept"),
      F6: () => this.region(event.shiftKey ? -1 : 1),
    };
    if (plain && keys[event.key]) keys[event.key]();
    else if ((event.ctrlKey || event.metaKey) && !event.altKey && event.key.toLowerCase() === "s") desk.save();
    else if (plain && event.key === "Escape" && !byId("text").contains(document.activeElement)) desk.text.focus();
    else return;
    event.preventDefault();
  }

  region(by) {
    const { desk } = this;
    const now = REGIONS.findIndex((name) => byId(name).contains(document.activeElement));
    const next = REGIONS[(now + by + REGIONS.length) % REGIONS.length];
    if (next === "text") desk.text.focus();
    else if (next === "tools") byId("tools").querySelector("[tabindex='0']").focus();
    else if (next === "margin" && desk.current !== null) desk.margin.focus(desk.current);
    else byId(next).focus();
  }
}
