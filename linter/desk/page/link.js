// The socket to the server: questions and their answers, and what the server tells unasked.
export class Lost extends Error {}

export class Link {
  constructor(told, state) {
    this.told = told;
    this.state = state;
    this.waiting = new Map();
    this.number = 0;
    this.open();
  }

  open() {
    const address = new URL("socket", location.href);
    address.protocol = "ws:";
    this.socket = new WebSocket(address);
    this.socket.addEventListener("open", () => this.state(true));
    this.socket.addEventListener("message", (event) => this.heard(JSON.parse(event.data)));
    this.socket.addEventListener("close", () => {
      for (const { refuse } of this.waiting.values()) refuse(new Lost());
      this.waiting.clear();
      this.state(false);
      setTimeout(() => this.open(), 1000);
    });
  }

  heard(message) {
    const asked = this.waiting.get(message.id);
    if (asked === undefined) this.told(message);
    else {
      this.waiting.delete(message.id);
      asked.answer(message);
    }
  }

  // An answer may hold an `error` in words; Lost is thrown where the server has gone.
  ask(what, values = {}) {
    return new Promise((answer, refuse) => {
      if (this.socket.readyState !== WebSocket.OPEN) {
        refuse(new Lost());
        return;
      }
      this.number += 1;
      this.waiting.set(this.number, { answer, refuse });
      this.socket.send(JSON.stringify({ id: this.number, do: what, ...values }));
    });
  }
}
