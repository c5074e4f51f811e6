// Print the Khronos validator's report on one glTF file as JSON.
import { readFile } from "node:fs/promises";
import { validateBytes } from "gltf-validator";

const bytes = new Uint8Array(await readFile(process.argv[2]));
const report = await validateBytes(bytes, { maxIssues: 50 });
process.stdout.write(JSON.stringify(report));
