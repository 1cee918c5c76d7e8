// The desk: a file, its drawing, its text and its numbers, kept in step.

import { find } from "./elements.js";
import { BesideView } from "./beside_view.js";
import { Handles } from "./handles.js";
import { Keeping } from "./keeping.js";
import { drawLegend } from "./legend.js";
import { Lessons } from "./lessons.js";
import { Link } from "./link.js";
import { MemberView } from "./member_view.js";
import { noNumber, numberField, typed } from "./numbers.js";
import { Opening } from "./opening.js";
import { PushView } from "./push_view.js";
import { Readings, changeText, spoken } from "./readings.js";
import { Sheet } from "./sheet.js";
import { Stage } from "./stage.js";
import { TextView } from "./text_view.js";
import { written } from "./rounding.js";
import { unitText } from "./unit_text.js";
import { Ways } from "./ways.js";

// How long words stay that need no answer, and how long numbers rest before they are read aloud.
const NOTICE = 8000;
const TEXT_PAUSE = 120;
const REST = 700;
const TORQUE = 5;
const MOST_MEASURES = 2000;
// Ways to work whose drawings can be exported.
const SEEN = ["shape", "push", "member", "beside"];

class Desk {
  constructor() {
    this.link = new Link(
      (message) => this.take(message),
      (open) => this.online(open),
    );
    const sheet = (this.sheet = new Sheet(this.link));
    this.stage = new Stage(
      find("#stage"),
      () => this.handles?.place(),
      (turn) => this.pictured(turn),
    );
    this.stage.onScale = () => this.legend();
    this.handles = new Handles(find("#handles"), sheet, this.stage);
    this.text = new TextView(find("#text"), find("#gutter"), sheet);
    this.readings = new Readings(find("#readings"), {
      list: find("#readings dl"),
      mark: find("#reading-mark"),
    });
    this.opening = new Opening(
      find("#opening"),
      (message) => sheet.ask(message),
      (words) => this.say(words),
      (act) => this.leave(act),
    );
    this.keeping = new Keeping(sheet, this.link, (words) => this.say(words));
    this.push = new PushView(find("#push"), sheet, this.link);
    this.beside = new BesideView(find("#beside"), sheet, this.link);
    this.member = new MemberView(find("#member"), sheet, this.link);
    this.lessons = new Lessons(find("#lessons"), find("#lesson-strip"), sheet, this.link, (lesson) =>
      this.layLesson(lesson),
    );
    this.ways = new Ways((way) => this.went(way));
    this.listen();
    this.press();
    this.keys();
    this.torqueField();
  }

  listen() {
    const { sheet } = this;
    sheet.on("opened", () => this.opened());
    for (const what of ["sheet", "handles"]) {
      sheet.on(what, () => sheet.what !== "member" && this.handles.refresh());
    }
    sheet.on("text", () => this.texted());
    sheet.on("drawing", () => {
      this.stage.setDrawing(sheet.drawing);
      this.refusal();
    });
    sheet.on("result", () => this.solved());
    sheet.on("refused", () => this.refusal());
    sheet.on("stale", () => this.mark());
    sheet.on("saved", () => {
      this.heading();
      this.say(`Saved as ${sheet.path}.`);
    });
    sheet.on("followed", () => this.say(`${sheet.path} was changed outside: shown as it is now.`));
    sheet.on("outside", (message) =>
      this.keeping.ask({
        ...message,
        words:
          `${sheet.path} was changed by another program while you were working on it here. ` +
          "Your text is still on the desk.",
      }),
    );
  }

  // -- what the server says -------------------------------------------------------------------------
  take(message) {
    const { sheet, opening, keeping } = this;
    const acts = {
      files: () => opening.fill(message),
      sheet: () => sheet.takeSheet(message),
      drawing: () => sheet.takeDrawing(message),
      plan: () => sheet.takePlan(message),
      result: () => sheet.takeResult(message),
      refused: () => this.refused(message),
      failed: () => this.failed(message),
      saved: () => sheet.takeSaved(message),
      conflict: () => keeping.ask(message),
      exported: () => keeping.exported(message),
      "changed-outside": () => sheet.takeOutside(message),
    };
    acts[message.kind]?.();
    this.sheet.tell(`message ${message.kind}`, message);
  }

  // What was asked for beside the sheet is answered where it was asked; a file that cannot be opened
  // leaves the one on the desk.
  refused(message) {
    const { sheet, opening } = this;
    if (message.k !== undefined) return;
    if (message.needs === "unit") opening.askUnit(message.words);
    else if (message.count !== undefined) this.push.refused(message);
    else if (sheet.open && !sheet.fresh) {
      sheet.takeRefusal(message);
      this.member.motion.refused();
    } else {
      sheet.stay();
      this.say(message.words);
    }
  }

  online(open) {
    this.open = open;
    this.mark();
    if (!open) {
      this.say("The server does not answer. Your text stays here; the desk keeps trying.", true);
      return;
    }
    if (this.lost) this.say("The server answers again.");
    this.lost = false;
    this.link.send({ do: "list" });
    this.sheet.again();
  }

  failed(message) {
    this.sheet.meet(message.turn);
    this.say(message.words);
    this.mark();
  }

  opened() {
    const { sheet } = this;
    this.stage.clear();
    this.text.clear();
    this.handles.refresh();
    find("nav.ways").hidden = false;
    find(".tools").hidden = false;
    const member = sheet.what === "member";
    document.body.classList.toggle("has-member", member);
    find("button[data-way=member]").hidden = !member;
    for (const way of ["shape", "push"]) find(`button[data-way=${way}]`).hidden = member;
    const { way } = this.ways;
    const fits = member ? way === "member" : way === "shape" || way === "push";
    if (!fits) this.ways.go(member ? "member" : "shape");
    this.readings.show([]);
    Object.assign(this, { before: null, now: null, settledTurn: -1 });
    this.mark();
  }

  // Under a moving hand the text follows a few times a second: laying it out anew takes longer than
  // the drawing.
  texted() {
    const show = () => {
      clearTimeout(this.texting);
      this.texting = undefined;
      this.text.refresh();
      this.heading();
    };
    if (this.stage.held) this.texting ??= setTimeout(show, TEXT_PAUSE);
    else show();
  }

  // -- keeping all views in step --------------------------------------------------------------------
  solved() {
    const { sheet } = this;
    const { result } = sheet;
    if (result.field) this.stage.setResult(result.field, result.turn);
    if (result.values && sheet.what !== "member") this.readings.show(result.values);
    this.handles.answered(result.turn);
    this.torqueShown?.();
    this.mark();
  }

  mark() {
    const { sheet } = this;
    const state = !sheet.result
      ? "none"
      : !this.open
        ? "lost"
        : sheet.stale
          ? sheet.refusal
            ? "refused"
            : "stale"
          : sheet.result.stage === "full"
            ? "full"
            : "coarse";
    this.readings?.state(state, state === "full" ? this.change() : "");
    document.documentElement.dataset.state = state;
    this.member?.state(state);
    clearTimeout(this.speaking);
    if (state === "full") this.speaking = setTimeout(() => this.speak(), REST);
    this.buttons();
  }

  // The torsion constant against that of the state before, kept until the next edit has settled.
  change() {
    const { sheet } = this;
    const now = sheet.result.values?.find((v) => v.symbol === "J");
    if (this.settledTurn !== sheet.turn) {
      this.before = this.now;
      this.now = now;
      this.settledTurn = sheet.turn;
    }
    return changeText(now, this.before);
  }

  speak() {
    if (this.sheet.settled && this.sheet.result.values) {
      const change = changeText(this.now, this.before).slice(2);
      find("#said").textContent = [spoken(this.sheet.result.values), change].filter(Boolean).join("; ");
    }
  }

  // From the hand's move to the frame after the one that shows its result: the browser's own
  // performance panel and the benchmarks read it.
  pictured(turn) {
    document.documentElement.dataset.pictured = turn;
    const start = this.sheet.since.get(turn);
    if (start === undefined) return;
    requestAnimationFrame(() => {
      performance.measure("hand to picture", { start, end: performance.now(), detail: turn });
      if (performance.getEntriesByType("measure").length > MOST_MEASURES) performance.clearMeasures();
    });
  }

  heading() {
    const { sheet } = this;
    const name = sheet.name || "new sheet";
    find("#file-name").textContent = name;
    find("#file-state").textContent = sheet.dirty ? "· not saved" : "";
    document.title = `${sheet.dirty ? "• " : ""}${name} – soapfilm desk`;
    this.buttons();
  }

  buttons() {
    const { history } = this.sheet;
    find("[data-press=undo]").disabled = !history.canUndo;
    find("[data-press=redo]").disabled = !history.canRedo;
  }

  // What is refused is said at its place: in the drawing, and at its line of the text.
  refusal() {
    const { sheet, stage } = this;
    const box = find("#refusal");
    const note = find("#text-wrong");
    const { refusal } = sheet;
    box.hidden = note.hidden = !refusal;
    this.texted();
    if (refusal) {
      box.textContent = note.textContent = refusal.words;
      const place = refusal.place ?? this.handles.held?.handle.place;
      const [px, py] = place ? stage.view.toScreen(...place) : [12, 12];
      const { width, height } = stage.view;
      const x = Math.min(Math.max(px + 16, 8), Math.max(8, width - box.offsetWidth - 8));
      const y = Math.min(Math.max(py + 16, 8), Math.max(8, height - box.offsetHeight - 48));
      box.style.transform = `translate(${x}px, ${y}px)`;
      this.handles.answered(refusal.turn ?? sheet.turn);
    }
    find("#empty-words").hidden = !(sheet.open && !sheet.drawing && !sheet.text.includes("[["));
    this.mark();
  }

  legend() {
    const { stage } = this;
    if (!stage.data) return;
    const unit = stage.data.stressUnit;
    const title = `shear stress${unit ? ` (${unit})` : ""}`;
    const { magnitude } = stage.data.colours;
    drawLegend(find(".key .legend"), magnitude, [0, stage.top], title, stage.fields.corners.length > 0);
  }

  // The torque whose stress is shown: it stays while the section changes under it.
  torqueField() {
    const field = find("#torque");
    const shown = () => (this.stage.torque === null ? "" : written(Number(this.stage.torque.toPrecision(4))));
    numberField(
      field,
      find("#torque-wrong"),
      (text) => typed(text) ?? noNumber(text),
      (value) => this.stage.setTorque(value),
      shown,
    );
    this.torqueShown = () => {
      if (document.activeElement !== field) field.value = shown();
      find("#torque-unit").textContent = unitText(this.stage.data?.actions?.[TORQUE]?.unit);
    };
  }

  // -- what the hand does beside the drawing ----------------------------------------------------------
  press() {
    const { sheet, stage } = this;
    const toggle = (button, on) => button.setAttribute("aria-pressed", String(on));
    const acts = {
      opening: () => {
        this.link.send({ do: "list" });
        this.ways.go("opening");
      },
      undo: () => sheet.undo(),
      redo: () => sheet.redo(),
      save: () => this.keeping.save(),
      closer: () => stage.zoom(1.6),
      farther: () => stage.zoom(1 / 1.6),
      all: () => stage.fit(),
      hush: () => {
        find("#notice").hidden = true;
      },
      lines: (button) => {
        stage.lines = stage.lines === false;
        toggle(button, stage.lines);
        stage.request();
      },
      slit: (button) => {
        const on = !stage.cutting;
        stage.cut(on);
        toggle(button, on);
        find(".paper").classList.toggle("cutting", on);
      },
      script: (button) => {
        const hidden = find(".script").classList.toggle("folded");
        button.textContent = hidden ? "Text" : "Hide";
        button.setAttribute("aria-expanded", String(!hidden));
      },
      projector: (button) => {
        const on = document.documentElement.classList.toggle("projecting");
        toggle(button, on);
      },
    };
    for (const [name, act] of Object.entries(acts)) {
      for (const button of document.querySelectorAll(`[data-press=${name}]`)) {
        if (!button.closest("#opening")) button.addEventListener("click", () => act(button));
      }
    }
    this.acts = acts;
    stage.onCut = (at) => sheet.edit({ do: "slit", at });
    find("#stage").addEventListener("click", (event) => {
      if (stage.cutting) stage.onCut(stage.view.toSection(event.offsetX, event.offsetY));
    });
  }

  keys() {
    addEventListener("keydown", (event) => {
      if (!(event.ctrlKey || event.metaKey) || !this.sheet.open || find("dialog[open]")) return;
      const key = event.key.toLowerCase();
      const act =
        key === "z"
          ? event.shiftKey
            ? "redo"
            : "undo"
          : { y: "redo", s: "save", p: event.shiftKey ? "projector" : null }[key];
      // A field that is being typed in has its own undo; the file's text has the sheet's.
      const other = event.target.matches?.("input") && act !== "save" && act !== "projector";
      if (!act || other) return;
      event.preventDefault();
      this.acts[act](find(`[data-press=${act}]`));
    });
    addEventListener("beforeunload", (event) => {
      if (this.sheet.dirty) event.preventDefault();
    });
  }

  // A lesson's sheets on the desk: one to work on, or several side by side.
  layLesson({ sheets = [], view, equal, push }) {
    const ways = { section: "shape", film: "beside" };
    const way = ways[view] ?? view ?? "shape";
    const [first] = sheets;
    if (way === "beside") {
      this.beside.clear();
      this.beside.under(equal ?? undefined);
      for (const sheet of sheets) this.beside.add("text", sheet.text, sheet.name);
    } else if (first) {
      this.leave(() => {
        this.sheet.ask({ do: "resume", path: null, name: first.name, text: first.text, clean: true });
        this.lent = true;
        this.push.wanted = push ?? null;
        this.ways.go(way);
      });
      return;
    }
    this.ways.go(way);
  }

  // Another sheet takes the place of this one: what is not saved is asked for. What was tried on a
  // lesson's sheet is not missed.
  leave(act) {
    const { sheet } = this;
    const now = () => {
      this.lent = false;
      act();
    };
    if (!sheet.open || !sheet.dirty || this.lent) {
      now();
      return;
    }
    const dialog = find("#leaving");
    find(".words", dialog).textContent = `“${sheet.name || "new sheet"}” has changes that are in no file yet.`;
    dialog.returnValue = "stay";
    dialog.onclose = () => {
      if (dialog.returnValue === "leave") now();
    };
    dialog.showModal();
  }

  went(way) {
    find("#export").hidden = !SEEN.includes(way);
    find("[data-export=report]").disabled = !this.sheet.open;
    if (way === "shape") this.stage.resize();
    this[way]?.enter?.();
  }

  say(words, stay = false) {
    const notice = find("#notice");
    find("span", notice).textContent = words;
    notice.hidden = false;
    this.lost ||= stay;
    clearTimeout(this.hushing);
    if (!stay) {
      this.hushing = setTimeout(() => {
        notice.hidden = true;
      }, NOTICE);
    }
  }
}

window.desk = new Desk();
document.documentElement.dataset.ready = "yes";
