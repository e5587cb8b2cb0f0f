/** Calibration tables and chains, watched folders, what a corrected layout was read as. */
export const CALIBRATION = ``;
