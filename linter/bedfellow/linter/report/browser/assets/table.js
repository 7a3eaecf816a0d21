// The plants of a season and month as a table, from left to right: what the drawings show, in words.

const rows = document.querySelector("#plant-table tbody");
const order = told.plants.map((plant, number) => [plant.at.length ? Math.min(...plant.at.map(([x]) => x)) : Infinity, number]);
order.sort((one, other) => one[0] - other[0] || one[1] - other[1]);

for (const [, number] of order) {
  const plant = told.plants[number];
  const name = made("th", { scope: "row" }, plantButton(number));
  rows.append(made("tr", { "data-plant": number }, name, made("td", {}, String(plant.at.length || "")), made("td", {}), made("td", {}), made("td", {}), made("td", {})));
}

function redrawTable(changed) {
  const lit = new Set(chosenPlants());
  for (const row of rows.children) {
    row.classList.toggle("lit", lit.has(Number(row.dataset.plant)));
    if (!changed.includes("season") && !changed.includes("month")) continue;
    const plant = told.plants[row.dataset.plant], crown = crownOf(plant, state.season, state.month);
    const flower = flowerOf(plant, state.season, state.month), there = typeof crown !== "number";
    const [, , height, width, leaf, bloom] = row.children;
    height.textContent = there && !plant.supported ? metres(crown.top) : "";
    width.textContent = there && !plant.supported ? metres(2 * crown.radius) : "";
    leaf.textContent = leafInWords(plant, state.season, state.month) + (plant.supported && there ? ", on its support" : "");
    bloom.replaceChildren();
    if (!flower) continue;
    const swatch = drawn("svg", { class: "swatch", viewBox: "0 0 10 10", "aria-hidden": "true" });
    swatch.append(drawn("rect", { x: 0.5, y: 0.5, width: 9, height: 9, fill: flower.paint, stroke: "#555" }));
    bloom.append(swatch, flower.words);
  }
  document.getElementById("plants-when").textContent = `In ${whenInWords()}`;
  for (const cell of document.querySelectorAll(".calendar tr > *")) cell.classList.toggle("now", cell.cellIndex === state.month);
}
onChange(redrawTable);
