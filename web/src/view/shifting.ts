/** Materials whose corners move by an amount times the attribute `shift`: deflections and modes. */

import type { Material, MeshStandardMaterial } from "three";

export interface Amount {
  value: number;
}

type Shader = Parameters<Material["onBeforeCompile"]>[0];

export function shifting<M extends Material>(material: M, amount: Amount): M {
  material.onBeforeCompile = (shader) => addShift(shader, amount);
  material.customProgramCacheKey = () => "shift";
  return material;
}

/** A surface that also can be told to show its colour as it is, so that it reads as the legend. */
export function surfaceShifting(
  material: MeshStandardMaterial,
  amount: Amount,
): MeshStandardMaterial {
  const plain: Amount = { value: 0 };
  material.userData["plain"] = plain;
  material.onBeforeCompile = (shader) => {
    addShift(shader, amount);
    shader.uniforms["plain"] = plain;
    shader.fragmentShader = shader.fragmentShader
      .replace("#include <common>", "#include <common>\nuniform float plain;")
      .replace(
        "#include <opaque_fragment>",
        "outgoingLight = mix(outgoingLight, diffuseColor.rgb + emissive, plain);\n#include <opaque_fragment>",
      );
  };
  material.customProgramCacheKey = () => "shift and plain";
  return material;
}

/** 0: lit as usual, 1: the bare colour. */
export function setPlain(material: MeshStandardMaterial, share: number): void {
  (material.userData["plain"] as Amount).value = share;
}

function addShift(shader: Shader, amount: Amount): void {
  shader.uniforms["amount"] = amount;
  shader.vertexShader = shader.vertexShader
    .replace("#include <common>", "#include <common>\nattribute vec3 shift;\nuniform float amount;")
    .replace("#include <begin_vertex>", "#include <begin_vertex>\ntransformed += shift * amount;");
}
