// The desk: a file, its drawing, its text and its numbers, kept in step.

import { find } from "./elements.js";
import { BesideView } from "./beside_view.js";
import { Condition } from "./condition.js";
import { Controls } from "./desk_controls.js";
import { Handles } from "./handles.js";
import { Keeping } from "./keeping.js";
import { drawLegend } from "./legend.js";
import { Leaving } from "./leaving.js";
import { Lessons } from "./lessons.js";
import { Link } from "./link.js";
import { MemberView } from "./member_view.js";
import { Notice } from "./notice.js";
import { Opening } from "./opening.js";
import { PushView } from "./push_view.js";
import { Readings } from "./readings.js";
import { Sheet } from "./sheet.js";
import { Stage } from "./stage.js";
import { TextView } from "./text_view.js";
import { TorqueField } from "./torque_field.js";
import { Ways } from "./ways.js";

// Under a moving hand the text is laid out anew after such a pause, milliseconds.
const TEXT_PAUSE = 120;
const MOST_MEASURES = 2000;
// Ways to work whose drawings can be exported.
const SEEN = ["shape", "push", "member", "beside"];

class Desk {
  constructor() {
    const notice = new Notice();
    this.say = (words, stay) => notice.say(words, stay);
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
    this.condition = new Condition(sheet, this.readings);
    this.leaving = new Leaving(sheet);
    this.opening = new Opening(
      find("#opening"),
      (message) => sheet.ask(message),
      (words) => this.say(words),
      (act) => this.leaving.leave(act),
    );
    this.keeping = new Keeping(sheet, this.link, (words) => this.say(words));
    this.push = new PushView(find("#push"), sheet, this.link);
    this.beside = new BesideView(find("#beside"), sheet, this.link);
    this.member = new MemberView(find("#member"), sheet, this.link);
    this.lessons = new Lessons(find("#lessons"), find("#lesson-strip"), sheet, this.link, (lesson) =>
      this.layLesson(lesson),
    );
    this.ways = new Ways((way) => this.went(way));
    this.controls = new Controls(sheet, this.stage, this.keeping, () => {
      this.link.send({ do: "list" });
      this.ways.go("opening");
    });
    this.torque = new TorqueField(this.stage);
    this.listen();
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
    this.condition.online = open;
    this.mark();
    if (!open) {
      this.lost = true;
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
    this.condition.forget();
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
    this.torque.refresh();
    this.mark();
  }

  mark() {
    this.member?.state(this.condition.mark());
    this.buttons();
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
      this.leaving.leave(() => {
        this.sheet.ask({ do: "resume", path: null, name: first.name, text: first.text, clean: true });
        this.leaving.lent = true;
        this.push.wanted = push ?? null;
        this.ways.go(way);
      });
      return;
    }
    this.ways.go(way);
  }

  went(way) {
    find("#export").hidden = !SEEN.includes(way);
    find("[data-export=report]").disabled = !this.sheet.open;
    if (way === "shape") this.stage.resize();
    this[way]?.enter?.();
  }
}

window.desk = new Desk();
document.documentElement.dataset.ready = "yes";
