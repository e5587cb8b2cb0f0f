export function findBrowser(): string | null;
export const HOW_TO_GET_A_BROWSER: string;
