// Starts what is live in the page. Data lies in a block that no browser runs as a script.

import { Fields } from "./fields.js";
import { LiveMember } from "./live_member.js";
import { LiveModes } from "./live_modes.js";
import { LiveFilm, LiveSection } from "./live_section.js";

const find = (id) => document.getElementById(id);

function start() {
  const data = JSON.parse(find("live-data").textContent);
  // Blocks are hidden until there is a script to fill them; they need their size from here on.
  document.documentElement.dataset.ready = "yes";
  const views = [];
  const sections = [];
  for (const section of data.sections) {
    const [root, film] = ["section", "film"].map((name) => find(`live-${name}${section.suffix}`));
    const live = root && new LiveSection(root, section);
    if (live) {
      sections.push(live);
      views.push(live.view);
    }
    if (film) views.push(new LiveFilm(film, section, live?.fields ?? new Fields(section)).view);
  }
  if (data.member) follow(find("live-member"), data.member, sections);
  if (data.modes) new LiveModes(find("live-modes"), data.modes);
  for (const view of views) repaintOn(view);
}

// The section at the marker is shown, under the actions there; the others wait.
function follow(root, member, sections) {
  const show = (index, actions, where) => {
    sections.forEach((section, k) => {
      section.root.hidden = k !== index;
      const head = find(`follows${section.data.suffix}`);
      head.hidden = k !== index;
      head.querySelector(".where").textContent = `: ${where}`;
    });
    if (!sections[index]) return;
    sections[index].data.opening = actions; // what "Back to the start" means here
    sections[index].controls.setAll(actions);
  };
  return new LiveMember(root, member, show);
}

// Ink and paper follow the theme; on paper everything is drawn dark on white.
function repaintOn(view) {
  for (const query of ["(prefers-color-scheme: dark)", "print"]) {
    matchMedia(query).addEventListener("change", () => view.draw());
  }
}

start();
