// What the page takes from CodeMirror 6, and nothing else.
export { history, historyKeymap, defaultKeymap, undo, redo, isolateHistory } from "@codemirror/commands";
export { openSearchPanel, search, searchKeymap } from "@codemirror/search";
export { Annotation, Compartment, EditorState, StateEffect, StateField, Transaction } from "@codemirror/state";
export {
  Decoration, EditorView, GutterMarker, drawSelection, gutter, highlightSpecialChars, keymap, lineNumbers,
} from "@codemirror/view";
