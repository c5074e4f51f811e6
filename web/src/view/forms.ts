/** Meshes by what is in them: asked for once, kept while the assembly uses them. */

import { type BufferGeometry, Color, Mesh, type MeshStandardMaterial } from "three";
import { GLTFLoader } from "three/addons/loaders/GLTFLoader.js";
import { bytes } from "../api/client";
import type { Assembly } from "../api/types";
import { type Form, makeForm } from "./bodies";

const kept = new Map<string, Promise<Form>>();

/** Forms of every key of an assembly; those no longer used are let go. */
export async function formsOf(assembly: Assembly): Promise<Map<string, Form>> {
  const wanted = new Set(Object.entries(assembly.meshes).map(([key, text]) => nameOf(key, text)));
  const forms = await Promise.all(
    Object.entries(assembly.meshes).map(
      async ([key, text]) => [key, await formOf(key, text)] as const,
    ),
  );
  for (const [name, old] of kept) {
    if (wanted.has(name)) continue;
    kept.delete(name);
    void old.then(({ surface, rim }) => [surface, rim].forEach((each) => each.dispose()));
  }
  return new Map(forms);
}

const nameOf = (key: string, text: string): string => `${key} ${text}`;

function formOf(key: string, text: string): Promise<Form> {
  const name = nameOf(key, text);
  const known = kept.get(name);
  if (known) return known;
  const asked = fetchForm(key, text);
  kept.set(name, asked);
  asked.catch(() => kept.delete(name));
  return asked;
}

async function fetchForm(key: string, text: string): Promise<Form> {
  const data = await bytes(
    `/api/meshes/${encodeURIComponent(key)}.glb?v=${encodeURIComponent(text)}`,
  );
  const file = await new GLTFLoader().parseAsync(data, "");
  let found: Mesh<BufferGeometry, MeshStandardMaterial> | null = null;
  file.scene.traverse((node) => {
    if (node instanceof Mesh) found ??= node as Mesh<BufferGeometry, MeshStandardMaterial>;
  });
  if (!found) throw new Error(`the mesh of ${key} is empty`);
  const { geometry, material } = found as Mesh<BufferGeometry, MeshStandardMaterial>;
  return makeForm(geometry, material.color ?? new Color(0x999999));
}
