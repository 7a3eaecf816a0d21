// A finding or a plant is chosen: it is lit up in every drawing, and told with its line of the plan file.

const chosen = document.getElementById("chosen");
const nothing = chosen.firstElementChild;
chosen.classList.add("hint");

function chosenPlants() {
  if (state.finding !== null) return told.findings[state.finding].plants;
  return state.plant !== null ? [state.plant] : [];
}

function placeOf(place, line) {
  const told = made("p", { class: "place" }, made("span", {}, place));
  if (line) told.append(made("code", {}, line));
  return told;
}

function findingButton(number) {
  const finding = told.findings[number];
  const button = made("button", { type: "button", class: "plain" }, `${finding.number} ${finding.name} (${finding.code})`);
  button.addEventListener("click", () => change({ finding: number, plant: null }));
  return button;
}

function plantButton(number) {
  const button = made("button", { type: "button", class: "plain" }, told.plants[number].title);
  button.addEventListener("click", () => change({ finding: null, plant: number }));
  return button;
}

function tellFinding(number) {
  const finding = told.findings[number];
  const parts = [made("h3", {}, `${finding.number} ${finding.name}`), made("p", {}, finding.message)];
  if (finding.mend) parts.push(made("p", {}, made("b", {}, "To mend it: "), finding.mend));
  if (finding.tried) parts.push(made("p", {}, made("b", {}, "Tried: "), finding.tried));
  parts.push(placeOf(finding.place, finding.line));
  if (finding.plants.length) {
    const list = made("p", {}, "Plants: ");
    finding.plants.forEach((plant, index) => list.append(...(index ? ["; "] : []), plantButton(plant)));
    parts.push(list);
  } else if (!finding.structures.length) parts.push(made("p", { class: "quiet" }, "It is about the plan as a whole."));
  const back = made("a", { href: `#finding-${finding.number}` }, "To it in the list of findings");
  parts.push(made("p", {}, back));
  return parts;
}

function tellPlant(number) {
  const plant = told.plants[number];
  const crown = crownOf(plant, state.season, state.month), flower = flowerOf(plant, state.season, state.month);
  const size = typeof crown === "number" || plant.supported ? "" : `${metres(crown.top)} high, ${metres(2 * crown.radius)} wide, `;
  const blooms = flower ? `; in flower, ${flower.words}` : "";
  const support = plant.supported ? "grows on a support or through a host; " : plant.kept ? "was there before; " : "";
  const parts = [made("h3", {}, plant.title), made("p", {}, `In ${whenInWords()}: ${support}${size}${leafInWords(plant, state.season, state.month)}${blooms}.`)];
  parts.push(placeOf(`${told.file}:${plant.place}`, plant.line));
  const about = told.findings.map((finding, index) => [finding, index]).filter(([finding]) => finding.plants.includes(number));
  if (about.length) {
    const list = made("ul", {});
    for (const [, index] of about) list.append(made("li", {}, findingButton(index)));
    parts.push(made("p", {}, "Findings about it:"), list);
  } else parts.push(made("p", {}, "No finding is about it."));
  return parts;
}

function lightUp() {
  const lit = new Set(chosenPlants()), finding = state.finding === null ? null : told.findings[state.finding];
  plan.classList.toggle("choosing", lit.size > 0);
  for (const [kind, name] of [["plant", ".plant"], ["drift", ".drift"], ["label", ".label"]]) {
    for (const element of plan.querySelectorAll(name)) element.classList.toggle("lit", lit.has(Number(element.dataset[kind] ?? -1)));
  }
  for (const sign of plan.querySelectorAll(".sign")) sign.classList.toggle("lit", Number(sign.dataset.finding) === state.finding);
  const structures = new Set(finding ? finding.structures : []);
  for (const element of plan.querySelectorAll(".structure")) element.classList.toggle("lit", structures.has(Number(element.dataset.structure)));
  for (const button of document.querySelectorAll("button.choose")) {
    const here = Number(button.dataset.finding) === state.finding;
    button.setAttribute("aria-pressed", String(here));
    button.closest(".finding").classList.toggle("lit", here);
  }
  lightUpElevation();
}

function redrawChosen(changed) {
  if (changed.includes("finding") || changed.includes("plant")) lightUp();
  if (state.finding !== null) chosen.replaceChildren(...(changed.includes("finding") ? tellFinding(state.finding) : [...chosen.childNodes]));
  else if (state.plant !== null) chosen.replaceChildren(...tellPlant(state.plant));
  else chosen.replaceChildren(nothing);
  chosen.classList.toggle("hint", state.finding === null && state.plant === null);
}

// On a narrow page what is lit up may be far away.
function showChosen() {
  const box = plan.getBoundingClientRect();
  if (box.bottom < 80 || box.top > window.innerHeight) document.getElementById("border").scrollIntoView();
}

for (const button of document.querySelectorAll("button.choose")) {
  button.addEventListener("click", () => {
    const number = Number(button.dataset.finding), again = state.finding === number;
    change({ finding: again ? null : number, plant: null });
    if (!again) showChosen();
  });
}
for (const button of document.querySelectorAll("button.when")) {
  button.addEventListener("click", () => {
    const { season, month } = button.dataset;
    moveTo(season ? told.seasons.indexOf(Number(season)) : state.season, month ? Number(month) : state.month);
    change({ finding: Number(button.closest(".finding").querySelector(".choose").dataset.finding), plant: null });
    showChosen();
  });
}
for (const drawing of [plan, elevation]) {
  drawing.addEventListener("click", (event) => {
    const sign = event.target.closest(".sign"), plant = event.target.closest(".plant");
    if (sign) change({ finding: Number(sign.dataset.finding), plant: null });
    else if (plant) change({ finding: null, plant: Number(plant.dataset.plant) });
    else change({ finding: null, plant: null });
  });
}
onChange(redrawChosen);
