// The border seen square from the front: silhouettes from back to front, and over them the line of greatest heights.

const elevation = document.getElementById("elevation");

// Half-widths and heights of a crown in m from foot to tip.
function ringsOf(crown) {
  const profile = told.profiles[crown.profile];
  return told.up.map((up, ring) => [(profile[ring] / 1000) * crown.radius, crown.base + up * (crown.top - crown.base)]);
}

function outline(crown, x, from = 0) {
  const rings = ringsOf(crown).filter(([, z]) => z >= from);
  const side = (sign) => rings.map(([radius, z]) => `${(100 * (x + sign * radius)).toFixed(1)},${(-100 * z).toFixed(1)}`);
  return [...side(-1), ...side(1).reverse()].join(" ");
}

function tallest() {
  let top = 2;
  told.plants.forEach((plant) => told.seasons.forEach((_, season) => {
    const crown = crownOf(plant, season, 7);
    if (typeof crown !== "number" && plant.bed) top = Math.max(top, crown.top);
  }));
  for (const one of told.ground.structures) if (one.height && one.points.length === 2) top = Math.max(top, one.height);
  return top;
}

const [boxLeft, boxFront, boxRight] = told.box;
const HIGHEST = tallest();

function hatch() {
  const defs = drawn("defs", {});
  const pattern = drawn("pattern", { id: "hatch-front", width: 6, height: 6, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" });
  pattern.append(drawn("rect", { width: 6, height: 6, class: "hatch-ground" }), drawn("line", { x1: 0, y1: 0, x2: 0, y2: 6, class: "hatch-line", "stroke-width": 1.6 }));
  defs.append(pattern);
  return defs;
}

function redrawElevation(changed) {
  if (!told.elevation || !(changed.includes("season") || changed.includes("month"))) return;
  const title = document.getElementById("elevation-title"), says = document.getElementById("elevation-says");
  const side = 0.6, unit = (100 * (boxRight - boxLeft + 2 * side)) / 800;
  const left = 100 * (boxLeft - side), width = 100 * (boxRight - boxLeft + 2 * side), top = -100 * (HIGHEST + 0.3);
  elevation.setAttribute("viewBox", `${left.toFixed(0)} ${top.toFixed(0)} ${width.toFixed(0)} ${(-top + 24 * unit).toFixed(0)}`);
  elevation.replaceChildren(title, says, hatch());
  let step = 0.5;
  for (const factor of [2, 2, 2.5]) if (HIGHEST > 6 * step) step *= factor;
  while (HIGHEST > 6 * step) step *= 10;
  const scale = [];
  for (let z = 0; z <= HIGHEST + 0.2; z += step) {
    elevation.append(drawn("line", { class: "rule", x1: left + 34 * unit, x2: left + width, y1: -100 * z, y2: -100 * z }));
    scale.push(drawn("text", { class: "measure", x: left + 2 * unit, y: -100 * z + 4 * unit, "font-size": 12 * unit }, `${z} m`));
  }
  const standing = [];
  for (const one of told.ground.structures) {
    if (!one.height || one.points.length < 2) continue;
    const xs = one.points.map(([x]) => x);
    const from = Math.max(Math.min(...xs), boxLeft - side), to = Math.min(Math.max(...xs), boxRight + side);
    if (to <= from) continue;
    const depth = Math.min(...one.points.map(([, y]) => y));
    const attributes = { class: "behind", x: 100 * from, y: -100 * one.height, width: 100 * (to - from), height: 100 * one.height };
    standing.push([depth, () => drawn("rect", attributes)]);
  }
  told.plants.forEach((plant, number) => {
    const crown = crownOf(plant, state.season, state.month);
    if (typeof crown === "number" || !plant.bed) return;
    const flower = flowerOf(plant, state.season, state.month), leaf = leafOf(plant, state.month);
    for (const [x, y] of plant.at) {
      if (x + crown.radius < boxLeft - side || x - crown.radius > boxRight + side) continue;
      standing.push([y, () => {
        const group = drawn("g", { class: "plant", "data-plant": number });
        group.append(drawn("title", {}, plant.title));
        if (crown.base > 0.02) group.append(drawn("line", { class: "stem", x1: 100 * x, x2: 100 * x, y1: 0, y2: -100 * crown.base }));
        const body = drawn("polygon", { class: `silhouette ${leaf}`, points: outline(crown, x) });
        if (leaf === "turning") body.style.fill = plant.autumn.paint;
        group.append(body);
        if (flower) group.append(drawn("polygon", { class: "bloom", fill: flower.paint, points: outline(crown, x, crown.base + 0.6 * (crown.top - crown.base)) }));
        return group;
      }]);
    }
  });
  standing.sort((one, other) => other[0] - one[0]);
  for (const [, draw] of standing) elevation.append(draw());
  const heights = skylineOf(state.season, state.month), cell = (told.elevation.right - told.elevation.left) / heights.length;
  const points = heights.map((z, index) => `${(100 * (told.elevation.left + (index + 0.5) * cell)).toFixed(1)},${(-100 * z).toFixed(1)}`);
  elevation.append(drawn("polyline", { class: "skyline", points: points.join(" ") }), ...scale);
  const highest = Math.max(...heights);
  says.textContent = `In ${whenInWords()} the border is up to ${metres(highest)} high.`;
  document.getElementById("front-when").textContent = says.textContent;
  lightUpElevation();
}

function lightUpElevation() {
  const lit = new Set(chosenPlants());
  elevation.classList.toggle("choosing", lit.size > 0);
  for (const group of elevation.querySelectorAll(".plant")) group.classList.toggle("lit", lit.has(Number(group.dataset.plant)));
}

if (!told.elevation) document.getElementById("front").hidden = true;
onChange(redrawElevation);
