/** The worker beside this program: from source it is TypeScript two folders above, built it is a file beside. */
export function workerScript(): URL {
  return import.meta.url.endsWith('.ts')
    ? new URL('../../worker.ts', import.meta.url)
    : new URL('./worker.js', import.meta.url);
}
