// The plan redrawn for a season and month: crowns, leaf, flower, and hours of sun on the ground.

const plan = document.getElementById("plan");
const CLASSES = [[2, "#7f8a99"], [4, "#a5b0bd"], [6, "#d3d3b8"], [8, "#eedd99"], [Infinity, "#f8e36b"]];

function redrawPlants() {
  const layer = document.getElementById("plan-plants");
  const groups = [...layer.children].map((group) => {
    const plant = told.plants[group.dataset.plant];
    const crown = crownOf(plant, state.season, state.month);
    const there = typeof crown !== "number" && !plant.supported;
    const flower = flowerOf(plant, state.season, state.month);
    const leaf = leafOf(plant, state.month);
    // What is on a support or has no leaves above ground flowers at its place.
    const radius = there ? 100 * crown.radius : 0;
    const bloom = flower ? Math.max(0.55 * radius, 4 * plan.dataset.unit) : 0;
    for (const circle of group.querySelectorAll(".crown")) {
      circle.setAttribute("r", radius.toFixed(1));
      circle.setAttribute("class", `crown ${leaf}`);
      circle.style.fill = leaf === "turning" ? plant.autumn.paint : "";
    }
    for (const circle of group.querySelectorAll(".bloom")) {
      circle.setAttribute("r", bloom.toFixed(1));
      circle.setAttribute("fill", flower ? flower.paint : "none");
    }
    group.classList.toggle("absent", crown === NOT_THERE);
    return [there ? crown.top : 0, group];
  });
  // The tallest lie uppermost.
  groups.sort((one, other) => one[0] - other[0]);
  layer.append(...groups.map(([, group]) => group));
}

function redrawLight() {
  const layer = document.getElementById("plan-light");
  const shown = state.shows === "light" && told.light;
  plan.classList.toggle("lights", Boolean(shown));
  document.getElementById("key-plants").hidden = Boolean(shown);
  document.getElementById("key-light").hidden = !shown;
  layer.replaceChildren();
  if (!shown) return;
  const { left, front, size, places } = told.light;
  hoursOf(state.season, state.month).forEach((hours, index) => {
    const x = 100 * (left + places[2 * index] * size), y = -100 * (front + (places[2 * index + 1] + 1) * size);
    const paint = CLASSES.find(([below]) => hours < below)[1];
    const cell = drawn("g", { class: "cell" });
    cell.append(drawn("rect", { x: x.toFixed(1), y: y.toFixed(1), width: (100 * size).toFixed(1), height: (100 * size).toFixed(1), fill: paint }));
    const letters = Math.min(32 * size, 11 * plan.dataset.unit);
    cell.append(drawn("text", { x: (x + 50 * size).toFixed(1), y: (y + 50 * size + 0.35 * letters).toFixed(1), "font-size": letters.toFixed(2) }, String(Math.round(hours))));
    cell.dataset.hours = hours;
    layer.append(cell);
  });
}

function sayPlan() {
  const counts = { leaf: 0, flower: 0, bare: 0, below: 0, absent: 0 };
  for (const plant of told.plants) {
    const crown = crownOf(plant, state.season, state.month);
    if (flowerOf(plant, state.season, state.month)) counts.flower += 1;
    if (crown === NOT_THERE) counts.absent += 1;
    else if (crown === NOTHING_UP) counts.below += 1;
    else counts[leafOf(plant, state.month) === "bare" ? "bare" : "leaf"] += 1;
  }
  const words = { leaf: "in leaf", flower: "in flower", bare: "bare", below: "below ground", absent: "not there" };
  const parts = Object.entries(words).filter(([name]) => counts[name]).map(([name, word]) => `${counts[name]} ${word}`);
  const said = `${whenInWords()}: of ${told.plants.length} plants and groups ${parts.join(", ")}`;
  const sentence = `${said[0].toUpperCase()}${said.slice(1)}.`;
  document.getElementById("plan-says").textContent = sentence;
  document.getElementById("plan-when").textContent = sentence;
  document.getElementById("news").textContent = sentence;
}

function redrawPlan(changed) {
  const time = changed.includes("season") || changed.includes("month");
  if (time) redrawPlants();
  if (time || changed.includes("shows")) redrawLight();
  if (time) sayPlan();
}

const lightKey = document.getElementById("key-light");
if (told.light) {
  let from = 0;
  for (const [below, paint] of CLASSES) {
    const mark = drawn("svg", { class: "mark", viewBox: "0 0 22 22", "aria-hidden": "true" });
    mark.append(drawn("rect", { x: 1, y: 1, width: 20, height: 20, fill: paint, stroke: "#666" }));
    lightKey.append(made("li", {}, mark, below === Infinity ? `${from} hours and more` : `${from} to ${below} hours`));
    from = below;
  }
} else {
  document.querySelector('input[name="shows"][value="light"]').disabled = true;
}
for (const radio of document.querySelectorAll('input[name="shows"]')) {
  radio.addEventListener("change", () => change({ shows: radio.value }));
}
const signs = document.getElementById("signs");
const showSigns = () => plan.classList.toggle("unsigned", !signs.checked);
signs.addEventListener("change", showSigns);
showSigns();
onChange(redrawPlan);
