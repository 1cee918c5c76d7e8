// Starts what is live in the page. Data lies in a block that no browser runs as a script.

import { LiveMember } from "./live_member.js";
import { LiveFilm, LiveSection } from "./live_section.js";

const find = (id) => document.getElementById(id);

function start() {
  const data = JSON.parse(find("live-data").textContent);
  // Blocks are hidden until there is a script to fill them; they need their size from here on.
  document.documentElement.dataset.ready = "yes";
  const sections = data.sections.map(
    (section) => new LiveSection(find(`live-section${section.suffix}`), section),
  );
  const views = sections.map((section) => section.view);
  if (find("live-film")) {
    const film = new LiveFilm(find("live-film"), data.sections[0], sections[0].fields);
    views.push(film.view);
  }
  if (data.member) follow(find("live-member"), data.member, sections);
  for (const view of views) repaintOn(view);
}

// The section at the marker is shown, under the actions there; the others wait.
function follow(root, member, sections) {
  const show = (index, actions) => {
    sections.forEach((section, k) => {
      section.root.hidden = k !== index;
      find(`follows${section.data.suffix}`).hidden = k !== index;
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
