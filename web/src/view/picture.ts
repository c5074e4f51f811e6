/** The large picture: follows the assembly and what the tools ask for. */

import { Color, Sphere, Vector3 } from "three";
import type { Assembly, Shapes } from "../api/types";
import { effect, onEnd, signal } from "../kit/signal";
import { calm, dark } from "../state/prefs";
import { picked } from "../state/picked";
import * as tools from "../state/picture";
import { assembly, shapes } from "../state/study";
import { write } from "../words/units";
import { spread } from "./apart";
import { type Airframe, assemble, type Body } from "./bodies";
import { cut } from "./cut";
import { followArrows, followOverlays, followPointer } from "./following";
import { formsOf } from "./forms";
import { type Lively, makeLively } from "./lively";
import { makeMeasure } from "./measure";
import { glow, inkEdges, paintMovement, paintParts, paintUse } from "./paint";
import type { Movement } from "./shape";
import { makeNose, type Nose } from "./nose";
import { makeStage, type Stage } from "./stage";
import { caseNow, drawnScale, inkNamed, type Legend, legend, type Shown } from "./told";

const WIDER = 0.42; // how far back to stand for bodies drawn apart; by eye
const VIEWS: Record<string, Vector3> = {
  corner: new Vector3(0.62, 0.52, 0.8),
  above: new Vector3(0, 1, 0.0001),
  front: new Vector3(0, 0.02, 1),
  side: new Vector3(1, 0.02, 0),
};

export interface Picture {
  look(from: keyof typeof VIEWS): void;
  whole(): void;
  clearMeasure(): void;
}

/** Draw in `place`; everything ends with the surrounding scope. */
export function makePicture(place: HTMLElement): Picture {
  const stage = makeStage(place);
  const shown: Shown = signal(null);
  const over = signal<Body | null>(null);
  const measure = makeMeasure(stage, place, dimensionWords);
  const nose = makeNose(stage, place);
  followAssembly(stage, shown, nose);
  followInk(stage, shown, nose);
  followApart(stage, shown);
  effect(() => shown() && (cut(shown()!.frame, tools.cutAxis(), tools.cutShare()), stage.redraw()));
  effect(() => followDiscs(stage, shown()?.frame ?? null));
  effect(() => move(stage, shown()));
  effect(() => shown()?.lively.grow(tools.growth()));
  effect(() => followPicks(stage, shown()?.frame ?? null, over()));
  effect(() => measure && !tools.measuring() && measure.clear());
  followArrows(stage);
  followOverlays(stage);
  followPointer(stage, place, shown, over, measure);
  onEnd(() => {
    measure.end();
    nose.end();
    shown.peek()?.frame.end();
    stage.end();
  });
  return {
    look: (from) => stage.lookFrom(VIEWS[from]!),
    whole: () => shown.peek() && frameAll(stage, shown.peek()!.frame),
    clearMeasure: () => measure.clear(),
  };
}

function followAssembly(stage: Stage, shown: Shown, nose: Nose): void {
  let turn = 0;
  let last = "";
  effect(() => {
    const given = assembly();
    const mine = ++turn;
    if (!given) {
      last = "";
      return take(stage, shown, null);
    }
    const told = (): void => void (stage.canvas.dataset["drawn"] = String(given.revision));
    if (contents(given) === last) return told(); // the same bodies in the same places
    void formsOf(given).then((forms) => {
      if (mine !== turn) return;
      const frame = assemble(given, forms);
      take(stage, shown, frame);
      nose.put(reachOf(frame), frame.box.min.y);
      last = contents(given);
      afterDrawing(told);
    });
  });
}

/** All that is drawn of an assembly, as one text. */
export function contents({ bodies, meshes }: Assembly): string {
  return JSON.stringify([bodies, meshes]);
}

/** Once the browser has drawn what stands now; said on the canvas, for tests and benchmarks. */
function afterDrawing(then: () => void): void {
  requestAnimationFrame(() => requestAnimationFrame(then));
}

function take(stage: Stage, shown: Shown, frame: Airframe | null): void {
  const old = shown.peek();
  if (old) {
    old.lively.end();
    old.frame.root.removeFromParent();
    old.frame.end();
  }
  if (!frame) return shown.set(null);
  stage.scene.add(frame.root);
  if (!old) {
    stage.camera.position.copy(VIEWS["corner"]!);
    frameAll(stage, frame);
  }
  stage.ground(frame.box.min.y);
  shown.set({ frame, lively: makeLively(stage, frame, () => calm) });
}

/** From the middle to the farthest edge of the discs, m. */
function reachOf(frame: Airframe): number {
  const edges = frame.bodies
    .filter(({ kind }) => kind === "disc")
    .map(({ middle, mesh }) => {
      mesh.geometry.boundingSphere ?? mesh.geometry.computeBoundingSphere();
      return Math.hypot(middle.x, middle.y) + mesh.geometry.boundingSphere!.radius;
    });
  return Math.max(frame.box.max.z, ...edges);
}

function frameAll(stage: Stage, frame: Airframe, wider = 1): void {
  const sphere = new Sphere();
  frame.box.getCenter(sphere.center);
  sphere.radius = 0.95 * reachOf(frame) * wider;
  stage.frame(sphere);
}

/** Spread the bodies, and step back so that they stay in sight; a new frame leaves the camera. */
function followApart(stage: Stage, shown: Shown): void {
  let last = 0;
  effect(() => {
    const [frame, share] = [shown()?.frame, tools.apart()];
    if (!frame) return;
    spread(frame, share);
    if (share !== last) frameAll(stage, frame, 1 + WIDER * share);
    last = share;
    stage.redraw();
  });
}

function followInk(stage: Stage, shown: Shown, nose: Nose): void {
  effect(() => {
    dark();
    stage.ink(inkNamed("--grid"));
    nose.ink(new Color(inkNamed("--soft")));
    const frame = shown()?.frame;
    if (frame) inkEdges(frame, inkNamed("--edge"));
  });
}

function followDiscs(stage: Stage, frame: Airframe | null): void {
  const wanted = tools.discs() && !tools.cutAxis();
  for (const { kind, mesh } of frame?.bodies ?? []) if (kind === "disc") mesh.visible = wanted;
  stage.redraw();
}

/** The load case or mode that is asked for, as movement of the nodes. */
export function movementOf(
  given: Shapes | null,
  wanted: string | null,
  mode: { of: string; index: number } | null,
): Movement | null {
  if (!given) return null;
  const { nodes, bodies } = given;
  if (mode) {
    const found = given.modes.find(({ of, index }) => of === mode.of && index === mode.index);
    return found ? { nodes, bodies, moved: found.shape } : null;
  }
  const found = given.cases.find(({ key, title }) => key === wanted || title === wanted);
  return found ? { nodes, bodies, moved: found.displacements } : null;
}

function move(stage: Stage, now: { frame: Airframe; lively: Lively } | null): void {
  if (!now) return;
  const swing = tools.mode();
  const given = swing || tools.loadCase() ? shapes() : null; // at rest, shapes change nothing
  const movement = movementOf(given, tools.loadCase(), swing);
  const scale = movement ? now.lively.show(movement, swing !== null) : 0;
  if (!movement) now.lively.rest();
  drawnScale.set(scale);
  legend.set(paintAs(now.frame, given, scale));
  stage.redraw();
}

function paintAs(frame: Airframe, given: Shapes | null, scale: number): Legend | null {
  const found = caseNow(given);
  const kind = tools.paint();
  if (kind === "use" && found && !tools.mode()) {
    paintUse(frame, found.use);
    return { title: `Strength used, ${found.title}`, most: 1, unit: "limit" };
  }
  if (kind === "movement" && scale) {
    const { most } = paintMovement(frame);
    return tools.mode()
      ? { title: "Movement, share of the largest", most: 1, unit: "share" }
      : { title: `Movement, ${found?.title ?? ""}`, most: most!, unit: "mm" };
  }
  paintParts(frame);
  return null;
}

function followPicks(stage: Stage, frame: Airframe | null, over: Body | null): void {
  if (!frame) return;
  const { keys, name } = picked();
  const is = (body: Body): boolean => (name ? body.name === name : keys.includes(body.key));
  glow(frame, is, over, dark() ? "#e0d060" : "#d9a400");
  stage.redraw();
}

function dimensionWords(length: number, [nose, left, up]: [number, number, number]): string {
  const each = (value: number): string => write(Math.abs(value), "mm");
  return `${write(length, "mm", 4)}  (along ${each(nose)}, across ${each(left)}, up ${each(up)})`;
}
