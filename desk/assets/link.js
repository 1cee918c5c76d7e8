// The line to the server. It opens again by itself when it breaks; what is on the page is not lost.

const FIRST_WAIT = 300;
const LONGEST_WAIT = 5000;

export class Link {
  // `take(message)` gets what comes; `changed(open)` is told when the line opens or breaks.
  constructor(take, changed) {
    Object.assign(this, { take, changed });
    this.wait = FIRST_WAIT;
    this.queue = [];
    this.connect();
  }

  connect() {
    const address = new URL("socket", location.href);
    address.protocol = location.protocol === "https:" ? "wss:" : "ws:";
    this.socket = new WebSocket(address);
    this.socket.addEventListener("open", () => {
      this.wait = FIRST_WAIT;
      const waiting = this.queue.splice(0);
      this.changed(true);
      for (const text of waiting) this.socket.send(text);
    });
    this.socket.addEventListener("message", (event) => this.take(JSON.parse(event.data)));
    this.socket.addEventListener("close", () => {
      this.changed(false);
      setTimeout(() => this.connect(), this.wait);
      this.wait = Math.min(2 * this.wait, LONGEST_WAIT);
    });
  }

  get open() {
    return this.socket.readyState === WebSocket.OPEN;
  }

  // Edits are not kept for later: whoever holds the newest text sends it when the line is back.
  send(message, { keep = false } = {}) {
    const text = JSON.stringify(message);
    if (this.open) this.socket.send(text);
    else if (keep) this.queue.push(text);
  }
}
