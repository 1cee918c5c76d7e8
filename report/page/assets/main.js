// Starts what is live in the page. Data lies in a block that no browser runs as a script.

import { LiveFilm, LiveSection } from "./live_section.js";

function start() {
  const data = JSON.parse(document.getElementById("live-data").textContent);
  const views = [];
  // Blocks are hidden until there is a script to fill them; they need their size from here on.
  document.documentElement.dataset.ready = "yes";
  if (data.section) {
    const section = new LiveSection(document.getElementById("live-section"), data.section);
    const film = new LiveFilm(document.getElementById("live-film"), data.section, section.fields);
    views.push(section.view, film.view);
  }
  for (const view of views) repaintOn(view);
}

// Ink and paper follow the theme; on paper everything is drawn dark on white.
function repaintOn(view) {
  for (const query of ["(prefers-color-scheme: dark)", "print"]) {
    matchMedia(query).addEventListener("change", () => view.draw());
  }
}

start();
