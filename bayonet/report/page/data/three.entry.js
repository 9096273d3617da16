export {
  AmbientLight, BackSide, Box3, BufferAttribute, BufferGeometry, Color, DirectionalLight,
  DoubleSide, EdgesGeometry, FrontSide, Group, HemisphereLight, LineBasicMaterial, LineSegments,
  Mesh, MeshBasicMaterial, MeshLambertMaterial, OrthographicCamera, Plane, PlaneGeometry,
  Raycaster, Scene, Vector2, Vector3, WebGLRenderer,
  AlwaysStencilFunc, NotEqualStencilFunc, DecrementWrapStencilOp, IncrementWrapStencilOp,
  ReplaceStencilOp,
} from 'three';
export { toCreasedNormals } from 'three/examples/jsm/utils/BufferGeometryUtils.js';
