// What the view in three dimensions uses of three.js, and nothing else; `bundle.sh` makes solid.min.js of it.
export {
  AmbientLight, BufferAttribute, BufferGeometry, Color, DirectionalLight, DoubleSide, Group, LatheGeometry, Line,
  LineBasicMaterial, Mesh, MeshLambertMaterial, PerspectiveCamera, PlaneGeometry, REVISION, Raycaster, Scene, Shape, ShapeGeometry,
  SphereGeometry, Vector2, Vector3, WebGLRenderer,
} from "three";
export { OrbitControls } from "three/examples/jsm/controls/OrbitControls.js";
