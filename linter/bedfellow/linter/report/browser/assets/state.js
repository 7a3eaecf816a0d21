// What is shown: season, month, what is chosen. Whoever draws listens, and is told what has changed.

const state = { season: told.seasons.indexOf(told.season), month: told.month, shows: "plants", finding: null, plant: null };
const listeners = [];

function onChange(listener) {
  listeners.push(listener);
}

function change(what) {
  Object.assign(state, what);
  for (const listener of listeners) listener(Object.keys(what));
}

const seasonNumber = () => told.seasons[state.season];
const monthName = () => told.months[state.month - 1];
const year = () => (told.years ? ` ${told.years[state.season][state.month - 1]}` : "");
const whenInWords = () => `season ${seasonNumber()}, ${monthName()}${year()}`;

const SVG = "http://www.w3.org/2000/svg";

// An element of SVG with attributes; text goes in as text, never as markup.
function drawn(name, attributes, text) {
  const element = document.createElementNS(SVG, name);
  for (const key in attributes) element.setAttribute(key, attributes[key]);
  if (text !== undefined) element.textContent = text;
  return element;
}

// An element of HTML, with what it holds: texts and elements.
function made(name, attributes, ...inside) {
  const element = document.createElement(name);
  for (const key in attributes) element.setAttribute(key, attributes[key]);
  element.append(...inside);
  return element;
}
