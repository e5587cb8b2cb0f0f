/** Frozen states, packets, re-checks, review notes. */
export const PACKETS = ``;
