/** Other variants laid over the airframe: their edges in one colour each. */

import { Box3, EdgesGeometry, Group, LineBasicMaterial, LineSegments, Mesh } from "three";
import { GLTFLoader } from "three/addons/loaders/GLTFLoader.js";
import { bytes } from "../api/client";

export async function overlayOf(variant: string, colour: string): Promise<Group> {
  const data = await bytes(`/api/assembly.glb?variant=${encodeURIComponent(variant)}`);
  const file = await new GLTFLoader().parseAsync(data, "");
  const material = new LineBasicMaterial({ color: colour });
  const drawn = new Group();
  file.scene.updateMatrixWorld(true);
  file.scene.traverse((node) => {
    if (!(node instanceof Mesh) || node.userData["group"] !== "part") return;
    const lines = new LineSegments(new EdgesGeometry(node.geometry, 24), material);
    lines.applyMatrix4(node.matrixWorld);
    drawn.add(lines);
  });
  return drawn;
}

export function letGo(group: Group): void {
  group.removeFromParent();
  group.traverse((node) => {
    if (node instanceof LineSegments) node.geometry.dispose();
  });
}

export function boxOf(group: Group): Box3 {
  return new Box3().setFromObject(group);
}
