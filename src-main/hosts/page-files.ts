import { readFile } from 'node:fs/promises';
import { extname, join, normalize, sep } from 'node:path';

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.woff2': 'font/woff2',
  '.json': 'application/json',
};

/** What the page may do: its own scripts and styles, its own socket, nothing else. */
export const CONTENT_POLICY =
  "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/** A file of the built page with its type, or null for anything that is not below the page's folder. */
export async function pageFile(folder: string, path: string): Promise<{ bytes: Buffer; type: string } | null> {
  let plain: string;
  try {
    plain = decodeURIComponent(path);
  } catch {
    return null;
  }
  if (plain.includes('\0')) return null;
  const full = normalize(join(folder, plain === '/' ? 'index.html' : plain));
  if (!full.startsWith(normalize(folder) + sep)) return null;
  const type = TYPES[extname(full)];
  if (type === undefined) return null;
  try {
    return { bytes: await readFile(full), type };
  } catch {
    return null;
  }
}
