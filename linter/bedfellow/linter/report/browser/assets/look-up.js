// What the page was told, and how its figures are looked up. Nothing is worked out here but the place of a figure.

const told = JSON.parse(document.getElementById("data").textContent);
const LETTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz-_";
const NOTHING_UP = -1, NOT_THERE = -2, NO_SIZE = -3;

// Whole numbers packed in so many letters each.
function unpacked(text, letters) {
  const found = [];
  for (let at = 0; at < text.length; at += letters) {
    let number = 0;
    for (let place = 0; place < letters; place++) number = number * 64 + LETTERS.indexOf(text[at + place]);
    found.push(number);
  }
  return found;
}

// The crown of a plant: {base, top, radius} in m with its profile, or why there is none (a number below 0).
function crownOf(plant, seasonIndex, month) {
  const row = plant.crowns[seasonIndex];
  const number = row.length === 1 ? row[0] : row[month - 1];
  if (number < 0) return number;
  const [base, top, radius, profile] = told.crowns[number];
  return { base: base / 100, top: top / 100, radius: radius / 100, profile };
}

// Bare, leafy, evergreen or turning.
function leafOf(plant, month) {
  if (plant.autumn && plant.autumn.months.includes(month) && plant.leaf[month - 1]) return "turning";
  return ["bare", "leafy", "evergreen"][plant.leaf[month - 1]];
}

const LEAF_WORDS = { bare: "bare", leafy: "in leaf", evergreen: "evergreen", turning: "in autumn colour" };
const WHY = { [NOTHING_UP]: "below ground", [NOT_THERE]: "not there in this season", [NO_SIZE]: "size not known" };

function leafInWords(plant, seasonIndex, month) {
  const crown = crownOf(plant, seasonIndex, month);
  return typeof crown === "number" ? WHY[crown] : LEAF_WORDS[leafOf(plant, month)];
}

// Its colour as paint and words where it flowers in that month of that season; null where it does not.
function flowerOf(plant, seasonIndex, month) {
  if (!plant.flower || !plant.flower.months.includes(month)) return null;
  if (crownOf(plant, seasonIndex, month) === NOT_THERE) return null;
  return { paint: plant.flower.paint || "#ffffff", words: plant.flower.words || "colour not known" };
}

// Hours of sun of each cell, in the order of its places.
function hoursOf(seasonIndex, month) {
  return unpacked(told.light.hours[seasonIndex][month - 1], 2).map((value) => value / 100);
}

// Greatest heights in m along the front, left to right.
function skylineOf(seasonIndex, month) {
  return unpacked(told.elevation.lines[told.elevation.heights[seasonIndex][month - 1]], 3).map((value) => value / 100);
}

function metres(value) {
  return value < 0.995 ? `${Math.round(value * 100)} cm` : `${value.toFixed(2)} m`;
}
