// The open file as the page knows it: its text, what the server drew and found of it, and which
// turn each of them belongs to. What is older than the last edit is stale.

import { History } from "./history.js";

// A run of typing without such a pause (milliseconds) is one step of undo.
const PAUSE = 900;
// So many turns back it is known which gesture made them, and when.
const KEPT = 500;
// An answer that takes longer (milliseconds) is not waited for.
const LONG = 6000;

export class Sheet {
  constructor(link) {
    Object.assign(this, { link, turn: 0, heard: {}, gestures: new Map(), since: new Map(), path: null });
    Object.assign(this, { asked: 0, met: 0, askedAt: 0 });
    this.clear();
  }

  clear() {
    Object.assign(this, {
      open: false,
      text: "",
      handles: [],
      drawing: null,
      result: null,
      refusal: null,
      pending: null,
      dirty: false,
      name: "",
      // Turns: of the last text that did not come from the server, of what is shown.
      own: 0,
      drawn: -1,
      answered: -1,
    });
    this.history = new History("");
  }

  on(name, act) {
    (this.heard[name] ??= []).push(act);
  }

  tell(name, ...values) {
    for (const act of this.heard[name] ?? []) act(...values);
  }

  // True while no answer to the last edit has come.
  get stale() {
    return this.answered < this.turn;
  }

  get settled() {
    return !this.stale && this.result?.stage === "full";
  }

  // -- what the hand does -------------------------------------------------------------------------
  // `since`: when the hand did it.
  next(gesture = null, since = performance.now()) {
    this.turn += 1;
    this.gestures.set(this.turn, gesture);
    this.since.set(this.turn, since);
    for (const turn of this.gestures.keys()) {
      if (turn >= this.turn - KEPT) break;
      this.gestures.delete(turn);
      this.since.delete(turn);
    }
    this.tell("stale");
    return this.turn;
  }

  // Something else than an edit of values, such as opening a file; answered by a new sheet.
  ask(message) {
    this.fresh = true;
    this.link.send({ ...message, turn: this.next() }, { keep: true });
  }

  // What was asked for cannot be opened: the sheet that lies here stays, and is told of once more.
  stay() {
    if (!this.fresh) return;
    this.fresh = false;
    if (this.open) this.link.send({ do: "rest", turn: this.turn });
  }

  // Values by their addresses. During a gesture the next message goes when the last is answered: a
  // newer wish ends the older, so that without a pause none would be met. `held`: by a handle that
  // is still in the hand; what it need not see then is left out until it lets go.
  set(changes, gesture = null, held = false) {
    this.pending = { changes, gesture, held: held && this.what === "section", since: performance.now() };
    if (!this.busy) this.flush();
  }

  letGo() {
    if (this.pending) this.pending.held = false;
    this.flush();
    if (this.heldTurn === this.turn) this.link.send({ do: "rest", turn: this.turn });
    this.heldTurn = -1;
  }

  // True while the last edit of values waits for its picture, unless that takes too long.
  get busy() {
    return this.asked > this.met && performance.now() - this.askedAt < LONG;
  }

  // At once, before the answer is drawn: the server works on the next wish meanwhile.
  meet(turn) {
    this.met = Math.max(this.met, turn);
    if (!this.busy) this.flush();
  }

  flush() {
    if (!this.pending) return;
    const { changes, gesture, held, since } = this.pending;
    this.pending = null;
    this.asked = this.next(gesture, since);
    this.askedAt = performance.now();
    this.heldTurn = held ? this.asked : -1;
    this.link.send({ do: "set", turn: this.asked, changes, ...(held && { held }) });
  }

  // An edit that only the server can make, such as a cut.
  edit(message) {
    this.flush();
    this.link.send({ ...message, turn: this.next() });
  }

  // The whole text, typed.
  type(text) {
    const now = performance.now();
    if (!this.typing || now - this.typing.last > PAUSE) this.typing = { run: `typing ${now}` };
    this.typing.last = now;
    this.history.take(text, this.typing.run);
    this.replace(text);
  }

  replace(text) {
    this.pending = null;
    this.text = text;
    this.dirty = true;
    this.own = this.next();
    this.link.send({ do: "text", turn: this.turn, text });
    this.tell("text");
  }

  undo() {
    this.flush();
    this.back(this.history.undo());
  }

  redo() {
    this.back(this.history.redo());
  }

  back(text) {
    this.typing = null;
    if (text !== null) this.replace(text);
  }

  // The line was broken: the server is told again what stands here.
  again() {
    if (this.open) {
      this.link.send({ do: "resume", turn: this.next(), path: this.path, text: this.text });
    }
  }

  // -- what the server answers ----------------------------------------------------------------------
  takeSheet(message) {
    if (message.turn < this.own) return;
    const opened = this.fresh || !this.open;
    if (opened) {
      if (message.turn < this.turn) return;
      this.clear();
      this.history = new History(message.text);
      Object.assign(this, { open: true, own: message.turn });
      this.fresh = false;
    } else if (message.turn !== this.own) {
      this.history.take(message.text, this.gestures.get(message.turn) ?? null);
    }
    Object.assign(this, {
      text: message.text,
      path: message.path,
      name: message.name ?? message.path ?? "",
      dirty: message.dirty,
      what: message.what,
      handles: message.handles ?? (opened ? [] : this.handles),
      refusal: null,
    });
    this.tell(opened ? "opened" : "sheet");
    this.tell("text");
  }

  takeDrawing(message) {
    if (message.turn < Math.max(this.own, this.drawn)) return;
    this.drawn = message.turn;
    this.drawing = message;
    if (this.refusal && this.refusal.turn <= message.turn) this.refusal = null;
    if (message.handles) this.handles = message.handles;
    this.tell("drawing");
    this.tell("handles");
  }

  takeResult(message) {
    const older = message.turn < this.answered;
    const coarser =
      message.turn === this.answered && this.result?.stage === "full" && message.stage !== "full";
    if (older || coarser || message.turn < this.own) return;
    this.meet(message.turn);
    this.answered = message.turn;
    this.result = message;
    this.tell("result");
  }

  takeRefusal(message) {
    this.meet(message.turn ?? this.turn);
    if (message.turn !== undefined && message.turn < this.turn) return;
    this.refusal = message;
    this.tell("refused");
  }

  takePlan(message) {
    if (message.turn < this.own) return;
    this.plan = message.plan;
    this.handles = message.handles ?? [];
    this.tell("plan");
    this.tell("handles");
  }

  takeOutside(message) {
    if (this.dirty) {
      this.tell("outside", message);
      return;
    }
    this.takeTheirs(message.text);
  }

  // What is on disk takes the place of what was here; undo leads back.
  takeTheirs(text) {
    this.history.take(text);
    this.replace(text);
    this.dirty = false;
    this.tell("followed");
  }

  takeSaved(message) {
    Object.assign(this, { path: message.path, dirty: false });
    this.tell("saved");
  }
}
