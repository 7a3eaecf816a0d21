// The two sliders; each says its value in words.

const sliders = { season: document.getElementById("season"), month: document.getElementById("month") };

function moveTo(season, month) {
  sliders.season.value = season;
  sliders.month.value = month;
  sayTime();
  change({ season, month });
}

function sayTime() {
  const season = `season ${told.seasons[sliders.season.value]}`, month = told.months[sliders.month.value - 1];
  sliders.season.setAttribute("aria-valuetext", season);
  sliders.month.setAttribute("aria-valuetext", month);
  document.getElementById("season-says").textContent = told.seasons[sliders.season.value];
  document.getElementById("month-says").textContent = month;
}

sliders.season.addEventListener("input", () => { sayTime(); change({ season: Number(sliders.season.value) }); });
sliders.month.addEventListener("input", () => { sayTime(); change({ month: Number(sliders.month.value) }); });
document.querySelector("form.time").addEventListener("submit", (event) => event.preventDefault());
