// Lessons: a question first, the answer by doing. The words stand in a strip beside the way to work
// that the lesson needs.

import { el, find } from "./elements.js";

export class Lessons {
  // `show(lesson)` lays the lesson's sheets on the desk and opens its way to work.
  constructor(root, strip, sheet, link, show) {
    Object.assign(this, { root, strip, link, show, list: [], lesson: null });
    root.append(
      el("div", { class: "lesson-shelf" },
        el("h2", {}, "Lessons with the desk"),
        el("p", { class: "hint" }, "Each begins with a question. Guess first, then try it: the desk has the answer."),
        el("ol", { class: "lesson-list" }),
        el("p", { class: "none", hidden: true }, "There are no lessons here."),
        el("p", { class: "wrong lesson-fault", role: "status", hidden: true }),
      ),
    );
    sheet.on("message lessons", (message) => this.fill(message.lessons, message.fault));
    sheet.on("message lesson", (message) => this.begin(message));
  }

  enter() {
    this.link.send({ do: "lessons" }, { keep: true });
  }

  // `fault`: what is wrong with a lesson of the folder, in words.
  fill(lessons, fault = "") {
    this.list = lessons;
    const note = find(".lesson-fault", this.root);
    note.textContent = fault && `A lesson of this folder cannot be read: ${fault}`;
    note.hidden = !fault;
    find(".none", this.root).hidden = lessons.length > 0;
    find(".lesson-list", this.root).replaceChildren(
      ...lessons.map((lesson, k) =>
        el("li", {},
          el("button", { type: "button", class: "entry-button", "data-lesson": lesson.name, click: () => this.ask(lesson.name) },
            el("span", { class: "lesson-number", "aria-hidden": "true" }, `${lesson.number ?? k + 1}`),
            el("span", { class: "entry-name" }, lesson.title),
            lesson.question ? el("span", { class: "entry-words" }, lesson.question) : null,
          ),
        ),
      ),
    );
  }

  ask(name) {
    this.link.send({ do: "lesson", name }, { keep: true });
  }

  begin(lesson) {
    this.lesson = lesson;
    document.body.classList.add("in-lesson");
    this.strip.hidden = false;
    this.strip.replaceChildren(...this.words(lesson));
    this.show(lesson);
    find("h2", this.strip).focus({ preventScroll: true });
  }

  end() {
    this.lesson = null;
    this.strip.hidden = true;
    document.body.classList.remove("in-lesson");
  }

  words(lesson) {
    const { choices = [], steps = [], answer = [] } = lesson;
    const reply = el("p", { class: "lesson-reply", role: "status" });
    const truth = el("div", { class: "lesson-answer", hidden: true },
      el("h3", {}, "The answer"),
      ...answer.map((paragraph) => el("p", {}, paragraph)),
    );
    const reveal = el("button", { type: "button", class: "plain", "aria-expanded": "false", click: () => {
      truth.hidden = false;
      reveal.setAttribute("aria-expanded", "true");
      reveal.hidden = true;
      buttons.forEach((b, k) => b.classList.toggle("right", k === lesson.right));
      const [right] = buttons.filter((b, k) => k === lesson.right);
      if (right && !right.querySelector(".tick")) right.append(el("span", { class: "tick" }, " ✓ right"));
    } }, "Show the answer");
    const buttons = choices.map((choice) =>
      el("button", { type: "button", class: "choice", "aria-pressed": "false", click: (event) => {
        for (const b of buttons) b.setAttribute("aria-pressed", String(b === event.currentTarget));
        reply.textContent = "Your guess is kept. Now try it on the desk.";
      } }, choice),
    );
    const place = this.list.findIndex((l) => l.name === lesson.name);
    const other = (k, text) => {
      const next = this.list[k];
      return el("button", { type: "button", disabled: !next, click: () => next && this.ask(next.name) }, text);
    };
    return [
      el("p", { class: "lesson-place" },
        `Lesson ${lesson.number ?? place + 1}`,
        el("button", { type: "button", "aria-label": "Leave the lesson", click: () => this.end() }, "×"),
      ),
      el("h2", { tabindex: "-1" }, lesson.title),
      el("p", { class: "lesson-question" }, lesson.question),
      choices.length ? el("div", { class: "choices", role: "group", "aria-label": "Your guess" }, ...buttons) : null,
      reply,
      steps.length ? el("h3", {}, "Try it") : null,
      steps.length ? el("ol", { class: "lesson-steps" }, ...steps.map((step) => el("li", {}, step))) : null,
      reveal,
      truth,
      el("p", { class: "lesson-way" }, other(place - 1, "← Before"), other(place + 1, "Next →")),
    ].filter((part) => part !== null);
  }
}
