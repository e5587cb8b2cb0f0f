const waiting: (() => void)[] = [];

/**
 * Does something just before the next picture, together with whatever else waits for it: the page is then worked out once for a picture,
 * not once for each wheel turn and each answer. Where there are no pictures (a hidden window, a test), at the next turn of the loop.
 */
export function inNextFrame(act: () => void): void {
  waiting.push(act);
  if (waiting.length > 1) return;
  if (typeof requestAnimationFrame === 'undefined' || document.hidden) setTimeout(doAll);
  else requestAnimationFrame(doAll);
}

function doAll(): void {
  for (const act of waiting.splice(0)) act();
}
