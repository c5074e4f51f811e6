/** Work for after the next frame is drawn: what has been put on the page before is seen first. */

/** ms after which work is done without a frame; a page in the background draws none. */
const LONGEST = 100;

export function afterFrame(work: () => void): void {
  let done = false;
  const once = (): void => {
    if (done) return;
    done = true;
    work();
  };
  requestAnimationFrame(() => setTimeout(once));
  setTimeout(once, LONGEST);
}
