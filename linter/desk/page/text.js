// The text: an editor with the remarks at their words. Offsets are those of the editor, UTF-16 code units.
import {
  Annotation, Compartment, Decoration, EditorState, EditorView, StateEffect, StateField, defaultKeymap, highlightSpecialChars,
  history, historyKeymap, isolateHistory, keymap, lineNumbers, search, searchKeymap,
} from "./editor.js";
import { word } from "./words.js";

const PHRASES = {
  Find: "editor_find", Replace: "editor_replace", next: "editor_next", previous: "editor_previous", all: "editor_all",
  "match case": "editor_case", "by word": "editor_word", regexp: "editor_pattern", replace: "editor_replace_one",
  "replace all": "editor_replace_all", close: "editor_close", "Control character": "editor_sign",
  "current match": "editor_current", "replaced $ matches": "editor_replaced", "on line": "editor_on_line",
  "replaced match on line $": "editor_replaced_on",
};

const given = Annotation.define(); // of a change that another window has made
const newRemarks = StateEffect.define();
const newCurrent = StateEffect.define();

// A remark moves with its words; so do the places that its repair would change.
function moved(remark, changes) {
  const here = ({ from, to, ...rest }) => {
    const start = changes.mapPos(from, 1);
    return { ...rest, from: start, to: Math.max(start, changes.mapPos(to, -1)) };
  };
  return {
    ...here(remark),
    because: remark.because?.map(here),
    repair: remark.repair && { ...remark.repair, edits: remark.repair.edits.map(here) },
    accept: remark.accept && here(remark.accept),
  };
}

function decorations(remarks, current, doc) {
  const found = [];
  for (const remark of remarks) {
    let [from, to] = [Math.min(remark.from, doc.length), Math.min(remark.to, doc.length)];
    if (from >= to) {
      const line = doc.lineAt(from);
      [from, to] = from < line.to ? [from, from + 1] : [Math.max(line.from, from - 1), from];
    }
    if (from >= to) continue;
    const now = remark.key === current ? " now" : "";
    found.push(Decoration.mark({ class: `mark ${remark.level}${now}` }).range(from, to));
    for (const each of remark.because ?? []) {
      if (each.from < each.to && each.to <= doc.length) found.push(Decoration.mark({ class: "mark because" }).range(each.from, each.to));
    }
  }
  return Decoration.set(found, true);
}

const remarked = StateField.define({
  create: () => ({ remarks: [], current: null, shown: Decoration.none }),
  update(value, transaction) {
    let { remarks, current, shown } = value;
    let changed = false;
    if (transaction.docChanged) {
      remarks = remarks.map((remark) => moved(remark, transaction.changes));
      changed = true;
    }
    for (const effect of transaction.effects) {
      if (effect.is(newRemarks)) remarks = effect.value;
      else if (effect.is(newCurrent)) current = effect.value;
      else continue;
      changed = true;
    }
    if (!changed) return value;
    shown = decorations(remarks, current, transaction.state.doc);
    return { remarks, current, shown };
  },
  provide: (field) => EditorView.decorations.from(field, (value) => value.shown),
});

// How much of the window the parts that stay in sight cover of the text, at its top or at its bottom.
function covered(parts, edge) {
  const text = document.getElementById("text").getBoundingClientRect();
  return Math.max(0, ...[...document.querySelectorAll(parts)].map((part) => {
    const box = part.getBoundingClientRect();
    if (getComputedStyle(part).position !== "sticky" || box.right <= text.left || box.left >= text.right) return 0;
    return edge === "bottom" ? Math.min(box.bottom, innerHeight / 2) : innerHeight - box.top;
  }));
}

export class Text {
  // `heard` is told of changes of the text by its user, of the cursor, and of anything that moves lines.
  constructor(place, nonce, heard) {
    this.heard = heard;
    this.writable = new Compartment();
    this.labelled = new Compartment();
    this.view = new EditorView({ parent: place, extensions: this.extensions(nonce, "", false) });
    this.nonce = nonce;
  }

  extensions(nonce, name, writing) {
    return [
      EditorView.cspNonce.of(nonce),
      lineNumbers(),
      history(),
      highlightSpecialChars({ addSpecialChars: /[\u202a-\u202c\u2060-\u2065\u2068\u206a-\u206f]/g }),
      EditorView.lineWrapping,
      EditorView.scrollMargins.of(() => ({ top: covered("header, #place", "bottom"), bottom: covered("#notices", "top") })),
      search({ top: true }),
      keymap.of([...defaultKeymap, ...historyKeymap, ...searchKeymap]),
      EditorState.phrases.of(Object.fromEntries(Object.entries(PHRASES).map(([phrase, name]) => [phrase, word(name)]))),
      this.writable.of(EditorState.readOnly.of(!writing)),
      this.labelled.of(EditorView.contentAttributes.of(labels(name))),
      remarked,
      EditorView.updateListener.of((update) => {
        if (update.docChanged) this.heard.changed(!update.transactions.some((each) => each.annotation(given)));
        if (update.selectionSet || update.docChanged) this.heard.cursor();
        if (update.docChanged || update.geometryChanged || update.viewportChanged) this.heard.moved();
      }),
    ];
  }

  // Show a text anew: what was done before can not be undone.
  show(words, name, writing) {
    this.view.setState(EditorState.create({ doc: words, extensions: this.extensions(this.nonce, name, writing) }));
  }

  // Put another text in the place of this one, as one step that can be undone.
  replace(words, from = null) {
    const now = this.words;
    let start = 0;
    while (start < now.length && start < words.length && now[start] === words[start]) start += 1;
    let [end, other] = [now.length, words.length];
    while (end > start && other > start && now[end - 1] === words[other - 1]) [end, other] = [end - 1, other - 1];
    const changes = [{ from: start, to: end, text: words.slice(start, other) }];
    if (from === null) this.edit(changes);
    else this.view.dispatch({ changes: { from: start, to: end, insert: changes[0].text }, annotations: given.of(from) });
  }

  write(allowed) {
    this.view.dispatch({ effects: this.writable.reconfigure(EditorState.readOnly.of(!allowed)) });
  }

  get writing() {
    return !this.view.state.readOnly;
  }

  get words() {
    return this.view.state.doc.toString();
  }

  get cursor() {
    return this.view.state.selection.main.head;
  }

  // Whether the line of the cursor has words.
  get onWords() {
    return this.view.state.doc.lineAt(this.cursor).text.trim() !== "";
  }

  get remarks() {
    return this.view.state.field(remarked).remarks;
  }

  lineOf(at) {
    return this.view.state.doc.lineAt(Math.min(at, this.view.state.doc.length)).number;
  }

  // Where the line of a place begins on the page, from the top of the text.
  topOf(at) {
    const block = this.view.lineBlockAt(Math.min(at, this.view.state.doc.length));
    const shown = at >= this.view.viewport.from && at <= this.view.viewport.to ? this.view.coordsAtPos(at) : null;
    return shown === null ? block.top : shown.top - this.view.documentTop;
  }

  remark(remarks) {
    this.view.dispatch({ effects: newRemarks.of(remarks) });
  }

  mark(key) {
    if (this.view.state.field(remarked).current !== key) this.view.dispatch({ effects: newCurrent.of(key) });
  }

  edit(edits) {
    this.view.dispatch({
      changes: edits.map(({ from, to, text }) => ({ from, to, insert: text })),
      annotations: isolateHistory.of("full"),
      userEvent: "input.mend",
    });
  }

  // With `lines` the words go right below what stands before the cursor, else they are a paragraph of their own, and
  // so is what is written on below them.
  insert(words, { lines = false } = {}) {
    const { from, to } = this.view.state.selection.main;
    const before = this.view.state.sliceDoc(Math.max(0, from - 2), from);
    const wanted = lines ? "\n" : "\n\n";
    const lead = before === "" || before.endsWith(wanted) ? "" : before.endsWith("\n") ? "\n" : wanted;
    const text = `${lead}${words.replace(/\n+$/, "")}${wanted}`;
    this.edit([{ from, to, text }]);
    this.goTo(from + text.length);
  }

  goTo(from, to = from) {
    this.view.dispatch({ selection: { anchor: from, head: to }, effects: EditorView.scrollIntoView(from, { y: "center" }) });
    this.view.focus();
  }

  focus() {
    this.view.focus();
  }
}

function labels(name) {
  return { "aria-label": `${word("text")} ${name}`.trim(), spellcheck: "false", autocapitalize: "off" };
}
