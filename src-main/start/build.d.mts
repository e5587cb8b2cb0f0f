export function build(options?: { always?: boolean }): Promise<string | null>;
