/** Limit lines, requirements, dispositions. */
export const VERDICTS = ``;
