export function electronBinary(): string | null;
export function fetchElectron(): Promise<string | null>;
