// Every word of the page, by name; those with values in braces are filled in.
const known = await (await fetch("words.json")).json();

export function word(name, values = {}) {
  return known[name].replace(/\{(\w+)\}/g, (_, value) => String(values[value]));
}

export function element(name, looks = {}, ...children) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(looks)) {
    if (key === "class") made.className = value;
    else if (key.startsWith("on")) made.addEventListener(key.slice(2), value);
    else if (value !== null && value !== undefined && value !== false) made.setAttribute(key, value === true ? "" : value);
  }
  made.append(...children.filter((child) => child !== null));
  return made;
}

// What a dialog says: `wrong` where something could not be done.
export function say(id, words, wrong = false) {
  byId(id).textContent = words;
  byId(id).classList.toggle("wrong", wrong);
}

export const byId = (id) => document.getElementById(id);

// The browser puts words into a file.
export function download(words, name) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([words], { type: "text/plain;charset=utf-8" }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}
