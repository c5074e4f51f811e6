import { Box3, BoxGeometry, Color, Matrix4, Vector3 } from "three";
import { describe, expect, it } from "vitest";
import type { Binding } from "../src/api/types";
import { spread } from "../src/view/apart";
import { assemble, makeForm } from "../src/view/bodies";
import { cut, planeAt } from "../src/view/cut";
import { seenScale } from "../src/view/lively";
import { contents, movementOf } from "../src/view/picture";
import { rampCss, rampLinear } from "../src/view/ramp";
import { applyMovement, movementAt, type Movement, shiftLengths } from "../src/view/shape";

const NODES = [
  [0, 0, 0],
  [0.1, 0, 0],
  [0.2, 0, 0],
];
const ANGLE = 1e-3;
/** Rigid rotation about the origin's z axis by ANGLE, small. */
const TURN: Movement = {
  nodes: NODES,
  moved: NODES.map(([x, y]) => [-ANGLE * y!, ANGLE * x!, 0, 0, 0, ANGLE]),
  bodies: {},
};

function frame() {
  const form = makeForm(new BoxGeometry(0.2, 0.02, 0.02).translate(0.1, 0, 0), new Color(0xff0000));
  const place = new Matrix4().makeRotationZ(Math.PI / 3).toArray();
  const bodies = [
    { name: "arm 1", key: "arm", group: "part" as const, matrix: new Matrix4().toArray() },
    { name: "arm 2", key: "arm", group: "part" as const, matrix: place },
    { name: "disc 1", key: "disc", group: "disc" as const, matrix: new Matrix4().toArray() },
  ];
  const assembly = {
    revision: 1,
    solids: "current" as const,
    bodies,
    meshes: {},
    overlaps: [],
    least_gap: 0,
  };
  return assemble(
    assembly,
    new Map([
      ["arm", form],
      ["disc", form],
    ]),
  );
}

describe("movement of bodies", () => {
  const bindings: Binding[] = [
    { how: "rigid", nodes: [1] },
    { how: "line", nodes: [0, 1, 2] },
    { how: "sheet", nodes: [0, 1, 2] },
  ];
  it.each(bindings)("keeps a rigid turn rigid: $how", (binding) => {
    for (const point of [new Vector3(0.05, 0.01, 0.02), new Vector3(0.31, -0.2, 0)]) {
      const moved = movementAt(TURN, binding, point);
      expect(moved.distanceTo(new Vector3(-ANGLE * point.y, ANGLE * point.x, 0))).toBeLessThan(
        1e-12,
      );
    }
  });

  it("goes from one node to the next along a line", () => {
    const bent = {
      ...TURN,
      moved: [
        [0, 0, 0, 0, 0, 0],
        [0, 0, 2, 0, 0, 0],
        [0, 0, 4, 0, 0, 0],
      ],
    };
    expect(
      movementAt(bent, { how: "line", nodes: [0, 1, 2] }, new Vector3(0.125, 0, 0)).z,
    ).toBeCloseTo(2.5, 12);
  });

  it("moves corners in the airframe's axes, also where the body is turned", () => {
    const made = frame();
    const movement = { ...TURN, bodies: { "arm 1": bindings[1]!, "arm 2": bindings[0]! } };
    applyMovement(made.bodies, movement);
    const [straight, turned, disc] = made.bodies;
    // Rigid turn: length of the movement is the angle times the distance from the axis.
    for (const body of [straight!, turned!]) {
      const corners = body.mesh.geometry.getAttribute("position");
      shiftLengths(body).forEach((length, k) => {
        expect(length).toBeCloseTo(ANGLE * Math.hypot(corners.getX(k), corners.getY(k)), 9);
      });
    }
    const [corners, shift] = ["position", "shift"].map((name) =>
      turned!.mesh.geometry.getAttribute(name),
    );
    const [point, moved] = [new Vector3(), new Vector3()];
    for (let k = 0; k < corners!.count; k += 1) {
      point.fromBufferAttribute(corners!, k).applyMatrix4(turned!.home);
      moved.fromBufferAttribute(shift!, k).transformDirection(turned!.home);
      expect(moved.dot(new Vector3(-point.y, point.x, 0).normalize())).toBeCloseTo(1, 6);
    }
    expect(Math.max(...shiftLengths(disc!))).toBe(0);
  });

  it("finds a load case by its key or its title, and a mode before it", () => {
    const shapes = {
      revision: 1,
      nodes: NODES,
      lines: [],
      bodies: {},
      modes: [
        { of: "airframe", index: 3, hz: 1, label: "", felt: 0, shape: TURN.moved as number[][] },
      ],
      cases: [
        {
          key: "full",
          title: "full thrust",
          reason: "",
          kind: "",
          displacements: [[1]],
          tilt_rad: [],
          tip_m: [],
          arrows: [],
          use: {},
        },
      ],
    };
    expect(movementOf(shapes, "full thrust", null)?.moved).toEqual([[1]]);
    expect(movementOf(shapes, "full", null)?.moved).toEqual([[1]]);
    expect(movementOf(shapes, "full", { of: "airframe", index: 3 })?.moved).toBe(TURN.moved);
    expect(movementOf(shapes, "none", null)).toBeNull();
  });

  it("is drawn in round numbers of times", () => {
    // 9 % of half a metre is 45 mm: a movement of 2 mm is drawn 20 times, of 0.1 mm 200 times.
    expect([seenScale(0.002, 0.5), seenScale(0.0001, 0.5), seenScale(0, 0.5)]).toEqual([
      20, 200, 1,
    ]);
  });
});

describe("the exploded picture", () => {
  it("goes out and comes back exactly", () => {
    const made = frame();
    const before = made.bodies.map(({ mesh }) => mesh.matrix.toArray());
    spread(made, 1);
    expect(made.bodies[0]!.mesh.matrix.elements[12]).toBeGreaterThan(0.02);
    spread(made, 0);
    expect(made.bodies.map(({ mesh }) => mesh.matrix.toArray())).toEqual(before);
  });
});

describe("the section cut", () => {
  const box = new Box3(new Vector3(-1, -2, -3), new Vector3(1, 2, 3));
  it("keeps what lies below the share along the axis", () => {
    const plane = planeAt(box, "up", 0.75); // y up to 1
    expect(plane.distanceToPoint(new Vector3(0, 0.9, 0))).toBeGreaterThan(0);
    expect(plane.distanceToPoint(new Vector3(0, 1.1, 0))).toBeLessThan(0);
  });
  it("is taken off again", () => {
    const made = frame();
    cut(made, "nose", 0.5);
    expect(made.bodies[0]!.inside.visible).toBe(true);
    expect(made.bodies[2]!.mesh.visible).toBe(false);
    cut(made, null, 0.5);
    expect(made.bodies[0]!.mesh.material.clippingPlanes).toBeNull();
    expect(made.bodies[0]!.inside.visible).toBe(false);
  });
});

describe("the colour scale", () => {
  it("rises evenly in lightness", () => {
    // CIE lightness from relative luminance (CIE 15:2004), steps of a tenth.
    const lightness = Array.from({ length: 11 }, (_, k) => {
      const [r, g, b] = rampLinear(k / 10);
      const y = 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
      return y > 216 / 24389 ? 116 * Math.cbrt(y) - 16 : (24389 / 27) * y;
    });
    const steps = lightness.slice(1).map((each, k) => each - lightness[k]!);
    expect(Math.min(...steps)).toBeGreaterThan(0.6 * Math.max(...steps));
    expect(lightness[0]).toBeLessThan(25); // and over nearly the whole range there is
    expect(lightness[10]).toBeGreaterThan(85);
  });
  it("holds what lies outside at its ends", () => {
    expect([rampCss(-1), rampCss(NaN)]).toEqual([rampCss(0), rampCss(0)]);
    expect(rampCss(2)).toBe(rampCss(1));
  });
});

describe("an assembly", () => {
  const given = (revision: number, height: number, text: string) => ({
    revision,
    solids: "current" as const,
    bodies: [
      {
        name: "leg",
        key: "leg",
        group: "part" as const,
        matrix: new Matrix4().makeTranslation(0, 0, height).toArray(),
      },
    ],
    meshes: { leg: text },
    overlaps: [],
    least_gap: 0,
  });
  it("is drawn anew for another place or another mesh, not for another revision", () => {
    const now = contents(given(1, 0.1, "a"));
    expect(contents(given(2, 0.1, "a"))).toBe(now);
    expect(contents(given(1, 0.2, "a"))).not.toBe(now);
    expect(contents(given(1, 0.1, "b"))).not.toBe(now);
  });
});
