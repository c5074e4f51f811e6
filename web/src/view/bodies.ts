/** The assembly as bodies: a mesh of each key, put in place as often as it is needed. */

import {
  BackSide,
  Box3,
  BufferAttribute,
  type BufferGeometry,
  Color,
  EdgesGeometry,
  Group,
  LineBasicMaterial,
  LineSegments,
  Matrix4,
  Mesh,
  MeshBasicMaterial,
  MeshStandardMaterial,
  Vector3,
} from "three";
import type { Assembly, AssemblyBody } from "../api/types";
import { type Amount, shifting, surfaceShifting } from "./shifting";

const CREASE = 24; // degrees between faces from which an edge is drawn

/** One surface in its own axes with its edges, shared by the bodies that stand for it. */
export interface Form {
  readonly surface: BufferGeometry;
  readonly rim: BufferGeometry;
  readonly colour: Color;
}

export interface Body {
  readonly name: string;
  readonly key: string;
  readonly kind: "part" | "item" | "disc";
  readonly mesh: Mesh<BufferGeometry, MeshStandardMaterial>;
  readonly edges: LineSegments<BufferGeometry, LineBasicMaterial>;
  readonly inside: Mesh<BufferGeometry, MeshBasicMaterial>;
  readonly colour: Color;
  /** Places the mesh's own axes in body axes. */
  readonly home: Matrix4;
  /** Middle of the body in body axes, m. */
  readonly middle: Vector3;
}

export interface Airframe {
  /** Turned from body axes (x nose, y left, z up) to the picture's (z nose, x left, y up). */
  readonly root: Group;
  readonly bodies: readonly Body[];
  readonly amount: Amount;
  /** Of everything but discs and what hangs far below, in the picture's axes. */
  readonly box: Box3;
  end(): void;
}

/** Body axes (x nose, y left, z up) to the picture's (z nose, x left, y up). */
export const TO_PICTURE = new Matrix4().set(0, 1, 0, 0, 0, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0, 1);

export function makeForm(surface: BufferGeometry, colour: Color): Form {
  surface.computeBoundingBox();
  return { surface, rim: new EdgesGeometry(surface, CREASE), colour };
}

export function assemble(assembly: Assembly, forms: ReadonlyMap<string, Form>): Airframe {
  const amount: Amount = { value: 0 };
  const root = new Group();
  root.matrixAutoUpdate = false;
  root.matrix.copy(TO_PICTURE);
  const bodies = assembly.bodies.map((each) => makeBody(each, forms.get(each.key)!, amount));
  for (const body of bodies) root.add(body.mesh);
  root.updateMatrixWorld(true);
  const box = new Box3();
  for (const { kind, key, mesh } of bodies) {
    if (kind !== "disc" && key !== "payload") box.expandByObject(mesh);
  }
  return { root, bodies, amount, box, end: () => bodies.forEach(release) };
}

function makeBody({ name, key, group, matrix }: AssemblyBody, form: Form, amount: Amount): Body {
  const home = new Matrix4().fromArray(matrix);
  const mesh = new Mesh(separate(form.surface), surfaceShifting(skin(form.colour, group), amount));
  mesh.matrixAutoUpdate = false;
  mesh.matrix.copy(home);
  const line = new LineBasicMaterial({ transparent: true, opacity: group === "disc" ? 0.3 : 0.85 });
  const edges = new LineSegments(separate(form.rim), shifting(line, amount));
  const inside = new Mesh(mesh.geometry, shifting(core(form.colour), amount));
  inside.visible = false;
  for (const under of [edges, inside]) under.raycast = () => undefined;
  mesh.add(edges, inside);
  mesh.renderOrder = group === "disc" ? 2 : 0;
  const middle = form.surface.boundingBox!.getCenter(new Vector3()).applyMatrix4(home);
  return { name, key, kind: group, mesh, edges, inside, colour: form.colour, home, middle };
}

/** The same corners with room for this body's own shifts. */
function separate(shared: BufferGeometry): BufferGeometry {
  const own = shared.clone();
  const count = own.getAttribute("position").count;
  own.setAttribute("shift", new BufferAttribute(new Float32Array(3 * count), 3));
  return own;
}

function skin(color: Color, kind: Body["kind"]): MeshStandardMaterial {
  const material = new MeshStandardMaterial({ color, roughness: kind === "item" ? 0.6 : 0.85 });
  if (kind === "disc") {
    material.transparent = true;
    material.depthWrite = false;
    material.opacity = 0.14;
  } else {
    material.polygonOffset = true;
    material.polygonOffsetFactor = 1;
    material.polygonOffsetUnits = 1;
  }
  return material;
}

/** Inner faces in one flat tone, so that a cut reads as solid material. */
function core(colour: Color): MeshBasicMaterial {
  const color = colour.clone().lerp(new Color(0xc23b22), 0.35);
  return new MeshBasicMaterial({ side: BackSide, color });
}

function release({ mesh, edges, inside }: Body): void {
  mesh.geometry.dispose();
  mesh.material.dispose();
  edges.geometry.dispose();
  edges.material.dispose();
  inside.material.dispose();
}
