// What stands in the view in three dimensions: crowns as solids of revolution, stems, structures and ground.
// x is to the right and z towards the front, as the plan has them; y is up.

const PAINTS = { leafy: "#a3c285", evergreen: "#4f7a52", bare: "#8d7b66", turning: "#d39a45" };
const LIT = "#a044c8", BLOOM_FROM = 0.6;

const turned = {};
// The surface of a profile about its stem, 1 m high and 1 m in radius, from a share of its height upwards.
function shapeOf(profile, from) {
  const name = `${profile} ${from}`;
  if (turned[name]) return turned[name];
  const rings = told.up.map((up, ring) => new Solid.Vector2(told.profiles[profile][ring] / 1000, up)).filter((ring) => ring.y >= from);
  const closed = [new Solid.Vector2(0, rings[0].y), ...rings, new Solid.Vector2(0, 1)];
  turned[name] = new Solid.LatheGeometry(closed, 22);
  return turned[name];
}

const materials = {};
function material(paint, bare = false) {
  const name = `${paint} ${bare}`;
  materials[name] ??= new Solid.MeshLambertMaterial({ color: paint, side: Solid.DoubleSide, transparent: bare, opacity: bare ? 0.3 : 1, depthWrite: !bare });
  return materials[name];
}

function flat(points, paint, height) {
  const shape = new Solid.Shape(points.map(([x, y]) => new Solid.Vector2(x, y)));
  const mesh = new Solid.Mesh(new Solid.ShapeGeometry(shape), material(paint));
  mesh.rotation.x = -Math.PI / 2;
  mesh.position.y = height;
  return mesh;
}

// Upright faces along a line of points.
function walls(points, height, closed) {
  const corners = [], ends = closed ? [...points, points[0]] : points;
  for (let at = 0; at + 1 < ends.length; at++) {
    const [[x0, y0], [x1, y1]] = [ends[at], ends[at + 1]];
    corners.push(x0, 0, -y0, x1, 0, -y1, x1, height, -y1, x0, 0, -y0, x1, height, -y1, x0, height, -y0);
  }
  const geometry = new Solid.BufferGeometry();
  geometry.setAttribute("position", new Solid.BufferAttribute(new Float32Array(corners), 3));
  geometry.computeVertexNormals();
  return new Solid.Mesh(geometry, material("#bdb7ab"));
}

function ground(scene) {
  const [left, front, right, back] = told.box, reach = 4 * Math.max(right - left, back - front, 10);
  const middle = [(left + right) / 2, (front + back) / 2];
  const square = [[-1, -1], [1, -1], [1, 1], [-1, 1]].map(([x, y]) => [middle[0] + x * reach, middle[1] + y * reach]);
  scene.add(flat(square, "#dfe5d6", -0.02));
  for (const surface of told.ground.surfaces) scene.add(flat(surface.outline, surface.kind === "lawn" ? "#cfdfbd" : "#d6d3cc", -0.01));
  for (const bed of told.ground.beds) scene.add(flat(bed, "#c6b59b", 0));
  for (const one of told.ground.structures) {
    if (!one.height) continue;
    const closed = one.points.length > 2;
    if (one.points.length === 1) scene.add(stem(one.points[0], 0.05, one.height, "#8d867a"));
    else scene.add(walls(one.points, one.height, closed));
    if (closed) scene.add(flat(one.points, "#a8a196", one.height));
  }
}

let rod = null;
function stem([x, y], radius, height, paint) {
  rod ??= new Solid.LatheGeometry([new Solid.Vector2(1, 0), new Solid.Vector2(1, 1)], 8);
  const mesh = new Solid.Mesh(rod, material(paint));
  mesh.scale.set(radius, height, radius);
  mesh.position.set(x, 0, -y);
  return mesh;
}

function plantsNow() {
  const group = new Solid.Group(), lit = new Set(chosenPlants());
  told.plants.forEach((plant, number) => {
    const crown = crownOf(plant, state.season, state.month);
    if (typeof crown === "number" || plant.supported) return;
    const leaf = leafOf(plant, state.month), flower = flowerOf(plant, state.season, state.month);
    const paint = lit.has(number) ? LIT : leaf === "turning" ? plant.autumn.paint || PAINTS.turning : (leaf !== "bare" && plant.leaves) || PAINTS[leaf];
    const height = crown.top - crown.base;
    for (const [x, y] of plant.at) {
      const body = new Solid.Mesh(shapeOf(crown.profile, 0), material(paint, leaf === "bare"));
      body.scale.set(crown.radius, height, crown.radius);
      body.position.set(x, crown.base, -y);
      body.userData.plant = number;
      group.add(body);
      if (flower) {
        const bloom = new Solid.Mesh(shapeOf(crown.profile, BLOOM_FROM), material(flower.paint));
        bloom.scale.set(1.03 * crown.radius, 1.01 * height, 1.03 * crown.radius);
        bloom.position.copy(body.position);
        bloom.userData.plant = number;
        group.add(bloom);
      }
      if (crown.base > 0.02 || (leaf === "bare" && plant.woody)) group.add(stem([x, y], Math.min(0.05, 0.05 * crown.top), crown.base + 0.4 * height, "#6d5a45"));
    }
  });
  return group;
}
