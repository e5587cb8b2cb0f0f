import { globSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { HELP_TEXTS, type HelpText } from '../../src-renderer/state/help-texts.ts';

const PAGE = join(import.meta.dirname, '..', '..', 'src-renderer');
const entries = Object.entries<HelpText>(HELP_TEXTS);
const pages = globSync('**/*.svelte', { cwd: PAGE }).map((file) => readFileSync(join(PAGE, file), 'utf8'));
const figures = pages.flatMap((page) =>
  [...page.matchAll(/(?:figure|help)[=:]\s*["']([a-z-]+)["']/g)].map(([, key]) => key!),
);

describe('the help beside a figure', () => {
  test.each(entries)('%s says what it is, how it was computed and where that is from', (_, { about, text, source }) => {
    expect(about).toMatch(/^[a-z]/);
    expect(about).not.toMatch(/[.?]$/);
    const sentences = text.split(/(?<=[.!?])\s+(?=[A-Z“≤])/);
    expect(sentences.length).toBeGreaterThanOrEqual(2);
    expect(sentences.length).toBeLessThanOrEqual(4);
    expect(text).toMatch(/\.$/);
    expect(source.length).toBeGreaterThan(3);
    expect(source).not.toMatch(/\.$/);
  });

  test('every entry is shown somewhere', () => {
    for (const [key] of entries) expect(figures, key).toContain(key);
  });

  test('no two entries have the same name for those who hear the page', () => {
    expect(new Set(entries.map(([, { about }]) => about)).size).toBe(entries.length);
  });
});
