// A solution written from the proof, in a voice, looked at before it is put into the text.
import { byId, say, word } from "./words.js";

const chosen = (name) => document.querySelector(`#writing input[name=${name}]:checked`).value;

export class Writing {
  constructor(desk) {
    this.desk = desk;
    for (const input of document.querySelectorAll("#writing input")) input.addEventListener("change", () => this.draft());
    byId("writing-insert").addEventListener("click", () => {
      byId("writing").close();
      desk.text.insert(this.written, { lines: chosen("what") === "missing" });
    });
  }

  show() {
    byId("writing").showModal();
    this.draft();
  }

  async draft() {
    const { desk } = this;
    byId("writing-words").value = "";
    say("writing-wrong", word("proving_now"));
    byId("writing-insert").disabled = true;
    const asked = `${chosen("voice")} ${chosen("what")}`;
    this.asked = asked;
    let wrong = null;
    const answer = await desk.ask("draft", { name: desk.name ?? "", at: desk.text.cursor, voice: chosen("voice"), what: chosen("what") }, (error) => { wrong = error; });
    if (this.asked !== asked) return;
    byId("writing-words").value = answer?.text ?? "";
    this.written = answer?.written ?? "";
    byId("writing-for").textContent = answer?.title ? word("writing_for", answer) : word("writing_here");
    say("writing-wrong", wrong ?? (answer.text ? "" : word("none_missing")), wrong !== null);
    byId("writing-insert").disabled = !answer?.text || !desk.text.writing;
  }
}
