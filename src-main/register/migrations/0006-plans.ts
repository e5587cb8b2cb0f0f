/** Adopted plans. */
export const PLANS = ``;
