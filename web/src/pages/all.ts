/** The pages in the order of the job. */

import { arm } from "./arm";
import { breaks } from "./breaks";
import { build } from "./build";
import { frame } from "./frame";
import { hold } from "./hold";
import { layout } from "./layout";
import { log } from "./log";
import { material } from "./material";
import type { Page } from "./page";
import { print } from "./print";
import { shake } from "./shake";
import { stock } from "./stock";

export const PAGES: readonly Page[] = [
  stock,
  layout,
  material,
  arm,
  frame,
  hold,
  shake,
  breaks,
  print,
  build,
  log,
];
