/** Camera, light and paper for the picture; draws only when something changed. */

import {
  AmbientLight,
  DirectionalLight,
  Group,
  HemisphereLight,
  MathUtils,
  PerspectiveCamera,
  Scene,
  Sphere,
  Vector3,
  WebGLRenderer,
} from "three";
import { OrbitControls } from "three/addons/controls/OrbitControls.js";
import { inkFloor, makeFloor } from "./floor";

const FIELD = 28; // degrees; a long lens keeps proportions honest
const FLAT = 0.78; // height over width of an airframe as seen from a corner, with room above

export interface Stage {
  readonly scene: Scene;
  readonly camera: PerspectiveCamera;
  readonly canvas: HTMLCanvasElement;
  readonly controls: OrbitControls;
  redraw(): void;
  /** Called before each drawn frame with seconds; answer true to be drawn again. */
  onFrame(work: (seconds: number) => boolean): () => void;
  frame(sphere: Sphere): void;
  lookFrom(direction: Vector3): void;
  ground(height: number): void;
  ink(line: string): void;
  end(): void;
}

export function makeStage(place: HTMLElement): Stage {
  const renderer = new WebGLRenderer({
    antialias: true,
    alpha: true,
    powerPreference: "low-power",
  });
  renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
  renderer.localClippingEnabled = true;
  const canvas = renderer.domElement;
  place.append(canvas);
  const scene = new Scene();
  const camera = new PerspectiveCamera(FIELD, 1, 0.01, 50);
  const controls = new OrbitControls(camera, canvas);
  controls.enableDamping = false;
  controls.zoomToCursor = true;
  scene.add(lights());
  const floor = makeFloor();
  scene.add(floor);

  const workers = new Set<(seconds: number) => boolean>();
  let asked = 0;
  const redraw = (): void => {
    if (!asked) asked = requestAnimationFrame(draw);
  };
  function draw(time: number): void {
    asked = 0;
    camera.updateMatrixWorld(); // what is written beside the picture is placed by it
    let again = false;
    for (const work of workers) again = work(time / 1000) || again;
    renderer.render(scene, camera);
    if (again) redraw();
  }
  controls.addEventListener("change", redraw);
  const watcher = new ResizeObserver(() => {
    const { clientWidth: width, clientHeight: height } = place;
    if (!width || !height) return;
    renderer.setSize(width, height, false);
    camera.aspect = width / height;
    camera.updateProjectionMatrix();
    redraw();
  });
  watcher.observe(place);

  return {
    scene,
    camera,
    canvas,
    controls,
    redraw,
    onFrame(work) {
      workers.add(work);
      redraw();
      return () => workers.delete(work);
    },
    frame(sphere) {
      const half = MathUtils.degToRad(FIELD / 2);
      const across = Math.atan(Math.tan(half) * camera.aspect);
      const distance = sphere.radius * Math.max(1 / Math.sin(across), FLAT / Math.sin(half));
      const direction = camera.position.clone().sub(controls.target);
      if (direction.lengthSq() < 1e-12) direction.set(0.72, 0.5, 0.62);
      controls.target.copy(sphere.center);
      camera.position.copy(sphere.center).addScaledVector(direction.normalize(), distance);
      camera.near = distance / 60;
      camera.far = distance * 12;
      camera.updateProjectionMatrix();
      controls.update();
      redraw();
    },
    lookFrom(direction) {
      const distance = camera.position.distanceTo(controls.target);
      camera.position
        .copy(controls.target)
        .addScaledVector(direction.clone().normalize(), distance);
      controls.update();
      redraw();
    },
    ground(height) {
      floor.position.y = height;
      redraw();
    },
    ink(line) {
      inkFloor(floor, line);
      redraw();
    },
    end() {
      watcher.disconnect();
      cancelAnimationFrame(asked);
      controls.dispose();
      renderer.dispose();
      canvas.remove();
    },
  };
}

/** A high sun with a weak one opposite: faces of different slope never look alike. */
function lights(): Group {
  const group = new Group();
  const sun = new DirectionalLight(0xfff6e6, 2.1);
  sun.position.set(1.4, 3, 2.2);
  const back = new DirectionalLight(0xdfe8ff, 0.7);
  back.position.set(-2, 0.6, -1.6);
  group.add(
    sun,
    back,
    new HemisphereLight(0xffffff, 0xb9b49f, 1.15),
    new AmbientLight(0xffffff, 0.25),
  );
  return group;
}
