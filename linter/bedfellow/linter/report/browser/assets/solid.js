// The view in three dimensions: where the eye stands, how it is turned and moved, and what is said of it.

const stage = document.getElementById("stage"), canvas = document.getElementById("canvas");
const FIELD = 36, WIDE_FIELD = 52, NEAREST = 2.5, TURN = Math.PI / 24;
let solid = null;

// Where the eye is and what it looks at: at a point, or so far before a side that all of it is seen.
function viewpoint(view) {
  const [left, front, right, back] = told.box, middle = [(left + right) / 2, (front + back) / 2];
  const target = new Solid.Vector3(middle[0], view && !view.at ? 1.4 : 0.8, -middle[1]);
  if (view === null) {
    const away = Math.max(right - left, back - front);
    return [new Solid.Vector3(middle[0] - 0.35 * away, 0.6 * away + 2, -front + 0.6 * away), target];
  }
  // From within or beside the border a person looks about: a wider field stands for it.
  if (view.at) return [new Solid.Vector3(view.at[0], view.eye, -view.at[1]), target];
  const wide = view.side === "front" || view.side === "back" ? right - left : back - front;
  const away = Math.max(NEAREST, (0.52 * wide) / (Math.tan((FIELD / 2) * (Math.PI / 180)) * solid.camera.aspect));
  const eyes = { front: [middle[0], front - away], back: [middle[0], back + away], left: [left - away, middle[1]], right: [right + away, middle[1]] };
  const [x, y] = eyes[view.side] || eyes.front;
  return [new Solid.Vector3(x, view.eye, -y), target];
}

function show() {
  solid.renderer.render(solid.scene, solid.camera);
  stage.dataset.eye = solid.camera.position.toArray().map((value) => value.toFixed(2)).join(" ");
}

function standAt(view) {
  solid.view = view;
  solid.camera.fov = view && view.at ? WIDE_FIELD : FIELD;
  solid.camera.updateProjectionMatrix();
  const [eye, target] = viewpoint(view);
  solid.camera.position.copy(eye);
  solid.controls.target.copy(target);
  solid.controls.update();
  show();
  sayView();
}

// What a person who does not see the view is told of it.
function sayView() {
  const tall = told.plants.map((plant) => [crownOf(plant, state.season, state.month), plant])
    .filter(([crown, plant]) => typeof crown !== "number" && !plant.supported)
    .sort(([one], [other]) => other.top - one.top).slice(0, 5)
    .map(([crown, plant]) => `${plant.title} ${metres(crown.top)}, ${LEAF_WORDS[leafOf(plant, state.month)]}`);
  const view = solid.view, from = view === null ? "from above" : view.name === view.side ? `from the ${view.side}` : `from the viewing place “${view.name}”`;
  const said = `The border in ${whenInWords()}, seen ${from}.`;
  document.getElementById("solid-when").textContent = said;
  canvas.setAttribute("aria-label", `${said} Tallest: ${tall.join("; ") || "nothing above ground"}. The table of plants tells every one.`);
}

// Turn about what is looked at, or go nearer.
function move(across, up, nearer) {
  const { camera, controls } = solid;
  const arm = camera.position.clone().sub(controls.target);
  const level = Math.hypot(arm.x, arm.z), length = arm.length() * nearer;
  const turn = Math.atan2(arm.x, arm.z) + across, rise = Math.min(Math.max(Math.atan2(arm.y, level) + up, 0), 1.55);
  arm.set(Math.sin(turn) * Math.cos(rise), Math.sin(rise), Math.cos(turn) * Math.cos(rise)).multiplyScalar(Math.max(length, 0.5));
  camera.position.copy(controls.target).add(arm);
  controls.update();
  show();
}

const MOVES = { left: [-TURN, 0, 1], right: [TURN, 0, 1], up: [0, TURN, 1], down: [0, -TURN, 1], nearer: [0, 0, 1 / 1.15], farther: [0, 0, 1.15] };
const KEYS = { ArrowLeft: "left", ArrowRight: "right", ArrowUp: "up", ArrowDown: "down", "+": "nearer", "=": "nearer", "-": "farther" };

function fit() {
  const width = canvas.clientWidth || 960, height = canvas.clientHeight || 540;
  solid.renderer.setSize(width, height, false);
  solid.camera.aspect = width / height;
  solid.camera.updateProjectionMatrix();
}

function choosePlantAt(event) {
  const box = canvas.getBoundingClientRect();
  const at = new Solid.Vector2(((event.clientX - box.left) / box.width) * 2 - 1, 1 - ((event.clientY - box.top) / box.height) * 2);
  const ray = new Solid.Raycaster();
  ray.setFromCamera(at, solid.camera);
  const hit = ray.intersectObjects(solid.plants.children).find((one) => one.object.userData.plant !== undefined);
  change({ finding: null, plant: hit ? hit.object.userData.plant : null });
}

function redrawSolid() {
  if (!solid) return;
  solid.scene.remove(solid.plants);
  solid.plants = plantsNow();
  solid.scene.add(solid.plants);
  show();
  sayView();
}

function startSolid() {
  if (solid !== null) return;
  solid = false;
  let renderer;
  try {
    // Kept after drawing, so that it can be printed.
    renderer = new Solid.WebGLRenderer({ canvas, antialias: true, preserveDrawingBuffer: true });
  } catch {
    document.getElementById("solid-works").hidden = true;
    const none = document.getElementById("solid-none");
    none.hidden = false;
    none.textContent = "This browser cannot draw in three dimensions (WebGL is missing or switched off). The plan, the view from the front and the table of plants tell the same figures.";
    return;
  }
  renderer.setPixelRatio(Math.min(window.devicePixelRatio || 1, 2));
  const scene = new Solid.Scene(), camera = new Solid.PerspectiveCamera(FIELD, 16 / 9, 0.05, 500);
  scene.background = new Solid.Color("#eaf0f3");
  scene.add(new Solid.AmbientLight("#ffffff", 1.7));
  const sun = new Solid.DirectionalLight("#fff6e0", 2.2);
  sun.position.set(-4, 8, 6);
  scene.add(sun);
  ground(scene);
  const controls = new Solid.OrbitControls(camera, canvas);
  controls.maxPolarAngle = Math.PI / 2;
  canvas.style.touchAction = "pan-y"; // a finger that goes up or down scrolls the page
  controls.enableZoom = false; // the wheel scrolls the page; keys and buttons go nearer
  controls.addEventListener("change", show);
  solid = { renderer, scene, camera, controls, plants: new Solid.Group(), view: told.views[0] };
  fit();
  redrawSolid();
  standAt(told.views[0]);
  new ResizeObserver(() => { fit(); show(); }).observe(canvas);
  let pressed = null;
  canvas.addEventListener("pointerdown", (event) => { pressed = [event.clientX, event.clientY]; });
  canvas.addEventListener("pointerup", (event) => {
    if (pressed && Math.hypot(event.clientX - pressed[0], event.clientY - pressed[1]) < 4) choosePlantAt(event);
  });
  stage.addEventListener("keydown", (event) => {
    if (event.key === "Home") standAt(solid.view);
    else if (KEYS[event.key] && !event.ctrlKey && !event.altKey && !event.metaKey) move(...MOVES[KEYS[event.key]]);
    else return;
    event.preventDefault();
  });
  for (const button of document.querySelectorAll("button[data-move]")) button.addEventListener("click", () => move(...MOVES[button.dataset.move]));
  for (const radio of document.querySelectorAll('input[name="view"]')) {
    radio.addEventListener("change", () => standAt(radio.value === "above" ? null : told.views[radio.value]));
  }
}

onChange(redrawSolid);
// Not before it comes into sight: the rest of the page is there at once.
new IntersectionObserver((seen) => { if (seen.some((one) => one.isIntersecting)) startSolid(); }, { rootMargin: "300px" }).observe(stage);
window.addEventListener("beforeprint", startSolid);
