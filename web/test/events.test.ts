import { describe, expect, it } from "vitest";
import { read, type Told } from "../src/api/events";

async function told(...pieces: string[]): Promise<Told[]> {
  const bytes = pieces.map((piece) => new TextEncoder().encode(piece));
  const body = new ReadableStream<Uint8Array>({
    start(out) {
      bytes.forEach((each) => out.enqueue(each));
      out.close();
    },
  });
  const found: Told[] = [];
  for await (const each of read(body)) found.push(each);
  return found;
}

describe("the event stream", () => {
  it("is read across the pieces it comes in", async () => {
    expect(
      await told(
        "id: 4\nevent: jo",
        'b\ndata: {"share": 0.5}\n',
        "\nid: 5\nevent: results\ndata: {}\n\n",
      ),
    ).toEqual([
      { id: 4, event: "job", data: { share: 0.5 } },
      { id: 5, event: "results", data: {} },
    ]);
  });
  it("skips comments that only keep it open", async () => {
    expect(await told(": still here\n\n", "id: 1\nevent: reload\ndata: {}\n\n")).toHaveLength(1);
  });
});
